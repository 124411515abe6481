package edit_test

import (
	"fmt"
	"strings"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// mm draws a length on the tenth of a millimetre.
func mm(t *rapid.T, low, high int, what string) float64 {
	return float64(rapid.IntRange(low*10, high*10).Draw(t, what)) / 10
}

// drawLayout is a layout as somebody may leave it half done: stacks turned anyhow,
// modules with and without outlines, links that fork, fields of a later version.
func drawLayout(t *rapid.T) topology.Layout {
	l := topology.Layout{Name: "drawn", SeenFrom: rapid.SampledFrom([]string{"", "above", "below"}).Draw(t, "seen from"),
		Front: rapid.SampledFrom([]string{"", "up", "left"}).Draw(t, "front"), Extra: topology.Extra{"lift_points": []byte(`[1,2]`)}}
	stacks := []string{""}
	for i := range rapid.IntRange(0, 3).Draw(t, "stacks") {
		s := topology.Stack{ID: string(rune('A' + i)), X: mm(t, -500, 500, "x"), Y: mm(t, -500, 500, "y"), Tier: i,
			Angle: rapid.SampledFrom([]float64{0, 90, 12.34, 359.99}).Draw(t, "angle"), Extra: topology.Extra{"bolts": []byte(`4`)}}
		l.Stacks = append(l.Stacks, s)
		stacks = append(stacks, s.ID)
	}
	var refs = []string{"pack+", "pack-", "load+", "rail-"}
	for i := range rapid.IntRange(0, 8).Draw(t, "modules") {
		m := topology.Module{ID: fmt.Sprintf("M%02d", i+1), Stack: rapid.SampledFrom(stacks).Draw(t, "stack"),
			Series: rapid.IntRange(1, 4).Draw(t, "series"), Parallel: 2, X: mm(t, -900, 900, "x"), Y: mm(t, -900, 900, "y"),
			Angle: rapid.SampledFrom([]float64{0, 0, 90, 45.5}).Draw(t, "angle"), Minus: rapid.SampledFrom([]string{"left", "right", "top", "bottom"}).Draw(t, "minus"),
			Extra: topology.Extra{"colour": []byte(`"grey"`)}}
		if rapid.IntRange(0, 4).Draw(t, "outline") > 0 {
			m.W, m.H = mm(t, 10, 300, "w"), mm(t, 10, 300, "h")
		}
		if i == 0 {
			m.MonitorIndex, m.Label = []int{1, m.Series}, "A-1"
		}
		l.Modules = append(l.Modules, m)
		refs = append(refs, m.ID+"-", m.ID+"+", fmt.Sprintf("%s.%d", m.ID, m.Series))
	}
	drawWires(t, &l, refs)
	drawRest(t, &l)
	return l
}

// drawWires adds links, some of which fork or lie beside each other, a board and the
// monitor.
func drawWires(t *rapid.T, l *topology.Layout, refs []string) {
	for i := range rapid.IntRange(0, 8).Draw(t, "links") {
		k := topology.Link{ID: fmt.Sprintf("L%02d", i+1), Kind: rapid.SampledFrom(topology.LinkKinds).Draw(t, "kind"),
			From: rapid.SampledFrom(refs).Draw(t, "from"), To: rapid.SampledFrom(refs).Draw(t, "to")}
		if k.From == k.To {
			continue
		}
		if i == 3 {
			k.ID = "K+"
		}
		l.Links = append(l.Links, k)
	}
	if len(l.Modules) > 0 {
		var taps []string
		for _, m := range l.Modules {
			if rapid.Bool().Draw(t, "sensed") {
				taps = append(taps, fmt.Sprintf("%s.%d", m.ID, rapid.IntRange(0, m.Series).Draw(t, "tap")))
			}
		}
		l.Boards = append(l.Boards, topology.Board{ID: "B1", Taps: taps})
	}
	if rapid.Bool().Draw(t, "monitor") {
		l.Monitor = &topology.Monitor{From: []string{rapid.SampledFrom(refs).Draw(t, "from")}, To: "chassis"}
	}
}

// drawRest adds what is no part of the circuit.
func drawRest(t *rapid.T, l *topology.Layout) {
	l.Chassis = []topology.ChassisPiece{{ID: "tray"}, {ID: "lid"}}
	if rapid.Bool().Draw(t, "bonded") {
		l.Bonds = []topology.Bond{{ID: "bond1", From: "tray", To: "lid"}}
	}
	if l.Monitor != nil && rapid.Bool().Draw(t, "to the tray") {
		l.Monitor.To = "chassis:tray"
	}
	var over []string
	for id := range edit.Kinds(*l) {
		over = append(over, id)
	}
	over = sorted(over)
	for i := range rapid.IntRange(0, 2).Draw(t, "parts") {
		p := topology.Part{ID: fmt.Sprintf("cover%d", i+1), Kind: "cover"}
		p.Over = rapid.SliceOfNDistinct(rapid.SampledFrom(over), 0, 3, rapid.ID[string]).Draw(t, "over")
		p.Holds = rapid.SliceOfNDistinct(rapid.SampledFrom(over), 0, 2, rapid.ID[string]).Draw(t, "holds")
		l.Parts = append(l.Parts, p)
	}
	if rapid.Bool().Draw(t, "photo") {
		l.Underlays = []topology.Underlay{{ID: "photo1", Photo: strings.Repeat("a1", 32), Corners: [4][2]float64{{0, 0}, {400, 0}, {400, 300}, {0, 300}},
			X: mm(t, -100, 100, "x"), Y: 5, W: 800, H: 600, Angle: 7.5, Opacity: 0.5, Locked: rapid.Bool().Draw(t, "locked")}}
	}
	if rapid.Bool().Draw(t, "proved") {
		l.Proof = &topology.NumberingProof{Done: "M01 warmed", Who: "a"}
	}
	if len(l.Modules) > 0 && rapid.Bool().Draw(t, "measured") {
		v := &topology.OrderVolts{Reference: rapid.SampledFrom([]string{"", "B-", l.Modules[0].ID + "-"}).Draw(t, "reference")}
		for _, m := range l.Modules {
			if rapid.Bool().Draw(t, "has volts") {
				v.Values = append(v.Values, topology.TerminalVolts{Terminal: m.ID + "+", Volts: mm(t, 0, 400, "volts")})
			}
		}
		l.OrderVolts = v
	}
	if rapid.Bool().Draw(t, "sketched") {
		l.Sketch = []topology.Stroke{{Points: [][2]float64{{0, 0}, {100, 0}, {100, 100}}}}
	}
}

// drawSelection is some of the ids of a layout, of the kinds given or of all, and now
// and then one that is not there.
func drawSelection(t *rapid.T, l topology.Layout, kinds ...edit.Kind) edit.Selection {
	var ids []string
	for id, k := range edit.Kinds(l) {
		if len(kinds) == 0 {
			ids = append(ids, id)
		}
		for _, want := range kinds {
			if k == want {
				ids = append(ids, id)
			}
		}
	}
	if len(ids) == 0 || rapid.IntRange(0, 30).Draw(t, "unknown") == 0 {
		return edit.Selection{"nothing"}
	}
	return rapid.SliceOfNDistinct(rapid.SampledFrom(sorted(ids)), 1, 5, rapid.ID[string]).Draw(t, "selection")
}

func drawPoint(t *rapid.T) mgl64.Vec2 {
	return mgl64.Vec2{rapid.Float64Range(-1000, 1000).Draw(t, "x"), rapid.Float64Range(-1000, 1000).Draw(t, "y")}
}
