package scpi

import (
	"context"
	"strconv"
	"strings"
)

// A Setting is what a meter says that it is set to.
type Setting struct {
	Known    bool    // false = it answers no question about it
	Function string  // as the meter wrote it, such as VOLT or FRES
	Range    float64 // full scale of the range locked by hand, in V or Ω; 0 = not known, or the meter chooses
}

// Measures says that a meter with this setting measures what f asks for. Two and
// four wires are both ohms.
func (s Setting) Measures(f Function) bool {
	switch strings.TrimSuffix(strings.ToUpper(s.Function), ":DC") {
	case "VOLT", "VOLTAGE":
		return f == VoltsDC
	case "RES", "RESISTANCE", "FRES", "FRESISTANCE":
		return f == Ohms || f == Ohms4
	}
	return false
}

// functions are SCPI's names of what a meter measures, in words.
var functions = map[string]string{
	"VOLT": "d.c. volts", "VOLT:AC": "a.c. volts", "RES": "ohms", "FRES": "ohms by four wires", "CURR": "direct current", "CURR:AC": "alternating current",
	"DIOD": "diodes", "CONT": "continuity", "CAP": "capacitance", "FREQ": "frequency", "PER": "periods", "TEMP": "temperature",
}

// Words says what the meter is set to; a function that the standard does not name is
// told as the meter wrote it.
func (s Setting) Words() string {
	name := strings.TrimSuffix(strings.ToUpper(s.Function), ":DC")
	for long, short := range map[string]string{"VOLTAGE": "VOLT", "FRESISTANCE": "FRES", "RESISTANCE": "RES", "CURRENT": "CURR", "DIODE": "DIOD", "CONTINUITY": "CONT", "CAPACITANCE": "CAP", "FREQUENCY": "FREQ", "PERIOD": "PER", "TEMPERATURE": "TEMP"} {
		if rest, ok := strings.CutPrefix(name, long); ok {
			name = short + rest
			break
		}
	}
	if words, ok := functions[name]; ok {
		return words
	}
	return s.Function
}

// ReadAsSet asks the meter what it is set to and, where that is what f measures,
// for one value by its own settings. read is false where it is set to something
// else: then no value was asked for. A meter that does not answer what it is set
// to is asked by f, which sets it.
func (m *Meter) ReadAsSet(ctx context.Context, f Function) (v Value, s Setting, read bool, err error) {
	if s, err = m.Setting(ctx); err != nil {
		return v, s, false, err
	}
	if s.Known && !s.Measures(f) {
		return v, s, false, nil
	}
	if s.Known {
		f = AsSet
	}
	v, err = m.Read(ctx, f)
	return v, s, err == nil, err
}

// settings are the questions by one of which a meter says what it is set to: the
// standard's short one, its form below SENSe, and the one that tells the range too.
var settings = []string{"FUNC?", "CONF?", "SENS:FUNC?"}

// Setting asks the meter what it is set to. A meter that is silent is no error: it
// is not Known, and is not asked again what it was silent to. An answer that is no
// function is an error. A meter that does not say who it is either is late, not silent.
func (m *Meter) Setting(ctx context.Context) (s Setting, err error) {
	for _, query := range settings {
		answer, ok, err := m.question(ctx, query)
		if err != nil {
			return s, err
		}
		if !ok {
			continue
		}
		name, told, _ := strings.Cut(strings.Trim(answer, `"`), " ")
		if name == "" || strings.Trim(strings.ToUpper(name), "ABCDEFGHIJKLMNOPQRSTUVWXYZ:") != "" {
			return s, m.fail(Wrong, nil, "answered %s with %s, which is no function", query, quoted(answer))
		}
		s = Setting{Known: true, Function: name}
		s.Range, err = m.locked(ctx, name, told)
		return s, err
	}
	return s, nil
}

// locked is the range that a person locked, 0 where none is or it is not told. told is
// what CONF? said after the function, range and resolution; "" where it was not asked.
func (m *Meter) locked(ctx context.Context, function, told string) (float64, error) {
	auto, ok, err := m.question(ctx, function+":RANG:AUTO?")
	if err != nil || !ok {
		return 0, err
	}
	if n, err := strconv.ParseFloat(auto, 64); err != nil || n != 0 {
		return 0, nil
	}
	answer, ok, err := m.question(ctx, function+":RANG?")
	if err != nil {
		return 0, err
	}
	if !ok {
		answer, _, _ = strings.Cut(told, ",")
	}
	v, err := ParseValue(answer)
	if err != nil || v.Number < 0 {
		return 0, nil // a range that cannot be read is not known
	}
	return v.Number, nil
}

// question asks what a meter need not know; ok is false where it is silent. The
// line then begins anew, so that a late answer is nobody else's.
func (m *Meter) question(ctx context.Context, query string) (answer string, ok bool, err error) {
	err = m.do(ctx, func() error {
		if err := m.ready(ctx); err != nil || m.mute[query] {
			return err
		}
		var err error
		answer, err = m.ask(ctx, query)
		if kind, _ := KindOf(err); err != nil && kind == Late && ctx.Err() == nil {
			m.must = true
			m.hangUp()
			if err := m.ready(ctx); err != nil { // nor does it say who it is: it is late
				return err
			}
			if m.mute == nil {
				m.mute = map[string]bool{}
			}
			m.mute[query] = true
			return nil
		}
		if err == nil && identity(answer) {
			return m.fail(Wrong, nil, "answered %s with what it owed to an earlier question", query)
		}
		ok = err == nil
		return err
	})
	return answer, ok, err
}
