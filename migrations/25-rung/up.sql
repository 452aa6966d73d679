-- Timers that rang, so that one which ran out while the program was shut rings as it is opened, and none rings twice, however many
-- windows are open. A bell is no part of the book: it is heard once, and undo has nothing to do with it.
CREATE TABLE rung (
    until_ms INTEGER NOT NULL,
    words    TEXT    NOT NULL,
    PRIMARY KEY (until_ms, words)
) STRICT, WITHOUT ROWID;
