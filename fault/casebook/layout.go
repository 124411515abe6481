package casebook

import (
	"database/sql"
	"fmt"

	"halfsplit/topology"
)

// A LayoutInfo is a layout of the casebook in its newest version.
type LayoutInfo struct {
	ID      string
	Name    string
	Version int    // from 1
	Draft   bool   // no reading rests on this version yet
	Changed string // when it was changed last
	Cases   int    // that rest on any of its versions
	Next    int    // version that a change begins once readings rest on this one
}

// A version is one row of layout_versions.
type version struct {
	id, body string
	number   int
	draft    bool
}

// newestVersion is the newest version of a layout, withdrawn ones left out.
func newestVersion(q queryer, layoutID string) (v version, err error) {
	ok, err := one(q, `SELECT t.id, t.body, t.number, NOT EXISTS (SELECT 1 FROM readings WHERE layout_version = t.id UNION ALL
			SELECT 1 FROM group_volts WHERE layout_version = t.id)
		FROM layout_versions t WHERE t.layout_id = ? AND `+live+` ORDER BY t.number DESC LIMIT 1`,
		[]any{layoutID}, &v.id, &v.body, &v.number, &v.draft)
	if err == nil && !ok {
		err = missing("there is no such layout, or it was taken back")
	}
	return v, err
}

// Layouts are the layouts of the casebook, by name.
func (b *Book) Layouts() (out []LayoutInfo, err error) {
	err = b.view(func(q queryer) error {
		out, err = layoutInfos(q, `COALESCE((SELECT withdrawn FROM marks WHERE subject = l.id ORDER BY seq DESC LIMIT 1), 0) = 0`)
		return err
	})
	return out, err
}

func layoutInfos(q queryer, where string, args ...any) (out []LayoutInfo, err error) {
	err = each(q, `SELECT l.id, v.name, v.number, NOT EXISTS (`+inUse+`),
			(SELECT at FROM events WHERE seq = max(v.seq, COALESCE((SELECT max(seq) FROM steps WHERE scope = l.id), 0))),
			(SELECT count(*) FROM cases t JOIN layout_versions w ON w.id = t.layout_version WHERE w.layout_id = l.id AND `+live+`),
			(SELECT max(number) + 1 FROM layout_versions WHERE layout_id = l.id)
		FROM layouts l JOIN layout_versions v ON v.id = (SELECT id FROM layout_versions t WHERE layout_id = l.id AND `+live+` ORDER BY number DESC LIMIT 1)
		WHERE `+where+` ORDER BY v.name COLLATE NOCASE, l.seq`, args, func(rows *sql.Rows) error {
		var l LayoutInfo
		err := rows.Scan(&l.ID, &l.Name, &l.Version, &l.Draft, &l.Changed, &l.Cases, &l.Next)
		out = append(out, l)
		return err
	})
	return out, err
}

// ImportLayout takes in a layout as a draft and returns its id. original is the
// file that it came from; nil = none.
func (b *Book) ImportLayout(l topology.Layout, original []byte, by By) (id string, err error) {
	err = b.do("layout", "", ScopeBook, by, func(c *command) error {
		var source any
		if original != nil {
			if source, err = c.store(original, deflated); err != nil {
				return err
			}
		}
		body, err := c.storeLayout(l)
		if err != nil {
			return err
		}
		c.name = "layout " + l.Name
		id, _, err = c.insertLayout(l.Name, body, source)
		return err
	})
	return id, err
}

// ExportLayout is a layout in its newest version.
func (b *Book) ExportLayout(id string) (l topology.Layout, err error) {
	err = b.view(func(q queryer) error {
		v, err := newestVersion(q, id)
		if err == nil {
			l, err = layoutOf(q, v.id)
		}
		return err
	})
	return l, err
}

// SaveLayout saves a changed layout: into its newest version while that is a
// draft, else as a new version, which the cases of the old one do not see until
// UseNewestLayout. name says what was changed, for undo.
func (b *Book) SaveLayout(id string, l topology.Layout, name string, by By) error {
	_, err := b.EditLayout(id, l, name, by)
	return err
}

// EditLayout is SaveLayout, and gives the layout back as it was kept.
func (b *Book) EditLayout(id string, l topology.Layout, name string, by By) (kept topology.Layout, err error) {
	err = b.do("layout", "", id, by, func(c *command) error {
		v, err := newestVersion(c.tx, id)
		if err != nil {
			return err
		}
		var body string
		if body, kept, err = c.keepLayout(l); err != nil || body == v.body {
			return err
		}
		c.name, c.subject = name, id
		if !v.draft {
			_, err := c.insertVersion(id, l.Name, body)
			return err
		}
		if err := c.touch("layout_versions", v.id); err != nil {
			return err
		}
		if err := c.exec(`UPDATE layout_versions SET name = ?, body = ? WHERE id = ?`, text(l.Name), body, v.id); err != nil {
			return err
		}
		return c.checkTouched()
	})
	return kept, err
}

// UseNewestLayout lets a case rest on the newest version of its layout. Readings
// keep the version that they were taken on in their row; that all of them make
// sense on the new one is checked.
func (b *Book) UseNewestLayout(caseID string, by By) error {
	return b.do("layout", caseID, caseID, by, func(c *command) error {
		row, err := c.caseRow(caseID)
		if err != nil {
			return err
		}
		var layoutID string
		if _, err := one(c.tx, `SELECT layout_id FROM layout_versions WHERE id = ?`, []any{row.version}, &layoutID); err != nil {
			return err
		}
		v, err := newestVersion(c.tx, layoutID)
		if err != nil || v.id == row.version {
			return err
		}
		if err := c.touch("cases", caseID); err != nil {
			return err
		}
		if err := c.exec(`UPDATE cases SET layout_version = ? WHERE id = ?`, v.id, caseID); err != nil {
			return err
		}
		c.name = fmt.Sprintf("layout version %d", v.number)
		return c.checkTouched()
	})
}
