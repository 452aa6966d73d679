-- The air that a wine met is now kept by how it met it: opened, poured, or filled into bottles, since a racking costs far more free SO2
-- than an opening does. Deriving it anew is all that it needs.
SELECT 1;
