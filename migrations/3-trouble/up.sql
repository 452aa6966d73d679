-- A wine may be marked as troubled, with the fault a person noticed, until it is over. The fault is a
-- reading of the wine, so that no table changes; marking and lifting are deeds of their own, and the
-- book names each by its kind.
INSERT INTO kind (word) VALUES ('trouble'), ('trouble-over');
