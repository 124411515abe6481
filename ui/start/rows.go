package start

import (
	"fmt"
	"math"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A Row is one case or layout in a list.
type Row struct {
	ID    string // of the press on it
	Title string
	About string // below the title, in soft ink
	Text  string // below that
	When  string // at right
	Thumb *scene.List
}

// CaseRow is a case's row.
func CaseRow(c casebook.CaseSummary, now time.Time, thumb *scene.List) Row {
	about := []string{PackName(c.Layout), stateWords(c.Present), Count(c.Readings, "reading")}
	return Row{ID: "case:" + c.ID, Title: CaseName(c.Title), About: strings.Join(about, "  ·  "), Text: FindingWords(c), When: When(c.Changed, now), Thumb: thumb}
}

// LayoutRow is a layout's row.
func LayoutRow(l casebook.LayoutInfo, now time.Time, thumb *scene.List) Row {
	status := fmt.Sprintf("version %d, in use", l.Version)
	if l.Draft {
		status = fmt.Sprintf("version %d, no reading rests on it yet", l.Version)
	}
	return Row{ID: "layout:" + l.ID, Title: PackName(l.Name), About: status, Text: "Used by " + Count(l.Cases, "case") + ".", When: When(l.Changed, now), Thumb: thumb}
}

// CaseName is a case's title, or says that it has none.
func CaseName(title string) string {
	if strings.TrimSpace(title) == "" {
		return "A case without a title"
	}
	return title
}

// PackName is a layout's name, or says that it has none.
func PackName(name string) string {
	if strings.TrimSpace(name) == "" {
		return "a pack without a label"
	}
	return name
}

func stateWords(id string) string {
	if id == "" {
		return "present state not known"
	}
	return "state " + id
}

// FindingWords are the last finding in a sentence or two.
func FindingWords(c casebook.CaseSummary) string {
	if c.Verdict == "" {
		if c.Symptom != "" {
			return "No finding yet. Symptom: " + c.Symptom
		}
		return "No finding yet."
	}
	s := c.Statement
	if s == "" {
		s = facts.Verdict(&fault.Finding{Verdict: c.Verdict}) + "."
	}
	if c.Stale {
		s = "Out of date, the case has changed since: " + s
	}
	return s
}

// Count is a number of things in words.
func Count(n int, thing string) string {
	switch n {
	case 0:
		return "no " + thing + "s"
	case 1:
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// When is a time as people say it, by the clock of this machine's place.
func When(at string, now time.Time) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	t = t.In(now.Location())
	day := func(t time.Time) int { return t.Year()*1000 + t.YearDay() }
	switch {
	case day(t) == day(now):
		return "today " + t.Format("15:04")
	case day(t) == day(now.AddDate(0, 0, -1)):
		return "yesterday " + t.Format("15:04")
	case t.Year() == now.Year():
		return t.Format("2 Jan 15:04")
	}
	return t.Format("2 Jan 2006")
}

// Measures of a row in pixels.
const (
	rowPad    = 10.0
	rowGap    = 8.0
	rowSide   = 12.0
	leading   = 1.34
	mostLines = 3    // of a row's text; the sheet has it whole
	slim      = 470. // below it there is no thumbnail
)

// DrawRows draws rows under each other and says how high they are.
func DrawRows(rows []Row, chosen string, width float64, measure scene.Measurer) (*scene.List, float64) {
	l, y := &scene.List{}, rowGap
	for _, r := range rows {
		y += drawRow(l, r, r.ID == chosen, y, width, measure) + rowGap
	}
	return l, y
}

func drawRow(l *scene.List, r Row, chosen bool, top, width float64, measure scene.Measurer) float64 {
	x0, x1 := rowSide, width-rowSide
	text := x0 + rowPad
	if width >= slim {
		text += thumbWide + 14
	}
	room := math.Max(60, x1-rowPad-text)
	whenWide := measure(r.When, theme.Small+1, false) + 12
	title := clipped(words.Plain(r.Title), room-whenWide, theme.Text+1, true, 2, measure)
	about := clipped(words.Plain(r.About), room, theme.Small+1, false, 2, measure)
	body := clipped(words.Plain(r.Text), room, theme.Text, false, mostLines, measure)
	high := 2*rowPad + float64(len(title))*(theme.Text+1)*leading + float64(len(about))*(theme.Small+1)*leading + 2 + float64(len(body))*theme.Text*leading
	if width >= slim {
		high = math.Max(high, thumbHigh+2*rowPad)
	}
	line, w := scene.Ink(theme.Hairline), 1.0
	if chosen {
		line, w = scene.Ink(theme.Accent), 3
	}
	l.Rect(r.ID, scene.At(x0, top), scene.At(x1, top+high), scene.Ink(theme.Raised), line, w, 8)
	if width >= slim {
		stamp(l, r.Thumb, x0+rowPad, top+(high-thumbHigh)/2, measure)
	}
	l.Text(r.ID, scene.At(x1-rowPad, top+rowPad+(theme.Text+1)*leading/2), scene.End, scene.Middle, scene.Ink(theme.Soft), theme.Small+1, false, r.When)
	y := top + rowPad
	y = set(l, r.ID, title, text, y, theme.Text+1, true, theme.Ink)
	y = set(l, r.ID, about, text, y, theme.Small+1, false, theme.Soft) + 2
	set(l, r.ID, body, text, y, theme.Text, false, theme.Ink)
	l.Target(r.ID, 0, scene.At(x0, top), scene.At(x1, top), scene.At(x1, top+high), scene.At(x0, top+high))
	return high
}

func set(l *scene.List, id string, lines []string, x, y, size float64, bold bool, role theme.Role) float64 {
	for _, s := range lines {
		l.Text(id, scene.At(x, y+size*leading/2), scene.Start, scene.Middle, scene.Ink(role), size, bold, s)
		y += size * leading
	}
	return y
}

// clipped wraps a text to at most so many lines; an ellipsis says that there is
// more of it.
func clipped(text string, width, size float64, bold bool, most int, measure scene.Measurer) []string {
	w := scene.Wrap(text, width, size, bold, measure)
	if len(w) <= most {
		return w
	}
	w = w[:most]
	w[most-1] = scene.Shorten(w[most-1]+" …", width, size, bold, measure)
	if !strings.HasSuffix(w[most-1], "…") {
		w[most-1] += "…"
	}
	return w
}
