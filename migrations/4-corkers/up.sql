-- A corker is a thing like any other, with a setting for each length of cork and size of bottle, so that a
-- household with two of them need not remember which was set how. No table changes; setting one is a deed of
-- its own. What was written as one line of the settings stays there and is read as the one corker's.
INSERT INTO kind (word) VALUES ('corker');
