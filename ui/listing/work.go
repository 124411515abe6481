package listing

import (
	"math"
	"slices"

	"halfsplit/fault/lists"
	"halfsplit/fault/lists/order"
	"halfsplit/ui/store"
)

// A job is what runs beside the window.
type job uint8

const (
	idle job = iota
	reading
	storing
)

// begin reads bytes, from a file or from the clipboard, as a new list.
func (p *Page) begin(name string, bytes func() ([]byte, error)) {
	p.run++
	run, c := p.run, p.deps.Case()
	p.choosing, p.said, p.wrong = false, "", ""
	p.v, p.sure, p.name, p.work = view{}, view{}, name, reading
	p.loaded, p.kind, p.at = false, everyRow, ""
	p.reset()
	p.show()
	opts := p.options()
	p.deps.Go(func() {
		v, err := fresh(bytes, opts, view{c: c})
		p.deps.Do(func() {
			if run != p.run {
				return
			}
			p.work = idle
			if err != nil {
				p.wrong = err.Error() + "."
				p.show()
				return
			}
			p.take(v)
		})
	})
}

// fresh decodes a text, proposes how to read it, and reads it.
func fresh(bytes func() ([]byte, error), o lists.Options, v view) (view, error) {
	data, err := bytes()
	if err != nil {
		return v, err
	}
	if v.t, err = lists.Decode(data); err != nil {
		return v, err
	}
	v.m = lists.Propose(v.t, v.c)
	return built(v, o), nil
}

// built reads a list by its mapping, and weighs the monitor's orders where it counts.
func built(v view, o lists.Options) view {
	v.p = lists.Build(v.t, v.m, v.c, o)
	if v.p.List == nil {
		v.orders, v.weighed = order.Result{}, nil
	} else {
		volts := make([]float64, len(v.p.List))
		for i, x := range v.p.List {
			if volts[i] = x; x > 100 && v.m.Bare == "" { // mV by its looks: for the weighing alone
				volts[i] = x / 1000
			}
			if !(volts[i] > 0.5 && volts[i] < 10) {
				volts[i] = math.NaN()
			}
		}
		if !slices.EqualFunc(volts, v.weighed, func(a, b float64) bool { return a == b || a != a && b != b }) {
			v.orders, v.weighed = order.Weigh(v.c, volts), volts // the orders of many modules take their time
		}
	}
	return v
}

// again reads the list by another mapping.
func (p *Page) again(m lists.Mapping) {
	p.run++
	run, v, opts := p.run, p.v, p.options()
	p.v.m, v.m = m, m
	p.work, p.said = reading, ""
	p.show()
	p.deps.Go(func() {
		v := built(v, opts)
		p.deps.Do(func() {
			if run == p.run {
				p.work = idle
				p.take(v)
			}
		})
	})
}

func (p *Page) take(v view) {
	p.v, p.sure, p.loaded = v, v, true
	p.reset()
	if all := v.lines(); !hasLine(all, p.at) {
		p.at = all[0].id
		p.toAsked()
	}
	p.show()
	p.left.Reveal(p.at)
}

// toAsked puts the keyboard on the first line that is asked.
func (p *Page) toAsked() bool {
	for _, l := range p.v.lines() {
		if p.asked(l) {
			p.at = l.id
			return true
		}
	}
	return false
}

// keep stores what would be stored, as one command.
func (p *Page) keep() {
	switch {
	case !p.has() || p.work != idle:
		return
	case p.at == sepLine && p.asked(line{ask: lists.AskSeparator}): // it can be meant as it was found
		p.again(p.v.m.Settle(lists.AskSeparator))
		return
	case len(p.v.p.Asks) > 0:
		p.toAsked()
		p.said = "Nothing is stored before what is asked is answered."
		p.show()
		p.left.Reveal(p.at)
		return
	case p.v.p.Stored() == 0:
		p.said = "There is nothing that could be stored."
		p.show()
		return
	}
	p.run++
	run := p.run
	p.work, p.wrong = storing, ""
	write, taken := p.deps.Store().AddList(store.List{Readings: p.v.p.Readings, Groups: p.v.p.Groups})
	p.show()
	p.deps.Go(func() {
		err := write()
		p.deps.Do(func() {
			if run != p.run {
				return
			}
			p.work = idle
			if err == nil {
				err = taken()
			}
			if err != nil {
				p.wrong = "Nothing was stored: " + err.Error() + "."
				p.show()
				return
			}
			said := "Stored " + counted(p.v.p.Values, "value", "values")
			if n := p.v.p.Count[lists.Listed] + p.v.p.Count[lists.Partly]; n > 0 {
				said += "; " + counted(n, "line", "lines") + " not read"
			}
			p.v, p.sure, p.name, p.loaded = view{}, view{}, "", false
			p.reset()
			p.deps.Stored(said + ".")
		})
	})
}

// end stops what is under way, save the storing, which ends by itself.
func (p *Page) end() bool {
	if p.work != reading {
		return false
	}
	p.run++
	p.work, p.v = idle, p.sure
	if !p.loaded {
		p.name = ""
	}
	p.show()
	return true
}
