-- The casebook, version 8: sign-offs, steps of the clock, and the seal of a closed
-- file.

-- Who signed what. The hash is of the content as it was then: a later change shows.
CREATE TABLE signoffs (
  id      TEXT PRIMARY KEY,
  seq     INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord     INTEGER NOT NULL,
  case_id TEXT NOT NULL REFERENCES cases (id),
  at      TEXT NOT NULL,
  name    TEXT NOT NULL, -- as typed
  role    TEXT NOT NULL, -- as typed
  what    TEXT NOT NULL CHECK (what IN ('finding', 'readings', 'state', 'make-safe', 'case')),
  subject TEXT NOT NULL, -- 'state:split'; '' = there is one of it
  said    TEXT NOT NULL, -- what was signed, in words
  sha256  TEXT NOT NULL CHECK (length(sha256) = 64),
  note    TEXT
) STRICT;
CREATE INDEX signoffs_by_case ON signoffs (case_id, seq, ord);
CREATE TRIGGER signoffs_kept_1 BEFORE UPDATE ON signoffs BEGIN SELECT RAISE(ABORT, 'sign-offs are only added'); END;
CREATE TRIGGER signoffs_kept_2 BEFORE DELETE ON signoffs BEGIN SELECT RAISE(ABORT, 'sign-offs are only added'); END;

-- An event between which and the one before it the clock was set.
CREATE TABLE clock_steps (
  id     TEXT PRIMARY KEY,
  seq    INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  step_s REAL NOT NULL -- s; below 0 = back
) STRICT;
CREATE TRIGGER clock_steps_kept_1 BEFORE UPDATE ON clock_steps BEGIN SELECT RAISE(ABORT, 'steps of the clock are only added'); END;
CREATE TRIGGER clock_steps_kept_2 BEFORE DELETE ON clock_steps BEGIN SELECT RAISE(ABORT, 'steps of the clock are only added'); END;

-- SHA-256 over the whole closed file, these 32 bytes taken as zero; all zero = it was
-- not sealed.
CREATE TABLE seal (
  one    INTEGER PRIMARY KEY CHECK (one = 1),
  sha256 BLOB NOT NULL CHECK (length(sha256) = 32)
) STRICT;
INSERT INTO seal (one, sha256) VALUES (1, zeroblob(32));
