-- The casebook, version 1.
-- Keys are UUIDv7 unless they say otherwise. NULL stands for "not recorded".
-- Units stand in the comments; times are RFC 3339.
-- seq is the event that a row came with, ord its place among that event's rows.

PRAGMA application_id = 0x48534342; -- "HSCB"

-- The newest event, kept apart from the log so that a log cut short shows.
CREATE TABLE head (
  one  INTEGER PRIMARY KEY CHECK (one = 1),
  seq  INTEGER NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

-- Everything that anyone did, in order; hash covers every other field, the
-- previous hash among them. An empty text is "none".
CREATE TABLE events (
  seq     INTEGER PRIMARY KEY,
  id      TEXT NOT NULL UNIQUE,
  at      TEXT NOT NULL,
  who     TEXT NOT NULL,
  kind    TEXT NOT NULL,
  name    TEXT NOT NULL,    -- in words, such as "M07 3.62 V -> 36.2 V"
  subject TEXT NOT NULL,    -- key of what it is about
  case_id TEXT NOT NULL,
  scope   TEXT NOT NULL,    -- whose undo it belongs to; '' = cannot be undone
  reverts INTEGER NOT NULL, -- seq of the event that an undo or redo is about; 0 = none
  before  TEXT NOT NULL,    -- rows as they were, JSON by table
  after   TEXT NOT NULL,    -- rows as they became
  why     TEXT NOT NULL,
  prev    TEXT NOT NULL CHECK (length(prev) = 64),
  hash    TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;
CREATE INDEX events_by_case ON events (case_id, seq);

-- What can be undone and redone; it follows from events.
CREATE TABLE steps (
  seq    INTEGER PRIMARY KEY REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  scope  TEXT NOT NULL,
  undone INTEGER NOT NULL CHECK (undone IN (0, 1))
) STRICT;
CREATE INDEX steps_by_scope ON steps (scope, undone, seq);

-- Bytes under their own hash: layouts, findings, photos, imported files.
CREATE TABLE blobs (
  sha256  TEXT PRIMARY KEY CHECK (length(sha256) = 64), -- of the unpacked bytes
  packing TEXT NOT NULL CHECK (packing IN ('plain', 'deflate')),
  bytes   BLOB NOT NULL
) STRICT;

CREATE TABLE layouts (
  id  TEXT PRIMARY KEY,
  seq INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  source TEXT REFERENCES blobs (sha256) -- the file it was imported from, as it came
) STRICT;

-- A version is a draft until the first reading of any case rests on it.
CREATE TABLE layout_versions (
  id        TEXT PRIMARY KEY,
  seq       INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  layout_id TEXT NOT NULL REFERENCES layouts (id),
  number    INTEGER NOT NULL CHECK (number > 0),
  name      TEXT NOT NULL,
  body      TEXT NOT NULL REFERENCES blobs (sha256), -- halfsplit-layout/1
  UNIQUE (layout_id, number)
) STRICT;
CREATE INDEX layout_versions_by_body ON layout_versions (body);

CREATE TABLE cases (
  id             TEXT PRIMARY KEY,
  seq            INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  layout_version TEXT NOT NULL REFERENCES layout_versions (id),
  title          TEXT NOT NULL,
  symptom        TEXT NOT NULL,
  present        TEXT NOT NULL, -- label of the present state; '' = not known
  source         TEXT REFERENCES blobs (sha256),
  extra          TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX cases_by_layout ON cases (layout_version);

-- Labels are the ids of case files. Lists are JSON.
CREATE TABLE states (
  id         TEXT PRIMARY KEY,
  seq        INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord        INTEGER NOT NULL,
  case_id    TEXT NOT NULL REFERENCES cases (id),
  label      TEXT NOT NULL,
  open       TEXT CHECK (json_valid(open)),
  unplugged  TEXT CHECK (json_valid(unplugged)),
  removed    TEXT CHECK (json_valid(removed)),
  connected  TEXT CHECK (json_valid(connected)),
  contactors TEXT CHECK (contactors IN ('open', 'closed')),
  monitor    TEXT CHECK (monitor IN ('disconnected', 'connected', 'active')),
  wet        INTEGER CHECK (wet IN (0, 1)),
  torqued    INTEGER CHECK (torqued IN (0, 1)),
  extra      TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX states_by_case ON states (case_id, seq, ord);

-- A later row of the same label is the instrument's description put right.
CREATE TABLE instruments (
  id            TEXT PRIMARY KEY,
  seq           INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord           INTEGER NOT NULL,
  case_id       TEXT NOT NULL REFERENCES cases (id),
  label         TEXT NOT NULL,
  kind          TEXT NOT NULL,
  gain_pct      REAL NOT NULL CHECK (gain_pct >= 0),
  counts        REAL NOT NULL CHECK (counts >= 0),
  input_ohms    REAL CHECK (input_ohms > 0),
  input_tol_pct REAL CHECK (input_tol_pct >= 0),
  extra         TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX instruments_by_case ON instruments (case_id, seq, ord);

CREATE TABLE instrument_ranges (
  instrument_id TEXT NOT NULL REFERENCES instruments (id),
  n             INTEGER NOT NULL,
  full_scale    REAL NOT NULL CHECK (full_scale > 0), -- in the unit of the instrument's kind
  one_count     REAL NOT NULL CHECK (one_count > 0),
  input_ohms    REAL CHECK (input_ohms > 0),
  extra         TEXT CHECK (json_valid(extra)),
  PRIMARY KEY (instrument_id, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE resistors (
  id        TEXT PRIMARY KEY,
  seq       INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord       INTEGER NOT NULL,
  case_id   TEXT NOT NULL REFERENCES cases (id),
  label     TEXT NOT NULL,
  ohms      REAL NOT NULL CHECK (ohms > 0),
  tol_pct   REAL NOT NULL CHECK (tol_pct >= 0),
  watts     REAL CHECK (watts > 0),
  max_volts REAL CHECK (max_volts > 0),
  extra     TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX resistors_by_case ON resistors (case_id, seq, ord);

-- One module's groups read as a list. A row that amends another gives single
-- groups of that list anew, or for the first time.
CREATE TABLE group_volts (
  id             TEXT PRIMARY KEY,
  seq            INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord            INTEGER NOT NULL,
  case_id        TEXT NOT NULL REFERENCES cases (id),
  layout_version TEXT NOT NULL REFERENCES layout_versions (id),
  amends         TEXT REFERENCES group_volts (id),
  module         TEXT NOT NULL,
  state_id       TEXT NOT NULL REFERENCES states (id),
  at             TEXT,
  instrument     TEXT,
  source         TEXT,
  extra          TEXT CHECK (json_valid(extra))
) STRICT;
CREATE INDEX group_volts_by_case ON group_volts (case_id, seq, ord);
CREATE INDEX group_volts_by_layout ON group_volts (layout_version);

CREATE TABLE group_volt_values (
  set_id TEXT NOT NULL REFERENCES group_volts (id),
  n      INTEGER NOT NULL CHECK (n > 0), -- group, from the module's negative end
  volts  REAL CHECK (abs(volts) <= 1e6), -- V; NULL = not measured
  PRIMARY KEY (set_id, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE readings (
  id             TEXT PRIMARY KEY,
  seq            INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord            INTEGER NOT NULL,
  case_id        TEXT NOT NULL REFERENCES cases (id),
  layout_version TEXT NOT NULL REFERENCES layout_versions (id), -- the one it was read on
  label          TEXT NOT NULL,
  at             TEXT,
  state_id       TEXT NOT NULL REFERENCES states (id),
  quantity       TEXT NOT NULL CHECK (quantity IN ('volts', 'insulation', 'ohms', 'amps', 'celsius', 'kpa', 'joint')),
  red            TEXT,
  black          TEXT,
  value          REAL NOT NULL, -- V, ohms, A, degrees C or kPa, by quantity
  raw            TEXT,          -- the keystrokes
  relation       TEXT CHECK (relation IN ('=', '<', '>')),
  instrument     TEXT,
  range_max      REAL CHECK (range_max > 0), -- full scale of the locked range
  resistor       TEXT,
  resistor_from  TEXT,
  resistor_to    TEXT,
  test_volts     REAL CHECK (test_volts <> 0), -- V, signed
  together_with  TEXT REFERENCES readings (id) DEFERRABLE INITIALLY DEFERRED,
  after_touch_s  REAL CHECK (after_touch_s >= 0), -- s
  who            TEXT,
  note           TEXT,
  supersedes     TEXT REFERENCES readings (id) DEFERRABLE INITIALLY DEFERRED,
  why            TEXT,
  extra          TEXT CHECK (json_valid(extra)),
  UNIQUE (case_id, label)
) STRICT;
CREATE INDEX readings_by_case ON readings (case_id, seq, ord);
CREATE INDEX readings_by_layout ON readings (layout_version);
CREATE INDEX readings_by_superseded ON readings (supersedes) WHERE supersedes IS NOT NULL;
CREATE INDEX readings_by_partner ON readings (together_with) WHERE together_with IS NOT NULL;

-- A finding as it was stated, with what it rested on.
CREATE TABLE findings (
  id        TEXT PRIMARY KEY,
  seq       INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  case_id   TEXT NOT NULL REFERENCES cases (id),
  revision  INTEGER NOT NULL, -- newest event of the case that it took in
  engine    TEXT NOT NULL,
  verdict   TEXT NOT NULL,
  statement TEXT NOT NULL,
  places    TEXT NOT NULL CHECK (json_valid(places)), -- ids, most suspect first
  used      TEXT NOT NULL CHECK (json_valid(used)),   -- labels of readings
  body      TEXT NOT NULL REFERENCES blobs (sha256)   -- halfsplit-finding/1
) STRICT;
CREATE INDEX findings_by_case ON findings (case_id, seq);

CREATE TABLE photos (
  id      TEXT PRIMARY KEY,
  seq     INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  case_id TEXT NOT NULL REFERENCES cases (id),
  kind    TEXT NOT NULL,
  name    TEXT NOT NULL,
  size    INTEGER NOT NULL, -- bytes
  body    TEXT NOT NULL REFERENCES blobs (sha256)
) STRICT;
CREATE INDEX photos_by_case ON photos (case_id, seq);

CREATE TABLE settings (
  key   TEXT PRIMARY KEY,
  value TEXT -- NULL = not set
) STRICT;

-- Rows that were withdrawn by an undo or a person, and restored. The newest
-- mark of a subject counts; the subject itself stays as it was recorded.
CREATE TABLE marks (
  id        TEXT PRIMARY KEY,
  seq       INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  subject   TEXT NOT NULL,
  withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1))
) STRICT;
CREATE INDEX marks_by_subject ON marks (subject, seq);

-- What is recorded stays.
CREATE TRIGGER events_kept_1 BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events are only added'); END;
CREATE TRIGGER events_kept_2 BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events are only added'); END;
CREATE TRIGGER readings_kept_1 BEFORE UPDATE ON readings BEGIN SELECT RAISE(ABORT, 'readings are only added'); END;
CREATE TRIGGER readings_kept_2 BEFORE DELETE ON readings BEGIN SELECT RAISE(ABORT, 'readings are only added'); END;
CREATE TRIGGER group_volts_kept_1 BEFORE UPDATE ON group_volts BEGIN SELECT RAISE(ABORT, 'group volts are only added'); END;
CREATE TRIGGER group_volts_kept_2 BEFORE DELETE ON group_volts BEGIN SELECT RAISE(ABORT, 'group volts are only added'); END;
CREATE TRIGGER group_volt_values_kept_1 BEFORE UPDATE ON group_volt_values BEGIN SELECT RAISE(ABORT, 'group volts are only added'); END;
CREATE TRIGGER group_volt_values_kept_2 BEFORE DELETE ON group_volt_values BEGIN SELECT RAISE(ABORT, 'group volts are only added'); END;
CREATE TRIGGER states_kept_1 BEFORE UPDATE ON states BEGIN SELECT RAISE(ABORT, 'states are only added'); END;
CREATE TRIGGER states_kept_2 BEFORE DELETE ON states BEGIN SELECT RAISE(ABORT, 'states are only added'); END;
CREATE TRIGGER instruments_kept_1 BEFORE UPDATE ON instruments BEGIN SELECT RAISE(ABORT, 'instruments are only added'); END;
CREATE TRIGGER instruments_kept_2 BEFORE DELETE ON instruments BEGIN SELECT RAISE(ABORT, 'instruments are only added'); END;
CREATE TRIGGER instrument_ranges_kept_1 BEFORE UPDATE ON instrument_ranges BEGIN SELECT RAISE(ABORT, 'instruments are only added'); END;
CREATE TRIGGER instrument_ranges_kept_2 BEFORE DELETE ON instrument_ranges BEGIN SELECT RAISE(ABORT, 'instruments are only added'); END;
CREATE TRIGGER resistors_kept_1 BEFORE UPDATE ON resistors BEGIN SELECT RAISE(ABORT, 'test resistors are only added'); END;
CREATE TRIGGER resistors_kept_2 BEFORE DELETE ON resistors BEGIN SELECT RAISE(ABORT, 'test resistors are only added'); END;
CREATE TRIGGER findings_kept_1 BEFORE UPDATE ON findings BEGIN SELECT RAISE(ABORT, 'findings are only added'); END;
CREATE TRIGGER findings_kept_2 BEFORE DELETE ON findings BEGIN SELECT RAISE(ABORT, 'findings are only added'); END;
CREATE TRIGGER photos_kept_1 BEFORE UPDATE ON photos BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER photos_kept_2 BEFORE DELETE ON photos BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER marks_kept_1 BEFORE UPDATE ON marks BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
CREATE TRIGGER marks_kept_2 BEFORE DELETE ON marks BEGIN SELECT RAISE(ABORT, 'marks are only added'); END;
CREATE TRIGGER blobs_kept_1 BEFORE UPDATE ON blobs BEGIN SELECT RAISE(ABORT, 'blobs are only added'); END;
CREATE TRIGGER blobs_kept_2 BEFORE DELETE ON blobs BEGIN SELECT RAISE(ABORT, 'blobs are only added'); END;
CREATE TRIGGER layouts_kept_1 BEFORE UPDATE ON layouts BEGIN SELECT RAISE(ABORT, 'layouts are only added'); END;
CREATE TRIGGER layouts_kept_2 BEFORE DELETE ON layouts BEGIN SELECT RAISE(ABORT, 'layouts are only added'); END;
CREATE TRIGGER layout_versions_kept_1 BEFORE UPDATE ON layout_versions
  WHEN EXISTS (SELECT 1 FROM readings WHERE layout_version = OLD.id)
    OR EXISTS (SELECT 1 FROM group_volts WHERE layout_version = OLD.id)
  BEGIN SELECT RAISE(ABORT, 'a layout version that readings rest on stays as it is'); END;
CREATE TRIGGER layout_versions_kept_2 BEFORE DELETE ON layout_versions BEGIN SELECT RAISE(ABORT, 'layout versions are kept'); END;
CREATE TRIGGER cases_kept BEFORE DELETE ON cases BEGIN SELECT RAISE(ABORT, 'cases are kept'); END;
CREATE TRIGGER settings_kept BEFORE DELETE ON settings BEGIN SELECT RAISE(ABORT, 'settings are kept'); END;
