// Package emergency is the page for when something goes wrong: the workshop's own
// numbers and steps, in large type, one key away from everywhere and with no case
// needed. Until the workshop has written its own there is a neutral text, which
// leaves the matter to the local services and the maker's rescue sheet.
//
// It holds no numbers of its own, and never says that a thing may be touched, nor
// the opposite.
package emergency

import (
	"encoding/json"
	"strings"

	"halfsplit/ui/sheet"
)

// Setting is the casebook's setting that holds the workshop's page.
const Setting = "emergency"

// A Text is the page as the workshop wrote it: a line each.
type Text struct {
	Numbers string `json:"numbers"` // "who: number"
	Steps   string `json:"steps"`
}

// Default is what stands there until the workshop has written its own.
func Default() Text {
	return Text{Steps: strings.Join([]string{
		"Stop work. Leave the pack as it is: open, close and move nothing more.",
		"Smoke, hissing, a smell of solvent, swelling, heat, a flooded or crushed pack, a cell below the maker's floor: everybody goes away from it, against the wind, and keeps others away.",
		"Call the local emergency services. Say that it is a high-voltage battery, where it is, what was seen, and whether anybody is hurt.",
		"Somebody had a shock or was near an arc, also without a wound: call the local emergency services. Who helps must not become part of the same circuit.",
		"The maker's rescue sheet of this vehicle or pack says how to isolate it and how to fight a fire. Hand it to the services.",
		"Tell them that the inside stays live, that modules cannot be switched off, and that a battery can burn again after hours or days.",
	}, "\n")}
}

// First is what comes before everything on the page.
const First = "Local law, the local emergency services, the maker's instructions and the site's rules come first. Where they differ from this page, they win."

// Read reads what a casebook holds; nothing, or what cannot be read, is the
// default.
func Read(s string) (t Text, own bool) {
	if s == "" || json.Unmarshal([]byte(s), &t) != nil || strings.TrimSpace(t.Numbers+t.Steps) == "" {
		return Default(), false
	}
	return t, true
}

// Write is a text as a casebook holds it.
func (t Text) Write() string {
	b, err := json.Marshal(t)
	if err != nil { // two strings always marshal
		return ""
	}
	return string(b)
}

// Lines are the lines that say something.
func Lines(s string) []string {
	var out []string
	for l := range strings.Lines(s) {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

// Blocks are the page.
func Blocks(t Text, own bool, note string) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Emergency", Bold: true}, {Kind: sheet.Para, Text: First, Bold: true}}
	if note != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: note})
	}
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Numbers"})
	numbers := Lines(t.Numbers)
	for _, l := range numbers {
		who, number, ok := strings.Cut(l, ":")
		if !ok {
			who, number = "", l
		}
		b = append(b, sheet.Block{Kind: sheet.Para, Text: strings.TrimSpace(who)}, sheet.Block{Kind: sheet.Big, Value: strings.TrimSpace(number)})
	}
	if len(numbers) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "The workshop has written none down here yet."})
	}
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Steps"})
	for _, l := range Lines(t.Steps) {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: l})
	}
	if !own {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "This is a neutral text. Replace it by the workshop's own numbers and steps before they are needed."})
	}
	return b
}
