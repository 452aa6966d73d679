-- A bottling may be written anew with another count, and that be undone: bottles that an entry counts are
-- kept with it, and those pressed one by one at the spout, with no entry of their own, go on from there.
ALTER TABLE filling ADD COLUMN counted_in INTEGER REFERENCES entry (key);
