package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
	"halfsplit/ui/theme"
)

func TestStages_ByPressAndByKey(t *testing.T) {
	r := ready(t)
	r.pickStage(stages.ID(0))
	if got := r.onSheet(); !strings.HasPrefix(got, "Intake") || r.stageShown() != 0 {
		t.Errorf("the sheet says\n%s", got)
	}
	r.pickStage(stages.ID(stages.Baseline))
	if r.page != entryPage || r.form.Kind != entry.ModuleVolts || r.stageShown() != stages.Baseline {
		t.Errorf("page %d, form %+v", r.page, r.form)
	}
	r.key(fyne.KeyEscape)
	if r.stageShown() != stages.Locate {
		t.Errorf("stage %d is shown with the finding", r.stageShown())
	}
	r.typed("g")
	r.key(fyne.KeyDown, fyne.KeyReturn) // from Locate to Strip
	if got := r.onSheet(); !strings.HasPrefix(got, "Strip") {
		t.Errorf("the sheet says\n%s", got)
	}
}

// No button lies under anything else that is drawn later, or on another button.
func TestFrame_ButtonsAreFree(t *testing.T) {
	r := ready(t)
	for _, size := range []fyne.Size{fyne.NewSize(1920, 1080), fyne.NewSize(1280, 800), fyne.NewSize(1024, 700), fyne.NewSize(800, 600)} {
		r.w.Resize(size)
		box := func(o fyne.CanvasObject) [4]float32 {
			p := fyne.CurrentApp().Driver().AbsolutePositionForObject(o)
			return [4]float32{p.X, p.Y, p.X + o.Size().Width, p.Y + o.Size().Height}
		}
		meet := func(a, b [4]float32) bool { return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] }
		index := func(o fyne.CanvasObject) int {
			for i, p := range r.root.Objects {
				if p == o {
					return i
				}
				if c, ok := p.(*fyne.Container); ok {
					for _, in := range c.Objects {
						if in == o {
							return i
						}
					}
				}
			}
			return -1
		}
		for i, c := range r.chips {
			if !c.Visible() {
				continue
			}
			for _, o := range r.chips[i+1:] {
				if o.Visible() && meet(box(c), box(o)) {
					t.Errorf("at %v %s lies on %s", size, c.Command.Name, o.Command.Name)
				}
			}
			for k := index(c) + 1; k < len(r.root.Objects); k++ {
				over := r.root.Objects[k]
				if _, group := over.(*fyne.Container); !group && over.Visible() && over.Size().Height > 1 && over.Size().Width > 1 && meet(box(c), box(over)) {
					t.Errorf("at %v %s lies under %T", size, c.Command.Name, over)
				}
			}
		}
	}
}

func TestGlove_EverythingOnTheSheetIsLarger(t *testing.T) {
	r := ready(t)
	fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: theme.Light, Glove: true})
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.typed("29.2")
	r.showAll(false)
	large := 0.0
	for _, s := range r.paper.List().Shapes {
		if strings.ReplaceAll(s.Text, "\u2009", " ") == "29.2 V" {
			large = s.Size
		}
	}
	if large < 40 {
		t.Errorf("the echo is %g high", large)
	}
	pads := 0
	for _, tg := range r.paper.List().Targets {
		if strings.HasPrefix(tg.ID, sheet.PadKey("")) {
			pads++
			if h := tg.Area[2].World.Y() - tg.Area[0].World.Y(); h < theme.GloveTouch {
				t.Errorf("%s is %g high", tg.ID, h)
			}
		}
	}
	if pads == 0 || easel.Sizes().Touch() != theme.GloveTouch {
		t.Error("there is no pad")
	}
}

// The buttons at the foot keep their room when a label becomes longer.
func TestFrame_FootFollowsItsLabels(t *testing.T) {
	r := ready(t)
	for _, key := range "1234567" {
		r.typed(string(key))
		for _, c := range r.chips {
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject(c)
			if c.Visible() && at.X+c.Size().Width > 1280 {
				t.Errorf("shading %c: %s ends at %g", key, c.Command.Name, at.X+c.Size().Width)
			}
		}
	}
}

// With large text on a small screen one thing is shown at a time, and the field
// is in view while it is typed into.
func TestFrame_LowWindowShowsTheField(t *testing.T) {
	r := ready(t)
	r.w.Resize(fyne.NewSize(640, 345))
	if !r.planPane.Visible() || r.paperRoll.Visible() {
		t.Fatal("a low window does not begin with the plan")
	}
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.typed("29.2")
	if r.planPane.Visible() || !r.paperRoll.Visible() {
		t.Fatal("entering does not show the sheet")
	}
	for _, tg := range r.paper.List().Targets {
		if tg.ID == entry.FieldID {
			top, bottom := float32(tg.Area[0].World.Y())-r.paperRoll.Offset.Y, float32(tg.Area[2].World.Y())-r.paperRoll.Offset.Y
			if top < 0 || bottom > r.paperRoll.Size().Height {
				t.Errorf("the field lies at %g to %g of %g", top, bottom, r.paperRoll.Size().Height)
			}
		}
	}
	if !strings.Contains(r.pack.LiveLine(), "Modules cannot be switched off") || r.strip.Size().Height < 60 {
		t.Errorf("the strip is %g high", r.strip.Size().Height)
	}
	r.viewChip.Tapped(nil)
	if !r.planPane.Visible() {
		t.Error("the button does not go back to the plan")
	}
}
