package choose

// MaxActions is how many actions a question may have.
const MaxActions = 256

// A Set holds actions by their index in the question. The zero Set is empty; sets
// are compared with ==.
type Set [MaxActions / 64]uint64

// Has says whether the set holds action i.
func (s Set) Has(i int) bool { return s[i>>6]&(1<<(i&63)) != 0 }

// With returns the set with action i in it.
func (s Set) With(i int) Set {
	s[i>>6] |= 1 << (i & 63)
	return s
}

// Without returns the set with everything that is in t taken out.
func (s Set) Without(t Set) Set {
	for i := range s {
		s[i] &^= t[i]
	}
	return s
}
