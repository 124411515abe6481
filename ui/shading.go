package ui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/ui/plan"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// Ids on the page of shadings.
const (
	modeID         = "mode:"
	medianEndID    = "end:median"
	potentialEndID = "end:potential"
	ageEndID       = "end:age"
)

// what each mode shows, and what it does not say.
var modeWords = [...]string{
	"The share with which each place must come out, by the last finding.",
	"Each group above or below its string's median. A number, not a judgement: a spread is no leak.",
	"Each group to chassis, expected, with the meter off.",
	"The last insulation reading to chassis at each module. Ohms, and nothing about good or bad.",
	"Needs a curve of rest volts over charge.",
	"How long before the case's newest record each module was last read.",
	"Modules without volts: blank where recorded, hatched where not.",
}

func (d *Desk) openShading() {
	d.toSheet()
	if d.page == shadingPage {
		d.showFinding()
		return
	}
	d.page = shadingPage
	d.showSheet(true)
	d.showChips()
	d.say("Choose what the modules are shaded by.")
}

// shadingBlocks are the modes, and the ends that the scales are locked to.
func (d *Desk) shadingBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Shade the modules by", Bold: true}}
	for i, name := range plan.ModeNames {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: modeID + strconv.Itoa(i), Text: fmt.Sprintf("%d  %s", i+1, name), Value: modeWords[i], On: d.look.Mode == plan.Mode(i)})
	}
	volts := func(chosen, first float64) string {
		if chosen == 0 {
			chosen = first
		}
		return "± " + strconv.FormatFloat(chosen, 'g', -1, 64) + words.Thin + "V"
	}
	age := d.look.AgeEnd
	if age == 0 {
		age = plan.AgeEnds[0]
	}
	return append(b, sheet.Block{Kind: sheet.Title, Text: "Where the scales end"}, sheet.Block{Kind: sheet.Tiles, Tiles: []sheet.Tile{
		{ID: medianEndID, Name: "Volts from median", Value: volts(d.look.MedianEnd, plan.MedianEnds[0])},
		{ID: potentialEndID, Name: "Potential to chassis", Value: volts(d.look.PotentialEnd, d.plan.PotentialEnds()[0])},
		{ID: ageEndID, Name: "Age of reading", Value: words.Hours(age)},
		{Name: "Insulation", Value: "1" + words.Thin + "kΩ to 1" + words.Thin + "GΩ", Fixed: true},
	}}, sheet.Block{Kind: sheet.Soft, Text: "The scales stay where they are put: they never follow the data. A value beyond an end has a bar along the module's edge."})
}

// pickShading is a press on the page.
func (d *Desk) pickShading(id string) {
	if m, ok := strings.CutPrefix(id, modeID); ok {
		if i, err := strconv.Atoi(m); err == nil {
			d.shade(plan.Mode(i))
		}
		return
	}
	next := func(now *float64, ends []float64) {
		i := max(0, slices.Index(ends, *now))
		*now = ends[(i+1)%len(ends)]
	}
	switch id {
	case medianEndID:
		next(&d.look.MedianEnd, plan.MedianEnds)
	case potentialEndID:
		next(&d.look.PotentialEnd, d.plan.PotentialEnds())
	case ageEndID:
		next(&d.look.AgeEnd, plan.AgeEnds)
	default:
		return
	}
	d.planPane.Refresh()
	d.showSheet(false)
	d.say("The scale ends there until you choose another end.")
}
