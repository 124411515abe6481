// Package assets holds what is built into the program: the JSON Schemas of its
// files and the demo case. It knows bytes, not what they mean.
package assets

import _ "embed"

// The JSON Schemas (draft 2020-12) of the three formats. They say what is
// required; the reader in fault/format is stricter where a schema cannot say
// what must hold.
var (
	//go:embed layout.schema.json
	LayoutSchema []byte
	//go:embed case.schema.json
	CaseSchema []byte
	//go:embed finding.schema.json
	FindingSchema []byte
)

// Demo is an invented case in the middle of being located, as a case file.
//
//go:embed demo.case.json
var Demo []byte
