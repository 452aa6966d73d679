//! Racks, and bottles shifted, described or brought back, as a notebook has it.

use uuid::Uuid;

use super::{Telling, bottles};
use crate::cellar::entry::Spot;
use crate::cellar::racks::Rack;
use crate::cellar::thing::{Key, Sort, Thing, Value, field};

impl Telling<'_> {
    pub(super) fn shifted(&self) -> String {
        format!("Moved {} to {}", self.moved_bottles(), self.places())
    }

    pub(super) fn came_back(&self) -> String {
        let full = self.draft.bottles.first().map(|it| &it.to);
        let full = matches!(full, Some(Spot::Kept(_)));
        let (state, at) = match (full, self.places().as_str()) {
            (false, _) if self.draft.supplies.is_empty() => (", empty", String::new()),
            (false, _) => (", empty, to be washed", String::new()),
            (true, "") => (", full", String::new()),
            (true, places) => (", full", format!(", to {places}")),
        };
        let whom = match bottles::recipient(self.draft) {
            "" => String::new(),
            from => format!(" {from}"),
        };
        format!("Had {} back{whom}{state}{at}", self.moved_bottles())
    }

    pub(super) fn described(&self) -> String {
        let said: Vec<String> = self
            .changes()
            .filter_map(|(name, value)| match (name, value) {
                (field::COLOUR, Some(Value::Text(word))) => Some(format!("{word} glass")),
                (field::SHAPE, Some(Value::Text(word))) => Some(format!("{word} bottle")),
                (field::RUN_MARK, Some(Value::Text(word))) => Some(format!("marked {word}")),
                (_, Some(Value::Text(word))) => Some(word.clone()),
                _ => None,
            })
            .collect();
        format!("Described {}: {}", self.subject(), said.join(", "))
    }

    pub(super) fn shelves(&self) -> String {
        let rack = self.subject();
        if self.changes().any(|it| it.0 == field::CLOSED) {
            return format!("Retired {rack}");
        }
        let set = self
            .changes()
            .filter_map(|(name, value)| Some((name.to_owned(), value?.clone())));
        let as_set = Thing {
            key: Key(0),
            uid: Uuid::nil(),
            sort: Sort::Rack,
            attributes: set.collect(),
        };
        let shape = Rack::of(&as_set).map_or_else(String::new, |it| it.shape());
        if self.draft.new_things.is_empty() {
            format!("Changed {rack} to {shape}")
        } else {
            format!("Added {rack}, {shape}")
        }
    }
}
