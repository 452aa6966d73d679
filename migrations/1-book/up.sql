-- The cellar book. Entries and all that hangs on them are only ever added to: a mistake is voided
-- by a further entry, so that every litre stays accounted for and two copies can meet again.
-- What is where is derived from them by one fold; the tables at the end keep its results so that
-- opening a cellar does not read its whole life, and may be thrown away and rebuilt at any time.
-- Volumes are whole microlitres, masses whole micrograms, times UTC milliseconds.

-- Tells a cellar from any other SQLite file before anything in it is touched: "Lees".
PRAGMA application_id = 0x4C656573;

-- Kinds are a table and not a CHECK, so that a new kind is one row and not a rebuilt table.
CREATE TABLE kind (
    word TEXT NOT NULL PRIMARY KEY
) STRICT, WITHOUT ROWID;

INSERT INTO kind (word) VALUES
    ('here'), ('receive'), ('pitch'), ('feed'), ('punch-down'), ('press'), ('rack'), ('top-up'),
    ('split'), ('blend'), ('draw'), ('measure'), ('taste'), ('add'), ('fine'), ('filter'),
    ('sterile-filter'), ('degas'), ('chill'), ('warm'), ('oak-in'), ('oak-out'), ('start-malo'), ('sweeten'),
    ('stabilise'), ('cover'), ('move'), ('bottle'), ('lay-down'), ('open'), ('give'), ('reserve'),
    ('break'), ('discard'), ('unbottle'), ('lose'), ('buy'), ('stock-take'), ('adjust'), ('note'),
    ('jot'), ('plan'), ('done'), ('round'), ('snooze'), ('dismiss'), ('vessel'), ('batch'),
    ('settings'), ('void');

-- A thing is an identity; all that is known of it is set by entries.
CREATE TABLE thing (
    key  INTEGER NOT NULL PRIMARY KEY,
    uid  BLOB    NOT NULL UNIQUE CHECK (length(uid) = 16),
    sort TEXT    NOT NULL
) STRICT;

-- The outside accounts and the cellar itself are the same things in every cellar file, so their
-- uids are fixed; the first key that a person's own thing can get is 101.
INSERT INTO thing (key, uid, sort) VALUES
    (1,   X'00000000000070008000000000000001', 'account'),
    (2,   X'00000000000070008000000000000002', 'account'),
    (3,   X'00000000000070008000000000000003', 'account'),
    (4,   X'00000000000070008000000000000004', 'account'),
    (5,   X'00000000000070008000000000000005', 'account'),
    (6,   X'00000000000070008000000000000006', 'account'),
    (7,   X'00000000000070008000000000000007', 'account'),
    (8,   X'00000000000070008000000000000008', 'account'),
    (9,   X'00000000000070008000000000000009', 'account'),
    (10,  X'0000000000007000800000000000000A', 'account'),
    (11,  X'0000000000007000800000000000000B', 'account'),
    (12,  X'0000000000007000800000000000000C', 'account'),
    (13,  X'0000000000007000800000000000000D', 'account'),
    (14,  X'0000000000007000800000000000000E', 'account'),
    (15,  X'0000000000007000800000000000000F', 'account'),
    (16,  X'00000000000070008000000000000010', 'account'),
    (17,  X'00000000000070008000000000000011', 'account'),
    (18,  X'00000000000070008000000000000012', 'account'),
    (100, X'00000000000070008000000000000064', 'cellar');

-- One thing that happened. The key is the recording order.
CREATE TABLE entry (
    key         INTEGER NOT NULL PRIMARY KEY,
    uid         BLOB    NOT NULL UNIQUE CHECK (length(uid) = 16),
    when_ms     INTEGER NOT NULL,
    offset_min  INTEGER NOT NULL,
    recorded_ms INTEGER NOT NULL,
    by_whom     TEXT    NOT NULL,
    kind        TEXT    NOT NULL REFERENCES kind (word),
    note        TEXT    NOT NULL,
    subject     INTEGER REFERENCES thing (key),
    voids       INTEGER REFERENCES entry (key),
    amends      INTEGER REFERENCES entry (key),
    from_jot    INTEGER REFERENCES entry (key)
) STRICT;

-- The book is listed in fold order, newest first.
CREATE INDEX entry_in_order ON entry (when_ms, key);
-- Lists of one kind, the last cellar round, the open jots.
CREATE INDEX entry_of_kind ON entry (kind, when_ms, key);
-- Whether an entry still counts is asked for every row of every list; an entry is voided once.
CREATE UNIQUE INDEX entry_voids ON entry (voids) WHERE voids IS NOT NULL;
-- Whether a jot was made into entries.
CREATE INDEX entry_from_jot ON entry (from_jot) WHERE from_jot IS NOT NULL;
-- What an entry was re-entered as.
CREATE INDEX entry_amends ON entry (amends) WHERE amends IS NOT NULL;

-- Which entry begins which thing. An entry that amends another takes its things over, so a thing
-- lives while any living entry begins it.
CREATE TABLE begun (
    entry INTEGER NOT NULL REFERENCES entry (key),
    seq   INTEGER NOT NULL,
    thing INTEGER NOT NULL REFERENCES thing (key),
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
-- Whether a thing lives, and where a bottling run begins.
CREATE INDEX begun_thing ON begun (thing, entry);

CREATE TABLE change (
    entry INTEGER NOT NULL REFERENCES entry (key),
    seq   INTEGER NOT NULL,
    thing INTEGER NOT NULL REFERENCES thing (key),
    field TEXT    NOT NULL,
    value ANY,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
-- The last living change of an attribute is looked up whenever one is made or voided.
CREATE INDEX change_of_thing ON change (thing, field);

CREATE TABLE movement (
    entry      INTEGER NOT NULL REFERENCES entry (key),
    seq        INTEGER NOT NULL,
    from_place INTEGER NOT NULL REFERENCES thing (key),
    to_place   INTEGER NOT NULL REFERENCES thing (key),
    how        TEXT    NOT NULL,
    amount_ul  INTEGER NOT NULL CHECK (amount_ul >= 0),
    about      INTEGER NOT NULL,
    batch      INTEGER REFERENCES thing (key),
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE reading (
    entry      INTEGER NOT NULL REFERENCES entry (key),
    seq        INTEGER NOT NULL,
    place      INTEGER NOT NULL REFERENCES thing (key),
    property   TEXT    NOT NULL,
    form       TEXT    NOT NULL,
    low        REAL,
    high       REAL,
    word       TEXT,
    typed      TEXT    NOT NULL,
    instrument TEXT    NOT NULL,
    rule       TEXT    NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
-- A chart asks for one property of one place.
CREATE INDEX reading_of_place ON reading (place, property);

CREATE TABLE addition (
    entry       INTEGER NOT NULL REFERENCES entry (key),
    seq         INTEGER NOT NULL,
    place       INTEGER NOT NULL REFERENCES thing (key),
    substance   TEXT    NOT NULL,
    unit        TEXT,
    dose        INTEGER CHECK (dose >= 0),
    so2_ug      INTEGER NOT NULL CHECK (so2_ug >= 0),
    lot         INTEGER REFERENCES thing (key),
    calculation TEXT    NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE tasting (
    entry INTEGER NOT NULL REFERENCES entry (key),
    seq   INTEGER NOT NULL,
    place INTEGER NOT NULL REFERENCES thing (key),
    words TEXT    NOT NULL,
    score REAL,
    sheet TEXT    NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

-- Each end is either an outside account or a spot in the cellar: posture, where, for whom.
CREATE TABLE bottle_move (
    entry         INTEGER NOT NULL REFERENCES entry (key),
    seq           INTEGER NOT NULL,
    run           INTEGER NOT NULL REFERENCES thing (key),
    size_ml       INTEGER NOT NULL CHECK (size_ml > 0),
    count         INTEGER NOT NULL CHECK (count >= 0),
    from_account  INTEGER REFERENCES thing (key),
    from_posture  TEXT,
    from_at       TEXT,
    from_reserved TEXT,
    to_account    INTEGER REFERENCES thing (key),
    to_posture    TEXT,
    to_at         TEXT,
    to_reserved   TEXT,
    about         INTEGER NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE supply_move (
    entry INTEGER NOT NULL REFERENCES entry (key),
    seq   INTEGER NOT NULL,
    lot   INTEGER NOT NULL REFERENCES thing (key),
    how   TEXT    NOT NULL,
    unit  TEXT,
    dose  INTEGER,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

-- A job has a key of its own, because a later entry closes it.
CREATE TABLE job (
    key       INTEGER NOT NULL PRIMARY KEY,
    entry     INTEGER NOT NULL REFERENCES entry (key),
    seq       INTEGER NOT NULL,
    subject   INTEGER NOT NULL REFERENCES thing (key),
    title     TEXT    NOT NULL,
    due_ms    INTEGER,
    gravity   REAL,
    verb      TEXT    NOT NULL,
    UNIQUE (entry, seq)
) STRICT;

CREATE TABLE job_closed (
    entry INTEGER NOT NULL REFERENCES entry (key),
    seq   INTEGER NOT NULL,
    job   INTEGER NOT NULL REFERENCES job (key),
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
-- Whether a job is still open.
CREATE INDEX job_closed_job ON job_closed (job);

CREATE TABLE silence (
    entry    INTEGER NOT NULL REFERENCES entry (key),
    seq      INTEGER NOT NULL,
    subject  INTEGER NOT NULL REFERENCES thing (key),
    reason   TEXT    NOT NULL,
    until_ms INTEGER,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
-- Most silences have run out; the board asks for those that have not. One for good never does.
CREATE INDEX silence_until ON silence (ifnull(until_ms, 9223372036854775807));

-- Presses at the filling spout: each is on disk before the digit changes. They hang on the entry
-- that begins the run.
CREATE TABLE filling (
    run      INTEGER NOT NULL REFERENCES thing (key),
    sequence INTEGER NOT NULL,
    event    TEXT    NOT NULL,
    size_ml  INTEGER NOT NULL CHECK (size_ml > 0),
    count    INTEGER NOT NULL CHECK (count > 0),
    at_ms    INTEGER NOT NULL,
    PRIMARY KEY (run, sequence)
) STRICT, WITHOUT ROWID;

-- The book is never rewritten, by us or by anyone's slip with another tool.
CREATE TRIGGER thing_stays BEFORE UPDATE ON thing
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER thing_is_kept BEFORE DELETE ON thing
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER begun_stays BEFORE UPDATE ON begun
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER begun_is_kept BEFORE DELETE ON begun
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER change_stays BEFORE UPDATE ON change
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER change_is_kept BEFORE DELETE ON change
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER movement_stays BEFORE UPDATE ON movement
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER movement_is_kept BEFORE DELETE ON movement
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER reading_stays BEFORE UPDATE ON reading
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER reading_is_kept BEFORE DELETE ON reading
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER addition_stays BEFORE UPDATE ON addition
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER addition_is_kept BEFORE DELETE ON addition
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER tasting_stays BEFORE UPDATE ON tasting
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER tasting_is_kept BEFORE DELETE ON tasting
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER bottle_move_stays BEFORE UPDATE ON bottle_move
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER bottle_move_is_kept BEFORE DELETE ON bottle_move
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER supply_move_stays BEFORE UPDATE ON supply_move
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER supply_move_is_kept BEFORE DELETE ON supply_move
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER job_stays BEFORE UPDATE ON job
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER job_is_kept BEFORE DELETE ON job
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER job_closed_stays BEFORE UPDATE ON job_closed
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER job_closed_is_kept BEFORE DELETE ON job_closed
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER silence_stays BEFORE UPDATE ON silence
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER silence_is_kept BEFORE DELETE ON silence
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER filling_stays BEFORE UPDATE ON filling
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
CREATE TRIGGER filling_is_kept BEFORE DELETE ON filling
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;

-- Derived from here on: what the fold says, kept so that nobody has to wait for it.

-- Derived. Every entry, voided ones too, by the things it names: a thing's own history, and
-- whether later entries point at it. Clustered by thing, in the order in which it is listed.
CREATE TABLE mention (
    thing   INTEGER NOT NULL,
    when_ms INTEGER NOT NULL,
    entry   INTEGER NOT NULL,
    PRIMARY KEY (thing, when_ms, entry)
) STRICT, WITHOUT ROWID;

-- Derived. The attributes of each living thing as JSON, one row to read per thing.
CREATE TABLE present (
    thing      INTEGER NOT NULL PRIMARY KEY,
    attributes TEXT    NOT NULL
) STRICT;

INSERT INTO present (thing, attributes) VALUES (100, '{}');

-- Derived. What each place holds after each living entry that reaches it, as JSON; NULL where it
-- holds nothing yet. Rows are too long to be kept in an index, hence a table with a rowid.
CREATE TABLE standing (
    place   INTEGER NOT NULL,
    when_ms INTEGER NOT NULL,
    entry   INTEGER NOT NULL,
    state   TEXT
) STRICT;
-- The last row of a place at a moment is one seek.
CREATE UNIQUE INDEX standing_of_place ON standing (place, when_ms, entry);
-- The rows of one entry, when it is voided or refolded.
CREATE INDEX standing_of_entry ON standing (entry);

-- Derived. The last row of each place once more, side by side: what the board shows, read in one go
-- instead of sought all over the file.
CREATE TABLE latest (
    place   INTEGER NOT NULL PRIMARY KEY,
    when_ms INTEGER NOT NULL,
    state   TEXT
) STRICT;

-- Derived. Jobs that no living entry has closed: a few among all that there ever were.
CREATE TABLE open_job (
    job INTEGER NOT NULL PRIMARY KEY
) STRICT;

-- Derived. Jots that nothing has been made of.
CREATE TABLE open_jot (
    entry INTEGER NOT NULL PRIMARY KEY
) STRICT;

-- Derived. Movements with the rest resolved to the microlitre.
CREATE TABLE flow (
    entry      INTEGER NOT NULL,
    seq        INTEGER NOT NULL,
    from_place INTEGER NOT NULL,
    to_place   INTEGER NOT NULL,
    volume_ul  INTEGER NOT NULL,
    makeup     TEXT    NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;

-- Derived. Rules that living entries break: none, unless two copies were merged.
CREATE TABLE finding (
    entry INTEGER NOT NULL,
    seq   INTEGER NOT NULL,
    place INTEGER NOT NULL,
    fault TEXT    NOT NULL,
    held  INTEGER NOT NULL,
    taken INTEGER NOT NULL,
    PRIMARY KEY (entry, seq)
) STRICT, WITHOUT ROWID;
