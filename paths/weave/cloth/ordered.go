package cloth

import "slices"

// Ordered returns marks at the candidates of these indices in the order in which
// [Plan.Choose] would take them if there were no others.
func (p Plan) Ordered(indices []int) Chosen {
	s := p.fresh()
	var out Chosen
	for len(out.Indices) < len(indices) {
		left := func(c int) bool { return slices.Contains(indices, c) && !slices.Contains(out.Indices, c) }
		useful := p.useful(out.Indices)
		c, _ := best(s, func(c int) bool { return left(c) && useful(c) })
		if c < 0 { // all that are left lie on the line of those taken
			c, _ = best(s, left)
		}
		if c < 0 {
			break
		}
		readAll(s, c)
		out.Indices, out.After = append(out.Indices, c), append(out.After, p.foresee(s))
	}
	return out
}

// Exchanged returns marks that are no more and do as well: each of the first two thirds, for
// which least was known, is left out where the others are within the bound without it, and
// else gives way to another candidate where that lowers the error to expect (exchange as in
// optimal designs: Fedorov, Theory of Optimal Experiments, 1972). Marks that are within the
// bound stay within it.
func (p Plan) Exchanged(indices []int, bound Bound) Chosen {
	now := p.Expect(indices)
	enough := bound.holds(now)
	for i := 0; i < 2*len(indices)/3; {
		fewer := slices.Delete(slices.Clone(indices), i, i+1)
		if p.lined(fewer) {
			i++
			continue
		}
		if x := p.Expect(fewer); enough && bound.holds(x) {
			indices, now = fewer, x
			continue
		}
		c, then, ok := p.Next(fewer)
		if ok && then.Usual < now.Usual && then.Greatest <= max(now.Greatest, bound.Greatest) {
			indices, now = slices.Insert(fewer, i, c), then
			enough = bound.holds(now)
		}
		i++
	}
	out := p.Ordered(indices)
	out.Enough = enough
	return out
}
