package casebook

import (
	"database/sql"

	"halfsplit/fault"
)

func (c *command) insertInstrument(caseID string, in fault.Instrument) error {
	extra, err := packExtra(in.Extra)
	if err != nil {
		return err
	}
	ratings, err := packRatings(in.Ratings)
	if err != nil {
		return err
	}
	functions, err := packFunctions(in.Functions)
	if err != nil {
		return err
	}
	id, ord := c.add("instruments")
	err = c.exec(`INSERT INTO instruments (id, seq, ord, case_id, label, kind, gain_pct, counts, input_ohms, input_tol_pct, serial, ratings, calibrated, cal_due, functions, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, caseID, in.ID, in.Kind, in.GainPct, in.Counts, number(in.InputOhms), number(in.InputTolPct),
		orNull(in.Serial), ratings, orNull(in.Calibrated), orNull(in.CalDue), functions, extra)
	if err != nil {
		return err
	}
	for i, r := range in.Ranges {
		extra, err := packExtra(r.Extra)
		if err != nil {
			return err
		}
		err = c.exec(`INSERT INTO instrument_ranges (instrument_id, n, full_scale, one_count, input_ohms, gain_pct, counts, extra) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
			id, i+1, r.Max, r.Count, number(r.InputOhms), r.GainPct, r.Counts, extra)
		if err != nil {
			return err
		}
	}
	return nil
}

func (c *command) insertResistor(caseID string, r fault.Resistor) error {
	extra, err := packExtra(r.Extra)
	if err != nil {
		return err
	}
	id, ord := c.add("resistors")
	return c.exec(`INSERT INTO resistors (id, seq, ord, case_id, label, ohms, tol_pct, watts, max_volts, serial, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, caseID, r.ID, r.Ohms, r.TolPct, number(r.Watts), number(r.MaxVolts), orNull(r.Serial), extra)
}

// readInstruments reads the instruments of a case, each as it was described
// last, in the order in which they were added.
func readInstruments(q queryer, caseID string) (out []fault.Instrument, err error) {
	at, rowOf := map[string]int{}, map[string]string{} // label -> index, and the row that counts
	err = each(q, `SELECT id, label, kind, gain_pct, counts, COALESCE(input_ohms, 0), COALESCE(input_tol_pct, 0), COALESCE(serial, ''), ratings, COALESCE(calibrated, ''), COALESCE(cal_due, ''), functions, extra
		FROM instruments t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var id string
		var ratings, functions, extra *string
		var in fault.Instrument
		err := rows.Scan(&id, &in.ID, &in.Kind, &in.GainPct, &in.Counts, &in.InputOhms, &in.InputTolPct, &in.Serial, &ratings, &in.Calibrated, &in.CalDue, &functions, &extra)
		if err != nil {
			return err
		}
		if in.Ratings, err = unpackRatings(ratings); err != nil {
			return err
		}
		if in.Functions, err = unpackFunctions(functions); err != nil {
			return err
		}
		if in.Extra, err = unpackExtra(extra); err != nil {
			return err
		}
		if i, known := at[in.ID]; known {
			out[i] = in
		} else {
			at[in.ID] = len(out)
			out = append(out, in)
		}
		rowOf[in.ID] = id
		return nil
	})
	if err != nil {
		return nil, err
	}
	err = each(q, `SELECT r.instrument_id, t.label, r.full_scale, r.one_count, COALESCE(r.input_ohms, 0), r.gain_pct, r.counts, r.extra
		FROM instruments t JOIN instrument_ranges r ON r.instrument_id = t.id WHERE t.case_id = ? ORDER BY r.instrument_id, r.n`,
		[]any{caseID}, func(rows *sql.Rows) error {
			var id, label string
			var extra *string
			var r fault.Range
			err := rows.Scan(&id, &label, &r.Max, &r.Count, &r.InputOhms, &r.GainPct, &r.Counts, &extra)
			if err != nil || rowOf[label] != id {
				return err
			}
			if r.Extra, err = unpackExtra(extra); err != nil {
				return err
			}
			out[at[label]].Ranges = append(out[at[label]].Ranges, r)
			return nil
		})
	return out, err
}

func readResistors(q queryer, caseID string) (out []fault.Resistor, err error) {
	at := map[string]int{}
	err = each(q, `SELECT label, ohms, tol_pct, COALESCE(watts, 0), COALESCE(max_volts, 0), COALESCE(serial, ''), extra
		FROM resistors t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var extra *string
		var r fault.Resistor
		err := rows.Scan(&r.ID, &r.Ohms, &r.TolPct, &r.Watts, &r.MaxVolts, &r.Serial, &extra)
		if err != nil {
			return err
		}
		if r.Extra, err = unpackExtra(extra); err != nil {
			return err
		}
		if i, known := at[r.ID]; known {
			out[i] = r
		} else {
			at[r.ID] = len(out)
			out = append(out, r)
		}
		return nil
	})
	return out, err
}
