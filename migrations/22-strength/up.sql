-- Sulfite is kept with how far off it is by the age of its powder, and its sum since the must as if the powder were fresh. Deriving it
-- anew is all that it needs.
SELECT 1;
