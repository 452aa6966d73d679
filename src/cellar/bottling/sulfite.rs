//! The sulfite that a wine wants before it is bottled, in the words and the figures of the dose itself.

use leesline_calc::Answer;

use crate::cellar::attention::{Holding, Policy};
use crate::cellar::dosing::{
    against_sulfite, all_of_it, by_thumb, dose, left_unknown, plain, too_soon,
};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Thing;

/// Less than any scale shows is no dose, g.
const LEAST_G: f64 = 0.05;

/// What is to go in before.
#[derive(Clone, Debug)]
pub struct Sulfite {
    /// The dose, where it can be worked out and any may be given.
    pub answer: Option<Answer>,
    /// What to do, some days before.
    pub words: String,
    /// All of it, as it is measured out; empty where the dose is no such figure.
    pub all: String,
    /// Until when it holds that none is wanted.
    pub holds: Option<String>,
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
            return Sulfite {
                answer: None,
                words,
                all: String::new(),
                holds: None,
            };
        }
        let answer = dose(vessel.key, cellar);
        let words = answer
            .as_ref()
            .zip(holding.as_ref())
            .and_then(|(answer, holding)| words(answer, vessel, holding, cellar))
            .unwrap_or_else(|| {
                "It cannot be worked out: measure its pH and its free SO2.".to_owned()
            });
        let none = answer.as_ref().and_then(|it| it.results.text("first_form")) == Some("none");
        let holds = holding.as_ref().filter(|_| none).and_then(holds_until);
        let units = cellar.settings().units;
        let all = answer.as_ref().and_then(|it| all_of_it(it, units));
        let all = all.unwrap_or_default();
        Sulfite {
            answer,
            words,
            all,
            holds,
        }
    }

    /// What to do, and until when that holds.
    pub fn said(&self) -> String {
        let said = [Some(self.words.as_str()), self.holds.as_deref()];
        said.into_iter().flatten().collect::<Vec<_>>().join(" ")
    }

    /// What to do on the day itself, when nothing is tested between two halves any more.
    pub fn on_the_day(&self) -> String {
        if !self.is_wanted() || self.all.is_empty() {
            return self.words.clone();
        }
        format!(
            "{} is missing by what is known. Give all of it now and stir, or half and bottle in three days, after a test; or \
             bottle it as it is.",
            self.all
        )
    }

    /// Potassium metabisulfite it takes, g; none where that is not known.
    pub fn grams(&self) -> f64 {
        let answer = self.answer.as_ref();
        let grams = answer.and_then(|it| it.number("metabisulfite_g"));
        grams.unwrap_or_default()
    }

    /// Whether any of it is to be given now, and more than a scale shows.
    pub fn is_wanted(&self) -> bool {
        let form = self
            .answer
            .as_ref()
            .and_then(|it| it.results.text("first_form"));
        self.grams() >= LEAST_G && form != Some("wait")
    }
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

/// The dose as it is said elsewhere, after what must be known first and before what must be answered first.
fn words(answer: &Answer, vessel: &Thing, holding: &Holding, cellar: &Snapshot) -> Option<String> {
    let plain = plain(answer, cellar.settings().units, holding.molecular_aim())?;
    let first = if by_thumb(vessel.key, cellar) {
        too_soon(holding)
    } else {
        let unknown = left_unknown(vessel.key, cellar);
        unknown.map(|it| {
            format!("Test first, what is left free is not known ({it}). At the very most:")
        })
    };
    let asked = answer.cautions.iter().filter(|it| it.asks.is_some());
    let asked = asked.map(|it| it.sentence.clone());
    let said: Vec<String> = first.into_iter().chain([plain]).chain(asked).collect();
    Some(said.join(" "))
}
