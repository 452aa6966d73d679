-- What is kept of a wine now has when its cap of skins was last pushed under, so that it is asked for once a day until it is
-- pressed. Deriving it anew is all that it needs.
SELECT 1;
