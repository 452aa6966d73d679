-- What is kept of a wine now has how it was kept until it was moved or its level fell, which its forecast needs, and
-- that sugar went in, so that a gravity that rose by it is none that rose by itself, and its last tests of malic
-- acid; of a run it has who was given
-- how many bottles. Deriving it anew is all that it needs.
SELECT 1;
