package weave

import (
	"math"
)

// choose sets the channel of every run of an axis.
func (s *snapper) choose(axis Axis, tied sets) {
	pitch := s.grid.pitch(axis)
	sum, weight := make([]float64, len(tied)), make([]float64, len(tied))
	for i, r := range s.runs[axis] {
		b := tied.find(i)
		sum[b] += r.mean * r.length()
		weight[b] += r.length()
	}
	for i, r := range s.runs[axis] {
		b := tied.find(i)
		r.bundle = b
		r.channel = int(math.Round(sum[b] / weight[b] / pitch))
	}
}
