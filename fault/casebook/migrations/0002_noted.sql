-- The casebook, version 2: what persons noted at a place of the pack.

CREATE TABLE noted (
  id             TEXT PRIMARY KEY,
  seq            INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord            INTEGER NOT NULL,
  case_id        TEXT NOT NULL REFERENCES cases (id),
  layout_version TEXT NOT NULL REFERENCES layout_versions (id), -- the one it was noted on
  label          TEXT NOT NULL,
  at             TEXT,
  who            TEXT,
  place          TEXT NOT NULL, -- module, link, board or tap
  what           TEXT NOT NULL CHECK (what IN ('wet', 'chafed', 'mark', 'smell', 'other')),
  why            TEXT,
  extra          TEXT CHECK (json_valid(extra)),
  UNIQUE (case_id, label)
) STRICT;
CREATE INDEX noted_by_case ON noted (case_id, seq, ord);
CREATE TRIGGER noted_kept_1 BEFORE UPDATE ON noted BEGIN SELECT RAISE(ABORT, 'what was noted is only added to'); END;
CREATE TRIGGER noted_kept_2 BEFORE DELETE ON noted BEGIN SELECT RAISE(ABORT, 'what was noted is only added to'); END;
