-- The casebook, version 5: the make-safe record, and what the pack was like in a
-- state.

CREATE TABLE make_safe (
  id          TEXT PRIMARY KEY,
  seq         INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord         INTEGER NOT NULL,
  case_id     TEXT NOT NULL REFERENCES cases (id),
  label       TEXT NOT NULL,
  at          TEXT, -- when it was done or read
  who         TEXT,
  state_id    TEXT REFERENCES states (id), -- the present one then; NULL = not known
  item        TEXT NOT NULL,
  point       TEXT,
  text        TEXT,
  date        TEXT,
  value       REAL, -- V, min or F, by item
  raw         TEXT,
  known_volts REAL,
  tol_pct     REAL CHECK (tol_pct >= 0),
  ohms        REAL CHECK (ohms > 0),
  instrument  TEXT,
  lacked      TEXT CHECK (json_valid(lacked)),
  extra       TEXT CHECK (json_valid(extra)),
  UNIQUE (case_id, label)
) STRICT;
CREATE INDEX make_safe_by_case ON make_safe (case_id, seq, ord);
CREATE TRIGGER make_safe_kept_1 BEFORE UPDATE ON make_safe BEGIN SELECT RAISE(ABORT, 'the make-safe record is only added to'); END;
CREATE TRIGGER make_safe_kept_2 BEFORE DELETE ON make_safe BEGIN SELECT RAISE(ABORT, 'the make-safe record is only added to'); END;

ALTER TABLE states ADD COLUMN coolant TEXT CHECK (coolant IN ('in', 'out'));
ALTER TABLE states ADD COLUMN celsius REAL; -- °C of the pack
ALTER TABLE states ADD COLUMN humidity_pct REAL CHECK (humidity_pct BETWEEN 0 AND 100);
