-- What is kept of a run has when all its bottles were last looked at, and whether what was found amiss with
-- some of them was settled by a further look. Deriving it anew is all that it needs.
SELECT 1;
