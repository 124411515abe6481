package casebook

import (
	"database/sql"
	"encoding/json"
	"slices"
	"strings"
)

// A CaseSummary is a case in the list of cases.
type CaseSummary struct {
	ID, Title, Symptom string
	LayoutID           string
	Layout             string // name of the layout: the pack's label
	Present            string // state; "" = not known
	Readings           int    // that were not withdrawn
	Created, Changed   string // times of the first and the newest event
	Verdict            string // of the last finding; "" = none yet
	Statement          string
	Places             []string // of the last finding, most suspect first
	Stale              bool     // the case has changed since that finding
}

// Cases are the cases of the casebook that have every word of the query in their
// title, pack label, symptom or the places of their last finding, the one that
// changed last first. Upper and lower case are the same.
func (b *Book) Cases(query string) (out []CaseSummary, err error) {
	words := strings.Fields(strings.ToLower(query))
	err = b.view(func(q queryer) error {
		return each(q, listCases, nil, func(rows *sql.Rows) error {
			s, err := scanSummary(rows)
			if err == nil && s.has(words) {
				out = append(out, s)
			}
			return err
		})
	})
	return out, err
}

const listCases = `
	SELECT t.id, t.title, t.symptom, v.layout_id, v.name, t.present,
		(SELECT count(*) FROM readings r WHERE r.case_id = t.id
			AND COALESCE((SELECT withdrawn FROM marks WHERE subject = r.id ORDER BY seq DESC LIMIT 1), 0) = 0),
		first.at, last.at, last.seq, f.verdict, f.statement, f.places, f.revision
	FROM cases t
	JOIN layout_versions v ON v.id = t.layout_version
	JOIN events first ON first.seq = t.seq
	JOIN events last ON last.seq = (SELECT max(seq) FROM events WHERE case_id = t.id AND ` + changes + `)
	LEFT JOIN findings f ON f.id = (SELECT g.id FROM findings g WHERE g.case_id = t.id
		AND COALESCE((SELECT withdrawn FROM marks WHERE subject = g.id ORDER BY seq DESC LIMIT 1), 0) = 0 ORDER BY g.seq DESC, g.ord DESC LIMIT 1)
	WHERE ` + live + `
	ORDER BY last.seq DESC`

func scanSummary(rows *sql.Rows) (s CaseSummary, err error) {
	var changed int64
	var verdict, statement, places *string
	var revision *int64
	err = rows.Scan(&s.ID, &s.Title, &s.Symptom, &s.LayoutID, &s.Layout, &s.Present, &s.Readings, &s.Created, &s.Changed, &changed,
		&verdict, &statement, &places, &revision)
	if err != nil || verdict == nil {
		return s, err
	}
	s.Verdict, s.Statement, s.Stale = *verdict, *statement, *revision < changed
	return s, json.Unmarshal([]byte(*places), &s.Places)
}

// has says whether every word occurs somewhere in what a case is searched by.
func (s CaseSummary) has(words []string) bool {
	in := strings.ToLower(strings.Join(append([]string{s.Title, s.Layout, s.Symptom}, s.Places...), "\n"))
	return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(in, w) })
}
