package drafting

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/easel"
	"halfsplit/ui/golden"
	"halfsplit/ui/theme"
)

// kept is where the pictures are.
const kept = "../../testdata/golden"

// photographed is a picture of four bright rectangles on dark ground.
func photographed(t *testing.T) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 320, 240))
	for y := range 240 {
		for x := range 320 {
			m.SetGray(x, y, color.Gray{Y: 70})
			if x%80 > 6 && x%80 < 74 && y > 30 && y < 210 {
				m.SetGray(x, y, color.Gray{Y: 200})
			}
		}
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, m); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// twoTiers is a row of four joined modules, the right two a tier higher in a stack that
// is turned a little.
func twoTiers(t *testing.T) topology.Layout {
	t.Helper()
	l := rowOf(t, 4)
	l.Front = "up"
	var err error
	step := func(f func(topology.Layout) (topology.Layout, error)) {
		if err == nil {
			l, err = f(l)
		}
	}
	for _, k := range [][2]string{{"M01+", "M02-"}, {"M02+", "M03-"}} {
		step(func(l topology.Layout) (topology.Layout, error) {
			l, _, err := edit.Link(l, k[0], k[1], topology.Busbar)
			return l, err
		})
	}
	stack := ""
	step(func(l topology.Layout) (_ topology.Layout, err error) {
		l, stack, err = edit.NewStack(l, edit.Selection{"M03", "M04"}, false)
		return l, err
	})
	step(func(l topology.Layout) (topology.Layout, error) { return edit.SetTier(l, edit.Selection{stack}, 1) })
	step(func(l topology.Layout) (topology.Layout, error) { return edit.Rotate(l, edit.Selection{stack}, 8) })
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// laid lays the photograph below the drawing.
func (b *bench) laid() {
	b.t.Helper()
	data := photographed(b.t)
	sha, err := b.st.AddPhoto("open.png", data)
	if err == nil {
		var l topology.Layout
		if l, _, err = edit.AddUnderlay(b.st.Layout(), sha, "open.png", 320, 240, 0); err == nil {
			err = b.st.Save(l, "a photo below")
		}
	}
	if err != nil {
		b.t.Fatal(err)
	}
	b.draft.Set(b.st.Layout())
	b.again()
}

// tables are the pictures of the drawing that are kept, each with a change that it must
// show.
var tables = map[string]struct {
	variant theme.Variant
	do      func(b *bench)
	changed func(b *bench)
}{
	"table-several-photo": {theme.Light, func(b *bench) {
		b.laid()
		b.draft.Choose("M01", false)
		b.draft.Choose("M02", true)
		b.draft.Choose("M04", true)
	}, func(b *bench) { b.draft.Choose("M04", true) }},
	"table-other-side": {theme.Dark, func(b *bench) { b.draft.Flip() }, func(b *bench) { b.draft.Flip() }},
	"table-linking": {theme.Contrast, func(b *bench) {
		b.take(Linking)
		b.pressNode("M03+")
	}, func(b *bench) { b.draft.StepNode(1) }},
}

func drawTable(t *testing.T, variant theme.Variant, do ...func(*bench)) image.Image {
	t.Helper()
	b := newBench(t, twoTiers(t), fyne.NewSize(1280, 740))
	fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: variant})
	for _, f := range do {
		f(b)
	}
	b.again()
	w := test.NewTempWindow(t, nil)
	p := easel.NewPane(subject{b.View})
	w.SetPadded(false)
	w.SetContent(p)
	w.Resize(fyne.NewSize(772, 434))
	return w.Canvas().Capture()
}

func TestTablePictures(t *testing.T) {
	for name, p := range tables {
		t.Run(name, func(t *testing.T) {
			golden.Picture(t, filepath.Join(kept, name+".png"), drawTable(t, p.variant, p.do))
		})
	}
}

// A picture that stayed the same when the drawing changes would keep nothing.
func TestTablePictures_showChanges(t *testing.T) {
	for name, p := range tables {
		t.Run(name, func(t *testing.T) {
			before, after := drawTable(t, p.variant, p.do), drawTable(t, p.variant, p.do, p.changed)
			if golden.Same(before, after) {
				t.Errorf("only %d pixels differ", golden.Differing(before, after))
			}
			if n := golden.Differing(before, drawTable(t, p.variant, p.do)); n != 0 {
				t.Errorf("drawn twice %d pixels differ", n)
			}
		})
	}
}
