package reaching

import (
	"bytes"
	"fmt"
	"strings"

	"halfsplit/fault/reach"
	"halfsplit/ui/sheet"
)

// Blocks are what the page says at left: what can be asked, how far it is, what came
// out, and what that rests on.
func (p *Page) Blocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "What can be reached on this pack", Bold: true}}
	n := packs[p.packs]
	switch w := p.work; {
	case w.on():
		share := 0.0
		if w.total > 0 {
			share = float64(w.done) / float64(w.total)
		}
		b = append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("%d packs of every leak size are being simulated. Enter or Esc ends it.", n)},
			sheet.Block{Kind: sheet.Bar, Text: "Done", Share: share, Value: fmt.Sprintf("%.0f %%", 100*share)})
	case w.wrong != "":
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "It could not be simulated: " + ended(w.wrong)})
	case w.cancelled:
		text := "It was ended before it was done; nothing of it is kept."
		if p.answer != nil {
			text += " Below is the answer before it."
		}
		b = append(b, sheet.Block{Kind: sheet.Para, Text: text})
	}
	if p.said != "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: p.said})
	}
	if !p.work.on() {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Packs of every leak size", Value: fmt.Sprint(n)})
	}
	if p.answer == nil {
		return append(b, asked(p.work.on())...)
	}
	return append(b, said(*p.answer)...)
}

// asked says what would come out.
func asked(on bool) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Para, Text: "How small a place a leak of each size can be pinned to with these instruments, from the unbroken string and after links are opened, in how many minutes, and how often that is right. Nothing is measured and nothing recorded: leaks are hidden in simulated packs, read by meters that err, and looked for."}}
	if on {
		return b
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Enter begins. A pack of 96 groups takes about half a minute on two cores with 20 packs of every leak size; + and - change how many."})
}

// said is the answer in words.
func said(a reach.Answer) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Expected, not measured"}}
	for _, h := range a.Headlines() {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: h})
	}
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "What this rests on"}, sheet.Block{Kind: sheet.Soft, Text: a.Basis() + " Read with " + a.With() + "."})
	for _, t := range a.Takes {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: t})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Minutes are those of opening the links. Whatever is opened, the inside stays live."})
}

// ended closes a sentence.
func ended(s string) string { return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "." }

// tableText is the table for the clipboard.
func tableText(a reach.Answer) string {
	var out bytes.Buffer
	if err := a.WriteCSV(&out); err != nil {
		return err.Error()
	}
	return out.String()
}
