package scan

import (
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/papers"
	"weftplot/paths/scan/raster"
)

// inkShares returns how much of the length drawn in each ink has a line of that ink
// within half a mm.
func inkShares(p papers.Page, t Tracing) map[string]float64 {
	lines := map[string][]paths.Point{}
	for i, s := range t.Strokes {
		lines[t.Inks[i]] = append(lines[t.Inks[i]], resample(s.Flatten(0.02), 0.2)...)
	}
	right, all := map[string]float64{}, map[string]float64{}
	for i, s := range p.Drawn {
		for _, c := range s {
			all[p.Inks[i]]++
			if within(c.At(0.5), lines[p.Inks[i]], 0.5) {
				right[p.Inks[i]]++
			}
		}
	}
	for k := range all {
		right[k] /= all[k]
	}
	return right
}

// alikeInks are pages whose pencil is so dark, and black pen so pale, that they are one
// ink to the eye of a scanner.
var alikeInks = map[uint64]bool{5: true}

// TestInks traces pages drawn in three to five inks, whose lines cross each other, and
// looks for each line in the layer of its ink.
func TestInks(t *testing.T) {
	seeds, w, h := []uint64{1}, 80.0, 70.0
	if *thorough {
		seeds, w, h = []uint64{1, 2, 3, 4, 5, 6}, 210, 297
	}
	kinds := papers.Kinds()
	kind := kinds[slices.IndexFunc(kinds, func(k papers.Kind) bool { return k.Name == "inks" })]
	for _, seed := range seeds {
		p := kind.Make(seed, w, h)
		file, opt, err := handedOver(p)
		if err != nil {
			t.Fatal(err)
		}
		opt.Tints = true
		page, _, err := raster.Decode("page", file, opt)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Trace(page, Options{})
		if err != nil {
			t.Fatal(err)
		}
		shares := inkShares(p, got)
		t.Logf("seed %d: %v", seed, shares)
		for name, share := range shares {
			least := 0.98
			if name == "black" || name == "grey" {
				least = 0.85
			}
			if share < least && !(name == "grey" && alikeInks[seed]) {
				t.Errorf("seed %d: %.3f of %s is in the layer of that name", seed, share, name)
			}
		}
		for _, name := range got.Inks {
			if _, drawn := shares[name]; !drawn {
				t.Errorf("seed %d: nothing was drawn in %s", seed, name)
			}
		}
	}
}
