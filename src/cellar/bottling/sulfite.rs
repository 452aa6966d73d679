//! The sulfite that a wine wants before it is bottled, in the words and the figures of the dose itself.

use leesline_calc::Answer;
use leesline_calc::oxygen::FILLING_MG_L;

use crate::cellar::attention::{Given, Holding, Policy};
use crate::cellar::dosing::{
    Advice, advice, against_sulfite, all_of_it, can_wait, dose, left_unknown,
};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::telling;
use crate::cellar::thing::Thing;

/// Less than any scale shows is no dose, g.
const LEAST_G: f64 = 0.05;

const UNKNOWN: &str = "It cannot be worked out: measure its pH and its free SO2.";

/// What is to go in before.
#[derive(Clone, Debug)]
pub struct Sulfite {
    /// The dose, where it can be worked out and any may be given.
    pub answer: Option<Answer>,
    /// What to do, some days before.
    pub words: String,
    /// All of it, as it is measured out; empty where the dose is no such figure.
    pub all: String,
    /// What went in that no test has seen, and what of it is taken to be free.
    untested: Option<String>,
    /// Whether what is left free is known.
    is_known: bool,
    /// Whether some went in so lately that no more is given on its account, which no test has seen.
    is_enough: bool,
    /// That less is missing than a home test can tell, where it is so.
    can_wait: Option<String>,
    /// Until when it holds that none is wanted.
    pub holds: Option<String>,
    /// What the air met on the day takes of it afterwards; empty where no dose can be worked out.
    air: String,
}

impl Sulfite {
    /// For the wine of that vessel, by what the book knows now.
    pub fn of(vessel: &Thing, cellar: &Snapshot) -> Sulfite {
        let policy = Policy::of(cellar);
        let holding = Holding::of(cellar, vessel.key, &policy);
        let too_much = holding.as_ref().and_then(Holding::too_much_so2);
        let none = too_much.map(|it| format!("Give none: {it}."));
        let against = holding.as_ref().and_then(against_sulfite);
        if let Some(words) = none.or(against.map(str::to_owned)) {
            return Sulfite::none(words);
        }
        let (Some(answer), Some(holding)) = (dose(vessel.key, cellar), holding) else {
            return Sulfite::none(UNKNOWN);
        };
        let units = cellar.settings().units;
        let none = answer.results.text("first_form") == Some("none");
        let given = Given::of(&holding);
        let is_known = holding.expected_free_so2().is_some() && left_unknown(&holding).is_none();
        let advice = advice(&answer, &holding, false, units);
        let waits = advice.as_ref().is_some_and(|it| !it.gives);
        let words = advice.map(|it| words(&it, &answer));
        Sulfite {
            words: words.unwrap_or_else(|| UNKNOWN.to_owned()),
            all: all_of_it(&answer, units).unwrap_or_default(),
            untested: given.map(|it| telling::capital(&it.went_in(&holding))),
            is_known,
            is_enough: waits && !is_known,
            can_wait: can_wait(&answer, &policy).filter(|_| is_known),
            holds: none.then(|| holds_until(&holding)).flatten(),
            air: air(&policy),
            answer: Some(answer),
        }
    }

    fn none(words: impl Into<String>) -> Sulfite {
        Sulfite {
            answer: None,
            words: words.into(),
            all: String::new(),
            untested: None,
            is_known: false,
            is_enough: false,
            can_wait: None,
            holds: None,
            air: String::new(),
        }
    }

    /// What to do, and until when that holds.
    pub fn said(&self) -> String {
        let air = Some(self.air.as_str()).filter(|it| !it.is_empty());
        let said = [Some(self.words.as_str()), self.holds.as_deref(), air];
        said.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    /// What to do on the day itself, when nothing is tested between two halves any more.
    pub fn on_the_day(&self) -> String {
        if !self.lacks_some() || self.all.is_empty() {
            return self.words.clone();
        }
        let all = &self.all;
        if let Some(can_wait) = &self.can_wait {
            return format!("{can_wait} {all} would bring it to its aim.");
        }
        let ways = "Give it and stir, or half and bottle in three days, after a test; or bottle it as it is.";
        match (&self.untested, self.is_known) {
            (None, true) => format!("{all} is missing by what is known. {ways}"),
            (Some(went_in), true) => {
                format!("{went_in}, and is counted: {all} more is missing. {ways}")
            }
            (Some(went_in), false) => format!(
                "{went_in}, and no test has seen it. Test now; without a test give no more than {all} and stir, or bottle it as it is."
            ),
            (None, false) => format!(
                "Free SO2 was never tested. Test now; without a test {all} brings it to its aim if there is none. {ways}"
            ),
        }
    }

    /// That some was to go in and did not, where it can be told.
    pub fn still_wanted(&self) -> Option<String> {
        let short = if self.is_known {
            "The wine is still short of sulfite by the book: "
        } else {
            ""
        };
        let is_wanted = self.is_wanted() && self.can_wait.is_none();
        is_wanted.then(|| {
            format!(
                "{short}{} Go on without only if it is meant so.",
                self.on_the_day()
            )
        })
    }

    /// Potassium metabisulfite it takes, g; none where that is not known.
    pub fn grams(&self) -> f64 {
        let answer = self.answer.as_ref().filter(|_| !self.is_enough);
        let grams = answer.and_then(|it| it.number("metabisulfite_g"));
        grams.unwrap_or_default()
    }

    /// Whether any of it is to be given now, and more than a scale shows.
    pub fn is_wanted(&self) -> bool {
        !self.is_enough && self.lacks_some()
    }

    fn lacks_some(&self) -> bool {
        let answer = self.answer.as_ref();
        let grams = answer.and_then(|it| it.number("metabisulfite_g"));
        let form = answer.and_then(|it| it.results.text("first_form"));
        grams.is_some_and(|it| it >= LEAST_G) && form != Some("wait")
    }
}

/// What the aim leaves out: it is of the day, and bottles are opened later.
fn air(policy: &Policy) -> String {
    let [low, high] = FILLING_MG_L;
    let [least, most] = FILLING_MG_L.map(|it| it * policy.so2_per_oxygen);
    format!(
        "Filled by siphon, without gas or vacuum, it meets {low:.0} to {high:.0} mg/L of oxygen, which take some {least:.0} to {most:.0} mg/L \
         of free SO2 in the weeks after: aim so much higher where it is to keep."
    )
}

/// Until when a wine that wants none now is likely above its aim, by the forecast of its free SO2.
fn holds_until(holding: &Holding) -> Option<String> {
    let falls = holding.falls_below_aim()?;
    let [mid, high] = [falls.mid?, falls.high].map(Moment::day_words);
    let span = match falls.low.map(Moment::day_words) {
        Some(low) => format!("{low} to {high}"),
        None => format!("perhaps short already, by {high} at the latest"),
    };
    Some(format!(
        "That holds until about {mid} by its forecast ({span}); bottled later, it wants a dose worked out anew."
    ))
}

/// The dose as it is said elsewhere, before what must be answered first.
fn words(advice: &Advice, answer: &Answer) -> String {
    let asked = answer.cautions.iter();
    let asked = asked.filter(|it| advice.gives && it.asks.is_some());
    let asked = asked.map(|it| it.sentence.as_str());
    advice
        .sentences()
        .chain(asked)
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cellar::attention::trial::{CARBOY, Cellar};
    use crate::cellar::entry::Property;
    use crate::cellar::state::Deed;

    /// What is said at the step itself, and what is asked as it is ticked off.
    fn said(build: impl Fn(&mut Cellar)) -> (String, Option<String>) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().knows(Property::Ph, 3.3, 40);
        build(&mut cellar);
        let vessel = cellar.0.thing(CARBOY).unwrap();
        let sulfite = Sulfite::of(vessel, &cellar.0);
        (sulfite.on_the_day(), sulfite.still_wanted())
    }

    #[test]
    fn what_nobody_knows_is_not_missing_by_what_is_known() {
        let (known, asked) = said(|it| _ = it.knows(Property::FreeSo2, 12.0, 20));
        assert!(
            known.contains("is missing by what is known. Give it"),
            "{known}"
        );
        assert!(
            asked
                .unwrap()
                .contains("still short of sulfite by the book")
        );
        // Of the aim, 26 mg/L, 4 are missing: the gate before it says that it is protected.
        let (near, asked) = said(|it| _ = it.knows(Property::FreeSo2, 22.0, 0));
        assert!(near.contains("less than a home test can tell"), "{near}");
        assert_eq!(asked, None);
        let (given, asked) = said(|it| _ = it.sulfited(15.0, 1));
        let begins = "15 mg/L of SO2 went in yesterday, and no test has seen it. Test now;";
        assert!(given.starts_with(begins), "{given}");
        // It was given as it should be, and nobody can say that more is missing.
        assert_eq!(asked, None);
        let (packet, _) = said(|it| {
            it.did(Deed::UnweighedUntested, 46).sulfited(15.0, 1);
        });
        let begins =
            "15 mg/L of SO2 and some of unknown weight went in, the last yesterday, and no test";
        assert!(packet.starts_with(begins), "{packet}");
        let (never, _) = said(|it| _ = it.never(Deed::Sulfited));
        assert!(
            never.starts_with("Free SO2 was never tested. Test now;"),
            "{never}"
        );
    }
}
