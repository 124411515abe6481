package casebook

import (
	"bytes"
	"database/sql"
	"fmt"
	"image"
	_ "image/jpeg" // the kinds that are kept
	_ "image/png"
)

// What a photo under a drawing may be.
const (
	MaxLayoutPhoto  = 60 << 20  // bytes
	maxPhotoPixels  = 250 << 20 // more than any camera takes
	photoOfNoLayout = "this casebook does not have the photo: it did not come with the layout"
)

// A LayoutPhoto is a photo that belongs to a layout, without its bytes.
type LayoutPhoto struct {
	SHA256  string // by which an underlay of the layout names it
	Name    string // of the file that it came from
	Size    int64  // bytes
	At, Who string // of its adding
}

// AddLayoutPhoto keeps a photo, JPEG or PNG, with a layout and returns its SHA-256.
// A photo that the layout has already is no step. Its undo withdraws the photo; the
// bytes stay in the file.
func (b *Book) AddLayoutPhoto(layoutID, name string, data []byte, by By) (sha string, err error) {
	if err := GoodLayoutPhoto(data); err != nil {
		return "", err
	}
	err = b.do("photo", "", layoutID, by, func(c *command) error {
		if _, err := newestVersion(c.tx, layoutID); err != nil {
			return err
		}
		c.name, c.subject = "photo "+text(name), layoutID
		sha, err = c.store(data, asIs)
		if err != nil {
			return err
		}
		return c.addLayoutPhoto(layoutID, sha, name, int64(len(data)))
	})
	return sha, err
}

// addLayoutPhoto adds the row, or restores it where it was withdrawn.
func (c *command) addLayoutPhoto(layoutID, sha, name string, size int64) error {
	key := layoutID + "/" + sha
	var stands bool
	has, err := one(c.tx, `SELECT `+live+` FROM layout_photos t WHERE id = ?`, []any{key}, &stands)
	switch {
	case err != nil || stands:
		return err
	case has:
		return c.mark(key, false)
	}
	ord := c.bring("layout_photos", key)
	return c.exec(`INSERT INTO layout_photos (id, seq, ord, layout_id, name, size, body) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		key, c.seq, ord, layoutID, text(name), size, sha)
}

// GoodLayoutPhoto refuses what cannot lie under a drawing, in words. Of the picture its
// header alone is read.
func GoodLayoutPhoto(data []byte) error {
	if len(data) > MaxLayoutPhoto {
		return refuse(fmt.Sprintf("this photo is larger than %d MB", MaxLayoutPhoto>>20))
	}
	head, _, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil:
		return &Error{Refused, "", "this is no photo that can be kept: it must be a JPEG or PNG file", err}
	case head.Width < 1 || head.Height < 1:
		return refuse("this photo is empty")
	case int64(head.Width)*int64(head.Height) > maxPhotoPixels:
		return refuse(fmt.Sprintf("this photo of %d x %d pixels is too large to be shown", head.Width, head.Height))
	}
	return nil
}

// LayoutPhotos are the photos of a layout, in the order in which they were added.
func (b *Book) LayoutPhotos(layoutID string) (out []LayoutPhoto, err error) {
	err = b.view(func(q queryer) error {
		out, err = layoutPhotos(q, layoutID)
		return err
	})
	return out, err
}

func layoutPhotos(q queryer, layoutID string) (out []LayoutPhoto, err error) {
	err = each(q, `SELECT t.body, t.name, t.size, e.at, e.who FROM layout_photos t JOIN events e ON e.seq = t.seq
		WHERE t.layout_id = ? AND `+live+` ORDER BY t.seq, t.ord`, []any{layoutID}, func(rows *sql.Rows) error {
		var p LayoutPhoto
		err := rows.Scan(&p.SHA256, &p.Name, &p.Size, &p.At, &p.Who)
		out = append(out, p)
		return err
	})
	return out, err
}

// PhotoBytes is a layout's photo by its SHA-256, as it was added. One that was
// withdrawn is given too: an older version of the layout may show it. Kind Missing
// where no layout of this casebook has it.
func (b *Book) PhotoBytes(sha256 string) (data []byte, err error) {
	err = b.view(func(q queryer) error {
		has, err := one(q, `SELECT 1 FROM layout_photos WHERE body = ? LIMIT 1`, []any{sha256}, new(int))
		switch {
		case err != nil:
			return err
		case !has:
			return missing(photoOfNoLayout)
		}
		data, err = load(q, sha256)
		return err
	})
	return data, err
}
