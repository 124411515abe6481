package cli_test

import (
	"strings"
	"testing"
)

// A layout with something to look at is legal, is told in plain words with the
// thing to go to, and exits 1.
func TestCheck_ProblemsExitOne(t *testing.T) {
	loose := strings.Replace(small, `{"id": "L1", "kind": "busbar", "from": "M01+", "to": "M02-"}, `, "", 1)
	turned := strings.Replace(small, `"from": "M01+", "to": "M02-"`, `"from": "M01+", "to": "M02+"`, 1)
	turned = strings.Replace(turned, `"from": "M02+", "to": "pack+"`, `"from": "M02-", "to": "pack+"`, 1)
	tests := map[string]struct{ layout, about string }{
		"a joint is missing":  {loose, "M02"},
		"a module is turned":  {turned, "M02"},
		"with unknown fields": {strings.Replace(loose, `"name"`, `"colour": 1, "name"`, 1), "colour is not known to this version"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			code, out, errs := run("check", write(t, "l.json", tt.layout))
			if code != 1 || errs != "" || !strings.Contains(out, "to look at") || !strings.Contains(out, tt.about) {
				t.Errorf("exit %d, %s\n%s", code, errs, out)
			}
			checkPage(t, out)
		})
	}
}
