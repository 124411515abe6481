package casebook

import "database/sql"

// Writer is the one connection that writes, for tests that limit it.
func (b *Book) Writer() *sql.DB { return b.writer }
