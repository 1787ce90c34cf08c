package motion_test

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// A straight line from rest to rest takes d/v + v/a: 100 mm at 50 mm/s and
// 500 mm/s² take 2.1 s (textbook kinematics).
func ExampleTime() {
	limits := motion.Limits{Draw: 50, Travel: 120, Accel: 500, Corner: 8}
	line := program.Block{Kind: program.Draw, Curve: paths.Line{B: paths.Point{X: 100}}}
	fmt.Printf("%.2f s\n", motion.Time([]program.Block{line}, limits).Total)
	// Output:
	// 2.10 s
}
