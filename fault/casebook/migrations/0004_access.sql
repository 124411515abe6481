-- The casebook, version 4: whether all boards are out in a state, and the
-- workshop's own access minutes.

ALTER TABLE states ADD COLUMN boards TEXT CHECK (boards IN ('out'));
ALTER TABLE cases ADD COLUMN minutes TEXT CHECK (json_valid(minutes)); -- by id of a link or board; min
