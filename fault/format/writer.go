package format

import (
	"bytes"
	"encoding/json"
	"math"
	"sort"

	"halfsplit/topology"
)

// A writer builds one JSON object with its fields in the order they are put.
// The first value that JSON cannot hold stops it; close then returns nil.
type writer struct {
	b   bytes.Buffer
	err error
	n   int
}

func newWriter() *writer {
	w := &writer{}
	w.b.WriteByte('{')
	return w
}

// put writes a field, whatever its value.
func (w *writer) put(key string, v any) {
	if w.err != nil {
		return
	}
	raw, err := encode(v)
	if err != nil {
		w.err = err
		return
	}
	if w.n++; w.n > 1 {
		w.b.WriteByte(',')
	}
	k, _ := encode(key)
	w.b.Write(k)
	w.b.WriteByte(':')
	w.b.Write(raw)
}

// encode is json.Marshal without the escapes that are meant for web pages.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(b.Bytes(), "\n"), nil
}

// text, num and opt write a field unless it stands for "not given".
func (w *writer) text(key, v string) {
	if v != "" {
		w.put(key, v)
	}
}

func (w *writer) num(key string, v float64) {
	if v != 0 {
		w.put(key, v)
	}
}

func opt[T any](w *writer, key string, v *T) {
	if v != nil {
		w.put(key, *v)
	}
}

// texts writes a list of texts, empty where there is none.
func (w *writer) texts(key string, v []string) {
	if v == nil {
		v = []string{}
	}
	w.put(key, v)
}

// list writes a list of objects, each by f.
func list[T any](w *writer, key string, of []T, f func(*writer, T)) {
	out := make([]json.RawMessage, 0, len(of))
	for _, v := range of {
		e := newWriter()
		f(e, v)
		out = append(out, e.close())
		if w.err == nil {
			w.err = e.err
		}
	}
	w.put(key, out)
}

// extra writes the fields that the reader did not know, by name.
func (w *writer) extra(x topology.Extra) {
	keys := make([]string, 0, len(x))
	for k := range x {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		w.put(k, x[k])
	}
}

func (w *writer) close() []byte {
	if w.err != nil {
		return nil
	}
	w.b.WriteByte('}')
	return w.b.Bytes()
}

// finish is the whole file, laid out for people, with a final newline.
func (w *writer) finish() ([]byte, error) {
	raw := w.close()
	if w.err != nil {
		return nil, w.err
	}
	return layOut(raw)
}

// orNull writes NaN, a group that was not measured, as null.
func orNull(volts []float64) []any {
	out := make([]any, len(volts))
	for i, v := range volts {
		if !math.IsNaN(v) {
			out[i] = v
		}
	}
	return out
}

// object writes a field that is an object built by another writer.
func (w *writer) object(key string, v *writer) {
	raw := v.close()
	if w.err == nil {
		w.err = v.err
	}
	w.put(key, json.RawMessage(raw))
}
