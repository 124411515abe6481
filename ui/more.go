package ui

import (
	"strconv"
	"strings"

	"halfsplit/ui/command"
	"halfsplit/ui/sheet"
)

// moreID and a number is a line on the page of what else can be done.
const moreID = "more:"

// moreCommand opens the page of what has no button, or none where a window is small.
func (d *Desk) moreCommand() {
	d.moreChip = d.button(d.planChips, &command.Command{Name: "More", Help: "What else can be done here, as a list to press", Keys: "M", Runes: "m",
		Do: d.openMore, On: func() bool { return d.page == morePage }})
}

func (d *Desk) openMore() {
	d.toSheet()
	if d.page == morePage {
		d.showFinding()
		return
	}
	d.page = morePage
	d.showSheet(true)
	d.showChips()
	d.say("Choose what to do.")
}

// more are the commands of the page, as numbers of the set's list.
func (d *Desk) more() (out []int) {
	wanted := []string{"Shading", "State", "Stages", "Run", "Note", "Photos", "Instruments", "Who is here", "Take in a list", "Bench sheet", "Doubts", "What if", "Help with measuring", "Ask the meter", "Over time", "Before and after", "Drawing table", "Lifted", "One tier", "Other side", "Boards, parts", "Cautions", "View", "Panes", "Colours", "Compute", "Redo", "Copy", "Keys"}
	for _, name := range wanted {
		for i, c := range d.set.List() {
			if c.Name == name {
				out = append(out, i)
			}
		}
	}
	return out
}

func (d *Desk) moreBlocks() []sheet.Block {
	var b []sheet.Block
	low := d.frame != nil && d.frame.folded()
	for _, i := range d.more() {
		c := d.set.List()[i]
		text := c.Name
		if c.Label != nil {
			text = c.Label()
		}
		if c.Name == "Shading" {
			text = c.Name + ": " + text
		}
		line := sheet.Block{Kind: sheet.Action, ID: moreID + strconv.Itoa(i), Text: text, Value: c.Help + ": key " + c.Keys + "."}
		if low {
			line.Value = ""
		}
		b = append(b, line)
	}
	if low {
		return pairs(b)
	}
	return append([]sheet.Block{{Kind: sheet.Title, Text: "More", Bold: true}}, b...)
}

// pairs sets lines two beside each other: a low window would show two of them else.
func pairs(lines []sheet.Block) (out []sheet.Block) {
	for i := 0; i < len(lines); i += 2 {
		out = append(out, sheet.Block{Kind: sheet.Halves, Share: 0.5, Left: lines[i : i+1], Right: lines[i+1 : min(i+2, len(lines))]})
	}
	return out
}

// pickMore is a press on the page.
func (d *Desk) pickMore(id string) {
	n, _ := strings.CutPrefix(id, moreID)
	i, err := strconv.Atoi(n)
	if err != nil || i < 0 || i >= len(d.set.List()) {
		return
	}
	d.page = findingPage // unless the command opens another one
	d.set.List()[i].Do()
	d.showSheet(true)
	d.showChips()
}
