package casebook

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"net/url"
	"path/filepath"
	"strings"
)

// Pragmas that the DSN carries, because every connection of a pool has to have
// them. FULL, because in WAL mode NORMAL may lose the last commits when the
// power goes; recursive triggers, so that a REPLACE cannot pass the guards that
// forbid deleting.
var (
	always = url.Values{
		"_foreign_keys":       {"1"},
		"_busy_timeout":       {"5000"}, // ms
		"_recursive_triggers": {"1"},
		"_synchronous":        {"FULL"},
	}
	writing = url.Values{"mode": {"rw"}, "_txlock": {"immediate"}, "_journal_mode": {"WAL"}}
	// finishing leaves the header alone until the file is known to be sound.
	finishing = url.Values{"mode": {"rw"}, "_txlock": {"immediate"}}
	making    = url.Values{"mode": {"rwc"}, "_txlock": {"immediate"}}
	looking   = url.Values{"mode": {"ro"}}
)

// dsn is the data source name of a file, whatever characters its path has.
func dsn(path string, params url.Values) string {
	q := url.Values{}
	for _, from := range []url.Values{always, params} {
		for k, v := range from {
			q[k] = v
		}
	}
	slashed := filepath.ToSlash(path)
	if !strings.HasPrefix(slashed, "/") && filepath.IsAbs(path) {
		slashed = "/" + slashed // a drive letter
	}
	escaped := (&url.URL{Path: slashed}).EscapedPath()
	return (&url.URL{Scheme: "file", Opaque: escaped, RawQuery: q.Encode()}).String()
}

// A connector opens connections of our driver without registering it by name.
type connector struct {
	driver driver.Driver
	dsn    string
}

var _ driver.Connector = connector{}

func (c connector) Connect(context.Context) (driver.Conn, error) { return c.driver.Open(c.dsn) }

func (c connector) Driver() driver.Driver { return c.driver }

// connect opens a pool of at most n connections and tries one.
func connect(path string, params url.Values, n int) (*sql.DB, error) {
	db := sql.OpenDB(connector{sqlite(), dsn(path, params)})
	db.SetMaxOpenConns(n)
	db.SetMaxIdleConns(n)
	if err := db.Ping(); err != nil {
		db.Close()
		return nil, err
	}
	return db, nil
}

// connectMemory opens an empty database that is gone when it is closed.
func connectMemory() (*sql.DB, error) {
	db := sql.OpenDB(connector{sqlite(), "file::memory:?" + always.Encode()})
	db.SetMaxOpenConns(1) // each connection would have a database of its own
	return db, db.Ping()
}

// A queryer is a pool or a transaction.
type queryer interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// each runs a query and calls f on every row.
func each(q queryer, query string, args []any, f func(*sql.Rows) error) error {
	rows, err := q.QueryContext(context.Background(), query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// one runs a query that gives at most one row; ok is false if it gives none.
func one(q queryer, query string, args []any, into ...any) (ok bool, err error) {
	switch err := q.QueryRowContext(context.Background(), query, args...).Scan(into...); err {
	case nil:
		return true, nil
	case sql.ErrNoRows:
		return false, nil
	default:
		return false, err
	}
}
