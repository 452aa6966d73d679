-- What is kept of a wine now has when it was racked the time before the last, since who racks for the bottling takes nothing from the
-- rest that it had until then. Deriving it anew is all that it needs.
SELECT 1;
