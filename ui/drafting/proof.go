package drafting

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/ui/sheet"
)

// proofThings are how the numbers were proved, as a person writes it.
func (v *View) proofThings() []fyne.CanvasObject {
	var p topology.NumberingProof
	if kept := v.draft.Layout.Proof; kept != nil {
		p = *kept
	}
	said := "A number that nobody proved on the pack is a guess. One proof is enough to tell a list from its mirror: load or warm one module and see which index moves, or measure one module by meter and find its volts in the list."
	things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Proof of the numbers"}, {Kind: sheet.Soft, Text: said}})}
	for _, f := range []struct {
		name, text string
		set        func(*topology.NumberingProof, string)
	}{
		{"Which numbers were proved", p.Of, func(p *topology.NumberingProof, s string) { p.Of = s }},
		{"What was done to prove them", p.Done, func(p *topology.NumberingProof, s string) { p.Done = s }},
		{"Who proved them", p.Who, func(p *topology.NumberingProof, s string) { p.Who = s }},
		{"When they were proved", p.When, func(p *topology.NumberingProof, s string) { p.When = s }},
	} {
		things = append(things, v.asked(f.name, f.text, func(text string) bool { return v.edit(proved(f.set, text)) })...)
	}
	return things
}

// proved changes what is written of the proof; with nothing written there is none.
func proved(set func(*topology.NumberingProof, string), text string) result {
	return result{name: "proof of the numbers", do: func(l layout) (layout, error) {
		var p topology.NumberingProof
		if l.Proof != nil {
			p = *l.Proof
		}
		set(&p, strings.TrimSpace(text))
		l.Proof = &p
		if p.Of == "" && p.Done == "" && p.Who == "" && p.When == "" && len(p.Extra) == 0 {
			l.Proof = nil
		}
		return l, nil
	}}
}
