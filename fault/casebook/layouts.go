package casebook

import (
	"database/sql"
	"fmt"
	"strings"
)

// DuplicateLayout makes a layout of its own, under another name, of the newest
// version of a layout and its photos, and returns its id. It is a draft. What its
// numbers were proved by comes along, since the drawing rests on it; the volts that an
// order was read off do not: they were measured on one pack, and the copy is a
// description of others.
func (b *Book) DuplicateLayout(id, name string, by By) (copied string, err error) {
	if err := needName(name); err != nil {
		return "", err
	}
	err = b.do("layout", "", ScopeBook, by, func(c *command) error {
		v, err := newestVersion(c.tx, id)
		if err != nil {
			return err
		}
		l, err := layoutOf(c.tx, v.id)
		if err != nil {
			return err
		}
		was := l.Name
		l.Name, l.OrderVolts = name, nil
		body, err := c.storeLayout(l)
		if err != nil {
			return err
		}
		c.name = fmt.Sprintf("layout %s, a copy of %s", text(name), text(was))
		if copied, _, err = c.insertLayout(name, body, nil); err != nil {
			return err
		}
		photos, err := layoutPhotos(c.tx, id)
		for i := 0; i < len(photos) && err == nil; i++ {
			err = c.addLayoutPhoto(copied, photos[i].SHA256, photos[i].Name, photos[i].Size)
		}
		return err
	})
	return copied, err
}

// RenameLayout gives a layout another name. That is a change like every other: where
// readings rest on the newest version it makes a new one.
func (b *Book) RenameLayout(id, name string, by By) error {
	if err := needName(name); err != nil {
		return err
	}
	l, err := b.ExportLayout(id)
	if err != nil {
		return err
	}
	l.Name = name
	return b.SaveLayout(id, l, "layout called "+text(name), by)
}

func needName(name string) error {
	if strings.TrimSpace(text(name)) == "" {
		return refuse("a layout needs a name")
	}
	return nil
}

// WithdrawLayout takes a layout out of the list. It stays in the file, and its undo
// is one of the casebook as a whole. It is refused while a case rests on any version.
func (b *Book) WithdrawLayout(id string, by By) error {
	return b.do("layout", "", ScopeBook, by, func(c *command) error {
		v, err := newestVersion(c.tx, id)
		if err != nil {
			return err
		}
		var title string
		var n int
		if _, err := one(c.tx, `SELECT count(*), COALESCE(min(t.title), '') FROM cases t JOIN layout_versions w ON w.id = t.layout_version
			WHERE w.layout_id = ? AND `+live, []any{id}, &n, &title); err != nil {
			return err
		}
		switch {
		case n == 1:
			return refuse(fmt.Sprintf("case %q rests on this layout, and it stays", title))
		case n > 1:
			return refuse(fmt.Sprintf("%d cases rest on this layout, %q among them, and it stays", n, title))
		}
		c.subject = id
		if _, err := one(c.tx, `SELECT 'withdraw layout ' || name FROM layout_versions WHERE id = ?`, []any{v.id}, &c.name); err != nil {
			return err
		}
		keys := []string{id}
		err = each(c.tx, `SELECT id FROM layout_versions t WHERE layout_id = ? AND `+live+` ORDER BY number`, []any{id}, func(rows *sql.Rows) error {
			var key string
			err := rows.Scan(&key)
			keys = append(keys, key)
			return err
		})
		for i := 0; i < len(keys) && err == nil; i++ {
			err = c.mark(keys[i], true)
		}
		return err
	})
}

// LayoutSteps are the names of what Undo and Redo of a layout would take back and do
// again; "" for nothing.
func (b *Book) LayoutSteps(id string) (undo, redo string, err error) {
	if undo, err = b.UndoName(id); err == nil {
		redo, err = b.RedoName(id)
	}
	return undo, redo, err
}
