package start

import (
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/theme"
)

// In a low window, as of large text on a small screen, the list of cases keeps room for
// a case, no button lies over the search or the list, and a page that takes something
// from a list or a drawing stands beside it, not below it.
func TestView_ALowWindow(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 512, Height: 294}, {Width: 640, Height: 344}} {
		r := opened(t)
		r.tap("Demo case") // a case to list
		r.w.Resize(size)
		if !r.top.Visible() {
			r.key(fyne.KeyEscape) // from its page to the list
		}
		r.frame.Layout(nil, size)
		if high := r.list.Size().Height; high < 0.45*size.Height {
			t.Errorf("%v: the list has %g", size, high)
		}
		for _, o := range r.top.Objects {
			if !o.Visible() {
				continue
			}
			p, s := o.Position(), o.Size()
			if s.Height < theme.Touch-1 || p.X+s.Width > size.Width || p.Y+s.Height > r.list.Position().Y {
				t.Errorf("%v: a button at %v, %v", size, p, s)
			}
			q, z := r.search.Position(), r.search.Size()
			if p.X < q.X+z.Width-1 && q.X < p.X+s.Width-1 && p.Y < q.Y+z.Height-1 && q.Y < p.Y+s.Height-1 {
				t.Errorf("%v: a button at %v, %v lies over the search at %v, %v", size, p, s, q, z)
			}
		}
		r.tap("Import")
		r.frame.Layout(nil, size)
		if !r.list.Visible() || !r.sheet.Roll.Visible() {
			t.Fatalf("%v: import shows list %v, page %v", size, r.list.Visible(), r.sheet.Roll.Visible())
		}
		if r.list.Position().X+r.list.Size().Width > r.sheet.Roll.Position().X+1 || r.sheet.Roll.Size().Height < 0.8*size.Height {
			t.Errorf("%v: the list ends at %g, the page begins at %g and has %g", size, r.list.Position().X+r.list.Size().Width, r.sheet.Roll.Position().X, r.sheet.Roll.Size().Height)
		}
	}
}
