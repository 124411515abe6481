package ui

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/locate"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/store"
	"halfsplit/ui/whatif"
)

// answer is a finding under a question that differs from the one that stands.
func answer(q locate.WhatIf) fault.Finding {
	f := sample.Finding()
	f.WhatIf = q.String()
	f.Statement = "What if, " + f.WhatIf + ": one leak, most likely in M03."
	f.Suspicion = []fault.Share{{ID: "M03", Kind: fault.PlaceModule, Share: 0.9}, {ID: "M04", Kind: fault.PlaceModule, Share: 0.1}}
	f.Sections[1].ChassisVolts = fault.Interval{Low: 10, Mid: 20, High: 30}
	return f
}

// asker is a rig whose questions are answered, and what was asked last.
func asker(t *testing.T, failing error) (*rig, *locate.WhatIf, *[]fault.Finding) {
	var asked locate.WhatIf
	saved := []fault.Finding{}
	r := newRig(t, func(d *Deps) {
		d.FindIf = func(_ context.Context, _ fault.Case, q locate.WhatIf) (fault.Finding, error) {
			asked = q
			return answer(q), failing
		}
		d.Store = &counting{Store: store.NewMemory(sample.Case()), saved: &saved}
	})
	r.runJobs()
	return r, &asked, &saved
}

// counting counts the findings that are saved.
type counting struct {
	store.Store
	saved *[]fault.Finding
}

func (c *counting) SaveFinding(f fault.Finding) error {
	*c.saved = append(*c.saved, f)
	return c.Store.SaveFinding(f)
}

func texts(l *scene.List) string {
	var b strings.Builder
	for _, s := range l.Shapes {
		b.WriteString(s.Text + "\n")
	}
	return strings.ReplaceAll(b.String(), "\u2009", " ")
}

func TestWhatIf_ByKeysAloneAndEndsWithEscape(t *testing.T) {
	r, asked, saved := asker(t, nil)
	live, state, finding := r.pack.LiveLine(), r.pack.StateLine(), r.pack.FindingLine()
	before, kept := recorded(r), len(*saved)
	r.typed("q")
	r.key(fyne.KeyDown, fyne.KeyDown, fyne.KeyDown, fyne.KeySpace, fyne.KeyReturn) // leaks, dmm, r9, r8; r9 is doubted and left out already
	if !r.whatIf.stands() || !strings.Contains(texts(r.strip.List()), "being computed") || r.whatIf.pack != nil {
		t.Fatalf("while it is computed the strip says\n%s", texts(r.strip.List()))
	}
	r.runJobs()
	if !slices.Equal(asked.Leave, []string{"r8", "r9"}) {
		t.Fatalf("asked %+v", *asked)
	}
	strip := texts(r.strip.List())
	for _, want := range []string{"What if, without r8 and r9. " + whatif.NotRecorded, "End what-if", "Recorded: SD open"} {
		if !strings.Contains(strings.ReplaceAll(strip, "\n", " "), want) {
			t.Errorf("the strip lacks %q:\n%s", want, strip)
		}
	}
	if !strings.Contains(texts(r.planPane.List()), "What if: not recorded") || !strings.Contains(texts(r.rulerPane.List()), "What if: not recorded") {
		t.Error("plan or ruler is not marked")
	}
	if !strings.Contains(texts(r.planPane.List()), "90 %") || strings.Contains(texts(r.planPane.List()), "71 %") {
		t.Errorf("the plan does not show the answer:\n%s", texts(r.planPane.List()))
	}
	if !strings.Contains(r.onSheet(), "M03: 90 %") || strings.Count(r.onSheet(), "What if, without r8 and r9") != 1 {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	if r.pack.LiveLine() != live || r.whatIf.pack.LiveLine() != live || r.whatIf.pack.StateLine() != state || r.whatIf.pack.FindingLine() != finding {
		t.Error("a question changed what is live, the state or the finding that stands")
	}
	if recorded(r) != before || len(*saved) != kept || r.store.Steps().Undo != "" {
		t.Error("a question was recorded")
	}
	r.typed("c")
	if !strings.HasPrefix(r.copy, "What if, without r8 and r9. "+whatif.NotRecorded) {
		t.Errorf("the copy begins %q", strings.SplitN(r.copy, "\n", 2)[0])
	}
	r.key(fyne.KeyEscape)
	if r.whatIf.stands() || strings.Contains(texts(r.strip.List()), "What if") || !strings.Contains(texts(r.planPane.List()), "71 %") || strings.Contains(texts(r.planPane.List()), "not recorded") {
		t.Errorf("after Escape:\n%s%s", texts(r.strip.List()), texts(r.planPane.List()))
	}
}

func TestWhatIf_ByTapsAloneAndEndsWithTheButton(t *testing.T) {
	r, asked, _ := asker(t, nil)
	r.tapSheet(t, whatIfID)
	r.tapSheet(t, whatif.ItemID(0))
	r.tapSheet(t, whatif.ItemID(0))
	r.tapSheet(t, whatif.ItemID(1))
	r.tapKeys(t, "1", "M")
	r.primary.Tapped(nil)
	r.runJobs()
	if asked.Leaks != 2 || asked.Input["dmm"] != 1e6 {
		t.Fatalf("asked %+v", *asked)
	}
	r.pickStrip(endWhatIfID)
	if r.whatIf.stands() || strings.Contains(r.onSheet(), "M03: 90") {
		t.Error("the button does not end it")
	}
}

func TestWhatIf_TheGapOfAnOpenLinkStaysTheCasesOwn(t *testing.T) {
	r, _, _ := asker(t, nil)
	l, _ := r.pack.Net.Link("SD")
	gap := r.pack.GapOf(l)
	r.typed("q")
	r.key(fyne.KeySpace, fyne.KeyReturn)
	r.runJobs()
	if got := r.seen().GapOf(l); got.Low != gap.Low || got.High != gap.High || got.Low == 0 {
		t.Errorf("gap %+v under a question, %+v without", got, gap)
	}
	n, _ := r.pack.Net.Node("M08-")
	if r.seen().Chassis[n] != r.pack.Chassis[n] {
		t.Error("a tap's volts to chassis are the answer's")
	}
	if u, _ := r.seen().SectionOf(n).ChassisAt(); u.Mid != 20 {
		t.Errorf("the ruler's mark lies at %v", u.Mid)
	}
}

func TestWhatIf_CancelledWhileItIsComputed(t *testing.T) {
	r, _, _ := asker(t, nil)
	r.typed("q")
	r.key(fyne.KeySpace, fyne.KeyReturn, fyne.KeyEscape)
	if r.whatIf.stands() {
		t.Error("Escape does not cancel it")
	}
	r.runJobs()
	if r.whatIf.stands() || r.whatIf.pack != nil || strings.Contains(r.onSheet(), "M03: 90") {
		t.Error("an answer came after it was cancelled")
	}
}

func TestWhatIf_NoAnswerIsSaid(t *testing.T) {
	r, _, _ := asker(t, errors.New("two states are mixed"))
	r.typed("q")
	r.key(fyne.KeyReturn)
	if r.page != whatIfPage || !strings.Contains(r.onSheet(), "Nothing is asked yet") {
		t.Errorf("nothing was chosen:\n%s", r.onSheet())
	}
	r.key(fyne.KeySpace, fyne.KeyReturn)
	r.runJobs()
	if !strings.Contains(r.onSheet(), "two states are mixed") || !strings.Contains(texts(r.strip.List()), "no answer") {
		t.Errorf("%s\n%s", r.onSheet(), texts(r.strip.List()))
	}
	r.key(fyne.KeyEscape)
	if r.whatIf.stands() {
		t.Error("Escape does not end it")
	}
}

// What is recorded belongs to the case: it ends the question.
func TestWhatIf_EndsWithTheNextRecord(t *testing.T) {
	r, _, saved := asker(t, nil)
	r.typed("q")
	r.key(fyne.KeySpace, fyne.KeyReturn)
	r.runJobs()
	before := len(*saved)
	if _, err := r.store.AddReading(fault.Reading{State: "split", Quantity: fault.Volts, Red: "M01-", Black: "chassis", Value: -11.7, Instrument: "dmm"}); err != nil {
		t.Fatal(err)
	}
	r.afterCommand()
	r.runJobs()
	if r.whatIf.stands() || len(*saved) != before+1 || (*saved)[before].WhatIf != "" {
		t.Errorf("stands %v, saved %d more", r.whatIf.stands(), len(*saved)-before)
	}
}

// A finding that becomes ready under a question changes the case below it, not the
// answer.
func TestWhatIf_StaysOverAFindingThatComes(t *testing.T) {
	r, _, _ := asker(t, nil)
	r.typed("q")
	r.key(fyne.KeySpace, fyne.KeyReturn)
	r.runJobs()
	r.work()
	if !r.whatIf.stands() || r.seen() == r.pack || r.seen().Share["M03"] != 0.9 {
		t.Error("the answer is gone when the case is worked out again")
	}
	l, _ := r.pack.Net.Link("SD")
	if a, b := r.seen().GapOf(l), r.pack.GapOf(l); a.Low != b.Low || a.High != b.High {
		t.Errorf("gap %+v over %+v", a, b)
	}
}
