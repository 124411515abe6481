// Package start is the view that the program opens with: the cases and the
// layouts of a casebook, with search, what can be begun from them, the layout
// maker, and the way in and out for files.
//
// It reads a casebook through the interface Book and opens no window of its own.
// Lists and thumbnails are drawings made from values, so that a test reads them
// as text. Everything that may take long runs beside the window's thread. It never
// says that a thing may be touched, nor the opposite.
package start

import (
	"context"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

// A Book is what the view needs of a casebook.
type Book interface {
	Path() string
	Cases(query string) ([]casebook.CaseSummary, error)
	Layouts() ([]casebook.LayoutInfo, error)
	Case(id string) (fault.Case, casebook.Info, error)
	NewCase(layoutID string, c fault.Case, by casebook.By) (string, error)
	ImportCase(c fault.Case, original []byte, by casebook.By) (string, error)
	ImportLayout(l topology.Layout, original []byte, by casebook.By) (string, error)
	DuplicateLayout(id, name string, by casebook.By) (string, error)
	RenameLayout(id, name string, by casebook.By) error
	WithdrawLayout(id string, by casebook.By) error
	UndoName(scope string) (string, error)
	Undo(scope string, by casebook.By) (string, error)
	ExportCase(id string) (fault.Case, error)
	ExportLayout(id string) (topology.Layout, error)
	PhotoBytes(sha256 string) ([]byte, error) // of a photo that a layout lies on
	Head() (casebook.Head, error)
	WriteOne(ctx context.Context, caseID, path string, overwrite bool, by casebook.By) (from, file casebook.Head, err error)
	TakeIn(ctx context.Context, path, caseID string, by casebook.By) (casebook.Brought, error)
	Record(caseID string) (casebook.Record, error)
	Signables(caseID string) ([]casebook.Signable, error)
	SignOffs(caseID string) ([]casebook.SignOff, error)
	Sign(caseID string, s casebook.Signable, name, role, note string, by casebook.By) (casebook.SignOff, error)
}

var _ Book = (*casebook.Book)(nil)
