package header_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/header"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

func pack(edit func(*fault.Case)) *facts.Pack {
	c, f := sample.Case(), sample.Finding()
	if edit != nil {
		edit(&c)
	}
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

func words(l *scene.List, role theme.Role) string {
	var out []string
	for _, s := range l.Shapes {
		if s.Kind == scene.Label && (role == theme.None || s.Fill.Role == role) {
			out = append(out, s.Text)
		}
	}
	return strings.ReplaceAll(strings.Join(out, " "), "\u2009", " ")
}

func TestStrip_Golden(t *testing.T) {
	for name, w := range map[string]float64{"wide": 1280, "narrow": 600} {
		l, _ := header.Strip(pack(nil), true, false, w, golden.Mono)
		golden.Text(t, name+".txt", l.Dump(scene.View{ScaleX: 1, ScaleY: 1}))
	}
}

// LIVE is never shortened, at any width, and it alone is red.
func TestStrip_LiveStandsWholeAndAloneInRed(t *testing.T) {
	p := pack(nil)
	want := strings.ReplaceAll(p.LiveLine(), "\u2009", " ")
	for _, w := range []float64{320, 600, 900, 1024, 1280, 1920} {
		l, high := header.Strip(p, true, false, w, golden.Mono)
		if got := words(l, theme.Live); got != want {
			t.Errorf("at %g red says %q, want %q", w, got, want)
		}
		if low, less := header.Strip(p, true, true, w, golden.Mono); words(low, theme.Live) != want || less > high {
			t.Errorf("in a low window at %g red says %q, %g high of %g", w, words(low, theme.Live), less, high)
		}
		for _, s := range l.Shapes {
			if s.Kind == scene.Label && s.Points[0].World.Y() > high {
				t.Errorf("at %g %q lies below the strip", w, s.Text)
			}
		}
	}
}

func TestStrip_LongFindingEndsWithAnEllipsis(t *testing.T) {
	p := pack(nil)
	p.Result.Finding.Statement = strings.Repeat("One leak sits between two taps of this module. ", 9)
	l, _ := header.Strip(p, true, false, 1280, golden.Mono)
	if got := words(l, theme.None); !strings.HasSuffix(got, "…") {
		t.Errorf("got %q", got)
	}
}

func TestFoot_MostNeededKeysFirst(t *testing.T) {
	keys := []string{"? all keys", "Enter details", "Tab next module"}
	for width, want := range map[float64]int{1200: 3, 260: 1} {
		l, _ := header.Foot("M10 selected.", keys, 0, width, 30, golden.Mono)
		n := 0
		for _, k := range keys {
			if strings.Contains(words(l, theme.Soft), k) {
				n++
			}
		}
		if n != want {
			t.Errorf("at %g there are %d keys, want %d", width, n, want)
		}
	}
}
