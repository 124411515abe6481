package choose

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"
)

// anyWorld makes a question out of bytes: outcomes, minutes, chances and what must
// come before what are drawn from them, without any sense.
func anyWorld(data []byte) Question {
	at := func(i int) int {
		if len(data) == 0 {
			return 0
		}
		return int(data[i%len(data)])
	}
	q := Question{Wrong: float64(at(0)) * 2, Enough: float64(at(1)%100) / 99}
	for h := range at(2) % 24 {
		q.Explanations = append(q.Explanations, Explanation{string(rune('a' + at(3+h)%7)), math.Ldexp(float64(at(30+h)-8), at(60+h)-200)})
	}
	for a := range at(4) % 12 {
		q.Actions = append(q.Actions, Action{ID: string(rune('A' + (a*5+at(5))%12)), Reading: at(90+a)%2 == 0})
	}
	draw := func(done Set, a, h int) *rand.Rand {
		seed := uint64(0)
		var word [8]byte
		for i := range word {
			word[i] = byte(at(100 + 8*a + i))
		}
		seed = binary.LittleEndian.Uint64(word[:])
		for i, b := range q.Actions { // readings leave the pack as it is
			if done.Has(i) && !b.Reading {
				seed ^= 0x9e37 << (3 * i)
			}
		}
		return rand.New(rand.NewPCG(seed, uint64(h)))
	}
	q.Minutes = func(done Set, a int) (float64, bool) {
		r := draw(done, a, -1)
		return float64(r.IntN(20)) * float64(at(6)), r.IntN(4) > 0
	}
	q.Sight = func(done Set, a int) Sight {
		if draw(done, a, -2).IntN(3) == 0 {
			return nil
		}
		return func(h int, into []Chance) []Chance {
			r := draw(done, a, h)
			p := []float64{0, 0.25, 1}[r.IntN(3)]
			return append(into, Chance{r.IntN(4) - 1, p}, Chance{5000 * r.IntN(3), 1 - p})
		}
	}
	return q
}

func FuzzNext(f *testing.F) {
	f.Add([]byte("a leak is where it is, until somebody looks"))
	f.Add([]byte{200, 95, 20, 1, 11, 3, 2, 9, 8, 7, 100, 101, 102, 103, 200, 201, 202, 203, 204, 205, 206})
	f.Add([]byte{0})
	f.Fuzz(func(t *testing.T, data []byte) {
		q := anyWorld(data)
		a, err := Next(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range a.Steps {
			if minutes, ok := q.Minutes(q.Done, s.Action); !ok || minutes != s.Minutes {
				t.Errorf("step %+v is not possible", s)
			}
			if !(s.Bits > 0) || !(s.Total >= s.Minutes*(1-1e-9)) || math.IsInf(s.Total, 0) {
				t.Errorf("step %+v", s)
			}
			sum := 0.0
			for _, o := range s.Outcomes {
				sum += o.P
				if o.Next < -1 || o.Next >= len(q.Actions) {
					t.Errorf("outcome %+v", o)
				}
			}
			if len(s.Outcomes) > 0 && math.Abs(sum-1) > 1e-9 {
				t.Errorf("probabilities sum to %g", sum)
			}
		}
		if !(a.Unresolved >= 0) || !(a.Share >= 0 && a.Share <= 1+1e-9) || (!a.Stop && len(a.Steps) == 0) {
			t.Errorf("answer %+v", a)
		}
	})
}
