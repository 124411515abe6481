// Package stages is the trade's order of a repair: eleven stages, what each one
// records, how far this case is, and what is lacking. Any of them can be opened
// at any time; nothing is blocked.
//
// It reads facts and knows no widget. A stage whose records this program does
// not keep yet says so, and has no control that would pretend otherwise.
package stages

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/proving"
	"halfsplit/ui/sheet"
)

// A Stage of a repair.
type Stage struct {
	Name    string
	Short   string   // for a bar
	Records []string // what belongs into it, as sentences
	Works   bool     // this program does its work here
}

// Numbers of the stages that do something.
const (
	Isolate  = 1
	Draw     = 2
	Baseline = 3
	Locate   = 4
)

// All are the stages, in the trade's order.
var All = []Stage{
	{Name: "Intake", Short: "Intake", Records: []string{"The customer's words, as they were said.", "Date, odometer, weather of the past days, last work on coolant or air conditioning, crash or flood history.", "The codes and the isolation value that the vehicle shows itself, before anything is cleared."}},
	{Name: "Isolate and prove", Short: "Isolate", Works: true},
	{Name: "Draw the pack", Short: "Draw", Records: []string{"Stacks, modules with their groups and which end is minus, links, boards, chassis pieces.", "Bench numbers, the maker's labels and the monitor's order, side by side.", "What covers and holds what."}},
	{Name: "Baseline", Short: "Baseline", Works: true},
	{Name: "Locate", Short: "Locate", Works: true},
	{Name: "Strip", Short: "Strip", Records: []string{"The order of removal from what covers and holds what, with the volts of every section after each step.", "Every link as it is opened, with its measured gap.", "Photos, and every removed module's place and temperature."}},
	{Name: "Bench test", Short: "Bench", Records: []string{"Pole to pole volts, volts to the case and insulation of the removed module, both polarities.", "Group volts and inner resistance, with temperature and rest time.", "Cause photo: wet, chafed, cracked."}},
	{Name: "Replacement", Short: "Replace", Records: []string{"Label, date, capacity, mass and which end is minus of the module that comes in.", "Its group volts against the pack's, the charge that it needs, attended and with a cut-off.", "Its insulation before it goes in."}},
	{Name: "Rebuild", Short: "Rebuild", Records: []string{"Each joint with its torque, the source of the torque, and its resistance.", "The measured gap before each link is closed.", "Insulation after each stage of closing."}},
	{Name: "Check in the vehicle", Short: "Check", Records: []string{"Tightness, bonding and interlock before the pack is energised.", "The vehicle's own isolation value against what the modules predict.", "The spread at rest and after a drive."}},
	{Name: "Hand back", Short: "Hand back", Records: []string{"What was found, what was changed, what was not tested, and the day of the next look.", "Who signed what."}},
}

// Standing is how far a stage is, in a few words.
func Standing(p *facts.Pack, stage int) string {
	switch stage {
	case Isolate:
		return proving.Standing(&p.Case)
	case Draw:
		if n := len(p.Problems); n > 0 {
			return fmt.Sprintf("%d to look at", n)
		}
		if len(p.Net.Layout.Modules) == 0 {
			return "nothing drawn"
		}
		return fmt.Sprintf("%d modules", len(p.Net.Layout.Modules))
	case Baseline:
		if len(p.Modules) == 0 {
			return "nothing drawn"
		}
		have := 0
		for _, m := range p.Modules {
			if m.Own || m.Measured == len(m.Groups) && m.Measured > 0 {
				have++
			}
		}
		if lack := len(p.Modules) - have; lack > 0 {
			return fmt.Sprintf("lacks %d", lack)
		}
		return "complete"
	case Locate:
		f := p.Result.Finding
		if f == nil {
			return "no finding"
		}
		if p.Result.Stale {
			return "older"
		}
		return map[string]string{fault.TooFewReadings: "too few", fault.Inconsistent: "inconsistent", fault.NotInString: "not in string", fault.NoLeakTestProved: "no leak seen", fault.NoLeakTestNotProved: "not proved",
			fault.BeyondMethod: "out of reach", fault.EquivalentOnly: "equivalent", fault.Located: "located", fault.NotDistinguishable: "not told", fault.Narrowed: "narrowed"}[f.Verdict]
	}
	return "not kept yet"
}

// Sheet is a stage's page, for the stages that have no page of their own.
func Sheet(p *facts.Pack, stage int) []sheet.Block {
	s := All[stage]
	b := []sheet.Block{{Kind: sheet.Title, Text: s.Name, Bold: true}}
	if stage == Draw {
		return append(b, drawn(p)...)
	}
	b = append(b, sheet.Block{Kind: sheet.Para, Text: "This version keeps no records of this stage. Keep them on paper with the case; what follows is what belongs there."}, sheet.Block{Kind: sheet.Title, Text: "Belongs here"})
	for _, r := range s.Records {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: r})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Local codes, the maker's instructions and your site rules come first."})
}

// drawn says how far the drawing is. The layout itself is made in the start
// view.
func drawn(p *facts.Pack) []sheet.Block {
	l := p.Net.Layout
	count := func(kind string) (n int) {
		for _, k := range l.Links {
			if k.Kind == kind {
				n++
			}
		}
		return n
	}
	b := []sheet.Block{
		{Kind: sheet.Row, Text: "Layout", Value: orNot(l.Name)},
		{Kind: sheet.Row, Text: "Modules", Value: fmt.Sprint(len(l.Modules))},
		{Kind: sheet.Row, Text: "Links", Value: fmt.Sprintf("%d, of them %d disconnects, %d contactors, %d fuses", len(l.Links), count(topology.Disconnect), count(topology.Contactor), count(topology.Fuse))},
		{Kind: sheet.Row, Text: "Boards", Value: none(len(l.Boards))},
		{Kind: sheet.Row, Text: "Chassis pieces", Value: none(len(l.Chassis))},
		{Kind: sheet.Row, Text: "Seen from", Value: orNot(l.SeenFrom)},
		{Kind: sheet.Row, Text: "FRONT", Value: orNot(l.Front)},
	}
	if len(p.Problems) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "To look at"})
	}
	for _, pr := range p.Problems {
		b = append(b, sheet.Block{Kind: sheet.Item, Text: pr.Text})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "This version changes no layout once a case is open."})
}

func orNot(s string) string {
	if strings.TrimSpace(s) == "" {
		return "not recorded"
	}
	return s
}

// none says that what is not drawn is unknown, and not that there is none.
func none(n int) string {
	if n == 0 {
		return "none drawn: not known"
	}
	return fmt.Sprint(n)
}
