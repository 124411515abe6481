package chart_test

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/reach"
	"halfsplit/fault/reach/chart"
)

// answer has three states: one that grows with the leak, one that stays, and one
// that names no place for the softest leak.
func answer() reach.Answer {
	a := reach.Answer{Layout: "Estate", Modules: 12, Groups: 96, Strings: 1, Instrument: fault.Instrument{ID: "dmm"}, Trials: 20, Seed: 4, Ohms: []float64{1e3, 100e3, 5e6},
		States: []reach.State{{Name: "unbroken"}, {Name: "SD open", Open: []string{"SD"}, Least: 1, Most: 1}, {Name: "SD open, then L03 or L09", Open: []string{"SD"}, Choice: []string{"L03", "L09"}, Least: 6, Most: 9}}}
	cell := func(low, mid, high float64) reach.Cell {
		return reach.Cell{Trials: 20, Named: 20, Half: reach.Quantiles{P5: low, Median: mid, P90: high, P95: high}}
	}
	a.Cells = [][]reach.Cell{{cell(0.9, 1, 1.1), cell(0.9, 1.2, 2), cell(2, 8, 11)}, {cell(0.9, 1, 1), cell(0.9, 1, 1), cell(0.9, 1, 1)},
		{cell(0.5, 0.9, 1), cell(0.5, 0.9, math.Inf(1)), cell(math.Inf(1), math.Inf(1), math.Inf(1))}}
	return a
}

func write(t *testing.T, a reach.Answer, ending string) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := chart.Write(&out, a, ending); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestWrite_EveryEnding(t *testing.T) {
	for ending, head := range map[string]string{".png": "\x89PNG", ".svg": "<?xml", ".pdf": "%PDF"} {
		if data := write(t, answer(), ending); !bytes.HasPrefix(data, []byte(head)) || len(data) < 2000 {
			t.Errorf("%s begins with %q and has %d bytes", ending, data[:8], len(data))
		}
	}
	var out bytes.Buffer
	if err := chart.Write(&out, answer(), ".gif"); err == nil || out.Len() > 0 {
		t.Errorf("a .gif: %v, %d bytes", err, out.Len())
	}
}

// words are the texts of a picture.
func words(t *testing.T, svg []byte) string {
	t.Helper()
	var out strings.Builder
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return strings.ReplaceAll(out.String(), fault.ThinSpace, " ")
		}
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := tok.(xml.CharData); ok {
			out.WriteString(strings.TrimSpace(string(s)) + "\n")
		}
	}
}

func TestWrite_SaysWhatItIs(t *testing.T) {
	got := words(t, write(t, answer(), ".svg"))
	for _, want := range []string{"How small a place on Estate, with dmm", "leak to chassis, ohms", "groups (log scale)", "unbroken", "SD open", "1 min", "SD open, then L03 or L09", "6 to 9 min", "100 kΩ", "1 MΩ", "Expected, not", "seed 4"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	none := answer()
	for s := range none.Cells {
		for k := range none.Cells[s] {
			none.Cells[s][k].Half = reach.Quantiles{P5: math.Inf(1), Median: math.Inf(1), P90: math.Inf(1), P95: math.Inf(1)}
		}
	}
	if got := words(t, write(t, none, ".svg")); !strings.Contains(got, "unbroken") {
		t.Errorf("a pack without a place anywhere:\n%s", got)
	}
}

// The states are told apart without colour: each leaves other pixels dark than any
// other, in grey.
func TestWrite_StatesDifferInGrey(t *testing.T) {
	var pictures []*image.Gray
	for s := range answer().States {
		a := answer()
		a.States, a.Cells = a.States[:1], [][]reach.Cell{a.Cells[1]}
		for len(a.States) <= s { // the same figures, drawn as the state number s
			a.States = append(a.States, a.States[0])
			a.Cells = append(a.Cells, a.Cells[0])
		}
		for k := range a.Cells[:s] {
			a.Cells[k] = make([]reach.Cell, 3)
			for i := range a.Cells[k] {
				a.Cells[k][i].Half = reach.Quantiles{P5: math.Inf(1), Median: math.Inf(1), P90: math.Inf(1), P95: math.Inf(1)}
			}
		}
		img, err := png.Decode(bytes.NewReader(write(t, a, ".png")))
		if err != nil {
			t.Fatal(err)
		}
		g := image.NewGray(img.Bounds())
		for y := range g.Bounds().Dy() {
			for x := range g.Bounds().Dx() {
				g.Set(x, y, img.At(x, y))
			}
		}
		pictures = append(pictures, g)
	}
	for i := range pictures {
		for j := range i {
			n := 0
			for k := range pictures[i].Pix {
				if d := int(pictures[i].Pix[k]) - int(pictures[j].Pix[k]); d > 60 || d < -60 {
					n++
				}
			}
			if n < 500 {
				t.Errorf("states %d and %d differ in %d pixels", i, j, n)
			}
		}
	}
}
