package papers

import (
	"image"
	"math/rand/v2"

	"weftplot/paths"
)

// DPI is the resolution of the pictures that scanners take, and about that of a
// photo on its sheet.
const DPI = 200

// Strokes is about how many strokes a full page has.
const Strokes = 64

// Page is the picture of a page, and the strokes that were drawn on it.
type Page struct {
	Kind    string
	Seed    uint64
	Picture image.Image
	// Sheet is the size of the sheet in mm in a photo, and zero in a scan, whose
	// pixels are DPI to the inch.
	Sheet [2]float64
	// Drawn are the strokes in mm, y up, from the lower left corner of the picture
	// in a scan and of the sheet in a photo. Of a stroke drawn several times it is
	// the mean of all passes.
	Drawn []paths.Stroke
	// Inks are the colour words of the strokes, where they are in several inks.
	Inks []string
	// Width is the width of the line in mm at the usual pressure.
	Width float64
}

// Kind is a kind of page that a person may bring.
type Kind struct {
	Name    string
	media   []medium
	ruling  func(*rand.Rand) ruling
	again   bool // each stroke is drawn 3 to 5 times
	copied  bool
	inks    bool // each stroke is in one of several
	photo   bool
	bending [2]float64 // of the photo's lens
}

// Kinds returns the kinds of pages, in the order of their tables.
func Kinds() []Kind {
	handy := []medium{smoothPencil, feltTip}
	return []Kind{
		{Name: "felt-tip", media: []medium{feltTip}},
		{Name: "ballpoint", media: []medium{ballpoint}},
		{Name: "smooth pencil", media: []medium{smoothPencil}},
		{Name: "grainy pencil", media: []medium{grainyPencil}},
		{Name: "faint pencil", media: []medium{faintPencil}},
		{Name: "crayon", media: []medium{crayon}},
		{Name: "charcoal", media: []medium{charcoal}},
		{Name: "sketched over", media: []medium{smoothPencil}, again: true},
		{Name: "wide marker", media: []medium{marker}},
		{Name: "squared", media: handy, ruling: squared},
		{Name: "lined", media: handy, ruling: lined},
		{Name: "dotted", media: handy, ruling: dotted},
		{Name: "isometric", media: handy, ruling: isometric},
		{Name: "graph", media: handy, ruling: graph},
		{Name: "photocopy", media: []medium{ballpoint, feltTip, smoothPencil}, copied: true},
		{Name: "inks", media: []medium{feltTip}, inks: true},
		{Name: "phone", media: handy, photo: true, bending: [2]float64{-0.005, 0.005}},
		{Name: "lens", media: handy, photo: true, bending: [2]float64{0.02, 0.03}},
	}
}

// Make makes the page of a kind and a seed on a sheet of w by h mm. Pages of
// successive seeds take the media of their kind in turn.
func (k Kind) Make(seed uint64, w, h float64) Page {
	random := rand.New(rand.NewPCG(seed, hashOf(k.Name)))
	with := k.media[seed%uint64(len(k.media))].pick(random)
	printed, pitch := k.print(random)
	s := newSheet(w, h, 25.4/300, random.Uint64())
	most := max(6, int(Strokes*w*h/(210*297)+0.5))
	plan := newDrawing(random, w, h, with.width, most, pitch)
	person := &hand{random: random, seed: random.Uint64(), width: with.width}
	page := Page{Kind: k.Name, Seed: seed, Width: with.width}
	drawn := make([][]paths.Point, 0, len(plan.lines))
	box := k.pens(random, with, s)
	for _, l := range plan.lines {
		pen := box[0]
		if len(box) > 1 {
			pen = box[random.IntN(len(box))]
			page.Inks = append(page.Inks, pen.name)
		}
		if k.again {
			middle, passes := person.over(l, 3+random.IntN(3), 0.35)
			for _, p := range passes {
				pen.on.lay(p, pen.stick)
			}
			drawn = append(drawn, middle)
			continue
		}
		d := person.draw(l)
		pen.on.lay(d, pen.stick)
		drawn = append(drawn, d.points)
	}
	s.rub(with.smudge)
	seen := s.look(box[0].colour, printed)
	for _, pen := range box[1:] {
		seen.under(pen.on.look(pen.colour, nil))
	}
	onto := k.take(&page, seen, random)
	for _, p := range drawn {
		for i := range p {
			p[i] = onto.Apply(p[i])
		}
		page.Drawn = append(page.Drawn, paths.Polyline(p...))
	}
	return page
}

// pen is a stick with the name of its colour, and the sheet that holds what it leaves.
type pen struct {
	stick
	name string
	on   *sheet
}

// pens returns what the page is drawn with: one pen, or of several inks three to five.
func (k Kind) pens(random *rand.Rand, with stick, on *sheet) []pen {
	if !k.inks {
		return []pen{{with, "", on}}
	}
	box := []pen{{name: "black"}, {name: "red"}, {name: "blue"}, {name: "green"}, {name: "grey"}}
	random.Shuffle(len(box), func(i, j int) { box[i], box[j] = box[j], box[i] })
	box = box[:3+random.IntN(3)]
	for i := range box {
		box[i].stick = feltTip.pick(random)
		if box[i].name == "grey" {
			box[i].stick = smoothPencil.pick(random)
		}
		box[i].colour, box[i].on = named[box[i].name], on
		if i > 0 {
			box[i].on = on.another()
		}
	}
	return box
}

// print prints the rulings of the kind, not quite square to the sheet. On every
// second page of squares the border is drawn along them.
func (k Kind) print(random *rand.Rand) (*ruling, float64) {
	if k.ruling == nil {
		return nil, 0
	}
	r := k.ruling(random)
	r.turn = 0.3 * (2*random.Float64() - 1)
	if random.IntN(2) == 0 && len(r.families) != 3 {
		r.turn /= 10
		return &r, r.families[0].pitch
	}
	return &r, 0
}

// take takes the picture, and returns the map from the sheet to the frame of the
// page.
func (k Kind) take(p *Page, s surface, random *rand.Rand) paths.Affine {
	const mm = 25.4 / DPI
	onto := paths.Identity()
	switch {
	case k.photo:
		bending := k.bending[0] + (k.bending[1]-k.bending[0])*random.Float64()
		if random.IntN(2) == 0 {
			bending = -bending
		}
		w, h := s.size()
		p.Sheet = [2]float64{w, h}
		p.Picture = photographed(s, random, mm, bending)
	case k.copied:
		p.Picture, onto = photocopied(s, random, mm)
	default:
		p.Picture, onto = scanned(s, random, mm)
	}
	return onto
}

// hashOf makes a number of a name, so that kinds do not share their pages (FNV-1a;
// the constants are from memory).
func hashOf(name string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(name) {
		h = (h ^ uint64(name[i])) * 1099511628211
	}
	return h
}

// Unseen returns the n seeds of pages that nobody has looked at, by a number that
// is drawn when they are wanted.
func Unseen(drawn uint64, n int) []uint64 {
	out := make([]uint64, n)
	for i := range out {
		out[i] = mix(mix(drawn)+uint64(i)) | 1<<63
	}
	return out
}
