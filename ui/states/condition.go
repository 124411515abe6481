package states

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/facts"
)

// Words of a condition.
const (
	IsWet      = "wet"
	IsDry      = "dry"
	IsTorqued  = "torqued"
	IsLoosened = "loosened"
)

// Things are what is often joined to pack or tray besides what is drawn. Anything
// else is typed.
var Things = []string{"charger", "bench supply", "laptop on the meter", "interface on the vehicle's bus", "earthed tool or scope"}

// condition is a change of what the pack is like, without the verb.
func (c Change) condition() string {
	switch c.Kind {
	case Wet:
		return "the pack as " + known(c.To, "wet or dry: not known")
	case Torqued:
		return "the mounts as " + known(c.To, "torqued or loosened: not known")
	case Coolant:
		return "coolant as " + known(map[string]string{fault.CoolantIn: "in the pack", fault.CoolantOut: "drained"}[c.To], "not known")
	case Celsius:
		return "the pack at " + c.To + " °C"
	}
	return "the air at " + c.To + " % humidity"
}

func known(word, otherwise string) string {
	if word == "" {
		return otherwise
	}
	return word
}

// conditionWish is the id that a state of a condition would have: letters and digits
// of what it says.
func (c Change) conditionWish() string {
	var b strings.Builder
	switch c.Kind {
	case Connect:
		b.WriteString("with_")
	case Disconnect:
		b.WriteString("without_")
	case Wet:
		return known(c.To, "wet_or_dry")
	case Torqued:
		return known(c.To, "torqued_or_loosened")
	case Coolant:
		return "coolant_" + known(c.To, "not_known")
	case Celsius:
		return "temperature"
	case Humidity:
		return "humidity"
	}
	const most = 24
	for _, r := range c.ID {
		if b.Len() >= most {
			break
		}
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case !strings.HasSuffix(b.String(), "_"):
			b.WriteByte('_')
		}
	}
	return strings.TrimRight(b.String(), "_")
}

func (c Change) applyCondition(s *fault.State) {
	flag := func(yes string) *bool {
		if c.To == "" {
			return nil
		}
		v := c.To == yes
		return &v
	}
	number := func() *float64 {
		v, err := strconv.ParseFloat(c.To, 64)
		if err != nil {
			return nil
		}
		return &v
	}
	switch c.Kind {
	case Connect:
		s.Connected = with(s.Connected, c.ID)
	case Disconnect:
		s.Connected = without(s.Connected, c.ID)
	case Wet:
		s.Wet = flag(IsWet)
	case Torqued:
		s.Torqued = flag(IsTorqued)
	case Coolant:
		s.Coolant = c.To
	case Celsius:
		s.Celsius = number()
	case Humidity:
		s.Humidity = number()
	}
}

// conditions are the changes of what is connected and of what the pack is like.
func conditions(p *facts.Pack) (out []Change) {
	for _, what := range p.State.Connected {
		out = append(out, Change{Kind: Disconnect, ID: what})
	}
	for _, what := range Things {
		if !slices.Contains(p.State.Connected, what) {
			out = append(out, Change{Kind: Connect, ID: what})
		}
	}
	for _, c := range []struct {
		kind  Kind
		words []string
		now   string
	}{
		{Wet, []string{IsWet, IsDry, ""}, word(p.State.Wet, IsWet, IsDry)},
		{Torqued, []string{IsTorqued, IsLoosened, ""}, word(p.State.Torqued, IsTorqued, IsLoosened)},
		{Coolant, []string{fault.CoolantIn, fault.CoolantOut, ""}, p.State.Coolant},
	} {
		for _, w := range c.words {
			if w != c.now {
				out = append(out, Change{Kind: c.kind, To: w})
			}
		}
	}
	return out
}

func word(flag *bool, yes, no string) string {
	switch {
	case flag == nil:
		return ""
	case *flag:
		return yes
	}
	return no
}

// Heading is what a change is listed under: links and boards of the whole pack, what
// is connected, what the pack is like.
func (c Change) Heading() string {
	switch c.Kind {
	case Connect, Disconnect:
		return "Joined to pack or tray"
	case Wet, Torqued, Coolant, Celsius, Humidity:
		return "What the pack is like"
	}
	return "The whole pack"
}

// Typed reads what was typed for a change that has words or a number of its own:
// something else connected, a temperature, a humidity.
func Typed(kind Kind, text string) (Change, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return Change{}, fmt.Errorf("nothing was typed")
	}
	if kind == Connect {
		return Change{Kind: Connect, ID: text}, nil
	}
	unit, least, most := "°C", -100.0, 1000.0
	if kind == Humidity {
		unit, least, most = "%", 0, 100
	}
	v, err := fault.ParseNumber(strings.TrimSpace(strings.TrimSuffix(text, unit)), false)
	switch {
	case err != nil:
		return Change{}, err
	case v < least || v > most:
		return Change{}, fmt.Errorf("%s %s is not between %g and %g", text, unit, least, most)
	}
	return Change{Kind: kind, To: strconv.FormatFloat(v+0, 'f', -1, 64)}, nil
}
