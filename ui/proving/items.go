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
	"halfsplit/ui/words"
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
func Said(m fault.MakeSafe) string { return words.Plain(makesafe.Said(m)) }

func orNot(s, otherwise string) string {
	if strings.TrimSpace(s) == "" {
		return otherwise
	}
	return s
}
