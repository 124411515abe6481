package comparing

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/compare"
	"halfsplit/ui/sheet"
)

// Lines of the page on which a span is chosen, in their order.
const (
	spanName = iota
	spanState
	spanFrom
	spanTo
	spanBefore
	spanAfter
	spanRows
)

// spanID and a number is a line of that page.
const spanID = "span:"

// mostName is how many characters a span's name takes.
const mostName = 30

// An own span is a set of a person's own, as it was chosen; it is worked out of the case
// anew whenever this is shown.
type ownSpan struct {
	name, state string
	from, to    time.Time
}

// spanning is the page on which one is chosen.
type spanning struct {
	on       bool
	row      int
	name     string
	state    int // of the states with a time
	from, to int // of the state's times
	wrong    string
}

// timed are the states in which something has a time, and the times of each in order,
// every one once.
func timed(c fault.Case) (states []string, times map[string][]time.Time) {
	times = map[string][]time.Time{}
	add := func(state, at string) {
		if t, err := time.Parse(time.RFC3339, at); err == nil {
			if !slices.Contains(states, state) {
				states = append(states, state)
			}
			times[state] = append(times[state], t)
		}
	}
	for _, r := range c.Readings {
		add(r.State, r.At)
	}
	for _, g := range c.GroupVolts {
		add(g.State, g.At)
	}
	for s, all := range times {
		slices.SortFunc(all, time.Time.Compare)
		times[s] = slices.CompactFunc(all, time.Time.Equal)
	}
	return states, times
}

// openSpan begins the choice of a span: all of the last state's times at first.
func (p *Page) openSpan() {
	states, times := timed(p.deps.Case())
	if len(states) == 0 {
		p.say("No reading has a time, so that no span can be chosen.")
		return
	}
	p.span = spanning{on: true, row: spanFrom, name: fmt.Sprintf("span %d", len(p.own)+1), state: len(states) - 1}
	p.span.to = len(times[states[p.span.state]]) - 1
	p.drawn = false
	p.say("")
	p.Focus()
}

// leave goes back from the choice of a span, or from the page.
func (p *Page) leave() {
	if !p.span.on {
		p.deps.Back()
		return
	}
	p.span.on = false
	p.say("No span was taken.")
}

// spanBlocks are the page on which a span is chosen.
func (p *Page) spanBlocks() []sheet.Block {
	states, times := timed(p.deps.Case())
	k := p.span
	at := times[states[k.state]]
	line := func(row int, name, value string) sheet.Block {
		return sheet.Block{Kind: sheet.Action, ID: fmt.Sprint(spanID, row), Text: name, Value: value, On: k.row == row}
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "A span of your own", Bold: true},
		{Kind: sheet.Soft, Text: "What was read in one state from one time to another, both included, as a set under a name. Nothing is recorded; it is kept while this case is open."}}
	if k.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: k.wrong})
	}
	const stamp = "2006-01-02 15:04:05"
	return append(b,
		line(spanState, "State: "+states[k.state], "A press takes the next state that has times."),
		line(spanFrom, "From: "+at[k.from].Format(stamp), "A press takes the next time at which something was read."),
		line(spanTo, "To: "+at[k.to].Format(stamp), "A press takes the next time."),
		line(spanBefore, "Take it as before", "Compare it with the set after."),
		line(spanAfter, "Take it as after", "Compare it with the set before."),
		line(spanName, "Name: "+k.name, "With the keyboard on this line, type another one."),
		sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, left and right turn it, Enter takes it. Esc takes none."})
}

// spanOrder is how the lines stand on the page.
var spanOrder = []int{spanState, spanFrom, spanTo, spanBefore, spanAfter, spanName}

// moveSpan puts the keyboard on another line.
func (p *Page) moveSpan(by int) {
	i := slices.Index(spanOrder, p.span.row)
	p.span.row = spanOrder[(i+by+spanRows)%spanRows]
	p.show()
	p.words.Reveal(fmt.Sprint(spanID, p.span.row))
}

// turnSpan takes another option of a line, or does what the line says.
func (p *Page) turnSpan(row, by int) {
	states, times := timed(p.deps.Case())
	k := &p.span
	k.row, k.wrong = row, ""
	n := len(times[states[k.state]])
	switch row {
	case spanState:
		k.state = (k.state + by + len(states)) % len(states)
		k.from, k.to = 0, len(times[states[k.state]])-1
	case spanFrom:
		k.from = (k.from + by + n) % n
	case spanTo:
		k.to = (k.to + by + n) % n
	case spanBefore, spanAfter:
		p.takeSpan(row - spanBefore)
		return
	}
	p.show()
}

// takeSpan makes the set and compares it in the place of one of the two.
func (p *Page) takeSpan(side int) {
	states, times := timed(p.deps.Case())
	k := &p.span
	at := times[states[k.state]]
	own := ownSpan{strings.TrimSpace(k.name), states[k.state], at[k.from], at[k.to]}
	if own.name == "" {
		own.name = fmt.Sprintf("span %d", len(p.own)+1)
	}
	set, err := compare.Span(p.deps.Case(), own.name, own.state, own.from, own.to)
	if err != nil {
		k.wrong = "No such span: " + err.Error() + "."
		p.show()
		return
	}
	k.on = false
	p.own, p.sets = append(p.own, own), append(p.sets, set)
	p.sides[side].set = len(p.sets) - 1
	p.compare(false)
	p.say("Taken as " + []string{"before", "after"}[side] + ": " + set.Title() + ".")
}

// spans are the sets of a person's own that the case still has.
func (p *Page) spans(c fault.Case) (out []compare.Set) {
	for _, s := range p.own {
		if set, err := compare.Span(c, s.name, s.state, s.from, s.to); err == nil {
			out = append(out, set)
		}
	}
	return out
}

// rune is a character: of the span's name while the keyboard is on it.
func (p *Page) rune(r rune) bool {
	if !p.span.on {
		return p.set.Rune(r)
	}
	if p.span.row == spanName && unicode.IsPrint(r) && len([]rune(p.span.name)) < mostName {
		p.span.name += string(r)
		p.show()
		return true
	}
	return r != '?' || p.set.Rune(r)
}

// spanKeys are the keys of the choice; they do nothing else.
func (p *Page) spanKeys(add func(key fyne.KeyName, help, keys string, do func())) {
	in := func(do func()) func() {
		return func() {
			if p.span.on {
				do()
			}
		}
	}
	add(fyne.KeyRight, "In a span: turn the line, take it", "Left, right, Enter", in(func() { p.turnSpan(p.span.row, 1) }))
	add(fyne.KeyLeft, "", "", in(func() { p.turnSpan(p.span.row, -1) }))
	for _, k := range []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter} {
		add(k, "", "", in(func() { p.turnSpan(p.span.row, 1) }))
	}
	add(fyne.KeyBackspace, "", "", in(func() {
		if r := []rune(p.span.name); p.span.row == spanName && len(r) > 0 {
			p.span.name = string(r[:len(r)-1])
			p.show()
		}
	}))
}
