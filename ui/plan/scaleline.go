package plan

import (
	"math"

	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// ScaleLine is a legend of two lines for drawings that are too small to hold one: the
// ramp between its ends, with their units, and what is shaded with what the cross-hatch
// means. Sizes are in pixels.
func ScaleLine(o Options, width, high float64, measure scene.Measurer) *scene.List {
	const edge = 8.0
	l := &scene.List{}
	title, ends, note, scale, steps := scaleOf(o)
	y := high * 0.3
	x0, x1 := edge, width-edge
	if len(ends) > 1 {
		first, last := ends[0], ends[len(ends)-1]
		l.Text("", scene.At(x0, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, first)
		l.Text("", scene.At(x1, y), scene.End, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, last)
		x0, x1 = x0+measure(first, theme.Small, false)+6, x1-measure(last, theme.Small, false)-6
	}
	w := (x1 - x0) / math.Max(1, float64(len(steps)))
	for i, t := range steps {
		left := x0 + w*float64(i)
		l.Rect("", scene.At(left, y-6), scene.At(left+w+0.5, y+6), scene.Data(scale, t), scene.Paint{}, 0, 0)
	}
	if len(steps) > 0 {
		l.Rect("", scene.At(x0, y-6), scene.At(x1, y+6), scene.Paint{}, scene.Ink(theme.Soft), 1, 0)
	}
	l.Text("", scene.At(edge, high*0.76), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, scene.Shorten(words.Plain(title+". "+note), width-2*edge, theme.Small, false, measure))
	return l
}

// scaleOf is what a legend says that depends on the options alone.
func scaleOf(o Options) (title string, ends []string, note string, scale palette.Scale, steps []float64) {
	scale, steps = legendRamp(o.Mode)
	switch o.Mode {
	case ByDifference:
		title, ends, note = o.Differences.legend()
	case ByMedian:
		end := EndText(o.MedianEnd)
		title, ends, note = "Group volts from the median", []string{"-" + end, "+" + end}, "Cross-hatch: not measured."
	case ByInsulation:
		title, ends, note = "Insulation to chassis, log scale", []string{"1" + words.Thin + "kΩ", "1" + words.Thin + "GΩ"}, "An arrow marks a bound."
	default:
		title, note = ModeNames[o.Mode], "Cross-hatch: not measured."
	}
	return title, ends, note, scale, steps
}
