package locate

import (
	"flag"
	"fmt"
	"image/color"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	paint "gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// diagram is where the calibration test draws its reliability diagram.
var diagram = flag.String("diagram", "", "file that the reliability diagram is drawn to, .png or .svg")

// Ink and paper of the diagram: greys alone, so that a print shows it as it is.
var (
	diagramPaper = color.Gray{Y: 0xFF}
	diagramInk   = color.Gray{Y: 0x20}
	diagramSoft  = color.Gray{Y: 0x60}
	diagramHair  = color.Gray{Y: 0xC8}
)

const diagramWide, diagramHigh = 15 * vg.Centimeter, 16.5 * vg.Centimeter

// drawReliability draws stated shares against how often they were so: a mark for each
// bin with its 95 % binomial bar, mixtures told apart by mark, shade and legend.
func drawReliability(file string, shown []reliability) error {
	var c vg.CanvasWriterTo
	switch filepath.Ext(file) {
	case ".png":
		c = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(diagramWide, diagramHigh), vgimg.UseDPI(150), vgimg.UseBackgroundColor(diagramPaper))}
	case ".svg":
		c = vgsvg.New(diagramWide, diagramHigh)
	default:
		return fmt.Errorf("a diagram is drawn as .png or .svg, not as %q", file)
	}
	paintReliability(paint.New(c), shown)
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	if _, err := c.WriteTo(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

func diagramStyle(size float64, c color.Color, x text.XAlignment) text.Style {
	return text.Style{Color: c, Font: font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)}, Handler: plot.DefaultTextHandler, XAlign: x, YAlign: text.YCenter}
}

func paintReliability(c paint.Canvas, shown []reliability) {
	c.FillPolygon(diagramPaper, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}})
	const edge = 12 * vg.Length(1)
	c.FillText(diagramStyle(13, diagramInk, text.XLeft), vg.Point{X: edge, Y: c.Max.Y - 18}, "Is a share how often it is so?")
	y := c.Max.Y - 42
	for i, r := range shown {
		n := 0
		for _, b := range r.bins {
			n += b.n
		}
		mark(c, i, vg.Point{X: edge + 6, Y: y})
		c.FillText(diagramStyle(9.5, diagramInk, text.XLeft), vg.Point{X: edge + 18, Y: y},
			fmt.Sprintf("%s: %s packs, %s shares, calibration error %.3f", r.name, thousands(r.packs), thousands(n), calibrationError(r.bins)))
		y -= 16
	}
	c.FillText(diagramStyle(9.5, diagramSoft, text.XLeft), vg.Point{X: edge, Y: y - 6}, "how often the place had to come out, ten bins of equal mass, bars: 95 % binomial")
	p := diagramAxes()
	p.Add(&reliabilityMarks{shown})
	p.Draw(paint.Crop(c, edge, -edge, 2*edge, y-20-c.Max.Y))
}

func thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s,%03d", thousands(n/1000), n%1000)
}

func diagramAxes() *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1, 0, 1
	p.X.Label.Text = "share that the finding states (mean of the bin)"
	var ticks []plot.Tick
	for i := 0; i <= 10; i += 2 {
		ticks = append(ticks, plot.Tick{Value: float64(i) / 10, Label: fmt.Sprintf("%.1f", float64(i)/10)})
	}
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Padding, a.Color, a.Tick.Color = 0, diagramSoft, diagramSoft
		a.Tick.Marker = plot.ConstantTicks(ticks)
		a.Label.TextStyle = diagramStyle(10, diagramInk, text.XCenter)
		a.Tick.Label = diagramStyle(9, diagramInk, text.XCenter)
	}
	p.X.Label.TextStyle.YAlign, p.X.Tick.Label.YAlign = text.YTop, text.YTop
	p.Y.Tick.Label.XAlign = text.XRight
	return p
}

// reliabilityMarks draws the line on which stated and observed agree, and the bins.
type reliabilityMarks struct{ shown []reliability }

// Plot implements plot.Plotter.
func (m *reliabilityMarks) Plot(c paint.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	at := func(a, b float64) vg.Point { return vg.Point{X: x(a), Y: y(b)} }
	thin := paint.LineStyle{Color: diagramHair, Width: vg.Points(0.5)}
	for i := 2; i <= 10; i += 2 {
		v := float64(i) / 10
		c.StrokeLines(thin, []vg.Point{at(0, v), at(1, v)}, []vg.Point{at(v, 0), at(v, 1)})
	}
	c.StrokeLines(paint.LineStyle{Color: diagramSoft, Width: vg.Points(1), Dashes: []vg.Length{4, 3}}, []vg.Point{at(0, 0), at(1, 1)})
	c.FillText(diagramStyle(9, diagramSoft, text.XLeft), at(0.05, 0.92), "more often than stated")
	c.FillText(diagramStyle(9, diagramSoft, text.XRight), at(0.95, 0.08), "less often than stated")
	for i, r := range m.shown {
		pen := paint.LineStyle{Color: shade(i), Width: vg.Points(1.4 - 0.4*float64(i))}
		for _, b := range r.bins {
			aside := vg.Length(5*i) - 2.5 // so that neither mixture hides the other
			low, high := at(b.stated, b.least), at(b.stated, b.most)
			low.X, high.X = low.X+aside, high.X+aside
			const cap = vg.Length(3)
			c.StrokeLines(pen, []vg.Point{low, high},
				[]vg.Point{{X: low.X - cap, Y: low.Y}, {X: low.X + cap, Y: low.Y}}, []vg.Point{{X: high.X - cap, Y: high.Y}, {X: high.X + cap, Y: high.Y}})
			mark(c, i, vg.Point{X: low.X, Y: y(b.observed)})
		}
	}
}

func shade(i int) color.Color {
	if i == 0 {
		return diagramInk
	}
	return color.Gray{Y: 0x78}
}

// mark is a full disc for the first mixture, an open square for the second.
func mark(c paint.Canvas, i int, at vg.Point) {
	if i == 0 {
		c.DrawGlyph(paint.GlyphStyle{Color: shade(i), Radius: vg.Points(3.2), Shape: paint.CircleGlyph{}}, at)
		return
	}
	const r = 3.4
	square := []vg.Point{{X: at.X - r, Y: at.Y - r}, {X: at.X + r, Y: at.Y - r}, {X: at.X + r, Y: at.Y + r}, {X: at.X - r, Y: at.Y + r}}
	c.FillPolygon(diagramPaper, square)
	c.StrokeLines(paint.LineStyle{Color: shade(i), Width: vg.Points(1.2)}, append(square, square[0], square[1]))
}

// TestDiagram draws ten invented bins of each mixture, as a file of either kind.
func TestDiagram(t *testing.T) {
	var shown []reliability
	for i := range 2 {
		r := reliability{name: []string{"the stated mix of faults", "two leaks and wet runs doubled"}[i], packs: 100}
		for k := range 10 {
			b := bin{n: 100, hits: 7 + 9*k + i, stated: 0.06 + 0.09*float64(k)}
			b.observed = float64(b.hits) / 100
			b.least, b.most = binomial95(b.hits, b.n)
			r.bins = append(r.bins, b)
		}
		shown = append(shown, r)
	}
	for _, ending := range []string{".png", ".svg"} {
		file := filepath.Join(t.TempDir(), "reliability"+ending)
		if err := drawReliability(file, shown); err != nil {
			t.Fatal(err)
		}
		if s, err := os.Stat(file); err != nil || s.Size() < 5000 {
			t.Errorf("%s: %v, %v", ending, s, err)
		}
	}
	if err := drawReliability(filepath.Join(t.TempDir(), "reliability.doc"), shown); err == nil {
		t.Error("a diagram of any ending is drawn")
	}
}
