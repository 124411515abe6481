package ui

import (
	"maps"
	"slices"
	"strings"
	"time"

	"halfsplit/ui/kit"
	"halfsplit/ui/proving"
	"halfsplit/ui/sheet"
)

// typingPause is how long nothing must be typed before what is half typed is kept beside
// the case: every keeping is a line of the casebook's log.
const typingPause = 400 * time.Millisecond

// Ids of what goes on with what was typed before the program ended.
const (
	goOnKitID     = "typed:kit"
	goOnIsolateID = "typed:isolate"
)

// leftID begins the ids of entries that are gone on with.
const leftID = "isolate:left:"

// A keeping is what was kept of one page, and what waits to be.
type keeping struct {
	wrote string
	stop  func() // of the pause that runs; nil = none does
	text  func() string
}

// keepSoon keeps the half typed text of a page a moment from now.
func (d *Desk) keepSoon(name string, text func() string) {
	k := d.keepings[name]
	if k == nil {
		k = &keeping{wrote: d.store.Draft(name)}
		if d.keepings == nil {
			d.keepings = map[string]*keeping{}
		}
		d.keepings[name] = k
	}
	k.text = text
	if k.stop != nil {
		k.stop()
	}
	k.stop = d.later(typingPause, func() { d.keepNow(name) })
}

// keepNow keeps what waits to be kept of a page.
func (d *Desk) keepNow(name string) {
	k := d.keepings[name]
	if k == nil || k.stop == nil {
		return
	}
	k.stop()
	k.stop = nil
	text := k.text()
	if text == k.wrote {
		return
	}
	if err := d.store.KeepDraft(name, text); err != nil {
		d.say("What was typed could not be kept: " + err.Error() + ".")
		return
	}
	k.wrote = text
}

// keepAll keeps what waits of every page, before the window goes.
func (d *Desk) keepAll() {
	for _, name := range slices.Sorted(maps.Keys(d.keepings)) {
		d.keepNow(name)
	}
}

// keepKit keeps what is half typed of instruments, test resistors and provings.
func (d *Desk) keepKit() {
	d.keepSoon(kit.KeptName, func() string { return d.kits.Text(&d.kit) })
}

// keepIsolating keeps what is half typed of isolating and proving.
func (d *Desk) keepIsolating() {
	d.keepSoon(proving.KeptName, func() string { return proving.Text(d.isolate.left, &d.isolate.draft) })
}

// restoreTyped takes up what was kept half typed when the program ended, and says where
// it is.
func (d *Desk) restoreTyped() {
	d.kits = kit.Restore(d.deps.Case, d.store.Draft(kit.KeptName), func(id string) string {
		in, _ := d.deps.Case.Instrument(id)
		return d.connection(in)
	})
	d.isolate.left = proving.Restore(d.pack, d.store.Draft(proving.KeptName))
	d.offerKit, d.offerIsolate = len(d.kits) > 0, len(d.isolate.left) > 0
}

// withOffers puts what was half typed when the program ended over the finding, until its
// page is opened.
func (d *Desk) withOffers(b []sheet.Block) []sheet.Block {
	var out []sheet.Block
	if d.offerKit {
		out = append(out, sheet.Block{Kind: sheet.Action, ID: goOnKitID, Text: "Go on with what was typed (I)", Value: "Typed before and not recorded: " + strings.Join(d.kits.Titles(), ", ") + "."})
	}
	if d.offerIsolate {
		out = append(out, sheet.Block{Kind: sheet.Action, ID: goOnIsolateID, Text: "Go on with isolating and proving", Value: "Typed before and not recorded: " + strings.Join(d.leftItems(), ", ") + "."})
	}
	return append(out, b...)
}

// pickOffer is a press on one of them.
func (d *Desk) pickOffer(id string) bool {
	switch id {
	case goOnKitID:
		d.openKit()
	case goOnIsolateID:
		d.openIsolating()
	default:
		return false
	}
	return true
}

// leftItems are the entries of isolating and proving that were left half typed.
func (d *Desk) leftItems() (names []string) {
	for _, item := range slices.Sorted(maps.Keys(d.isolate.left)) {
		names = append(names, proving.Name(item))
	}
	return names
}

// leftBlocks name them on the page; each line goes on with its entry.
func (d *Desk) leftBlocks() []sheet.Block {
	var b []sheet.Block
	for _, item := range slices.Sorted(maps.Keys(d.isolate.left)) {
		var typed []string
		for _, f := range d.isolate.left[item].Fields {
			if t := strings.TrimSpace(f.Text); t != "" {
				typed = append(typed, t)
			}
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: leftID + item, Text: "Go on with: " + proving.Name(item), Value: "Typed and not recorded: " + strings.Join(typed, ", ") + "."})
	}
	return b
}
