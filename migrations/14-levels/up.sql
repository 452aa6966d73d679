-- What is kept of a wine now has when its level was last read, so that a barrel somebody has looked into is not asked
-- for at once. Deriving it anew is all that it needs.
SELECT 1;
