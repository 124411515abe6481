package format

import (
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// WriteFinding writes a halfsplit-finding/1 file. Lists without elements are
// written as [], numbers that do not exist as null.
func WriteFinding(f fault.Finding) ([]byte, error) {
	f.Format = FindingFormat
	v := reflect.New(reflect.TypeOf(f)).Elem()
	v.Set(emptied(reflect.ValueOf(f)))
	raw, err := encode(v.Interface())
	if err != nil {
		return nil, err
	}
	return layOut(raw)
}

// emptied is a copy of v in which every list is there, so that a reader of the
// file never meets null for "none". Optional lists are marked by omitempty.
func emptied(v reflect.Value) reflect.Value {
	switch v.Kind() {
	case reflect.Slice:
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(emptied(v.Index(i)))
		}
		return out
	case reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		for i := range v.NumField() {
			out.Field(i).Set(emptied(v.Field(i)))
		}
		return out
	}
	return v
}

// ReadFinding reads a halfsplit-finding/1 file. Fields that this version does
// not know are noted; a Finding has no place to keep them.
func ReadFinding(name string, data []byte) (fault.Finding, []Note, error) {
	var f fault.Finding
	r, o, err := newReader(name, data, FindingFormat, newIDs())
	if err != nil {
		return f, nil, err
	}
	r.conform(o.n, reflect.TypeOf(f), "")
	if r.err != nil {
		return f, r.notes, r.result()
	}
	if err := json.Unmarshal(r.data, &f); err != nil {
		r.fail(o.n, "top level", "%v", err)
	}
	return f, r.notes, r.result()
}

// conform checks that a value has the shape of a Go type by its json tags:
// every field there, of its kind, spelt exactly.
func (r *reader) conform(n *node, t reflect.Type, path string) {
	if t == reflect.TypeFor[fault.Number]() {
		if n.kind != nullKind {
			r.float(n, path, within(math.MaxFloat64))
		}
		return
	}
	if t.Kind() == reflect.Pointer {
		if n.kind != nullKind {
			r.conform(n, t.Elem(), path)
		}
		return
	}
	if want := kindOf(t); n.kind != want {
		r.fail(n, path, "must be %s, not %s", want, n.shown())
		return
	}
	switch t.Kind() {
	case reflect.Slice:
		for i, e := range n.list {
			r.conform(e, t.Elem(), path+"["+strconv.Itoa(i)+"]")
		}
	case reflect.Struct:
		o := r.object(n, path)
		for _, f := range reflect.VisibleFields(t) {
			name, optional := strings.CutSuffix(f.Tag.Get("json"), ",omitempty")
			if words := wordsOf(t, name); words != nil {
				o.word(name, true, words...)
				continue
			}
			v := o.either(name, !optional)
			if v == nil {
				continue
			}
			if (name == "share" || name == "several") && v.kind == numberKind {
				r.float(v, o.at(name), limits{min: 0, max: 1})
				continue
			}
			r.conform(v, f.Type, o.at(name))
		}
		o.rest()
	}
}

func kindOf(t reflect.Type) kind {
	switch t.Kind() {
	case reflect.Struct:
		return objectKind
	case reflect.Slice:
		return listKind
	case reflect.Bool:
		return boolKind
	case reflect.Int, reflect.Float64:
		return numberKind
	}
	return textKind
}

// wordsOf lists what a field may say, where the words are fixed.
func wordsOf(t reflect.Type, field string) []string {
	switch {
	case t == reflect.TypeFor[fault.Finding]() && field == "verdict":
		return fault.Verdicts
	case t == reflect.TypeFor[fault.Bounded]() && field == "relation":
		return []string{fault.Equal, fault.Less, fault.Greater}
	case t == reflect.TypeFor[fault.Share]() && field == "kind":
		return []string{fault.PlaceModule, fault.PlaceLink, fault.PlaceBoard, fault.PlaceRail, fault.PlaceLoad, fault.PlaceString}
	case t == reflect.TypeFor[fault.HypothesisShare]() && field == "kind":
		return []string{fault.None, fault.One, fault.Two, fault.Spread, fault.BoardLeak, fault.LinkLeak,
			fault.RailLeak, fault.LoadSide, fault.BadReference, fault.MonitorLeak}
	}
	return nil
}
