package sheet_test

import (
	"maps"
	"testing"

	"halfsplit/ui/golden"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// The list of keys gives the width to what the keys do.
func TestKeys_TheWordsHaveTheWidth(t *testing.T) {
	blocks := sheet.Keys(maps.All(map[string]string{"H": "Choose what the modules are shaded by"}))
	l, _ := sheet.Draw(blocks, 430, golden.Mono)
	for _, s := range l.Shapes {
		if s.Kind == scene.Label && len(s.Text) > 6 && s.Text[:6] == "Choose" {
			if x := s.Points[0].World.X(); x > 430*0.3 {
				t.Errorf("what H does begins at %g of 430", x)
			}
			return
		}
	}
	t.Error("what H does is not shown")
}
