package locate

import "testing"

// A string that is taken apart link by link, with a reading or two of every section: a
// wet run over eight sections is one explanation among others, and its sizes must not
// be integrated one inside the other.
func TestFind_AStringTakenApart(t *testing.T) {
	if o := done(t, 44, 50, oneByOne); o.f.Stop == "" || !o.right(o.f) {
		t.Errorf("%v had to come out: %s, %s", o.out, o.f.Verdict, o.f.Stop)
	}
}
