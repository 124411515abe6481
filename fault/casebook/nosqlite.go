//go:build !cgo

package casebook

import (
	"database/sql/driver"
	"errors"
)

// absent stands for the driver in a build without C: every opening fails and
// says why.
type absent struct{}

func (absent) Open(string) (driver.Conn, error) {
	return nil, errors.New("this build was made without a C compiler and cannot open casebooks")
}

func sqlite() driver.Driver { return absent{} }

func classify(error) Kind { return Failed }

func unfinished(error) bool { return false }
