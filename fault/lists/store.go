package lists

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// group puts a value into the list of its module. A group that the list has already
// is kept as a reading over its two taps, so that neither is lost.
func (b *builder) group(row *Row, m, k int, e fault.Entry, raw string, x common) error {
	if e.Relation != fault.Equal {
		return fmt.Errorf("%s is a bound, and the volts of a group are a number", e.Echo)
	}
	b.doubtful(e.Value, 10, raw)
	mod := b.net.Layout.Modules[m]
	name := fmt.Sprintf("%s group %d", mod.ID, k)
	key := mod.ID + "\x00" + x.state + "\x00" + x.meter
	place := key + "\x00" + strconv.Itoa(k)
	if first, again := b.seen[place]; again {
		row.Twice = fmt.Sprintf("%s was read in line %d too", name, first)
		b.keep(row, fault.Reading{Quantity: fault.Volts, Red: b.net.Name(b.net.Tap(m, k)), Black: b.net.Name(b.net.Tap(m, k-1))}, name+" again, as a reading over its taps", e, raw, x)
		return nil
	}
	b.seen[place] = row.Line
	l := b.list[key]
	if l == nil {
		l = b.newList(m, x)
		b.list[key] = l
	}
	l.Volts[k-1] = e.Value
	b.p.Values++
	row.Says = name + " " + e.Echo
	return nil
}

// doubtful counts bare volts that are more than they can be.
func (b *builder) doubtful(v, most float64, raw string) {
	if math.Abs(v) > most && b.m.Bare == "" && !ownUnit(raw) {
		b.large++
	}
}

func (b *builder) newList(m int, x common) *fault.GroupVolts {
	mod := b.net.Layout.Modules[m]
	l := &fault.GroupVolts{Module: mod.ID, State: x.state, Instrument: x.meter, At: x.at, Source: b.source(), Volts: make([]float64, mod.Series)}
	for i := range l.Volts {
		l.Volts[i] = math.NaN()
	}
	b.lists = append(b.lists, l)
	return l
}

// source says where group volts come from.
func (b *builder) source() string {
	s := b.o.Name
	if s == "" {
		s = "a list"
	}
	if b.m.Indexed() && b.m.Order != nil {
		s += ", " + b.m.Order.Name
	}
	return s
}

// keep makes a reading.
func (b *builder) keep(row *Row, r fault.Reading, says string, e fault.Entry, raw string, x common) {
	r.Value, r.Raw, r.State, r.Instrument, r.At, r.Who = e.Value, raw, x.state, x.meter, x.at, x.who
	if e.Relation != fault.Equal {
		r.Relation = e.Relation
	}
	r.Note = strings.Join(strings.Fields(x.note), " ")
	from := fmt.Sprintf("%s, line %d", b.o.Name, row.Line)
	if b.o.Name == "" {
		from = fmt.Sprintf("line %d of a list", row.Line)
	}
	if r.Note != "" {
		r.Note += "; "
	}
	r.Note += from
	b.p.Readings = append(b.p.Readings, r)
	b.p.Values++
	row.Says = says + " " + e.Echo
}

// reading makes a reading of a row that names a module or two leads.
func (b *builder) reading(r record, row *Row, quantity string, e fault.Entry, raw string, x common) error {
	red, black, says, err := b.leads(r, quantity, e.Value)
	if err != nil {
		return err
	}
	if quantity == fault.Volts {
		b.doubtful(e.Value, 1500, raw)
	}
	place := strings.Join([]string{quantity, red, black, x.state}, "\x00")
	if first, again := b.seen[place]; again {
		row.Twice = fmt.Sprintf("%s was read in line %d too", says, first)
	} else {
		b.seen[place] = row.Line
	}
	b.keep(row, fault.Reading{Quantity: quantity, Red: red, Black: black}, says, e, raw, x)
	return nil
}

// leads are where a reading was taken: over a module, over a link, or between two
// named places.
func (b *builder) leads(r record, quantity string, value float64) (red, black, says string, err error) {
	where, other, module := b.field(r, Red), b.field(r, Black), b.field(r, Module)
	free := quantity == fault.Celsius || quantity == fault.Kilopascal || quantity == fault.Amps
	if where == "" && module != "" {
		m, err := b.places.moduleOf(module)
		if err != nil {
			return "", "", "", err
		}
		id := b.net.Layout.Modules[m].ID
		switch {
		case free:
			return id, "", id, nil
		case quantity == fault.Volts && other == "":
			if v := b.net.Layout.Modules[m].Series; v > 1 && math.Abs(value) < 5 {
				b.small++
			}
			return id + "+", id + "-", id, nil
		}
		return "", "", "", fmt.Errorf("%s needs the terminal of %s that it was read at", QuantityName(quantity), id)
	}
	if where == "" && !free {
		return "", "", "", fmt.Errorf("it names no place: a module, or where the leads were")
	}
	if i, ok := b.places.link[strings.ToLower(strings.TrimSpace(where))]; ok && other == "" && !free {
		l := b.net.Layout.Links[i]
		return l.From, l.To, "across " + l.ID, nil
	}
	if red, err = b.lead(where, free); err != nil {
		return "", "", "", err
	}
	if other == "" && !free {
		b.noBlack++
		if b.m.Black == "" {
			return "", "", "", fmt.Errorf("it names no black lead")
		}
		other = b.m.Black
	}
	if black, err = b.lead(other, free); err != nil {
		return "", "", "", err
	}
	if red == black && red != "" {
		return "", "", "", fmt.Errorf("both leads are at %s", red)
	}
	says = red
	if black != "" {
		says += " to " + black
	}
	return red, black, says, nil
}

func (b *builder) lead(s string, free bool) (string, error) {
	if s == "" && free {
		return "", nil
	}
	if ref, ok := b.places.ref(s); ok {
		return ref, nil
	}
	if free {
		if m, ok := b.places.named(s); ok {
			return b.net.Layout.Modules[m].ID, nil
		}
	}
	if s == "" {
		return "", fmt.Errorf("a lead is at no place")
	}
	return "", fmt.Errorf("there is no place %q on this pack", s)
}
