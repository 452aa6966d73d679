-- What is kept of a gravity now has what sugar raised it by before the next reading, which the forecast of the ferment needs. Deriving
-- it anew is all that it needs.
SELECT 1;
