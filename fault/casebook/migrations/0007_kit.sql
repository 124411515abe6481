-- The casebook, version 7: more of instruments and test resistors, their proving
-- log, and what a connected meter answered.

ALTER TABLE instruments ADD COLUMN serial TEXT;
ALTER TABLE instruments ADD COLUMN ratings TEXT CHECK (json_valid(ratings)); -- measurement categories
ALTER TABLE instruments ADD COLUMN calibrated TEXT; -- YYYY-MM-DD
ALTER TABLE instruments ADD COLUMN cal_due TEXT;    -- YYYY-MM-DD
ALTER TABLE instruments ADD COLUMN functions TEXT CHECK (json_valid(functions)); -- by quantity
ALTER TABLE instrument_ranges ADD COLUMN gain_pct REAL CHECK (gain_pct >= 0);
ALTER TABLE instrument_ranges ADD COLUMN counts REAL CHECK (counts >= 0);
ALTER TABLE resistors ADD COLUMN serial TEXT;

ALTER TABLE readings ADD COLUMN answer TEXT;      -- as it came from a connected meter; NULL = typed
ALTER TABLE readings ADD COLUMN answered_by TEXT; -- its own answer to who it is

CREATE TABLE provings (
  id          TEXT PRIMARY KEY,
  seq         INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord         INTEGER NOT NULL,
  case_id     TEXT NOT NULL REFERENCES cases (id),
  at          TEXT,
  who         TEXT,
  instrument  TEXT NOT NULL,
  proved      TEXT CHECK (proved IN ('before', 'after')), -- the readings
  source      TEXT,
  known_volts REAL, -- V of the source
  point       TEXT,
  shown_volts REAL NOT NULL,
  raw         TEXT,
  answer      TEXT,
  answered_by TEXT,
  note        TEXT,
  extra       TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX provings_by_case ON provings (case_id, seq, ord);
CREATE TRIGGER provings_kept_1 BEFORE UPDATE ON provings BEGIN SELECT RAISE(ABORT, 'the proving log is only added to'); END;
CREATE TRIGGER provings_kept_2 BEFORE DELETE ON provings BEGIN SELECT RAISE(ABORT, 'the proving log is only added to'); END;
