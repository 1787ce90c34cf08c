package bench

import (
	"net/http"

	"weftplot/device"
	"weftplot/paths/fault"
)

// postStop may come from every page, and any number of times.
func (b *bench) postStop(w http.ResponseWriter, _ *http.Request) {
	b.press(device.Stop)
	answer(w, struct{}{}, nil)
}

// postKey is Hold and Lift, which are safe at any time, Go on, which moves, and the
// answers to whether all is drawn, after which nothing can be gone on with.
func (b *bench) postKey(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct{ Key, Turn string }
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	switch q.Key {
	case "hold":
		b.press(device.Hold)
	case "lift":
		b.press(device.Lift)
	case "go":
		if err := b.moving(r, q.Turn); err != nil {
			return nil, err
		}
		b.press(device.Resume)
	case "drawn", "not-drawn":
		if err := b.moving(r, q.Turn); err != nil {
			return nil, err
		}
		b.answered(q.Key == "drawn")
	default:
		return nil, fault.Bad("", "", "there is no such key")
	}
	return nil, nil
}

func (b *bench) postMove(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		Do, Port, Turn string
		Part           part
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	if err := b.moving(r, q.Turn); err != nil {
		return nil, err
	}
	return nil, b.start(q.Do, q.Port, q.Part)
}

func (b *bench) postSteer(w http.ResponseWriter, r *http.Request) (any, error) {
	var q struct {
		steering
		Port, Turn string
		Load       int // to be found, 0 for the one that is due
	}
	if err := b.words(w, r, &q); err != nil {
		return nil, err
	}
	if q.Do == "end" {
		return nil, b.leaveSteering()
	}
	if err := b.moving(r, q.Turn); err != nil {
		return nil, err
	}
	if q.Do == "take" {
		return nil, b.beginSteering(q.Port, q.Load)
	}
	return nil, b.steerBy(q.steering)
}
