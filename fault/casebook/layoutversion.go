package casebook

import (
	"database/sql"
	"fmt"

	"halfsplit/topology"
)

// A VersionInfo is one version of a layout.
type VersionInfo struct {
	Number   int
	Name     string // of the layout in this version
	Draft    bool   // nothing rests on it yet, and a change goes into it
	At, Who  string // of its last change
	Cases    int    // that rest on it now
	Readings int    // that were read on it, those superseded or withdrawn since among them
	Lists    int    // of group volts, likewise
}

// LayoutVersions are the versions of a layout that stand, the newest first.
func (b *Book) LayoutVersions(id string) (out []VersionInfo, err error) {
	err = b.view(func(q queryer) error {
		if _, err := newestVersion(q, id); err != nil {
			return err
		}
		return each(q, `SELECT t.number, t.name, e.at, e.who,
				(SELECT count(*) FROM cases t WHERE layout_version = v.id AND `+live+`),
				(SELECT count(*) FROM readings WHERE layout_version = v.id),
				(SELECT count(*) FROM group_volts WHERE layout_version = v.id)
			FROM layout_versions t JOIN layout_versions v ON v.id = t.id
			JOIN events e ON e.seq = max(t.seq, COALESCE((SELECT max(c.seq) FROM events c, json_each(c.after, '$.layout_versions') j
				WHERE c.scope = t.layout_id AND c.after <> '' AND j.value ->> 'id' = t.id), 0))
			WHERE t.layout_id = ? AND `+live+` ORDER BY t.number DESC`, []any{id}, func(rows *sql.Rows) error {
			var v VersionInfo
			err := rows.Scan(&v.Number, &v.Name, &v.At, &v.Who, &v.Cases, &v.Readings, &v.Lists)
			v.Draft = v.Readings == 0 && v.Lists == 0
			out = append(out, v)
			return err
		})
	})
	return out, err
}

// Layout is a layout in its newest version, with what the list says of it.
func (b *Book) Layout(id string) (l topology.Layout, info LayoutInfo, err error) {
	err = b.view(func(q queryer) error {
		v, err := newestVersion(q, id)
		if err != nil {
			return err
		}
		if l, err = layoutOf(q, v.id); err != nil {
			return err
		}
		all, err := layoutInfos(q, `l.id = ?`, id)
		if err == nil && len(all) > 0 {
			info = all[0]
		}
		return err
	})
	return l, info, err
}

// LayoutInfo is what the list says of a layout.
func (b *Book) LayoutInfo(id string) (info LayoutInfo, err error) {
	err = b.view(func(q queryer) error {
		if _, err := newestVersion(q, id); err != nil {
			return err
		}
		all, err := layoutInfos(q, `l.id = ?`, id)
		if err == nil && len(all) > 0 {
			info = all[0]
		}
		return err
	})
	return info, err
}

// LayoutVersion is a layout in one of its versions, one that was taken back included.
func (b *Book) LayoutVersion(id string, number int) (l topology.Layout, err error) {
	err = b.view(func(q queryer) error {
		var version string
		ok, err := one(q, `SELECT id FROM layout_versions WHERE layout_id = ? AND number = ?`, []any{id, number}, &version)
		switch {
		case err != nil:
			return err
		case !ok:
			return missing(fmt.Sprintf("this layout has no version %d", number))
		}
		l, err = layoutOf(q, version)
		return err
	})
	return l, err
}

// A CaseLayout is what a case rests on.
type CaseLayout struct {
	LayoutID string
	Version  int  // that the case rests on
	Newest   int  // of that layout; above Version, the case may take it by UseNewestLayout
	Frozen   bool // readings, of this case or another, rest on Version
}

// LayoutOfCase is the layout that a case rests on.
func (b *Book) LayoutOfCase(caseID string) (out CaseLayout, err error) {
	err = b.view(func(q queryer) error {
		row, err := readCaseRow(q, caseID)
		if err != nil {
			return err
		}
		_, err = one(q, `SELECT v.layout_id, v.number, EXISTS (`+inUse+`),
				(SELECT max(number) FROM layout_versions t WHERE layout_id = v.layout_id AND `+live+`)
			FROM layout_versions v WHERE v.id = ?`, []any{row.version}, &out.LayoutID, &out.Version, &out.Frozen, &out.Newest)
		return err
	})
	return out, err
}
