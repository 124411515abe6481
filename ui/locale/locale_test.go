package locale_test

import (
	"testing"

	"halfsplit/ui/locale"
)

func TestName(t *testing.T) {
	for name, c := range map[string]struct{ env, want map[string]string }{
		"nothing set":      {map[string]string{}, map[string]string{"LANG": "en_US.UTF-8"}},
		"C with encoding":  {map[string]string{"LANG": "C.UTF-8"}, map[string]string{"LANG": "en_US.UTF-8"}},
		"LC_ALL counts":    {map[string]string{"LC_ALL": "POSIX", "LANG": "de_DE.UTF-8"}, map[string]string{"LC_ALL": "en_US.UTF-8", "LANG": "de_DE.UTF-8"}},
		"a language stays": {map[string]string{"LANG": "fr_FR.UTF-8"}, map[string]string{"LANG": "fr_FR.UTF-8"}},
	} {
		t.Run(name, func(t *testing.T) {
			env := c.env
			locale.Name(func(k string) string { return env[k] }, func(k, v string) error { env[k] = v; return nil })
			if len(env) != len(c.want) {
				t.Fatalf("got %v, want %v", env, c.want)
			}
			for k, v := range c.want {
				if env[k] != v {
					t.Errorf("%s is %q, want %q", k, env[k], v)
				}
			}
		})
	}
}
