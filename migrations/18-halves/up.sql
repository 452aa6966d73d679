-- The rest of a half dose was known by the title of its job, and is known by the verb that does it from now on. What is kept of a
-- wine has that it waits for the second part of a fining, so that this follows it; deriving it anew is all that that needs.
DROP TRIGGER job_stays;
UPDATE job SET verb = 'dose' WHERE verb = 'measure' AND title = 'test free SO2, then give the rest';
CREATE TRIGGER job_stays BEFORE UPDATE ON job
BEGIN SELECT raise(ABORT, 'the book is append-only'); END;
