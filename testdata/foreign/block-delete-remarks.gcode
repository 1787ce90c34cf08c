(a coaster by hand)
G21 G90
G0 Z5 (up)
G0 X10 Y10
G1 Z0 F600
G1 X40 (half) F1500
G0 Z5
M2
