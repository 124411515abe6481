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

// Setting asks the meter what it is set to. A meter that is silent is no error: it
// is not Known. An answer that is no function is one.
func (m *Meter) Setting(ctx context.Context) (s Setting, err error) {
	for _, query := range []string{"FUNC?", "CONF?"} {
		answer, ok, err := m.question(ctx, query)
		if err != nil {
			return s, err
		}
		if !ok {
			continue
		}
		name, _, _ := strings.Cut(strings.Trim(answer, `"`), " ")
		if name == "" || strings.Trim(strings.ToUpper(name), "ABCDEFGHIJKLMNOPQRSTUVWXYZ:") != "" {
			return s, m.fail(Wrong, nil, "answered %s with %s, which is no function", query, quoted(answer))
		}
		s = Setting{Known: true, Function: name}
		s.Range, err = m.locked(ctx, name)
		return s, err
	}
	return s, nil
}

// locked is the range that a person locked, 0 where none is or it is not told.
func (m *Meter) locked(ctx context.Context, function string) (float64, error) {
	auto, ok, err := m.question(ctx, function+":RANG:AUTO?")
	if err != nil || !ok {
		return 0, err
	}
	if n, err := strconv.ParseFloat(auto, 64); err != nil || n != 0 {
		return 0, nil
	}
	answer, ok, err := m.question(ctx, function+":RANG?")
	if err != nil || !ok {
		return 0, err
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
		if err := m.ready(ctx); err != nil {
			return err
		}
		var err error
		answer, err = m.ask(ctx, query)
		if kind, _ := KindOf(err); err != nil && kind == Late && ctx.Err() == nil {
			m.must = true
			m.hangUp()
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
