package reaching

import (
	"context"
	"errors"

	"halfsplit/fault"
	"halfsplit/fault/reach"
)

// seed of every simulation: asked again with as many packs, the answer is the same.
const seed = 1

// work is a simulation under way, and how the last one ended.
type work struct {
	stop        context.CancelFunc // nil = none is under way
	run         int                // of the present one: what an earlier one still says is not heard
	done, total int
	cancelled   bool
	wrong       string
}

func (w *work) on() bool { return w.stop != nil }

// start begins a simulation beside the window.
func (p *Page) start() {
	c := p.deps.Case()
	if len(c.Layout.Modules) == 0 {
		p.work.wrong = "There are no modules yet: the pack is drawn first."
		p.show()
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	p.work = work{stop: stop, run: p.work.run + 1}
	p.said, p.saving = "", saving{}
	run, q := p.work.run, question(c, packs[p.packs])
	p.show()
	p.deps.Go(func() {
		last := -1
		a, err := p.deps.Run(ctx, q, func(done, total int) {
			if share := 100 * done / max(1, total); share != last {
				last = share
				p.deps.Do(func() { p.progressed(run, done, total) })
			}
		})
		p.deps.Do(func() { p.ended(run, a, err) })
	})
}

func question(c fault.Case, trials int) reach.Question {
	return reach.Question{Layout: c.Layout, Instruments: c.Instruments, Resistors: c.Resistors, Minutes: c.Minutes, Trials: trials, Seed: seed}
}

func (p *Page) progressed(run, done, total int) {
	if run != p.work.run || !p.work.on() {
		return
	}
	p.work.done, p.work.total = done, total
	p.words.Refresh()
}

// ended takes the answer, unless the simulation was ended before.
func (p *Page) ended(run int, a reach.Answer, err error) {
	if run != p.work.run || !p.work.on() {
		return
	}
	p.stop()
	switch {
	case errors.Is(err, context.Canceled):
		p.work.cancelled = true
	case err != nil:
		p.work.wrong = err.Error()
	default:
		p.answer = &a
	}
	p.show()
}

// cancel ends what is under way; the answer before it stays.
func (p *Page) cancel() {
	p.stop()
	p.work.cancelled = true
	p.show()
}

func (p *Page) stop() {
	if p.work.stop != nil {
		p.work.stop()
		p.work.stop = nil
	}
}

func (p *Page) copy() {
	if p.answer == nil {
		return
	}
	p.deps.Copy(tableText(*p.answer))
	p.said = "The table is copied as text."
	p.show()
}
