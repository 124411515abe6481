package drafting

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault/makesafe"
	"halfsplit/topology"
	"halfsplit/topology/match"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/words"
)

// An Other is another layout that this one can be compared with.
type Other struct {
	ID, Name string
	About    string // its version and what rests on it, in a few words
}

// A versioning is what the page of versions has in hand.
type versioning struct {
	picking  bool   // the other layouts are listed
	with     *Other // that is compared with; nil = none
	layout   topology.Layout
	who, why string                  // of a reason, as typed
	wrong    string                  // about it
	seen     map[int]topology.Layout // older versions; one in use does not change any more
	partial  map[int]bool            // of versions in use
	looking  int                     // version that is shown as it was; 0 = the drawing as it stands
}

// mostLines is how many differences of each part a page lists.
const mostLines = 30

// versionThings are the versions of the drawing, the newest first, and what differs
// from each to the next.
func (v *View) versionThings() []fyne.CanvasObject {
	vs := &v.versions
	if vs.picking {
		return v.otherLayoutThings()
	}
	if vs.with != nil {
		return v.comparedThings()
	}
	all, err := v.deps.Store.Versions()
	if err != nil {
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Versions", Bold: true}, {Kind: sheet.Caution, Text: words.Sentence(err.Error())}})}
	}
	things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Versions", Bold: true}, {Kind: sheet.Soft, Text: versionsWords(len(all))}})}
	if v.deps.Others != nil { // first, so that the keyboard has a place at the top of the page
		things = append(things, v.row(v.chip("Compare with another layout of this casebook …", "", false, v.pickOther)))
	}
	if vs.looking == 0 {
		things = append(things, v.caseThings()...)
	}
	for i, one := range all {
		things = append(things, v.versionThing(one, all[i+1:])...)
	}
	return things
}

func versionsWords(n int) string {
	if n == 1 {
		return "There is one version. Once a reading rests on it, the next change begins another, and what was read stays with this one."
	}
	return "The newest is first. Readings stay with the version that they were taken on."
}

// versionThing is one version: what rests on it, and what it changed.
func (v *View) versionThing(one store.LayoutVersion, older []store.LayoutVersion) []fyne.CanvasObject {
	b := []sheet.Block{{Kind: sheet.Title, Text: fmt.Sprintf("Version %d, %s", one.Number, standing(one))}, {Kind: sheet.Para, Text: restsWords(one)}}
	if changed := v.changedWords(one); changed != "" {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: changed})
	}
	l, err := v.version(one)
	switch {
	case err != nil:
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: words.Sentence(err.Error())})
	case (!one.Draft || one.Cases > 0) && v.partial(one, l):
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: partialWords})
	}
	if err == nil && len(older) > 0 && !v.toldOfCase(one.Number, older[0].Number) {
		before, err := v.version(older[0])
		if err != nil {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: words.Sentence(err.Error())})
		} else {
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("Against version %d:", older[0].Number)})
			b = append(b, sheet.Differences(match.Compare(before, l), mostLines, true)...)
		}
	}
	things := []fyne.CanvasObject{v.changes(b)}
	newest := v.deps.Store.Info().Version
	switch {
	case v.versions.looking == one.Number:
		things = append(things, v.words([]sheet.Block{{Kind: sheet.Soft, Text: "This version is shown now."}}))
	case one.Number != newest:
		things = append(things, v.row(v.chip(fmt.Sprintf("Look at version %d", one.Number), "", false, func() { v.look(one.Number) })))
	}
	return things
}

// partial says that a version leaves open what is joined to what. Of one in use it is
// worked out once.
func (v *View) partial(one store.LayoutVersion, l topology.Layout) bool {
	vs := &v.versions
	if one.Draft {
		return NewDraft(l).Partial()
	}
	is, known := vs.partial[one.Number]
	if !known {
		if vs.partial == nil {
			vs.partial = map[int]bool{}
		}
		is = NewDraft(l).Partial()
		vs.partial[one.Number] = is
	}
	return is
}

// toldOfCase says that what differs between two versions stands above already, since
// the case rests on the one and would come to rest on the other.
func (v *View) toldOfCase(newer, older int) bool {
	if v.deps.Use == nil || v.deps.CaseVersion == nil || v.versions.looking > 0 || newer != v.deps.Store.Info().Version {
		return false
	}
	rests, err := v.deps.CaseVersion()
	return err == nil && rests == older
}

// partialWords are what a version in use without a whole path is.
const partialWords = "Partial layout: sections only. What is joined works as sections; what is not joined is not known."

func standing(one store.LayoutVersion) string {
	if one.Draft {
		return "a draft"
	}
	return "in use"
}

func restsWords(one store.LayoutVersion) string {
	if one.Cases+one.Readings+one.Lists == 0 {
		return "Nothing rests on it yet."
	}
	var parts []string
	for _, p := range []struct {
		n    int
		noun string
	}{{one.Cases, "case"}, {one.Readings, "reading"}, {one.Lists, "list"}} {
		if p.n > 0 {
			parts = append(parts, count(p.n, p.noun))
		}
	}
	words := "On it rest " + list(parts)
	if one.Lists > 0 {
		words += " of group volts"
	}
	return words + "."
}

// changedWords say when a version was changed last and by whom.
func (v *View) changedWords(one store.LayoutVersion) string {
	when := ""
	if t, err := time.Parse(time.RFC3339, one.At); err == nil {
		if v.deps.Now != nil {
			t = t.In(v.deps.Now().Location())
		}
		when = " on " + t.Format("2 Jan 2006 15:04")
	}
	switch {
	case when == "" && one.Who == "":
		return ""
	case one.Who == "":
		return "Changed last" + when + "; by whom is not recorded."
	}
	return "Changed last" + when + " by " + one.Who + "."
}

// version is a layout as a version had it. One in use does not change any more.
func (v *View) version(one store.LayoutVersion) (topology.Layout, error) {
	if one.Number == v.deps.Store.Info().Version {
		return v.deps.Store.Layout(), nil
	}
	return v.older(one.Number)
}

func (v *View) older(number int) (topology.Layout, error) {
	vs := &v.versions
	if l, ok := vs.seen[number]; ok {
		return l, nil
	}
	l, err := v.deps.Store.Version(number)
	if err == nil {
		if vs.seen == nil {
			vs.seen = map[int]topology.Layout{}
		}
		vs.seen[number] = l
	}
	return l, err
}

// look shows a version as it was; nothing can be changed meanwhile.
func (v *View) look(number int) {
	if v.busy {
		v.say("Wait: something is still being done.")
		return
	}
	l, err := v.older(number)
	if err != nil {
		v.refuse(err)
		return
	}
	v.take(Choosing)
	v.versions.looking = number
	v.draft.AsItWas = fmt.Sprintf("Version %d, as it was; nothing can be changed here", number)
	v.draft.Several = false
	v.draft.Choose("", false)
	v.draft.Set(l)
	v.page, v.turned = versionsPage, false
	v.say(v.draft.AsItWas + ". Esc goes back.")
	v.again()
	v.Focus()
}

// lookAway shows the drawing as it stands again.
func (v *View) lookAway() {
	v.versions.looking = 0
	v.draft.AsItWas = ""
	v.draft.Choose("", false)
	v.draft.Set(v.deps.Store.Layout())
	v.say(fmt.Sprintf("Version %d again, the newest.", v.deps.Store.Info().Version))
	v.again()
	v.Focus()
}

// locked says that the drawing is one that was, and cannot be changed.
func (v *View) locked() bool {
	if v.draft.AsItWas == "" {
		return false
	}
	v.say(v.draft.AsItWas + ". Esc goes back to the newest.")
	return true
}

// changes are words with differences among them, each a way to its thing.
func (v *View) changes(b []sheet.Block) fyne.CanvasObject { return v.lines(b, v.goToChange) }

// lockedThings say on every page that the drawing is one that was.
func (v *View) lockedThings() []fyne.CanvasObject {
	if v.draft.AsItWas == "" {
		return nil
	}
	return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Caution, Text: v.draft.AsItWas + "."}}), v.row(v.chip("Back to the newest", "Esc", true, v.lookAway))}
}

// goToChange goes to the thing of a difference, or says why there is no way to it.
func (v *View) goToChange(id string) {
	if v.draft.Kind(id) == "" {
		v.say(id + " is not in this drawing: it is in an older version, or in the other layout.")
		return
	}
	v.goTo(id)
}

// caseThings are which version the case rests on and what it would come to rest on,
// with what that changes.
func (v *View) caseThings() []fyne.CanvasObject {
	if v.deps.Use == nil || v.deps.CaseVersion == nil {
		return nil
	}
	title := sheet.Block{Kind: sheet.Title, Text: "The case that you came from"}
	rests, err := v.deps.CaseVersion()
	var was topology.Layout
	if err == nil && rests != v.deps.Store.Info().Version {
		was, err = v.older(rests)
	}
	if err != nil {
		return []fyne.CanvasObject{v.words([]sheet.Block{title, {Kind: sheet.Caution, Text: words.Sentence(err.Error())}})}
	}
	newest := v.deps.Store.Info().Version
	if rests == newest {
		text := fmt.Sprintf("It rests on version %d, which is this drawing.", rests)
		return []fyne.CanvasObject{v.words([]sheet.Block{title, {Kind: sheet.Para, Text: text}})}
	}
	b := []sheet.Block{title, {Kind: sheet.Para, Text: fmt.Sprintf("It rests on version %d. This drawing is version %d. What differs:", rests, newest)}}
	b = append(b, sheet.Differences(match.Compare(was, v.deps.Store.Layout()), mostLines, true)...)
	b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Readings keep the version that they were taken on, whatever the case rests on."})
	return append([]fyne.CanvasObject{v.changes(b)}, v.useThings()...)
}

// useThings let the case rest on the drawing. One without a whole path needs a reason
// by a named person, which is recorded.
func (v *View) useThings() []fyne.CanvasObject {
	vs := &v.versions
	use := v.row(v.chip("Let the case rest on this drawing", "", true, v.use))
	if !v.draft.Partial() {
		return []fyne.CanvasObject{use}
	}
	b := []sheet.Block{{Kind: sheet.Caution, Text: partialWords + " A named person may let the case rest on it for a reason of a sentence, which is recorded."}}
	if vs.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: vs.wrong})
	}
	if vs.who == "" && v.deps.Who != nil {
		vs.who = v.deps.Who()
	}
	who, why := v.entry(vs.who), v.entry(vs.why)
	who.OnChanged = func(s string) { vs.who = s }
	why.OnChanged = func(s string) { vs.why = s }
	why.OnSubmitted = func(string) { v.use() }
	return []fyne.CanvasObject{v.words(b), form.NewLabelled("Name", who), form.NewLabelled("Reason", why), use}
}

// use lets the case rest on what is drawn.
func (v *View) use() {
	vs := &v.versions
	if v.locked() {
		return
	}
	who, why := "", ""
	if v.draft.Partial() {
		who, why = strings.TrimSpace(vs.who), strings.TrimSpace(vs.why)
		if err := makesafe.Reason(who, why); err != nil {
			vs.wrong = words.Sentence(err.Error())
			v.say("Not done: this is a partial layout, sections only, and the case needs a reason to rest on it.")
			v.page = versionsPage
			v.again()
			return
		}
		why = "Partial layout: sections only. " + why
	}
	vs.wrong = ""
	said, err := v.deps.Use(who, why)
	if err != nil {
		v.refuse(err)
		return
	}
	vs.why = ""
	v.say(said)
	v.again()
	v.Focus()
}

// Partial says that the drawing leaves open what is joined to what.
func (d *Draft) Partial() bool { return len(d.Layout.Modules) == 0 || d.pack.Partial() }

// pickOther lists the other layouts.
func (v *View) pickOther() {
	v.versions.picking, v.versions.with = true, nil
	v.page, v.turned = versionsPage, true
	v.again()
	v.sheet.Roll.ScrollToTop()
	v.focusSheet()
}

// otherLayoutThings are the layouts that this one can be compared with.
func (v *View) otherLayoutThings() []fyne.CanvasObject {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Compare with which layout?", Bold: true}}
	all, err := v.deps.Others()
	switch {
	case err != nil:
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: words.Sentence(err.Error())})
	case len(all) == 0:
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "There is no other layout in this casebook. Import one, or draw one."})
	}
	things := []fyne.CanvasObject{v.words(b)}
	for _, o := range all {
		things = append(things, v.row(v.chip(short(o.Name), "", false, func() { v.compare(o) })), v.words([]sheet.Block{{Kind: sheet.Soft, Text: o.About}}))
	}
	return append(things, v.row(v.chip("Back to the versions", "Esc", false, v.leaveOther)))
}

// short is a name that a button has room for.
func short(name string) string {
	if r := []rune(name); len(r) > 34 {
		return string(r[:33]) + "…"
	}
	return name
}

// compare holds the drawing against another layout.
func (v *View) compare(with Other) {
	l, err := v.deps.Other(with.ID)
	if err != nil {
		v.refuse(err)
		return
	}
	v.versions.picking, v.versions.with, v.versions.layout = false, &with, l
	v.again()
	v.sheet.Roll.ScrollToTop()
	v.say("Compared with " + with.Name + ": " + sheet.Matched(match.Compare(l, v.draft.Layout)) + ".")
	v.focusSheet()
}

// comparedThings are what differs from the other layout to this drawing.
func (v *View) comparedThings() []fyne.CanvasObject {
	vs := &v.versions
	b := []sheet.Block{{Kind: sheet.Title, Text: "This drawing against " + vs.with.Name, Bold: true}, {Kind: sheet.Soft, Text: "Each line says how this drawing differs from that layout. A press goes to the thing."}}
	b = append(b, sheet.Differences(match.Compare(vs.layout, v.draft.Layout), mostLines, true)...)
	return []fyne.CanvasObject{v.changes(b), v.row(v.chip("Compare with another", "", false, v.pickOther), v.chip("Back to the versions", "Esc", false, v.leaveOther))}
}

// leaveOther goes back to the list of versions.
func (v *View) leaveOther() {
	v.versions.picking, v.versions.with = false, nil
	v.again()
	v.Focus()
}
