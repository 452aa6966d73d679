-- Bottles get racks with slots, bins and cases. A rack is a thing like any other and a bottle's spot
-- stays the text it was, so no table changes; but changing a rack, describing a run of bottles and
-- taking back what was given are deeds of their own, and the book names each by its kind.
INSERT INTO kind (word) VALUES ('shelves'), ('bottles'), ('back');
