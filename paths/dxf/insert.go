package dxf

import (
	"fmt"

	"weftplot/paths"
)

// insert is a copy of a block, or an array of copies.
type insert struct {
	block         string
	at            vec
	scale         vec
	rotation      float64 // degrees
	columns, rows int
	// Distances between columns and rows, turned with the copy but not scaled.
	columnStep, rowStep float64
	normal              vec
}

func (*insert) count() int { return 0 }

func buildInsert(e *record) body {
	return &insert{
		block: string(e.text(2)), at: e.vec(10),
		scale:    vec{e.float(41, 1), e.float(42, 1), e.float(43, 1)},
		rotation: e.float(50, 0), columns: max(1, e.whole(70, 1)), rows: max(1, e.whole(71, 1)),
		columnStep: e.float(44, 0), rowStep: e.float(45, 0), normal: normalOf(e),
	}
}

// cell returns the map of the copy in a column and a row, from block
// coordinates to those around the insert.
func (s *insert) cell(base vec, column, row int) space {
	step := vec{x: float64(column) * s.columnStep, y: float64(row) * s.rowStep}
	return moved(base.mul(-1)).then(scaled(s.scale)).then(moved(step)).
		then(turned(s.rotation)).then(moved(s.at)).then(planeOf(s.normal))
}

func (s *insert) draw(d *draught, m space) {
	r, e := d.r, d.e
	b := r.blocks[fold([]byte(s.block))]
	say := func(code, words string) {
		if !e.noted {
			e.noted = true
			words = fmt.Sprintf(words, excerpt([]byte(r.decoded(s.block))))
			r.notes.add(words, paths.Note{Code: code, Element: e.kind, Line: e.line, Places: r.placesOf(e, "1 "+e.kind+" is not drawn: "+words)}, func(n int) string {
				return fmt.Sprintf("%s not drawn: %s", are(n, e.kind), words)
			})
		}
	}
	switch {
	case b == nil:
		say("block-missing", "the file holds no block %q.")
		return
	case b.outside:
		say("block-missing", "the block %q stands in another file.")
		return
	case r.open[b]:
		say("block-in-itself", "the block %q holds itself.")
		return
	case d.c.depth >= r.opt.MaxDepth:
		r.halt(e.line, e.kind, "blocks are nested more than %d deep", r.opt.MaxDepth)
		return
	}
	c := d.c
	c.depth++
	c.inside = true
	r.open[b] = true
	defer delete(r.open, b)
	for row := range s.rows {
		for column := range s.columns {
			if r.inserts++; r.inserts > r.opt.MaxInserts {
				r.halt(e.line, e.kind, "inserts make more than %d copies of blocks", r.opt.MaxInserts)
			}
			if r.stop != nil {
				return
			}
			c.m = s.cell(b.base, column, row).then(m)
			for i := range b.entities {
				r.entity(&b.entities[i], c)
			}
		}
	}
}
