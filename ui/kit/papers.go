package kit

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// Connection is where a voltmeter is connected, as typed; ok is false for other
// kinds.
func (d Draft) Connection() (text string, ok bool) {
	if d.Kind != Voltmeter {
		return "", false
	}
	return strings.TrimSpace(d.Fields[connectedField].Text), true
}

// OnConnection puts the keyboard on the connection.
func (d Draft) OnConnection() Draft {
	d.At = connectedField
	return d
}

var rating = regexp.MustCompile(`^(?i:CAT)\s*(II|III|IV)\s+([0-9]+(?:[.,][0-9]+)?)\s*V?$`)

// papers reads serial number, categories and dates, from field i on.
func (d *Draft) papers(in *fault.Instrument, i int) error {
	fail := func(at int, why string) error {
		d.At = at
		return fmt.Errorf("%s: %s", d.Fields[at].Name, why)
	}
	in.Serial = strings.TrimSpace(d.Fields[i].Text)
	for _, part := range strings.FieldsFunc(d.Fields[i+1].Text, func(r rune) bool { return r == ',' || r == ';' || r == '/' }) {
		m := rating.FindStringSubmatch(strings.ToUpper(strings.TrimSpace(part)))
		if m == nil {
			return fail(i+1, fmt.Sprintf("%q is no category and volts; write CAT II, III or IV and its volts, such as CAT III 1000 V", strings.TrimSpace(part)))
		}
		v, err := fault.ParseNumber(m[2], true)
		if err != nil || v <= 0 || v > 1e6 {
			return fail(i+1, m[2]+" V is no rating")
		}
		in.Ratings = append(in.Ratings, fault.Rating{Category: m[1], Volts: v})
	}
	for k, to := range []*string{&in.Calibrated, &in.CalDue} {
		day, err := fault.ParseDate(d.Fields[i+2+k].Text)
		if err != nil {
			return fail(i+2+k, err.Error())
		}
		*to = day
	}
	if in.CalDue != "" && in.CalDue < in.Calibrated {
		return fail(i+3, "due on "+in.CalDue+", before it was calibrated on "+in.Calibrated)
	}
	return nil
}

// num is a number as a person types it; 0 is not given.
func num(v float64, ohms bool) string {
	if v == 0 {
		return ""
	}
	for _, p := range []struct {
		at   float64
		sign string
	}{{1e9, "G"}, {1e6, "M"}, {1e3, "k"}} {
		if ohms && v >= p.at {
			return strconv.FormatFloat(v/p.at, 'f', -1, 64) + p.sign
		}
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Edit is the description of something in the case, to be put right; connection is
// where it is connected.
func Edit(c fault.Case, id, connection string) (Draft, bool) {
	if r, ok := c.Resistor(id); ok {
		d := Begin(c, Resistor)
		d.Of = id
		for i, text := range []string{id, num(r.Ohms, true), strconv.FormatFloat(r.TolPct, 'g', -1, 64), num(r.Watts, false), num(r.MaxVolts, false), r.Serial} {
			d.Fields[i].Text = text
		}
		d.was = d.Texts()
		return d, true
	}
	in, ok := c.Instrument(id)
	if !ok {
		return Draft{}, false
	}
	var ratings, ranges []string
	for _, r := range in.Ratings {
		ratings = append(ratings, r.String())
	}
	display := 0.0
	for _, r := range in.Ranges {
		ranges = append(ranges, strconv.FormatFloat(r.Max, 'g', -1, 64))
		display = math.Max(display, math.Round(r.Max/r.Count))
	}
	papers := []string{in.Serial, strings.Join(ratings, ", "), in.Calibrated, in.CalDue}
	texts := append([]string{id, num(in.InputOhms, true), strconv.FormatFloat(in.GainPct, 'g', -1, 64), strconv.FormatFloat(in.Counts, 'g', -1, 64), num(display, false), strings.Join(ranges, " "), num(in.InputTolPct, false)}, papers...)
	texts = append(texts, connection)
	d := Begin(c, Voltmeter)
	if strings.Contains(in.Kind, "insulation") {
		d = Begin(c, Tester)
		most := ""
		if n := len(in.Ranges); n > 0 {
			most = num(in.Ranges[n-1].Max, true)
		}
		texts = append([]string{id, strconv.FormatFloat(in.GainPct, 'g', -1, 64), most}, papers...)
	}
	d.Of, d.Own = id, ownOf(in.Ranges)
	for i := range d.Fields {
		d.Fields[i].Text = texts[i]
	}
	d = d.relaid()
	d.was = d.Texts()
	return d, true
}

// Over puts what was typed over the description that it puts right. What the page has no
// field for, and what was not changed, stays to the last digit; so do the ranges that
// remain, whichever others are added or taken away.
func (d Draft) Over(was, is fault.Instrument) fault.Instrument {
	before, _ := Edit(fault.Case{Instruments: []fault.Instrument{was}}, was.ID, "")
	same := func(i int) bool { return i < len(before.Fields) && d.Fields[i].Text == before.Fields[i].Text }
	is.ID, is.Kind, is.Functions, is.Extra = was.ID, was.Kind, was.Functions, was.Extra
	if d.Kind == Tester {
		is.Counts, is.InputOhms, is.InputTolPct = was.Counts, was.InputOhms, was.InputTolPct
		is.Ranges = testerRanges(was.Ranges, is.Ranges[0], same(2))
		return is
	}
	if same(1) {
		is.InputOhms = was.InputOhms
	}
	for k := range is.Ranges {
		r := &is.Ranges[k]
		i := slices.IndexFunc(was.Ranges, func(o fault.Range) bool { return o.Max == r.Max })
		if i < 0 {
			continue
		}
		old := was.Ranges[i]
		r.Extra = old.Extra
		if same(4) { // the largest display
			r.Count = old.Count
		}
		if d.Own[scale(r.Max)][ownInput] == before.Own[scale(r.Max)][ownInput] {
			r.InputOhms = old.InputOhms
		}
	}
	return is
}

// testerRanges are a tester's ranges with another most that it shows: the ranges below
// that stay, and the last one's figures are the new one's.
func testerRanges(was []fault.Range, is fault.Range, same bool) []fault.Range {
	if same && len(was) > 0 || len(was) == 0 {
		if len(was) == 0 {
			return []fault.Range{is}
		}
		return was
	}
	last := was[len(was)-1]
	last.Max, last.Count = is.Max, is.Count
	var out []fault.Range
	for _, r := range was[:len(was)-1] {
		if r.Max < is.Max {
			out = append(out, r)
		}
	}
	return append(out, last)
}

// Provings reads the entries of the proving log, one for each value that is shown.
func (d *Draft) Provings(c fault.Case, at string) ([]fault.Proving, error) {
	fail := func(i int, why string) ([]fault.Proving, error) {
		d.At = i
		return nil, fmt.Errorf("%s: %s", d.Fields[i].Name, why)
	}
	text := func(i int) string { return strings.TrimSpace(d.Fields[i].Text) }
	if _, ok := c.Instrument(text(0)); !ok {
		return fail(0, fmt.Sprintf("there is no instrument %q in this case", text(0)))
	}
	when := strings.ToLower(text(1))
	if when != "" && when != fault.ProvedBefore && when != fault.ProvedAfter {
		return fail(1, fmt.Sprintf("%q is neither before nor after", text(1)))
	}
	shown, known, points := strings.Fields(text(5)), strings.Fields(text(3)), strings.Fields(text(4))
	switch {
	case len(shown) == 0:
		return fail(5, "nothing was typed; "+d.Fields[5].Hint)
	case len(known) > 0 && len(known) != len(shown):
		return fail(3, fmt.Sprintf("%d values of the source, and %d are shown", len(known), len(shown)))
	case len(points) > 0 && len(points) != len(shown):
		return fail(4, fmt.Sprintf("%d points, and %d values are shown", len(points), len(shown)))
	}
	var out []fault.Proving
	for i, raw := range shown {
		p := fault.Proving{At: at, Instrument: text(0), When: when, Source: text(2), Raw: raw}
		e, err := fault.ParseEntry(raw, fault.EntryOptions{Quantity: fault.Volts})
		if err != nil || e.Relation != fault.Equal {
			return fail(5, fmt.Sprintf("%q is not volts that were shown", raw))
		}
		p.Shown = e.Value
		if len(known) > 0 {
			k, err := fault.ParseEntry(known[i], fault.EntryOptions{Quantity: fault.Volts})
			if err != nil || k.Relation != fault.Equal {
				return fail(3, fmt.Sprintf("%q is not volts", known[i]))
			}
			p.Known = &k.Value
		}
		if len(points) > 0 {
			p.Point = points[i]
		}
		out = append(out, p)
	}
	return out, nil
}

// After is the thing of the case that comes after one, by name; "" after the last.
func After(c fault.Case, id string) string {
	var all []string
	for _, in := range c.Instruments {
		all = append(all, in.ID)
	}
	for _, r := range c.Resistors {
		all = append(all, r.ID)
	}
	i := slices.Index(all, id) + 1
	if i >= len(all) {
		return ""
	}
	return all[i]
}
