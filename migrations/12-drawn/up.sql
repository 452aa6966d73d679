-- What is left of a supply lacks what was taken out of it before its lot was written down. Deriving it anew
-- is all that it needs.
SELECT 1;
