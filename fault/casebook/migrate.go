package casebook

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

//go:embed migrations/*.sql
var scripts embed.FS

// migrations are the steps from an empty file to the present format, in order.
// Step n, counted from 1, brings a file of user_version n-1 to n. They only go
// up, and a released one never changes.
func migrations() []string {
	names, err := fs.Glob(scripts, "migrations/*.sql")
	if err != nil {
		panic(err) // the pattern is a constant
	}
	out := make([]string, len(names))
	for i, name := range names {
		text, err := scripts.ReadFile(name)
		if err != nil {
			panic(err) // the file is built in
		}
		out[i] = string(text)
	}
	return out
}

// upgrade migrates an older file, after a copy of it was put beside it as
// NAME.vN.bak. It happens before the file is put into WAL mode, so that a file
// which cannot be copied is left as it was.
func upgrade(path string, readOnly bool, steps []string) error {
	if readOnly {
		return &Error{Kind: ReadOnly, Path: path, Text: "is of an older format, and has to be opened for writing once to be read"}
	}
	db, err := connect(path, finishing, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	var version int
	if err := db.QueryRow(`PRAGMA user_version`).Scan(&version); err != nil || version >= len(steps) {
		return err
	}
	if err := backUp(db, path, version); err != nil {
		return err
	}
	return migrate(context.Background(), db, steps, version)
}

// backUp copies a file before it is migrated. A copy from an earlier attempt is
// never replaced: the new one gets a number.
func backUp(db *sql.DB, path string, version int) error {
	name := fmt.Sprintf("%s.v%d.bak", path, version)
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			break
		}
		name = fmt.Sprintf("%s.v%d-%d.bak", path, version, n)
	}
	temp, err := tempBeside(name)
	if err != nil {
		return err
	}
	defer removeAll(temp)
	err = writeCopy(context.Background(), db, temp)
	if err == nil {
		err = place(temp, name, false)
	}
	if err != nil {
		return &Error{KindOf(plain(name, err)), path, "is of an older format and was left as it is: the copy " + filepath.Base(name) +
			", which comes first, could not be made", err}
	}
	return nil
}

// migrate runs every step after version, each in one transaction with the new
// user_version: a step that fails, or is cut off, leaves the file as it was.
func migrate(ctx context.Context, db *sql.DB, steps []string, version int) error {
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	for n := version; n < len(steps); n++ {
		if err := migrateOne(ctx, conn, steps[n], n+1); err != nil {
			return fmt.Errorf("bringing the casebook to format %d: %w", n+1, err)
		}
	}
	return nil
}

func migrateOne(ctx context.Context, conn *sql.Conn, script string, to int) (err error) {
	if _, err = conn.ExecContext(ctx, `BEGIN IMMEDIATE`); err != nil {
		return err
	}
	done := false
	defer func() {
		if !done {
			conn.ExecContext(context.WithoutCancel(ctx), `ROLLBACK`)
		}
	}()
	var version int
	if err = conn.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&version); err != nil || version >= to {
		return err // another window was faster
	}
	for _, part := range []string{script, fmt.Sprintf(`PRAGMA user_version = %d`, to), `COMMIT`} {
		if _, err = conn.ExecContext(ctx, part); err != nil {
			return err
		}
	}
	done = true
	return nil
}
