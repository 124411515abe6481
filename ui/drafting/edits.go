package drafting

import (
	"fmt"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// A layout is what edits change.
type layout = topology.Layout

// An edited gives the layout after an edit, or says in a sentence why there is none.
type edited func(layout) (layout, error)

// name is what is chosen in a few words, for the list of what can be undone.
func (d *Draft) name() string {
	switch n := len(d.Chosen); {
	case n == 1:
		return d.Chosen[0]
	default:
		return count(n, "thing")
	}
}

// count is a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

func chosenWords(n int) string { return count(n, "module") + " chosen." }

// moved shifts what is chosen by mm of the layout.
func (d *Draft) moved(by mgl64.Vec2) result {
	sel := d.Chosen
	return result{name: "move " + d.name(), do: func(l layout) (layout, error) { return edit.Move(l, sel, by.X(), by.Y()) }}
}

// Nudge shifts what is chosen by mm of the drawing as it is seen.
func (d *Draft) Nudge(dx, dy float64) result { return d.moved(d.toLayout(mgl64.Vec2{dx, dy})) }

// turned turns what is chosen by degrees clockwise in the layout's own frame.
func (d *Draft) turned(deg float64) result {
	sel := d.Chosen
	return result{name: fmt.Sprintf("turn %s by %g°", d.name(), deg), do: func(l layout) (layout, error) { return edit.Rotate(l, sel, deg) }}
}

// Turn turns what is chosen clockwise as it is seen.
func (d *Draft) Turn(deg float64) result {
	if d.Below {
		deg = -deg
	}
	return d.turned(deg)
}

// linked joins the terminal in hand to another by a link of a kind.
func (d *Draft) linked(to, kind string) result {
	from := d.From
	return result{name: "link " + from + " to " + to, said: "Joined: " + from + " to " + to + ".", do: func(l layout) (layout, error) {
		l, _, err := edit.Link(l, from, to, kind)
		return l, err
	}}
}

// sketched keeps a line of the sketch.
func (d *Draft) sketched(line []mgl64.Vec2) result {
	tier := d.Tier
	var pts [][2]float64
	for _, p := range line {
		q := d.toLayout(p)
		pts = append(pts, [2]float64{q.X(), q.Y()})
	}
	return result{name: "a line of the sketch", do: func(l layout) (layout, error) { return edit.AddStroke(l, tier, pts) }}
}
