-- The air that a wine met is now kept by how it met it: opened, poured, or filled into bottles, since a racking costs far more free SO2
-- than an opening does; and honey, dextrose and syrup are counted with the gravity that they raised. Deriving it anew is all that this
-- needs.
SELECT 1;
