package picture_test

import (
	"bytes"
	"compress/zlib"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/topology"
	"halfsplit/ui/casefile"
	"halfsplit/ui/golden"
	"halfsplit/ui/picture"
)

const kept = "../../testdata/golden"

// two is a pack of two modules, 400 × 200 mm each, 500 mm apart.
func two() topology.Layout {
	return topology.Layout{Name: "Two", SeenFrom: "above", Front: "up", Stacks: []topology.Stack{{ID: "S1"}, {ID: "S2", Tier: 1}},
		Modules: []topology.Module{
			{ID: "M01", Stack: "S1", Series: 4, Parallel: 1, W: 400, H: 200, Minus: "left"},
			{ID: "M02", Stack: "S2", Series: 4, Parallel: 1, Y: 500, W: 400, H: 200, Minus: "left"},
		},
		Links: []topology.Link{{ID: "L1", Kind: topology.Busbar, From: "M01+", To: "M02-"}}}
}

func demo(t *testing.T) topology.Layout {
	t.Helper()
	c, err := casefile.Demo()
	if err != nil {
		t.Fatal(err)
	}
	return c.Layout
}

func sheet(t *testing.T, l topology.Layout, o picture.Options) *picture.Sheet {
	t.Helper()
	s, err := picture.New(l, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// content is a PDF as written, and what draws its page.
func content(t *testing.T, s *picture.Sheet) (file, page string) {
	t.Helper()
	var b bytes.Buffer
	if err := s.WritePDF(&b); err != nil {
		t.Fatal(err)
	}
	file = b.String()
	for _, m := range regexp.MustCompile(`(?s)stream\n(.*?)\nendstream`).FindAllStringSubmatch(file, -1) {
		z, err := zlib.NewReader(strings.NewReader(m[1]))
		if err != nil {
			continue
		}
		if data, err := io.ReadAll(z); err == nil && bytes.Contains(data, []byte(" Tf")) {
			return file, string(data)
		}
	}
	t.Fatal("the PDF has no page")
	return "", ""
}

// A shape of a PDF's page: its upright size in mm.
type extent struct{ x, y, w, h float64 }

// shapes are the closed paths of a page.
func shapes(page string) (out []extent) {
	const mm = 25.4 / 72
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for l := range strings.Lines(page) {
		f := strings.Fields(l)
		if n := len(f); n == 3 && (f[2] == "m" || f[2] == "l") {
			if f[2] == "m" {
				minX, minY, maxX, maxY = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
			}
			x, _ := strconv.ParseFloat(f[0], 64)
			y, _ := strconv.ParseFloat(f[1], 64)
			minX, maxX, minY, maxY = math.Min(minX, x*mm), math.Max(maxX, x*mm), math.Min(minY, y*mm), math.Max(maxY, y*mm)
		} else if n == 1 && f[0] == "h" {
			out = append(out, extent{minX, minY, maxX - minX, maxY - minY})
		}
	}
	return out
}

func near(a, b float64) bool { return math.Abs(a-b) < 0.03 }

func TestPDF_IsToScale(t *testing.T) {
	for _, scale := range []int{5, 10, 20} {
		_, page := content(t, sheet(t, two(), picture.Options{Scale: scale}))
		modules, bar := 0, 0.0
		for _, s := range shapes(page) {
			if near(s.w, 400/float64(scale)) && near(s.h, 200/float64(scale)) {
				modules++
			}
			if near(s.w, 10) && near(s.h, 2) {
				bar += s.w
			}
		}
		if modules < 2 {
			t.Errorf("1:%d: %d outlines are 400 × 200 mm to scale, and two modules are", scale, modules)
		}
		if !near(bar/50, 1) {
			t.Errorf("1:%d: the bar is %.2f mm long on paper", scale, bar)
		}
	}
}

func TestPDF_PageIsThePaper(t *testing.T) {
	for _, c := range []struct {
		o    picture.Options
		want string
	}{
		{picture.Options{}, "[0 0 595.28 841.89]"},
		{picture.Options{Paper: "a3", Scale: 10}, "[0 0 1190.55 841.89]"},
		{picture.Options{Paper: "letter", Scale: 10}, "[0 0 792.00 612.00]"},
		{picture.Options{Paper: "tabloid", Scale: 10}, "[0 0 1224.00 792.00]"},
	} {
		file, _ := content(t, sheet(t, two(), c.o))
		if !strings.Contains(file, "/MediaBox "+c.want) {
			t.Errorf("%+v: %s, want %s", c.o, regexp.MustCompile(`/MediaBox [^\]]*]`).FindString(file), c.want)
		}
	}
}

func TestPDF_SameSheetGivesTheSameBytes(t *testing.T) {
	a, _ := content(t, sheet(t, demo(t), picture.Options{}))
	b, _ := content(t, sheet(t, demo(t), picture.Options{}))
	if a != b {
		t.Error("two files of one sheet differ")
	}
}

func TestNew_ChoosesScaleAndPaper(t *testing.T) {
	for _, c := range []struct {
		grow  float64
		o     picture.Options
		scale int
		paper string
	}{
		{1, picture.Options{}, 5, "A4, upright"},
		{0.1, picture.Options{}, 1, "A4, lying"},
		{10, picture.Options{}, 50, "A4, upright"},
		{2, picture.Options{Scale: 5}, 5, "A3, upright"},
		{1, picture.Options{Scale: 8}, 8, "A4, lying"},
	} {
		l := two()
		for i := range l.Modules {
			m := &l.Modules[i]
			m.Y, m.W, m.H = m.Y*c.grow, m.W*c.grow, m.H*c.grow
		}
		if s := sheet(t, l, c.o); s.Scale != c.scale || s.Paper != c.paper {
			t.Errorf("%g times: 1:%d on %s, want 1:%d on %s", c.grow, s.Scale, s.Paper, c.scale, c.paper)
		}
	}
}

func TestNew_TakesTheLargerPaperWhereModulesAreSmall(t *testing.T) {
	l := two()
	for i := range l.Modules {
		m := &l.Modules[i]
		m.X, m.Y, m.W, m.H = 6000*float64(i), 0, 320, 150
	}
	if s := sheet(t, l, picture.Options{}); s.Scale != 20 || s.Paper != "A3, lying" {
		t.Errorf("1:%d on %s", s.Scale, s.Paper)
	}
	if s := sheet(t, l, picture.Options{Paper: "a4"}); s.Scale != 50 || s.Paper != "A4, lying" {
		t.Errorf("1:%d on %s", s.Scale, s.Paper)
	}
}

func TestNew_SaysWhatCannotBeDrawn(t *testing.T) {
	three := 3
	for want, c := range map[string]struct {
		l topology.Layout
		o picture.Options
	}{
		"does not fit on the paper; the largest scale that fits is 1:": {two(), picture.Options{Scale: 1}},
		"has no modules":           {topology.Layout{}, picture.Options{}},
		"no stack on tier 3":       {two(), picture.Options{Tier: &three}},
		"the paper is one of a4, ": {two(), picture.Options{Paper: "a9"}},
	} {
		if _, err := picture.New(c.l, c.o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestPNG_OutlinesLieWhereTheyShould(t *testing.T) {
	s := sheet(t, two(), picture.Options{Scale: 10})
	img, err := s.Image(254) // ten pixels to the mm: one to each mm of the pack
	if err != nil {
		t.Fatal(err)
	}
	if got := img.Rect.Size(); got.X != int(s.W*10) || got.Y != int(s.H*10) {
		t.Fatalf("%v for a page of %g × %g mm", got, s.W, s.H)
	}
	_, page := content(t, s)
	seen := 0
	for _, e := range shapes(page) {
		if !near(e.w, 40) || !near(e.h, 20) {
			continue
		}
		seen++
		top := s.H - e.y - e.h
		for _, at := range [][2]float64{{e.x, top + 4}, {e.x + 40, top + 4}, {e.x + 4, top}, {e.x + 4, top + 20}} {
			if g := img.RGBAAt(int(at[0]*10), int(at[1]*10)); g.R > 0x90 {
				t.Errorf("no outline at %.1f, %.1f mm: %v", at[0], at[1], g)
			}
		}
		if g := img.RGBAAt(int((e.x+36)*10), int((top+2)*10)); g != (color.RGBA{255, 255, 255, 255}) {
			t.Errorf("a module is not empty inside: %v", g)
		}
	}
	if seen < 2 {
		t.Fatalf("%d outlines", seen)
	}
}

func TestPNG_OfAGivenWidth(t *testing.T) {
	s := sheet(t, two(), picture.Options{})
	img, err := s.Image(s.DPI(1000))
	if err != nil || img.Rect.Dx() != 1000 {
		t.Errorf("%v, %v", img.Rect, err)
	}
	if _, err := s.Image(1e6); err == nil {
		t.Error("a picture of millions of pixels a side was drawn")
	}
}

// coloured are the pixels whose channels differ.
func coloured(img *image.RGBA) (n int) {
	for i := 0; i+3 < len(img.Pix); i += 4 {
		if img.Pix[i] != img.Pix[i+1] || img.Pix[i+1] != img.Pix[i+2] {
			n++
		}
	}
	return n
}

func TestGrey_HoldsNoColour(t *testing.T) {
	for _, grey := range []bool{true, false} {
		s := sheet(t, demo(t), picture.Options{Grey: grey, Demo: true})
		img, err := s.Image(100)
		if err != nil {
			t.Fatal(err)
		}
		if n := coloured(img); (n == 0) != grey {
			t.Errorf("grey %v: %d coloured pixels", grey, n)
		}
		_, page := content(t, s)
		inks := 0
		for _, m := range regexp.MustCompile(`([\d.]+) ([\d.]+) ([\d.]+) (rg|RG)\b`).FindAllStringSubmatch(page, -1) {
			if m[1] != m[2] || m[2] != m[3] {
				inks++
			}
		}
		if (inks == 0) != grey {
			t.Errorf("grey %v: %d coloured inks", grey, inks)
		}
	}
}

func TestPictures(t *testing.T) {
	head := fault.Head{Seq: 412, Hash: strings.Repeat("9f3a07c1b2d4e6f8", 4)}
	o := picture.Options{Demo: true, Version: 3, Date: time.Date(2026, 3, 5, 14, 7, 0, 0, time.UTC), Head: head}
	for name, set := range map[string]func(*picture.Options){
		"picture-colour.png": func(*picture.Options) {},
		"picture-grey.png":   func(o *picture.Options) { o.Grey, o.Below = true, true },
	} {
		o := o
		set(&o)
		img, err := sheet(t, demo(t), o).Image(110)
		if err != nil {
			t.Fatal(err)
		}
		golden.Picture(t, filepath.Join(kept, name), img)
	}
}

func TestCommand(t *testing.T) {
	dir := t.TempDir()
	data, err := format.WriteLayout(two())
	if err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(dir, "two.json")
	bad := filepath.Join(dir, "bad.json")
	if os.WriteFile(in, data, 0o600) != nil || os.WriteFile(bad, []byte(`{"format":"halfsplit-layout/1"`), 0o600) != nil {
		t.Fatal("cannot write")
	}
	out := filepath.Join(dir, "out.png")
	for _, c := range []struct{ args, want string }{
		{"", "usage: halfsplit picture"},
		{in + " " + filepath.Join(dir, "out.gif"), "ends in .png or .pdf"},
		{"-scale 0 " + in + " " + out, "-scale is a whole number"},
		{"-tier 7 " + in + " " + out, in + ": the layout has no stack on tier 7"},
		{"-scale 1 " + in + " " + out, in + ": at 1:1 the pack does not fit"},
		{"-what " + in + " " + out, `unknown option "-what"`},
		{bad + " " + out, bad},
		{filepath.Join(dir, "none.json") + " " + out, "none.json"},
		{in + " " + filepath.Join(dir, "no", "out.pdf"), "cannot be written"},
	} {
		var said, wrong bytes.Buffer
		if code := picture.Command(strings.Fields(c.args), time.Time{}, &said, &wrong); code != 2 || said.Len() > 0 {
			t.Errorf("%q: exit %d, %q", c.args, code, said.String())
		}
		if w := wrong.String(); strings.Count(w, "\n") != 1 || !strings.Contains(w, c.want) {
			t.Errorf("%q: %q, want one line with %q", c.args, w, c.want)
		}
		if _, err := os.Stat(out); err == nil {
			t.Fatalf("%q left a file", c.args)
		}
	}
	var said, wrong bytes.Buffer
	if code := picture.Command(strings.Fields("-bw -seen below -tier 1 -scale 20 -paper letter -dpi 100 "+in+" "+out), time.Time{}, &said, &wrong); code != 0 {
		t.Fatalf("exit %d: %s", code, wrong.String())
	}
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c, err := png.DecodeConfig(f)
	if err != nil || c.Width != 1100 && c.Width != 850 {
		t.Errorf("%d pixels wide, %v", c.Width, err)
	}
	if !strings.Contains(said.String(), "1:20, Letter") {
		t.Errorf("said %q", said.String())
	}
}

// The freehand lines are on the page where they are asked for, those of the tier that is
// shown, mirrored with the drawing; a line far out makes the page take it in.
func TestNew_TheSketchIsDrawnWhereItIsWanted(t *testing.T) {
	l := two()
	l.Sketch = []topology.Stroke{{Points: [][2]float64{{-300, 20}, {-250, 40}}}, {Tier: 7, Points: [][2]float64{{10, 10}, {90, 90}}}}
	_, without := content(t, sheet(t, l, picture.Options{Scale: 10}))
	_, with := content(t, sheet(t, l, picture.Options{Scale: 10, Sketch: true}))
	if strings.Count(with, " l") <= strings.Count(without, " l") {
		t.Errorf("lines with the sketch: %d, without: %d", strings.Count(with, " l"), strings.Count(without, " l"))
	}
	tier := 0
	_, alone := content(t, sheet(t, l, picture.Options{Scale: 10, Sketch: true, Tier: &tier}))
	_, both := content(t, sheet(t, l, picture.Options{Scale: 10, Sketch: true}))
	if strings.Count(alone, " l") >= strings.Count(both, " l") {
		t.Error("a line of another tier is drawn where one tier is alone")
	}
	a, b := sheet(t, l, picture.Options{Scale: 10, Sketch: true}), sheet(t, l, picture.Options{Scale: 10, Sketch: true, Below: true})
	if _, x := content(t, a); x == func() string { _, y := content(t, b); return y }() {
		t.Error("from the other side the page is the same")
	}
}
