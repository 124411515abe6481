// Package proving is the page of isolating and proving: what is recorded of a
// make-safe, entry by entry, what the record says of itself, and one entry in the
// making. It reads facts and knows no widget, no store and no clock.
//
// What a person recorded is told as recorded; what is computed says so and stays
// hidden until a value is typed. It draws no tick, and never says that anything may
// be touched.
package proving

import (
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
)

// A Part of the page: items under one heading.
type Part struct {
	Name  string
	Items []string
}

// Parts are the items in the order in which they are asked for.
var Parts = []Part{
	{"People and place", []string{fault.SafeAuthorised, fault.SafeAssistant, fault.SafeStandby, fault.SafeSite, fault.SafeProcedure}},
	{"Kit", []string{fault.SafeGloves, fault.SafeMeter, fault.SafeProver}},
	{"Lock", []string{fault.SafeLock, fault.SafeKey, fault.SafePlug}},
	{"Waiting", []string{fault.SafeWait, fault.SafeBegan, fault.SafeDecay, fault.SafeLimit}},
	{"Prove, read, prove", []string{fault.SafePoint, fault.SafeBefore, fault.SafePoles, fault.SafePlus, fault.SafeMinus, fault.SafeAfter}},
}

// Items are all of them in their order.
func Items() (out []string) {
	for _, p := range Parts {
		out = append(out, p.Items...)
	}
	return out
}

// optional are the items that a record can do without.
var optional = map[string]bool{fault.SafeAssistant: true, fault.SafeStandby: true, fault.SafeSite: true, fault.SafeProcedure: true, fault.SafeGloves: true,
	fault.SafePlug: true, fault.SafeDecay: true, fault.SafeLimit: true, fault.SafePoint: true}

// Next is the item to record next, in the order of the page, from one on; "" when
// all that a record needs is there.
func Next(c *fault.Case, from string) string {
	items := Items()
	start := 0
	for i, it := range items {
		if it == from {
			start = i + 1
		}
	}
	for k := range items {
		it := items[(start+k)%len(items)]
		if _, ok := Stands(c, it); !ok && !optional[it] {
			return it
		}
	}
	return ""
}

// Stands is the entry of an item that counts, for readings the one at the place
// that was named last.
func Stands(c *fault.Case, item string) (fault.MakeSafe, bool) {
	if fault.SafeVolts(item) {
		return c.SafeAt(item, makesafe.Point(c))
	}
	return c.SafeNow(item)
}

// Name is an item as the page writes it, with a capital.
func Name(item string) string {
	n := fault.SafeName(item)
	return strings.ToUpper(n[:1]) + n[1:]
}

// Said is an entry in words, without its item's name.
func Said(m fault.MakeSafe) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	switch {
	case m.Item == fault.SafeDecay && m.Value != nil:
		add(farads(*m.Value))
		if m.Ohms != nil {
			add("through " + ohms(*m.Ohms))
		}
		add(m.Text)
	case m.Item == fault.SafeWait && m.Value != nil:
		add(number(*m.Value) + "\u2009min")
		add(orNot(m.Text, "source not recorded"))
	case m.Item == fault.SafeLimit && m.Value != nil:
		add(volts(*m.Value))
		add(orNot(m.Text, "source not recorded"))
	case m.Item == fault.SafeProver:
		add(m.Text)
		if m.Value != nil {
			v := volts(*m.Value)
			if m.TolPct != nil {
				v += " ± " + number(*m.TolPct) + " %"
			}
			add(v)
		}
		add(date("due", m.Date))
	case fault.SafeVolts(m.Item) && m.Value != nil:
		v := volts(*m.Value)
		if m.Known != nil {
			v += " shown of a known " + volts(*m.Known)
		}
		add(v)
		add(m.Instrument)
	case m.Item == fault.SafeMeter:
		add(m.Instrument)
		add(m.Text)
		add(date("calibration due", m.Date))
	case m.Item == fault.SafeGloves:
		add(m.Text)
		add(date("tested", m.Date))
	case m.Item == fault.SafeBegan:
	default:
		add(m.Text)
	}
	if m.Item == fault.SafeBegan || fault.SafeVolts(m.Item) {
		add(orNot(Clock(m.At), "time not recorded"))
	}
	if len(parts) == 0 {
		return "recorded without words"
	}
	return strings.Join(parts, ", ")
}

func date(what, day string) string {
	if day == "" {
		return ""
	}
	return what + " " + day
}

func orNot(s, otherwise string) string {
	if strings.TrimSpace(s) == "" {
		return otherwise
	}
	return s
}
