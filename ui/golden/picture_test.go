package golden_test

import (
	"image"
	"image/color"
	"testing"

	"halfsplit/ui/golden"
)

func TestDiffering_CountsWhatCanBeSeen(t *testing.T) {
	paint := func(wide int, shade uint8, n int) image.Image {
		m := image.NewNRGBA(image.Rect(0, 0, wide, 20))
		for y := range 20 {
			for x := range wide {
				c := color.NRGBA{200, 200, 200, 255}
				if y*wide+x < n {
					c.G = shade
				}
				m.SetNRGBA(x, y, c)
			}
		}
		return m
	}
	plain := paint(30, 200, 0)
	for name, c := range map[string]struct {
		other image.Image
		count int
		same  bool
	}{
		"itself":              {plain, 0, true},
		"a little darker":     {paint(30, 180, 600), 0, true},
		"a few pixels":        {paint(30, 100, 12), 12, true},
		"as many as a letter": {paint(30, 100, 40), 40, false},
		"another size":        {paint(31, 200, 0), 1220, false},
	} {
		t.Run(name, func(t *testing.T) {
			if n := golden.Differing(plain, c.other); n != c.count || golden.Same(plain, c.other) != c.same {
				t.Errorf("%d differ, the same: %v", n, golden.Same(plain, c.other))
			}
		})
	}
}
