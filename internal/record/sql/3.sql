-- The names of a revision's list, so that what changed in it can be told.
ALTER TABLE revision ADD COLUMN names TEXT NOT NULL DEFAULT '';

-- A piece's heights as they were in a revision, coarse, as a 16-bit grey PNG in base 64:
-- what the map of differences is made of. Only pieces whose heights are new have one.
CREATE TABLE heights (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  revision TEXT NOT NULL REFERENCES revision(id),
  piece    TEXT NOT NULL,
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  pitch_mm REAL NOT NULL CHECK (pitch_mm > 0),
  step_mm  REAL NOT NULL CHECK (step_mm > 0),
  x0_mm    REAL NOT NULL,
  y0_mm    REAL NOT NULL,
  png      TEXT NOT NULL
) STRICT;
CREATE INDEX heights_piece ON heights(piece);
