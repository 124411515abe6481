package drafting

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/ui/sheet"
)

// proofFields are what is written of a proof.
var proofFields = []struct {
	name string
	of   func(*topology.NumberingProof) *string
}{
	{"Which numbers were proved", func(p *topology.NumberingProof) *string { return &p.Of }},
	{"What was done to prove them", func(p *topology.NumberingProof) *string { return &p.Done }},
	{"Who proved them", func(p *topology.NumberingProof) *string { return &p.Who }},
	{"When they were proved", func(p *topology.NumberingProof) *string { return &p.When }},
}

// proofThings are how the numbers were proved, as a person writes it.
func (v *View) proofThings() []fyne.CanvasObject {
	var p topology.NumberingProof
	if kept := v.draft.Layout.Proof; kept != nil {
		p = *kept
	}
	said := "A number that nobody proved on the pack is a guess. One proof is enough to tell a list from its mirror: load or warm one module and see which index moves, or measure one module by meter and find its volts in the list."
	things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Proof of the numbers"}, {Kind: sheet.Soft, Text: said}})}
	for _, f := range proofFields {
		things = append(things, v.asked(f.name, *f.of(&p), func(text string) bool { return v.edit(proved(f.of, text)) })...)
	}
	return things
}

// proved changes what is written of the proof; with nothing written there is none.
func proved(field func(*topology.NumberingProof) *string, text string) result {
	return result{name: "proof of the numbers", do: func(l layout) (layout, error) {
		var p topology.NumberingProof
		if l.Proof != nil {
			p = *l.Proof
		}
		*field(&p) = strings.TrimSpace(text)
		l.Proof = &p
		if p.Of == "" && p.Done == "" && p.Who == "" && p.When == "" && len(p.Extra) == 0 {
			l.Proof = nil
		}
		return l, nil
	}}
}
