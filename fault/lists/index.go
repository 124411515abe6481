package lists

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// numberBare gives the records of a bare column their indices, where it has as many
// values as the pack has groups: those that look like values, or else all rows. A
// row that then turns out to be unreadable keeps its index for itself.
func (b *builder) numberBare() {
	if !b.m.Indexed() || b.column[Index] >= 0 || len(b.wide) > 0 {
		return
	}
	looks, all := b.numbered(true), b.numbered(false)
	switch b.pack() {
	case looks[len(looks)-1] + 1:
		b.bareIndex = looks
	case all[len(all)-1] + 1:
		b.bareIndex = all
	}
}

// numbered counts the records below the headings; behind them is the last number.
func (b *builder) numbered(values bool) []int {
	out, n := make([]int, len(b.records)+1), 0
	for i, r := range b.records {
		out[i] = -1
		if i <= b.m.Head || r.blank() || values && (r.bad != "" || !looksLikeValue(b.field(r, Value))) {
			continue
		}
		out[i] = n
		n++
	}
	out[len(b.records)] = n - 1
	return out
}

// byIndex puts a value of the monitor's list where the chosen order says.
func (b *builder) byIndex(i int, r record, row *Row, e fault.Entry, raw string, x common) error {
	at, err := b.indexOf(i, r)
	if err != nil {
		return err
	}
	p, err := b.ordered(at, e.Value)
	if err != nil {
		b.doubtful(e.Value, 10, raw)
		return err
	}
	if named := b.field(r, Module); named != "" { // a check of the order
		if m, err := b.places.moduleOf(named); err != nil {
			return err
		} else if m != p.module {
			return fmt.Errorf("by the chosen order its index lies in %s, and the row says %q", b.net.Layout.Modules[p.module].ID, named)
		}
	}
	return b.group(row, p.module, p.k, e, raw, x)
}

// indexOf is the monitor's index of a row, counted from 0.
func (b *builder) indexOf(i int, r record) (int, error) {
	if b.column[Index] < 0 {
		if b.bareIndex == nil {
			return 0, fmt.Errorf("the column has another number of values than the pack has groups (%d), so that none has a certain index", b.pack())
		}
		return b.bareIndex[i], nil
	}
	s := strings.TrimLeft(strings.ToLower(b.field(r, Index)), "abcdefghijklmnopqrstuvwxyz #_.")
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return 0, fmt.Errorf("%q is no index", b.field(r, Index))
	}
	if !b.m.FromZero {
		n--
	}
	return n, nil
}

// waits is an error that ends when what is asked is answered.
type waits string

func (w waits) Error() string { return string(w) }

// ordered is the place of an index, counted from 0; its volts are noted.
func (b *builder) ordered(at int, volts float64) (place, error) {
	shown := at + 1
	if b.m.FromZero {
		shown = at
	}
	if at < 0 || at >= b.pack() {
		return place{}, fmt.Errorf("the pack has %d groups, and index %d is none of them", b.pack(), shown)
	}
	for len(b.p.List) < b.pack() {
		b.p.List = append(b.p.List, math.NaN())
	}
	if math.IsNaN(b.p.List[at]) {
		b.p.List[at] = volts
	}
	if b.m.Order == nil || len(b.m.Order.To) != b.pack() {
		return place{}, waits(fmt.Sprintf("index %d: how the monitor counts through the pack is not chosen", shown))
	}
	return b.along[b.m.Order.To[at]], nil
}
