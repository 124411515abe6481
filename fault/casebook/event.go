package casebook

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// Kinds of an event that have a meaning beyond their name.
const (
	kindUndo    = "undo"
	kindRedo    = "redo"
	kindFinding = "finding"
	kindImport  = "import" // a case from a case file or from another casebook
	kindCase    = "case"
	kindSignoff = "sign-off"
)

// changes is the condition that an event changed what a finding has to take in.
const changes = `kind NOT IN ('` + kindFinding + `', '` + kindSignoff + `')`

// An event is one line of the log. before and after hold the rows that it
// changed as JSON: {"readings":[{…}], …}. Empty texts are "none".
type event struct {
	seq                            int64
	id, at, who, kind, name        string
	subject, caseID, scope         string
	reverts                        int64
	before, after, why, prev, hash string
}

// noHash stands before the first event.
var noHash = strings.Repeat("0", 2*sha256.Size)

// digest is the SHA-256 over all fields but the hash itself: each one is
// preceded by its length in eight bytes, so that no two events share an
// encoding, and the first says which encoding this is.
func (e event) digest() string {
	h := sha256.New()
	for _, field := range []string{
		"halfsplit-event/1", strconv.FormatInt(e.seq, 10), e.id, e.at, e.who, e.kind, e.name, e.subject, e.caseID, e.scope,
		strconv.FormatInt(e.reverts, 10), e.before, e.after, e.why, e.prev,
	} {
		var n [8]byte
		binary.BigEndian.PutUint64(n[:], uint64(len(field)))
		h.Write(n[:])
		h.Write([]byte(field))
	}
	return hex.EncodeToString(h.Sum(nil))
}

const eventColumns = `seq, id, at, who, kind, name, subject, case_id, scope, reverts, before, after, why, prev, hash`

// fields are where Scan puts eventColumns.
func (e *event) fields() []any {
	return []any{&e.seq, &e.id, &e.at, &e.who, &e.kind, &e.name, &e.subject, &e.caseID, &e.scope, &e.reverts,
		&e.before, &e.after, &e.why, &e.prev, &e.hash}
}

// A Head is the newest event of a casebook: its number and its hash.
type Head = fault.Head

func head(q queryer) (h Head, err error) {
	h.Hash = noHash
	_, err = one(q, `SELECT seq, hash FROM head ORDER BY one`, nil, &h.Seq, &h.Hash)
	return h, err
}
