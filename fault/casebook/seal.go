package casebook

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"fmt"
	"io"
	"os"
)

// The log covers what the rows say; the seal covers every byte of the closed file,
// those that carry nothing too. It is made when the file is closed: the hash of the
// file with the seal itself taken as zero. Whoever has a tool for such files can make
// it anew, as anybody can a whole log; a head that is kept elsewhere tells of that.

// Bytes of the header of an SQLite file.
const (
	headerWrite   = 18 // how it is written, 1 = with a journal, 2 = with a write-ahead log
	headerRead    = 19
	headerChanges = 24 // counts transactions, four bytes
	headerValid   = 92 // the same, of the transaction that wrote the size
	headerSize    = 100
)

const sealSize = sha256.Size

// breakSeal blanks the seal while the file is still open, so that an end in the
// middle of closing leaves no wrong one.
func breakSeal(db *sql.DB) error {
	_, err := db.Exec(`UPDATE seal SET sha256 = zeroblob(32) WHERE sha256 <> zeroblob(32)`)
	return err
}

// sealFile seals a file that nobody else has open and that is not in WAL mode. First
// a seal that marks the place is written, then the file is read, then the seal.
func sealFile(db *sql.DB, path string) error {
	ctx := context.Background()
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	var place [sealSize]byte
	if _, err := rand.Read(place[:]); err != nil {
		return err
	}
	if _, err := conn.ExecContext(ctx, `UPDATE seal SET sha256 = ?`, place[:]); err != nil {
		return err
	}
	version := func() (v int64, err error) {
		err = conn.QueryRowContext(ctx, `PRAGMA data_version`).Scan(&v)
		return v, err
	}
	before, err := version()
	if err != nil {
		return err
	}
	sum, err := sumOf(path, place[:], 1)
	if err != nil {
		return err
	}
	if _, err := conn.ExecContext(ctx, `BEGIN IMMEDIATE`); err != nil {
		return err
	}
	after, err := version()
	if err == nil && after != before { // somebody wrote in between: the next one to close seals it
		sum = make([]byte, sealSize)
	}
	if err == nil {
		_, err = conn.ExecContext(ctx, `UPDATE seal SET sha256 = ?`, sum)
	}
	end := `COMMIT`
	if err != nil {
		end = `ROLLBACK`
	}
	if _, endErr := conn.ExecContext(ctx, end); err == nil {
		err = endErr
	}
	return err
}

// sumOf is the hash of a file with its seal taken as zero, and with so many more
// transactions as its header counts.
func sumOf(path string, seal []byte, later uint32) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	at, err := sealPlace(f, seal)
	if err != nil {
		return nil, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	var header [headerSize]byte
	if _, err := io.ReadFull(f, header[:]); err != nil {
		return nil, err
	}
	for _, n := range []int{headerChanges, headerValid} {
		binary.BigEndian.PutUint32(header[n:], binary.BigEndian.Uint32(header[n:])+later)
	}
	h := sha256.New()
	h.Write(header[:])
	if _, err := io.CopyN(h, f, at-headerSize); err != nil {
		return nil, err
	}
	h.Write(make([]byte, sealSize))
	if _, err := f.Seek(at+sealSize, io.SeekStart); err != nil {
		return nil, err
	}
	_, err = io.Copy(h, f)
	return h.Sum(nil), err
}

// sealPlace finds where in a file the seal stands: its bytes are nowhere else.
func sealPlace(f *os.File, seal []byte) (int64, error) {
	const piece = 1 << 20
	buf := make([]byte, piece+sealSize)
	found := int64(-1)
	for base := int64(0); ; base += piece {
		n, err := f.ReadAt(buf, base)
		for from := 0; ; {
			i := bytes.Index(buf[from:n], seal)
			if i < 0 {
				break
			}
			at := base + int64(from+i)
			if from+i < piece || err == io.EOF { // else it is found again in the next piece
				if found >= 0 && found != at {
					return 0, errSeal
				}
				found = at
			}
			from += i + 1
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			return 0, err
		}
	}
	if found < headerSize {
		return 0, errSeal
	}
	return found, nil
}

var errSeal = &Error{Kind: Failed, Text: "the seal of the file is not where one is"}

// checkSeal compares a closed file with its seal. The problem is "" if they go
// together; the note says why there was nothing to compare.
func checkSeal(b *Book) (problem, note string, err error) {
	var header [headerSize]byte
	f, err := os.Open(b.path)
	if err != nil {
		return "", "", err
	}
	_, err = io.ReadFull(f, header[:])
	f.Close()
	if err != nil {
		return "", "", err
	}
	for _, s := range sidecars[:2] {
		if _, err := os.Lstat(b.path + s); err == nil {
			return "", "the file is open, or was not closed: its bytes were not compared with its seal", nil
		}
	}
	if header[headerWrite] == 2 && header[headerRead] == 2 {
		return "", "the file was not closed by the program: its bytes were not compared with its seal", nil
	}
	var seal []byte
	ok, err := one(b.reader, `SELECT sha256 FROM seal WHERE one = 1`, nil, &seal)
	switch {
	case err != nil:
		return "", "", err
	case !ok:
		return "the file itself was changed: its seal is missing", "", nil
	case bytes.Equal(seal, make([]byte, sealSize)):
		return "", "the file is not sealed: the program ended while it was closing it, or it was not closed since it is of this format", nil
	}
	sum, err := sumOf(b.path, seal, 0)
	if err == nil && bytes.Equal(sum, seal) {
		return "", "", nil
	}
	if err != nil && err != error(errSeal) {
		return "", "", err
	}
	return fmt.Sprintf("the file itself was changed since it was closed: its %d bytes do not give its seal, though the log and the rows hold", size(b.path)), "", nil
}

func size(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}
