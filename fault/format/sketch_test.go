package format_test

import (
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

// scribble is a layout with so many strokes of so many points each.
func scribble(strokes, points int) topology.Layout {
	l := topology.Layout{Modules: []topology.Module{{ID: "M", Series: 1, Parallel: 1}}}
	for i := range strokes {
		s := topology.Stroke{Tier: i % 3}
		for k := range points {
			s.Points = append(s.Points, [2]float64{float64(i) + 0.25, float64(k)})
		}
		l.Sketch = append(l.Sketch, s)
	}
	return l
}

// A sketch is kept up to its limits and refused beyond them, with what is too many.
func TestReadLayout_SketchLimits(t *testing.T) {
	for name, tt := range map[string]struct {
		layout topology.Layout
		want   string
	}{
		"as many points as are kept":  {scribble(2, format.MaxSketchPoints/2), ""},
		"as many strokes as are kept": {scribble(format.MaxStrokes, 3), ""},
		"one stroke more":             {scribble(format.MaxStrokes+1, 1), "the sketch has 2001 strokes, and 2000 at most are kept"},
		"one point more":              {scribble(3, format.MaxSketchPoints/3+1), "sketch[2].points[66666]"},
		"a stroke without a point":    {scribble(1, 0), "sketch[0].points"},
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := format.WriteLayout(tt.layout)
			if err != nil {
				t.Fatal(err)
			}
			l, _, err := format.ReadLayout("x", raw)
			if _, _, kept := format.KeepLayout(tt.layout); (kept == nil) != (err == nil) {
				t.Errorf("read with %v, kept with %v", err, kept)
			}
			if tt.want != "" {
				if err == nil || !strings.Contains(err.Error(), tt.want) {
					t.Errorf("got %v, want %q", err, tt.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(tt.layout, l) { // cmp takes seconds to compare so many points
				t.Error("the sketch is not read back as it was written")
			}
		})
	}
}

// A photo of which little is said lies unturned and opaque, and can be moved.
func TestReadLayout_UnderlayAtItsLeast(t *testing.T) {
	hash := strings.Repeat("ab", 32)
	l, notes, err := format.ReadLayout("x", []byte(`{"format": "halfsplit-layout/1", "modules": [],
		"underlays": [{"id": "u", "photo": "`+hash+`", "corners": [[0, 0], [4, 0], [4, 3], [0, 3]], "w": 8, "h": 6, "opacity": null}]}`))
	if err != nil || len(notes) > 0 {
		t.Fatalf("%v %v", err, notes)
	}
	want := []topology.Underlay{{ID: "u", Photo: hash, Corners: [4][2]float64{{0, 0}, {4, 0}, {4, 3}, {0, 3}}, W: 8, H: 6, Opacity: 1}}
	if d := cmp.Diff(want, l.Underlays); d != "" {
		t.Error(d)
	}
}
