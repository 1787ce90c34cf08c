(weftplot program for machine gantry-servo)
(lighthouse mat, drawn mirrored: the back of the rug is seen, 18 x 24 in, a)
(remark that is long enough for two lines)
(layer "Naht" [red] 100pct.)
G21 G17 G90 G94
M5
G4 P0.25
(pen 1)
G0 X10 Y10
M3 S90
G4 P0.25
G1 X30 F1998
Y25.4
X10
Y10
M5
G4 P0.25
G0 X40 Y10
M3 S90
G4 P0.25
G3 X60 I10 J7.5 F1998
G2 X40 I-10 J18.75
M5
G4 P0.25
G0 X0 Y0
(pen 2)
(MSG, put pen 2 in the holder)
M0
G4 P0.5
G0 X87.5 Y20
M3 S90
G4 P0.25
G3 X87.5 I-7.5 F3000
M5
G4 P0.25
G0 X100 Y5
M3 S90
G4 P0.25
M5
G4 P0.25
G0 X0 Y0
(MSG, wipe the tip)
M0
M2
