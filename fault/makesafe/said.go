package makesafe

import (
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
)

// A Line is an item of the record as it prints: its name and what stands.
type Line struct{ Name, Text string }

// Lines are the record as it prints: what stands of each item, the readings and
// provings place by place, what was replaced before, and every reason that somebody
// wrote, with what was lacking then. It is what was recorded, and no judgement.
func Lines(c *fault.Case) (out []Line) {
	counted := map[string]int{}
	for _, m := range c.MakeSafe {
		counted[m.Item+"\x00"+m.Point]++
	}
	add := func(m fault.MakeSafe, name string) {
		text := Said(m)
		if m.Who != "" {
			text += ", recorded by " + m.Who
		}
		if n := counted[m.Item+"\x00"+m.Point] - 1; n == 1 {
			text += "; one earlier entry is superseded"
		} else if n > 1 {
			text += "; " + strconv.Itoa(n) + " earlier entries are superseded"
		}
		out = append(out, Line{name, text})
	}
	for _, item := range fault.SafeItems {
		if fault.SafeVolts(item) || item == fault.SafeReason || item == fault.SafePoint {
			continue
		}
		if m, ok := c.SafeNow(item); ok {
			add(m, capital(fault.SafeName(item)))
		}
	}
	if len(c.MakeSafe) == 0 {
		return nil
	}
	for _, p := range Points(c) {
		for _, item := range []string{fault.SafeBefore, fault.SafePoles, fault.SafePlus, fault.SafeMinus, fault.SafeAfter} {
			name := capital(fault.SafeName(item))
			if p != "" {
				name += " at " + p
			}
			if m, ok := c.SafeAt(item, p); ok {
				add(m, name)
			} else {
				out = append(out, Line{name, "not measured"})
			}
		}
	}
	for _, m := range c.MakeSafe {
		if m.Item == fault.SafeReason {
			text := m.Text + " " + or(m.Who, "not named") + ", " + or(Clock(m.At), "time not recorded") + "."
			if len(m.Lacked) > 0 {
				text += " It was lacking: " + strings.Join(m.Lacked, " ")
			}
			out = append(out, Line{capital(fault.SafeName(m.Item)), text})
		}
	}
	return out
}

// Said is an entry in words, without its item's name.
func Said(m fault.MakeSafe) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	dated := func(what, day string) {
		if day != "" {
			add(what + " " + day)
		}
	}
	switch {
	case m.Item == fault.SafeDecay && m.Value != nil:
		add(Farads(*m.Value))
		if m.Ohms != nil {
			add("through " + bare(fault.Round(*m.Ohms)) + " Ω")
		}
		add(m.Text)
	case m.Item == fault.SafeWait && m.Value != nil:
		add(bare(*m.Value) + " min")
		add(or(m.Text, "source not recorded"))
	case m.Item == fault.SafeLimit && m.Value != nil:
		add(volts(*m.Value))
		add(or(m.Text, "source not recorded"))
	case m.Item == fault.SafeProver:
		add(m.Text)
		if m.Value != nil {
			v := volts(*m.Value)
			if m.TolPct != nil {
				v += " ± " + bare(*m.TolPct) + " %"
			}
			add(v)
		}
		dated("calibration due", m.Date)
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
		dated("calibration due", m.Date)
	case m.Item == fault.SafeGloves:
		add(m.Text)
		dated("tested", m.Date)
	case m.Item == fault.SafeBegan:
	default:
		add(m.Text)
	}
	if m.Item == fault.SafeBegan || fault.SafeVolts(m.Item) {
		add(or(Clock(m.At), "time not recorded"))
	}
	if len(parts) == 0 {
		return "recorded without words"
	}
	return strings.Join(parts, ", ")
}

// Farads writes a capacitance with the prefix that keeps it between 1 and 1000.
func Farads(v float64) string {
	scale, prefix := 1e-9, "n"
	for _, p := range []struct {
		at     float64
		prefix string
	}{{1e-6, "µ"}, {1e-3, "m"}} {
		if v >= p.at*0.9999995 {
			scale, prefix = p.at, p.prefix
		}
	}
	return bare(fault.Round(v/scale)) + " " + prefix + "F"
}

// Clock is a recorded time as the clock on the wall showed it; "" = not recorded.
func Clock(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return ""
	}
	return t.Format("2006-01-02 15:04")
}

func or(s, otherwise string) string {
	if strings.TrimSpace(s) == "" {
		return otherwise
	}
	return s
}
