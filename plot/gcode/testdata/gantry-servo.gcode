(weftplot:1 machine gantry-servo)
(lighthouse mat, drawn mirrored: the back of the rug is seen, 18 x 24 in, a)
(remark that is long enough for two lines)
(layer "Naht" [red] 100pct.)
G21 G17 G90 G94
M5
G4 P0.25
(weftplot:pen 1)
G0X10Y10
M3 S90
G4 P0.25
G1X30F1998
Y25.4
X10
Y10
M5
G4 P0.25
G0X40Y10
M3 S90
G4 P0.25
G3X60I10J7.5
G2X40I-10J18.75
M5
G4 P0.25
G0X0Y0
(weftplot:pen 2)
(MSG, put pen 2 in the holder)
M0
G4 P0.5
G0X87.5Y20
M3 S90
G4 P0.25
G3X87.5I-7.5F3000
M5
G4 P0.25
G0X100Y5
M3 S90
G4 P0.25
M5
G4 P0.25
X0Y0
(MSG, wipe the tip)
M0
M2
