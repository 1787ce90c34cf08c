(weftplot program for machine practice)
(lighthouse mat, drawn mirrored: the back of the rug is seen, 18 x 24 in, a)
(remark that is long enough for two lines)
(layer "Naht" [red] 100pct.)
G21 G17 G90 G94
G0 Z5
(pen 1)
G0 X10 Y10
G1 Z0 F600
G1 X30 F1998
Y25.4
X10
Y10
G0 Z5
G0 X40 Y10
G1 Z0 F600
G3 X60 I10 J7.5 F1998
G2 X40 I-10 J18.75
G0 Z5
G0 X0 Y0
(pen 2)
(MSG, put pen 2 in the holder)
M0
G4 P0.5
G0 X87.5 Y20
G1 Z0 F600
G3 X87.5 I-7.5 F2400
G0 Z5
G0 X100 Y5
G1 Z0 F600
G0 Z5
G0 X0 Y0
(MSG, wipe the tip)
M0
M2
