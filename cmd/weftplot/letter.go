package main

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/svg"
	"weftplot/paths/weave"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/profiles"
)

func letterCommand(s terminal.Streams) *cli.Command {
	c := newCommand("letter", "TEXT", "writes words in single-line letters that lie on the weave",
		func(c *cli.Context) error { return runLetter(c, s) },
		&cli.StringFlag{Name: "height", Usage: "height of the capitals as a `LENGTH` or in rows of holes, such as 9rows"},
		&cli.StringFlag{Name: "out", Usage: "`FILE` of the design, .svg"},
		&cli.StringFlag{Name: "alphabet", Usage: "`NAME`: " + strings.Join(letters.Names(), ", "), Value: letters.Names()[0]},
		&cli.StringFlag{Name: "backing", Usage: "`NAME` of the backing whose count is used, or a file of its profile", Value: "monks-cloth"},
		&cli.StringFlag{Name: "count", Usage: "channels counted on the stretched backing, such as `12x13/in`", DefaultText: "the backing's"},
		&cli.IntFlag{Name: "spacing", Usage: "`N` rows of holes more between letters, or fewer", DefaultText: "none"},
		&cli.StringFlag{Name: "align", Usage: "several lines: left, centre or right", Value: letters.Left.String()},
		&cli.StringFlag{Name: "arc", Usage: "radius of the circle that the words follow, as a `LENGTH`; -LENGTH hangs them inside it", DefaultText: "a straight line"},
		&cli.StringFlag{Name: "width", Usage: "the `LENGTH` that the words have room in", DefaultText: "as wide as they are"},
		&cli.BoolFlag{Name: "specimen", Usage: "a sheet that shows the alphabet at several heights, in place of TEXT"},
	)
	c.Description = "TEXT may be given in several arguments, one a line. The letters are drawn for the count of the cloth: " +
		"count it on the stretched backing, and give prepare the same. " +
		"Words read as they are to be read; whether they are drawn mirrored is for prepare to say."
	return c
}

func runLetter(c *cli.Context, s terminal.Streams) error {
	out := c.String("out")
	if out == "" {
		return fault.Bad("--out", "give the design a name, such as --out word.svg", "there is no place for the design")
	}
	if !strings.EqualFold(filepath.Ext(out), ".svg") {
		return fault.Bad("--out", "end the name in .svg", "%q is no design that can be written", out)
	}
	opt, count, pen, err := letterCloth(c, s)
	if err != nil {
		return err
	}
	if c.Bool("specimen") {
		return writeSpecimen(c, s, opt, pen)
	}
	if c.NArg() == 0 {
		return fault.Bad("", "weftplot letter TEXT --height 9rows --out word.svg", "letter takes the words to be written")
	}
	if err := letterOptions(c, &opt); err != nil {
		return err
	}
	text, err := letters.Set(strings.Join(c.Args().Slice(), "\n"), opt)
	if err != nil {
		return err
	}
	design := text.Design(strings.Join(c.Args().Slice(), " "), opt.Grid, pen)
	if err := disk.Write(s.Path(out), svg.Write(design)); err != nil {
		return err
	}
	r := summarizeLetters(text, opt)
	r.Count, r.Files = count.String(), []string{out}
	if c.Bool("json") {
		return s.WriteJSON(r)
	}
	printLetters(s, r)
	return nil
}

// letterCloth reads what letters are drawn on and with: the weave and its count, the
// alphabet, and the width of the line in mm.
func letterCloth(c *cli.Context, s terminal.Streams) (opt letters.Options, count paths.Count, pen float64, err error) {
	backing, err := job.ReadBacking(s.Place().Read, c.String("backing"))
	if err != nil {
		return opt, count, 0, fault.At("--backing", err)
	}
	count = backing.Count
	if text := c.String("count"); text != "" {
		if count, err = paths.ParseCount(text); err != nil {
			return opt, count, 0, fault.At("--count", err)
		}
	}
	if opt.Grid, err = weave.NewGrid(count); err != nil {
		return opt, count, 0, fault.At("--count", err)
	}
	if opt.Alphabet, err = letters.Named(c.String("alphabet")); err != nil {
		return opt, count, 0, fault.At("--alphabet", err)
	}
	fine, err := profiles.PenNamed("fine-marker")
	return opt, count, float64(fine.Width), err
}

// letterOptions reads how the words are set.
func letterOptions(c *cli.Context, opt *letters.Options) error {
	height := c.String("height")
	if height == "" {
		return fault.Bad("--height", "give the height of the capitals, such as --height 9rows or --height 20mm", "how high the letters are is not said")
	}
	var err error
	if opt.Height, err = letters.RowsOf(height, opt.Grid); err == nil {
		err = opt.Alphabet.CheckHeight(opt.Height)
	}
	if err != nil {
		return fault.At("--height", err)
	}
	if opt.Align, err = letters.ParseAlign(c.String("align")); err != nil {
		return fault.At("--align", err)
	}
	opt.Spacing = c.Int("spacing")
	for _, name := range []string{"width", "arc", "height"} {
		if system, ok := paths.SystemOf(c.String(name)); ok {
			opt.Said = system
			break
		}
	}
	if text := c.String("arc"); text != "" {
		radius, err := paths.ParseRugLength(text, opt.Grid.Along)
		if err == nil && radius == 0 {
			err = fault.Bad("", "give the radius of the circle", "an arc of no radius is not possible")
		}
		if err != nil {
			return fault.At("--arc", err)
		}
		opt.Arc = float64(radius)
	}
	if text := c.String("width"); text != "" {
		room, err := paths.ParseRugLength(text, opt.Grid.Across)
		if err == nil && float64(room) < opt.Grid.Across {
			err = fault.Bad("", `give the room there is, such as "24in"`, "%s has no room for words", text)
		}
		if err != nil {
			return fault.At("--width", err)
		}
		opt.Most = int(math.Floor(float64(room)/opt.Grid.Across + 1e-9))
	}
	return nil
}

// writeSpecimen writes the sheet of an alphabet.
func writeSpecimen(c *cli.Context, s terminal.Streams, opt letters.Options, pen float64) error {
	if c.NArg() > 0 {
		return fault.Bad("--specimen", "leave out the words, or --specimen", "a specimen has words of its own")
	}
	d, err := letters.Specimen(opt.Alphabet, opt.Grid, pen)
	if err != nil {
		return err
	}
	if err := disk.Write(s.Path(c.String("out")), svg.Write(d)); err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(struct {
			Alphabet string   `json:"alphabet"`
			Files    []string `json:"files"`
		}{opt.Alphabet.Name(), []string{c.String("out")}})
	}
	fmt.Fprintf(s.Out, "written         %s\n", c.String("out"))
	return nil
}

// letterReport is the answer to --json. Places are counted in channels from the lower
// left corner of the words.
type letterReport struct {
	Alphabet     string           `json:"alphabet"`
	HeightRows   int              `json:"height_rows"`
	HeightMM     float64          `json:"height_mm"`
	Count        string           `json:"count"`
	SizeMM       [2]float64       `json:"size_mm"`
	SizeChannels [2]int           `json:"size_channels"`
	Strokes      int              `json:"strokes"`
	DrawMM       float64          `json:"draw_mm"`
	OnWeave      bool             `json:"on_weave"`
	Letters      []letterPlace    `json:"letters"`
	Straights    []letterStraight `json:"straights"`
	Notes        []string         `json:"notes"`
	Files        []string         `json:"files"`
}

type letterPlace struct {
	Text          string     `json:"text"`
	Line          int        `json:"line"`
	AtChannels    [2]float64 `json:"at_channels"`
	WidthChannels int        `json:"width_channels"`
	TurnDegrees   float64    `json:"turn_degrees"`
}

type letterStraight struct {
	Axis     string     `json:"axis"`
	Channel  int        `json:"channel"`
	Channels [2]float64 `json:"from_to_channels"`
}

func summarizeLetters(t letters.Text, opt letters.Options) letterReport {
	g := opt.Grid
	nx, ny := t.Max.Across-t.Min.Across, t.Max.Along-t.Min.Along
	r := letterReport{
		Alphabet: opt.Alphabet.Name(), HeightRows: opt.Height, HeightMM: float64(opt.Height) * g.Along,
		SizeMM:       [2]float64{nx * g.Across, ny * g.Along},
		SizeChannels: [2]int{int(nx), int(ny)}, Strokes: t.Lifts, DrawMM: paths.LengthOf(t.Strokes), OnWeave: t.OnWeave,
		Letters: []letterPlace{}, Straights: []letterStraight{}, Notes: append([]string{}, t.Notes...),
	}
	for _, l := range t.Letters {
		p := g.PlaceOf(l.Origin)
		r.Letters = append(r.Letters, letterPlace{
			l.Text, l.Line + 1, [2]float64{thousandths(p.Across - t.Min.Across), thousandths(p.Along - t.Min.Along)}, l.Width, thousandths(l.Turn * 180 / math.Pi),
		})
	}
	for _, st := range t.Straights {
		off, along := t.Min.Across, t.Min.Along
		if st.Axis == weave.Along {
			off, along = along, off
		}
		r.Straights = append(r.Straights, letterStraight{
			st.Axis.String(), st.Channel - int(off), [2]float64{thousandths(st.From - along), thousandths(st.To - along)},
		})
	}
	return r
}

// thousandths rounds to a thousandth.
func thousandths(v float64) float64 { return math.Round(v*1000) / 1000 }

func printLetters(s terminal.Streams, r letterReport) {
	p := func(format string, args ...any) { fmt.Fprintf(s.Out, format+"\n", args...) }
	p("letters         %s, %d rows high, %s", r.Alphabet, r.HeightRows, paths.Length(r.HeightMM).Both())
	p("for a count of  %s", r.Count)
	p("size            %s x %s, %d x %d channels", paths.Length(r.SizeMM[0]).Both(), paths.Length(r.SizeMM[1]).Both(), r.SizeChannels[0], r.SizeChannels[1])
	p("lines           %d strokes, %.2f m", r.Strokes, r.DrawMM/1000)
	if !r.OnWeave {
		p("look at         on an arc the letters are turned: they do not lie on the weave")
	}
	for _, n := range r.Notes {
		p("look at         %s", n)
	}
	for _, f := range r.Files {
		p("written         %s", f)
	}
}
