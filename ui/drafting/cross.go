package drafting

import "github.com/go-gl/mathgl/mgl64"

// points says that a tool is about places of the drawing: by keys a cross is moved
// there and Enter presses.
func (t Tool) points() bool { return t == Squaring || t == Measuring || t == Erasing || t == Sketching }

// Pixels that a key moves the cross by.
const (
	crossStep = 20.0
	crossFine = 2.0
)

// moveCross moves the cross as seen; while a line of the sketch is being drawn it
// draws.
func (v *View) moveCross(dx, dy float64, fine bool) {
	d, view := v.draft, v.pane.View()
	step := crossStep
	if fine {
		step = crossFine
	}
	if d.cross == nil {
		c := view.World(mgl64.Vec2{view.W / 2, view.H / 2})
		d.cross = &c
	}
	to := d.cross.Add(mgl64.Vec2{dx * step / view.ScaleX, dy * step / view.ScaleX})
	d.cross = &to
	if d.hand.kind == lining {
		d.hand.line = append(d.hand.line, to)
	}
	v.pane.Refresh()
}

// pressCross is a press at the cross. In the sketch it puts the pen down, and lifts it.
func (v *View) pressCross() {
	d := v.draft
	if d.cross == nil {
		v.moveCross(0, 0, true)
	}
	if d.Tool != Sketching {
		v.press("", *d.cross)
		return
	}
	if d.hand.kind == lining {
		cross := *d.cross
		v.do(d.drop(""))
		d.cross = &cross
		return
	}
	d.hand = gesture{kind: lining, line: []mgl64.Vec2{*d.cross}}
	v.say("The pen is down: arrows draw, Enter lifts it.")
	v.pane.Refresh()
}
