g21 g90
g0 z5
g 0 x +2 0. y2 0
g1 z0 f600
g1x6 0y20f1500
g0z5
m2
