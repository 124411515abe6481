package kit

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// What a range can have of its own.
const (
	ownGain = iota
	ownCounts
	ownInput
	owns
)

var ownNames = [owns]string{"± % of reading", "± counts", "input resistance"}

// scales are the full scales that are typed so far, each as it names its range. What
// is no number yet has no range.
func scales(text string) (out []string) {
	for _, word := range scaleWords(text) {
		if v, err := fault.ParseNumber(word, false); err == nil && v > 0 {
			if s := scale(v); !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}

func scaleWords(text string) []string {
	return strings.Fields(strings.NewReplacer(";", " ", "V", " ").Replace(text))
}

func scale(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// relaid is the draft with the fields of the ranges that are typed now, after its own.
// What was typed for a range that is not among them is kept until it is again.
func (d Draft) relaid() Draft {
	if d.Kind != Voltmeter {
		return d
	}
	fixed := slices.IndexFunc(d.Fields, func(f Field) bool { return f.Scale != "" })
	if fixed < 0 {
		fixed = len(d.Fields)
	}
	d.Fields = slices.Clone(d.Fields[:fixed])
	for _, s := range scales(d.Fields[rangesField].Text) {
		for part, name := range ownNames {
			d.Fields = append(d.Fields, Field{Name: s + " V: " + name, Hint: "empty: as above", Text: d.Own[s][part], Scale: s})
		}
	}
	d.At = min(d.At, len(d.Fields)-1)
	return d
}

// owned is the draft with what is typed into a field of a range.
func (d Draft) owned(i int, text string) Draft {
	own := maps.Clone(d.Own)
	if own == nil {
		own = map[string][owns]string{}
	}
	parts := own[d.Fields[i].Scale]
	parts[d.part(i)] = text
	own[d.Fields[i].Scale] = parts
	d.Own = own
	return d
}

// part is which of a range's figures a field is.
func (d Draft) part(i int) int {
	first := slices.IndexFunc(d.Fields, func(f Field) bool { return f.Scale != "" })
	return (i - first) % owns
}

// summary is a range in one line: what it has of its own.
func (d Draft) summary(s string) string {
	var out []string
	for part, format := range [owns]string{"± %s %%", "± %s counts", "input %s"} {
		if text := strings.TrimSpace(d.Own[s][part]); text != "" {
			out = append(out, fmt.Sprintf(format, text))
		}
	}
	if len(out) == 0 {
		return "as above"
	}
	return strings.Join(out, ", ")
}

// figures reads what a range has of its own.
func (d *Draft) figures(r *fault.Range) error {
	s := scale(r.Max)
	for i, f := range d.Fields {
		if f.Scale != s || strings.TrimSpace(f.Text) == "" {
			continue
		}
		var err error
		var v float64
		switch d.part(i) {
		case ownGain:
			v, err = d.percent(i)
			r.GainPct = &v
		case ownCounts:
			v, err = d.value(i, 0, false)
			r.Counts = &v
		default:
			r.InputOhms, err = d.value(i, 0, true)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// ownOf are the figures that ranges of an instrument have of their own, as texts.
func ownOf(ranges []fault.Range) map[string][owns]string {
	out := map[string][owns]string{}
	for _, r := range ranges {
		var parts [owns]string
		if r.GainPct != nil {
			parts[ownGain] = strconv.FormatFloat(*r.GainPct, 'g', -1, 64)
		}
		if r.Counts != nil {
			parts[ownCounts] = strconv.FormatFloat(*r.Counts, 'g', -1, 64)
		}
		parts[ownInput] = num(r.InputOhms, true)
		if parts != ([owns]string{}) {
			out[scale(r.Max)] = parts
		}
	}
	return out
}
