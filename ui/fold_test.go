package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// In a low window the sheet has the height that strip and foot leave, nothing but one
// row of buttons stands above or below it, and every button is whole within the
// window, as high as a finger, over no other one and not over the sheet.
func TestFrame_ALowWindowGivesTheSheetItsHeight(t *testing.T) {
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 512, Height: 294}, {Width: 640, Height: 344}, {Width: 683, Height: 411}} {
			r := ready(t)
			fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: theme.Light, Glove: glove})
			r.w.Resize(size)
			for r.shown != sheetView {
				r.typed("v")
			}
			if !r.frame.folded() {
				t.Fatalf("%v: not low", size)
			}
			if want := size.Height - r.strip.Size().Height - r.foot.Size().Height; r.paperRoll.Size().Height < want-1 {
				t.Errorf("glove %v, %v: the sheet has %g of %g", glove, size, r.paperRoll.Size().Height, want)
			}
			touch := r.primary.MinSize().Height
			type box struct {
				name string
				at   fyne.Position
				size fyne.Size
			}
			boxes := []box{{"the sheet", r.paperRoll.Position(), r.paperRoll.Size()}, {"its button", r.primary.Position(), r.primary.Size()}}
			for _, row := range []*fyne.Container{r.pageChips, r.planChips, r.footChips} {
				for _, o := range row.Objects {
					if o.Visible() && row.Visible() {
						boxes = append(boxes, box{"a button", row.Position().Add(o.Position()), o.Size()})
					}
				}
			}
			if len(boxes) < 4 {
				t.Errorf("glove %v, %v: %d things are shown", glove, size, len(boxes))
			}
			for i, b := range boxes {
				if i > 0 && b.size.Height < touch-1 || b.at.X < 0 || b.at.Y < 0 || b.at.X+b.size.Width > size.Width+1 || b.at.Y+b.size.Height > size.Height+1 {
					t.Errorf("glove %v, %v: %s at %v, %v", glove, size, b.name, b.at, b.size)
				}
				for _, c := range boxes[:i] {
					if b.at.X < c.at.X+c.size.Width-1 && c.at.X < b.at.X+b.size.Width-1 && b.at.Y < c.at.Y+c.size.Height-1 && c.at.Y < b.at.Y+b.size.Height-1 {
						t.Errorf("glove %v, %v: %s at %v, %v lies over %s at %v, %v", glove, size, b.name, b.at, b.size, c.name, c.at, c.size)
					}
				}
			}
		}
	}
}

// Field, value and the keys that a value needs are seen together in a run, also with
// large text: nothing has to be rolled between two keys.
func TestFrame_ARunIsSeenWhole(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 512, Height: 294}, {Width: 640, Height: 344}, {Width: 683, Height: 411}} {
		r := ready(t)
		r.w.Resize(size)
		r.typed("*")
		r.key(fyne.KeyReturn)
		if !r.inRun() {
			t.Fatalf("%v: no run", size)
		}
		r.typed("3622")
		seen := map[string]bool{entry.FieldID: false, "3622": false}
		for _, k := range []string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "-", entry.BackKey, entry.SuspectKey, entry.AgainKey, entry.SkipKey} {
			seen[sheet.PadKey(k)] = false
		}
		top, bottom := r.paperRoll.Offset.Y, r.paperRoll.Offset.Y+r.paperRoll.Size().Height
		for _, g := range r.paper.List().Targets {
			a, z := float32(g.Area[0].World.Y()), float32(g.Area[2].World.Y())
			if _, wanted := seen[g.ID]; wanted && a >= top && z <= bottom && z-a >= theme.Touch-1 && g.Area[1].World.X()-g.Area[0].World.X() >= theme.Touch {
				seen[g.ID] = true
			}
		}
		for _, s := range r.paper.List().Shapes {
			if y := float32(s.Points[0].World.Y()); strings.HasPrefix(s.Text, "3622") && strings.HasSuffix(s.Text, "V") && y > top && y+float32(s.Size)/2 < bottom {
				seen["3622"] = true
			}
		}
		for k, ok := range seen {
			if !ok {
				t.Errorf("%v: %q is not seen whole", size, k)
			}
		}
		r.key(fyne.KeyReturn)
		if left, right := r.frame.footRoom(size.Width); right-left < 0.38*size.Width || !strings.Contains(r.happened, "Saved") {
			t.Errorf("%v: what just happened has %g: %q", size, right-left, r.happened)
		}
		r.pickOnSheet(sheet.PadKey(entry.LeaveKey))
		if r.inRun() {
			t.Errorf("%v: the pad does not leave the run", size)
		}
	}
}

// In a low window the page More has its lines two beside each other, each as high as a
// finger, none over another, and every one can be pressed.
func TestFold_MoreHasTwoColumns(t *testing.T) {
	r := ready(t)
	r.w.Resize(fyne.NewSize(512, 294))
	test.Tap(r.moreChip)
	if !r.frame.folded() {
		t.Fatal("the sheet does not have the window")
	}
	lines, sides := 0, map[bool]int{}
	for i, a := range r.paper.List().Targets {
		if !strings.HasPrefix(a.ID, moreID) {
			continue
		}
		lines++
		lo, hi := a.Area[0].World, a.Area[2].World
		sides[lo.X() > 100]++
		if hi.Y()-lo.Y() < theme.Touch || hi.X()-lo.X() < theme.Touch {
			t.Errorf("%s is %g by %g", a.ID, hi.X()-lo.X(), hi.Y()-lo.Y())
		}
		for _, b := range r.paper.List().Targets[:i] {
			p, q := b.Area[0].World, b.Area[2].World
			if lo.X() < q.X()-0.01 && p.X() < hi.X()-0.01 && lo.Y() < q.Y()-0.01 && p.Y() < hi.Y()-0.01 {
				t.Errorf("%s lies over %s", a.ID, b.ID)
			}
		}
	}
	if lines != len(r.more()) || sides[true] < lines/2 || sides[false] < lines/2 {
		t.Errorf("%d lines of %d, at the sides %v", lines, len(r.more()), sides)
	}
}

// Whatever the window, all that can be done is on the page More or has a button that is
// seen: no command of work needs a key.
func TestMore_EverythingHasAPress(t *testing.T) {
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 512, Height: 294}, {Width: 640, Height: 344}, {Width: 1024, Height: 644}, {Width: 1280, Height: 744}, {Width: 1920, Height: 1024}} {
			r := ready(t)
			fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: theme.Light, Glove: glove})
			r.w.Resize(size)
			if !r.moreChip.Visible() || r.moreChip.Position().X+r.moreChip.Size().Width > r.planChips.Size().Width+0.5 {
				t.Fatalf("glove %v, %v: no button More", glove, size)
			}
			test.Tap(r.moreChip)
			text := r.onSheet()
			for _, want := range []string{"State", "Stages", "Run", "Note", "Photos", "Instruments", "Who is here", "Take in a list", "Bench sheet", "Doubts", "What if", "Help with measuring", "Ask the meter", "Over time", "Before and after", "Cautions", "Panes", "Colours", "Compute", "Redo", "Keys"} {
				if !strings.Contains(text, want) {
					t.Errorf("glove %v, %v: %q cannot be pressed:\n%s", glove, size, want, text)
				}
			}
		}
	}
}
