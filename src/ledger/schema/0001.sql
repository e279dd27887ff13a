-- The book of litres. Amounts are whole microlitres (uL) or whole nanograms (ng): nothing rounds.
-- What is written in entry, transfer, place, solution and training is never changed or removed;
-- fill, holding, month, bath and film follow from it and are kept so that a tally need not add up.

CREATE TABLE place (
    id       INTEGER PRIMARY KEY,
    entry    INTEGER NOT NULL,
    name     TEXT NOT NULL UNIQUE,
    kind     TEXT NOT NULL CHECK (kind IN ('bottle', 'tray', 'container', 'trap', 'source', 'sink')),
    stream   TEXT,
    unit     TEXT CHECK (unit IN ('uL', 'ng')),
    capacity INTEGER CHECK (capacity > 0)
) STRICT;

CREATE TABLE solution (
    id         INTEGER PRIMARY KEY,
    name       TEXT NOT NULL,
    stream     TEXT NOT NULL,
    keeps_days INTEGER NOT NULL,
    mm2_per_l  INTEGER NOT NULL,
    UNIQUE (name, stream, keeps_days, mm2_per_l)
) STRICT;

CREATE TABLE entry (
    number   INTEGER PRIMARY KEY,
    kind     TEXT NOT NULL,
    day      TEXT NOT NULL CHECK (day GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
    who      TEXT NOT NULL,
    note     TEXT NOT NULL,
    session  TEXT NOT NULL,
    reverses INTEGER UNIQUE REFERENCES entry (number),
    details  TEXT NOT NULL,
    hash     BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;

CREATE INDEX entry_by_day ON entry (day);

CREATE TABLE transfer (
    entry       INTEGER NOT NULL REFERENCES entry (number),
    line        INTEGER NOT NULL,
    source      INTEGER NOT NULL REFERENCES place (id),
    destination INTEGER NOT NULL REFERENCES place (id),
    solution    INTEGER NOT NULL REFERENCES solution (id),
    unit        TEXT NOT NULL CHECK (unit IN ('uL', 'ng')),
    amount      INTEGER NOT NULL CHECK (amount > 0),
    PRIMARY KEY (entry, line)
) STRICT, WITHOUT ROWID;

CREATE TABLE training (
    entry     INTEGER PRIMARY KEY REFERENCES entry (number),
    person    TEXT NOT NULL,
    given_by  TEXT NOT NULL,
    day       TEXT NOT NULL,
    chemicals TEXT NOT NULL
) STRICT;

CREATE TABLE fill (
    place  INTEGER NOT NULL,
    unit   TEXT NOT NULL,
    amount INTEGER NOT NULL,
    since  TEXT,
    PRIMARY KEY (place, unit)
) STRICT, WITHOUT ROWID;

CREATE TABLE holding (
    place    INTEGER NOT NULL,
    solution INTEGER NOT NULL,
    unit     TEXT NOT NULL,
    amount   INTEGER NOT NULL,
    PRIMARY KEY (place, solution, unit)
) STRICT, WITHOUT ROWID;

CREATE TABLE month (
    month  TEXT NOT NULL,
    stream TEXT NOT NULL,
    unit   TEXT NOT NULL,
    amount INTEGER NOT NULL,
    PRIMARY KEY (month, stream, unit)
) STRICT, WITHOUT ROWID;

CREATE TABLE bath (
    place INTEGER PRIMARY KEY,
    mm2   INTEGER NOT NULL
) STRICT;

CREATE TABLE film (
    material TEXT PRIMARY KEY,
    mm2      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Where matter comes from and goes to outside the room; only these may go below zero.
INSERT INTO place (id, entry, name, kind) VALUES
    (1, 0, 'mixed', 'source'),
    (2, 0, 'stock at start', 'source'),
    (3, 0, 'unaccounted', 'source'),
    (4, 0, 'collected', 'sink'),
    (5, 0, 'evaporated', 'sink'),
    (6, 0, 'spilled', 'sink'),
    (7, 0, 'carried over', 'sink');

CREATE TRIGGER entry_follows BEFORE INSERT ON entry
WHEN NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM entry)
BEGIN SELECT raise(ABORT, 'entries are numbered without gaps'); END;

CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT raise(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT raise(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER transfer_stays BEFORE UPDATE ON transfer BEGIN SELECT raise(ABORT, 'entries are never changed'); END;
CREATE TRIGGER transfer_kept BEFORE DELETE ON transfer BEGIN SELECT raise(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER place_stays BEFORE UPDATE ON place BEGIN SELECT raise(ABORT, 'places are never changed'); END;
CREATE TRIGGER place_kept BEFORE DELETE ON place BEGIN SELECT raise(ABORT, 'places are never deleted'); END;
CREATE TRIGGER solution_stays BEFORE UPDATE ON solution BEGIN SELECT raise(ABORT, 'solutions are never changed'); END;
CREATE TRIGGER solution_kept BEFORE DELETE ON solution BEGIN SELECT raise(ABORT, 'solutions are never deleted'); END;
CREATE TRIGGER training_stays BEFORE UPDATE ON training BEGIN SELECT raise(ABORT, 'training records are never changed'); END;
CREATE TRIGGER training_kept BEFORE DELETE ON training BEGIN SELECT raise(ABORT, 'training records are never deleted'); END;
