package plan

import (
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

const (
	lineFactor = 1.25 // line height of a text size
	lineHigh   = theme.Small * lineFactor
)

// valueTexts is the number that a module shows in the present mode, from its
// longest to its shortest form; none for nothing.
func (c *face) valueTexts() []string {
	f, mod := c.f, c.f.Pack.Modules[c.m]
	if mod.Removed {
		return []string{"removed"}
	}
	switch f.o.Mode {
	case ByPath:
		if n := f.o.Path[f.id(c.m)]; n > 0 {
			return []string{strconv.Itoa(n)}
		}
		if len(f.o.Path) == 0 { // of none it is news
			return nil
		}
		return []string{"not joined", "–"}
	case ByMedian:
		return []string{words.Millivolts(c.value)}
	case ByDifference:
		return f.o.Differences.texts(c.m)
	case ByPotential:
		if math.IsNaN(c.value) {
			return []string{"not known"}
		}
		lo := volts0(f.Pack.Chassis[f.Pack.Net.Tap(c.m, 0)])
		hi := volts0(f.Pack.Chassis[f.Pack.Net.Tap(c.m, len(mod.Groups))])
		return []string{lo + " to " + hi + words.Thin + "V", lo + "…" + hi + words.Thin + "V", lo + "…" + hi}
	}
	if c.f.o.Mode != BySuspicion {
		return c.recordTexts()
	}
	if math.IsNaN(c.value) || c.value < 0.005 {
		return nil
	}
	return []string{words.Share(c.value)}
}

// recordTexts are the number of the modes that shade by what was recorded.
func (c *face) recordTexts() []string {
	mod := c.f.Pack.Modules[c.m]
	missing := []string{words.NotMeasured, "none"}
	switch c.f.o.Mode {
	case ByInsulation:
		if mod.Insulation == nil {
			return missing
		}
		v := words.Ohms(mod.Insulation.Value)
		sign := map[string]string{fault.Greater: "> ", fault.Less: "< "}[mod.Insulation.Relation]
		return []string{sign + v}
	case ByCharge:
		return []string{"not known"}
	case ByAge:
		switch h := mod.Age; {
		case math.IsNaN(h):
			return []string{"no time recorded", "no time"}
		case h < 1:
			return []string{words.Minutes(60 * h)}
		case h < 72:
			return []string{words.Hours(h)}
		default:
			return []string{words.Hours(h), words.Days(h / 24)}
		}
	}
	switch {
	case mod.Measured == len(mod.Groups) && mod.Measured > 0:
		return []string{"groups measured", "measured", "groups"}
	case mod.Measured > 0:
		n := strconv.Itoa(mod.Measured) + " of " + strconv.Itoa(len(mod.Groups))
		return []string{n + " groups", n}
	case mod.Own:
		return []string{"module volts only", "volts only"}
	}
	return missing
}

// volts0 writes whole volts with a sign, without the unit.
func volts0(v float64) string {
	s := words.VoltsTo(v, 0)
	s = s[:len(s)-len(words.Thin+"V")]
	if v > 0.5 {
		s = "+" + s
	}
	return s
}

// text writes the bench number and the value. With a band the number stands in
// it at left; the value stands large in the body where that has one colour, in
// the band where it has many. Without a band both share the middle.
func (c *face) text() {
	values := c.valueTexts()
	if c.band == 0 {
		c.plate(append(values, "")[0])
		return
	}
	value := append(values, "")[0]
	if c.f.o.Mode > ByPotential { // the longest form that fits
		for _, form := range values {
			value = form
			if c.fit(form, c.size().X()-c.signsRoom(), false, 11) > 0 {
				break
			}
		}
	}
	number := c.f.id(c.m)
	room := c.size().X() - 10
	first, second := c.band/2, 0.0
	wordy := c.f.o.Mode > ByPotential || value == "not known" || value == words.NotMeasured || value == "removed"
	inBody := (c.f.o.Mode == BySuspicion || wordy || !c.groups) && value != ""
	if !inBody && c.band >= 34 {
		first, second = c.band/2-8, c.band/2+8
	}
	size := c.fit(number, room, true, theme.Text, 13, theme.Small, 10)
	if size == 0 {
		return
	}
	at := world(c.box.Min).Moved(6, first)
	c.f.l.Text(c.id, at, scene.Start, scene.Middle, scene.Ink(theme.Ink), size, true, number)
	switch {
	case inBody && !c.bodyText(value):
		room -= c.f.measure(number, size, true) + 10
		c.bandText(values, room, first, scene.End, math.Min(16, c.band/lineFactor), theme.Small, 11, 10)
	case inBody:
	case second > 0:
		c.bandText(values, c.size().X()-8, second, scene.Start, 13, theme.Small, 11, 10)
	default:
		room -= c.f.measure(number, size, true) + 10
		c.bandText(values, room, first, scene.End, math.Min(16, c.band/lineFactor), theme.Small, 11, 10)
	}
}

// bandText writes the longest form that fits into the band, at its left or its
// right.
func (c *face) bandText(forms []string, room, down float64, h scene.Alignment, sizes ...float64) {
	at := world(c.box.Min).Moved(6, down)
	if h == scene.End {
		at = scene.At(c.box.Max.X(), c.box.Min.Y()).Moved(-7, down)
	}
	for _, form := range forms {
		if s := c.fit(form, room, false, sizes...); s > 0 && s*lineFactor <= c.band+1 {
			c.f.l.Text(c.id, at, h, scene.Middle, scene.Ink(theme.Ink), s, false, form)
			return
		}
	}
}

// fit is the first of the sizes at which a text is no wider than room; 0 = none.
func (c *face) fit(text string, room float64, bold bool, sizes ...float64) float64 {
	for _, s := range sizes {
		if c.f.measure(text, s, bold) <= room {
			return s
		}
	}
	return 0
}

// bodyText writes the value into the middle of the body, as large as it fits
// between the signs; over a hatch it lies on a plate. It says whether it fitted.
func (c *face) bodyText(value string) bool {
	w, h := c.size().X()-8, c.size().Y()-c.band-4
	shift := 0.0 // clear of the share's bar
	if math.Abs(c.o.Axis.X()) > 0.5 {
		w -= 56 // the signs
	} else {
		h -= 40
		if c.f.o.Mode == BySuspicion && c.size().X() >= roomForBar {
			shift = 5
			w -= 2 * shift
		}
	}
	// One size for all modules, whatever their numbers.
	least := value
	if c.f.o.Mode == BySuspicion {
		least = "88" + words.Thin + "%"
	}
	if c.f.measure(value, theme.Text, false) > c.f.measure(least, theme.Text, false) {
		least = value
	}
	for _, s := range []float64{theme.Number, 24, 20, theme.Section, 16, theme.Text, 13, theme.Small, 11, 10} {
		if c.f.measure(least, s, false) > w || s*1.15 > h {
			continue
		}
		mid := c.at(0.5, 0.5).Moved(shift, 0)
		if c.ground.None() {
			half := c.f.measure(value, s, false)/2 + 4
			c.f.l.Rect(c.id, mid.Moved(-half, -s*0.68), mid.Moved(half, s*0.68), scene.Ink(theme.Raised), scene.Paint{}, 0, 3)
		}
		c.f.l.Text(c.id, mid, scene.Middle, scene.Middle, scene.On(c.ground), s, false, value)
		return true
	}
	return false
}

// plate writes number and value into the middle of a module that has no band;
// over groups it lies on a plate, so that it can be read on every colour.
func (c *face) plate(value string) {
	number := c.f.id(c.m)
	// A text of w × h fits an outline at an angle if its own outline does.
	cos, sin, px := math.Abs(c.o.Axis.X()), math.Abs(c.o.Axis.Y()), c.f.v.ScaleX
	fits := func(w, h float64) bool {
		return w*cos+h*sin <= c.o.Length*px-8 && w*sin+h*cos <= c.o.Deep*px-6
	}
	mid := world(c.o.Center)
	ink := scene.On(c.ground)
	set := func(lines ...string) bool {
		for _, s := range []float64{theme.Text, 13, theme.Small, 11, 10} {
			wide := 0.0
			for _, l := range lines {
				wide = math.Max(wide, c.f.measure(l, s, true))
			}
			high := float64(len(lines)) * s * lineFactor
			if !fits(wide, high) {
				continue
			}
			if c.ground.None() { // over strips or a hatch; elsewhere it is not seen
				c.f.l.Rect(c.id, mid.Moved(-wide/2-3, -high/2), mid.Moved(wide/2+3, high/2), scene.Ink(theme.Raised), scene.Paint{}, 0, 3)
			}
			for i, l := range lines {
				c.f.l.Text(c.id, mid.Moved(0, -high/2+(float64(i)+0.5)*s*lineFactor), scene.Middle, scene.Middle, ink, s, i == 0, l)
			}
			return true
		}
		return false
	}
	if value != "" && (set(number, value) || set(number+"  "+value)) {
		return
	}
	if !set(number) {
		set(c.f.shortNumber(number))
	}
}

// shortNumber is a module's number without the letters that all of them begin
// with; the number itself where something else is in the way.
func (d *Drawing) shortNumber(number string) string {
	common := strings.TrimRight(number, "0123456789")
	for _, m := range d.Pack.Net.Layout.Modules {
		if !strings.HasPrefix(m.ID, common) || len(m.ID) == len(common) {
			return number
		}
	}
	return strings.TrimPrefix(number, common)
}

// cellTexts are what the strips print and the size at which all of them fit; 0
// where they do not: a module prints all of its numbers or none.
func (c *face) cellTexts() (texts []string, size float64) {
	if c.band == 0 {
		return nil, 0
	}
	groups := c.f.Pack.Modules[c.m].Groups
	strip := c.o.Length * c.f.v.ScaleX / float64(max(1, len(groups)))
	body := c.size().Y() - c.band
	wide, high := strip, body
	if math.Abs(c.o.Axis.X()) < 0.5 { // strips lie on each other
		wide, high = c.size().X()-22, strip*body/math.Max(1, c.size().Y())
	} else {
		high -= 16 // the signs
	}
	if high < 14 {
		return nil, 0
	}
	widest := 0.0
	for _, g := range groups {
		v := c.f.groupValue(g)
		if math.IsNaN(v) {
			texts = append(texts, "")
			continue
		}
		t := strings.TrimSuffix(words.Millivolts(v), words.Thin+"mV") // the legend has the unit
		if c.f.o.Mode == ByPotential {
			t = strings.TrimSuffix(words.VoltsTo(v, 1), words.Thin+"V")
		}
		widest = math.Max(widest, c.f.measure(t, 10, false))
		texts = append(texts, t)
	}
	switch {
	case widest*1.1 <= wide-8: // the plus end is thick
		return texts, 11
	case widest <= wide-6:
		return texts, 10
	}
	return nil, 0
}

// signsRoom is the width that a text in the body leaves to the signs.
func (c *face) signsRoom() float64 {
	if math.Abs(c.o.Axis.X()) > 0.5 {
		return 64
	}
	return 10
}
