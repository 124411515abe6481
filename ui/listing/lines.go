package listing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/lists"
	"halfsplit/fault/lists/order"
)

// A line is one thing that was understood and can be changed.
type line struct {
	id, name, value, note string
	ask                   string // the Ask that it answers; "" = none can be
}

const (
	sepLine, headLine, wideLine, markLine = "separator", "head", "wide", "mark"
	bareLine, quantityLine, blackLine     = "bare", "quantity", "black"
	datesLine, orderLine, stateLine       = "dates", "order", "state"
	stampLine                             = "stamp"
	meterLine, limitLine, columnLine      = "meter", "limit", "column:"
)

var separatorNames = []struct {
	sep  rune
	name string
}{{lists.Tab, "tab"}, {lists.Semicolon, "semicolon"}, {lists.Comma, "comma"}, {lists.Blanks, "blanks"}, {lists.NoSeparator, "nothing: it is one column"}}

var markNames = []string{"where it is clear", "point", "comma"}

var dateNames = []string{"where it is clear", "day first", "month first"}

// limits are what OL may be more than, in ohms.
var limits = []float64{0, 20e6, 60e6, 200e6, 500e6, 1e9, 2e9, 5e9, 10e9, 20e9}

// view is what lines are made of.
type view struct {
	c      fault.Case
	t      lists.Text
	m      lists.Mapping
	p      lists.Preview
	orders order.Result

	weighed []float64 // what the orders were weighed by; nil = nothing
}

// lines are what can be changed, in the order in which it is read.
func (v view) lines() []line {
	m := v.m
	out := []line{{sepLine, "Columns are parted by", v.separator(), "", lists.AskSeparator}, {headLine, "Headings", v.head(), "", ""}}
	out = append(out, v.columns()...)
	if quantities := v.quantity(); quantities.id != "" {
		out = append(out, quantities)
	}
	if v.has(lists.Value) || v.has(lists.Wide) {
		out = append(out, line{markLine, "Decimals are marked by", markNames[m.Mark], "", lists.AskMark})
	}
	if v.bare() {
		unit := m.Bare
		if unit == "" {
			unit = "V, as everywhere"
		}
		out = append(out, line{bareLine, "A number without a unit is in", unit, "", lists.AskBare})
	}
	if m.Indexed() {
		out = append(out, v.order())
	}
	if v.has(lists.Red) {
		out = append(out, line{blackLine, "Black lead where none is named", orWord(m.Black, "not said"), "", lists.AskBlack})
	}
	if v.has(lists.Time) {
		out = append(out, line{datesLine, "In dates such as 03/04/2026", dateNames[m.Dates], "", lists.AskDates})
	}
	when := "at a time that is not known"
	if m.Stamp {
		when = "now, as this is stored"
	}
	out = append(out, line{stampLine, "Rows without a time were read", when, "", ""})
	out = append(out, line{stateLine, "Read in state", orWord(m.State, "not chosen"), v.stateNote(), lists.AskState})
	out = append(out, line{meterLine, "Read with", orWord(m.Meter, "no instrument named"), v.meterNote(), ""})
	if v.overflows() {
		value := "not said"
		if m.Limit > 0 {
			value = "more than " + fault.FormatOhms(m.Limit)
		}
		out = append(out, line{limitLine, "OL of a resistance is", value, "", ""})
	}
	return out
}

func (v view) has(r lists.Role) bool {
	return slices.ContainsFunc(v.m.Columns, func(c lists.Column) bool { return c.Role == r })
}

// bare says that there may be volts without a unit.
func (v view) bare() bool {
	if v.m.Quantity != "" && v.m.Quantity != fault.Volts || v.has(lists.Unit) {
		return false
	}
	return v.m.Bare != "" || slices.ContainsFunc(v.m.Columns, func(c lists.Column) bool {
		return (c.Role == lists.Value || c.Role == lists.Wide) && c.HeadUnit() == ""
	})
}

func (v view) separator() string {
	for _, s := range separatorNames {
		if s.sep == v.m.Separator {
			return s.name
		}
	}
	return strconv.QuoteRune(v.m.Separator)
}

func (v view) head() string {
	if v.m.Head < 0 {
		return "none"
	}
	for _, r := range v.p.Rows {
		if r.Status == lists.Heading {
			return fmt.Sprintf("line %d", r.Line)
		}
	}
	return fmt.Sprintf("row %d", v.m.Head+1)
}

// fewWide is from how many numbered columns on they stand in one line.
const fewWide = 3

// columns are the columns, numbered ones together.
func (v view) columns() (out []line) {
	wide, first, last, from, to := 0, 0, 0, 0, 0
	for i, c := range v.m.Columns {
		if c.Role == lists.Wide {
			if wide++; wide == 1 {
				first, from = i, c.K
			}
			last, to = i, c.K
		}
	}
	for i, c := range v.m.Columns {
		switch {
		case c.Role == lists.Wide && wide >= fewWide && i == first:
			of := "of the row's module"
			if v.m.Indexed() {
				of = "by monitor index"
			}
			out = append(out, line{wideLine, fmt.Sprintf("Columns %d to %d", first+1, last+1), fmt.Sprintf("volts of groups %d to %d, %s", from, to, of), headUnit(c), ""})
		case c.Role == lists.Wide && wide >= fewWide:
		default:
			value := lists.RoleNames[c.Role]
			if c.Role == lists.Wide {
				value = fmt.Sprintf("volts of group %d", c.K)
			}
			name := fmt.Sprintf("Column %d", i+1)
			if !strings.HasPrefix(c.Name, "column ") {
				name += ", “" + short(c.Name, 24) + "”"
			}
			out = append(out, line{columnLine + strconv.Itoa(i), name, value, headUnit(c), ""})
		}
	}
	return out
}

func headUnit(c lists.Column) string {
	if u := c.HeadUnit(); u != "" {
		return "Its heading gives the unit " + strings.Replace(u, "ohm", "Ω", 1) + "."
	}
	return ""
}

func (v view) quantity() line {
	if v.has(lists.Quantity) || !v.has(lists.Value) {
		return line{}
	}
	if v.m.Quantity == "" {
		return line{quantityLine, "The values are", "as their units say, else volts", "", lists.AskQuantity}
	}
	return line{quantityLine, "The values are", lists.QuantityName(v.m.Quantity), "", lists.AskQuantity}
}

func (v view) order() line {
	l := line{orderLine, "The monitor counts", "not chosen", "", lists.AskOrder}
	if v.m.Order != nil {
		l.value = v.m.Order.Name
		for _, m := range v.orders.Maps {
			if slices.Equal(m.To, v.m.Order.To) {
				l.note = fmt.Sprintf("Its share is %.3f.", m.Share)
				if m.Share < 0.001 {
					l.note = "What was read speaks against it: its share is less than 0.001."
				}
			}
		}
	}
	return l
}

func (v view) stateNote() string {
	if v.m.State != "" && v.m.State == v.c.Now {
		return "The present state."
	}
	return ""
}

func (v view) meterNote() string {
	if v.m.Meter == "" && len(v.p.Readings) > 0 && !v.has(lists.Instrument) {
		return "A reading without one is kept, but cannot be weighed."
	}
	return ""
}

// overflows says that a row was not read since nobody said what OL is.
func (v view) overflows() bool {
	return v.m.Limit > 0 || slices.ContainsFunc(v.p.Rows, func(r lists.Row) bool { return strings.HasPrefix(r.Why, "OL is a bound") })
}

func orWord(s, word string) string {
	if s == "" {
		return word
	}
	return s
}

func short(s string, most int) string {
	if r := []rune(strings.Join(strings.Fields(s), " ")); len(r) > most {
		return string(r[:most-1]) + "…"
	} else {
		return string(r)
	}
}
