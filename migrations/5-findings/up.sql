-- A look may find something amiss with one bottle and not with its run: a cork that rises, a neck that
-- seeps. What was found stays with those bottles wherever they are moved, so it is part of their spot.
-- Moves written before have nothing there.
ALTER TABLE bottle_move ADD COLUMN from_found TEXT;
ALTER TABLE bottle_move ADD COLUMN to_found TEXT;
