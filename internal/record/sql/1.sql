-- What is common to all rows: order, kind, when it was written, by which version of the
-- program, and the SHA-256 of its content.
CREATE TABLE entry (
  seq        INTEGER PRIMARY KEY AUTOINCREMENT,
  id         TEXT NOT NULL UNIQUE CHECK (length(id) BETWEEN 8 AND 64),
  kind       TEXT NOT NULL,
  written_at TEXT NOT NULL,
  version    TEXT NOT NULL,
  sha256     TEXT NOT NULL CHECK (length(sha256) = 64)
) STRICT;

-- The entry is struck out: it was a mistake. It stays readable.
CREATE TABLE withdrawal (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  entry TEXT NOT NULL REFERENCES entry(id),
  why   TEXT NOT NULL
) STRICT;

-- The person says that the clock is right although it is behind the last entry.
CREATE TABLE clock (
  id TEXT PRIMARY KEY REFERENCES entry(id),
  was_at TEXT NOT NULL
) STRICT;

-- A picture beside the job file, under the name of its digest.
CREATE TABLE photo (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  file     TEXT NOT NULL,
  bytes    INTEGER NOT NULL CHECK (bytes > 0),
  width_px INTEGER NOT NULL CHECK (width_px > 0),
  height_px INTEGER NOT NULL CHECK (height_px > 0),
  words    TEXT NOT NULL
) STRICT;

-- Inputs that were built: the job file's text, and what changed against the one before.
CREATE TABLE revision (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  at       TEXT NOT NULL,
  code     TEXT NOT NULL,
  digest   TEXT NOT NULL CHECK (length(digest) = 64),
  program  TEXT NOT NULL,
  title    TEXT NOT NULL,
  job_text TEXT NOT NULL,
  "before" TEXT REFERENCES revision(id),
  changes  TEXT NOT NULL
) STRICT;
CREATE INDEX revision_code ON revision(code);

-- A file of a revision: one that it was made of (input) or that it made (made).
CREATE TABLE file (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  revision TEXT NOT NULL REFERENCES revision(id),
  role     TEXT NOT NULL CHECK (role IN ('input', 'made')),
  name     TEXT NOT NULL,
  sha256   TEXT NOT NULL CHECK (length(sha256) = 64),
  bytes    INTEGER NOT NULL CHECK (bytes >= 0)
) STRICT;
CREATE INDEX file_sha256 ON file(sha256);

-- One run of the printer, and what came of each part on the plate.
CREATE TABLE print (
  id          TEXT PRIMARY KEY REFERENCES entry(id),
  at          TEXT NOT NULL,
  plate       INTEGER NOT NULL CHECK (plate >= 0),
  revision    TEXT REFERENCES revision(id),
  code        TEXT NOT NULL,
  minutes     REAL NOT NULL CHECK (minutes >= 0),
  planned_min REAL NOT NULL CHECK (planned_min >= 0),
  resin_ml    REAL NOT NULL CHECK (resin_ml >= 0),
  note        TEXT NOT NULL
) STRICT;

CREATE TABLE part (
  id      TEXT PRIMARY KEY REFERENCES entry(id),
  print   TEXT NOT NULL REFERENCES print(id),
  name    TEXT NOT NULL,
  outcome TEXT NOT NULL CHECK (outcome IN ('good', 'flawed', 'failed')),
  place   TEXT NOT NULL,
  why     TEXT NOT NULL,
  photo   TEXT REFERENCES photo(id)
) STRICT;
CREATE INDEX part_print ON part(print);

CREATE TABLE cure_test (
  id        TEXT PRIMARY KEY REFERENCES entry(id),
  day       TEXT NOT NULL,
  resin     TEXT NOT NULL,
  treatment TEXT NOT NULL,
  coating   TEXT NOT NULL,
  silicone  TEXT NOT NULL,
  outcome   TEXT NOT NULL CHECK (outcome IN ('liquid', 'gummy', 'tacky skin', 'clean')),
  note      TEXT NOT NULL,
  photo     TEXT REFERENCES photo(id)
) STRICT;

CREATE TABLE pour (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  at       TEXT NOT NULL,
  tray     INTEGER NOT NULL CHECK (tray >= 0),
  code     TEXT NOT NULL,
  silicone TEXT NOT NULL,
  lot      TEXT NOT NULL,
  room_c   REAL NOT NULL,
  note     TEXT NOT NULL
) STRICT;

-- What stood on the scale: of a cup of a pour, or of anything else.
CREATE TABLE weighing (
  id        TEXT PRIMARY KEY REFERENCES entry(id),
  at        TEXT NOT NULL,
  pour      TEXT REFERENCES pour(id),
  cup       INTEGER NOT NULL CHECK (cup >= 0),
  what      TEXT NOT NULL,
  mass_g    REAL NOT NULL CHECK (mass_g >= 0),
  planned_g REAL NOT NULL CHECK (planned_g >= 0)
) STRICT;

CREATE TABLE mould (
  id   TEXT PRIMARY KEY REFERENCES entry(id),
  at   TEXT NOT NULL,
  name TEXT NOT NULL,
  tray INTEGER NOT NULL CHECK (tray >= 0),
  code TEXT NOT NULL,
  pour TEXT REFERENCES pour(id),
  note TEXT NOT NULL
) STRICT;

-- A use of a mould, its care, its wear, its end.
CREATE TABLE mould_use (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  at    TEXT NOT NULL,
  mould TEXT NOT NULL REFERENCES mould(id),
  what  TEXT NOT NULL CHECK (what IN ('cast', 'care', 'wear', 'put away')),
  casts INTEGER NOT NULL CHECK (casts >= 0),
  place TEXT NOT NULL,
  note  TEXT NOT NULL,
  photo TEXT REFERENCES photo(id)
) STRICT;

-- What is at home, as it came in; moves draw it down.
CREATE TABLE stock (
  id          TEXT PRIMARY KEY REFERENCES entry(id),
  at          TEXT NOT NULL,
  what        TEXT NOT NULL,
  amount      REAL NOT NULL CHECK (amount >= 0),
  unit        TEXT NOT NULL CHECK (unit IN ('g', 'ml', 'piece', 'pair')),
  lot         TEXT NOT NULL,
  opened      TEXT NOT NULL,
  keeps_until TEXT NOT NULL,
  note        TEXT NOT NULL
) STRICT;

CREATE TABLE stock_move (
  id     TEXT PRIMARY KEY REFERENCES entry(id),
  at     TEXT NOT NULL,
  stock  TEXT NOT NULL REFERENCES stock(id),
  amount REAL NOT NULL,
  opened TEXT NOT NULL,
  why    TEXT NOT NULL,
  about  TEXT REFERENCES entry(id)
) STRICT;

-- A batch of the kitchen: a filling, or pieces of one design.
CREATE TABLE batch (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  at    TEXT NOT NULL,
  lot   TEXT NOT NULL,
  what  TEXT NOT NULL,
  made  REAL NOT NULL CHECK (made >= 0),
  unit  TEXT NOT NULL CHECK (unit IN ('g', 'piece')),
  mould TEXT REFERENCES mould(id),
  note  TEXT NOT NULL
) STRICT;

-- What went into a batch: a bought lot, or another batch.
CREATE TABLE batch_lot (
  id     TEXT PRIMARY KEY REFERENCES entry(id),
  batch  TEXT NOT NULL REFERENCES batch(id),
  what   TEXT NOT NULL,
  lot    TEXT NOT NULL,
  mass_g REAL NOT NULL CHECK (mass_g >= 0),
  stock  TEXT REFERENCES stock(id)
) STRICT;
CREATE INDEX batch_lot_lot ON batch_lot(lot);

CREATE TABLE loss (
  id     TEXT PRIMARY KEY REFERENCES entry(id),
  batch  TEXT NOT NULL REFERENCES batch(id),
  what   TEXT NOT NULL,
  amount REAL NOT NULL CHECK (amount >= 0),
  unit   TEXT NOT NULL CHECK (unit IN ('g', 'piece')),
  why    TEXT NOT NULL
) STRICT;

CREATE TABLE box (
  id       TEXT PRIMARY KEY REFERENCES entry(id),
  at       TEXT NOT NULL,
  lot      TEXT NOT NULL,
  receiver TEXT NOT NULL,
  note     TEXT NOT NULL
) STRICT;

CREATE TABLE content (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  box   TEXT NOT NULL REFERENCES box(id),
  batch TEXT NOT NULL REFERENCES batch(id),
  what  TEXT NOT NULL,
  count INTEGER NOT NULL CHECK (count > 0)
) STRICT;
CREATE INDEX content_batch ON content(batch);
