-- The person's own points of the pre-print checklist; a point may once have cost a print.
CREATE TABLE point (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  words TEXT NOT NULL
) STRICT;

CREATE TABLE point_cost (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  at    TEXT NOT NULL,
  words TEXT NOT NULL,
  why   TEXT NOT NULL,
  print TEXT REFERENCES print(id)
) STRICT;

-- A plate that was released for printing, with the points that were ticked.
CREATE TABLE "release" (
  id     TEXT PRIMARY KEY REFERENCES entry(id),
  at     TEXT NOT NULL,
  plate  INTEGER NOT NULL CHECK (plate >= 0),
  code   TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  points TEXT NOT NULL
) STRICT;

-- A timer keeps the instant at which it was started, and so runs while all is shut.
CREATE TABLE timer (
  id      TEXT PRIMARY KEY REFERENCES entry(id),
  at      TEXT NOT NULL,
  name    TEXT NOT NULL,
  minutes REAL NOT NULL CHECK (minutes > 0),
  pour    TEXT REFERENCES pour(id)
) STRICT;

CREATE TABLE timer_end (
  id    TEXT PRIMARY KEY REFERENCES entry(id),
  at    TEXT NOT NULL,
  timer TEXT NOT NULL REFERENCES timer(id)
) STRICT;

-- A task of the calendar that was begun, and later that it was done.
CREATE TABLE task (
  id      TEXT PRIMARY KEY REFERENCES entry(id),
  name    TEXT NOT NULL,
  from_at TEXT NOT NULL,
  to_at   TEXT NOT NULL,
  failed  INTEGER NOT NULL CHECK (failed IN (0, 1))
) STRICT;
