-- What is kept of a run has how many of its bottles were looked at some at a time, so that only the
-- others are asked for. Deriving it anew is all that it needs.
SELECT 1;
