package near

import (
	"slices"

	"weftplot/paths"
)

// Alike numbers the lists of a grid: cells that follow one another in a row or a column and
// hold the same items have one number. A query along lines that run through many cells
// together, as those of a lattice do, then need not read the list of each cell.
type Alike struct {
	cells *Cells
	list  []int32 // by cell: the first cell that is known to hold the same items
}

// NewAlike numbers the lists of cells, in time in proportion to the cells plus the entries.
func NewAlike(cells *Cells) *Alike {
	a := &Alike{cells: cells}
	if len(cells.start) == 0 {
		return a
	}
	a.list = make([]int32, cells.nx*cells.ny)
	items := func(k int) []int32 { return cells.items[cells.start[k]:cells.start[k+1]] }
	for k := range a.list {
		a.list[k] = int32(k)
		if k%cells.nx > 0 && slices.Equal(items(k), items(k-1)) {
			a.list[k] = a.list[k-1]
		} else if below := k - cells.nx; below >= 0 && slices.Equal(items(k), items(below)) {
			a.list[k] = a.list[below]
		}
	}
	return a
}

// Lists returns how many numbers of lists there may be: all are smaller.
func (a *Alike) Lists() int { return len(a.list) }

// Along is [Cells.Along], with the number of each list.
func (a *Alike) Along(from, to paths.Point, grow float64, visit func(list int32, items []int32)) {
	a.cells.alongCells(from, to, grow, func(cell int) {
		visit(a.list[cell], a.cells.items[a.cells.start[cell]:a.cells.start[cell+1]])
	})
}
