package casebook

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// A merge takes the rows of a case in one casebook into another. Rows are told
// apart by their keys; what is here already stays as it is.
type merge struct {
	c           *command
	here, there *dossier
	fresh       bool                         // the case was not here before
	versions    map[string]string            // of layouts: key there -> key here
	labels      map[string]map[string]string // by table: label there -> label here
	taken       map[string]bool              // labels that name something here
	nodes       map[string]*node
	counts      map[string]int
	took, kept  map[string]string
	present     string // label of the present state
	said        []string
}

// say notes a sentence for the person.
func (m *merge) say(format string, args ...any) {
	m.said = append(m.said, fmt.Sprintf(format, args...))
}

// bringCase takes in a case, in one command.
func (c *command) bringCase(there *dossier) (*merge, error) {
	here, err := gather(c.tx, there.id, slices.Sorted(maps.Keys(there.rows["layouts"]))...)
	if err != nil {
		return nil, err
	}
	m := &merge{c: c, here: here, there: there, fresh: !here.has("cases", there.id), versions: map[string]string{},
		labels: map[string]map[string]string{}, nodes: map[string]*node{}, counts: map[string]int{}, took: map[string]string{}, kept: map[string]string{}}
	for _, step := range []func() error{m.layouts, m.name, m.caseRow, m.rows, m.single, m.settle, m.restate, m.bothRead} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// insert adds a row as it is in another casebook, under its key. change has the
// columns that are otherwise here.
func (m *merge) insert(t table, row map[string]any, change map[string]any) error {
	key := word(row[t.key])
	ord := m.c.bring(t.name, key)
	out := map[string]any{}
	for column, v := range row {
		if column != t.list || t.list == "" {
			out[column] = v
		}
	}
	out["seq"] = m.c.seq
	if _, has := row["ord"]; has || t.name == "findings" || t.name == "photos" {
		out["ord"] = ord
	}
	maps.Copy(out, change)
	if err := m.c.insertMap(t.name, out); err != nil {
		return err
	}
	list, _ := row[t.list].([]any)
	for _, child := range list {
		part := maps.Clone(child.(map[string]any))
		part[t.childKey] = key
		if err := m.c.insertMap(t.child, part); err != nil {
			return err
		}
	}
	m.counts[t.name]++
	return nil
}

func (c *command) insertMap(table string, row map[string]any) error {
	columns := slices.Sorted(maps.Keys(row))
	values := make([]any, len(columns))
	for i, column := range columns {
		values[i] = row[column]
	}
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", ")
	return c.exec("INSERT INTO "+table+" ("+strings.Join(columns, ", ")+") VALUES ("+marks+")", values...)
}

// blob copies stored bytes, once.
func (m *merge) blob(hash string) error {
	if hash == "" {
		return nil
	}
	if has, err := one(m.c.tx, `SELECT 1 FROM blobs WHERE sha256 = ?`, []any{hash}, new(int)); has || err != nil {
		return err
	}
	data, err := load(m.there.q, hash)
	if err != nil {
		return err
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return &Error{Kind: Damaged, Text: "stored bytes there are not those that were stored"}
	}
	var packing string
	var packed []byte
	if _, err := one(m.there.q, `SELECT packing, bytes FROM blobs WHERE sha256 = ?`, []any{hash}, &packing, &packed); err != nil {
		return err
	}
	if packed == nil {
		packed = []byte{}
	}
	return m.c.exec(`INSERT INTO blobs (sha256, packing, bytes) VALUES (?, ?, ?)`, hash, packing, packed)
}

// layouts takes in the layout versions. One that is another here under the same key,
// a draft that was changed on either side, comes in as a version of its own.
func (m *merge) layouts() error {
	layouts, _ := tableOf("layouts")
	for _, id := range m.there.sorted("layouts") {
		if m.here.has("layouts", id) {
			continue
		}
		row := m.there.rows["layouts"][id]
		if err := m.blob(word(row["source"])); err != nil {
			return err
		}
		if err := m.insert(layouts, row, nil); err != nil {
			return err
		}
	}
	for _, id := range m.there.sorted("layout_versions") {
		if err := m.layoutVersion(id, m.there.rows["layout_versions"][id]); err != nil {
			return err
		}
	}
	return m.layoutPhotos()
}

// layoutPhotos takes in photos under drawings. Their key is the layout and the photo:
// the same one that both sides added is one row.
func (m *merge) layoutPhotos() error {
	t, _ := tableOf("layout_photos")
	for _, id := range m.there.sorted(t.name) {
		if m.here.has(t.name, id) {
			continue
		}
		row := m.there.rows[t.name][id]
		if err := m.blob(word(row["body"])); err != nil {
			return err
		}
		if err := m.insert(t, row, nil); err != nil {
			return err
		}
	}
	return nil
}

func (m *merge) layoutVersion(id string, row map[string]any) error {
	here := m.here.rows["layout_versions"]
	mine, has := here[id]
	if has && mine["body"] == row["body"] {
		m.versions[id] = id
		return nil
	}
	change := map[string]any{}
	for key, other := range here {
		switch {
		case other["layout_id"] != row["layout_id"]:
		case has && other["body"] == row["body"] && m.here.live(key):
			m.versions[id] = key // it came in as a version of its own before
			return nil
		case other["number"] == row["number"]:
			change["number"] = nil
		}
	}
	if _, clash := change["number"]; clash {
		next := int64(1)
		for _, other := range here {
			if other["layout_id"] == row["layout_id"] {
				next = max(next, whole(other["number"])+1)
			}
		}
		change["number"] = next
		m.say("Version %d of the layout %s there is version %d here, where version %d is another; both are kept.", whole(row["number"]), word(row["name"]), next, whole(row["number"]))
	}
	if err := m.blob(word(row["body"])); err != nil {
		return err
	}
	t, _ := tableOf("layout_versions")
	if has {
		row = maps.Clone(row)
		row["id"] = m.c.newID()
	}
	m.versions[id] = word(row["id"])
	row = maps.Clone(row)
	if n, changed := change["number"]; changed {
		row["number"] = n
	}
	if m.here.rows["layout_versions"] == nil {
		m.here.rows["layout_versions"] = map[string]map[string]any{}
	}
	m.here.rows["layout_versions"][word(row["id"])] = row // its number is taken from now on
	return m.insert(t, row, nil)
}

// caseRow adds the case itself where it is not here yet.
func (m *merge) caseRow() error {
	if !m.fresh {
		return nil
	}
	row := m.there.rows["cases"][m.there.id]
	if row == nil {
		return missing("there is no such case in this file")
	}
	if err := m.blob(word(row["source"])); err != nil {
		return err
	}
	for field := range m.there.values() {
		if by := m.there.last[field]; by != "" {
			m.took[field] = by
		}
	}
	t, _ := tableOf("cases")
	return m.insert(t, row, map[string]any{"layout_version": m.versions[word(row["layout_version"])]})
}

// named are the tables whose rows have a label within the case, and what columns of
// other rows name them by it.
var named = []struct{ table, column string }{
	{"states", ""}, {"instruments", "instrument"}, {"resistors", "resistor"}, {"readings", ""}, {"noted", ""}, {"make_safe", ""},
}

// described says that a table may have several rows of one label, the later one
// being the description put right.
func described(table string) bool { return table == "instruments" || table == "resistors" }

// name finds out what everything there is called here. A label that names another
// thing here is not given again.
func (m *merge) name() error {
	m.taken = map[string]bool{}
	for _, n := range named {
		for _, row := range m.here.rows[n.table] {
			m.taken[word(row["label"])] = true
		}
	}
	if v := word(m.there.rows["cases"][m.there.id]["layout_version"]); v != "" {
		for _, id := range []string{m.versions[v], word(m.here.rows["cases"][m.here.id]["layout_version"])} {
			if id == "" {
				continue
			}
			l, err := layoutOf(m.c.tx, id)
			if err != nil {
				return err
			}
			maps.Copy(m.taken, idsOf(fault.Case{Layout: l}))
		}
	}
	for _, n := range named {
		m.labels[n.table] = map[string]string{}
		for _, key := range m.there.sorted(n.table) { // those that both have tell the name
			if mine := m.here.rows[n.table][key]; mine != nil {
				m.labels[n.table][word(m.there.rows[n.table][key]["label"])] = word(mine["label"])
			}
		}
		for _, key := range m.there.sorted(n.table) {
			row := m.there.rows[n.table][key]
			label := word(row["label"])
			if _, known := m.labels[n.table][label]; known {
				continue
			}
			is := label
			if m.taken[label] && !m.sameThing(n.table, label, row) {
				is = m.free(label)
				m.say("%s there is called %s here, where %s names another thing.", m.titled(n.table, row), is, label)
			}
			m.labels[n.table][label] = is
			m.taken[is] = true
		}
	}
	return nil
}

// free is the next label of a kind that names nothing.
func (m *merge) free(label string) string {
	for n := 2; ; n++ {
		if try := label + "_" + strconv.Itoa(n); !m.taken[try] {
			return try
		}
	}
}

// sameThing says that an instrument or resistor is described here under this label
// as it is there.
func (m *merge) sameThing(table, label string, row map[string]any) bool {
	if !described(table) {
		return false
	}
	for _, mine := range m.here.rows[table] {
		if word(mine["label"]) == label && content(mine) == content(row) {
			return true
		}
	}
	return false
}

// content is a row without what differs between casebooks.
func content(row map[string]any) string {
	out := maps.Clone(row)
	for _, column := range []string{"id", "seq", "ord", "label"} {
		delete(out, column)
	}
	raw, err := encode(out)
	if err != nil {
		return fmt.Sprint(out)
	}
	return string(raw)
}

// rows adds the rows that are not here yet.
func (m *merge) rows() error {
	for _, t := range logged {
		if !t.inCase {
			continue
		}
		for _, key := range m.there.sorted(t.name) {
			row := m.there.rows[t.name][key]
			if m.here.has(t.name, key) {
				continue
			}
			change, err := m.translated(t, row)
			if err != nil {
				return err
			}
			if err := m.insert(t, row, change); err != nil {
				return err
			}
		}
	}
	return nil
}

// translated are the columns of a row that are written otherwise here.
func (m *merge) translated(t table, row map[string]any) (map[string]any, error) {
	change := map[string]any{}
	if label := word(row["label"]); label != "" {
		change["label"] = m.labels[t.name][label]
	}
	for _, n := range named {
		if label := word(row[n.column]); n.column != "" && label != "" {
			if is, known := m.labels[n.table][label]; known {
				change[n.column] = is
			}
		}
	}
	if v := word(row["layout_version"]); v != "" {
		change["layout_version"] = m.versions[v]
	}
	switch t.name {
	case "photos":
		change["kind"] = m.place(word(row["kind"]))
	case "signoffs":
		change["subject"] = m.place(word(row["subject"]))
	case "findings":
		change["revision"] = int64(0) // what it took in is counted there otherwise
		if newest := m.newest("findings"); m.fresh && newest == word(row["id"]) && m.current(row) {
			change["revision"] = m.c.seq
		}
	}
	return change, m.blob(word(row["body"]))
}

// place is what a photo or a signature is of: "reading:r12" by the label here.
func (m *merge) place(of string) string {
	kind, label, ok := strings.Cut(of, ":")
	for table, word := range map[string]string{"readings": "reading", "states": "state", "instruments": "instrument", "resistors": "resistor"} {
		if is, known := m.labels[table][label]; ok && kind == word && known {
			return kind + ":" + is
		}
	}
	return of
}

// newest is the row of a table there that was recorded last and stands.
func (m *merge) newest(table string) string {
	for _, key := range slices.Backward(m.there.sorted(table)) {
		if m.there.live(key) {
			return key
		}
	}
	return ""
}

// current says that the case there has not changed since a finding.
func (m *merge) current(row map[string]any) bool {
	var revision int64
	_, err := one(m.there.q, `SELECT max(seq) FROM events WHERE case_id = ? AND `+changes, []any{m.there.id}, &revision)
	return err == nil && whole(row["revision"]) >= revision
}

// titled names a row in a sentence: "Reading r12 (M03+ to chassis 5.25 V)".
func (m *merge) titled(table string, row map[string]any) string {
	t, _ := tableOf(table)
	name := t.word
	if label := word(row["label"]); label != "" {
		name += " " + label
	} else if n := word(row["name"]); n != "" {
		name += " " + n
	}
	switch table {
	case "readings":
		value, _ := row["value"].(float64)
		name += " (" + nameOf(fault.Reading{Quantity: word(row["quantity"]), Red: word(row["red"]), Black: word(row["black"]), Relation: word(row["relation"]), Value: value}) + ")"
	case "group_volts":
		name = "list of group volts of " + word(row["module"])
	case "noted":
		name += " (" + word(row["place"]) + ", " + word(row["what"]) + ")"
	}
	return strings.ToUpper(name[:1]) + name[1:]
}
