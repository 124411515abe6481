package casefile_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/assets"
	"halfsplit/ui/casefile"
)

func TestDemo(t *testing.T) {
	c, err := casefile.Demo()
	if err != nil || len(c.Layout.Modules) == 0 || len(c.Readings) == 0 {
		t.Errorf("%d modules, %d readings, %v", len(c.Layout.Modules), len(c.Readings), err)
	}
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	if _, err := casefile.Open(write("good.json", string(assets.Demo))); err != nil {
		t.Errorf("the demo as a file: %v", err)
	}
	for name, c := range map[string]struct{ path, want string }{
		"no file":     {filepath.Join(dir, "none.json"), "there is no such file"},
		"folder":      {dir, "is a folder"},
		"not a case":  {write("x.json", `{"format":"x"}`), "halfsplit-case/1"},
		"no json":     {write("y.json", "hello\nworld"), "y.json"},
		"empty":       {write("z.json", ""), "z.json"},
		"no layout":   {write("l.json", `{"format":"halfsplit-case/1","layout_file":"nowhere.json"}`), "nowhere.json"},
		"two\nlines":  {filepath.Join(dir, "two\nlines"), "there is no such file"},
		"trailing":    {write("t.json", string(assets.Demo)+"{}"), "t.json"},
		"cut in half": {write("h.json", string(assets.Demo[:len(assets.Demo)/2])), "h.json"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := casefile.Open(c.path)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}
