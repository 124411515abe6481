package drafting

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

// Whatever keys are pressed, in whatever order, the table stands, what is shown is what is
// kept, and undone to the beginning the layout is the first one byte for byte.
func TestTable_AnyKeysUndoneToTheBeginning(t *testing.T) {
	names := []fyne.KeyName{fyne.KeyTab, fyne.KeyReturn, fyne.KeyEscape, fyne.KeyDelete, fyne.KeySpace, fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft, fyne.KeyRight, fyne.KeyPageDown, fyne.KeyF6, fyne.KeyBackspace}
	clip := test.NewClipboard()
	const runes = "mwlkrdtfgb0123567,.[]-+xy4 "
	text := func(l topology.Layout) []byte {
		data, err := format.WriteLayout(l)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	undone := 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 77))
		b := on(t, rowOf(t, 4))
		first := text(b.st.Layout())
		for range 250 {
			f := b.w.Canvas().Focused()
			if f == nil {
				b.Focus()
				f = b.w.Canvas().Focused()
			}
			switch k := rng.IntN(10); {
			case k < 5:
				f.TypedKey(&fyne.KeyEvent{Name: names[rng.IntN(len(names))]})
			case k < 9:
				f.TypedRune(rune(runes[rng.IntN(len(runes))]))
			default:
				s := []fyne.Shortcut{&fyne.ShortcutUndo{}, &fyne.ShortcutRedo{}, &fyne.ShortcutSelectAll{}, &fyne.ShortcutCopy{Clipboard: clip}, &fyne.ShortcutPaste{Clipboard: clip},
					&desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierControl}}[rng.IntN(6)]
				if e, ok := f.(fyne.Shortcutable); ok {
					e.TypedShortcut(s)
				}
			}
			if !bytes.Equal(text(b.draft.Layout), text(b.st.Layout())) {
				t.Fatalf("seed %d: what is shown is not what is kept; it says %q", seed, b.happened)
			}
		}
		for range 2000 {
			if b.st.Steps().Undo == "" {
				break
			}
			if _, err := b.st.Undo(); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			undone++
		}
		if got := text(b.st.Layout()); !bytes.Equal(got, first) {
			t.Errorf("seed %d: undone to the beginning it is\n%s", seed, got)
		}
	}
	if undone < 30 {
		t.Errorf("only %d edits were made by all these keys", undone)
	}
}
