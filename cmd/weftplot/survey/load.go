package survey

import (
	"context"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
)

// SteerLoad is [Steer] to the points of a load, one after the other.
func SteerLoad(ctx context.Context, s terminal.Streams, keys *terminal.Keyboard, pilot *device.Pilot, park paths.Point, found cloth.Survey, load search.Load, keep func([]cloth.Mark) error) (cloth.Survey, error) {
	v := &survey{pilot: pilot, park: park, found: found, step: 1, w: s.Err, words: s.Words, keep: keep, load: &load}
	v.say("%d points to find, in their order; fewer will do once the error to expect is small enough", len(load.Points))
	return steer(ctx, s, keys, v)
}

// nextPoint steers to the first point that has no mark.
func (v *survey) nextPoint() error {
	next := v.load.Progress(v.found).Next
	if next < 0 {
		return fault.Bad("", `"done" ends here; back goes to a mark to take it again`, "all points of the load are found")
	}
	p := v.load.Points[next]
	v.say("point %d of %d: %s", next+1, len(v.load.Points), p.Name)
	return v.goTo(p.Place)
}

// sayJoint says what error is to be expected at the joints, and what comes next.
func (v *survey) sayJoint() {
	if text := v.load.Says(v.load.Progress(v.found)); text != "" {
		v.say("%s", text)
	}
}
