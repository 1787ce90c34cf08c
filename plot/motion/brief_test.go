package motion

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/program"
)

// The timing of a program is that of its whole plan, to the last bit.
func TestTimeIsThatOfThePlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blocks []program.Block
		var at paths.Point
		for range rapid.IntRange(0, 25).Draw(t, "blocks") {
			b := program.Block{Kind: program.Kind(rapid.IntRange(0, 7).Draw(t, "kind")), Seconds: rapid.Float64Range(0, 2).Draw(t, "seconds")}
			if b.Kind == program.Travel || b.Kind == program.Draw {
				to := paths.Point{X: rapid.Float64Range(0, 30).Draw(t, "x"), Y: rapid.Float64Range(0, 30).Draw(t, "y")}
				b.Curve = paths.Line{A: at, B: to}
				if b.Kind == program.Draw && rapid.Bool().Draw(t, "bent") {
					b.Curve = paths.Cubic{A: at, B: paths.Point{X: at.Y, Y: at.X}, C: paths.Point{X: to.Y + 1, Y: to.X}, D: to}
				}
				at = to
			}
			blocks = append(blocks, b)
		}
		l := limits
		l.UpTime, l.DownTime = 0.1, rapid.SampledFrom([]float64{0, 0.2}).Draw(t, "down")
		if got, want := Time(blocks, l), Plan(blocks, l).Timing(); !reflect.DeepEqual(got, want) {
			t.Errorf("the timing is %+v, and by the plan %+v", got, want)
		}
	})
}
