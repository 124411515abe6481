package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/advice"
	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
	"halfsplit/ui/theme"
)

// booked is a rig that records into a casebook.
func booked(t *testing.T) *rig {
	s := hands.Book(t, sample.Case())
	r := newRig(t, func(d *Deps) { clocked(d); d.Store = s })
	r.runJobs()
	return r
}

// What is measured of a meter, and the seconds after touching, are on the disk.
func TestAdvice_IsKeptInTheCasebook(t *testing.T) {
	r := booked(t)
	r.key(fyne.KeyF8, fyne.KeyDown, fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn)
	r.typed("58.00")
	r.key(fyne.KeyReturn)
	r.typed("56.86")
	r.key(fyne.KeyReturn)
	r.runJobs()
	c := r.store.Case()
	in, ok := c.Instrument("dmm_2")
	if !ok || !strings.Contains(string(in.Extra[advice.EvidenceKey]), "56.86 V through R200k") {
		t.Errorf("%+v, %v", in, ok)
	}
	r.choose("node:M14+")
	r.key(fyne.KeyReturn, fyne.KeyF5)
	r.typed("125.9")
	r.key(fyne.KeyReturn)
	r.runJobs()
	if got := r.last(); got.Red != "M14+" || got.AfterTouchS == nil || *got.AfterTouchS != 1 || got.Instrument != "dmm_2" {
		t.Errorf("kept as %+v", got)
	}
	r.Close()
}

// Everything on these pages is as high as a finger needs, and as a glove does.
func TestAdvice_WhatIsPressedIsLargeEnough(t *testing.T) {
	for _, glove := range []bool{false, true} {
		r := ready(t)
		th := &theme.Theme{Force: theme.Light, Glove: glove}
		fyne.CurrentApp().Settings().SetTheme(th)
		r.choose("node:M14+")
		r.enter()
		w := r.world()
		asked, _ := advice.NewSocket(w).Pick(w, "advice:state")
		for _, g := range []advice.Guide{advice.List{}, advice.Range{}, advice.NewResistor(w), advice.NewInput(w), advice.Settle{}, advice.NewSocket(w), asked} {
			r.openGuide(g)
			r.showAll(false)
			for _, tg := range r.paper.List().Targets {
				if h := high(tg); h < float64(th.Touch())-0.5 {
					t.Errorf("glove %v, %T: %s is %g high", glove, g, tg.ID, h)
				}
			}
		}
		r.page = entryPage
		r.startTimer()
		for _, tg := range r.paper.List().Targets {
			if h := high(tg); h < float64(th.Touch())-0.5 {
				t.Errorf("glove %v, timer: %s is %g high", glove, tg.ID, h)
			}
		}
		r.Close()
	}
}
