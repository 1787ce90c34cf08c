package skeleton

// Despeckle reduces a mask to 0 and 1: it keeps the components that hold some
// ink for sure and are neither specks nor dots. It returns the dots, the specks, and
// what is nowhere surely ink, that it took out. width is that of the line in pixels, and least is the
// area in pixels below which a component is a speck.
func Despeckle(mask, grey Plane, width, least float64) (dots, specks, pale []Component) {
	spans, list := Components(mask, grey, Inked, true)
	level := InkLevel(list, width)
	kind := make([]uint8, len(list))
	for i, p := range list {
		switch {
		case p.strong == 0:
			pale = append(pale, p)
		case isDot(p, width, level):
			dots = append(dots, p)
		case float64(p.area) < least || p.Size() < int(width*1.2):
			specks = append(specks, p)
		default:
			kind[i] = 1
		}
	}
	for _, r := range spans {
		mask.Paint(r, kind[r.Component])
	}
	return dots, specks, pale
}

// InkLevel returns how much darker than paper the lines are on average, over
// all components longer than four widths.
func InkLevel(list []Component, width float64) float64 {
	var dark, area int64
	for _, p := range list {
		if p.strong > 0 && float64(p.Size()) > 4*width {
			dark, area = dark+p.dark, area+int64(p.area)
		}
	}
	if area == 0 {
		return 0
	}
	return float64(dark) / float64(area)
}

// isDot reports whether a component is a point made with the pen: about as long and
// as wide as the line is wide, without holes, and at least half as dark as the
// lines.
func isDot(p Component, width, level float64) bool {
	long, short := float64(p.Size()), float64(min(p.X1-p.X0, p.Y1-p.Y0))
	return width > 0 && long < 2*width && short > 0.6*width && short > 0.6*long &&
		float64(p.area) > 0.6*long*short && float64(p.dark) > 0.5*level*float64(p.area)
}

// FillHoles inks the holes that the pencil left in a line: those of up to most
// pixels that are darker than paper throughout, and all those smaller than a
// sixth of that. level is how much darker than paper the lines are, in steps of
// grey.
func FillHoles(mask, grey Plane, most, level float64) {
	spans, list := Components(mask, grey, bareOnly, false)
	for _, s := range spans {
		p := list[s.Component]
		if p.touchesSide || float64(p.area) > most {
			continue
		}
		if float64(p.area) < most/6 || Paper-float64(p.lightest) > 0.25*level {
			mask.Paint(s, 1)
		}
	}
}
