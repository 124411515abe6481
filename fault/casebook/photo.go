package casebook

import (
	"database/sql"
	"fmt"
)

// A Photo is a picture that belongs to a case, without its bytes.
type Photo struct {
	ID, Kind, Name string
	Size           int64 // bytes
	SHA256         string
	At, Who        string
}

// AddPhoto keeps a picture, or any other file, in a case and returns its id. kind
// says what it is for, such as "plan" or "evidence".
func (b *Book) AddPhoto(caseID, kind, name string, data []byte, by By) (id string, err error) {
	if len(data) == 0 {
		return "", refuse("this photo is empty")
	}
	err = b.do("photo", caseID, caseID, by, func(c *command) error {
		if _, err := c.caseRow(caseID); err != nil {
			return err
		}
		body, err := c.store(data, asIs)
		if err != nil {
			return err
		}
		id, _ = c.add("photos") // one to an event: it needs no place
		c.name = fmt.Sprintf("photo %s", text(name))
		return c.exec(`INSERT INTO photos (id, seq, case_id, kind, name, size, body) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			id, c.seq, caseID, text(kind), text(name), len(data), body)
	})
	return id, err
}

// Photos are the photos of a case, in the order in which they were added.
func (b *Book) Photos(caseID string) (out []Photo, err error) {
	err = b.view(func(q queryer) error {
		return each(q, `SELECT t.id, t.kind, t.name, t.size, t.body, e.at, e.who FROM photos t JOIN events e ON e.seq = t.seq
			WHERE t.case_id = ? AND `+live+` ORDER BY t.seq, t.ord`, []any{caseID}, func(rows *sql.Rows) error {
			var p Photo
			err := rows.Scan(&p.ID, &p.Kind, &p.Name, &p.Size, &p.SHA256, &p.At, &p.Who)
			out = append(out, p)
			return err
		})
	})
	return out, err
}

// PhotoData is a photo's bytes.
func (b *Book) PhotoData(id string) (data []byte, err error) {
	err = b.view(func(q queryer) error {
		var body string
		ok, err := one(q, `SELECT body FROM photos WHERE id = ?`, []any{id}, &body)
		switch {
		case err != nil:
			return err
		case !ok:
			return missing("there is no such photo")
		}
		data, err = load(q, body)
		return err
	})
	return data, err
}
