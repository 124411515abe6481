package proving

import (
	"fmt"
	"math"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

var (
	digits  = [][]string{{"7", "8", "9", "Back"}, {"4", "5", "6", "-"}, {"1", "2", "3", "."}, {"0", "Next"}}
	times   = [][]string{{"7", "8", "9", "Back"}, {"4", "5", "6", "-"}, {"1", "2", "3", ":"}, {"0", "Space", "Next"}}
	letters = [][]string{{"1", "2", "3", "4", "5", "6"}, {"7", "8", "9", "0", "-", "/"}, {"Q", "W", "E", "R", "T", "Y"}, {"U", "I", "O", "P", "A", "S"}, {"D", "F", "G", "H", "J", "K"}, {"L", "Z", "X", "C", "V", "B"}, {"N", "M", ".", ",", "Space", "Back"}, {"Next"}}
)

// pad are the keys for the field that is typed into.
func (d Draft) pad() [][]string {
	var keys [][]string
	switch d.Fields[d.At].takes {
	case figure, day:
		keys = digits
		if d.Item == fault.SafeDecay && d.At == 1 {
			keys = [][]string{{"7", "8", "9", "Back"}, {"4", "5", "6", "k"}, {"1", "2", "3", "M"}, {"0", ".", "Next"}}
		}
	case hour:
		keys = times
	case choice:
		return [][]string{{"Next"}}
	default:
		keys = letters
	}
	if len(d.Fields) == 1 { // there is no next one
		out := make([][]string, 0, len(keys))
		for _, row := range keys {
			var r []string
			for _, k := range row {
				if k != "Next" {
					r = append(r, k)
				}
			}
			if len(r) > 0 {
				out = append(out, r)
			}
		}
		return out
	}
	return keys
}

// probes say where the two leads go.
var probes = map[string]string{
	fault.SafePoles: "RED on +, BLACK on -.",
	fault.SafePlus:  "RED on +, BLACK on chassis.",
	fault.SafeMinus: "RED on -, BLACK on chassis.",
}

// Blocks are the page of an entry in the making.
func (d Draft) Blocks(p *facts.Pack, who string, now time.Time) []sheet.Block {
	c := &p.Case
	b := []sheet.Block{{Kind: sheet.Title, Text: Name(d.Item), Bold: true}}
	say := func(s string) { b = append(b, sheet.Block{Kind: sheet.Para, Text: s}) }
	if fault.SafeVolts(d.Item) {
		b = append(b, d.setUp(c)...)
	}
	switch d.Item {
	case fault.SafeReason:
		say("This stands in for what is lacking before the order of removal, under the name of who is here: " + orNot(who, "not named; a press on the name below names somebody") + ". It is recorded with the list of what was lacking, and prints.")
	case fault.SafePoint:
		say("The readings and provings that follow belong to this place. Those of another place stay with theirs.")
	case fault.SafeMeter:
		if len(Meters(c)) == 0 {
			b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "No voltmeter is described in this case: its error is not known, and whether readings close neither. Esc, then I describes one."})
		}
	}
	for i, f := range d.Fields {
		if i == 1 && fault.SafeVolts(d.Item) { // what the value means stands under it
			b = append(b, d.echo(p, now)...)
		}
		if i != d.At {
			text := f.Text
			if text == "" {
				text = "…"
				if f.takes == hour {
					text = "now"
				}
			}
			b = append(b, sheet.Block{Kind: sheet.Row, ID: fieldID + fmt.Sprint(i), Text: f.Name, Value: text})
			continue
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: f.Name + ":"})
		if f.takes == choice {
			b = append(b, sheet.Block{Kind: sheet.Tiles, Tiles: []sheet.Tile{{ID: fieldID + fmt.Sprint(i), Name: "A press takes the next one", Value: orNot(f.Text, f.Hint), On: true, Fixed: len(Meters(c)) < 2}}})
			continue
		}
		b = append(b, input(i, f)...)
	}
	if d.Failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "Nothing was recorded. " + d.Failed + "."})
	}
	b = append(b, sheet.Block{Kind: sheet.Pad, Keys: d.pad()})
	if d.Item == fault.SafeReason {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "What is lacking"})
		for _, r := range makesafe.Uncovered(c, p.Lacking(onDay(now))) {
			b = append(b, sheet.Block{Kind: sheet.Item, Text: r.Text})
		}
	}
	b = append(b, before(c, d.Item)...)
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Enter records it, Esc leaves; what was typed is kept. Up and down choose a field."})
}

// onDay is the day of a time, "" where there is no clock.
func onDay(now time.Time) string {
	if now.IsZero() {
		return ""
	}
	return now.Format(time.DateOnly)
}

// input is the field that is typed into; a long text stands whole above it.
func input(i int, f Field) []sheet.Block {
	const fits = 22
	field := sheet.Block{Kind: sheet.Input, ID: fieldID + fmt.Sprint(i), Text: f.Hint, Value: f.Text, Unit: f.Unit, On: true}
	if r := []rune(f.Text); len(r) > fits {
		field.Value = "…" + string(r[len(r)-fits:])
		return []sheet.Block{{Kind: sheet.Para, Text: f.Text}, field}
	}
	return []sheet.Block{field}
}

// setUp is where the leads go, with which meter, at which source.
func (d Draft) setUp(c *fault.Case) []sheet.Block {
	var b []sheet.Block
	if text := probes[d.Item]; text != "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: text + " At " + where(c) + "."})
	}
	meter, ok := c.SafeNow(fault.SafeMeter)
	if !ok || meter.Instrument == "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "The meter is not recorded yet: whether this agrees with anything cannot be told without it."})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Meter", Value: meter.Instrument})
	}
	if d.Item == fault.SafeBefore || d.Item == fault.SafeAfter {
		if source, ok := c.SafeNow(fault.SafeProver); ok && source.Value != nil {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: "Known source", Value: Said(source)})
		} else {
			b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "The known source and its volts are not recorded yet."})
		}
	}
	return b
}

// echo is what was typed, large, and only then what was expected and what is doubted.
func (d Draft) echo(p *facts.Pack, now time.Time) []sheet.Block {
	raw := d.Fields[0].Text
	if raw == "" {
		return []sheet.Block{{Kind: sheet.Big, Value: "…"}, {Kind: sheet.Soft, Text: "A bare number is volts. What is expected stands here once a value is typed."}}
	}
	e, err := Volts(raw)
	if err != nil {
		return []sheet.Block{{Kind: sheet.Big, Value: "…"}, {Kind: sheet.Doubt, Text: upper(err.Error()) + "."}}
	}
	b := []sheet.Block{{Kind: sheet.Big, Value: volts(e.Value)}}
	try := d
	m, err := try.Entry(p, now)
	if err != nil {
		m = fault.MakeSafe{Item: d.Item, Value: &e.Value, Raw: raw, Point: makesafe.Point(&p.Case)}
	}
	x := p.ExpectAt(m.Point)
	if _, reading := probes[d.Item]; reading {
		b = append(b, expected(x, d.Item))
	}
	if text := makesafe.Copied(&p.Case, m, x); text != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: upper(text) + "."})
	}
	return b
}

// expected is what the layout and the state lead to expect of a reading, in another
// style than what was read.
func expected(x makesafe.Expected, item string) sheet.Block {
	want := x.Of(item)
	b := sheet.Block{Kind: sheet.Row, Text: "Expected, not measured", Computed: true}
	switch {
	case !x.Known:
		b.Value = "not known: " + x.Why
	case !x.Joined:
		b.Value = "no path leads to modules by the recorded state; what is left on capacitors is not known"
	case math.IsNaN(want):
		b.Value = "volts not known; a closed path leads to modules by the recorded state"
	default:
		b.Value = words.Volts(want) + ", from the modules that this place is joined to"
	}
	return b
}

// before are the entries that stood for an item, the newest first.
func before(c *fault.Case, item string) []sheet.Block {
	var b []sheet.Block
	for i := len(c.MakeSafe) - 1; i >= 0; i-- {
		m := c.MakeSafe[i]
		if m.Item != item {
			continue
		}
		name := "Superseded"
		if s, ok := standing(c, m); ok && s.ID == m.ID {
			name = "Stands"
		}
		text := Said(m)
		if m.Point != "" {
			text += ", at " + m.Point
		}
		if m.Who != "" {
			text += ", by " + m.Who
		}
		if len(b) == 0 {
			b = append(b, sheet.Block{Kind: sheet.Title, Text: "Recorded so far"})
		}
		b = append(b, sheet.Block{Kind: sheet.Row, Text: name, Value: text})
	}
	return b
}

// standing is the entry that counts where m was recorded.
func standing(c *fault.Case, m fault.MakeSafe) (fault.MakeSafe, bool) {
	if fault.SafeVolts(m.Item) {
		return c.SafeAt(m.Item, m.Point)
	}
	return c.SafeNow(m.Item)
}
