-- What is kept of a supply now has when it was first taken from, since its packet is open from then on: whichever entry that
-- is once one is voided, or written down late. Deriving it anew is all that it needs.
SELECT 1;
