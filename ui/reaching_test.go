package ui

import (
	"context"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault/reach"
	"halfsplit/ui/stages"
)

// reacher is a rig whose simulation answers at once; ctx is of the last one.
func reacher(t *testing.T) (r *rig, asked *reach.Question, ctx *context.Context) {
	asked, ctx = &reach.Question{}, new(context.Context)
	r = newRig(t, func(d *Deps) {
		d.Reach = func(c context.Context, q reach.Question, _ func(int, int)) (reach.Answer, error) {
			*asked, *ctx = q, c
			cell := reach.Cell{Trials: q.Trials, Named: q.Trials, First: q.Trials, Inside: q.Trials, Modules: 1, Half: reach.Quantiles{P5: 1, Median: 1, P90: 1, P95: math.Inf(1)}}
			return reach.Answer{Trials: q.Trials, Seed: q.Seed, Ohms: []float64{1e3, 1e6}, States: []reach.State{{Name: "unbroken"}}, Cells: [][]reach.Cell{{cell, cell}}}, c.Err()
		}
	})
	r.runJobs()
	return r, asked, ctx
}

func reachText(r *rig) string {
	var out []string
	for _, b := range r.reaching.Blocks() {
		out = append(out, b.Text)
	}
	return strings.Join(out, "\n")
}

// By keys alone: to the stage, from its foot to the page, an answer, and back.
func TestReaching_ByKeys(t *testing.T) {
	r, asked, _ := reacher(t)
	r.typed("g")
	r.key(fyne.KeyUp, fyne.KeyUp, fyne.KeyReturn)
	if r.stage != stages.Draw || !strings.Contains(r.onSheet(), "What can be reached on this pack") {
		t.Fatalf("stage %d\n%s", r.stage, r.onSheet())
	}
	r.key(fyne.KeyReturn)
	if r.root.Visible() || !r.reaching.Content().Visible() {
		t.Fatal("Enter does not open the page")
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	if len(asked.Layout.Modules) == 0 || len(asked.Instruments) == 0 || !strings.Contains(reachText(r), "From the unbroken string") {
		t.Errorf("asked %+v\n%s", asked, reachText(r))
	}
	if k := r.Keys(); len(k) < 5 {
		t.Errorf("the page has %d lines of keys", len(k))
	}
	r.key(fyne.KeyEscape)
	if !r.root.Visible() || r.reaching.Content().Visible() || r.page != stagePage || r.w.Canvas().Focused() == nil {
		t.Errorf("Escape leads to page %d", r.page)
	}
}

// By presses alone; left while it runs, nothing of it goes on, and its answer is not
// shown later.
func TestReaching_ByPressesAndLeft(t *testing.T) {
	r, _, ctx := reacher(t)
	r.pickStage(stages.ID(stages.Draw))
	r.tapSheet(t, reachID)
	if !r.reaching.Content().Visible() {
		t.Fatal("the line does not open the page")
	}
	r.key(fyne.KeyReturn)
	r.closeReaching()
	r.runJobs()
	if *ctx == nil || (*ctx).Err() == nil || strings.Contains(reachText(r), "From the unbroken string") {
		t.Errorf("left: %v\n%s", ctx, reachText(r))
	}
	r.primary.Tapped(nil) // the same from the foot of the sheet
	r.key(fyne.KeyReturn)
	r.Close()
	r.runJobs()
	if (*ctx).Err() == nil {
		t.Error("it runs on after the window was closed")
	}
}

// Where nothing is drawn nothing is offered.
func TestReaching_NothingDrawn(t *testing.T) {
	r, _, _ := reacher(t)
	c := r.store.Case()
	c.Layout.Modules, c.Layout.Links, c.Layout.Boards, c.Readings, c.GroupVolts = nil, nil, nil, nil, nil
	r.SetCase(c)
	r.openStage(stages.Draw)
	if label, _, _ := r.primaryAction(); strings.Contains(label, "reached") || strings.Contains(r.onSheet(), "What can be reached") {
		t.Errorf("%q\n%s", label, r.onSheet())
	}
}
