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
	on := map[int]bool{}
	for _, s := range f.Geo.Stacks {
		for _, m := range s.Modules {
			on[m] = s.Tier == *f.o.Tier
		}
	}
	var solid []int
	for _, m := range f.visible {
		if on[m] {
			solid = append(solid, m)
		} else if f.tier > farStacks {
			f.area("", f.Geo.Modules[m].Corners[:], scene.Paint{}, scene.Ink(theme.Hairline), 1, mgl64.Vec2{})
		}
	}
	f.visible = solid
}
