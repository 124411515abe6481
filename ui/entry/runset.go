package entry

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// A Set of numbers of points, written as "0-37,40": a run is kept after each of its
// values.
type Set map[int]bool

// Has says that a number is in the set.
func (s Set) Has(i int) bool { return s[i] }

// Add puts a number in.
func (s *Set) Add(i int) {
	if *s == nil {
		*s = Set{}
	}
	(*s)[i] = true
}

// MarshalText writes the runs of numbers.
func (s Set) MarshalText() ([]byte, error) {
	var out []string
	all := slices.Sorted(maps.Keys(s))
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1] == all[j]+1 {
			j++
		}
		if i == j {
			out = append(out, strconv.Itoa(all[i]))
		} else {
			out = append(out, fmt.Sprintf("%d-%d", all[i], all[j]))
		}
		i = j + 1
	}
	return []byte(strings.Join(out, ",")), nil
}

// mostPoint bounds what a text may ask for.
const mostPoint = 1 << 20

// UnmarshalText reads them; an error says which part is no run of numbers.
func (s *Set) UnmarshalText(text []byte) error {
	*s = Set{}
	if len(text) == 0 {
		return nil
	}
	for _, part := range strings.Split(string(text), ",") {
		from, to, span := strings.Cut(part, "-")
		if !span {
			to = from
		}
		a, errA := strconv.Atoi(from)
		b, errB := strconv.Atoi(to)
		if errA != nil || errB != nil || a < 0 || b < a || b > mostPoint {
			return fmt.Errorf("%q is no run of numbers", part)
		}
		for i := a; i <= b; i++ {
			(*s)[i] = true
		}
	}
	return nil
}
