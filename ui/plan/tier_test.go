package plan

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
)

func TestScene_onlyTheTierAskedForIsPressed(t *testing.T) {
	d := drawn(func(c *fault.Case, _ *facts.Result) {
		c.Layout.Stacks[0].Tier = 1
	})
	for _, tier := range []int{0, 1} {
		l, v := d.list(1000, 620, Options{Tier: &tier})
		for _, s := range d.Geo.Stacks {
			for _, m := range s.Modules {
				id := "module:" + d.Pack.Net.Layout.Modules[m].ID
				hit := l.Hit(v, v.Screen(scene.Point{World: d.Geo.Modules[m].Center}))
				if (hit == id) != (s.Tier == tier) {
					t.Errorf("tier %d alone: a press on %s of tier %d hits %q", tier, id, s.Tier, hit)
				}
				if texts := labels(l, id); (len(texts) > 0) != (s.Tier == tier) {
					t.Errorf("tier %d alone: %s of tier %d bears %q", tier, id, s.Tier, texts)
				}
			}
		}
	}
}
