-- The casebook, version 3: why a reading that was doubted is kept as read.

ALTER TABLE readings ADD COLUMN stands TEXT;
