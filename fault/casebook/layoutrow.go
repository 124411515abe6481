package casebook

import (
	"errors"
	"fmt"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

// storeLayout checks a layout and keeps it as a layout file.
func (c *command) storeLayout(l topology.Layout) (body string, err error) {
	body, _, err = c.keepLayout(l)
	return body, err
}

// keepLayout is storeLayout with the layout as it will be read.
func (c *command) keepLayout(l topology.Layout) (body string, as topology.Layout, err error) {
	raw, as, err := format.KeepLayout(l)
	var of *format.Error
	switch {
	case errors.As(err, &of):
		return "", l, &Error{Refused, "", "this layout cannot be saved: " + reason(err), err}
	case err != nil:
		return "", l, &Error{Refused, "", "this layout cannot be saved: a number is missing or without bound", err}
	}
	body, err = c.store(raw, smaller)
	return body, as, err
}

// versionFor finds the layout version that a case can share, or adds a layout.
func (c *command) versionFor(l topology.Layout) (version string, err error) {
	body, err := c.storeLayout(l)
	if err != nil {
		return "", err
	}
	ok, err := one(c.tx, `SELECT t.id FROM layout_versions t WHERE t.body = ? AND `+live+`
		AND COALESCE((SELECT withdrawn FROM marks WHERE subject = t.layout_id ORDER BY seq DESC LIMIT 1), 0) = 0 LIMIT 1`, []any{body}, &version)
	if ok || err != nil {
		return version, err
	}
	_, version, err = c.insertLayout(l.Name, body, nil)
	return version, err
}

func (c *command) insertLayout(name, body string, source any) (id, version string, err error) {
	id, _ = c.add("layouts")
	if err := c.exec(`INSERT INTO layouts (id, seq, source) VALUES (?, ?, ?)`, id, c.seq, source); err != nil {
		return "", "", err
	}
	version, err = c.insertVersion(id, name, body)
	return id, version, err
}

// insertVersion adds a version under the next number; that of a withdrawn one is
// not given again.
func (c *command) insertVersion(layoutID, name, body string) (id string, err error) {
	id, _ = c.add("layout_versions")
	return id, c.exec(`INSERT INTO layout_versions (id, seq, layout_id, number, name, body)
		VALUES (?1, ?2, ?3, (SELECT COALESCE(max(number), 0) + 1 FROM layout_versions WHERE layout_id = ?3), ?4, ?5)`,
		id, c.seq, layoutID, text(name), body)
}

// needDraft refuses to change a version that readings rest on.
func (c *command) needDraft(version string) error {
	used, err := one(c.tx, `SELECT 1 FROM layout_versions v WHERE v.id = ? AND EXISTS (`+inUse+`)`, []any{version}, new(int))
	if err == nil && used {
		err = refuse("readings rest on this version of the layout, and it stays as it is; a change makes a new version")
	}
	return err
}

// needUnused refuses to withdraw a version that a case rests on, unless the case
// is withdrawn with it.
func (c *command) needUnused(version string, along map[string]string) error {
	users, err := casesOn(c.tx, version)
	if err != nil {
		return err
	}
	for _, u := range users {
		if _, too := along[u.id]; !too {
			return refuse(fmt.Sprintf("case %q rests on this version of the layout", u.title))
		}
	}
	return nil
}
