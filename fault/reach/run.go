package reach

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"halfsplit/fault/circuit"
)

// Run answers a question. It calls progress, which may be nil, from its own
// goroutine with how many packs of how many are done. When ctx ends it drops what
// was done and returns the reason as soon as the packs in hand let go; nothing of it
// runs on after it has returned.
//
// An error besides that is a question that makes no sense, in plain words.
func Run(ctx context.Context, q Question, progress func(done, total int)) (Answer, error) {
	p, err := q.prepare()
	if err != nil {
		return Answer{}, err
	}
	total := len(p.Ohms) * p.Trials
	results, err := p.all(ctx, total, func(done int) {
		if progress != nil {
			progress(done, total)
		}
	})
	if ctx.Err() != nil {
		return Answer{}, context.Cause(ctx)
	}
	if err != nil {
		return Answer{}, fmt.Errorf("this pack cannot be simulated: %w", err)
	}
	return p.answer(results), nil
}

// all runs every trial; the results stand in their own order, whoever did them.
func (p *plan) all(ctx context.Context, total int, done func(int)) ([][]outcome, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	cores := p.Cores
	if cores <= 0 {
		cores = runtime.GOMAXPROCS(0)
	}
	results, errs := make([][]outcome, total), make([]error, total)
	wirings := circuit.NewWirings(p.net)
	var next atomic.Int64
	var workers sync.WaitGroup
	ready := make(chan struct{})
	for range min(cores, total) {
		workers.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= total {
					return
				}
				if results[i], errs[i] = p.one(ctx, wirings, i); errs[i] != nil {
					stop()
				}
				ready <- struct{}{}
			}
		})
	}
	go func() { workers.Wait(); close(ready) }()
	n := 0
	done(0)
	for range ready {
		n++
		done(n)
	}
	for _, err := range errs {
		if err != nil && !errors.Is(err, context.Canceled) { // the others were only stopped
			return nil, err
		}
	}
	return results, nil
}

// one is trial i: the sizes take turns, so that a share of the work is done for each
// alike.
func (p *plan) one(ctx context.Context, wirings *circuit.Wirings, i int) ([]outcome, error) {
	t, err := p.draw(wirings, i%len(p.Ohms), i/len(p.Ohms))
	if err != nil {
		return nil, err
	}
	return t.run(ctx)
}

func (p *plan) answer(results [][]outcome) Answer {
	a := Answer{Layout: p.Layout.Name, Modules: len(p.net.Layout.Modules), Groups: len(p.net.Groups), Strings: len(p.net.Strings),
		Instrument: p.meter, Resistor: p.resistor, Takes: p.takes, Trials: p.Trials, Seed: p.Seed, Ohms: p.Ohms, States: p.states}
	for s := range p.states {
		row := make([]Cell, len(p.Ohms))
		for k := range p.Ohms {
			var all []outcome
			for i := k; i < len(results); i += len(p.Ohms) {
				all = append(all, results[i][s])
			}
			row[k] = sum(all)
		}
		a.Cells = append(a.Cells, row)
	}
	return a
}
