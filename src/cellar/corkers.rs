//! Corkers, each with how it is set for which cork and which bottle.

use super::snapshot::Snapshot;
use super::thing::{Key, Sort, Thing, field};

/// A corker.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Corker<'a> {
    /// The thing it is; none for the one that an older cellar has a line of settings for.
    pub key: Option<Key>,
    /// What it is called.
    pub name: &'a str,
    /// How it is set, the last written down last.
    pub settings: Vec<Setting>,
}

/// How a corker is set for a cork and a bottle; what nobody said it holds for all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Setting {
    /// Length of the cork, mm.
    pub cork_mm: Option<i64>,
    /// Size of the bottle, mL.
    pub bottle_ml: Option<i64>,
    /// As the corker has it: `3`, `2 mm proud`.
    pub at: String,
}

impl Setting {
    /// As one line of the attribute: `38|750|3`.
    fn of(line: &str) -> Option<Setting> {
        let mut parts = line.splitn(3, '|');
        let (cork, bottle, at) = (parts.next()?, parts.next()?, parts.next()?);
        Some(Setting {
            cork_mm: cork.parse().ok(),
            bottle_ml: bottle.parse().ok(),
            at: at.to_owned(),
        })
    }

    fn line(&self) -> String {
        let said = |it: Option<i64>| it.map_or_else(String::new, |it| it.to_string());
        format!(
            "{}|{}|{}",
            said(self.cork_mm),
            said(self.bottle_ml),
            self.at
        )
    }

    /// `3 for corks of 38 mm in bottles of 750 mL`.
    pub fn words(&self) -> String {
        let cork = self.cork_mm.map(|it| format!(" for corks of {it} mm"));
        let bottle = self.bottle_ml.map(|it| format!(" in bottles of {it} mL"));
        format!(
            "{}{}{}",
            self.at,
            cork.unwrap_or_default(),
            bottle.unwrap_or_default()
        )
    }

    /// How well it goes with a cork and a bottle: not at all where it is for another.
    fn goes_with(&self, cork_mm: Option<i64>, bottle_ml: Option<i64>) -> Option<u8> {
        let goes = |own: Option<i64>, wanted: Option<i64>, counts: u8| match (own, wanted) {
            (Some(own), Some(wanted)) => (own == wanted).then_some(counts),
            _ => Some(0),
        };
        Some(goes(self.cork_mm, cork_mm, 2)? + goes(self.bottle_ml, bottle_ml, 1)?)
    }
}

/// Settings in the lines of the attribute.
pub fn settings(lines: &str) -> Vec<Setting> {
    lines.lines().filter_map(Setting::of).collect()
}

/// The lines with one more setting; it takes the place of the one for the same cork and bottle.
pub fn with(mut settings: Vec<Setting>, new: Setting) -> String {
    settings.retain(|it| (it.cork_mm, it.bottle_ml) != (new.cork_mm, new.bottle_ml));
    settings.push(new);
    let lines: Vec<String> = settings.iter().map(Setting::line).collect();
    lines.join("\n")
}

impl<'a> Corker<'a> {
    fn of(thing: &'a Thing) -> Corker<'a> {
        Corker {
            key: Some(thing.key),
            name: thing.name(),
            settings: settings(thing.text(field::CORKER_SETTINGS)),
        }
    }

    /// How it is set for that cork and bottle: the setting that says most of them, the last written down of
    /// several.
    pub fn setting(&self, cork_mm: Option<i64>, bottle_ml: Option<i64>) -> Option<&Setting> {
        let goes = |it: &&Setting| it.goes_with(cork_mm, bottle_ml);
        let fitting = self.settings.iter().filter(|it| goes(it).is_some());
        fitting.max_by_key(goes)
    }
}

/// Every corker in use. One line of settings, as it was written before there were several, is the one corker's
/// until one has a name.
pub fn corkers(cellar: &Snapshot) -> Vec<Corker<'_>> {
    let named: Vec<Corker> = cellar.open(Sort::Corker).map(Corker::of).collect();
    let line = cellar.thing(super::thing::CELLAR);
    let line = line.map_or("", |it| it.text(field::CORKER));
    if !named.is_empty() || line.is_empty() {
        return named;
    }
    let setting = Setting {
        at: line.to_owned(),
        ..Setting::default()
    };
    vec![Corker {
        key: None,
        name: "the corker",
        settings: vec![setting],
    }]
}

/// How to set the corker for that cork and bottle, in words; of several each, unless it is said which is used.
pub fn set_words(
    used: Option<Key>,
    cork_mm: Option<i64>,
    bottle_ml: Option<i64>,
    cellar: &Snapshot,
) -> String {
    let all = corkers(cellar).into_iter();
    let meant = all.filter(|it| used.is_none() || it.key == used);
    let said = meant.filter_map(|it| {
        let setting = it.setting(cork_mm, bottle_ml)?;
        Some(match it.key {
            None => format!("{} ({})", it.name, setting.at),
            Some(_) => format!("{} to {}", it.name, setting.words()),
        })
    });
    let said: Vec<String> = said.collect();
    match said.as_slice() {
        [] => used.map_or("the corker", |it| cellar.name(it)).to_owned(),
        several => several.join(", or "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corker() -> Corker<'static> {
        Corker {
            key: Some(Key(7)),
            name: "Bench",
            settings: settings("||2\n38||3\n44||5\n38|375|4"),
        }
    }

    #[test]
    fn a_setting_is_the_one_that_says_most_of_cork_and_bottle() {
        let check = |cork: Option<i64>, bottle: Option<i64>, expected: &str| {
            let corker = corker();
            let found = corker.setting(cork, bottle).map(|it| it.at.as_str());
            assert_eq!(found, Some(expected), "{cork:?} {bottle:?}");
        };
        check(Some(38), Some(750), "3");
        check(Some(38), Some(375), "4");
        check(Some(44), Some(750), "5");
        check(Some(50), Some(750), "2");
    }

    #[test]
    fn a_setting_for_another_cork_is_none() {
        let corker = Corker {
            settings: settings("38||3"),
            ..corker()
        };
        assert_eq!(corker.setting(Some(44), None), None);
    }

    #[test]
    fn a_new_setting_takes_the_place_of_the_one_for_the_same_cork_and_bottle() {
        let new = Setting {
            cork_mm: Some(38),
            bottle_ml: None,
            at: "3 and a half | by eye".to_owned(),
        };
        let lines = with(settings("||2\n38||3"), new.clone());
        assert_eq!(settings(&lines).last(), Some(&new));
        assert_eq!(settings(&lines).len(), 2);
    }
}
