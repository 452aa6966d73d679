-- Bottles that were counted as they were filled are kept as so many, and no longer as about so many where the wine in the vessel
-- was. Deriving it anew is all that it needs.
SELECT 1;
