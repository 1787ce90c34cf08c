package plot

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/job"
	"weftplot/plot/loads"
)

// Kit is copies of a rug on one cloth, in the frame "drawn" of the whole cloth: channel 0
// runs through the lower left corner of the lowest rug on the left.
type Kit struct {
	Copies []Copy // in the order of their numbers
	// Cloth is what is taken of the cloth, from selvedge to selvedge, in mm.
	Cloth paths.Rect
	// Exact reports that no layout in rows takes less cloth.
	Exact bool
	// Notes are what a person should know of names and ticks.
	Notes []Doubt
}

// Copy is one rug of a kit.
type Copy struct {
	N    int    // from 1
	Name string // "" for none
	Load int    // that it is drawn in, from 1
	// At is the crossing of channels that the lower left corner of the rug lies on.
	At     weave.Place
	Turned bool // it stands turned by a quarter, and was snapped so
	// NX and NY are its size in channels of the cloth, across and along.
	NX, NY float64
	Rug    paths.Rect // in mm on the cloth
	Piece  paths.Rect // what it takes of the cloth

	drawn, byHand []Stroke // in mm on the cloth, with its name
}

// A pattern is a rug as it stands on the cloth.
type pattern struct {
	joined Joined
	turned bool
	toward paths.Affine // from its own frame, channel 0 staying on a crossing
	lo, hi weave.Place  // the whole channels that hold it, after that
}

// quarter turns by a quarter counter-clockwise, exactly.
var quarter = paths.Affine{B: 1, C: -1}

// A patternKey tells patterns apart: the width in channels across, 0 as the settings say.
type patternKey struct {
	channels int
	turned   bool
}

// makeKit makes a job of copies on one cloth.
func makeKit(ctx context.Context, laid Laid, opt Options) (Job, error) {
	k, err := newKitMaker(ctx, laid, opt)
	if err == nil {
		err = k.layOut()
	}
	if err == nil {
		err = k.letter()
	}
	if err != nil {
		return Job{}, err
	}
	return k.make(ctx, opt)
}

// SketchKit lays copies on their cloth and shares them out among loads, as [Make] does,
// and makes no program. What it returns first is the whole cloth as one drawing, in the
// frame "drawn" of the cloth, where it lies on no machine; its Rug is the cloth.
func SketchKit(ctx context.Context, laid Laid) (Registered, Kit, error) {
	k, err := newKitMaker(ctx, laid, Options{})
	if err == nil {
		err = k.layOut()
	}
	if err == nil {
		err = k.letter()
	}
	if err == nil {
		_, err = k.divide()
	}
	if err != nil {
		return Registered{}, Kit{}, err
	}
	r := Registered{Joined: Joined{Snapped: Snapped{Laid: k.laid, Rug: k.Cloth}}, Registration: cloth.Nominal(k.grid, paths.Point{})}
	for _, c := range k.Copies {
		r.Drawn, r.ByHand = append(r.Drawn, c.drawn...), append(r.ByHand, c.byHand...)
	}
	for _, t := range k.ticks {
		r.Drawn = append(r.Drawn, Stroke{t, CutsLayer})
	}
	r.Placed = r.Drawn
	return r, k.Kit, nil
}

// A kitMaker lays out the copies of a rug.
type kitMaker struct {
	Kit
	laid     Laid
	grid     weave.Grid // of the cloth
	patterns map[patternKey]pattern
	sizes    []int       // of each copy, as in a patternKey
	gap      [2]int      // channels across and along, of which each rug has half on each side
	cloth    weave.Place // whole channels across between selvedges, and along, 0 as needed
	ticks    []paths.Stroke
}

// newKitMaker draws each pattern that is needed, once.
func newKitMaker(ctx context.Context, laid Laid, opt Options) (*kitMaker, error) {
	s := laid.Settings
	k := &kitMaker{laid: laid, grid: laid.Grid, patterns: map[patternKey]pattern{}}
	if err := k.measure(); err != nil {
		return nil, err
	}
	if len(laid.Settings.At) > 0 && len(laid.Inputs.Marks) > 0 {
		return nil, fault.Bad("at", "leave one of the two out", "the marks already say where the cloth lies")
	}
	for _, layer := range laid.layersDrawn() {
		if pen, err := laid.PenFor(layer); err == nil && pen.Blade {
			return nil, fault.Bad("copies", "cut one pattern at a time, or give another [pen]", "%s cuts, and copies on one cloth are drawn", pen.Name)
		}
	}
	if err := k.name(); err != nil {
		return nil, err
	}
	ways := []bool{false}
	if s.Turn {
		ways = append(ways, true)
	}
	for _, size := range k.sizes {
		for _, turned := range ways {
			key := patternKey{size, turned}
			if _, made := k.patterns[key]; made {
				continue
			}
			p, err := k.draw(ctx, key, opt)
			if err != nil {
				return nil, err
			}
			k.patterns[key] = p
		}
	}
	strokes := 0
	for _, size := range k.sizes {
		strokes += len(k.patterns[patternKey{size, false}].joined.Drawn)
	}
	if strokes > maxStrokes {
		return nil, fault.Bad("copies", "draw fewer at a time", "%d copies hold %d strokes; the most that is prepared is %d", len(k.sizes), strokes, maxStrokes)
	}
	return k, nil
}

// measure finds the cloth and the gap in whole channels.
func (k *kitMaker) measure() error {
	s := &k.laid.Settings
	width, length, err := s.ClothSize()
	if err != nil {
		return err
	}
	gap, err := s.GapBetween(k.laid.Margin)
	if err != nil {
		return err
	}
	// The job file says what was decided.
	s.Gap = paths.Length(gap).String()
	if s.Cloth == "" {
		s.Cloth = job.ClothWidth
	}
	const slack = 1e-6
	even := func(n float64) int { return 2 * int(math.Ceil(n/2-slack)) }
	k.gap = [2]int{even(gap / k.grid.Across), even(gap / k.grid.Along)}
	k.cloth = weave.Place{Across: math.Floor(width/k.grid.Across + slack), Along: math.Floor(length/k.grid.Along + slack)}
	return nil
}

// draw makes the pattern of a size and a stand. A turned one is snapped on the weave that
// it then lies on, whose counts are exchanged.
func (k *kitMaker) draw(ctx context.Context, key patternKey, opt Options) (pattern, error) {
	in, s := k.laid.Inputs, k.laid.Settings
	if key.channels > 0 {
		s.Width, s.Height = paths.Length(float64(key.channels)*k.grid.Across), 0
	}
	if key.turned {
		s.Count = paths.Count{Across: k.laid.Count.Along, Along: k.laid.Count.Across}.String()
	}
	laid, err := Lay(in, s)
	if err != nil {
		return pattern{}, err
	}
	if err := laid.refuse(); err != nil {
		return pattern{}, err
	}
	if err := opt.begin(ctx, Snapping); err != nil {
		return pattern{}, err
	}
	snapped, err := Snap(ctx, laid, opt)
	if err != nil {
		return pattern{}, err
	}
	if err := opt.begin(ctx, Joining); err != nil {
		return pattern{}, err
	}
	p := pattern{turned: key.turned, toward: paths.Identity()}
	if p.joined, err = Join(ctx, snapped, opt); err != nil {
		return pattern{}, err
	}
	if p.turned {
		p.toward = quarter
	}
	const slack = 1e-6
	a, b := k.grid.PlaceOf(p.toward.Apply(p.joined.Rug.Min)), k.grid.PlaceOf(p.toward.Apply(p.joined.Rug.Max))
	p.lo = weave.Place{Across: math.Floor(min(a.Across, b.Across) + slack), Along: math.Floor(min(a.Along, b.Along) + slack)}
	p.hi = weave.Place{Across: math.Ceil(max(a.Across, b.Across) - slack), Along: math.Ceil(max(a.Along, b.Along) - slack)}
	return p, nil
}

// piece returns what a pattern takes of the cloth.
func (k *kitMaker) piece(key patternKey) loads.Size {
	p, ok := k.patterns[key]
	if !ok {
		return loads.Size{}
	}
	return loads.Size{Across: int(p.hi.Across-p.lo.Across) + k.gap[0], Along: int(p.hi.Along-p.lo.Along) + k.gap[1]}
}

// layOut lays the copies on the cloth.
func (k *kitMaker) layOut() error {
	pieces := make([]loads.Piece, len(k.sizes))
	for i, size := range k.sizes {
		pieces[i] = loads.Piece{Upright: k.piece(patternKey{size, false}), Turned: k.piece(patternKey{size, true})}
	}
	layout, err := loads.Lay(pieces, int(k.cloth.Across))
	if errors.Is(err, loads.ErrTooWide) {
		return k.tooWide(pieces)
	}
	if err != nil {
		return err
	}
	if room := int(k.cloth.Along); room > 0 && layout.Length > room {
		return k.tooLong(pieces, layout.Length)
	}
	k.Exact = layout.Exact
	tops := map[int]int{}
	for i, at := range layout.Places {
		tops[at.Row] = max(tops[at.Row], at.Along+standing(pieces[i], at).Along)
	}
	half := [2]int{k.gap[0] / 2, k.gap[1] / 2}
	at := func(across, along int) paths.Point {
		return k.grid.At(weave.Place{Across: float64(across - half[0]), Along: float64(along - half[1])})
	}
	for i, place := range layout.Places {
		p := k.patterns[patternKey{k.sizes[i], place.Turned}]
		c := &k.Copies[i]
		c.At, c.Turned = weave.Place{Across: float64(place.Across), Along: float64(place.Along)}, place.Turned
		c.Piece = paths.Rect{Min: at(place.Across, place.Along), Max: at(place.Across+standing(pieces[i], place).Across, tops[place.Row])}
		m := p.toward.Then(paths.Translate(k.grid.At(weave.Place{Across: c.At.Across - p.lo.Across, Along: c.At.Along - p.lo.Along})))
		c.put(p, m, k.grid)
	}
	k.Cloth = paths.Rect{Min: at(0, 0), Max: at(int(k.cloth.Across), layout.Length)}
	k.mark(layout, tops)
	return nil
}

// standing returns the size of a piece as it stands.
func standing(p loads.Piece, at loads.Place) loads.Size {
	if at.Turned {
		return p.Turned
	}
	return p.Upright
}

// put lays the pattern of a copy on the cloth.
func (c *Copy) put(p pattern, m paths.Affine, g weave.Grid) {
	for _, s := range p.joined.Drawn {
		c.drawn = append(c.drawn, Stroke{s.Transform(m), s.Layer})
	}
	for _, s := range p.joined.ByHand {
		c.byHand = append(c.byHand, Stroke{s.Transform(m), s.Layer})
	}
	c.Rug = paths.EmptyRect().Include(m.Apply(p.joined.Rug.Min)).Include(m.Apply(p.joined.Rug.Max))
	c.NX, c.NY = c.Rug.Width()/g.Across, c.Rug.Height()/g.Along
}

// tooWide is the fault of rugs that are wider than the cloth.
func (k *kitMaker) tooWide(pieces []loads.Piece) error {
	i := slices.IndexFunc(pieces, func(p loads.Piece) bool {
		_, err := loads.Lay([]loads.Piece{p}, int(k.cloth.Across))
		return err != nil
	})
	wide := pieces[i].Upright.Across
	need := float64(wide) * k.grid.Across
	do := fmt.Sprintf("take cloth of %s between its selvedges at least ([cloth]), or a smaller [gap] or size", k.say(need))
	if !k.laid.Settings.Turn && float64(pieces[i].Upright.Along)*k.grid.Along <= k.cloth.Across*k.grid.Across {
		do += "; turned by a quarter ([turn]) it may fit"
	}
	return fault.TooBig("copies", do, "no copy fits the cloth: a rug and the cloth round it take %s, and there are %s between the selvedges",
		k.say(need), k.say(k.cloth.Across*k.grid.Across))
}

// say is a length in the systems that the person thinks in.
func (k *kitMaker) say(mm float64) string { return paths.Length(mm).In(k.laid.Settings.Said) }

// tooLong is the fault of more copies than the cloth has room for.
func (k *kitMaker) tooLong(pieces []loads.Piece, length int) error {
	n := loads.Most(pieces, int(k.cloth.Across), int(k.cloth.Along))
	need := float64(length) * k.grid.Along
	yards := math.Ceil(need/(36*paths.MMPerInch)*8) / 8
	do := fmt.Sprintf("take %s of cloth (%gyd will do), or a smaller [gap] or size", k.say(need), yards)
	if n > 0 {
		do += fmt.Sprintf(", or draw %d of them", n)
	}
	return fault.TooBig("copies", do, "%d copies take %s of this cloth, and there is %s: %d fit",
		len(pieces), k.say(need), k.say(k.cloth.Along*k.grid.Along), n)
}
