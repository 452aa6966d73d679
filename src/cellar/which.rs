//! A bottle that nobody can name, narrowed by what can be seen of it.
//!
//! What is not known of a run rules nothing out: it fits, and says so. Of allergens only that is said
//! which is known of every run that fits.

use std::collections::{BTreeMap, BTreeSet};

use super::bottling::Closure;
use super::racks::Racks;
use super::snapshot::Snapshot;
use super::state::Wine;
use super::thing::{Key, Sort, Thing, field};

/// Colours of glass.
pub const COLOURS: &[&str] = &["clear", "green", "olive", "brown", "blue", "black"];
/// Shapes of bottle, by what is seen: square or sloping shoulders, tall and slim, short, a jug.
pub const SHAPES: &[&str] = &["square", "sloping", "slim", "short", "jug", "other"];

/// What can be seen of a bottle; empty where it cannot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Clues {
    /// What closes it.
    pub closure: String,
    /// Colour of its glass.
    pub colour: String,
    /// Its shape.
    pub shape: String,
    /// The mark on it.
    pub mark: String,
    /// Where it was found.
    pub place: String,
    /// Its size, mL.
    pub size_ml: Option<i64>,
}

/// A run that the bottle may be of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    /// The run.
    pub run: Key,
    /// What was seen and is known of the run, and agrees.
    pub agrees: Vec<&'static str>,
    /// What was seen, and nobody wrote down of the run.
    pub unknown: Vec<&'static str>,
}

/// Runs in which such a bottle may be, the best known first.
pub fn fits(clues: &Clues, cellar: &Snapshot) -> Vec<Fit> {
    let racks = Racks::of(&cellar.things);
    let runs = cellar.open(Sort::Run);
    let mut fits: Vec<Fit> = runs
        .filter_map(|run| fit(clues, run, cellar.wine(run.key)?, &racks))
        .collect();
    fits.sort_by_key(|it| (it.unknown.len(), std::cmp::Reverse(it.run)));
    fits
}

fn fit(clues: &Clues, run: &Thing, wine: &Wine, racks: &Racks) -> Option<Fit> {
    let mut fit = Fit {
        run: run.key,
        agrees: Vec::new(),
        unknown: Vec::new(),
    };
    let mut meet = |name: &'static str, agrees: Option<bool>| match agrees {
        Some(true) => {
            fit.agrees.push(name);
            true
        }
        Some(false) => false,
        None => {
            fit.unknown.push(name);
            true
        }
    };
    for (name, seen) in clues.words() {
        let known = of(run, name);
        // A run of which less is known than was seen may be the one: a cork, a crown cap.
        let is_loose = || name == "closure" && agree(known, seen);
        let agrees = (!known.is_empty()).then(|| agree(seen, known) || is_loose());
        if !meet(name, agrees) {
            return None;
        }
    }
    let lots: Vec<_> = wine.bottles.iter().filter(|it| it.count > 0).collect();
    if let Some(size_ml) = clues.size_ml
        && !meet("size", Some(lots.iter().any(|it| it.size_ml == size_ml)))
    {
        return None;
    }
    if !clues.place.is_empty() {
        // Where some of the bottles are nobody said.
        let somewhere = lots.iter().any(|it| it.at.is_empty());
        let there = lots.iter().any(|it| racks.is_at(&it.at, &clues.place));
        let agrees = if there {
            Some(true)
        } else {
            (!somewhere).then_some(false)
        };
        if !meet("place", agrees) {
            return None;
        }
    }
    Some(fit)
}

/// `cork` agrees with `cork`, `natural cork` and `Cork`.
fn agree(seen: &str, known: &str) -> bool {
    let (seen, known) = (seen.to_lowercase(), known.to_lowercase());
    // Of a crown cap nobody said how wide it is.
    let seen = seen.strip_suffix("-cap").unwrap_or(&seen);
    known.split([' ', '-']).any(|it| it == seen) || known == seen
}

impl Clues {
    /// What was seen and is kept of a run as words.
    fn words(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let all = [
            ("closure", &self.closure),
            ("colour", &self.colour),
            ("shape", &self.shape),
            ("mark", &self.mark),
        ];
        all.into_iter()
            .map(|(name, seen)| (name, seen.trim()))
            .filter(|(_, seen)| !seen.is_empty())
    }
}

/// What a word may say of a bottle: `green` of its glass, `screw` of its cap; nothing if it is neither
/// a closure, a colour nor a shape.
pub fn clue(word: &str) -> Option<&'static str> {
    let clues = [
        ("closure", Closure::WORDS),
        ("colour", COLOURS),
        ("shape", SHAPES),
    ];
    let says = |words: &[&str]| words.iter().any(|it| agree(word, it));
    clues.iter().find(|it| says(it.1)).map(|it| it.0)
}

/// Those of the clues that nobody wrote down of a run.
pub fn unknown_of(run: &Thing, clues: &[&'static str]) -> Vec<&'static str> {
    let mut unknown = clues.to_vec();
    unknown.retain(|it| of(run, it).is_empty());
    unknown
}

/// What is known of a run by the name of a clue; empty if nothing is.
fn of<'a>(run: &'a Thing, clue: &str) -> &'a str {
    run.text(match clue {
        "closure" => field::CLOSURE,
        "colour" => field::COLOUR,
        "shape" => field::SHAPE,
        _ => field::RUN_MARK,
    })
}

/// Something that would tell the runs that fit apart: what it is, and which runs have which. A run of
/// which it is not known stands under an empty word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// `closure`, `colour`, `shape`, `mark`.
    pub clue: &'static str,
    /// Runs by what is known of them.
    pub runs: BTreeMap<String, Vec<Key>>,
}

/// What to look at next: clues in which the runs that fit are known to differ, the best first.
pub fn differences(fits: &[Fit], cellar: &Snapshot) -> Vec<Difference> {
    let things: Vec<&Thing> = fits.iter().filter_map(|it| cellar.thing(it.run)).collect();
    let mut found: Vec<Difference> = ["mark", "closure", "colour", "shape"]
        .into_iter()
        .map(|clue| {
            let mut runs: BTreeMap<String, Vec<Key>> = BTreeMap::new();
            for run in &things {
                let known = of(run, clue);
                let same = runs
                    .keys()
                    .find(|it| it.eq_ignore_ascii_case(known))
                    .cloned();
                let known = same.unwrap_or_else(|| known.to_owned());
                runs.entry(known).or_default().push(run.key);
            }
            Difference { clue, runs }
        })
        .filter(|it| it.runs.keys().filter(|it| !it.is_empty()).count() > 1)
        .collect();
    found.sort_by_key(|it| std::cmp::Reverse(it.runs.len()));
    found
}

/// Allergens that the book has in every run that fits. Of any other nothing is known: a run may hold
/// what nobody wrote down.
pub fn allergens_of_all(fits: &[Fit], cellar: &Snapshot) -> BTreeSet<String> {
    let mut wines = fits.iter().filter_map(|it| cellar.wine(it.run));
    let first = wines.next().map(|it| it.allergens.clone());
    wines.fold(first.unwrap_or_default(), |all, wine| {
        all.intersection(&wine.allergens).cloned().collect()
    })
}

/// What would tell the runs that fit apart, in sentences.
pub fn apart(found: &[Fit], cellar: &Snapshot) -> Vec<String> {
    if found.len() < 2 {
        return Vec::new();
    }
    let differ = differences(found, cellar);
    if differ.is_empty() {
        return vec![
            "Nothing known tells them apart; `leesline bottles describe` writes down what does."
                .to_owned(),
        ];
    }
    differ
        .iter()
        .map(|it| {
            let ways: Vec<String> = it
                .runs
                .iter()
                .map(|(known, runs)| {
                    let names: Vec<&str> = runs.iter().map(|it| cellar.name(*it)).collect();
                    let known = if known.is_empty() { "not known" } else { known };
                    format!("{known} is {}", names.join(" or "))
                })
                .collect();
            format!("The {} tells them apart: {}.", it.clue, ways.join("; "))
        })
        .collect()
}

/// What may be said of allergens, in a sentence.
pub fn allergens(found: &[Fit], cellar: &Snapshot) -> String {
    let known: Vec<String> = allergens_of_all(found, cellar).into_iter().collect();
    let rest = "whether any other is in it is unknown";
    match known.as_slice() {
        [] => {
            "Allergens: unknown; what the book does not say may be in it all the same.".to_owned()
        }
        _ => format!(
            "Allergens in every one of them: {}; {rest}.",
            known.join(", ")
        ),
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use uuid::Uuid;

    use super::*;
    use crate::cellar::entry::Posture;
    use crate::cellar::moment::Moment;
    use crate::cellar::state::{BottleLot, State};

    /// Runs with what is known of each, in this order: closure, colour, mark, place, allergens.
    fn cellar(runs: &[[&str; 5]]) -> Snapshot {
        let mut cellar = Snapshot::empty(Moment {
            utc_ms: 0,
            offset_min: 0,
        });
        for ([closure, colour, mark, at, allergens], key) in runs.iter().zip(200..) {
            let known = [
                (field::NAME, format!("Run {key}")),
                (field::CLOSURE, (*closure).to_owned()),
                (field::COLOUR, (*colour).to_owned()),
                (field::RUN_MARK, (*mark).to_owned()),
            ];
            let run = Thing {
                key: Key(key),
                uid: Uuid::nil(),
                sort: Sort::Run,
                attributes: known
                    .into_iter()
                    .filter(|(_, it)| !it.is_empty())
                    .map(|(field, it)| (field.to_owned(), it.as_str().into()))
                    .collect(),
            };
            let wine = Wine {
                bottles: vec![BottleLot {
                    size_ml: 750,
                    posture: Posture::Lying,
                    at: (*at).to_owned(),
                    reserved: String::new(),
                    found: String::new(),
                    count: 6,
                }],
                allergens: allergens.split_whitespace().map(str::to_owned).collect(),
                ..Wine::default()
            };
            cellar.things.insert(run.key, Arc::new(run));
            cellar.states.insert(Key(key), Arc::new(State::from(wine)));
        }
        cellar
    }

    const RUNS: &[[&str; 5]] = &[
        ["cork", "green", "AB", "shelf 2, about 40", "sulfite egg"],
        ["screw-cap", "clear", "CD", "shelf 2, behind", "sulfite"],
        ["", "", "", "", ""],
        ["cork", "brown", "", "pantry", "sulfite milk"],
    ];

    fn check(clues: &Clues, expected: &[i64]) {
        let found = fits(clues, &cellar(RUNS));
        let keys: Vec<i64> = found.iter().map(|it| it.run.0).collect();
        assert_eq!(keys, expected, "{clues:?}");
    }

    fn seen(closure: &str, colour: &str, mark: &str, place: &str) -> Clues {
        Clues {
            closure: closure.to_owned(),
            colour: colour.to_owned(),
            mark: mark.to_owned(),
            place: place.to_owned(),
            ..Clues::default()
        }
    }

    #[test]
    fn what_is_not_known_rules_nothing_out_and_comes_last() {
        check(&seen("", "", "", ""), &[203, 202, 201, 200]);
        check(&seen("cork", "", "", ""), &[203, 200, 202]);
        check(&seen("cork", "green", "", ""), &[200, 202]);
        check(&seen("cork", "", "AB", "shelf 2"), &[200, 202]);
        check(&seen("", "", "ab", ""), &[200, 203, 202]);
        check(&seen("crown-cap", "", "", ""), &[202]);
        check(&seen("", "", "", "attic"), &[202]);
        let size = Clues {
            size_ml: Some(375),
            ..Clues::default()
        };
        check(&size, &[]);
    }

    fn check_allergens(keep: &[usize], expected: &[&str]) {
        let runs: Vec<[&str; 5]> = keep.iter().map(|it| RUNS[*it]).collect();
        let cellar = cellar(&runs);
        let all = allergens_of_all(&fits(&Clues::default(), &cellar), &cellar);
        assert_eq!(all.into_iter().collect::<Vec<_>>(), expected, "{keep:?}");
    }

    #[test]
    fn a_closure_that_says_less_rules_out_none_that_says_more() {
        let check = |seen: &str, known: &str, expected: bool| {
            let clues = Clues {
                closure: seen.to_owned(),
                ..Clues::default()
            };
            let found = fits(&clues, &cellar(&[[known, "", "", "", ""]]));
            assert_eq!(!found.is_empty(), expected, "{seen} and {known}");
        };
        for (less, more) in [
            ("crown-cap", "crown-26"),
            ("crown-cap", "crown-29"),
            ("cork", "technical-cork"),
        ] {
            check(less, more, true);
            check(more, less, true);
        }
        check("crown-26", "crown-29", false);
        check("crown-cap", "screw-cap", false);
        check("technical-cork", "synthetic-cork", false);
    }

    #[test]
    fn a_word_is_a_clue_if_it_is_one_of_a_bottles_looks() {
        let check = |word: &str, expected: Option<&str>| assert_eq!(clue(word), expected, "{word}");
        check("cork", Some("closure"));
        check("screw-cap", Some("closure"));
        check("screw", Some("closure"));
        check("green", Some("colour"));
        check("sloping", Some("shape"));
        check("plum", None);
        check("", None);
    }

    #[test]
    fn an_allergen_is_said_only_if_it_is_in_every_one_that_fits() {
        check_allergens(&[0], &["egg", "sulfite"]);
        check_allergens(&[0, 1], &["sulfite"]);
        check_allergens(&[0, 3], &["sulfite"]);
        check_allergens(&[0, 2], &[]);
        check_allergens(&[], &[]);
    }

    #[test]
    fn what_tells_them_apart_is_what_is_known_to_differ() {
        let clues = |keep: &[usize]| -> Vec<&'static str> {
            let runs: Vec<[&str; 5]> = keep.iter().map(|it| RUNS[*it]).collect();
            let cellar = cellar(&runs);
            let found = differences(&fits(&Clues::default(), &cellar), &cellar);
            found.iter().map(|it| it.clue).collect()
        };
        assert_eq!(clues(&[0, 1]), ["mark", "closure", "colour"]);
        assert_eq!(clues(&[0, 3]), ["colour"]);
        assert_eq!(clues(&[0, 2]), [""; 0]);
    }
}
