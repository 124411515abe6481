package makesafe

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"halfsplit/fault"
)

// A Remark is one thing that the record says of itself, as a sentence.
type Remark struct {
	Text  string
	Item  string // that it is about, and that would lift it; "" = none
	Lacks bool   // it stands before the next step
}

// Review is everything that a record says of itself: first what is lacking or does
// not fit, then what is to be known. today is the day for due dates, YYYY-MM-DD; ""
// = not known. expect is asked for a place's expectation.
func Review(c *fault.Case, expect func(point string) Expected, today string) []Remark {
	r := &review{c: c, today: today}
	r.people()
	r.wait()
	for _, p := range Points(c) {
		r.place(p, expect(p))
	}
	r.since()
	r.kit()
	slices.SortStableFunc(r.out, func(a, b Remark) int {
		switch {
		case a.Lacks == b.Lacks:
			return 0
		case a.Lacks:
			return -1
		}
		return 1
	})
	return r.out
}

// A review is being written.
type review struct {
	c     *fault.Case
	today string
	out   []Remark
}

func (r *review) lacks(item, format string, args ...any) {
	r.out = append(r.out, Remark{fmt.Sprintf(format, args...), item, true})
}

func (r *review) says(item, format string, args ...any) {
	r.out = append(r.out, Remark{fmt.Sprintf(format, args...), item, false})
}

func (r *review) text(item string) string {
	m, _ := r.c.SafeNow(item)
	return strings.TrimSpace(m.Text)
}

func (r *review) people() {
	if r.text(fault.SafeAuthorised) == "" {
		r.lacks(fault.SafeAuthorised, "No authorised person is recorded.")
	}
	if r.text(fault.SafeLock) == "" {
		r.lacks(fault.SafeLock, "No lock is recorded.")
	}
	if r.text(fault.SafeKey) == "" {
		r.lacks(fault.SafeKey, "Who holds the key is not recorded.")
	}
}

// wait looks at the maker's wait by itself; whether it had passed is told with the
// readings.
func (r *review) wait() {
	m, ok := r.c.SafeNow(fault.SafeWait)
	switch {
	case !ok || m.Value == nil:
		r.lacks(fault.SafeWait, "The maker's wait is not recorded: whether it had passed before the readings is not known.")
	case strings.TrimSpace(m.Text) == "":
		r.lacks(fault.SafeWait, "Where the maker's wait of %s min stands is not recorded.", bare(*m.Value))
	}
	if b, ok := r.c.SafeNow(fault.SafeBegan); !ok {
		r.lacks(fault.SafeBegan, "When the wait began is not recorded.")
	} else if _, known := at(b); !known {
		r.lacks(fault.SafeBegan, "When the wait began is not recorded.")
	}
}

// place looks at the readings and provings of one place.
func (r *review) place(point string, e Expected) {
	where := ""
	if point != "" {
		where = " at " + point
	}
	for _, item := range Readings {
		if _, ok := r.c.SafeAt(item, point); !ok {
			r.lacks(item, "%s%s: not measured.", capital(fault.SafeName(item)), where)
		}
	}
	for _, item := range Provings {
		m, ok := r.c.SafeAt(item, point)
		if !ok {
			r.lacks(item, "%s%s: not recorded. Nothing says that the meter would have shown voltage.", capital(fault.SafeName(item)), where)
			continue
		}
		r.proving(m, where)
	}
	r.closing(point, where)
	r.zeros(point, where)
	r.order(point, where)
	r.meter(point, where)
	r.expectation(point, where, e)
	r.limit(point, where, e)
}

// proving looks whether a proving shows its known source.
func (r *review) proving(m fault.MakeSafe, where string) {
	name := capital(fault.SafeName(m.Item)) + where
	if m.Known == nil || *m.Known == 0 {
		r.lacks(fault.SafeProver, "%s: the volts of the known source are not recorded.", name)
		return
	}
	if m.Value == nil {
		return
	}
	known, shown := math.Abs(*m.Known), math.Abs(*m.Value)
	b, bounded := bound(r.c, m)
	source := 0.0
	if m.TolPct != nil {
		source = *m.TolPct / 100 * known
	}
	switch {
	case !bounded:
		r.lacks(fault.SafeMeter, "%s: %s was shown of %s. By which meter is not recorded, or it has no range for this: whether that is the source is not known.", name, volts(shown), volts(known))
	case math.Abs(shown-known) <= b+source:
		r.says(m.Item, "%s: %s shown of a known %s, at %s.", name, volts(shown), volts(known), clock(m))
	case m.TolPct == nil:
		r.lacks(m.Item, "%s: %s was shown of a known %s, outside the meter's error of %s. The tolerance of the source is not recorded.", name, volts(shown), volts(known), volts(b))
	default:
		r.lacks(m.Item, "%s: %s was shown of a known %s, outside the meter's error and the tolerance of the source, %s together.", name, volts(shown), volts(known), volts(b+source))
	}
}

func (r *review) closing(point, where string) {
	k, bounded, all := Close(r.c, point)
	if !all {
		return
	}
	told := fmt.Sprintf("+ to chassis less - to chassis is %s, pole to pole is %s", volts(k.Sum), volts(k.Poles))
	limit, source, limited := r.limited()
	switch {
	case !bounded:
		r.lacks(fault.SafeMeter, "The readings%s: %s. By which meter is not recorded, or it has no range for this: whether they close is not known.", where, told)
	case k.Closes:
		r.says("", "The readings%s close: %s; the meter's error allows %s.", where, told, volts(k.Within))
	case limited && k.Most <= limit && k.Off() <= limit:
		r.says("", "The readings%s miss each other by more than the meter's error of %s and by less than the limit of %s (%s): %s.", where, volts(k.Within), volts(limit), source, told)
	default:
		text := fmt.Sprintf("The readings%s do not close: %s; the meter's error allows %s.", where, told, volts(k.Within))
		if k.Hint != "" {
			text += " " + capital(k.Hint) + "."
		}
		r.lacks(fault.SafePoles, "%s", text)
	}
}

// nearZero is the part of the known source's volts below which three readings are
// called near zero.
const nearZero = 0.01

// zeros says what three readings near nothing are worth.
func (r *review) zeros(point, where string) {
	k, bounded, all := Close(r.c, point)
	if !all {
		return
	}
	least := 0.0
	if bounded {
		least = k.Within
	}
	for _, item := range Provings {
		if m, ok := r.c.SafeAt(item, point); ok && m.Known != nil {
			least = math.Max(least, nearZero*math.Abs(*m.Known))
		}
	}
	if k.Most <= least {
		r.says("", "Three readings near zero%s agree by themselves: a meter whose leads are off shows the same. Only the known source, shown before and after, says that this meter would have shown voltage.", where)
	}
}

// order looks whether the times follow each other: the wait, the proving, the
// readings, the proving.
func (r *review) order(point, where string) {
	var first, last time.Time
	have := false
	for _, item := range Readings {
		m, ok := r.c.SafeAt(item, point)
		if !ok {
			continue
		}
		t, known := at(m)
		if !known {
			r.lacks(item, "%s%s: when it was read is not recorded.", capital(fault.SafeName(item)), where)
			return
		}
		if !have || t.Before(first) {
			first = t
		}
		if !have || t.After(last) {
			last = t
		}
		have = true
	}
	if !have {
		return
	}
	r.proved(point, where, first, last)
	began, ok := r.c.SafeNow(fault.SafeBegan)
	b, known := at(began)
	wait, has := r.c.SafeNow(fault.SafeWait)
	if !ok || !known || !has || wait.Value == nil {
		return
	}
	must := b.Add(time.Duration(*wait.Value * float64(time.Minute)))
	if first.Before(must) {
		r.lacks(Readings[0], "The first reading%s is of %s, and the maker's wait of %s min that began at %s ends at %s: read again after it.",
			where, first.Format("15:04"), bare(*wait.Value), b.Format("15:04"), must.Format("15:04"))
	} else {
		r.says("", "The first reading%s is of %s; the maker's wait of %s min ended at %s.", where, first.Format("15:04"), bare(*wait.Value), must.Format("15:04"))
	}
}

// proved looks whether the provings lie around the readings.
func (r *review) proved(point, where string, first, last time.Time) {
	if m, ok := r.c.SafeAt(fault.SafeBefore, point); ok {
		if t, known := at(m); !known {
			r.lacks(m.Item, "Proving before%s: its time is not recorded.", where)
		} else if t.After(first) {
			r.lacks(m.Item, "Proving before%s is of %s, after the first reading of %s.", where, t.Format("15:04"), first.Format("15:04"))
		}
	}
	if m, ok := r.c.SafeAt(fault.SafeAfter, point); ok {
		if t, known := at(m); !known {
			r.lacks(m.Item, "Proving after%s: its time is not recorded.", where)
		} else if t.Before(last) {
			r.lacks(m.Item, "Proving after%s is of %s, before the last reading of %s: prove the meter again.", where, t.Format("15:04"), last.Format("15:04"))
		}
	}
}

// meter looks whether one meter took the readings and was proved.
func (r *review) meter(point, where string) {
	seen := map[string][]string{}
	var order []string
	for _, item := range append(slices.Clone(Provings[:1]), append(slices.Clone(Readings), Provings[1])...) {
		if m, ok := r.c.SafeAt(item, point); ok && m.Instrument != "" {
			if seen[m.Instrument] == nil {
				order = append(order, m.Instrument)
			}
			seen[m.Instrument] = append(seen[m.Instrument], fault.SafeName(item))
		}
	}
	if len(order) < 2 {
		return
	}
	var parts []string
	for _, id := range order {
		parts = append(parts, id+" for "+strings.Join(seen[id], ", "))
	}
	r.lacks(fault.SafeMeter, "The meter that was proved%s is not the one that was read: %s.", where, strings.Join(parts, "; "))
}

// expectation holds the readings of a place against what was expected.
func (r *review) expectation(point, where string, e Expected) {
	any := false
	for _, item := range Readings {
		m, ok := r.c.SafeAt(item, point)
		if !ok {
			continue
		}
		any = true
		if text, lacks := compare(r.c, m, e); lacks {
			r.lacks(item, "%s", text)
		} else if text != "" {
			r.says(item, "%s", text)
		}
		if text := Copied(r.c, m, e); text != "" {
			r.says(item, "%s%s: %s.", capital(fault.SafeName(item)), where, text)
		}
	}
	for _, item := range Provings {
		if m, ok := r.c.SafeAt(item, point); ok {
			if text := Copied(r.c, m, e); text != "" {
				r.says(item, "%s%s: %s", capital(fault.SafeName(item)), where, text)
			}
		}
	}
	switch {
	case !any:
	case !e.Known:
		r.says("", "What would be expected%s is not known: %s.", where, e.Why)
	case e.Joined:
		r.lacks("", "By the layout and the recorded state a closed path leads from this place%s to modules: it is not isolated.", where)
	}
}

// limited is the limit that somebody recorded, with its source in words.
func (r *review) limited() (volts float64, source string, ok bool) {
	l, ok := r.c.SafeNow(fault.SafeLimit)
	if !ok || l.Value == nil {
		return 0, "", false
	}
	if source = strings.TrimSpace(l.Text); source == "" {
		source = "its source is not recorded"
	}
	return *l.Value, source, true
}

// limit holds the readings against the limit that somebody recorded with its source.
// Without one it holds them against nothing: what a meter shows beyond its own error
// then waits for a limit.
func (r *review) limit(point, where string, e Expected) {
	limit, source, ok := r.limited()
	why := ""
	if e.Known && !e.Joined {
		why = " By the recorded state no path leads to modules: a contactor that did not open, a charge that is left, or a leak shows this."
	}
	read, beyond := 0, 0
	for _, item := range Readings {
		m, has := r.c.SafeAt(item, point)
		if !has || m.Value == nil {
			continue
		}
		read++
		name := capital(fault.SafeName(item)) + where
		b, bounded := bound(r.c, m)
		switch {
		case ok && math.Abs(*m.Value) > limit:
			r.lacks(item, "%s: %s is above the limit of %s (%s).%s", name, volts(*m.Value), volts(limit), source, why)
			why = "" // it is said once
		case !ok && (!bounded || math.Abs(*m.Value) > b):
			r.lacks(fault.SafeLimit, "%s: %s was read, and no limit with its source is recorded to hold it against.%s", name, volts(*m.Value), why)
			beyond++
			why = ""
		}
	}
	if !ok && read > 0 && beyond == 0 {
		r.says(fault.SafeLimit, "No limit with its source is recorded: whether these volts are low enough for the next step is the authorised person's decision.")
	}
}

// since says what was recorded after the readings that can bring voltage back to
// the points.
func (r *review) since() {
	for _, p := range Points(r.c) {
		m, ok := r.c.SafeAt(fault.SafePoles, p)
		if !ok || m.State == r.c.Now {
			continue
		}
		was, known := r.c.State(m.State)
		is, now := r.c.State(r.c.Now)
		if !known || !now {
			r.lacks(fault.SafePoles, "Pole to pole was read in a state that is not known, or the present state is not: whether it still holds is not known.")
			continue
		}
		if back := BroughtBack(was, is); len(back) > 0 {
			r.lacks(fault.SafePoles, "Recorded since the readings of %s: %s. Read and prove again.", clock(m), strings.Join(back, ", "))
		} else {
			r.says("", "The readings of %s were taken in state %s; the present state is %s.", clock(m), m.State, is.ID)
		}
	}
}

// BroughtBack are the changes from one state to another that can put voltage on
// what was read without any.
func BroughtBack(was, is fault.State) []string {
	var out []string
	for _, id := range was.Open {
		if !slices.Contains(is.Open, id) {
			out = append(out, id+" closed")
		}
	}
	if is.Contactors != fault.Open && is.Contactors != was.Contactors {
		out = append(out, "contactors "+orNot(is.Contactors))
	}
	for _, what := range is.Connected {
		if !slices.Contains(was.Connected, what) {
			out = append(out, what+" connected")
		}
	}
	for _, id := range was.Removed {
		if !slices.Contains(is.Removed, id) {
			out = append(out, id+" put back")
		}
	}
	if is.Monitor == fault.MonitorActive && was.Monitor != fault.MonitorActive {
		out = append(out, "monitor active")
	}
	return out
}

// kit says which dates have passed; what is overdue is marked and refused nowhere.
func (r *review) kit() {
	for _, item := range []string{fault.SafeMeter, fault.SafeProver} {
		if m, ok := r.c.SafeNow(item); ok && m.Date != "" && r.today != "" && m.Date < r.today {
			r.says(item, "%s: calibration was due on %s.", capital(fault.SafeName(item)), m.Date)
		}
	}
	r.rated()
	m, ok := r.c.SafeNow(fault.SafeGloves)
	if ok && m.Date == "" {
		r.says(fault.SafeGloves, "The gloves' test date is not recorded.")
	}
}

// rated holds what is described of the meter itself against the pack: its
// calibration, where the record has no date of its own, and its measurement category.
func (r *review) rated() {
	m, ok := r.c.SafeNow(fault.SafeMeter)
	in, described := r.c.Instrument(m.Instrument)
	if !ok || !described {
		return
	}
	if m.Date == "" && in.CalibrationAt(r.today) == fault.CalOverdue {
		r.says(fault.SafeMeter, "Meter %s: %s.", in.ID, in.CalibrationWords(r.today))
	}
	most := 0.0
	for _, rating := range in.Ratings {
		most = math.Max(most, rating.Volts)
	}
	if w := r.c.Layout.WorkingVolts; most > 0 && w > most {
		r.says(fault.SafeMeter, "Meter %s is rated for %s at most, and the pack's working volts are %s.", in.ID, volts(most), volts(w))
	}
}

func orNot(word string) string {
	if word == "" {
		return "not recorded"
	}
	return word
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
