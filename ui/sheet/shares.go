package sheet

import (
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

// placeID is what a place is as a target, "" where there is no page of it.
func placeID(s fault.Share) string {
	switch s.Kind {
	case fault.PlaceModule, fault.PlaceLink, fault.PlaceBoard:
		return s.Kind + ":" + s.ID
	}
	return ""
}

// placeName is a place as what it is: a module by its number alone.
func placeName(s fault.Share) string {
	switch s.Kind {
	case fault.PlaceModule:
		return s.ID
	case fault.PlaceLink:
		return "Link " + s.ID
	case fault.PlaceBoard:
		return "Board " + s.ID
	case fault.PlaceRail:
		return "Rail " + s.ID
	case fault.PlaceLoad:
		return "Load side, " + s.ID
	}
	return strings.TrimSpace(s.Kind + " " + s.ID)
}

// Of the shares, the page has at once those that matter: the first few, and all that
// are not small.
const (
	fewPlaces  = 3
	smallShare = 0.03
	noShare    = 0.005 // is not listed at all
)

// places divides the listed places into those shown at once and the others.
func places(f *fault.Finding) (first, others []fault.Share, unlisted int) {
	for _, s := range f.Suspicion {
		switch v := float64(s.Share); {
		case v < noShare:
			unlisted++
		case v >= smallShare || len(first) < fewPlaces:
			first = append(first, s)
		default:
			others = append(others, s)
		}
	}
	return first, others, unlisted
}

func (w *writer) shareBar(s fault.Share) {
	w.add(Block{Kind: Bar, ID: placeID(s), Text: placeName(s), Value: words.Share(float64(s.Share)), Share: float64(s.Share)})
}

func (w *writer) suspicion(f *fault.Finding) {
	first, others, _ := places(f)
	if len(first) == 0 {
		return
	}
	w.title("What must come out")
	for _, s := range first {
		w.shareBar(s)
	}
	text := "The probability that this place must come out, over all explanations."
	if len(others) > 0 {
		text += " " + plural(len(others), "more place", "more places") + " of " + words.Share(float64(others[0].Share)) + " or less: key E."
	}
	w.soft(text)
}

// hypothesisWords name the kinds of explanation.
var hypothesisWords = map[string]string{
	fault.None: "No leak", fault.One: "One leak", fault.Two: "Two leaks", fault.Spread: "Spread over a run", fault.BoardLeak: "Board or harness",
	fault.LinkLeak: "A link", fault.RailLeak: "A rail", fault.LoadSide: "Load side", fault.BadReference: "Bad chassis reference", fault.MonitorLeak: "The monitor",
}

func (w *writer) hypotheses(f *fault.Finding) {
	_, others, unlisted := places(f)
	n := len(f.Hypotheses) + len(others)
	if n == 0 || !w.fold(ExplainFold, n) {
		return
	}
	for _, h := range f.Hypotheses {
		name := hypothesisWords[h.Kind]
		if name == "" {
			name = h.Kind
		}
		w.add(Block{Kind: Bar, Text: name, Value: words.Share(float64(h.Share)), Share: float64(h.Share)})
	}
	if len(others) > 0 {
		w.add(Block{Kind: Para, Bold: true, Text: "More places"})
	}
	for _, s := range others {
		w.shareBar(s)
	}
	if unlisted > 0 {
		w.soft(plural(unlisted, "place", "places") + " below half a per cent " + isAre(unlisted) + " not listed.")
	}
}
