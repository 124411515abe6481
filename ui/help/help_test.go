package help_test

import (
	"regexp"
	"strings"
	"testing"

	"halfsplit/ui/emergency"
	"halfsplit/ui/help"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// pages are everything that the help and the emergency page say.
func pages() map[string]string {
	return map[string]string{
		"words": sheet.Text(help.WordBlocks()), "tour": sheet.Text(help.TourBlocks()), "keys": sheet.Text(help.WindowKeys()),
		"emergency": sheet.Text(emergency.Blocks(emergency.Default(), false, "note")),
		"own":       sheet.Text(emergency.Blocks(emergency.Text{Numbers: "Post: 12\n34", Steps: "Go"}, true, "")),
	}
}

var never = regexp.MustCompile(`(?i)\b(safe|safely|unsafe|dead|harmless|ok)\b|!`)

func TestPages_NeverSayThatAThingMayBeTouched(t *testing.T) {
	for name, text := range pages() {
		if m := never.FindString(text); m != "" {
			t.Errorf("%s says %q", name, m)
		}
	}
}

func TestPages_HaveTheirGlyphs(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range pages() {
		if miss := g.Missing(strings.ReplaceAll(text, "\n", "")); len(miss) > 0 {
			t.Errorf("%s: the font lacks %q", name, string(miss))
		}
	}
}

func TestWords_AreTheTradesAndSaidOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range help.Words {
		if seen[w.Name] || len(w.Means) < 30 || !strings.HasSuffix(w.Means, ".") {
			t.Errorf("%q: %q", w.Name, w.Means)
		}
		seen[w.Name] = true
		if strings.Contains(strings.ToLower(w.Means), "shunt") || strings.Contains(strings.ToLower(w.Means), "island") {
			t.Errorf("%q is explained with a word that means something else here", w.Name)
		}
	}
	for _, must := range []string{"String", "Section", "State", "Reading", "Test resistor", "Finding", "Layout", "Case", "Casebook", "Plan", "Volts ruler", "Tap", "Link", "Group"} {
		if !seen[must] {
			t.Errorf("%q is not explained", must)
		}
	}
	if len(help.Tour) != 5 {
		t.Errorf("the first case has %d steps", len(help.Tour))
	}
}

func TestEmergency_RoundTrip(t *testing.T) {
	in := emergency.Text{Numbers: "Fire: 1\nOwner: \"2\"", Steps: "Stop.\n\nGo."}
	out, own := emergency.Read(in.Write())
	if !own || out != in {
		t.Errorf("%+v comes back as %+v", in, out)
	}
	for _, broken := range []string{"", "{", "7", `{"numbers":" ","steps":""}`} {
		if got, own := emergency.Read(broken); own || got != emergency.Default() {
			t.Errorf("%q is read as %+v", broken, got)
		}
	}
	if n := emergency.Lines(in.Steps); len(n) != 2 {
		t.Errorf("lines: %q", n)
	}
}

// The neutral text has no number that belongs to a country.
func TestEmergency_DefaultHasNoNumbers(t *testing.T) {
	d := emergency.Default()
	if regexp.MustCompile(`\d`).MatchString(d.Numbers + d.Steps) {
		t.Errorf("it has a digit: %s%s", d.Numbers, d.Steps)
	}
	for _, must := range []string{"local emergency services", "rescue sheet"} {
		if !strings.Contains(d.Steps, must) {
			t.Errorf("it does not name the %s", must)
		}
	}
}
