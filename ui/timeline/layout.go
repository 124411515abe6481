package timeline

import (
	"fmt"

	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// seriesID and an id is a line of the list.
const seriesID = "series:"

// drawList is the list of the series.
func (p *Page) drawList(width float64) (*scene.List, float64) {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Readings over time", Bold: true}}
	once := false
	for _, s := range p.all {
		if len(s.Values) == 1 && !once {
			once = true
			b = append(b, sheet.Block{Kind: sheet.Title, Text: "Read once"})
		}
		text := fmt.Sprintf("%d values", len(s.Values))
		if len(s.Values) == 1 {
			text = s.value(s.Values[0])
		}
		if n := states(s); n > 1 {
			text += fmt.Sprintf(" in %d states", n)
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: seriesID + s.ID, Text: s.Name, Value: text, On: s.ID == p.chosen})
	}
	if len(p.all) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Nothing was read yet."})
	}
	return sheet.DrawSized(b, width, sheet.Sizes{Touch: float64(easel.Sizes().Touch()), Number: theme.Number}, easel.Measure)
}

func states(s Series) int {
	seen := map[string]bool{}
	for _, v := range s.Values {
		seen[v.State] = true
	}
	return len(seen)
}

// drawTable is the chosen series as a table.
func (p *Page) drawTable(width float64) (*scene.List, float64) {
	s, ok := p.series()
	if !ok {
		return &scene.List{}, 0
	}
	b := s.Table(p.deps.Zone)
	for i := range b {
		if b[i].ID == p.selected && p.selected != "" {
			b[i].Kind, b[i].On, b[i].Text = sheet.Action, true, b[i].Text+"  "+b[i].Value
			b[i].Value = "Enter shows this reading."
		}
	}
	return sheet.DrawSized(b, min(width, tableWide), sheet.Sizes{Touch: float64(easel.Sizes().Touch()), Number: theme.Number}, easel.Measure)
}

// tableWide is as wide as a table is read across with ease.
const tableWide = 760

// layout puts the buttons on top, the list at left and what is drawn at right; in a
// narrow window the list lies above.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	_, any := p.series()
	low := form.Low(s)
	p.low = low
	for _, z := range p.zooms {
		form.Visible(z, any && !p.table && !low)
	}
	top := form.Head(p.ground, p.buttons, s)
	x, y, w, h := form.Side(p.list, s, top, 0.34, 340, 0.3)
	words := fyne.Min(p.caption.Prepare(w), h*0.5)
	form.Put(p.caption, x, y, w, words)
	form.Visible(p.pane, any && !p.table)
	form.Visible(p.rows, any && p.table)
	form.Put(p.pane, x, y+words, w-6, h-words-6)
	form.Put(p.rows, x, y+words, w-6, h-words-6)
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
