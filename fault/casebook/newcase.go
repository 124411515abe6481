package casebook

import (
	"encoding/json"
	"fmt"
	"maps"

	"halfsplit/fault"
	"halfsplit/topology"
)

// NewCase begins a case on the newest version of a layout and returns its id. c
// gives what it begins with: title, states, the present one, instruments, test
// resistors, and the symptom as ExportCase writes it; its layout is not looked at.
func (b *Book) NewCase(layoutID string, c fault.Case, by By) (id string, err error) {
	err = b.do(kindCase, "", ScopeBook, by, func(cmd *command) error {
		version, err := newestVersion(cmd.tx, layoutID)
		if err != nil {
			return err
		}
		if c.Layout, err = layoutOf(cmd.tx, version.id); err != nil {
			return err
		}
		cmd.name = "new case " + c.Title
		id, err = cmd.insertCase(c, version.id, nil)
		return err
	})
	return id, err
}

// ImportCase takes in a whole case, readings and all, and returns its id. Its
// layout is shared with cases that have the very same one. original is the file
// that it came from, which is kept as it was; nil = none.
func (b *Book) ImportCase(c fault.Case, original []byte, by By) (id string, err error) {
	err = b.do(kindImport, "", ScopeBook, by, func(cmd *command) error {
		version, err := cmd.versionFor(c.Layout)
		if err != nil {
			return err
		}
		cmd.name = "import case " + c.Title
		id, err = cmd.insertCase(c, version, original)
		return err
	})
	return id, err
}

// insertCase adds a case with everything in it.
func (c *command) insertCase(whole fault.Case, version string, original []byte) (id string, err error) {
	whole, err = legal(whole)
	if err != nil {
		return "", err
	}
	var source any
	if original != nil {
		if source, err = c.store(original, deflated); err != nil {
			return "", err
		}
	}
	kept, symptom := takeSymptom(whole.Extra)
	extra, err := packExtra(kept)
	if err != nil {
		return "", err
	}
	var minutes any
	if len(whole.Minutes) > 0 {
		if minutes, err = packMinutes(whole.Minutes); err != nil {
			return "", err
		}
	}
	id, _ = c.add("cases")
	c.caseID, c.subject = id, id
	err = c.exec(`INSERT INTO cases (id, seq, layout_version, title, symptom, present, minutes, source, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, version, whole.Title, symptom, whole.Now, minutes, source, extra)
	if err != nil {
		return "", err
	}
	return id, c.insertContents(caseRow{id: id, version: version}, whole)
}

func (c *command) insertContents(row caseRow, whole fault.Case) error {
	for _, in := range whole.Instruments {
		if err := c.insertInstrument(row.id, in); err != nil {
			return err
		}
	}
	for _, r := range whole.Resistors {
		if err := c.insertResistor(row.id, r); err != nil {
			return err
		}
	}
	states := map[string]string{}
	for _, s := range whole.States {
		id, err := c.insertState(row.id, s)
		if err != nil {
			return err
		}
		states[s.ID] = id
	}
	for _, g := range whole.GroupVolts {
		if err := c.insertGroupVolts(row, g, states[g.State]); err != nil {
			return err
		}
	}
	if err := c.insertReadings(row, whole.Readings, states); err != nil {
		return err
	}
	for _, n := range whole.Noted {
		if err := c.insertNoted(row, n); err != nil {
			return err
		}
	}
	for _, m := range whole.MakeSafe {
		if err := c.insertMakeSafe(row.id, m, states[m.State]); err != nil {
			return err
		}
	}
	for _, p := range whole.Provings {
		if err := c.insertProving(row.id, p); err != nil {
			return err
		}
	}
	return nil
}

// insertReadings adds readings that may refer to each other, forward too.
func (c *command) insertReadings(row caseRow, readings []fault.Reading, states map[string]string) error {
	ids, ords := map[string]string{}, map[string]int64{}
	for _, r := range readings {
		ids[r.ID], ords[r.ID] = c.add("readings")
	}
	for _, r := range readings {
		refs := readingRefs{states[r.State], ids[r.TogetherWith], ids[r.Supersedes]}
		if err := c.insertReading(row, r, ids[r.ID], ords[r.ID], refs); err != nil {
			return err
		}
	}
	return nil
}

// takeSymptom takes the symptom out of the further fields of a case file.
func takeSymptom(x topology.Extra) (rest topology.Extra, symptom string) {
	raw, has := x[symptomField]
	if !has || json.Unmarshal(raw, &symptom) != nil {
		return x, ""
	}
	rest = cloned(x)
	delete(rest, symptomField)
	return rest, symptom
}

// cloned is a copy that can be written to, also of nil.
func cloned(x topology.Extra) topology.Extra {
	if x == nil {
		return topology.Extra{}
	}
	return maps.Clone(x)
}

// SetTitle gives a case another title.
func (b *Book) SetTitle(caseID, title string, by By) error {
	return b.do("title", caseID, caseID, by, func(c *command) error {
		row, err := c.caseRow(caseID)
		if err != nil || row.title == text(title) {
			return err
		}
		if err := c.touch("cases", caseID); err != nil {
			return err
		}
		c.name = fmt.Sprintf("title %q -> %q", row.title, text(title))
		return c.exec(`UPDATE cases SET title = ? WHERE id = ?`, text(title), caseID)
	})
}

// SetSymptom records what the customer says, verbatim.
func (b *Book) SetSymptom(caseID, symptom string, by By) error {
	return b.do("symptom", caseID, caseID, by, func(c *command) error {
		row, err := c.caseRow(caseID)
		if err != nil || row.symptom == text(symptom) {
			return err
		}
		if err := c.touch("cases", caseID); err != nil {
			return err
		}
		c.name = "symptom"
		return c.exec(`UPDATE cases SET symptom = ? WHERE id = ?`, text(symptom), caseID)
	})
}
