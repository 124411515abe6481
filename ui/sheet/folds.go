package sheet

// A Part of the finding's page that opens and closes.
type Part struct {
	ID, Key, Name string
	Help          string // in the list of keys
}

// Ids of the parts.
const (
	LeakFold    = "fold:leak"
	ExplainFold = "fold:explanations"
	SectionFold = "fold:sections"
	CheckFold   = "fold:checks"
	BesideFold  = "fold:beside"
	ReadingFold = "fold:readings"
	AssumeFold  = "fold:assumes"
	WhyFold     = "fold:why"
	NextFold    = "fold:next"
	WorthFold   = "fold:worth"
	HeldFold    = "fold:held"
)

// Parts are what can be folded, in the order of the page.
var Parts = []Part{
	{WorthFold, "8", "Why this test, and what then", "why this test is proposed, in minutes and bits, and what comes after it"},
	{NextFold, "Z", "Other tests", "the tests that can be taken instead"},
	{HeldFold, "9", "Held back", "what is not proposed, and what would lift that"},
	{LeakFold, "D", "The leak in numbers", "the leak's position and potential"},
	{ExplainFold, "E", "Explanations, more places", "how likely each kind of explanation is, and the places of a small share"},
	{SectionFold, "B", "Sections, their two numbers", "each section's volts and resistance to chassis"},
	{CheckFold, "X", "Checks between states", "what states say of each other, and what went with a part"},
	{BesideFold, "Y", "Cell volts and notes", "what the group volts say, and what persons noted"},
	{ReadingFold, "U", "Readings used and left out", "which readings the finding rests on"},
	{AssumeFold, "A", "What it assumes", "what the finding takes for given"},
	{WhyFold, "W", "Why? The arithmetic", "the arithmetic behind the finding"},
}

// PartOf is the part with that id.
func PartOf(id string) (Part, bool) {
	for _, p := range Parts {
		if p.ID == id {
			return p, true
		}
	}
	return Part{}, false
}

// Folds are the parts that are open.
type Folds map[string]bool

// fold begins a part that holds so many things and says whether it is open.
func (w *writer) fold(id string, count int) bool {
	p, _ := PartOf(id)
	w.add(Block{Kind: Fold, ID: id, Text: p.Name, Value: number(count), Unit: p.Key, Open: w.open[id]})
	return w.open[id]
}
