// Package damage breaks a JSON file in the ways that files break: bits flipped
// on a stick, copies cut short, edits by hand that went wrong. It serves tests
// of everything that reads a file; the program does not import it. The same
// seed gives the same copies.
package damage

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"sort"
)

// A Copy is a damaged file and what was done to it.
type Copy struct {
	What string
	Data []byte
}

// Copies makes n damaged copies of a JSON file, the kinds of damage in turn.
func Copies(seed uint64, data []byte, n int) []Copy {
	rng := rand.New(rand.NewPCG(seed, 0x6861_6c66))
	kinds := []func(*rand.Rand, []byte) Copy{
		flipBit, cutShort, cutOut, repeatKey, repeatLine, swapLines,
		edit(deleteField), edit(retype), edit(hugeNumber), edit(wrongWord), edit(shout), edit(repeatElement),
	}
	out := make([]Copy, n)
	for i := range out {
		out[i] = kinds[i%len(kinds)](rng, bytes.Clone(data))
	}
	return out
}

func flipBit(rng *rand.Rand, data []byte) Copy {
	at, bit := rng.IntN(len(data)), rng.IntN(8)
	data[at] ^= 1 << bit
	return Copy{fmt.Sprintf("bit %d of byte %d flipped", bit, at), data}
}

func cutShort(rng *rand.Rand, data []byte) Copy {
	at := rng.IntN(len(data))
	return Copy{fmt.Sprintf("cut off at byte %d", at), data[:at]}
}

func cutOut(rng *rand.Rand, data []byte) Copy {
	from := rng.IntN(len(data))
	to := min(len(data), from+1+rng.IntN(40))
	return Copy{fmt.Sprintf("bytes %d to %d lost", from, to), append(data[:from:from], data[to:]...)}
}

// repeatKey writes the first "key": of a line again with null.
func repeatKey(rng *rand.Rand, data []byte) Copy {
	lines := bytes.SplitAfter(data, []byte("\n"))
	for range 200 {
		i := rng.IntN(len(lines))
		open := bytes.IndexByte(lines[i], '"')
		colon := bytes.Index(lines[i], []byte(`":`))
		if open < 0 || colon <= open {
			continue
		}
		key := lines[i][open : colon+1]
		lines[i] = bytes.Join([][]byte{lines[i][:open], key, []byte(": null, "), lines[i][open:]}, nil)
		return Copy{fmt.Sprintf("key %s repeated in line %d", key, i+1), bytes.Join(lines, nil)}
	}
	return Copy{"nothing found to repeat", append(data, '}')}
}

func repeatLine(rng *rand.Rand, data []byte) Copy {
	lines := bytes.SplitAfter(data, []byte("\n"))
	i := rng.IntN(len(lines))
	lines[i] = append(bytes.Clone(lines[i]), lines[i]...)
	return Copy{fmt.Sprintf("line %d repeated", i+1), bytes.Join(lines, nil)}
}

func swapLines(rng *rand.Rand, data []byte) Copy {
	lines := bytes.SplitAfter(data, []byte("\n"))
	i, j := rng.IntN(len(lines)), rng.IntN(len(lines))
	lines[i], lines[j] = lines[j], lines[i]
	return Copy{fmt.Sprintf("lines %d and %d swapped", i+1, j+1), bytes.Join(lines, nil)}
}

// A spot is one value within a document, with the container that holds it.
type spot struct {
	path   string
	value  any
	set    func(any)
	remove func() // nil where nothing can be removed
	rename func(string)
	key    string
}

// edit damages one value of the parsed document at random.
func edit(f func(*rand.Rand, spot) string) func(*rand.Rand, []byte) Copy {
	return func(rng *rand.Rand, data []byte) Copy {
		var doc any
		if err := json.Unmarshal(data, &doc); err != nil {
			return flipBit(rng, data)
		}
		var spots []spot
		walk("", doc, nil, &spots)
		for range 200 {
			s := spots[rng.IntN(len(spots))]
			if what := f(rng, s); what != "" {
				out, err := json.MarshalIndent(doc, "", "  ")
				if err != nil {
					break
				}
				return Copy{s.path + " " + what, out}
			}
		}
		return flipBit(rng, data)
	}
}

func walk(path string, v any, replace func(any), out *[]spot) {
	switch v := v.(type) {
	case map[string]any:
		keys := make([]string, 0, len(v))
		for k := range v {
			keys = append(keys, k)
		}
		sort.Strings(keys)
		for _, k := range keys {
			set := func(n any) { v[k] = n }
			*out = append(*out, spot{path + "." + k, v[k], set, func() { delete(v, k) },
				func(n string) { v[n] = v[k]; delete(v, k) }, k})
			walk(path+"."+k, v[k], set, out)
		}
	case []any:
		for i := range v {
			set := func(n any) { v[i] = n }
			s := spot{path: fmt.Sprintf("%s[%d]", path, i), value: v[i], set: set}
			if replace != nil {
				s.remove = func() { replace(append(v[:i:i], v[i+1:]...)) }
			}
			*out = append(*out, s)
			walk(s.path, v[i], set, out)
		}
	}
}

func deleteField(_ *rand.Rand, s spot) string {
	if s.remove == nil {
		return ""
	}
	s.remove()
	return "deleted"
}

func retype(rng *rand.Rand, s spot) string {
	other := []any{nil, true, "7", 7.0, []any{}, map[string]any{}}
	s.set(other[rng.IntN(len(other))])
	return "of another type"
}

func hugeNumber(rng *rand.Rand, s spot) string {
	if _, ok := s.value.(float64); !ok {
		return ""
	}
	v := []any{json.RawMessage("1e999"), 1e300, -1e300, 1e15, -1.0, 0.0, 99999.0, 1e-300}
	n := rng.IntN(len(v))
	s.set(v[n])
	return fmt.Sprintf("set to %s", v[n])
}

func wrongWord(rng *rand.Rand, s spot) string {
	if _, ok := s.value.(string); !ok {
		return ""
	}
	v := []string{"", "M99", "M01+", "chassis", "9", "r1\n", "closed", "SD", "\u202ex", "pack+"}
	n := rng.IntN(len(v))
	s.set(v[n])
	return fmt.Sprintf("set to %q", v[n])
}

func shout(_ *rand.Rand, s spot) string {
	if s.rename == nil || len(s.key) == 0 {
		return ""
	}
	s.rename(string(bytes.ToUpper([]byte(s.key[:1]))) + s.key[1:])
	return "with a capital"
}

func repeatElement(_ *rand.Rand, s spot) string {
	list, ok := s.value.([]any)
	if !ok || len(list) == 0 {
		return ""
	}
	s.set(append(list[:len(list):len(list)], list[0]))
	return "with its first element twice"
}
