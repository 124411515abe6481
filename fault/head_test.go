package fault_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
)

func TestHead_AsItIsPrintedAndRead(t *testing.T) {
	h := fault.Head{Seq: 412, Hash: strings.Repeat("9f3a07c1b2d4e6f8", 4)}
	if h.Short() != "412:9f3a07c1b2d4e6f8" || h.String() != "412:"+h.Hash || !h.Known() || (fault.Head{}).Known() || (fault.Head{}).Is(h) {
		t.Error(h, h.Short())
	}
	for _, printed := range []string{h.String(), h.Short(), strings.ToUpper(h.Short()), " 412 : 9f3a 07c1 b2d4 e6f8 ", h.Hash, strings.ToUpper(h.Hash)} {
		got, err := fault.ParseHead(printed)
		if err != nil || !got.Is(h) {
			t.Errorf("%q is read as %v (%v)", printed, got, err)
		}
	}
	other, err := fault.ParseHead("411:9f3a07c1b2d4e6f8")
	if err != nil || other.Is(h) {
		t.Errorf("another number names the same event (%v)", err)
	}
	for _, wrong := range []string{"", "412", "412:", "412:9f3a", "x:9f3a07c1b2d4e6f8", "0:9f3a07c1b2d4e6f8", "9f3a07c1b2d4e6f8", h.Hash + "0", "412:9f3a07c1b2d4e6fg"} {
		if got, err := fault.ParseHead(wrong); err == nil {
			t.Errorf("%q is read as %v", wrong, got)
		}
	}
}
