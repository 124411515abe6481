package sheet

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/ui/doubt"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// DoubtID and a number is a doubt of the finding, by its place there.
const DoubtID = "doubt:"

// Ids of what can be done about a doubt.
const (
	UseCorrected = "answer:use"
	KeepAsRead   = "answer:keep"
	GoDescribe   = "answer:describe"
	ReadAgain    = "answer:again"
	ShowReading  = "answer:show"
)

// asksBack says near the top that there are doubts to answer; a press opens the
// first.
func (w *writer) asksBack(f *fault.Finding) {
	first, open := -1, 0
	for i, d := range f.Doubts {
		if !doubt.Stands(&w.p.Case, d) {
			open++
			if first < 0 {
				first = i
			}
		}
	}
	switch open {
	case 0:
	case 1:
		w.add(Block{Kind: Doubt, ID: DoubtID + fmt.Sprint(first), Text: "1 doubt to answer: " + doubt.Words(f.Doubts[first]) + ". Press here, or K."})
	default:
		w.add(Block{Kind: Doubt, ID: DoubtID + fmt.Sprint(first), Text: fmt.Sprintf("%d doubts to answer, first of all: %s. Press here, or K.", open, doubt.Words(f.Doubts[first]))})
	}
}

// doubts are the questions that the finding asks back; those that were answered
// stand below, quietly.
func (w *writer) doubts(f *fault.Finding) {
	var answered []fault.Doubt
	open := 0
	for i, d := range f.Doubts {
		if doubt.Stands(&w.p.Case, d) {
			answered = append(answered, d)
			continue
		}
		if open == 0 {
			w.title("Doubts")
		}
		open++
		remark := words.Sentence("Fits if " + d.FitsIf)
		if o := doubt.Odds(d); o != "" {
			remark = "Odds " + o + ". " + remark
		}
		w.add(Block{Kind: Action, ID: DoubtID + fmt.Sprint(i), Text: doubt.Words(d) + " …", Value: remark})
	}
	kept := doubt.Kept(&w.p.Case)
	if open > 0 {
		w.soft("Nothing is changed by itself: press one to answer it, or K.")
	} else if len(kept) > 0 {
		w.title("Doubts, answered")
	}
	for _, r := range kept {
		text := "kept as read: " + r.Stands
		for _, d := range answered {
			if doubt.Against(d, r.ID) {
				text += ". It would fit if " + d.FitsIf
			}
		}
		w.add(Block{Kind: Row, ID: "reading:" + r.ID, Text: r.ID + ", " + readingValue(facts.Flag{Reading: r}), Value: words.Sentence(text)})
	}
}

// Doubted is the page of one doubt: what was entered, what would fit, and what can
// be done. failed says why the last try did not work; "" = none.
func Doubted(p *facts.Pack, d fault.Doubt, failed string) []Block {
	w := &writer{p: p}
	w.add(Block{Kind: Title, Text: doubt.Words(d), Bold: true}, Block{Kind: Doubt, Text: words.Sentence("It fits if " + d.FitsIf)})
	if o := doubt.Odds(d); o != "" {
		w.row("Odds", o+", against everything as it was entered")
	}
	if failed != "" {
		w.add(Block{Kind: Caution, Text: words.Sentence("Nothing was recorded: " + failed)})
	}
	w.remedies(d)
	ids := []string{d.Reading}
	if d.Kind == doubt.Transposed || d.Kind == doubt.Copied || d.Kind == doubt.TwoMeters {
		ids = append(ids, d.With)
	}
	for _, id := range ids {
		if r, ok := p.Case.Reading(id); ok && doubt.OfReading(d) {
			w.entered(r)
		}
	}
	w.soft("Nothing is changed by itself. Whatever you choose stays in the history, and undo takes it back.")
	return w.blocks
}

// entered is what was entered, where and when.
func (w *writer) entered(r fault.Reading) {
	w.title("As entered: " + r.ID)
	w.row("Value", readingValue(facts.Flag{Reading: r}))
	w.row("As typed", orNotRecorded(r.Raw))
	w.row("RED, BLACK", r.Red+", "+r.Black)
	w.row("State", r.State)
	w.row("Taken at", orNotRecorded(r.At))
	w.row("Taken by", orNotRecorded(r.Who))
}

// remedies are the actions, numbered as their keys are.
func (w *writer) remedies(d fault.Doubt) {
	for i, a := range Remedies(w.p, d) {
		w.add(Block{Kind: Action, ID: a.ID, Text: fmt.Sprintf("%d  %s", i+1, a.Text), Value: a.Value})
	}
}

// Remedies are what can be done about a doubt, the likeliest first.
func Remedies(p *facts.Pack, d fault.Doubt) []Block {
	var out []Block
	add := func(id, text, value string) { out = append(out, Block{Kind: Action, ID: id, Text: text, Value: value}) }
	switch doubt.RemedyOf(d) {
	case doubt.Correct:
		if m, err := doubt.Mended(&p.Case, d); err == nil {
			add(UseCorrected, "Use the corrected "+map[bool]string{true: "values", false: "value"}[len(m) > 1], mendedWords(d, m))
		}
	case doubt.Kit:
		add(GoDescribe, "Describe the instrument …", "The page of instruments opens. "+d.With+" stays as it is described; add it under another name with the input resistance of its manual, and enter with that one.")
	case doubt.State:
		add(GoDescribe, "Record what was connected …", "The page of states opens: readings with a second meter on belong to a state that says so.")
	case doubt.Layout:
		add(GoDescribe, "Look at the drawing …", "The stage of the drawing opens, with the order of the list and the ends of the modules. One module read with a meter proves which way it is.")
	}
	if doubt.OfReading(d) {
		add(ReadAgain, "Enter "+d.Reading+" again …", "What the meter shows now takes its place, with a reason.")
		add(KeepAsRead, "Keep as read …", "With a note. The reading then counts as it is, whatever speaks against it.")
		add(ShowReading, "Show "+d.Reading, "Where it was taken, on plan and ruler.")
	}
	return out
}

// mendedWords say what would be recorded.
func mendedWords(d fault.Doubt, m []fault.Reading) string {
	s := ""
	for _, r := range m {
		s += readingValue(facts.Flag{Reading: r})
		if d.Kind == doubt.Stale {
			s += " in state " + r.State
		}
		s += " takes the place of " + r.Supersedes + ". "
	}
	if len(m) > 1 {
		return s + "Both old readings stay in the history; undo takes the new ones back one after the other."
	}
	return s + "The old reading stays in the history; undo takes the new one back."
}
