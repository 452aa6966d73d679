//! Whether the sorbate in a sweet wine, and the sulfite beside it, are as much as it takes to keep its yeast still.

use leesline_calc::decline::STAYS_FREE;
use leesline_calc::ferment::{WINE_EXTRACT_PER_ETHANOL, fermented};
use leesline_calc::sorbate::{RELIED_ON_ALCOHOL_PCT_VOL, RELIED_ON_PH, sorbate_mg_l};
use leesline_calc::sulfite::free_needed_mg_l;

use super::gate::Answer;
use super::holding::Holding;
use crate::cellar::amount::Volume;
use crate::cellar::entry::Property;
use crate::cellar::moment;
use crate::cellar::state::{Deed, GravityReading, So2Change};

/// A home scale gives a dose within this share (house estimate).
const SCALE: f64 = 0.9;

/// What was found of one of the two, and why.
pub(super) struct Enough {
    pub(super) answer: Answer,
    pub(super) line: String,
}

/// So much where between the least and the most is asked: what is not known of the wine decides in between.
fn judged(given: f64, least: f64, most: f64) -> Answer {
    if given >= most * SCALE {
        Answer::Yes
    } else if given < least * SCALE {
        Answer::No
    } else {
        Answer::NotKnown
    }
}

impl Holding<'_> {
    /// Whether the sorbate in it is what the table asks for its pH and strength; below the first pH, and above the last strength,
    /// it needs no more. What is not known of these is taken from one end
    /// of the table to the other: more than the most is enough, and less than the least is not.
    pub(super) fn sorbate_enough(&self) -> Enough {
        let found = |answer, line: String| Enough { answer, line };
        let ph = self.ph().map(|it| it.0);
        let alcohol = self.alcohol_pct_vol();
        let (ph_low, ph_high) = ph.map_or(RELIED_ON_PH, |it| {
            (it.max(RELIED_ON_PH.0), it.max(RELIED_ON_PH.0))
        });
        let most = RELIED_ON_ALCOHOL_PCT_VOL.1;
        let (weak, strong) =
            alcohol.map_or(RELIED_ON_ALCOHOL_PCT_VOL, |it| (it.min(most), it.min(most)));
        let (Some(least), Some(needed)) =
            (sorbate_mg_l(ph_low, strong), sorbate_mg_l(ph_high, weak))
        else {
            let line = "Sorbate is not to be relied on above pH 3.7 or below 9 % vol.".to_owned();
            return found(Answer::No, line);
        };
        let of = match (ph, alcohol) {
            (Some(ph), Some(alcohol)) => format!("at pH {ph:.2} and {alcohol:.1} % vol"),
            (Some(ph), None) => format!("at pH {ph:.2}, by its alcohol, which is not known"),
            (None, Some(alcohol)) => {
                format!("at {alcohol:.1} % vol, by its pH, which is not known")
            }
            (None, None) => "by its pH and alcohol, which are not known".to_owned(),
        };
        let much = if (needed - least).abs() < 0.5 {
            format!("{needed:.0}")
        } else {
            format!("{least:.0} to {needed:.0}")
        };
        let asked = format!("{much} mg/L of it are asked {of} (T. Underhill, Sorbate table)");
        let litres = self.litres();
        let unweighed = self.wine.when(Deed::SorbateUnweighed).is_some();
        let grams = self.wine.weighed.sorbate.in_grams();
        if self.wine.unmeasured.is_some() || litres <= 0.0 {
            let line = format!(
                "{grams} g of sorbate went in, into nobody knows how many litres; {asked}."
            );
            return found(Answer::NotKnown, line);
        }
        let given = grams * 1e3 / litres;
        let in_all = format!("{grams:.1} g in {}", Volume::litres(litres));
        // A file may be older than the weight that is kept here.
        if grams <= 0.0 || (unweighed && given < needed * SCALE) {
            let line = format!("How much sorbate went in is not known; {asked}.");
            return found(Answer::NotKnown, line);
        }
        let line = format!("Sorbate {given:.0} mg/L ({in_all}); {asked}.");
        found(judged(given, least, needed), line)
    }

    /// Whether enough SO2 is free beside it: by what is expected, else by what went in about then. Without a pH it is judged at either
    /// end of where sorbate holds.
    pub(super) fn sulfite_beside_sorbate(&self, sorbated_ms: i64) -> Enough {
        let molecular = self.policy.sorbate_molecular_mg_l;
        let needed = |ph| free_needed_mg_l(molecular, ph, self.policy.pk1);
        let (least, most, asked) = if let Some((ph, _)) = self.ph() {
            let needed = needed(ph);
            let asked = format!(
                "{needed:.0} are asked beside sorbate at pH {ph:.2}, {molecular} molecular"
            );
            (needed, needed, asked)
        } else {
            let (least, most) = (needed(RELIED_ON_PH.0), needed(RELIED_ON_PH.1));
            let asked = format!(
                "{least:.0} to {most:.0} are asked beside sorbate by its pH, which is not known"
            );
            (least, most, asked)
        };
        let (free, said) = if let Some(band) = self.expected_free_so2() {
            (
                Some(band.mid),
                format!("Free SO2 is expected at {band} mg/L"),
            )
        } else if self.wine.when(Deed::UnweighedUntested).is_some() {
            (None, "How much sulfite went in is not known".to_owned())
        } else {
            let given = self.so2_given_about(sorbated_ms);
            let free = given * STAYS_FREE.0;
            let said = format!(
                "Sulfite brought {given:.0} mg/L of SO2, of which about {free:.0} stay free"
            );
            (Some(free), said)
        };
        Enough {
            answer: free.map_or(Answer::NotKnown, |it| judged(it, least, most)),
            line: format!("{said}; {asked}."),
        }
    }

    /// SO2 that went in from a day before the sorbate on, mg/L.
    fn so2_given_about(&self, sorbated_ms: i64) -> f64 {
        let from = sorbated_ms - moment::DAY_MS;
        let events = self.wine.so2.iter().filter(|it| it.at_ms >= from);
        let added = events.filter_map(|it| match it.what {
            So2Change::Added(micrograms_l, _) => Some(micrograms_l as f64 / 1e3),
            _ => None,
        });
        added.sum()
    }

    /// Its strength as measured, else by its gravity before and after the ferment.
    fn alcohol_pct_vol(&self) -> Option<f64> {
        if let Some((alcohol, _)) = self.known_between(Property::Alcohol, 0.0, 30.0) {
            return Some(alcohol);
        }
        let sweetened = self.wine.when(Deed::Sweetened).unwrap_or(i64::MAX);
        let read = self.wine.gravities.iter().filter(|it| it.at_ms < sweetened);
        let read: Vec<&GravityReading> = read.collect();
        let (first, last) = (read.first()?, read.last()?);
        // A must was read first, before its yeast had done much, or nothing is known of what fermented.
        let pitched = self.wine.when(Deed::Pitched);
        let is_must = first.gravity >= self.policy.must_gravity
            && pitched.is_none_or(|it| first.at_ms <= it + moment::DAY_MS);
        if !is_must || self.wine.when(Deed::Sugared).is_some() {
            return None;
        }
        let found = fermented(first.gravity, last.gravity, WINE_EXTRACT_PER_ETHANOL).ok()?;
        Some(found.alcohol_pct_vol)
    }
}
