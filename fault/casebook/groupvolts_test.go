package casebook_test

import (
	"database/sql"
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

var nan = math.NaN()

// A group that was not measured is NaN here and NULL in the file; a negative
// zero is a zero; every other number comes back to the last bit.
func TestGroupVolts_NotMeasuredIsNull(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	lists := []fault.GroupVolts{
		{Module: "M01", State: "closed", Volts: []float64{nan, math.Copysign(0, -1)}},
		{Module: "M02", State: "closed", Volts: []float64{nan, nan}, Source: "nothing read"},
		{Module: "M03", State: "closed", Volts: []float64{3.6220000000000003, 5e-324}},
	}
	check(t, b.AddGroupVolts(id, lists, anna))
	for range 2 {
		got := theCase(t, b, id).GroupVolts
		for i, g := range got {
			for n, v := range g.Volts {
				want := lists[i].Volts[n]
				if want == 0 {
					want = 0 // without its sign
				}
				if math.Float64bits(v) != math.Float64bits(want) && !(math.IsNaN(v) && math.IsNaN(want)) {
					t.Errorf("%s group %d: %v became %v", g.Module, n+1, want, v)
				}
			}
		}
		b = reopen(t, b)
	}
	var null, zero int
	check(t, b.Writer().QueryRow(`SELECT count(*) FROM group_volt_values WHERE volts IS NULL`).Scan(&null))
	check(t, b.Writer().QueryRow(`SELECT count(*) FROM group_volt_values WHERE volts = 0`).Scan(&zero))
	if null != 3 || zero != 1 {
		t.Errorf("%d NULL, %d zero", null, zero)
	}
	holds(t, b)
}

func TestGroupVolts_Refuses(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	for words, g := range map[string]fault.GroupVolts{
		"has 2 groups in series":    {Module: "M01", State: "closed", Volts: []float64{3.6}},
		"there is no module":        {Module: "M99", State: "closed", Volts: []float64{3.6}},
		`there is no state "other"`: {Module: "M01", State: "other", Volts: []float64{3.6, 3.6}},
		"without bound":             {Module: "M01", State: "closed", Volts: []float64{3.6, math.Inf(1)}},
	} {
		wantKind(t, b.AddGroupVolts(id, []fault.GroupVolts{g}, anna), casebook.Refused, words)
	}
	wantKind(t, b.EnterGroupVolts(id, "M01", "closed", "", 3, 3.6, anna), casebook.Refused, "module M01 has no group 3")
	wantKind(t, b.EnterGroupVolts(id, "M01", "closed", "", 1, math.Inf(-1), anna), casebook.Refused, "without bound")
}

// Groups typed one after the other fill one list, and a correction keeps what
// was there before in the file.
func TestEnterGroupVolts_FillsOneList(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	enter := func(instrument string, group int, v float64) {
		t.Helper()
		check(t, b.EnterGroupVolts(id, "M01", "closed", instrument, group, v, anna))
	}
	enter("dmm", 2, 3.618)
	enter("dmm", 1, 36.22)
	enter("dmm", 1, 3.622)
	enter("", 1, 3.7) // another source is another list
	c := theCase(t, b, id)
	if len(c.GroupVolts) != 2 || c.GroupVolts[0].Volts[0] != 3.622 || c.GroupVolts[0].Volts[1] != 3.618 || !math.IsNaN(c.GroupVolts[1].Volts[1]) {
		t.Errorf("%+v", c.GroupVolts)
	}
	if n := count(t, b.Writer(), `SELECT count(*) FROM group_volt_values WHERE volts = 36.22`); n != 1 {
		t.Errorf("the value that was corrected is %d times in the file", n)
	}
	for _, want := range []string{"M01 group 1 3.7 V", "M01 group 1 36.22 V -> 3.622 V", "M01 group 1 36.22 V", "M01 group 2 3.618 V"} {
		if name := must(b.Undo(id, anna)).or(t); name != want {
			t.Errorf("undo of %q, want %q", name, want)
		}
	}
	if c := theCase(t, b, id); len(c.GroupVolts) != 0 {
		t.Errorf("%+v", c.GroupVolts)
	}
	holds(t, b)
}

func count(t testing.TB, db *sql.DB, query string) (n int) {
	t.Helper()
	check(t, db.QueryRow(query).Scan(&n))
	return n
}
