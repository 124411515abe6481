package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// seeing is how the pack is seen besides the plan as it was drawn: lifted, or from its
// other side. It belongs to the eye; nothing of it is recorded.
type seeing struct {
	lifted bool
	lift   plan.Lift
	behind bool // from the other side
	from   plan.Lift
	plain  bool // without boards, chassis pieces and mechanical parts
}

// Ids of the buttons on the lifted view.
const (
	turnBackID = "see:back"
	turnOnID   = "see:on"
	moreApart  = "see:apart"
	lessApart  = "see:together"
	flatID     = "see:flat"
)

// seeCommands are the lifted view, one tier alone, and the other side.
func (d *Desk) seeCommands() {
	d.seeing.lift = plan.FirstLift
	add := func(c *command.Command) { d.set.Add(c) }
	add(&command.Command{Name: "Lifted", Help: "Stacks and tiers lifted apart, to show where the leak can sit; Shift and arrows, or a drag, turn and lift it; and back to the plan", Keys: "Shift F6", Named: []fyne.KeyName{fyne.KeyF6}, Shift: true, Do: d.toggleLifted, Label: func() string {
		return map[bool]string{false: "Lifted view", true: "Back to the plan"}[d.seeing.lifted]
	}})
	add(&command.Command{Name: "One tier", Help: "One tier of the pack alone, the others as outlines; the next; all", Keys: "Shift F5", Named: []fyne.KeyName{fyne.KeyF5}, Shift: true, Do: d.nextTier, Label: func() string {
		if d.look.Tier == nil {
			return "One tier alone"
		}
		return fmt.Sprintf("Tier %d alone", *d.look.Tier)
	}})
	add(&command.Command{Name: "Boards, parts", Help: "Boards, chassis pieces and mechanical parts on the plan, or modules and links alone", Keys: "Shift F2", Named: []fyne.KeyName{fyne.KeyF2}, Shift: true, Do: d.toggleFittings, Label: func() string {
		return map[bool]string{false: "Without boards and parts", true: "With boards and parts"}[d.seeing.plain]
	}})
	add(&command.Command{Name: "Other side", Help: "See the pack from its other side; nothing but the drawing is mirrored", Keys: "Shift F8", Named: []fyne.KeyName{fyne.KeyF8}, Shift: true, Do: d.otherSide, Label: func() string {
		return map[bool]string{false: "See it from the other side", true: "See it as it was drawn"}[d.seeing.behind]
	}})
}

func (d *Desk) toggleLifted() {
	d.seeing.lifted = !d.seeing.lifted
	d.planPane.Hand = nil
	said := "The plan, to scale."
	if d.seeing.lifted {
		d.planPane.Hand = lifting{d}
		said = "Stacks and tiers are lifted apart: not to scale."
	}
	d.planPane.Set(planSubject{d}, true)
	d.say(said)
	d.showChips()
}

// turnBy turns the lifted view by degrees and lifts it by a share; it does nothing to a
// plan.
func (d *Desk) turnBy(degrees, apart float64) {
	if !d.seeing.lifted {
		d.say("Shift F6 lifts the pack's stacks and tiers apart first.")
		return
	}
	l := &d.seeing.lift
	l.Turn = math.Mod(l.Turn+degrees+360, 360)
	l.Apart = math.Max(0, math.Min(1, l.Apart+apart))
	d.planPane.Set(planSubject{d}, true)
}

// nextTier shows the lowest tier alone, then the next, then all.
func (d *Desk) nextTier() {
	tiers := d.pack.Net.Layout.Tiers()
	switch {
	case len(tiers) < 2:
		d.look.Tier = nil
		d.say("The pack has one tier.")
		return
	case d.look.Tier == nil:
		d.look.Tier = &tiers[0]
	default:
		i := slices.Index(tiers, *d.look.Tier) + 1
		d.look.Tier = nil
		if i < len(tiers) {
			d.look.Tier = &tiers[i]
		}
	}
	said := "All tiers are shown."
	if d.look.Tier != nil {
		said = fmt.Sprintf("Tier %d alone is shown.", *d.look.Tier)
	}
	d.planPane.Refresh()
	d.say(said)
}

// drawnFrom is the plan of what is shown, as it was drawn or from the other side.
func (d *Desk) drawnFrom(behind bool) *plan.Drawing {
	p := plan.New(d.seen(), d.geo)
	if behind {
		if d.geoBehind == nil {
			d.geoBehind = plan.FlippedGeometry(d.pack.Net.Layout)
		}
		p = plan.NewFlipped(d.seen(), d.geoBehind)
	}
	p.ShowFittings(!d.seeing.plain)
	return p
}

// toggleFittings shows boards, chassis pieces and mechanical parts on the plan, or
// leaves them away.
func (d *Desk) toggleFittings() {
	if !d.plan.HasFittings() {
		d.say("The layout has no boards, chassis pieces or mechanical parts.")
		return
	}
	d.seeing.plain = !d.seeing.plain
	d.work()
	d.planPane.Set(planSubject{d}, true)
	d.say(map[bool]string{false: "Boards, chassis pieces and mechanical parts are shown, beside what they belong to.", true: "Modules and links alone are shown."}[d.seeing.plain])
}

// otherSide shows the pack from its other side.
func (d *Desk) otherSide() {
	d.seeing.behind = !d.seeing.behind
	d.work()
	d.planPane.Set(planSubject{d}, true)
	d.say(map[bool]string{false: "The pack is shown as it was drawn.", true: "The pack is shown from its other side: the drawing is mirrored, the data are not."}[d.seeing.behind])
}

// liftedScene is the lifted view with its buttons.
func (d *Desk) liftedScene(v scene.View, o plan.Options) *scene.List {
	l := d.plan.Lifted(v, o, d.seeing.lift, easel.Measure)
	touch := float64(easel.Sizes().Touch())
	x := v.W - 6
	for _, b := range []struct{ id, text string }{{flatID, "Plan"}, {moreApart, "Lift"}, {lessApart, "Lower"}, {turnOnID, "Turn on"}, {turnBackID, "Turn back"}} {
		wide := math.Max(touch, easel.Measure(b.text, theme.Text, false)+20)
		x -= wide
		at := func(px, py float64) scene.Point { return scene.Point{World: v.World(mgl64.Vec2{px, py})} }
		a, c := at(x, 6), at(x+wide-4, 6+touch)
		l.Rect("", a, c, scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 6)
		l.Text("", at(x+wide/2-2, 6+touch/2), scene.Middle, scene.Middle, scene.Ink(theme.Accent), theme.Text, false, b.text)
		l.Target(b.id, 0, a, at(x+wide-4, 6), c, at(x, 6+touch))
	}
	return l
}

// pickSeeing is a press on one of those buttons; false = it is none.
func (d *Desk) pickSeeing(id string) bool {
	if !strings.HasPrefix(id, "see:") {
		return false
	}
	switch id {
	case turnBackID:
		d.turnBy(-15, 0)
	case turnOnID:
		d.turnBy(15, 0)
	case moreApart:
		d.turnBy(0, 0.25)
	case lessApart:
		d.turnBy(0, -0.25)
	case flatID:
		d.toggleLifted()
	}
	return true
}

// lifting turns and lifts the view under a drag.
type lifting struct{ d *Desk }

// Take takes every drag.
func (h lifting) Take(mgl64.Vec2) bool {
	h.d.seeing.from = h.d.seeing.lift
	return true
}

// Drag turns by what it went across, half a degree a pixel, and lifts by what it went up.
func (h lifting) Drag(from, at mgl64.Vec2) {
	d := h.d
	d.seeing.lift = d.seeing.from
	by := at.Sub(from)
	d.turnBy(-by.X()/2, -by.Y()/300)
}

// Drop ends it.
func (h lifting) Drop(_, _ mgl64.Vec2) {}

// Pick is a press as on the plan.
func (h lifting) Pick(id string, _ mgl64.Vec2) { h.d.pick(id) }

var _ easel.Hand = lifting{}

// planFit is the view of the whole, lifted or flat.
func (d *Desk) planFit(w, h float64) scene.View {
	if d.seeing.lifted {
		return d.plan.LiftedFit(w, h, d.seeing.lift)
	}
	return d.plan.Fit(w, h)
}

// moveOrTurn is a key that moves the drawing; what is lifted it turns or lifts.
func (d *Desk) moveOrTurn(dx, dy float64) {
	if d.seeing.lifted && d.active() == d.planPane {
		d.turnBy(15*sign(dx), 0.25*sign(dy))
		return
	}
	d.active().Pan(dx, dy)
}

func sign(v float64) float64 {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}
