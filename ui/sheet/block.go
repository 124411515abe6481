// Package sheet is the right-hand page: the finding in words with everything
// that it rests on, or what is known of the thing that is selected. Its content
// is a list of blocks; a typesetter turns blocks into a drawing of a width.
//
// It reads facts and computes nothing about leaks. A number that is computed
// says "expected"; what is missing says "not measured".
package sheet

// A Kind of block.
type Kind uint8

// The kinds.
const (
	Title       Kind = iota // a heading
	Para                    // a sentence or more
	Soft                    // a remark
	Big                     // the number in hand, with what it is below
	Row                     // a name and its value
	Bar                     // a name, a bar, a share
	Item                    // one of a list
	Fold                    // what opens and closes; ID names it
	Worked                  // one line of "Why?": what it is, and the equation
	Caution                 // what must not be missed
	Input                   // a field: Text names it, Value is what was typed, Unit stands at its end
	Doubt                   // a question about what was typed
	Leads                   // the lead picture
	Tiles                   // choices in two columns; a press takes the next option
	Pad                     // keys to type with, by rows
	Action                  // a line of touch height that can be pressed
	Step                    // one of the steps in their order: Value is its number, Unit its symbol
	LeadPicture             // a proposed reading, drawn
	Route                   // where a run stands: Text is the point, Value the one that comes next
	BenchField              // an Input, and beside it across the bench what it means: Ends are the value and how it was understood
	Echo                    // a value across the bench: Text says which, Unit how it was understood
	Halves                  // two columns beside each other, for a page that is low: Left, which takes Share of the width, and Right
)

// A Block is one piece of the page.
type Block struct {
	Kind  Kind
	ID    string // what a press on it selects or folds; "" = nothing
	Text  string
	Value string
	Share float64 // of a Bar; of Halves, what Left has of the width; of a Row, what its name has, 0 = the usual
	Open  bool    // of a Fold
	Bold  bool
	Unit  string     // of an Input
	On    bool       // the keyboard is on it
	Tiles []Tile     // of Tiles; the first two of Leads
	Keys  [][]string // of a Pad
	Lead  *Lead      // of a LeadPicture

	Left, Right []Block // of Halves

	Ends     [2]string // of Leads: where the test resistor goes, where that is not across the leads
	Hatched  bool      // of an Input: what is typed in it stands out
	Computed bool      // of a Row: its value is worked out, not measured
}

// A Tile is a choice: its name small, the option that is chosen below it.
type Tile struct {
	ID, Name, Value string
	On              bool // the keyboard is on it
	Fixed           bool // there is nothing else to choose
}

// PadKey is the id of a pad's key.
func PadKey(key string) string { return "key:" + key }
