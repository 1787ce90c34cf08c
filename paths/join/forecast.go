package join

import "math"

// firstForecast is how many looks are used before there is a forecast, and forecastEach how
// many times as many before each further one.
const (
	firstForecast = mostLooks / 16
	forecastEach  = 1.5
)

// A forecast takes least and most so many things that are still to come, and stops between
// them once these took so many looks. It does not count them: there are few forecasts.
const (
	leastSampled = 64
	mostSampled  = 512
	sampledLooks = mostLooks / 64
)

// surely is how many standard errors of the mean a forecast stays below it. One that is
// too high by chance, and so refuses what could be done, comes about once in 30,000
// times for a normal distribution (beyond 4 standard deviations on one side: 0.0000317, by
// its error function).
const surely = 4

// A forecast tells early that work will be too much, long before the looks are used up.
type forecast struct {
	*work
	next int // of looks used, when it is time for another
}

func newForecast(w *work) *forecast { return &forecast{w, firstForecast} }

// check is called before thing i of n is done. Now and then it samples those that are left,
// spread evenly over them, for how many looks they will take at least, and refuses the work
// where they surely take more than are left. The sample depends on nothing but the work.
func (f *forecast) check(i, n int, least func(k int) int) error {
	used := mostLooks - f.left
	if used < f.next {
		return nil
	}
	f.next = int(forecastEach * float64(used))
	rest, m := float64(n-i), 0.
	if rest < leastSampled {
		return nil
	}
	var sum, squares float64
	for ; m < min(rest, mostSampled) && (m < leastSampled || sum < sampledLooks); m++ {
		// Multiples of the golden section fall evenly into an interval, however many they
		// are (Knuth, The Art of Computer Programming 3, 6.4, Theorem S).
		_, at := math.Modf(m * (math.Sqrt(5) - 1) / 2)
		looks := float64(least(i + int(at*rest)))
		sum, squares = sum+looks, squares+looks*looks
	}
	mean := sum / m
	deviation := math.Sqrt(max(0, squares/m-mean*mean) / (m - 1))
	if rest*(mean-surely*deviation) > float64(f.left) {
		return f.tooMany()
	}
	return nil
}
