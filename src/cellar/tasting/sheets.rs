//! Score sheets, as data: a sheet is its items, and an item the points it may get.

use std::fmt;

/// A score sheet.
#[derive(Debug, PartialEq)]
pub struct Sheet {
    /// As typed and stored. Versions differ, so the name says which.
    pub name: &'static str,
    /// As shown.
    pub title: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// Its items, in the order in which a wine is tasted.
    pub items: &'static [Item],
}

/// An item of a sheet.
#[derive(Debug, PartialEq)]
pub struct Item {
    /// Part of the sheet: sight, nose, taste.
    pub part: &'static str,
    /// What is judged.
    pub name: &'static str,
    /// The points it may get, the most first.
    pub points: &'static [f64],
}

const fn item(part: &'static str, name: &'static str, points: &'static [f64]) -> Item {
    Item { part, name, points }
}

/// Half points from 2, and from 1 and 4.
const OF_TWO: &[f64] = &[2.0, 1.5, 1.0, 0.5, 0.0];
const OF_ONE: &[f64] = &[1.0, 0.5, 0.0];
const OF_FOUR: &[f64] = &[4.0, 3.5, 3.0, 2.5, 2.0, 1.5, 1.0, 0.5, 0.0];

/// Every sheet.
pub static SHEETS: &[Sheet] = &[
    Sheet {
        name: "oiv-2009",
        title: "OIV sheet for still wine, 100 points",
        source: "Resolution OIV/CONCOURS 332A/2009, Annex 3.1 (points from memory; OIV-OENO 671A-2025 has new sheets since)",
        items: &[
            item("sight", "limpidity", &[5.0, 4.0, 3.0, 2.0, 1.0]),
            item("sight", "aspect", &[10.0, 8.0, 6.0, 4.0, 2.0]),
            item("nose", "genuineness", &[6.0, 5.0, 4.0, 3.0, 2.0]),
            item("nose", "intensity", &[8.0, 7.0, 6.0, 4.0, 2.0]),
            item("nose", "quality", &[16.0, 14.0, 12.0, 10.0, 8.0]),
            item("taste", "genuineness", &[6.0, 5.0, 4.0, 3.0, 2.0]),
            item("taste", "intensity", &[8.0, 7.0, 6.0, 4.0, 2.0]),
            item("taste", "persistence", &[8.0, 7.0, 6.0, 5.0, 4.0]),
            item("taste", "quality", &[22.0, 19.0, 16.0, 13.0, 10.0]),
            item("overall", "judgement", &[11.0, 10.0, 9.0, 8.0, 7.0]),
        ],
    },
    Sheet {
        name: "card-20",
        title: "Card of 20 points",
        source: "Amerine and Roessler, Wines: Their Sensory Evaluation (from memory; several cards of 20 are in use)",
        items: &[
            item("sight", "appearance", OF_TWO),
            item("sight", "colour", OF_TWO),
            item("nose", "aroma and bouquet", OF_FOUR),
            item("nose", "volatile acidity", OF_TWO),
            item("taste", "acidity", OF_TWO),
            item("taste", "sweetness", OF_ONE),
            item("taste", "body", OF_ONE),
            item("taste", "flavour", OF_TWO),
            item("taste", "astringency", OF_TWO),
            item("overall", "quality", OF_TWO),
        ],
    },
];

/// The names of the sheets.
pub const NAMES: &[&str] = &["oiv-2009", "card-20"];

/// The sheet of that name.
pub fn find(name: &str) -> Option<&'static Sheet> {
    SHEETS.iter().find(|it| it.name == name)
}

/// A sheet filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// Which.
    pub sheet: &'static Sheet,
    /// The points of its items, in their order.
    pub points: Vec<f64>,
}

impl Sheet {
    /// The most that a wine can get.
    pub fn most(&self) -> f64 {
        self.items.iter().map(|it| it.points[0]).sum()
    }

    /// Reads the points of all its items, in their order, with blanks or commas between. Refused, in a
    /// sentence, where an item cannot get so many, or there are too few or too many.
    pub fn read(&'static self, typed: &str) -> Result<Marks, String> {
        let words: Vec<&str> = words(typed).collect();
        let given = self.items.iter().zip(&words);
        let points: Vec<f64> = given
            .map(|(item, word)| item.read(word))
            .collect::<Result<_, _>>()?;
        if words.len() != self.items.len() {
            let left = &self.items[points.len()..];
            let left: Vec<String> = left.iter().map(Item::asked).collect();
            let left = if left.is_empty() {
                String::new()
            } else {
                format!("; still to come: {}", left.join("; "))
            };
            return Err(format!(
                "The {} asks {} numbers and {} were given{left}.",
                self.title,
                self.items.len(),
                words.len(),
            ));
        }
        Ok(Marks {
            sheet: self,
            points,
        })
    }

    /// What is asked next, when so much of it is typed: `4 of 10, nose intensity: 2, 4, 6, 7 or 8`. The last
    /// number counts as typed when something stands behind it. `None` where all are there.
    pub fn next(&self, typed: &str) -> Option<String> {
        let is_in_work = typed.ends_with(|it: char| it != ' ' && it != ',');
        let at = words(typed).count() - usize::from(is_in_work);
        let item = self.items.get(at)?;
        let all = self.items.len();
        Some(format!("{} of {all}, {}", at + 1, item.asked()))
    }
}

/// The numbers of a sheet, as typed.
fn words(typed: &str) -> impl Iterator<Item = &str> {
    typed.split([' ', ',']).filter(|it| !it.is_empty())
}

impl Item {
    /// `nose quality`.
    pub fn said(&self) -> String {
        format!("{} {}", self.part, self.name)
    }

    /// What it is, and what it may get: `nose quality: 8, 10, 12, 14 or 16`.
    pub fn asked(&self) -> String {
        format!("{}: {}", self.said(), self.range())
    }

    /// What it may get, the least first: `1 to 5`, `0 to 4 in halves`, `2, 4, 6, 7 or 8`.
    fn range(&self) -> String {
        let (most, least) = (self.points[0], self.points[self.points.len() - 1]);
        let is_by = |step: f64| {
            let mut steps = self.points.windows(2).map(|it| it[0] - it[1]);
            steps.all(|it| (it - step).abs() < 1e-9)
        };
        if is_by(1.0) {
            return format!("{least} to {most}");
        }
        if is_by(0.5) {
            return format!("{least} to {most} in halves");
        }
        let upward = self.points.iter().rev().map(f64::to_string);
        let mut upward: Vec<String> = upward.collect();
        let highest = upward.pop().unwrap_or_default();
        format!("{} or {highest}", upward.join(", "))
    }

    fn read(&self, word: &str) -> Result<f64, String> {
        let typed = word.parse::<f64>().ok();
        let allowed = typed.filter(|it| self.points.iter().any(|point| (point - it).abs() < 1e-9));
        allowed.ok_or_else(|| {
            let (item, range) = (self.said(), self.range());
            format!("`{word}` is no mark for {item}: it gets {range}.")
        })
    }
}

impl Marks {
    /// The score.
    pub fn sum(&self) -> f64 {
        self.points.iter().sum()
    }

    /// Reads what is stored with a tasting; `None` for free words.
    pub fn stored(text: &str) -> Option<Marks> {
        let (name, points) = super::blind::points(text).split_once(": ")?;
        find(name)?.read(points).ok()
    }

    /// `nose quality 14 of 16`, item by item.
    pub fn lines(&self) -> impl Iterator<Item = String> + '_ {
        let items = self.sheet.items.iter().zip(&self.points);
        items.map(|(item, points)| format!("{} {points} of {}", item.said(), item.points[0]))
    }
}

/// As stored: `oiv-2009: 5 8 6 8 14 6 7 8 19 10`.
impl fmt::Display for Marks {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let points: Vec<String> = self.points.iter().map(f64::to_string).collect();
        write!(f, "{}: {}", self.sheet.name, points.join(" "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The totals that the sheets' own sources print.
    #[test]
    fn items_sum_to_what_the_sheet_says() {
        let least = |it: &Sheet| -> f64 { it.items.iter().filter_map(|it| it.points.last()).sum() };
        let sums: Vec<(&str, f64, f64)> = SHEETS
            .iter()
            .map(|it| (it.name, it.most(), least(it)))
            .collect();
        assert_eq!(sums, [("oiv-2009", 100.0, 40.0), ("card-20", 20.0, 0.0)]);
        // Sight 15, nose 30, taste 44.
        let part = |part: &str| -> i64 {
            let items = SHEETS[0].items.iter().filter(|it| it.part == part);
            items.map(|it| it.points[0] as i64).sum()
        };
        assert_eq!(
            ["sight", "nose", "taste", "overall"].map(part),
            [15, 30, 44, 11]
        );
    }

    #[test]
    fn names_and_sheets_are_the_same_list() {
        let names: Vec<&str> = SHEETS.iter().map(|it| it.name).collect();
        assert_eq!(names, NAMES);
    }

    fn check(sheet: &str, typed: &str, expected: Result<f64, &str>) {
        let read = find(sheet).unwrap().read(typed);
        match (read, expected) {
            (Ok(marks), Ok(sum)) => {
                assert!((marks.sum() - sum).abs() < 1e-9, "{marks}");
                assert_eq!(Marks::stored(&marks.to_string()), Some(marks));
            }
            (Err(said), Err(part)) => assert!(said.contains(part), "{said}"),
            (read, expected) => panic!("{read:?} is not {expected:?}"),
        }
    }

    #[test]
    fn points_are_read_in_the_sheets_order_and_summed() {
        check("oiv-2009", "5 8 6 8 14 6 7 8 19 10", Ok(91.0));
        check("card-20", "2, 2, 3.5, 2, 2, 1, 0.5, 1.5, 2, 1.5", Ok(18.0));
        check(
            "oiv-2009",
            "5 8 6",
            Err(
                "asks 10 numbers and 3 were given; still to come: nose intensity: 2, 4, 6, 7 or 8; nose quality",
            ),
        );
        check(
            "oiv-2009",
            "5 8 6 8 14 6 7 8 19 10 3",
            Err("asks 10 numbers and 11 were given."),
        );
        // What no item gets is said before all are there.
        check("oiv-2009", "5 9", Err("`9` is no mark for sight aspect"));
        check(
            "oiv-2009",
            "5 9 6 8 14 6 7 8 19 10",
            Err("`9` is no mark for sight aspect: it gets 2, 4, 6, 8 or 10"),
        );
        check(
            "card-20",
            "2 2 x 2 2 1 1 2 2 2",
            Err("`x` is no mark for nose aroma"),
        );
        assert_eq!(Marks::stored("free words"), None);
    }

    #[test]
    fn the_next_number_is_asked_with_what_it_may_be() {
        let check = |sheet: &str, typed: &str, expected: Option<&str>| {
            let asked = find(sheet).unwrap().next(typed);
            assert_eq!(asked.as_deref(), expected, "{typed}");
        };
        check("oiv-2009", "", Some("1 of 10, sight limpidity: 1 to 5"));
        check("oiv-2009", "5", Some("1 of 10, sight limpidity: 1 to 5"));
        let aspect = Some("2 of 10, sight aspect: 2, 4, 6, 8 or 10");
        check("oiv-2009", "5 ", aspect);
        check("oiv-2009", "5,", aspect);
        check("oiv-2009", "5 1", aspect);
        check(
            "card-20",
            "2 2 ",
            Some("3 of 10, nose aroma and bouquet: 0 to 4 in halves"),
        );
        check("card-20", "2 2 4 2 2 1 1 2 2 2 ", None);
    }
}
