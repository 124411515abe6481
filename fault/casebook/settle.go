package casebook

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// A node is a row of the case whose standing the merge decides: whether it counts.
type node struct {
	table  string
	row    map[string]any
	was    bool // the row was here before
	stood  bool // it counted before; for a new one, that it counts without a mark
	stands bool // it counts from now on
	here   mark
	theirs mark
}

// changed says that the merge changes what a row counts for.
func (n *node) changed() bool { return !n.was && n.stands || n.was && n.stands != n.stood }

// settle decides of every row whether it counts, and marks those that change.
// Where both sides withdrew or restored a row without knowing of each other, what is
// here stays. What is left must make sense in itself: of two corrections of one
// reading the one that was here counts, and nothing that counts rests on something
// withdrawn.
func (m *merge) settle() error {
	m.gatherNodes()
	if _, err := one(m.c.tx, `SELECT present FROM cases WHERE id = ?`, []any{m.there.id}, &m.present); err != nil {
		return err
	}
	for _, key := range m.keys() {
		m.standing(key, m.nodes[key])
	}
	for range 2*len(m.nodes) + 1 { // every round puts one row back at least
		if !m.putRight() {
			break
		}
	}
	return m.markNodes()
}

func (m *merge) gatherNodes() {
	for _, t := range logged {
		if !t.inCase && t.name != "cases" && !slices.Contains(ofLayouts, t.name) || t.name == "imports" {
			continue
		}
		for _, d := range []*dossier{m.here, m.there} {
			for key, row := range d.rows[t.name] {
				if t.name == "layout_versions" && m.versions[key] != "" && m.versions[key] != key {
					continue // it is another here
				}
				if m.nodes[key] == nil {
					m.nodes[key] = &node{table: t.name, row: row, was: m.here.has(t.name, key)}
				}
			}
		}
	}
}

// keys are those of the nodes in one order.
func (m *merge) keys() []string { return slices.Sorted(maps.Keys(m.nodes)) }

// standing decides of one row by itself.
func (m *merge) standing(key string, n *node) {
	n.here, n.theirs = m.here.marks[key], m.there.marks[key]
	n.stood = !n.here.withdrawn
	switch both := n.was && m.there.has(n.table, key); {
	case !n.was:
		n.stood = true // there is no mark here yet
		n.stands = !n.theirs.withdrawn
	case !both, n.here.withdrawn == n.theirs.withdrawn:
		n.stands = n.stood
	case n.here.undoes: // the taking in was undone, not the row
		n.stands = !n.theirs.withdrawn
	case n.here.id == "" || m.there.marked[n.here.id]:
		n.stands = !n.theirs.withdrawn
	default:
		n.stands = n.stood
		if n.theirs.id != "" && !m.here.marked[n.theirs.id] {
			m.say("%s was withdrawn or restored on both sides; it stays %s, as it was here.", m.titledHere(n), countsWord(n.stood))
		}
	}
}

func countsWord(stands bool) string {
	if stands {
		return "in the record"
	}
	return "withdrawn"
}

// titledHere names a row by the label that it has here.
func (m *merge) titledHere(n *node) string {
	row := n.row
	if is, known := m.labels[n.table][word(row["label"])]; known && !n.was {
		row = maps.Clone(row)
		row["label"] = is
	}
	return m.titled(n.table, row)
}

// within names a row within a sentence.
func (m *merge) within(n *node) string {
	name := m.titledHere(n)
	return strings.ToLower(name[:1]) + name[1:]
}

// putRight finds rows that count and cannot, with what else counts, and puts one
// back to what it was. It says whether it found any.
func (m *merge) putRight() bool {
	corrected, partner := map[string]string{}, map[string]string{}
	for _, key := range m.keys() {
		n := m.nodes[key]
		if !n.stands || n.table == "layout_photos" { // a photo keeps no layout
			continue
		}
		if n.table == "cases" && m.presentPutRight() {
			return true
		}
		for _, column := range []string{"state_id", "layout_version", "layout_id"} {
			if s := m.nodes[m.refOf(n, column)]; s != nil && !s.stands {
				s.stands = true
				m.say("%s, which was taken back, is in the record again: %s rests on it.", m.titledHere(s), m.within(n))
				return true
			}
		}
		if m.kitPutRight(n) {
			return true
		}
		if n.table != "readings" {
			continue
		}
		for _, column := range []string{"supersedes", "together_with"} {
			if p := m.nodes[word(n.row[column])]; p != nil && !p.stands {
				return m.giveUp(n, p, "%s is kept and withdrawn: it refers to %s, which is withdrawn.")
			}
		}
		if old := word(n.row["supersedes"]); old != "" {
			if other := corrected[old]; other != "" {
				return m.giveUp(n, m.nodes[other], "%s is kept and withdrawn: %s corrects the same reading.")
			}
			corrected[old] = key
		}
	}
	for _, key := range m.keys() { // pairs, when it is known what is corrected
		n := m.nodes[key]
		p := word(n.row["together_with"])
		if n.table != "readings" || !n.stands || p == "" || corrected[key] != "" {
			continue
		}
		for _, end := range [2][2]string{{key, p}, {p, key}} {
			if other := partner[end[0]]; other != "" && other != end[1] {
				return m.giveUp(n, m.nodes[other], "%s is kept and withdrawn: it was taken together with a reading that is together with %s already.")
			}
			partner[end[0]] = end[1]
		}
	}
	return false
}

// refOf is the key of what a row rests on here.
func (m *merge) refOf(n *node, column string) string {
	key := word(n.row[column])
	if column == "layout_version" && !n.was {
		return m.versions[key]
	}
	return key
}

// giveUp puts back the one of two rows that the merge changed, and says why.
func (m *merge) giveUp(n, other *node, why string) bool {
	loser := n
	if !n.changed() && other.changed() {
		loser, other = other, n
	}
	if loser.was && !loser.changed() { // both were so here already: nothing of this is new
		return false
	}
	if loser.was {
		loser.stands = loser.stood
	} else {
		loser.stands = false
	}
	if loser.stands { // it was to be withdrawn, and something here refers to it
		m.say("%s stays in the record, as it was here, though it is withdrawn there: %s refers to it.", m.titledHere(loser), m.within(other))
		return true
	}
	m.say(why, m.titledHere(loser), m.within(other))
	return true
}

// presentPutRight keeps the state that is the present one.
func (m *merge) presentPutRight() bool {
	var withdrawn *node
	for _, key := range m.keys() {
		if n := m.nodes[key]; n.table == "states" && m.labelHere(n) == m.present {
			if n.stands {
				return false
			}
			withdrawn = n
		}
	}
	if withdrawn == nil {
		return false
	}
	withdrawn.stands = true
	m.say("%s, which was taken back, is in the record again: it is the present state.", m.titledHere(withdrawn))
	return true
}

// kitPutRight keeps the instruments and resistors that a row names.
func (m *merge) kitPutRight(n *node) bool {
	for _, kit := range named {
		label := word(n.row[kit.column])
		if kit.column == "" || label == "" {
			continue
		}
		if !n.was && m.labels[kit.table][label] != "" {
			label = m.labels[kit.table][label]
		}
		newest := ""
		stands := false
		for _, key := range m.keys() {
			k := m.nodes[key]
			if k.table != kit.table || m.labelHere(k) != label {
				continue
			}
			newest, stands = key, stands || k.stands
		}
		if newest != "" && !stands {
			m.nodes[newest].stands = true
			m.say("%s, which was taken back, is in the record again: %s names it.", m.titledHere(m.nodes[newest]), m.within(n))
			return true
		}
	}
	return false
}

func (m *merge) labelHere(n *node) string {
	label := word(n.row["label"])
	if is, known := m.labels[n.table][label]; known && !n.was {
		return is
	}
	return label
}

// markNodes writes the marks, those from there under their own keys.
func (m *merge) markNodes() error {
	var withdrawn, restored []string
	for _, key := range m.keys() {
		n := m.nodes[key]
		if n.stands == n.stood {
			continue
		}
		if n.was {
			list := &withdrawn
			if n.stands {
				list = &restored
			}
			*list = append(*list, m.within(n))
		}
		if n.theirs.id != "" && n.theirs.withdrawn == !n.stands && !m.here.marked[n.theirs.id] {
			m.c.bring("marks", n.theirs.id)
			if err := m.c.exec(`INSERT INTO marks (id, seq, subject, withdrawn) VALUES (?, ?, ?, ?)`, n.theirs.id, m.c.seq, key, !n.stands); err != nil {
				return err
			}
			continue
		}
		if err := m.c.mark(key, !n.stands); err != nil {
			return err
		}
	}
	if len(withdrawn) > 0 {
		m.say("Withdrawn there, and here now: %s.", listed(withdrawn))
	}
	if len(restored) > 0 && !m.fresh {
		m.say("In the record again, as there: %s.", listed(restored))
	}
	return nil
}

// listed writes a list, a long one by its beginning.
func listed(all []string) string {
	const most = 6
	if len(all) > most {
		return strings.Join(all[:most], ", ") + fmt.Sprintf(" and %d more", len(all)-most)
	}
	return strings.Join(all, ", ")
}

// single takes over the single values that were set there with knowledge of what is
// here, and tells of those that differ.
func (m *merge) single() error {
	if m.fresh {
		return nil
	}
	mine, theirs := m.here.values(), m.there.values()
	fields := maps.Clone(mine)
	maps.Copy(fields, theirs)
	row := maps.Clone(m.there.rows["cases"][m.there.id])
	for _, field := range slices.Sorted(maps.Keys(fields)) {
		is, has := mine[field]
		other, had := theirs[field]
		if has == had && is == other {
			continue
		}
		said, saidThere := m.spokenValue(m.here, field, is, has, nil), m.spokenValue(m.there, field, other, had, m.labels["states"])
		switch m.here.decide(m.there, field) {
		case taken:
			if by := m.there.last[field]; by != "" {
				m.took[field] = by
			}
			if err := m.take(field, row); err != nil {
				return err
			}
			m.say("The %s is %s now, as set there; it was %s here.", spokenField(field), saidThere, said)
		case differs:
			m.kept[field] = m.here.last[field]
			m.say("The %s differs: %s here, %s there. It stays %s here.", spokenField(field), said, saidThere, said)
		}
	}
	return nil
}

// take writes one single value from there.
func (m *merge) take(field string, row map[string]any) error {
	id := m.here.id
	if err := m.c.touch("cases", id); err != nil {
		return err
	}
	switch column := field; {
	case field == "present":
		label := word(row["present"])
		if is, known := m.labels["states"][label]; known {
			label = is
		}
		return m.c.exec(`UPDATE cases SET present = ? WHERE id = ?`, label, id)
	case field == "layout_version":
		return m.c.exec(`UPDATE cases SET layout_version = ? WHERE id = ?`, m.versions[word(row["layout_version"])], id)
	case strings.HasPrefix(field, minutesPrefix):
		name := strings.TrimPrefix(field, minutesPrefix)
		value, has := m.there.values()[field]
		if !has {
			return m.c.exec(`UPDATE cases SET minutes = json_remove(COALESCE(minutes, '{}'), ?) WHERE id = ?`, `$."`+name+`"`, id)
		}
		return m.c.exec(`UPDATE cases SET minutes = json_set(COALESCE(minutes, '{}'), ?, json(?)) WHERE id = ?`, `$."`+name+`"`, value, id)
	default:
		return m.c.exec(`UPDATE cases SET `+column+` = ? WHERE id = ?`, row[column], id)
	}
}

// spokenValue is a single value in a sentence.
func (m *merge) spokenValue(d *dossier, field, value string, has bool, states map[string]string) string {
	switch {
	case !has || value == "":
		return "not recorded"
	case field == "present":
		label := word(d.rows["states"][value]["label"])
		if is, known := states[label]; known {
			label = is
		}
		return label
	case field == "layout_version":
		for _, v := range d.rows["layout_versions"] {
			if word(v["body"]) == value {
				return fmt.Sprintf("version %d", whole(v["number"]))
			}
		}
	case strings.HasPrefix(field, minutesPrefix):
		return value + " min"
	case field == "extra":
		return "kept as it is"
	}
	return "“" + value + "”"
}

// restate gives an instrument or resistor that was put right on both sides the
// description that it had here: the later row counts, and that would be the one
// from there.
func (m *merge) restate() error {
	for _, n := range named {
		if !described(n.table) {
			continue
		}
		for _, there := range slices.Sorted(maps.Keys(m.labels[n.table])) {
			here := m.labels[n.table][there]
			mine, theirs := m.lastOf(m.here, n.table, here), m.lastOf(m.there, n.table, there)
			if mine == "" || theirs == "" || m.here.has(n.table, theirs) || m.there.has(n.table, mine) {
				continue // one side knew of the other's
			}
			row := maps.Clone(m.here.rows[n.table][mine])
			if content(row) == content(m.there.rows[n.table][theirs]) {
				continue
			}
			row["id"] = m.c.newID()
			t, _ := tableOf(n.table)
			if err := m.insert(t, row, nil); err != nil {
				return err
			}
			m.counts[n.table]--
			m.say("The description of %s %s was put right on both sides; the one from here counts, the other is kept.", t.word, here)
		}
	}
	return nil
}

// bothRead tells of group volts that both sides read of one module in one state
// without knowing of each other's: the later row counts, and that is the one from
// there, which came in last.
func (m *merge) bothRead() error {
	type place struct{ module, state string }
	mine, theirs := map[place]bool{}, map[place]bool{}
	for key, n := range m.nodes {
		if n.table != "group_volts" || !n.stands {
			continue
		}
		at := place{word(n.row["module"]), word(n.row["state_id"])}
		switch {
		case !n.was:
			theirs[at] = true
		case !m.there.has("group_volts", key):
			mine[at] = true
		}
	}
	var out []string
	for at := range theirs {
		if state := m.nodes[at.state]; mine[at] && state != nil {
			out = append(out, fmt.Sprintf("Both sides read group volts of %s in %s; all are kept, and where both gave a group, the value from there counts now.", at.module, m.within(state)))
		}
	}
	slices.Sort(out)
	m.said = append(m.said, out...)
	return nil
}

// lastOf is the row of a label that counts on one side.
func (m *merge) lastOf(d *dossier, table, label string) string {
	for _, key := range slices.Backward(d.sorted(table)) {
		if word(d.rows[table][key]["label"]) == label && d.live(key) {
			return key
		}
	}
	return ""
}
