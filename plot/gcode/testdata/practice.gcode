(weftplot:1 machine practice)
(lighthouse mat, drawn mirrored: the back of the rug is seen, 18 x 24 in, a)
(remark that is long enough for two lines)
(layer "Naht" [red] 100pct.)
G21 G17 G90 G94
G0 Z5
(weftplot:pen 1)
X10Y10
G1 Z0 F600
X30F1998
Y25.4
X10
Y10
G0 Z5
X40Y10
G1 Z0 F600
G3X60I10J7.5F1998
G2X40I-10J18.75
G0 Z5
X0Y0
(weftplot:pen 2)
(MSG, put pen 2 in the holder)
M0
G4 P0.5
G0X87.5Y20
G1 Z0 F600
G3X87.5I-7.5F2400
G0 Z5
X100Y5
G1 Z0 F600
G0 Z5
X0Y0
(MSG, wipe the tip)
M0
M2
