-- What is kept of a wine now has the levels that it fell from since its vessel was filled, so that air counts from the draw
-- that left it. Deriving it anew is all that it needs.
SELECT 1;
