package ui

import (
	"halfsplit/ui/easel"
	"halfsplit/ui/ruler"
	"halfsplit/ui/scene"
)

// The drawings as the panes show them: of what is seen now, with what is selected and
// where the leads go.

type planSubject struct{ d *Desk }

func (s planSubject) Fit(w, h float64) scene.View { return s.d.planFit(w, h) }
func (s planSubject) Scene(v scene.View) *scene.List {
	o := s.d.look
	o.Selected = s.d.selected
	o.Red, o.Black = s.d.leads()
	if s.d.seeing.lifted {
		return s.d.marked(s.d.liftedScene(v, o), v)
	}
	return s.d.marked(s.d.plan.Scene(v, o, easel.Measure), v)
}

type rulerSubject struct{ d *Desk }

func (s rulerSubject) Fit(w, h float64) scene.View { return s.d.ruler.Fit(w, h) }
func (s rulerSubject) Scene(v scene.View) *scene.List {
	o := ruler.Options{Selected: s.d.selected, Glide: s.d.glide}
	o.Red, o.Black = s.d.leads()
	return s.d.marked(s.d.ruler.Scene(v, o, easel.Measure), v)
}
