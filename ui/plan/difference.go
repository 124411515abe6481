package plan

import (
	"math"
	"strconv"

	"halfsplit/ui/words"
)

// Differences are what two sets of readings differ by, after less before, in V: by the
// pack's groups and by its modules, in the layout's order. NaN is hatched: it was not
// measured in both, or cannot be compared.
type Differences struct {
	Title   string // of the legend: what differs
	Note    string // below it
	End     float64
	Groups  []float64
	Modules []float64  // that which is furthest from zero
	Texts   [][]string // of the modules, from the longest to the shortest
}

// group is a group's difference.
func (d *Differences) group(g int) float64 {
	if d == nil || g >= len(d.Groups) {
		return math.NaN()
	}
	return d.Groups[g]
}

// module is a module's difference.
func (d *Differences) module(m int) float64 {
	if d == nil || m >= len(d.Modules) {
		return math.NaN()
	}
	return d.Modules[m]
}

// ofGroups says that at least one of the groups has a difference of its own.
func (d *Differences) ofGroups(groups []int) bool {
	for _, g := range groups {
		if !math.IsNaN(d.group(g)) {
			return true
		}
	}
	return false
}

// texts are a module's number.
func (d *Differences) texts(m int) []string {
	if d == nil || m >= len(d.Texts) || math.IsNaN(d.module(m)) && len(d.Texts[m]) == 0 {
		return []string{"not compared", "none"}
	}
	return d.Texts[m]
}

// legend says what the shading means; its ends are locked.
func (d *Differences) legend() (title string, ends []string, note string) {
	if d == nil {
		return "Difference, after less before", []string{"not known"}, ""
	}
	end := EndText(d.End)
	return d.Title, []string{"-" + end, "0", "+" + end}, d.Note
}

// EndText is the end of a scale of volts with its unit.
func EndText(volts float64) string {
	if volts <= 1 {
		return strconv.FormatFloat(math.Round(1000*volts), 'f', 0, 64) + words.Thin + "mV"
	}
	return strconv.FormatFloat(volts, 'f', -1, 64) + words.Thin + "V"
}
