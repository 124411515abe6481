package listing

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault/lists"
	"halfsplit/ui/easel"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// several are lists of every shape.
var several = map[string]string{
	"groups":     "module;group;U [mV]\nM12;1;3654\nM12;2;rubbish\n",
	"table":      "module,1,2,3,4\nM12,3.65,3.66,3.64,3.65\n",
	"bare":       "3.65\n3.66\n3.64\n",
	"readings":   "time;point;R/kΩ\n03/04/2026;M12+;210\n04/04/2026;M01-;OL\n",
	"quantities": "red;black;value;quantity;note\nM12+;chassis;103,6;volts;a note\n",
	"nothing":    "",
	"rubbish":    "\x00\x01\n---\n\"\n",
}

func read(t *testing.T, data string) view {
	t.Helper()
	v, err := fresh(func() ([]byte, error) { return []byte(data), nil }, lists.Options{Name: "a list", Zone: time.UTC}, view{c: sample.Case()})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Every line can be changed, and goes round to where it was, either way.
func TestLines_ChangeAndComeRound(t *testing.T) {
	for name, data := range several {
		t.Run(name, func(t *testing.T) {
			v := read(t, data)
			for _, l := range v.lines() {
				if l.id == wideLine || l.id == orderLine {
					continue // the first takes them all away; the second has no way back to "not chosen"
				}
				for _, by := range []int{1, -1} {
					now, was := v, l.value
					round := false
					for range 40 {
						now.m = now.change(l.id, by)
						now = built(now, lists.Options{})
						value := ""
						for _, x := range now.lines() {
							if x.id == l.id {
								value = x.value
							}
						}
						if value == was || value == "" || l.id == bareLine && value == "V" {
							round = true
							break
						}
					}
					if !round {
						t.Errorf("%s does not come round by %d from %q", l.name, by, was)
					}
				}
			}
		})
	}
}

// What is drawn stays within its width, and every row says what becomes of it.
func TestRows_AreDrawnWithinTheirWidth(t *testing.T) {
	test.NewTempApp(t)
	for name, data := range several {
		t.Run(name, func(t *testing.T) {
			p := New(Deps{})
			p.name, p.v, p.loaded = "a list", read(t, data), true
			for _, width := range []float64{260, 420, 900} {
				for p.kind = range kinds {
					l, high := p.drawRows(width)
					for _, s := range l.Shapes {
						if s.Kind == scene.Label && s.H == scene.Start && s.Points[0].World.X()+easel.Measure(s.Text, s.Size, s.Bold) > width+1 {
							t.Errorf("%q is wider than %g", s.Text, width)
						}
					}
					if high < 20 {
						t.Errorf("it is %g high", high)
					}
				}
			}
			for _, r := range p.v.p.Rows {
				if len(told(r)) == 0 && r.Status != lists.Empty {
					t.Errorf("nothing is said of line %d: %+v", r.Line, r)
				}
			}
			if s := sheet.Text(p.Blocks()); !strings.Contains(s, "Would be stored") || !strings.Contains(s, "Read in state") {
				t.Errorf("the page says\n%s", s)
			}
		})
	}
}

// Rows beyond the first hundred are a key away, and every unread one is copied.
func TestRows_AllCanBeReached(t *testing.T) {
	test.NewTempApp(t)
	copied := ""
	p := New(Deps{Copy: func(s string) { copied = s }})
	p.name, p.v, p.loaded = "a list", read(t, "module;group;V\n"+strings.Repeat("M99;1;3.6\n", 250)), true
	for _, want := range []string{"251, shown from 1 to 100", "from 101 to 200", "from 201 to 251", "from 201 to 251"} {
		if got := p.rowsTitle(len(p.rows())); !strings.Contains(got, want) {
			t.Errorf("shown is %q, want %q", got, want)
		}
		p.moreRows(1)
	}
	p.root.Resize(fyne.NewSize(1000, 700))
	p.nextKind()
	if len(p.rows()) != 250 || p.from != 0 {
		t.Errorf("%d rows were not read, shown from %d", len(p.rows()), p.from)
	}
	p.copy()
	if n := strings.Count(copied, "\n"); n != 250 {
		t.Errorf("%d rows are copied", n)
	}
	p.root.Resize(fyne.NewSize(500, 300)) // the lines or the rows
	shown := ""
	for range 4 {
		p.nextKind()
		shown += fmt.Sprint(p.left.Visible(), p.right.Visible(), p.kind, " ")
	}
	if shown != "false true 0 false true 1 false true 2 true false 0 " {
		t.Errorf("in a low window it goes %s", shown)
	}
}
