package proving

import (
	"slices"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/facts"
)

// What a field takes.
type takes uint8

const (
	prose  takes = iota
	figure       // a number
	day          // YYYY-MM-DD
	hour         // a time
	choice       // of the case's voltmeters
)

// A Field is one line of an entry in the making.
type Field struct {
	Name, Hint, Unit string
	Text             string
	takes            takes
}

// Most is the longest text that a field takes, in characters.
const Most = 160

// A Draft is one entry in the making. It is a value: every change gives a new one.
type Draft struct {
	Item   string
	Fields []Field
	At     int    // the field that is typed into
	Failed string // why it could not be recorded

	given []string // texts that the meter's description gave, which nobody typed
}

// fields are what is typed for an item.
func fields(item string) []Field {
	when := Field{Name: "When", Hint: "now; or such as 10:42", takes: hour}
	switch item {
	case fault.SafeGloves:
		return []Field{{Name: "Class", Hint: "as on the gloves, such as class 0"}, {Name: "Tested on", Hint: "such as 2026-03-02", takes: day}}
	case fault.SafeMeter:
		return []Field{{Name: "Meter", Hint: "no voltmeter is described yet", takes: choice}, {Name: "Category", Hint: "as on the meter, such as CAT III 1000 V"}, {Name: "Calibration due", Hint: "such as 2026-09-01", takes: day}}
	case fault.SafeProver:
		return []Field{{Name: "Known source", Hint: "such as proving unit 3"}, {Name: "Its volts", Hint: "as on it", Unit: "V", takes: figure}, {Name: "± %", Hint: "from its sheet; may stay empty", Unit: "%", takes: figure}, {Name: "Calibration due", Hint: "such as 2026-09-01; may stay empty", takes: day}}
	case fault.SafeWait:
		return []Field{{Name: "Minutes", Hint: "the maker's", Unit: "min", takes: figure}, {Name: "Where that stands", Hint: "document and page"}}
	case fault.SafeBegan:
		return []Field{when}
	case fault.SafeDecay:
		return []Field{{Name: "Capacitance in µF", Hint: "such as 1000", Unit: "µF", takes: figure}, {Name: "Discharged through", Hint: "such as 30k", Unit: "Ω", takes: figure}, {Name: "Where these stand", Hint: "document, or measured by whom"}}
	case fault.SafeLimit:
		return []Field{{Name: "Volts", Hint: "of the procedure", Unit: "V", takes: figure}, {Name: "Where that stands", Hint: "document and page"}}
	case fault.SafeBefore, fault.SafeAfter:
		return []Field{{Name: "Shown at the known source", Hint: "what the meter shows", Unit: "V", takes: figure}, when}
	case fault.SafePoles, fault.SafePlus, fault.SafeMinus:
		return []Field{{Name: "Volts", Hint: "what the meter shows", Unit: "V", takes: figure}, when}
	case fault.SafeLock:
		return []Field{{Name: "Number", Hint: "as on the lock"}}
	case fault.SafeKey:
		return []Field{{Name: "Who holds the key", Hint: "a name"}}
	case fault.SafePlug:
		return []Field{{Name: "Where lock, key and disconnect are", Hint: "such as the key box"}}
	case fault.SafeSite:
		return []Field{{Name: "Place", Hint: "such as bay 2, barriers up"}}
	case fault.SafeProcedure:
		return []Field{{Name: "Procedure", Hint: "its reference and edition"}}
	case fault.SafePoint:
		return []Field{{Name: "Where the meter is put", Hint: "empty: the outer terminals"}}
	case fault.SafeReason:
		return []Field{{Name: "Why", Hint: "a sentence at least"}}
	}
	return []Field{{Name: "Name", Hint: "as on the work order"}}
}

// Begin is an empty entry of an item. Where one stands it is shown beside it and
// not typed over.
func Begin(p *facts.Pack, item string) Draft {
	d := Draft{Item: item, Fields: fields(item)}
	if item == fault.SafeMeter {
		if ids := Meters(&p.Case); len(ids) > 0 {
			d.Fields[0].Text = ids[0]
			if m, ok := p.Case.SafeNow(item); ok && slices.Contains(ids, m.Instrument) {
				d.Fields[0].Text = m.Instrument
			}
			d = d.described(&p.Case)
			d.At = 1
		}
	}
	return d
}

// Meters are the case's voltmeters.
func Meters(c *fault.Case) (ids []string) {
	for _, in := range c.Instruments {
		if in.Kind == "voltmeter" {
			ids = append(ids, in.ID)
		}
	}
	return ids
}

// Typed says that something was typed that would be lost.
func (d Draft) Typed() bool {
	for i, f := range d.Fields {
		if f.takes != choice && f.Text != "" && (i >= len(d.given) || f.Text != d.given[i]) {
			return true
		}
	}
	return false
}

// Numeric says that the field takes digits and no words.
func (d Draft) Numeric() bool {
	t := d.Fields[d.At].takes
	return t == figure || t == day || t == hour
}

// Type appends a character. One that belongs into no number is taken too, and the number
// refused by its name: without it the number would be another one.
func (d Draft) Type(r rune) Draft {
	if d.Fields[d.At].takes == choice {
		return d
	}
	return d.set(d.Fields[d.At].Text + string(r))
}

// Back takes the last character away.
func (d Draft) Back() Draft {
	if t := []rune(d.Fields[d.At].Text); len(t) > 0 && d.Fields[d.At].takes != choice {
		return d.set(string(t[:len(t)-1]))
	}
	return d
}

// Clear empties the field.
func (d Draft) Clear() Draft {
	if d.Fields[d.At].takes == choice {
		return d
	}
	return d.set("")
}

func (d Draft) set(text string) Draft {
	if len([]rune(text)) > Most {
		return d
	}
	d.Fields = slices.Clone(d.Fields)
	d.Fields[d.At].Text, d.Failed = text, ""
	return d
}

// Move goes to another field.
func (d Draft) Move(by int) Draft {
	n := len(d.Fields)
	d.At = ((d.At+by)%n + n) % n
	return d
}

// Choose takes another of the case's voltmeters, where the field is that.
func (d Draft) Choose(c *fault.Case, by int) Draft {
	ids := Meters(c)
	if d.Fields[d.At].takes != choice || len(ids) == 0 {
		return d
	}
	at := slices.Index(ids, d.Fields[d.At].Text)
	return d.set(ids[((at+by)%len(ids)+len(ids))%len(ids)]).described(c)
}

// described takes category and date from the meter's own description, where it has
// them: they can be typed over.
func (d Draft) described(c *fault.Case) Draft {
	in, ok := c.Instrument(d.Fields[0].Text)
	if !ok {
		return d
	}
	d.Fields = slices.Clone(d.Fields)
	var ratings []string
	for _, r := range in.Ratings {
		ratings = append(ratings, r.String())
	}
	d.Fields[1].Text, d.Fields[2].Text = strings.Join(ratings, ", "), in.CalDue
	d.given = []string{"", d.Fields[1].Text, d.Fields[2].Text}
	return d
}

// Entry reads what was typed as an entry of the record at a time. Its error names
// the field and puts the keyboard on it. now is zero where there is no clock.
func (d *Draft) Entry(p *facts.Pack, now time.Time) (fault.MakeSafe, error) {
	m := fault.MakeSafe{Item: d.Item, State: p.Case.Now}
	if !p.Known {
		m.State = ""
	}
	if !now.IsZero() {
		m.At = now.Format(time.RFC3339)
	}
	r := reader{d: d, now: now}
	switch d.Item {
	case fault.SafeGloves:
		m.Text, m.Date = r.text(0, true), r.date(1)
	case fault.SafeMeter:
		m.Instrument, m.Text, m.Date = d.Fields[0].Text, r.text(1, false), r.date(2)
		if m.Instrument == "" {
			r.fail(0, "no voltmeter is described in this case; I describes one")
		}
	case fault.SafeProver:
		m.Text, m.Value, m.Raw, m.TolPct, m.Date = r.text(0, true), r.above(1, false), d.Fields[1].Text, r.positive(2, false), r.date(3)
	case fault.SafeWait:
		m.Value, m.Raw, m.Text = r.amount(0), d.Fields[0].Text, r.text(1, true)
	case fault.SafeBegan:
		m.At = r.hour(0)
	case fault.SafeDecay:
		m.Value, m.Raw, m.Ohms, m.Text = r.micro(0), d.Fields[0].Text, r.ohms(1), r.text(2, true)
	case fault.SafeLimit:
		m.Value, m.Raw, m.Text = r.above(0, true), d.Fields[0].Text, r.text(1, true)
	case fault.SafePoint:
		m.Text = r.text(0, false)
	case fault.SafeBefore, fault.SafeAfter, fault.SafePoles, fault.SafePlus, fault.SafeMinus:
		m.Value, m.Raw, m.At = r.volts(0), d.Fields[0].Text, r.hour(1)
		m.Point = makesafe.Point(&p.Case)
		meter, _ := p.Case.SafeNow(fault.SafeMeter)
		m.Instrument = meter.Instrument
		if source, ok := p.Case.SafeNow(fault.SafeProver); ok && (d.Item == fault.SafeBefore || d.Item == fault.SafeAfter) {
			m.Known, m.TolPct = source.Value, source.TolPct
		}
	default:
		m.Text = r.text(0, true)
	}
	return m, r.err
}
