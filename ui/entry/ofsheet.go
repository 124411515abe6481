package entry

import "halfsplit/ui/facts"

// OfSheet is the run in which a printed bench sheet is typed in, from what its number
// stands for: its boxes in its order, for the state that it was printed for, whichever
// is present now.
func OfSheet(p *facts.Pack, of Run) *Run {
	r, state := &of, of.State
	r.Name = "sheet " + r.Sheet
	r.Start(p, 0)
	r.State = state
	r.stand(p)
	return r
}

// elsewhere says that the reading belongs to another state than the present one, of
// which nothing that is expected now speaks.
func (f Form) elsewhere(p *facts.Pack) bool { return f.State != "" && f.State != p.Case.Now }
