package plan

import (
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// ghosts draws the modules of the other tiers as thin outlines without values,
// and leaves only those of the tier that was asked for to be drawn and pressed:
// where tiers lie over each other, a press then means the one that is shown.
func (f *frame) ghosts() {
	if f.o.Tier == nil {
		return
	}
	var solid []int
	for _, m := range f.visible {
		if f.solid(m) {
			solid = append(solid, m)
		} else if f.tier > farStacks {
			f.area("", f.Geo.Modules[m].Corners[:], scene.Paint{}, scene.Ink(theme.Hairline), 1, mgl64.Vec2{})
		}
	}
	f.visible = solid
}

// solid says that a module is on the tier that is shown alone, or that all are shown.
func (f *frame) solid(m int) bool {
	if f.o.Tier == nil {
		return true
	}
	if f.on == nil {
		f.on = make([]bool, len(f.Geo.Modules))
		for _, s := range f.Geo.Stacks {
			for _, i := range s.Modules {
				f.on[i] = s.Tier == *f.o.Tier
			}
		}
	}
	return f.on[m]
}

// solidLink says that one of a link's ends is on a module that is shown.
func (f *frame) solidLink(i int) bool {
	if f.o.Tier == nil {
		return true
	}
	net := f.Pack.Net
	for _, end := range []string{net.Layout.Links[i].From, net.Layout.Links[i].To} {
		if n, ok := net.Node(end); ok {
			if m, _, ok := net.ModuleAt(n); ok && f.solid(m) {
				return true
			}
		}
	}
	return false
}
