package lists

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
)

// mostVolts is the largest value that a case file holds.
const mostVolts = 1e6

// quantity of a row's value: by its column, by its unit, or as was chosen.
func (b *builder) quantity(r record, text string, col Column) (string, error) {
	if s := strings.ToLower(b.field(r, Quantity)); s != "" {
		for _, q := range Quantities {
			if s == q || s == strings.ToLower(QuantityName(q)) {
				return q, nil
			}
		}
		if q, ok := map[string]string{"v": fault.Volts, "volt": fault.Volts, "voltage": fault.Volts, "dcv": fault.Volts, "r": fault.Ohms, "resistance": fault.Ohms, "ohm": fault.Ohms, "insulation resistance": fault.Insulation, "temperature": fault.Celsius, "a": fault.Amps, "current": fault.Amps, "pressure": fault.Kilopascal, "joint resistance": fault.Joint}[s]; ok {
			return q, nil
		}
		return "", fmt.Errorf("%q is no quantity", s)
	}
	if b.m.Quantity != "" {
		return b.m.Quantity, nil
	}
	u := col.unit
	if s := b.field(r, Unit); s != "" {
		u, _ = unitOf(s)
	}
	if own, ok := unitOf(strings.TrimSpace(text[1+strings.LastIndexAny(text, "0123456789.,"):])); ok {
		u = own
	}
	if u.text != "" && u.quantity == "" {
		b.unsure++
		return fault.Insulation, nil // and asked
	}
	if u.quantity != "" {
		return u.quantity, nil
	}
	return fault.Volts, nil
}

// Quantities are what a list may hold, in the order in which they are offered.
var Quantities = []string{fault.Volts, fault.Insulation, fault.Ohms, fault.Joint, fault.Amps, fault.Celsius, fault.Kilopascal}

// QuantityName is a quantity in words.
func QuantityName(q string) string {
	switch q {
	case fault.Celsius:
		return "temperature"
	case fault.Kilopascal:
		return "pressure"
	case fault.Joint:
		return "joint resistance"
	case fault.Insulation:
		return "insulation, by a tester"
	case fault.Ohms:
		return "ohms, by a meter"
	}
	return q
}

// value reads the text of a value with the unit that its own text, its row, its
// heading or the mapping gives it, in this order.
func (b *builder) value(text, quantity string, x common, unitText string, col Column) (e fault.Entry, raw string, err error) {
	text = strings.TrimSpace(text)
	if saysNothing(text) {
		return e, "", fmt.Errorf("it has no value")
	}
	raw = text
	if !ownUnit(text) {
		switch {
		case unitText != "":
			u, ok := unitOf(unitText)
			if !ok {
				return e, "", fmt.Errorf("%q is no unit that is known", unitText)
			}
			raw += " " + u.text
		case col.unit.text != "":
			raw += " " + col.unit.text
		case quantity == fault.Volts && b.m.Bare == "mV":
			raw += " mV"
		}
	}
	o := fault.EntryOptions{Quantity: quantity, DecimalComma: b.m.Mark == CommaMark, Limit: b.limit(x.meter, quantity)}
	comma := strings.Contains(text, ",")
	if e, err = fault.ParseEntry(raw, o); err != nil && comma && b.m.Mark == FoundMark {
		o.DecimalComma = true
		if again, second := fault.ParseEntry(raw, o); second == nil {
			b.commas++ // either way: asked, and listed until it is answered
			_ = again
		}
	}
	switch {
	case err != nil:
		return e, "", err
	case math.Abs(e.Value) > mostVolts && (quantity == fault.Volts || quantity == fault.Amps || quantity == fault.Celsius || quantity == fault.Kilopascal):
		return e, "", fmt.Errorf("%s is more than can be", e.Echo)
	case quantity == fault.Celsius && e.Value < -273.15:
		return e, "", fmt.Errorf("%s is below the lowest temperature", e.Echo)
	}
	return e, raw, nil
}

// limit is the most that an instrument shows, for OL.
func (b *builder) limit(meter, quantity string) float64 {
	if in, ok := b.c.Instrument(meter); ok && quantity == fault.Volts {
		most := 0.0
		for _, r := range in.Ranges {
			most = math.Max(most, r.Max)
		}
		return most
	}
	if quantity == fault.Insulation || quantity == fault.Ohms {
		return b.m.Limit
	}
	return 0
}
