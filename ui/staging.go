package ui

import (
	"strconv"
	"strings"

	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
)

// pickStage opens a stage that was pressed.
func (d *Desk) pickStage(id string) {
	n, ok := strings.CutPrefix(id, "stage:")
	if i, err := strconv.Atoi(n); ok && err == nil {
		d.openStage(i)
	}
}

// openStage shows a stage's sheet: entering for the baseline, the finding for
// locating, and for the others what belongs there.
func (d *Desk) openStage(i int) {
	if i < 0 || i >= len(stages.All) {
		return
	}
	d.stage = i
	switch i {
	case stages.Baseline:
		d.choose("")
		d.form.Kind, d.form.Raw = 0, ""
		d.enter()
		return
	case stages.Locate:
		d.showFinding()
	case stages.Isolate:
		d.openIsolating()
	default:
		d.page = stagePage
		d.showSheet(true)
		d.showChips()
	}
	d.say("Stage: " + stages.All[i].Name + ".")
}

// stageShown is the stage that the sheet belongs to.
func (d *Desk) stageShown() int {
	switch d.page {
	case entryPage:
		if d.form.Kind <= 1 {
			return stages.Baseline
		}
	case isolatePage, provingPage:
		return stages.Isolate
	case stagePage:
		return d.stage
	}
	return stages.Locate
}

// listStages opens the list of stages, for windows without the column.
func (d *Desk) listStages() {
	d.toSheet()
	d.stage = d.stageShown()
	d.page = stageListPage
	d.showSheet(true)
	d.showChips()
	d.say("The stages of a repair, in the trade's order.")
}

func (d *Desk) stageList() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Stages", Bold: true}}
	for i, s := range stages.All {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: stages.ID(i), Text: s.Name, Value: stages.Standing(d.pack, i), On: i == d.stage})
	}
	return b
}

// stepStage moves along the list by key.
func (d *Desk) stepStage(by int) {
	n := len(stages.All)
	d.stage = ((d.stage+by)%n + n) % n
	d.showSheet(false)
	d.rollTo(stages.ID(d.stage), 0)
}
