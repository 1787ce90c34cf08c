package papers

import "math"

// noise is smooth noise over the plane, from 0 to 1 and about 1 apart: random
// at whole numbers, and between them eased from one to the next.
func noise(x, y float64, seed uint64) float64 {
	i, j := math.Floor(x), math.Floor(y)
	fx, fy := ease(x-i), ease(y-j)
	a, b := int64(i), int64(j)
	top := hash(a, b, seed)*(1-fx) + hash(a+1, b, seed)*fx
	low := hash(a, b+1, seed)*(1-fx) + hash(a+1, b+1, seed)*fx
	return top*(1-fy) + low*fy
}

func ease(t float64) float64 { return t * t * (3 - 2*t) }

// hash gives each cell of the plane a number from 0 to 1.
func hash(i, j int64, seed uint64) float64 {
	return float64(mix(mix(seed^uint64(i)*0xd6e8feb86659fd93)^uint64(j)*0xa0761d6478bd642f)>>11) / (1 << 53)
}

// mix scrambles the bits of x: the finisher of SplitMix64 (Steele, Lea, Flood
// 2014; the constants are from memory).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// wave is smooth noise along a line, from -1 to 1.
func wave(t float64, seed uint64) float64 { return 2*noise(t, 0.5, seed) - 1 }

// blurred returns a Gaussian blur of rows of w values; sigma is in pixels.
func blurred(v []float32, w int, sigma float64) []float32 {
	h := len(v) / w
	reach := int(math.Ceil(2.5 * sigma))
	kernel := make([]float32, reach+1)
	sum := float32(0)
	for i := range kernel {
		kernel[i] = float32(math.Exp(-float64(i*i) / (2 * sigma * sigma)))
		sum += kernel[i]
		if i > 0 {
			sum += kernel[i]
		}
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	across := make([]float32, len(v))
	for y := range h {
		row := v[y*w : (y+1)*w]
		for x := range row {
			s := kernel[0] * row[x]
			for k := 1; k <= reach; k++ {
				s += kernel[k] * (row[max(0, x-k)] + row[min(w-1, x+k)])
			}
			across[y*w+x] = s
		}
	}
	out := make([]float32, len(v))
	for y := range h {
		line := out[y*w : (y+1)*w]
		for k := 0; k <= reach; k++ {
			above, below := across[max(0, y-k)*w:], across[min(h-1, y+k)*w:]
			for x := range line {
				if k == 0 {
					line[x] = kernel[0] * above[x]
				} else {
					line[x] += kernel[k] * (above[x] + below[x])
				}
			}
		}
	}
	return out
}
