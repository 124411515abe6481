-- The casebook, version 6: what came in from other casebooks, with its history.

-- One row for each time that a case was taken in from another casebook.
CREATE TABLE imports (
  id         TEXT PRIMARY KEY,
  seq        INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord        INTEGER NOT NULL,
  case_id    TEXT NOT NULL REFERENCES cases (id),
  wraps      INTEGER NOT NULL CHECK (wraps IN (0, 1)), -- 1 = this casebook was made to hold the case alone
  book       TEXT NOT NULL,    -- the casebook that it came from
  head_seq   INTEGER NOT NULL, -- newest event of that casebook
  head_hash  TEXT NOT NULL CHECK (length(head_hash) = 64),
  file       TEXT,             -- name of the file
  file_seq   INTEGER,          -- newest event of the file, where it was made to hold the case alone
  file_hash  TEXT CHECK (length(file_hash) = 64),
  brought    TEXT NOT NULL CHECK (json_valid(brought)), -- how many rows of each kind were new
  took       TEXT CHECK (json_valid(took)),   -- single values taken from there: field, and the event that set it
  kept       TEXT CHECK (json_valid(kept)),   -- single values that differed there and stayed as they were
  said       TEXT CHECK (json_valid(said)),   -- what there is to know about it, in sentences
  events     INTEGER NOT NULL, -- foreign events that came with it
  chain      TEXT NOT NULL CHECK (length(chain) = 64) -- SHA-256 over their hashes, sorted
) STRICT;
CREATE INDEX imports_by_case ON imports (case_id, seq);

-- Events of other casebooks about cases that came from there, as they were written.
CREATE TABLE foreign_events (
  hash      TEXT PRIMARY KEY CHECK (length(hash) = 64),
  import_id TEXT NOT NULL REFERENCES imports (id), -- what brought it
  book      TEXT NOT NULL,                         -- whose log it is of
  seq       INTEGER NOT NULL,
  id        TEXT NOT NULL,
  at        TEXT NOT NULL,
  who       TEXT NOT NULL,
  kind      TEXT NOT NULL,
  name      TEXT NOT NULL,
  subject   TEXT NOT NULL,
  case_id   TEXT NOT NULL,
  scope     TEXT NOT NULL,
  reverts   INTEGER NOT NULL,
  before    TEXT NOT NULL,
  after     TEXT NOT NULL,
  why       TEXT NOT NULL,
  prev      TEXT NOT NULL CHECK (length(prev) = 64)
) STRICT;
CREATE INDEX foreign_events_by_import ON foreign_events (import_id);
CREATE INDEX foreign_events_by_id ON foreign_events (id);
CREATE INDEX foreign_events_by_place ON foreign_events (book, seq);

-- Places among the rows of one event.
ALTER TABLE findings ADD COLUMN ord INTEGER;
ALTER TABLE photos ADD COLUMN ord INTEGER;

CREATE TRIGGER imports_kept_1 BEFORE UPDATE ON imports BEGIN SELECT RAISE(ABORT, 'imports are only added'); END;
CREATE TRIGGER imports_kept_2 BEFORE DELETE ON imports BEGIN SELECT RAISE(ABORT, 'imports are only added'); END;
CREATE TRIGGER foreign_events_kept_1 BEFORE UPDATE ON foreign_events BEGIN SELECT RAISE(ABORT, 'events are only added'); END;
CREATE TRIGGER foreign_events_kept_2 BEFORE DELETE ON foreign_events BEGIN SELECT RAISE(ABORT, 'events are only added'); END;
