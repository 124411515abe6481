package photos

import (
	"fmt"
	"math"
	"strings"
	"time"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Measures of the list in pixels.
const (
	side      = 12.0
	gap       = 8.0
	thumbWide = 120
	thumbHigh = 90
	leading   = 1.34
)

// Spoken is what a photo belongs to, in words.
func Spoken(of string) string {
	kind, name, ok := strings.Cut(of, ":")
	switch {
	case of == "":
		return "the case as a whole"
	case !ok:
		return of
	case kind == "module", kind == "node":
		return name
	}
	return kind + " " + name
}

// About is when, by whom and how large, in a line.
func About(p store.Photo, zone *time.Location) string {
	var parts []string
	if t, err := time.Parse(time.RFC3339, p.At); err == nil {
		parts = append(parts, t.In(zone).Format("2 Jan 2006 15:04"))
	}
	if p.Who != "" {
		parts = append(parts, p.Who)
	}
	return strings.Join(append(parts, size(p.Size)), "  ·  ")
}

func size(bytes int64) string {
	switch {
	case bytes >= 999500:
		return fmt.Sprintf("%.1f"+words.Thin+"MB", float64(bytes)/1e6)
	case bytes >= 1000:
		return fmt.Sprintf("%.0f"+words.Thin+"kB", float64(bytes)/1e3)
	}
	return fmt.Sprintf("%d bytes", bytes)
}

// rowHigh is how high a photo's row is, and headHigh what stands above the first.
const (
	rowHigh  = thumbHigh + 20
	headHigh = 38
)

// drawRows draws the photos' rows, with room for their pictures, and what stands
// there while a picture is not shown.
func drawRows(all []store.Photo, chosen string, missing func(id string) string, zone *time.Location, width float64) (*scene.List, float64) {
	l, y := &scene.List{}, float64(headHigh)
	count := fmt.Sprintf("%d photos of this case", len(all))
	if len(all) == 1 {
		count = "1 photo of this case"
	}
	text(l, "", []string{count}, side+2, 9, theme.Text, true, theme.Ink, 1)
	for _, p := range all {
		line, w := scene.Ink(theme.Hairline), 1.0
		if p.ID == chosen {
			line, w = scene.Ink(theme.Accent), 3
		}
		l.Rect(p.ID, scene.At(side, y), scene.At(width-side, y+rowHigh), scene.Ink(theme.Raised), line, w, 8)
		if m := missing(p.ID); m != "" {
			l.Rect("", scene.At(side+10, y+10), scene.At(side+10+thumbWide, y+10+thumbHigh), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
			text(l, "", scene.Wrap(m, thumbWide-12, theme.Small, false, easel.Measure), side+16, y+30, theme.Small, false, theme.Soft, 4)
		}
		x := side + 10 + thumbWide + 14
		room := math.Max(60, width-side-10-x)
		at := text(l, p.ID, scene.Wrap(words.Plain(p.Name), room, theme.Text, true, easel.Measure), x, y+8, theme.Text, true, theme.Ink, 2)
		at = text(l, p.ID, scene.Wrap("Of "+words.Plain(Spoken(p.Of))+".", room, theme.Text, false, easel.Measure), x, at, theme.Text, false, theme.Ink, 1)
		text(l, p.ID, scene.Wrap(About(p, zone), room, theme.Small, false, easel.Measure), x, at+2, theme.Small, false, theme.Soft, 2)
		l.Target(p.ID, 0, scene.At(side, y), scene.At(width-side, y), scene.At(width-side, y+rowHigh), scene.At(side, y+rowHigh))
		y += rowHigh + gap
	}
	return l, y
}

// text sets lines, the last of them with an ellipsis where there are more.
func text(l *scene.List, id string, lines []string, x, y, size float64, bold bool, ink theme.Role, most int) float64 {
	if len(lines) > most {
		lines = lines[:most]
		lines[most-1] += " …"
	}
	for _, s := range lines {
		l.Text(id, scene.At(x, y+size*leading/2), scene.Start, scene.Middle, scene.Ink(ink), size, bold, s)
		y += size * leading
	}
	return y
}

// notice is a heading with a sentence, where there is nothing to list.
func notice(l *scene.List, y float64, title, sentence string, width float64) float64 {
	room := math.Min(width-2*side-12, 520)
	y = text(l, "", scene.Wrap(title, room, theme.Section, true, easel.Measure), side+6, y, theme.Section, true, theme.Ink, 3) + 6
	return text(l, "", scene.Wrap(sentence, room, theme.Text, false, easel.Measure), side+6, y, theme.Text, false, theme.Soft, 8) + 12
}

// line is a line that is pressed, as high as a finger needs.
func line(l *scene.List, id, name string, chosen bool, y, width float64) float64 {
	high := float64(easel.Sizes().Touch())
	edge, w := scene.Ink(theme.Hairline), 1.0
	if chosen {
		edge, w = scene.Ink(theme.Accent), 3
	}
	l.Rect(id, scene.At(side, y), scene.At(width-side, y+high), scene.Ink(theme.Raised), edge, w, 8)
	name = scene.Shorten(words.Plain(name), width-2*side-24, theme.Text, false, easel.Measure)
	l.Text(id, scene.At(side+12, y+high/2), scene.Start, scene.Middle, scene.Ink(theme.Accent), theme.Text, false, name)
	l.Target(id, 0, scene.At(side, y), scene.At(width-side, y), scene.At(width-side, y+high), scene.At(side, y+high))
	return y + high + gap
}
