package css_test

import (
	"encoding/xml"
	"fmt"

	"weftplot/paths/svg/css"
)

// boat is an element without children or siblings.
type boat struct {
	attrs  []xml.Attr
	parent *boat
	state  css.State
}

func (b *boat) Name() string            { return "path" }
func (b *boat) Attrs() []xml.Attr       { return b.attrs }
func (b *boat) Size() int               { return 0 }
func (b *boat) Place() (i, n int)       { return 0, 1 }
func (b *boat) Sibling(int) css.Element { return b }
func (b *boat) Empty() bool             { return true }
func (b *boat) State() *css.State       { return &b.state }
func (b *boat) Parent() css.Element {
	if b.parent == nil {
		return nil
	}
	return b.parent
}

// printer prints what the cascade reports.
type printer struct{}

func (printer) Note(_ css.Element, _, message string) { fmt.Println(message) }
func (printer) Halt(_ css.Element, message string)    { fmt.Println("stop:", message) }

func ExampleCascade() {
	hull := &boat{attrs: []xml.Attr{
		{Name: xml.Name{Local: "class"}, Value: "keel"},
		{Name: xml.Name{Local: "stroke"}, Value: "red"},
	}}
	c := css.NewCascade(printer{})
	c.AddSheet(hull, `path { --w: 2mm; stroke: navy } .keel { stroke-width: calc(var(--w) / 2) } :hover::x {fill: red} @page { x: y }
		path:first-line {fill: none}`)
	initial := css.Initial()
	s := c.Style(hull, &initial)
	fmt.Printf("%s, %.3f px wide\n", s.Stroke.Text, s.StrokeWidth.In(0, s.FontSize))
	// Output:
	// Style rules for "path:first-line" are not applied, as the selector is not understood.
	// navy, 3.780 px wide
}
