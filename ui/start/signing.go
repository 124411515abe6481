package start

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault/casebook"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// A signing is the page of sign-offs of one case, with what is being typed.
type signing struct {
	caseID, title string
	things        []casebook.Signable
	list          []casebook.SignOff
	chosen        int // of things
	name, role    string
	note          string
	wrong         string
}

// openSigning opens the sign-offs of the chosen case.
func (v *View) openSigning() {
	c, ok := v.chosenCase()
	if !ok {
		return
	}
	if v.signing.caseID != c.ID {
		v.signing = signing{caseID: c.ID, name: v.by().Who, role: v.signing.role}
	}
	v.signing.title, v.signing.wrong = c.Title, ""
	if v.readSigning() {
		v.show(signingPage)
	}
}

// readSigning reads what can be signed and what was, as it is now.
func (v *View) readSigning() bool {
	s := &v.signing
	var err error
	if s.things, err = v.book.Signables(s.caseID); err == nil {
		s.list, err = v.book.SignOffs(s.caseID)
	}
	if err != nil {
		v.fail("The sign-offs cannot be read", err)
		return false
	}
	s.chosen = min(s.chosen, max(0, len(s.things)-1))
	return true
}

// signingThings are what can be signed, the fields of who signs, and the list.
func (v *View) signingThings() []fyne.CanvasObject {
	s := &v.signing
	things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Sign-offs", Bold: true}, {Kind: sheet.Para, Text: CaseName(s.title)},
		{Kind: sheet.Para, Text: "Choose what is signed, read it, and type name and role. A later change makes a sign-off one of an earlier state; it stays in the list."}})}
	for i, x := range s.things {
		b := v.button(signName(x.What), "", i == s.chosen, func() { s.chosen = i; s.wrong = ""; v.show(signingPage) })
		if i == 0 {
			things = append(things, v.row())
		}
		row := things[len(things)-1].(*fyne.Container)
		row.Objects = append(row.Objects, b)
	}
	if len(s.things) > 0 {
		x := s.things[s.chosen]
		blocks := []sheet.Block{{Kind: sheet.Title, Text: "To be signed"}, {Kind: sheet.Para, Text: words.Sentence(x.Said)}, {Kind: sheet.Soft, Text: "Content " + short(x.SHA256)}}
		if s.wrong != "" {
			blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: s.wrong})
		}
		things = append(things, v.words(blocks))
		for _, f := range []struct {
			label string
			to    *string
		}{{"Name", &s.name}, {"Role", &s.role}, {"Remark (may be empty)", &s.note}} {
			e := v.entry(1)
			e.SetText(*f.to)
			e.OnChanged = func(text string) { *f.to = text }
			e.OnSubmitted = func(string) { v.sign() }
			things = append(things, form.NewLabelled(f.label, e))
		}
		things = append(things, v.row(v.button("Record this sign-off", "Enter", true, v.sign), v.button("Leave", "Esc", false, v.back)))
	}
	return append(things, v.words(v.signedBlocks()))
}

// signedBlocks are the sign-offs, the newest first.
func (v *View) signedBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Signed so far", Bold: true}}
	if len(v.signing.list) == 0 {
		return append(b, sheet.Block{Kind: sheet.Para, Text: "Nobody has signed anything of this case."})
	}
	for _, s := range v.signing.list {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: s.Name + ", " + s.Role + ", " + signedAt(s.At), Bold: true}, sheet.Block{Kind: sheet.Para, Text: words.Sentence(s.Said)})
		if s.Note != "" {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: "Remark: " + s.Note})
		}
		b = append(b, sheet.Block{Kind: sheet.Item, Text: Standing(s)})
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("Content %s, event %d", short(s.SHA256), s.Event)})
	}
	return b
}

// Standing says whether what was signed is still so.
func Standing(s casebook.SignOff) string {
	switch {
	case s.Withdrawn != nil:
		return "Taken back on " + signedAt(s.Withdrawn.At) + "; kept here."
	case s.Matches:
		return "What was signed is unchanged."
	}
	return "Of an earlier state: what was signed has changed since."
}

func signedAt(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.Local().Format("2 Jan 2006 15:04")
}

// short is the beginning of a hash, in groups of four.
func short(hash string) string {
	if len(hash) < 16 {
		return hash
	}
	return hash[:4] + " " + hash[4:8] + " " + hash[8:12] + " " + hash[12:16]
}

func signName(what string) string {
	switch what {
	case casebook.SignFinding:
		return "The finding"
	case casebook.SignReadings:
		return "The readings"
	case casebook.SignState:
		return "The present state"
	case casebook.SignMakeSafe:
		return "The make-safe record"
	}
	return "The whole case"
}

// sign records the sign-off of what is shown.
func (v *View) sign() {
	s := &v.signing
	if len(s.things) == 0 {
		return
	}
	signed, err := v.book.Sign(s.caseID, s.things[s.chosen], s.name, s.role, s.note, v.by())
	if err != nil {
		s.wrong = words.Sentence(err.Error()) + " Nothing was recorded."
		v.say("Nothing was signed.")
	} else {
		s.wrong, s.note = "", ""
		v.say("Recorded: sign-off by " + signed.Name + ", " + signed.Role + ".")
	}
	if !v.readSigning() {
		return
	}
	v.show(signingPage)
	switch { // the fields are new ones
	case err == nil:
		v.Focus()
	case strings.TrimSpace(s.name) == "":
		v.focusField("Name")
	default:
		v.focusField("Role")
	}
}

// focusField puts the keyboard on the page's field of a name.
func (v *View) focusField(name string) {
	for _, o := range v.sheet.Objects() {
		if l, ok := o.(*form.Labelled); ok && l.Name == name {
			if f, ok := l.Field.(fyne.Focusable); ok {
				v.focus(f)
			}
		}
	}
}
