package choose

// An Answer says whether to go on, and with what.
type Answer struct {
	Label string  // the label that leads, if there is any explanation
	Share float64 // its share of the weight

	// Stop says that no action is worth its minutes: the label that leads has enough,
	// nothing that is possible can tell, or finding out costs more than Unresolved.
	Stop       bool
	Unresolved float64 // expected minutes of stopping now

	Steps []Step // the best first; none where the leading label has enough
}

// A Step is one action that can be done next. Steps that cannot tell labels apart,
// with what they make possible, are not listed.
type Step struct {
	Action  int     // index in the question
	Minutes float64 // of the action itself

	// Then are the actions that follow at once where this one shows nothing itself:
	// the reading that shows the most for its minutes, last, and before it the
	// changes that it needs besides. None where the action shows something.
	Then []int

	// Bits is what the action, or the reading that follows it, is expected to tell
	// about the label.
	Bits float64

	// Total is the expected minutes until the end, this action and the price of
	// stopping included, when every later action is chosen in the same way. Rough
	// marks a total that is estimated from bits per minute, wholly or where it is
	// improbable: such steps come after those that were followed to the end.
	Total float64
	Rough bool

	// Outcomes are what can be seen, with the last of Then or with the action itself,
	// the most probable first; their probabilities sum to 1. Only the first three
	// steps have their outcomes told.
	Outcomes []Outcome
}

// An Outcome is what can be seen after a step, and what to do then.
type Outcome struct {
	Key   int // as given by the sight
	P     float64
	Label string  // that leads then
	Share float64 // its share then
	Next  int     // index of the action to do then, or -1 to stop
}
