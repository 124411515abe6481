package drafting

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/topology/edit"
	"halfsplit/topology/path"
	"halfsplit/ui/command"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// mostProposed is how many links are listed at once.
const mostProposed = 30

// foundThings are what the volts say: what cannot be right first, then links to be
// accepted, then the order and where nothing joins it.
func (v *View) foundThings() []fyne.CanvasObject {
	p := v.order.found
	v.order.accepts = nil
	if len(v.order.taken.Values) == 0 {
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "What the volts say"}, {Kind: sheet.Para, Text: "Nothing yet. Terminals with equal volts may be joined; each value that is typed is weighed here at once."}})}
	}
	things := v.againstThings()
	things = append(things, v.acceptThings()...)
	var b []sheet.Block
	for _, n := range p.Parallel {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: n.GoTo, Text: n.Text})
	}
	for i, c := range p.Chains {
		if len(c.Modules) > 1 {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("Chain %d, from low to high: %s.", i+1, inRuns(c.Modules))})
		}
	}
	if len(b) > 0 {
		b = append([]sheet.Block{{Kind: sheet.Title, Text: "The order"}}, b...)
	}
	if len(p.Missing) == 0 {
		for _, n := range p.Gaps {
			b = append(b, sheet.Block{Kind: sheet.Action, ID: n.GoTo, Text: n.Text})
		}
	}
	return append(things, v.orderWords(b))
}

// againstThings are contradictions, and modules that lie the other way round.
func (v *View) againstThings() (things []fyne.CanvasObject) {
	p := v.order.found
	if n := len(p.Contradictions) + len(p.Reversed); n > 0 {
		b := []sheet.Block{{Kind: sheet.Title, Text: fmt.Sprintf("Cannot all be right: %d", n)}}
		for _, c := range p.Contradictions {
			b = append(b, sheet.Block{Kind: sheet.Action, ID: c.GoTo, Text: c.Text})
		}
		things = append(things, v.orderWords(b))
	}
	for _, r := range p.Reversed {
		id := r.GoTo
		things = append(things, v.orderWords([]sheet.Block{{Kind: sheet.Action, ID: id, Text: r.Text}}),
			v.row(v.chip("Turn "+id+" end for end in the drawing", "", false, func() {
				v.do(putRight(id))
				v.fill()
			})))
	}
	return things
}

// acceptThings are the proposed links, to be accepted one by one or all that are
// certain.
func (v *View) acceptThings() (things []fyne.CanvasObject) {
	var open []path.Link
	certain := 0
	for _, k := range v.order.found.Links {
		if k.Grade != path.Contradictory {
			open = append(open, k)
		}
		if k.Grade == path.Certain {
			certain++
		}
	}
	head := []sheet.Block{{Kind: sheet.Title, Text: fmt.Sprintf("Links that the volts speak for: %d", len(open))}}
	if len(open) == 0 {
		return []fyne.CanvasObject{v.words(append(head, sheet.Block{Kind: sheet.Soft, Text: "No two free terminals with usable values agree so far."}))}
	}
	head = append(head, sheet.Block{Kind: sheet.Soft, Text: "Equal volts are necessary, not sufficient: look at each in the pack. Certain: nothing else that is drawn and measured fits. The next link is a " + v.draft.LinkKind + "; the page Path changes that."})
	things = append(things, v.words(head))
	accept := func(name string, primary bool, wanted func(path.Link) bool) *command.Chip {
		c := v.chip(name, "", primary, func() { v.accept(wanted) })
		v.order.accepts = append(v.order.accepts, c)
		return c
	}
	if certain > 0 {
		things = append(things, v.row(accept(fmt.Sprintf("Accept all that are certain (%d)", certain), true, func(k path.Link) bool { return k.Grade == path.Certain })))
	}
	for i, k := range open {
		if i == mostProposed {
			return append(things, v.words([]sheet.Block{{Kind: sheet.Soft, Text: fmt.Sprintf("and %d more, once some of these are accepted.", len(open)-i)}}))
		}
		things = append(things, v.orderWords([]sheet.Block{{Kind: sheet.Action, ID: k.From, Text: fmt.Sprintf("%s, %s to %s: %s", words.Capital(string(k.Grade)), k.From, k.To, k.Reason)}}),
			v.row(accept("Accept "+k.From+" to "+k.To, false, func(now path.Link) bool { return now.From == k.From && now.To == k.To })))
	}
	return things
}

// accept joins terminals that the volts speak for, as one edit. What was wanted is
// looked for once more: the value in hand may have changed what they say.
func (v *View) accept(wanted func(path.Link) bool) {
	if !v.keepAsked() {
		return
	}
	v.reckon()
	var links []path.Link
	for _, k := range v.order.found.Links {
		if k.Grade != path.Contradictory && wanted(k) {
			links = append(links, k)
		}
	}
	if len(links) == 0 {
		v.do(result{said: "Nothing was joined: with the value that was just kept the volts no longer speak for it."})
		return
	}
	kind := v.draft.LinkKind
	name := "link " + links[0].From + " to " + links[0].To + ", by volts"
	if len(links) > 1 {
		name = count(len(links), "link") + " by volts"
	}
	made := v.do(result{name: name, said: "Joined by a person on the word of the volts: " + strings.TrimSuffix(name, ", by volts") + ".", do: func(l layout) (_ layout, err error) {
		for _, k := range links {
			if l, _, err = edit.Link(l, k.From, k.To, kind); err != nil {
				return l, err
			}
		}
		return l, nil
	}})
	switch {
	case !made:
	case len(v.order.accepts) > 0:
		v.focus(v.order.accepts[0])
	case v.order.field != nil:
		v.focus(v.order.field)
	}
}

// inRuns is an order of modules in words; four or more that count up one by one are named
// by the first and the last.
func inRuns(ids []string) string {
	var out []string
	for i := 0; i < len(ids); {
		k := i + 1
		for k < len(ids) && follows(ids[k-1], ids[k]) {
			k++
		}
		if k-i < 4 {
			out = append(out, ids[i])
			i++
			continue
		}
		out = append(out, ids[i]+" to "+ids[k-1])
		i = k
	}
	return strings.Join(out, ", ")
}

// follows says that b is a with the next number, of as many digits at least.
func follows(a, b string) bool {
	stem := strings.TrimRight(a, "0123456789")
	n, err := strconv.Atoi(a[len(stem):])
	return err == nil && b == fmt.Sprintf("%s%0*d", stem, len(a)-len(stem), n+1)
}
