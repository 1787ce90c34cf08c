package svg

import (
	"fmt"
	"strings"
	"testing"
)

// BenchmarkRead shows that reading takes time in proportion to the file: each
// case has a second one four times as large.
func BenchmarkRead(b *testing.B) {
	for _, n := range []int{10_000, 40_000} {
		curves := `<path fill="none" stroke="red" d="M0 0` + strings.Repeat("c1 2 3 4 5 6", n) + `"/>`
		var sb strings.Builder
		sb.WriteString("<style>.a{stroke:red}.b path{fill:none}#p7{stroke:blue}g>path{stroke-width:2}</style>")
		for i := range n {
			fmt.Fprintf(&sb, `<g class="b"><path class="a" id="p%d" style="stroke-width:3;opacity:1" d="M%d 0h1"/></g>`, i, i%90)
		}
		clipped := `<clipPath id="c"><circle cx="50" cy="50" r="40"/></clipPath><g clip-path="url(#c)">` + strings.Repeat(`<path stroke="red" d="M0 20L100 30"/>`, n) + `</g>`
		uses := `<defs><path id="a" stroke="red" d="M0 0h1"/></defs>` + strings.Repeat(`<use href="#a" x="3"/>`, n)
		for _, c := range []struct{ name, body string }{{"curves", curves}, {"styled", sb.String()}, {"clipped", clipped}, {"uses", uses}} {
			file := []byte(inPage(c.body))
			b.Run(fmt.Sprintf("%s-%d", c.name, n), func(b *testing.B) {
				b.SetBytes(int64(len(file)))
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Read("", file, Options{}); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/element")
			})
		}
	}
}
