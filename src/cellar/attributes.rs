//! What is known of a thing, by name. Of each thing it is little and of a large cellar there are many, so that it lies side by
//! side in order of the names: a tree would keep room for eleven with each.

use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde::ser::{Serialize, Serializer};

use super::thing::Value;

/// Values by the names of the attributes, each once, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attributes(Vec<(Box<str>, Value)>);

impl Attributes {
    /// The value of that name.
    pub fn get(&self, name: &str) -> Option<&Value> {
        let at = self.place(name).ok()?;
        Some(&self.0[at].1)
    }

    /// The names, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|it| &*it.0)
    }

    /// Sets it.
    pub fn insert(&mut self, name: impl Into<Box<str>>, value: Value) {
        let name = name.into();
        match self.place(&name) {
            Ok(at) => self.0[at].1 = value,
            Err(at) => self.0.insert(at, (name, value)),
        }
    }

    /// Takes it away, if there is one.
    pub fn remove(&mut self, name: &str) {
        if let Ok(at) = self.place(name) {
            self.0.remove(at);
        }
    }

    /// Where that name stands, or would.
    fn place(&self, name: &str) -> Result<usize, usize> {
        self.0.binary_search_by(|it| (*it.0).cmp(name))
    }
}

impl<Name: Into<Box<str>>> FromIterator<(Name, Value)> for Attributes {
    fn from_iter<I: IntoIterator<Item = (Name, Value)>>(all: I) -> Attributes {
        let mut attributes = Attributes::default();
        for (name, value) in all {
            attributes.insert(name, value);
        }
        attributes.0.shrink_to_fit();
        attributes
    }
}

impl Serialize for Attributes {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

impl<'de> Deserialize<'de> for Attributes {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Attributes, D::Error> {
        struct ByName;

        impl<'de> Visitor<'de> for ByName {
            type Value = Attributes;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("values by name")
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Attributes, M::Error> {
                let each = std::iter::from_fn(|| map.next_entry::<Box<str>, Value>().transpose());
                each.collect()
            }
        }

        from.deserialize_map(ByName)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(attributes: &Attributes) -> String {
        serde_json::to_string(attributes).unwrap()
    }

    #[test]
    fn they_are_in_order_of_their_names_and_each_is_there_once() {
        let mut all: Attributes = [("size_ml", Value::Int(375)), ("name", "Elder".into())]
            .into_iter()
            .collect();
        all.insert("size_ml", Value::Int(750));
        all.insert("closure", "cork".into());
        let text = r#"{"closure":"cork","name":"Elder","size_ml":750}"#;
        assert_eq!(written(&all), text);
        assert_eq!(
            all.names().collect::<Vec<_>>(),
            ["closure", "name", "size_ml"]
        );
        assert_eq!(all.get("size_ml"), Some(&Value::Int(750)));
        assert_eq!(all.get("size"), None);
    }

    #[test]
    fn they_are_read_as_they_were_written() {
        let text = r#"{"brim_ul":20000000,"name":"Carboy A","neck_mm":30.5}"#;
        let all: Attributes = serde_json::from_str(text).unwrap();
        assert_eq!(written(&all), text);
    }

    #[test]
    fn one_taken_away_is_there_no_more() {
        let mut all: Attributes = [("name", "Jug".into()), ("room", "shed".into())]
            .into_iter()
            .collect();
        all.remove("name");
        all.remove("brim_ul");
        assert_eq!(written(&all), r#"{"room":"shed"}"#);
    }
}
