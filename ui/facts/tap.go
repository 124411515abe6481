package facts

import "strings"

// TapOf is the name of the tap that an id stands for: a tap's own, or that of a
// reading's red lead, or of its black lead where red was on the chassis.
func (p *Pack) TapOf(id string) (string, bool) {
	id, ok := strings.CutPrefix(id, "reading:")
	if !ok {
		return strings.CutPrefix(id, "node:")
	}
	for _, r := range p.Case.Readings {
		switch {
		case r.ID != id:
		case strings.HasPrefix(r.Red, "chassis"):
			return r.Black, true
		default:
			return r.Red, true
		}
	}
	return "", false
}
