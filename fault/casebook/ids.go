package casebook

import "halfsplit/fault"

// idsOf are the ids that a case gives to things other than readings. One id
// names one thing, whatever its kind.
func idsOf(c fault.Case) map[string]bool {
	ids := map[string]bool{}
	l := c.Layout
	for _, x := range l.Stacks {
		ids[x.ID] = true
	}
	for _, x := range l.Modules {
		ids[x.ID] = true
	}
	for _, x := range l.Links {
		ids[x.ID] = true
	}
	for _, x := range l.Boards {
		ids[x.ID] = true
	}
	for _, x := range l.Chassis {
		ids[x.ID] = true
	}
	for _, x := range l.Bonds {
		ids[x.ID] = true
	}
	for _, x := range l.Parts {
		ids[x.ID] = true
	}
	for _, x := range l.Underlays {
		ids[x.ID] = true
	}
	for _, x := range c.Instruments {
		ids[x.ID] = true
	}
	for _, x := range c.Resistors {
		ids[x.ID] = true
	}
	for _, x := range c.States {
		ids[x.ID] = true
	}
	for _, x := range c.Noted {
		ids[x.ID] = true
	}
	for _, x := range c.MakeSafe {
		ids[x.ID] = true
	}
	return ids
}
