package drafting

import (
	"slices"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/scene"
)

// rowOf is a drawn row of modules, each second one turned about, joined to nothing.
func rowOf(t *testing.T, n int) topology.Layout {
	t.Helper()
	l, id, err := edit.AddModule(topology.Layout{Name: "bench", SeenFrom: "above"}, topology.Module{Series: 8, Parallel: 2, W: 150, H: 330, Minus: "top"})
	if err == nil && n > 1 {
		l, _, _, err = edit.Repeat(l, edit.Run{Of: id, Copies: n - 1, Gap: 10, Alternate: true})
	}
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestDraft_KeysWalkRowByRow(t *testing.T) {
	l := rowOf(t, 3)
	l, _, _, err := edit.Repeat(l, edit.Run{Of: "M01", Copies: 1, Angle: 90, Gap: 40})
	if err != nil {
		t.Fatal(err)
	}
	d := NewDraft(l)
	var seen []string
	for range 5 {
		d.StepTo(1)
		seen = append(seen, d.Cursor)
	}
	if want := []string{"M01", "M02", "M03", "M04", "M01"}; !slices.Equal(seen, want) {
		t.Errorf("the keyboard walks %v, not %v", seen, want)
	}
	d.StepTo(-1)
	if d.Cursor != "M04" || !slices.Equal(d.Chosen, edit.Selection{"M04"}) {
		t.Errorf("back from the first it is on %s with %v chosen", d.Cursor, d.Chosen)
	}
}

func TestDraft_SeveralAddsAndTakesAway(t *testing.T) {
	d := NewDraft(rowOf(t, 4))
	d.Choose("M01", false)
	d.Choose("M03", true)
	d.Choose("M04", true)
	d.Choose("M01", true)
	if !slices.Equal(d.Chosen, edit.Selection{"M03", "M04"}) {
		t.Errorf("chosen: %v", d.Chosen)
	}
	if n := d.InBox(scene.Rect{Min: mgl64.Vec2{-10, -10}, Max: mgl64.Vec2{300, 400}}); n != 2 || !d.Has("M01") || !d.Has("M02") || !d.Has("M03") {
		t.Errorf("a box round two chose %d; chosen now %v", n, d.Chosen)
	}
}

// A string is joined one press after another: after each link the other end of the
// module just reached is in hand, and the nearest free terminal is proposed.
func TestDraft_LinksGoOnAlongTheString(t *testing.T) {
	d := NewDraft(rowOf(t, 12))
	d.Tool = Linking
	d.BeginLink("M01+")
	for range 11 {
		to := d.Node
		r := d.linked(to, topology.Busbar)
		l, err := r.do(d.Layout)
		if err != nil {
			t.Fatal(err)
		}
		d.Set(l)
		d.goOn(to)
	}
	for i, m := range d.Layout.Modules {
		if s := d.Path[m.ID]; s.Number != i+1 || s.Of != 12 {
			t.Errorf("%s is number %d of %d", m.ID, s.Number, s.Of)
		}
	}
	if d.From != "M12+" {
		t.Errorf("the last terminal in hand is %q", d.From)
	}
}

func TestDraft_CandidatesAreTheNearestFreeOnes(t *testing.T) {
	l := rowOf(t, 3)
	l, _, err := edit.Link(l, "M01+", "M02-", topology.Busbar)
	if err != nil {
		t.Fatal(err)
	}
	d := NewDraft(l)
	d.BeginLink("M02+")
	if d.Node != "M03-" {
		t.Errorf("for M02+ the first is %s", d.Node)
	}
	all := d.candidates()
	if last := all[len(all)-1].node; last != "M02-" {
		t.Errorf("the module's own other end comes last, not %s", last)
	}
}

// Seen from the other side a move to the right is one to the left in the layout, and
// nothing else in the data changes.
func TestDraft_FlipMovesAsItIsSeen(t *testing.T) {
	l := rowOf(t, 2)
	d := NewDraft(l)
	d.Flip()
	if got := d.Seen(); got != "Seen from below" {
		t.Errorf("flipped it says %q", got)
	}
	d.Choose("M01", false)
	after, err := d.Nudge(10, 5).do(d.Layout)
	if err != nil {
		t.Fatal(err)
	}
	if m, was := after.Modules[0], l.Modules[0]; m.X != was.X-10 || m.Y != was.Y+5 {
		t.Errorf("moved from %g, %g to %g, %g", was.X, was.Y, m.X, m.Y)
	}
	d.Flip()
	if d.Seen() != "Seen from above" || d.Layout.Modules[0].X != l.Modules[0].X {
		t.Error("flipped back it is not as it was")
	}
}

func TestDraft_ADragMovesWhatIsUnderIt(t *testing.T) {
	d := NewDraft(rowOf(t, 3))
	d.Snap = false
	mid := d.plan.Geo.Modules[1].Center
	if !d.take("module:M02", mid) {
		t.Fatal("the drag was not taken")
	}
	d.drag(mid.Add(mgl64.Vec2{0, 47}), 1)
	r := d.drop("")
	l, err := r.do(d.Layout)
	if err != nil {
		t.Fatal(err)
	}
	if got := l.Modules[1].Y - d.Layout.Modules[1].Y; got != 47 {
		t.Errorf("moved by %g mm", got)
	}
	if l.Modules[0].Y != d.Layout.Modules[0].Y || r.name != "move M02" {
		t.Errorf("%q moved M01 too", r.name)
	}
}

func TestDraft_ADragOnEmptyGroundPansOrBoxes(t *testing.T) {
	d := NewDraft(rowOf(t, 3))
	if d.take("", mgl64.Vec2{-50, -50}) {
		t.Error("with one choice a drag on empty ground is the pane's")
	}
	d.Several = true
	if !d.take("", mgl64.Vec2{-50, -50}) {
		t.Fatal("with several it is a box")
	}
	d.drag(mgl64.Vec2{320, 400}, 1)
	if r := d.drop(""); len(d.Chosen) != 2 || r.do != nil {
		t.Errorf("the box chose %v", d.Chosen)
	}
}

func TestDraft_AHandleSizesAndTheOtherSideStays(t *testing.T) {
	d := NewDraft(rowOf(t, 1))
	d.Choose("M01", false)
	d.Step = 10
	from := mgl64.Vec2{150, 165}
	if !d.take("handle:e", from) {
		t.Fatal("the handle was not taken")
	}
	d.drag(from.Add(mgl64.Vec2{52, 3}), 1)
	l, err := d.drop("").do(d.Layout)
	if err != nil {
		t.Fatal(err)
	}
	if m := l.Modules[0]; m.W != 200 || m.H != 330 || m.X != 0 {
		t.Errorf("it is %g by %g mm at %g", m.W, m.H, m.X)
	}
}

func TestDraft_ATierAloneHidesTheOthers(t *testing.T) {
	l := rowOf(t, 4)
	l, stack, err := edit.NewStack(l, edit.Selection{"M03", "M04"}, false)
	if err == nil {
		l, err = edit.SetTier(l, edit.Selection{stack}, 1)
	}
	if err != nil {
		t.Fatal(err)
	}
	d := NewDraft(l)
	d.Alone, d.Tier = true, 1
	d.ChooseAll()
	if !slices.Equal(d.Chosen, edit.Selection{"M03", "M04"}) {
		t.Errorf("all of tier 1: %v", d.Chosen)
	}
	for _, s := range d.spots() {
		if s.module < 2 {
			t.Errorf("%s can be joined though its tier is hidden", s.node)
		}
	}
}

// Where two stacks lie close, the string goes on within its own.
func TestDraft_TheNextTerminalIsInTheSameStack(t *testing.T) {
	l, _, err := edit.NewStack(rowOf(t, 3), edit.Selection{"M01", "M02", "M03"}, false)
	if err == nil {
		l, _, err = edit.Duplicate(l, edit.Selection{l.Stacks[0].ID}, 0, 340) // M04 to M06, 10 mm beside
	}
	if err != nil {
		t.Fatal(err)
	}
	d := NewDraft(l)
	d.Tool = Linking
	d.BeginLink("M01+")
	if d.Node != "M02-" {
		t.Errorf("from M01+ it proposes %s", d.Node)
	}
	d.BeginLink("M04+")
	if d.Node != "M05-" {
		t.Errorf("from M04+ it proposes %s", d.Node)
	}
}
