-- What broke, was spilled, drawn or refused at the spout can be taken back, by events of their own that an older
-- program would not know. What is kept of a bottling run now has the bottles that broke and the closures that
-- were refused, since they are gone from the stock too; deriving it anew is all that it needs.
SELECT 1;
