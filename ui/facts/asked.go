package facts

import "halfsplit/fault"

// Asked is a pack as it is shown under a question: shares and sections are those of
// the answer. What a person may act on at the metal, the state, what is live and
// the gap of an open link and the volts of a tap to chassis, stays as the case itself
// has it.
func (p *Pack) Asked(answer fault.Finding) *Pack {
	q := New(p.Case, Result{Status: Ready, Finding: &answer, Signs: p.Result.Signs})
	q.real, q.Chassis = p, p.Chassis
	return q
}

// IsAsked says that the pack is shown under a question.
func (p *Pack) IsAsked() bool { return p.real != nil }
