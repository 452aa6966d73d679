-- Sanitising outside a bottling is a deed of its own, since it draws down powder. No table changes. What is
-- kept of a lot now tells what went into wine from what went elsewhere, so that a sanitizer is not taken for
-- a dose; deriving it anew is all that it needs.
INSERT INTO kind (word) VALUES ('sanitise');
