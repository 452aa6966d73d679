-- What is kept of a run has bottles that differ in their slot alone side by side in one row, so that a
-- cellar with many slots is read sooner. What is kept of a wine has the sorbate that was weighed into it, and
-- the sugar since its gravity was read, and of each gravity how warm it was then. Deriving it anew is all that it needs.
SELECT 1;
