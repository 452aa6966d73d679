//! Which fault fits what a person noticed and what the book knows: an order with its reasons in words,
//! never a certainty.

use super::clues::Leaning;
use super::{FAULTS, Fault};
use crate::cellar::attention::Holding;

/// A fault that may be it.
#[derive(Debug)]
pub struct Fit {
    /// Which.
    pub fault: &'static Fault,
    /// What in the book is a sign of it or may lead to it, a few words each.
    pub speaks_for: Vec<String>,
    /// What in the book makes it less likely.
    pub speaks_against: Vec<String>,
    words: u32,
    /// A look found just this.
    is_seen: bool,
    /// The book has a sign of it, and not only what may lead to it.
    has_sign: bool,
}

impl Fit {
    /// What the book says of one fault, without any words.
    pub fn of_fault(fault: &'static Fault, holding: Option<&Holding>) -> Fit {
        Fit::of(fault, "", holding)
    }

    /// What the book says of it in one sentence; nothing where it says nothing.
    pub fn sentence(&self) -> Option<String> {
        let (yes, no) = (self.speaks_for.join("; "), self.speaks_against.join("; "));
        let how = if self.has_sign {
            "More likely"
        } else {
            "Possible"
        };
        match (yes.is_empty(), no.is_empty()) {
            (true, true) => None,
            (false, true) => Some(format!("{how} by the book: {yes}.")),
            (true, false) => Some(format!("Less likely by the book: {no}.")),
            (false, false) => Some(format!(
                "{how} by the book: {yes}. What speaks against it: {no}."
            )),
        }
    }

    /// Whether the words said something of it.
    pub fn is_said(&self) -> bool {
        self.words > 0
    }

    /// Whether the book has a sign of it, and no more that speaks against it.
    pub fn is_likely(&self) -> bool {
        self.has_sign && self.book() > 0
    }

    fn book(&self) -> i64 {
        let count = |it: &Vec<String>| i64::try_from(it.len()).unwrap_or(i64::MAX);
        count(&self.speaks_for) - count(&self.speaks_against)
    }
}

/// The faults that fit, the best first: by the words said, then by what a look found, then by what
/// else the book knows of the place.
/// Words that say nothing of any fault leave all of them.
pub fn fits(said: &str, holding: Option<&Holding>) -> Vec<Fit> {
    let said = said.to_lowercase();
    let sort = holding.map(|it| it.place.sort);
    let mut fits: Vec<Fit> = FAULTS
        .iter()
        .map(|fault| Fit::of(fault, &said, holding))
        .collect();
    if fits.iter().any(|it| it.words > 0) {
        fits.retain(|it| it.words > 0);
    } else {
        // What is met elsewhere is not offered unasked.
        fits.retain(|it| sort.is_none_or(|sort| it.fault.is_met_in(sort)));
    }
    // The sort is stable: equal ones keep the order of the list.
    fits.sort_by_key(|it| {
        let elsewhere = sort.is_some_and(|sort| !it.fault.is_met_in(sort));
        (
            std::cmp::Reverse(it.words),
            elsewhere,
            !it.is_seen,
            !it.is_likely(),
            std::cmp::Reverse(it.book()),
        )
    });
    fits
}

impl Fit {
    fn of(fault: &'static Fault, said: &str, holding: Option<&Holding>) -> Fit {
        let mut fit = Fit {
            fault,
            speaks_for: Vec::new(),
            speaks_against: Vec::new(),
            words: score(fault, said),
            is_seen: false,
            has_sign: false,
        };
        for clue in fault.clues {
            match holding.and_then(clue) {
                Some(Leaning::Seen(why)) => {
                    (fit.is_seen, fit.has_sign) = (true, true);
                    fit.speaks_for.push(why);
                }
                Some(Leaning::For(why)) => {
                    fit.has_sign = true;
                    fit.speaks_for.push(why);
                }
                Some(Leaning::Allows(why)) => fit.speaks_for.push(why),
                Some(Leaning::Against(why)) => fit.speaks_against.push(why),
                None => {}
            }
        }
        fit
    }
}

/// How well the words say this fault: the fault's own word or name most, then its signs, then the beginnings of signs, then words
/// of its name. What is noticed of it only orders those: `wine`, `smells` and `tastes` stand in what is noticed of many.
fn score(fault: &Fault, said: &str) -> u32 {
    if said.trim() == fault.word || said.trim() == fault.name {
        return 1_000;
    }
    let (phrases, signs): (Vec<&str>, Vec<&str>) =
        fault.signs.iter().partition(|it| it.contains(' '));
    let mut phrases = phrases;
    phrases.extend(fault.name.contains(' ').then_some(fault.name));
    let phrases = phrases.iter().filter(|it| said.contains(**it)).count();
    let words = || {
        let all = said.split(|it: char| !it.is_alphanumeric());
        all.filter(|it| it.len() > 1)
    };
    let of_signs: u32 = words()
        .map(|it| of_word(&signs, it).max(of_name(fault, it)))
        .sum();
    match of_signs + u32::try_from(phrases).unwrap_or(0) * 150 {
        0 => 0,
        said => said + words().map(|it| of_notice(fault, it)).sum::<u32>(),
    }
}

/// Beginnings shorter than this say nothing.
const LEAST_LETTERS: usize = 3;

/// What a word says of a fault with those signs of one word.
fn of_word(signs: &[&str], word: &str) -> u32 {
    let sign = |sign: &&str| match *sign {
        sign if sign == word => 100,
        sign if is_form_of(word, sign) => 80,
        sign if word.len() >= LEAST_LETTERS && sign.starts_with(word) => 40,
        _ => 0,
    };
    signs.iter().map(sign).max().unwrap_or(0)
}

/// Words of names that are a sign of nothing by themselves.
const WEAK: &[&str] = &[
    "bottle",
    "does",
    "drawn",
    "glass",
    "over",
    "start",
    "still",
    "suspension",
    "will",
    "wine",
    "work",
];

/// What a word says of a fault in whose name it stands: `haze`.
fn of_name(fault: &Fault, word: &str) -> u32 {
    let mut words = fault.name.split(|it: char| !it.is_alphanumeric());
    let is_named = word.len() > 3 && !WEAK.contains(&word) && words.any(|it| it == word);
    if is_named { 20 } else { 0 }
}

/// Small words stand in every sentence.
fn of_notice(fault: &Fault, word: &str) -> u32 {
    let mut words = fault.notice.split(|it: char| !it.is_alphanumeric());
    let is_noticed = word.len() > 3 && words.any(|it| it.eq_ignore_ascii_case(word));
    if is_noticed { 3 } else { 0 }
}

/// `eggs`, `mouldy`, `leaked` of `egg`, `mould`, `leak`.
fn is_form_of(word: &str, sign: &str) -> bool {
    let end = word.strip_prefix(sign);
    sign.len() >= LEAST_LETTERS
        && end
            .is_some_and(|it| matches!(it, "s" | "es" | "y" | "ed" | "d" | "ing" | "ish" | "like"))
}
