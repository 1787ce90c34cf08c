package proof_test

import (
	"bytes"
	"fmt"
	"log"

	"weftplot/paths"
	"weftplot/plot/proof"
)

func ExampleSVG() {
	square := paths.Rect{Max: paths.Point{X: 100, Y: 80}}
	svg, err := proof.SVG(proof.Scene{
		Title: "harbour mat", Side: "the front of the rug",
		Rug: proof.Outline(square),
		Ink: []proof.Ink{{Stroke: paths.Polyline(square.Min, square.Max), Width: 0.7, Layer: "rope", Pen: "fine-marker"}},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(bytes.Contains(svg, []byte("harbour mat")), bytes.Contains(svg, []byte("You are looking at the front of the rug.")))
	// Output:
	// true true
}
