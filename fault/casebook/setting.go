package casebook

import "strings"

// settingIdentity is the setting that tells one casebook from any other. It is
// set once, by Create.
const settingIdentity = "casebook"

// Setting is the value of a setting; ok is false if it is not set.
func (b *Book) Setting(key string) (value string, ok bool, err error) {
	err = b.view(func(q queryer) error {
		ok, err = one(q, `SELECT value FROM settings WHERE key = ? AND value IS NOT NULL`, []any{key}, &value)
		return err
	})
	return value, ok, err
}

// SetSetting gives a setting a value. It is undone in the scope of that setting.
func (b *Book) SetSetting(key, value string, by By) error {
	if key == "" || key == settingIdentity {
		return refuse("there is no setting of this name that can be changed")
	}
	return b.do("setting", "", ScopeSetting(key), by, func(c *command) error {
		var old string
		set, err := one(c.tx, `SELECT value FROM settings WHERE key = ? AND value IS NOT NULL`, []any{key}, &old)
		if err != nil || set && old == value {
			return err
		}
		c.name, c.subject = "setting "+key, key
		if err := c.touch("settings", key); err != nil {
			return err
		}
		return c.exec(`INSERT INTO settings (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2`,
			key, text(value))
	})
}

// text is what goes into a TEXT column: SQLite's text is UTF-8, and keystrokes
// from elsewhere may not be.
func text(s string) string { return strings.ToValidUTF8(s, "\uFFFD") }

// orNull is text for a column that is NULL where nothing was recorded.
func orNull(s string) any {
	if s == "" {
		return nil
	}
	return text(s)
}

// number is a figure for a column that is NULL where 0 stands for "not given".
func number(v float64) any {
	if v == 0 {
		return nil
	}
	return v
}
