-- The casebook, version 9: photos that lie under the drawing of a layout.

-- One row for a layout and a photo, which may be added again after it was withdrawn.
CREATE TABLE layout_photos (
  id        TEXT PRIMARY KEY CHECK (id = layout_id || '/' || body),
  seq       INTEGER NOT NULL REFERENCES events (seq) DEFERRABLE INITIALLY DEFERRED,
  ord       INTEGER NOT NULL,
  layout_id TEXT NOT NULL REFERENCES layouts (id),
  name      TEXT NOT NULL,    -- of the file that it came from
  size      INTEGER NOT NULL, -- bytes
  body      TEXT NOT NULL REFERENCES blobs (sha256)
) STRICT;
CREATE INDEX layout_photos_by_layout ON layout_photos (layout_id, seq, ord);
CREATE INDEX layout_photos_by_body ON layout_photos (body);
CREATE TRIGGER layout_photos_kept_1 BEFORE UPDATE ON layout_photos BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
CREATE TRIGGER layout_photos_kept_2 BEFORE DELETE ON layout_photos BEGIN SELECT RAISE(ABORT, 'photos are only added'); END;
