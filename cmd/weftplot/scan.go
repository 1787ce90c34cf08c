package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan"
	"weftplot/paths/scan/linework"
	"weftplot/paths/scan/raster"
	"weftplot/paths/svg"
	"weftplot/plot/disk"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

func scanCommand(s terminal.Streams) *cli.Command {
	c := newCommand("scan", "IMAGE", "turns a scanned or photographed drawing into line work",
		withArgument(s, "a picture", runScan),
		&cli.StringFlag{Name: "out", Usage: "`FILE` of the design, .svg"},
		&cli.StringFlag{Name: "proof", Usage: "`FILE` of the proof, .svg or .png", DefaultText: "none"},
		&cli.StringFlag{Name: "dpi", Usage: "pixels an inch, `N` or ACROSSxDOWN, where the file does not say or is wrong", DefaultText: "the file's"},
		&cli.StringFlag{Name: "width", Usage: "width of the drawing on the paper, from outer line to outer line, as a `LENGTH`", DefaultText: "as on the paper"},
		&cli.StringFlag{Name: "paper", Usage: "it is a photo of a sheet of this `SIZE` on a darker table: a4, letter, 30x40cm", DefaultText: "none"},
		&cli.StringFlag{Name: "corners", Usage: "the sheet's four corners in pixels of the photo, `\"X,Y X,Y X,Y X,Y\"`, where they are not found; they may lie outside it", DefaultText: "looked for"},
		&cli.IntFlag{Name: "page", Usage: "`NUMBER` of the page, of a PDF or a TIFF file that has several", DefaultText: "1"},
		&cli.StringFlag{Name: "ink", Usage: "the `INK` that is the drawing: dark, pencil, red, blue, green, yellow, orange, purple, or X,Y in pixels of the picture to point at it", DefaultText: "dark"},
		&cli.StringFlag{Name: "layers-by", Usage: "`colour`: a layer for each ink, called by its colour, so that construction lines or red marks can be left out", DefaultText: "one layer"},
		&cli.BoolFlag{Name: "keep-rulings", Usage: "draw what the sheet is printed with, squares, lines, dots or a letterhead, too"},
		&cli.BoolFlag{Name: "deskew", Usage: "turn the drawing until its long lines are square to the sheet"},
	)
	c.Description = "The size comes from the file's resolution, from --dpi, from --width, or, for a photo, from --paper. " +
		"Look at the proof before going on: it shows the lines found over the picture, and what was bridged, removed and doubted."
	return c
}

func runScan(c *cli.Context, s terminal.Streams, name string) error {
	opt, err := rasterOptions(c)
	if err == nil {
		err = checkScanFiles(s, name, c.String("out"), c.String("proof"))
	}
	if err != nil {
		return err
	}
	data, err := disk.Read(s.Path(name), disk.MaxFile)
	if err != nil {
		return err
	}
	bar := terminal.NewProgress(s, c.Bool("quiet"))
	defer bar.Done()
	say := func(format string, args ...any) {
		if !c.Bool("quiet") {
			bar.Say(format, args...)
		}
	}
	bar.Begin("reading")
	say("reading %s", filepath.Base(name))
	page, src, err := raster.Decode(name, data, opt)
	if err != nil {
		return err
	}
	if src.Lines == nil {
		say("looking for lines on %d x %d pixels", page.W, page.H)
	}
	bar.Begin("looking for lines")
	page, traced, err := linework.Read(page, src, opt.WidthMM, scan.Options{Deskew: c.Bool("deskew"), KeepRulings: c.Bool("keep-rulings")})
	if err != nil {
		return inFile(name, err)
	}
	if len(traced.Strokes) == 0 {
		return fault.Bad(name, "check that the picture shows the drawing, dark on light, and that its size is right", "no lines were found in the picture")
	}
	r := report.SummarizeScan(filepath.Base(name), page, src, traced, report.Options{Names: flagOf})
	bar.Begin("drawing")
	err = writeScan(c, s, name, &r, page, traced)
	bar.Done()
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(r)
	}
	printScan(s, r)
	return nil
}

// inFile names the file in a fault that names no place.
func inFile(name string, err error) error {
	var f *fault.Error
	if !errors.As(err, &f) || f.Where != "" {
		return err
	}
	named := *f
	named.Where = name
	return &named
}

// checkScanFiles refuses names that cannot be written before any work is done.
func checkScanFiles(s terminal.Streams, image, out, picture string) error {
	if out == "" && picture == "" {
		return fault.Bad("--out", "give the design a name, such as --out design.svg", "there is no place for the design")
	}
	if out != "" && !strings.EqualFold(filepath.Ext(out), ".svg") {
		return fault.Bad("--out", "end the name in .svg", "%q is no design that can be written", out)
	}
	if ext := strings.ToLower(filepath.Ext(picture)); picture != "" && ext != ".svg" && ext != ".png" {
		return fault.Bad("--proof", "end the name in .svg or .png", "%q is no picture that can be made", picture)
	}
	for flag, f := range map[string]string{"--out": out, "--proof": picture} {
		if f != "" && sameFile(s.Path(f), s.Path(image)) {
			return fault.Bad(flag, "give it another name", "it would overwrite the picture")
		}
	}
	if out != "" && picture != "" && sameFile(s.Path(out), s.Path(picture)) {
		return fault.Bad("--proof", "give the proof another name", "the proof would overwrite the design")
	}
	return nil
}

// rasterOptions reads the flags that say how large the drawing is.
func rasterOptions(c *cli.Context) (opt raster.Options, err error) {
	given := 0
	for _, name := range []string{"dpi", "width", "paper"} {
		if c.String(name) != "" {
			given++
		}
	}
	if given > 1 {
		return opt, fault.Bad("", "give one of --dpi, --width and --paper", "the size of the drawing is said in more than one way")
	}
	if v := c.String("dpi"); v != "" {
		if opt.DPI, err = parseDPI(v); err != nil {
			return opt, err
		}
	}
	if v := c.String("width"); v != "" {
		l, err := paths.ParseLength(v)
		if err != nil {
			return opt, err
		}
		if l <= 0 {
			return opt, fault.Bad("--width", "give the width of the drawing on the paper", "a drawing %s wide is not possible", v)
		}
		opt.WidthMM = float64(l)
	}
	if opt.Sheet, err = parseSheet(c.String("paper")); err != nil {
		return opt, err
	}
	if opt.Page = c.Int("page"); c.IsSet("page") && opt.Page < 1 {
		return opt, fault.Bad("--page", "count the pages from 1", "there is no page %d", opt.Page)
	}
	if opt.Ink, err = parseInk(c.String("ink")); err != nil {
		return opt, err
	}
	if opt.Tints, err = parseLayersBy(c.String("layers-by")); err != nil {
		return opt, err
	}
	opt.Corners, err = parseCorners(c.String("corners"))
	return opt, err
}

// parseSheet reads the size of a sheet, if one was given.
func parseSheet(v string) (raster.Sheet, error) {
	if v == "" {
		return raster.Sheet{}, nil
	}
	return raster.ParseSheet(v)
}

// parseLayersBy reports whether a layer is made of each colour.
func parseLayersBy(v string) (colour bool, err error) {
	if v != "" && v != "colour" {
		return false, fault.Bad("--layers-by", "say --layers-by colour, or leave it out", "layers are not made by %q", v)
	}
	return v != "", nil
}

// parseInk reads the name of an ink, or a place where it is to be seen.
func parseInk(v string) (raster.Ink, error) {
	if v == "" {
		return raster.Ink{}, nil
	}
	a, b, _ := strings.Cut(v, ",")
	x, errX := strconv.ParseFloat(strings.TrimSpace(a), 64)
	y, errY := strconv.ParseFloat(strings.TrimSpace(b), 64)
	if p := (paths.Point{X: x, Y: y}); errX == nil && errY == nil && p.IsFinite() {
		return raster.InkAt(p), nil
	}
	return raster.InkNamed(v)
}

// parseDPI reads "300" or "204x196".
func parseDPI(v string) (d [2]float64, err error) {
	a, b, two := strings.Cut(v, "x")
	if !two {
		b = a
	}
	for i, text := range []string{a, b} {
		if d[i], err = strconv.ParseFloat(strings.TrimSpace(text), 64); err != nil || !(d[i] > 0) {
			return d, fault.Bad("--dpi", `give the pixels an inch, such as --dpi 300, or "204x196" across and down`, "%q is no resolution", v)
		}
	}
	return d, nil
}

// parseCorners reads "X,Y X,Y X,Y X,Y".
func parseCorners(v string) ([]paths.Point, error) {
	var out []paths.Point
	for _, field := range strings.Fields(v) {
		a, b, _ := strings.Cut(field, ",")
		x, errX := strconv.ParseFloat(a, 64)
		y, errY := strconv.ParseFloat(b, 64)
		if p := (paths.Point{X: x, Y: y}); errX == nil && errY == nil && p.IsFinite() {
			out = append(out, p)
			continue
		}
		return nil, fault.Bad("--corners", `give four places in pixels, such as "102,80 2950,95 2930,2100 110,2080"`, "%q is no place in the photo", field)
	}
	return out, nil
}

// writeScan writes the design and the proof that were asked for.
func writeScan(c *cli.Context, s terminal.Streams, image string, r *report.ScanReport, page raster.Page, t scan.Tracing) error {
	put := func(name string, data []byte) error {
		if err := disk.Write(s.Path(name), data); err != nil {
			return err
		}
		r.Files = append(r.Files, name)
		return nil
	}
	design, err := linework.DesignOf(filepath.Base(image), page, t)
	if err != nil {
		return err
	}
	var picture []byte
	name := c.String("proof")
	if name != "" {
		scene := report.ScanScene(*r, page, t)
		if strings.EqualFold(filepath.Ext(name), ".png") {
			picture, err = proof.PNG(scene, proofWidth(page))
		} else {
			picture, err = proof.SVG(scene)
		}
		if err != nil {
			return err
		}
	}
	if out := c.String("out"); out != "" {
		if err := put(out, svg.Write(design)); err != nil {
			return err
		}
	}
	if name == "" {
		return nil
	}
	return put(name, picture)
}

// proofWidth is the width of a proof in pixels: eight to the mm, so that both edges
// of a pencil line can be seen, within 1200 and 5000.
func proofWidth(p raster.Page) int {
	return min(max(int(8*float64(p.W)*p.MM), 1200), 5000)
}

func printScan(s terminal.Streams, r report.ScanReport) {
	p := func(format string, args ...any) { s.Printf(format+"\n", args...) }
	if r.Pixels[0] > 0 {
		p("%s: %s, %d x %d pixels", r.Image, r.Format, r.Pixels[0], r.Pixels[1])
	} else {
		p("%s: %s, lines", r.Image, r.Format)
	}
	if r.Pages > 1 {
		p("page            %d of %d", r.Page, r.Pages)
	}
	p("size from       %s", r.SizeFrom)
	if sh := r.Sheet; sh != nil {
		p("sheet           %.4g x %.4g mm, %.0f pixels an inch, corners at %s", sh.Size[0], sh.Size[1], sh.DPI, cornerWords(sh.CornersPx))
	}
	p("drawing         %s x %s", paths.Length(r.DrawingMM[0]).Both(), paths.Length(r.DrawingMM[1]).Both())
	p("lines           %d strokes of %d pieces, %.2f m, drawn %.2f mm wide", r.Strokes, r.Nodes, r.LengthMM/1000, r.LineMM)
	for _, l := range r.Layers {
		if l.Name == linework.Layer {
			continue // it is all of the drawing
		}
		p("layer           %s, %d strokes, %.2f m", l.Name, l.Strokes, l.LengthMM/1000)
	}
	if r.TurnedDeg != 0 {
		p("turned          %s, to lie square", report.Turned(r.TurnedDeg))
	}
	for _, k := range []struct {
		n    int
		what string
	}{{r.Gaps, "gaps bridged"}, {r.Spurs, "spurs removed"}, {r.Specks, "specks removed"}, {r.Blobs, "wide places drawn by their outlines"}} {
		if k.n > 0 {
			p("%-15d %s", k.n, k.what)
		}
	}
	const most = 20
	for i, d := range r.Doubtful {
		if i == most {
			p("look at         %d places more, on the proof", len(r.Doubtful)-most)
			break
		}
		p("look at         %.1f, %.1f mm: %s", d.AtMM[0], d.AtMM[1], d.Message)
	}
	for _, n := range r.Notes {
		p("look at         %s", n)
	}
	for _, f := range r.Files {
		p("written         %s", f)
	}
}

func cornerWords(c [4][2]float64) string {
	var out []string
	for _, p := range c {
		out = append(out, fmt.Sprintf("%.1f,%.1f", p[0], p[1]))
	}
	return strings.Join(out, " ")
}
