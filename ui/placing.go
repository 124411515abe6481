package ui

import "halfsplit/ui/entry"

// A Place is where a person is in a case: what is selected, and the reading in
// the making with what is typed of it. It is kept outside the case, so that a
// program that ends in the middle of an entry comes back to it.
type Place struct {
	Selected string     `json:"selected,omitempty"`
	Entering bool       `json:"entering,omitempty"`
	Form     entry.Form `json:"form"`
}

// comeBack goes to the place that was kept, as far as the case still has it.
func (d *Desk) comeBack(p Place) {
	if d.deps.Case.Layout.Modules == nil {
		return
	}
	if f, ok := p.Form.Restore(d.pack); ok {
		d.form = f
		if p.Entering {
			d.page, p.Selected = entryPage, f.Selected()
		}
		if f.Raw != "" {
			d.happened = "Typed before and not saved: " + f.Raw + " at " + f.Title() + "."
			if !p.Entering {
				d.happened += " Enter goes on with it."
			}
		}
	}
	d.selected = p.Selected
}

// keepPlace keeps where a person is, when it has changed.
func (d *Desk) keepPlace() {
	p := Place{Selected: d.selected, Entering: d.page == entryPage, Form: d.form}
	p.Form.Failed = ""
	if d.deps.SavePlace == nil || p == d.kept {
		return
	}
	d.kept = p
	d.deps.SavePlace(p)
}
