-- What is written anew stands where it stood among the entries of its moment, so that mending the first of a day's two
-- rackings does not put it behind the second; and what undo wrote again is known as that. Entries from before keep
-- their order: NULL is the entry's own number.
ALTER TABLE entry ADD COLUMN stands INTEGER;
ALTER TABLE entry ADD COLUMN restores INTEGER;

DROP TABLE standing;
CREATE TABLE standing (
    place   INTEGER NOT NULL,
    when_ms INTEGER NOT NULL,
    stands  INTEGER NOT NULL,
    entry   INTEGER NOT NULL,
    state   TEXT
) STRICT;
-- The last row of a place at a moment is one seek.
CREATE UNIQUE INDEX standing_of_place ON standing (place, when_ms, stands, entry);
-- The rows of one entry, when it is voided or refolded.
CREATE INDEX standing_of_entry ON standing (entry);
