package drafting

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/topology/path"
	"halfsplit/ui/words"
)

// taken is what was measured for the order, as the layout keeps it. It is kept with the
// layout, and not beside it as what is half typed, since it is what proves its links: it
// goes wherever the layout goes, stays with its version, and each value is an edit with a
// name that can be undone.
type taken struct {
	Reference string // "" = the first module's negative terminal
	Meter     meter
	At, Who   string            // of the latest value; "" = not recorded
	Values    map[string]string // as typed, by terminal
	kept      topology.OrderVolts
}

// A meter is how far its values can err.
type meter struct {
	Name    string  // "" = not recorded
	GainPct float64 // ± % of the value, common to all of them
	Counts  float64 // ± of the last digit, each value's own
	Range   float64 // V at most, of a range that was locked; 0 = by the last digit that was typed
}

// usualMeter is the meter where none was stated: a bench meter of 6000 counts that chooses
// its range.
var usualMeter = meter{GainPct: 0.5, Counts: 2}

// ranges that can be locked, with their last digit in V: a meter of 6000 counts.
var ranges = []struct{ most, digit float64 }{{6, 0.001}, {60, 0.01}, {600, 0.1}, {1000, 1}}

// takenOf is what a layout keeps.
func takenOf(l layout) taken {
	t := taken{Meter: usualMeter}
	if l.OrderVolts == nil {
		return t
	}
	t.kept = *l.OrderVolts
	t.Reference, t.At, t.Who, t.Values = t.kept.Reference, t.kept.At, t.kept.Who, map[string]string{}
	if m := t.kept.Meter; m != nil {
		t.Meter = meter{m.Name, m.GainPct, m.Counts, m.Range}
	}
	for _, v := range t.kept.Values {
		t.Values[v.Terminal] = typedAs(v)
	}
	return t
}

// typedAs is a value as it was typed, or as it would have been.
func typedAs(v topology.TerminalVolts) string {
	return cmp.Or(v.Raw, strconv.FormatFloat(v.Volts, 'f', -1, 64))
}

// into writes it into a copy of the layout, in the order of its modules, with the fields
// of a later version that were there.
func (t taken) into(l layout) layout {
	was := map[string]topology.TerminalVolts{}
	for _, v := range t.kept.Values {
		was[v.Terminal] = v
	}
	now := t.kept
	now.Reference, now.At, now.Who, now.Values, now.Meter = t.Reference, t.At, t.Who, nil, nil
	if m := t.Meter; m != usualMeter {
		now.Meter = &topology.OrderMeter{Name: m.Name, GainPct: m.GainPct, Counts: m.Counts, Range: m.Range}
		if t.kept.Meter != nil {
			now.Meter.Extra = t.kept.Meter.Extra
		}
	}
	for _, mod := range l.Modules {
		for _, terminal := range []string{mod.ID + "-", mod.ID + "+"} {
			raw := t.Values[terminal]
			volts, _, err := voltsOf(raw)
			if raw == "" || err != nil {
				continue
			}
			v, old := was[terminal]
			if !old || typedAs(v) != raw {
				v.Terminal, v.Volts, v.Raw = terminal, volts, raw
			}
			now.Values = append(now.Values, v)
		}
	}
	l.OrderVolts = &now
	return l
}

// changed gives an edit of what was measured.
func changed(change func(*taken)) edited {
	return func(l layout) (layout, error) {
		t := takenOf(l)
		t.Values = maps.Clone(t.Values)
		if t.Values == nil {
			t.Values = map[string]string{}
		}
		t.Reference = t.against(l) // said from the first value on: what is the first module may change
		change(&t)
		return t.into(l), nil
	}
}

// valued keeps one value as it was typed, and when and by whom; empty takes it away.
func (v *View) valued(terminal, raw string) result {
	do := changed(func(t *taken) {
		if raw == "" {
			delete(t.Values, terminal)
			return
		}
		t.Values[terminal] = raw
		v.stamp(t)
	})
	return result{name: "volts of " + terminal, do: do}
}

// stamp says when the latest value was taken, and who is here.
func (v *View) stamp(t *taken) {
	t.At, t.Who = "", ""
	if v.deps.Now != nil {
		t.At = v.deps.Now().Format(time.RFC3339)
	}
	if v.deps.Who != nil {
		t.Who = v.deps.Who()
	}
}

// takenWords are when and by whom the latest value was taken; "" = neither is recorded.
func (t taken) takenWords() string {
	at := ""
	if when, err := time.Parse(time.RFC3339, t.At); err == nil {
		at = " on " + when.Format("2006-01-02 at 15:04")
	}
	if t.Who != "" {
		at += " by " + t.Who
	}
	if at == "" || len(t.Values) == 0 {
		return ""
	}
	return "The latest was typed" + at + "."
}

// against is the reference: what was said, else the first module's negative terminal.
func (t taken) against(l layout) string {
	switch {
	case t.Reference != "":
		return t.Reference
	case len(l.Modules) > 0:
		return l.Modules[0].ID + "-"
	}
	return "B-"
}

// voltsOf reads a value as it is typed: a bare number is volts, a comma may stand for
// the point, mV and V are understood. digit is the worth of its last digit in V.
func voltsOf(raw string) (volts, digit float64, err error) {
	e, err := fault.ParseEntry(raw, fault.EntryOptions{Quantity: fault.Volts, DecimalComma: true})
	switch {
	case err != nil:
		return 0, 0, err
	case e.Relation != fault.Equal || e.OverRange:
		return 0, 0, fmt.Errorf("%s is a bound, and an order needs values; leave it empty if it was not measured", raw)
	}
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(raw), fault.EntryUnit(raw)))
	number, power, _ := strings.Cut(strings.ToLower(number), "e")
	digit = 1
	if i := strings.IndexAny(number, ".,"); i >= 0 {
		digit = math.Pow10(i + 1 - len(number))
	}
	if p, err := strconv.Atoi(power); err == nil {
		digit *= math.Pow10(p)
	}
	if strings.HasPrefix(fault.EntryUnit(raw), "m") {
		digit /= 1000
	}
	return e.Value, digit, nil
}

// shownVolts is a value as it was typed, with its unit.
func shownVolts(raw string) string {
	if fault.EntryUnit(raw) == "" {
		return raw + " V"
	}
	return raw
}

// measured is what was typed as values with their errors. The reference is 0 V by
// itself. A meter that chooses its range may have read two values that lie near each
// other on two ranges, which have two gains: where their last digits differ, each
// value's own error grows by its gain.
func (t taken) measured(l layout) path.Measured {
	m := path.Measured{Reference: t.against(l), Gain: t.Meter.GainPct / 100}
	type one struct{ volts, digit float64 }
	var all []one
	for _, mod := range l.Modules {
		for _, terminal := range []string{mod.ID + "-", mod.ID + "+"} {
			if terminal == m.Reference {
				m.Values = append(m.Values, path.Value{Terminal: terminal})
				all = append(all, one{})
				continue
			}
			volts, digit, err := voltsOf(t.Values[terminal])
			if t.Values[terminal] == "" || err != nil {
				continue
			}
			for _, r := range ranges {
				if r.most == t.Meter.Range {
					digit = r.digit
				}
			}
			m.Values = append(m.Values, path.Value{Terminal: terminal, Volts: volts, Within: t.Meter.Counts * digit})
			all = append(all, one{volts, digit})
		}
	}
	if t.Meter.Range != 0 {
		return m
	}
	for i, a := range all {
		near := func(b one) bool {
			return b.digit != 0 && b.digit != a.digit && math.Abs(a.volts-b.volts) <= 2*m.Gain*math.Abs(a.volts)+2*t.Meter.Counts*(a.digit+b.digit)
		}
		if a.digit != 0 && slices.ContainsFunc(all, near) {
			m.Values[i].Within += m.Gain * math.Abs(a.volts)
		}
	}
	return m
}

// words say what the meter is taken to be.
func (m meter) words() string {
	digit := "the last digit as typed"
	for _, r := range ranges {
		if r.most == m.Range {
			digit = fmt.Sprintf("%g V, the last digit of its %g V range", r.digit, r.most)
		}
	}
	errs := fmt.Sprintf("± %g %% in common, and ± %g of %s", m.GainPct, m.Counts, digit)
	if m.Name != "" {
		return m.Name + ", " + errs
	}
	return errs
}

var (
	listed  = regexp.MustCompile(`^\s*"?([A-Za-z0-9_]+)([+-])"?(?:[\s;,:=|]+(.*))?$`)
	oneSign = strings.NewReplacer("\u2212", "-", "\u2013", "-")
)

// terminalOf finds a module's terminal by its name, whatever its case, or by the
// module's number where one alone has it: m3+ is M03+.
func terminalOf(l layout, module, sign string) string {
	found := ""
	number := func(id string) (int, error) {
		return strconv.Atoi(strings.TrimLeft(strings.ToLower(id), "abcdefghijklmnopqrstuvwxyz_"))
	}
	n, err := number(module)
	for _, m := range l.Modules {
		if strings.EqualFold(m.ID, module) {
			return m.ID + sign
		}
		stem := strings.TrimRight(module, "0123456789")
		if k, e := number(m.ID); err == nil && e == nil && k == n && (stem == "" || strings.HasPrefix(strings.ToLower(m.ID), strings.ToLower(stem))) {
			if found != "" {
				return ""
			}
			found = m.ID + sign
		}
	}
	return found
}

// A listLine is what became of one line of a pasted list.
type listLine struct {
	text, said    string
	terminal, raw string // "" = not used
}

// listOf reads terminals and volts, one pair a line. Every line is accounted for.
func listOf(l layout, t taken, text string) (lines []listLine) {
	seen := map[string]bool{}
	for _, line := range strings.Split(strings.TrimRight(strings.NewReplacer("\r\n", "\n", "\r", "\n", "\ufeff", "").Replace(text), "\n"), "\n") {
		out := listLine{text: line}
		got := listed.FindStringSubmatch(oneSign.Replace(line))
		switch {
		case strings.TrimSpace(line) == "":
			out.said = "Empty."
		case got == nil:
			out.said = "No terminal such as M03+ begins it; not used."
		default:
			out.take(l, t, got, seen)
		}
		lines = append(lines, out)
	}
	return lines
}

func (o *listLine) take(l layout, t taken, got []string, seen map[string]bool) {
	terminal, raw := terminalOf(l, got[1], got[2]), strings.Trim(strings.TrimSpace(got[3]), `"`)
	volts, _, err := voltsOf(raw)
	switch {
	case terminal == "":
		o.said = fmt.Sprintf("%s%s is no terminal of this layout; not used.", got[1], got[2])
	case terminal == t.against(l):
		o.said = terminal + " is the reference, 0 V by itself; not used."
	case seen[terminal]:
		o.said = terminal + " stands in an earlier line already; that one is taken."
	case raw == "":
		o.said = terminal + " has no value: not measured."
	case err != nil:
		o.said = terminal + ": " + words.Sentence(err.Error())
	default:
		seen[terminal] = true
		o.terminal, o.raw = terminal, raw
		o.said = fmt.Sprintf("%s: %s V.", terminal, strconv.FormatFloat(volts, 'g', -1, 64))
		if was := t.Values[terminal]; was != "" && was != raw {
			o.said += " It takes the place of " + shownVolts(was) + "."
		}
	}
}

// putRight turns a module end for end because its volts say so: what was joined to an
// end in the drawing stays joined there, and each value stays at the place at which
// the probe was.
func putRight(id string) result {
	return result{name: "turn " + id + " end for end, as measured", do: func(l layout) (layout, error) {
		l, err := edit.Reverse(l, edit.Selection{id}, true)
		if err != nil {
			return l, err
		}
		return changed(func(t *taken) {
			lo, hi := t.Values[id+"-"], t.Values[id+"+"]
			delete(t.Values, id+"-")
			delete(t.Values, id+"+")
			if lo != "" {
				t.Values[id+"+"] = lo
			}
			if hi != "" {
				t.Values[id+"-"] = hi
			}
			switch t.Reference {
			case id + "-":
				t.Reference = id + "+"
			case id + "+":
				t.Reference = id + "-"
			}
		})(l)
	}}
}
