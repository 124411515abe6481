package fault_test

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const module = "halfsplit"

// arrows says which of our packages a package may import. A package that is not
// here has no arrows yet: give it some with the change that adds it. "ui" stands for
// everything under ui.
var arrows = map[string][]string{
	"topology":         {},
	"topology/edit":    {"topology"},
	"topology/path":    {"topology"},
	"topology/match":   {"topology"},
	"assets":           {},
	"fault":            {"topology"},
	"fault/circuit":    {"topology", "fault"},
	"fault/insulation": {"topology", "fault"},
	"fault/makesafe":   {"topology", "fault"},
	"fault/probing":    {"topology", "fault", "fault/insulation"},
	"fault/series":     {"topology", "fault"},
	"fault/compare":    {"fault"},
	"fault/scpi":       {},
	"fault/cells":      {"topology", "fault"},
	"fault/lists":      {"topology", "fault"},
	"fault/strip":      {"topology", "fault"},
	"fault/format":     {"topology", "fault"},
	"fault/locate":     {"topology", "fault", "fault/insulation", "fault/locate/choose"},
	"fault/drill":      {"topology", "fault", "fault/circuit", "fault/insulation", "fault/locate"},
	"fault/reach":      {"topology", "fault", "fault/circuit", "fault/locate"},
	"fault/casebook":   {"topology", "fault", "fault/format"},
	"fault/csvout":     {"topology", "fault", "fault/casebook"},
	"fault/report":     {"topology", "topology/*", "fault", "fault/*", "assets"},
	"fault/cli":        {"topology", "topology/*", "fault", "fault/*", "assets"},
	"ui":               {"topology", "topology/*", "fault", "fault/*", "assets", "ui"},
	"":                 {"topology", "topology/*", "fault", "fault/*", "assets", "ui"},

	"fault/locate/choose": {},
	"fault/reach/chart":   {"fault", "fault/reach"},
	"fault/lists/order":   {"topology", "fault"},

	"fault/whole":         {},
	"fault/format/damage": {}, // for tests alone

	"fault/scpi/simulated": {}, // for tests alone
}

// forTests are packages that only tests may import.
var forTests = []string{"fault/format/damage", "fault/scpi/simulated", "ui/golden", "ui/hands", "ui/sample"}

// inTests are the arrows that only tests have: what the engine finds is checked
// against an exact circuit that shares no code with it.
var inTests = map[string][]string{
	"fault/casebook": {"topology/edit"},
	"topology/edit":  {"fault/format"},
	"topology/match": {"topology/edit"},
	"fault":          {"fault/*", "assets"},
	"fault/cells":    {"fault/format"},
	"fault/locate":   {"fault/circuit", "fault/format", "assets"},
	"fault/format":   {"fault/format/damage", "assets"},
	"fault/cli":      {"fault/format/damage"},
	"fault/compare":  {"topology", "fault/circuit"},
	"fault/scpi":     {"fault/scpi/simulated"},
}

// outside are imports from elsewhere, each with the packages that may have them.
var outside = map[string][]string{
	"fyne.io/fyne/v2/app":          {""},
	"fyne.io/fyne/v2":              {"", "ui"},
	"database/sql":                 {"fault/casebook"},
	"github.com/mattn/go-sqlite3":  {"fault/casebook"},
	"net":                          {"fault/scpi", "fault/scpi/simulated"}, // a meter that a person connected, and nobody else
	"go.bug.st/serial":             {"fault/scpi"},
	"net/url":                      {"", "fault/casebook", "ui"},
	"os":                           {"", "fault/casebook", "fault/cli", "fault/format", "fault/report", "fault/scpi", "fault/whole", "ui"},
	"testing":                      {},
	"pgregory.net/rapid":           {},
	"github.com/google/go-cmp/cmp": {},
	"github.com/santhosh-tekuri/jsonschema/v6": {},
}

// A listed package is one line of go list: a package, or the same with its tests.
type listed struct {
	path    string // below the module; "" is the program itself
	test    bool
	imports []string
}

// list walks everything that the module is built and tested from.
func list(t *testing.T) []listed {
	t.Helper()
	stamp(t)
	cmd := exec.Command("go", "list", "-deps", "-test", "-f", `{{.ImportPath}}|{{.ForTest}}|{{join .Imports " "}}`, "./...")
	cmd.Dir = ".."
	cmd.Env = append(os.Environ(), "CGO_ENABLED=1") // the window is part of the house even where it is not built
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, complaints.String())
	}
	var all []listed
	for line := range strings.Lines(string(out)) {
		fields := strings.Split(strings.TrimSpace(line), "|")
		path, _, _ := strings.Cut(fields[0], " ") // without the name of the test it was built for
		below, ours := inModule(path)
		if !ours || strings.HasSuffix(path, ".test") {
			continue
		}
		l := listed{path: strings.TrimSuffix(below, "_test"), test: fields[1] != ""}
		for _, to := range strings.Fields(fields[2]) {
			if strings.HasPrefix(to, "[") {
				continue
			}
			l.imports = append(l.imports, to)
		}
		all = append(all, l)
	}
	return all
}

// stamp looks at every source file, so that a result of this test is not taken from
// the cache when only a file of another package changed.
func stamp(t *testing.T) {
	t.Helper()
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && strings.HasPrefix(d.Name(), ".") && d.Name() != "..":
			return filepath.SkipDir
		case strings.HasSuffix(path, ".go"):
			_, err = os.Stat(path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func inModule(path string) (below string, ours bool) {
	if path == module {
		return "", true
	}
	return strings.CutPrefix(path, module+"/")
}

// owner is the package, or ui for all under it, that the rules are written for.
func owner(path string) string {
	if path == "ui" || strings.HasPrefix(path, "ui/") {
		return "ui"
	}
	return path
}

func allowed(rules []string, to string) bool {
	return slices.ContainsFunc(rules, func(rule string) bool {
		under, any := strings.CutSuffix(rule, "*")
		return rule == to || any && strings.HasPrefix(to, under)
	})
}

func TestArrows_PointDownwards(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range list(t) {
		from := owner(p.path)
		seen[from] = true
		rules, known := arrows[from]
		if !known {
			t.Errorf("%s has no arrows yet: say what it may import", p.path)
			continue
		}
		if p.test {
			rules = append(slices.Clone(rules), inTests[from]...)
		}
		for _, to := range p.imports {
			below, ours := inModule(to)
			if ours && !p.test && slices.Contains(forTests, below) && !slices.Contains(forTests, p.path) {
				t.Errorf("%s must not import %s outside of its tests", p.path, below)
			}
			if ours && !allowed(rules, owner(below)) && !(p.test && below == p.path) {
				t.Errorf("%s (test %v) must not import %s", p.path, p.test, below)
			}
		}
	}
	for _, must := range []string{"topology", "fault", "fault/circuit", "fault/insulation", "fault/locate"} {
		if !seen[must] {
			t.Errorf("%s was not seen: the walk missed it", must)
		}
	}
}

// The truth must not share code with what it checks, by whatever way round.
func TestArrows_EngineDoesNotReachTheCircuit(t *testing.T) {
	edges := map[string][]string{}
	for _, p := range list(t) {
		if p.test {
			continue
		}
		for _, to := range p.imports {
			if below, ours := inModule(to); ours {
				edges[p.path] = append(edges[p.path], below)
			}
		}
	}
	reached := map[string]bool{}
	var walk func(from string)
	walk = func(from string) {
		for _, to := range edges[from] {
			if !reached[to] {
				reached[to] = true
				walk(to)
			}
		}
	}
	walk("fault/locate")
	if !reached["topology"] {
		t.Fatal("the engine reaches no topology: the walk is wrong")
	}
	for _, never := range []string{"fault/circuit", "fault/drill"} {
		if reached[never] {
			t.Errorf("fault/locate reaches %s", never)
		}
	}
}

func TestArrows_Outside(t *testing.T) {
	for _, p := range list(t) {
		if p.test || slices.Contains(forTests, p.path) {
			continue
		}
		for _, to := range p.imports {
			who, ruled := outside[to]
			if !ruled {
				who, ruled = outside[family(to)]
			}
			if ruled && !slices.Contains(who, owner(p.path)) {
				t.Errorf("%s must not import %s", p.path, to)
			}
		}
	}
}

// family is the rule that a package without one of its own falls under: every part
// of the window toolkit, of SQL, of the network.
func family(path string) string {
	for rule := range outside {
		if strings.HasPrefix(path, rule+"/") {
			return rule
		}
	}
	return ""
}
