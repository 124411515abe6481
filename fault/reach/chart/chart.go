package chart

import (
	"fmt"
	"image/color"
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"

	"halfsplit/fault/reach"
)

// Endings are those of the files that Write can write.
var Endings = []string{".png", ".svg", ".pdf"}

// Ink and paper of a print.
var (
	paper = color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}
	ink   = color.NRGBA{0x1D, 0x22, 0x26, 0xFF}
	soft  = color.NRGBA{0x5C, 0x64, 0x68, 0xFF}
	hair  = color.NRGBA{0xDD, 0xD8, 0xCE, 0xFF}
)

// Size of the picture, and the room beside and below the drawing.
const (
	wide, high = 24 * vg.Centimeter, 14.5 * vg.Centimeter
	beside     = 5 * vg.Centimeter
	below      = 1.6 * vg.Centimeter
	above      = 54 * vg.Length(1)
	edge       = 10 * vg.Length(1)
	dpi        = 160
)

// Write draws an answer as a file with that ending.
func Write(out io.Writer, a reach.Answer, ending string) error {
	var c vg.CanvasWriterTo
	switch ending {
	case ".png":
		c = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(wide, high), vgimg.UseDPI(dpi), vgimg.UseBackgroundColor(paper))}
	case ".svg":
		c = vgsvg.New(wide, high)
	case ".pdf":
		c = vgpdf.New(wide, high)
	default:
		return fmt.Errorf("a picture is written as .png, .svg or .pdf, and not as %q", ending)
	}
	paint(draw.New(c), a)
	_, err := c.WriteTo(out)
	return err
}

func style(size float64, c color.Color) text.Style {
	return text.Style{Color: c, Font: font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)}, Handler: plot.DefaultTextHandler, YAlign: text.YCenter}
}

// paint draws the axes, the lines, their labels at right and the words below.
func paint(c draw.Canvas, a reach.Answer) {
	c.FillPolygon(paper, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}})
	p := axes(a)
	l := &lines{a: a, top: p.Y.Max}
	p.Add(l)
	room := draw.Crop(c, edge, -beside, below, -above)
	c.FillText(style(14, ink), vg.Point{X: c.Min.X + edge, Y: c.Max.Y - 18}, title(a))
	c.FillText(style(10, ink), vg.Point{X: c.Min.X + edge, Y: c.Max.Y - 40}, "half the width of the place, groups (log scale)")
	p.Draw(room)
	l.labels(c, p.DataCanvas(room), p)
	words := style(8.5, soft)
	y := c.Min.Y + below - 20
	for _, line := range wrap(a.Basis()+" Marks: the median; bars: from 5 to 95 % of the packs, to the frame where in some of them no place is named. Read with "+a.With()+".", words, c.Max.X-c.Min.X-2*edge) {
		c.FillText(words, vg.Point{X: c.Min.X + edge, Y: y}, line)
		y -= 12
	}
}

// title names the pack and the meter.
func title(a reach.Answer) string {
	name := a.Layout
	if name == "" {
		name = "this pack"
	}
	return fmt.Sprintf("How small a place on %s, with %s", name, a.Instrument.ID)
}

// axes are the empty plot with its scales.
func axes(a reach.Answer) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil
	low, top := span(a)
	p.X.Min, p.X.Max = a.Ohms[0]/1.35, a.Ohms[len(a.Ohms)-1]*1.35
	p.Y.Min, p.Y.Max = low, top
	p.X.Label.Text = "leak to chassis, ohms (log scale)" // that of y stands above its axis, to be read without turning the head
	for _, ax := range []*plot.Axis{&p.X, &p.Y} {
		ax.Scale, ax.Padding = plot.LogScale{}, 0
		ax.Label.TextStyle = style(10, ink)
		ax.Label.TextStyle.XAlign = text.XCenter
		ax.Tick.Label = style(9, ink)
		ax.Color, ax.Tick.Color = soft, soft
	}
	p.X.Label.TextStyle.YAlign = text.YTop
	p.X.Label.Padding = vg.Points(2)
	p.X.Tick.Label.XAlign, p.X.Tick.Label.YAlign = text.XCenter, text.YTop
	p.Y.Tick.Label.XAlign = text.XRight
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.ConstantTicks(decades(p.X.Min, p.X.Max, reach.Size)), plot.ConstantTicks(decades(low, top, number))
	return p
}

// span holds every width, at least a decade.
func span(a reach.Answer) (low, top float64) {
	low, top = math.Inf(1), 0
	for _, row := range a.Cells {
		for _, c := range row {
			for _, v := range []float64{c.Half.P5, c.Half.Median, c.Half.P95} {
				if v > 0 && !math.IsInf(v, 0) {
					low, top = math.Min(low, v), math.Max(top, v)
				}
			}
		}
	}
	if top == 0 { // no place is named anywhere
		return 0.1, 10
	}
	low, top = low/1.4, top*1.5
	if top < 10*low {
		top = 10 * low
	}
	return low, top
}

func number(v float64) string { return fmt.Sprintf("%g", v) }

// decades are the ticks of a log scale at 1, 2 and 5 of every decade, or at every
// decade alone where that would be many.
func decades(low, high float64, write func(float64) string) (out []plot.Tick) {
	steps := []float64{1, 2, 5}
	if high/low > 1e3 {
		steps = []float64{1, 3}
	}
	for d := math.Floor(math.Log10(low)); d <= math.Log10(high); d++ {
		for _, k := range steps {
			if v := k * math.Pow(10, d); v >= low && v <= high {
				out = append(out, plot.Tick{Value: v, Label: write(math.Round(v*1e6) / 1e6)})
			}
		}
	}
	return out
}

// wrap breaks words into lines of a width.
func wrap(s string, by text.Style, width vg.Length) (out []string) {
	line := ""
	for _, w := range fields(s) {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line != "" && by.Width(next) > width {
			out, line = append(out, line), w
			continue
		}
		line = next
	}
	return append(out, line)
}
