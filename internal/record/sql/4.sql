-- How long one step of the work took, of so many of a thing; the plan learns from it.
CREATE TABLE took (
  id          TEXT PRIMARY KEY REFERENCES entry(id),
  at          TEXT NOT NULL,
  step        TEXT NOT NULL,
  minutes     REAL NOT NULL CHECK (minutes > 0),
  count       INTEGER NOT NULL CHECK (count >= 0),
  planned_min REAL NOT NULL CHECK (planned_min >= 0),
  about       TEXT REFERENCES entry(id),
  note        TEXT NOT NULL
) STRICT;

-- A plate as a revision's plan has it, by the plan's own reckoning.
CREATE TABLE plate (
  id          TEXT PRIMARY KEY REFERENCES entry(id),
  revision    TEXT NOT NULL REFERENCES revision(id),
  number      INTEGER NOT NULL CHECK (number > 0),
  planned_min REAL NOT NULL CHECK (planned_min >= 0),
  resin_ml    REAL NOT NULL CHECK (resin_ml >= 0)
) STRICT;
CREATE INDEX plate_revision ON plate(revision);

-- A part as it lies on a plate of a revision, and the digest of what is printed of it,
-- the engraved code apart: parts of two revisions with one digest are the same.
CREATE TABLE laid (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  revision TEXT NOT NULL REFERENCES revision(id),
  plate    INTEGER NOT NULL CHECK (plate > 0),
  name     TEXT NOT NULL,
  place    TEXT NOT NULL,
  shape    TEXT NOT NULL CHECK (length(shape) = 64)
) STRICT;
CREATE INDEX laid_revision ON laid(revision);

-- SHA-256 of the inputs that shape what is printed; empty: built before this was kept.
ALTER TABLE revision ADD COLUMN shape TEXT NOT NULL DEFAULT '';
-- What a file was, so far as a change of it can be told in words: one fact a line.
ALTER TABLE file ADD COLUMN facts TEXT NOT NULL DEFAULT '';
-- What was used up, so that it is drawn from what is at home.
ALTER TABLE print ADD COLUMN resin TEXT NOT NULL DEFAULT '';
ALTER TABLE weighing ADD COLUMN silicone TEXT NOT NULL DEFAULT '';
-- A filling that was made keeps until then.
ALTER TABLE batch ADD COLUMN keeps_until TEXT NOT NULL DEFAULT '';
-- From the first stir until it was poured, as the plan had it.
ALTER TABLE timer_end ADD COLUMN planned_min REAL NOT NULL DEFAULT 0 CHECK (planned_min >= 0);
