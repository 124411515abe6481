package makesafe

import (
	"time"

	"halfsplit/fault"
)

// WaitEnds is when a wait that began there ends, RFC 3339; ok is false where the time
// or the minutes are not recorded.
func WaitEnds(began, wait fault.MakeSafe) (when string, ok bool) {
	t, ok := at(began)
	if !ok || wait.Value == nil {
		return "", false
	}
	return t.Add(time.Duration(*wait.Value * float64(time.Minute))).Format(time.RFC3339), true
}
