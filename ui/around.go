package ui

import "halfsplit/ui/sheet"

// WhoKey is the preference that keeps who is here.
const WhoKey = whoKey

// Keys is the list of the desk's keys, for the help of the window around it.
func (d *Desk) Keys() []sheet.Block { return keysBlocks(d.set) }
