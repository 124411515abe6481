// Package help is what the program says about itself without a network: the words
// of the trade in plain sentences, the keys of the screen that one comes from, and
// a first case in five steps that points at the real things in the window.
//
// It is text and the page that shows it. It knows no case, and never says that a
// thing may be touched, nor the opposite.
package help

import "halfsplit/ui/sheet"

// A Word is one word of the trade.
type Word struct{ Name, Means string }

// Words are the glossary, from the large to the small and from the thing to what
// is known of it.
var Words = []Word{
	{"Pack", "The whole battery: modules, links and boards in one housing."},
	{"String", "Modules in series, from the most negative to the most positive terminal. Its name is that of its most negative module."},
	{"Stack", "Modules that are held together and lie or come out together."},
	{"Module", "Groups in series in one housing. A module cannot be switched off."},
	{"Group", "Cells in parallel. All of them have the same voltage, so that they count as one."},
	{"Tap", "The place after a group. M09.3 is after the third group of M09, counted from its negative end; M09- and M09+ are its ends."},
	{"Link", "A conductor that can be taken out: a busbar, a cable, a disconnect, a fuse, a contactor, a current sensor. When it is open, its two sides are two places, such as SD@M06+ and SD@M07-."},
	{"Rail, load side", "The rail is what leads from an end module to its contactor; the load side is what lies beyond the contactors."},
	{"Board, harness", "The board that watches the cells, and its leads to the taps. A leak can sit in them as well as in a module."},
	{"Chassis", "The metal that volts are measured against: tray, lid, body. It may be several pieces, and they may be badly joined."},
	{"Section", "What hangs together through cells and closed links. Opening a link inside the string makes two of one. From one unbroken section one leak and several look the same."},
	{"State", "What is open, unplugged, removed and connected now. Every reading belongs to one state. A recorded state is what somebody wrote down; the metal may be otherwise."},
	{"Reading", "One value that a meter showed, with where red and black were, the instrument, the state and the time. It is never changed: a correction is a new reading, and the old one stays."},
	{"RED, BLACK", "The two leads of the meter: the value is RED above BLACK."},
	{"Test resistor", "A known resistor that is put from a live point to chassis on purpose, so that the volts to chassis move. It needs the volts of the pack and twice its watts, and is not left connected."},
	{"Input resistance", "What the meter itself puts between its leads, 10 MΩ as a rule. It loads a floating section, so that volts to chassis fall; it is measured with a known resistor on a steady source."},
	{"Range", "The span of volts that a meter's display covers at once. Its gain error is the same for all that is read on one range and cancels in the place of a leak; locked, the meter does not change it between two ends."},
	{"Settling", "After the leads touch, capacitors charge through leak and meter, and the volts head for their end as an exponential. Two values 10 s apart that agree within 2 counts are settled."},
	{"Leak", "A path from somewhere in the pack to chassis that should not be there. Its size is a resistance."},
	{"Finding", "What follows from the readings: where the leak can sit, how sure that is, and what the readings cannot tell. It names every reading that it rests on."},
	{"Share", "The probability that a place must come out, given the readings and what was assumed."},
	{"Doubt", "A slip in one entry that would explain what does not fit: a reversed sign, a decimal point, two values exchanged. Nothing is changed by itself: use the corrected value, read again, or keep it as read with a note."},
	{"Note", "What a person saw or smelt at a place: wet, chafed, burnt or corroded. It raises the odds of that place a little, which “Why?” shows, and is no measured value."},
	{"What if", "A question: what would be found without a reading, given one or two leaks, or with another input resistance. The whole window then stands under a mark; nothing of it is recorded, and what is live stays what it is."},
	{"Equivalent", "One leak that would give the same readings as what is there. From an unbroken string nothing more can be said."},
	{"Layout", "The description of a kind of pack: used again for every repair of that kind."},
	{"Case", "One repair: a layout, its states, its readings, its findings."},
	{"Casebook", "The one file in which layouts and cases are kept. Everything that is recorded is on the disk at once."},
	{"Plan", "The drawing of the pack to scale, as it lies."},
	{"Volts ruler", "The string rolled out by volts: taps, open links as gaps, and where chassis lies in each section."},
	{"Expected, not measured", "A number that was computed from the layout, the state and the cells. No meter has shown it."},
	{"OL", "The meter shows that the value is above its range. It is a bound, not a number, and does not mean that nothing leaks."},
}

// A Step is one of the first case.
type Step struct {
	Title, Text string
	At          string // what it points at, one of the places below
}

// Places that a step points at.
const (
	AtMaker  = "the button that makes a layout"
	AtDemo   = "the button of the demo case"
	AtPlan   = "the plan"
	AtEnter  = "the button that enters a reading"
	AtState  = "the button that records a state"
	AtResult = "the ruler"
)

// Tour is the first case.
var Tour = []Step{
	{"A layout comes first", "It says how many modules there are, of how many groups, and where the disconnect sits. “Make a layout” draws it from a few numbers; it serves for every pack of that kind.", AtMaker},
	{"A case is one repair", "It begins from a layout. The demo case is one that is half done: the next step opens a copy of it, and nothing that you do there changes the demo.", AtDemo},
	{"Choose a place, enter what the meter shows", "Press a module, a terminal or a link, or walk with Tab. Enter opens the field; the value is shown large before it is saved. Volts of the modules first, then each end of the string to chassis, without and with the test resistor.", AtEnter},
	{"Say what was opened", "When a link has been opened by hand, record it: from then on readings belong to the new state, and the volts that remain in each section stand on top as expected, not measured.", AtState},
	{"See where the leak can sit", "Plan and ruler show the share of every place, and the sheet says it in words. “Why?” shows the arithmetic. Before a link has been opened inside the string, no place is named, whatever the readings say.", AtResult},
}

// WordBlocks are the glossary as a page.
func WordBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Words", Bold: true}}
	for _, w := range Words {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: w.Name, Bold: true}, sheet.Block{Kind: sheet.Para, Text: w.Means})
	}
	return b
}

// TourBlocks are the steps of the first case as a page.
func TourBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Your first case, in five steps", Bold: true},
		{Kind: sheet.Soft, Text: "“Show me” points at the real things in the window, one step after the other."}}
	for i, s := range Tour {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: string(rune('1'+i)) + ". " + s.Title}, sheet.Block{Kind: sheet.Para, Text: s.Text})
	}
	return b
}

// WindowKeys are the keys that work everywhere.
func WindowKeys() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Everywhere"}}
	for _, k := range [][2]string{
		{"F9", "Emergency page."}, {"F1", "This help."}, {"F3", "The cases."}, {"F4", "Text size, colours, glove view."},
		{"Ctrl +, Ctrl -", "Larger and smaller text; Ctrl 0 as it was."}, {"Tab, Shift Tab", "From one thing to the next and back."}, {"Esc", "One step back."},
	} {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: k[0], Value: k[1]})
	}
	return b
}
