//! Whether a sweet wine is kept from fermenting again, as the gate before bottling asks.

use super::gate::{Answer, BURST, GateItem};
use super::holding::Holding;
use super::words::gravity;
use crate::cellar::entry::Property;
use crate::cellar::state::Deed;

impl Holding<'_> {
    pub(super) fn ask_stable(&self) -> GateItem {
        let sweetened = self.wine.when(Deed::Sweetened).is_some();
        let last = self.readings_since_sugar().last().map(|it| it.gravity);
        let is_dry =
            self.is_tested_dry() || (!sweetened && last.is_some_and(|it| self.is_at_its_end(it)));
        let (answer, line, what_to_do) = if is_dry {
            (
                Answer::Yes,
                "It is dry: nothing is left to ferment.".to_owned(),
                "",
            )
        } else if let Some((line, since)) = self.stabilised() {
            let days = self.days(since);
            if days as f64 >= self.policy.stable_days {
                (Answer::Yes, line, "")
            } else {
                (
                    Answer::No,
                    line,
                    "Wait two weeks after stabilising, and measure gravity again.",
                )
            }
        } else if sweetened || last.is_some() {
            let why = match last {
                Some(last) if !sweetened => format!("Its gravity is {}.", gravity(last)),
                _ => "It was sweetened.".to_owned(),
            };
            (
                Answer::No,
                format!(
                    "{why} Neither sorbate with sulfite, nor sterile filtration, nor 18 % vol is written down."
                ),
                "Stabilise it, or test its sugar; never sorbate where malolactic bacteria live.",
            )
        } else {
            (
                Answer::NotKnown,
                "Neither gravity nor sugar is known.".to_owned(),
                "Measure its gravity, or test its sugar.",
            )
        };
        self.item(
            "Dry, or sweet and stabilised?",
            answer,
            vec![line],
            what_to_do,
            Some("sugar"),
            BURST,
        )
    }

    /// What stopped a ferment short of its end, if that was long enough ago.
    pub(super) fn stopped_by(&self) -> Option<String> {
        let (line, since) = self.stabilised()?;
        (self.days(since) as f64 >= self.policy.stable_days).then_some(line)
    }

    /// What keeps a sweet wine from fermenting again, and since when it was so and sweet (UTC ms).
    fn stabilised(&self) -> Option<(String, i64)> {
        let sugars = [Deed::Sweetened, Deed::Sugared];
        let sugars = sugars.into_iter().filter_map(|it| self.wine.when(it));
        let sweetened = sugars.max().unwrap_or(i64::MIN);
        let (line, at) = self.barrier(sweetened)?;
        Some((line, at.max(sweetened)))
    }

    fn barrier(&self, sweetened_ms: i64) -> Option<(String, i64)> {
        // Sugar put in after a sterile filtration brings its own yeast.
        let filtered = self.wine.when(Deed::SterileFiltered);
        if let Some(at) = filtered.filter(|it| *it >= sweetened_ms) {
            return Some((format!("Filtered sterile on {}.", self.day(at)), at));
        }
        let strong = self.policy.stable_alcohol_pct_vol;
        let alcohol = self.known_between(Property::Alcohol, strong, 96.0);
        // An estimate after a blend, or after water went in, proves nothing here.
        if let Some((alcohol, known)) = alcohol.filter(|it| !it.1.estimated) {
            let line = format!("Alcohol {alcohol:.1} % vol, at which yeast stays still.");
            return Some((line, known.at_ms));
        }
        let sorbated = self.wine.when(Deed::Sorbated)?;
        let sulfited = self.wine.when(Deed::Sulfited)?;
        // Sorbate alone feeds bacteria; the sulfite beside it may have gone in a little earlier.
        let together = self.now.at(sulfited).days_since(self.now.at(sorbated)) >= -1;
        together.then(|| {
            let line = format!(
                "Stabilised with sorbate and sulfite on {}.",
                self.day(sorbated)
            );
            (line, sorbated)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, policy};
    use super::*;

    fn check(build: impl Fn(&mut Cellar), answer: Answer, evidence: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let item = cellar.holding(&policy()).ask_stable();
        assert_eq!(item.answer, answer, "{item:#?}");
        assert_eq!(item.evidence, [evidence]);
        assert_eq!(item.what_to_do.is_empty(), answer == Answer::Yes);
    }

    #[test]
    fn a_sweet_wine_is_stabilised_and_watched_two_weeks() {
        check(
            |_| (),
            Answer::Yes,
            "It is dry: nothing is left to ferment.",
        );
        check(
            |it| _ = it.did(Deed::Sweetened, 30),
            Answer::No,
            "It was sweetened. Neither sorbate with sulfite, nor sterile filtration, nor 18 % vol is written down.",
        );
        let stabilised = |days| {
            move |it: &mut Cellar| {
                it.did(Deed::Sweetened, 30);
                it.did(Deed::Sorbated, days).did(Deed::Sulfited, days);
            }
        };
        check(
            stabilised(14),
            Answer::Yes,
            "Stabilised with sorbate and sulfite on 11 Nov 2026.",
        );
        check(
            stabilised(13),
            Answer::No,
            "Stabilised with sorbate and sulfite on 12 Nov 2026.",
        );
        // Sorbate with no sulfite beside it does not count.
        let alone = |it: &mut Cellar| _ = it.did(Deed::Sweetened, 30).did(Deed::Sorbated, 20);
        let line = "It was sweetened. Neither sorbate with sulfite, nor sterile filtration, nor 18 % vol is written down.";
        check(alone, Answer::No, line);
        // Sugar that went in after the filter, or after the sorbate, starts the wait anew.
        let filtered = |filtered, sweetened| {
            move |it: &mut Cellar| {
                it.did(Deed::SterileFiltered, filtered);
                it.did(Deed::Sweetened, sweetened);
            }
        };
        check(
            filtered(20, 30),
            Answer::Yes,
            "Filtered sterile on 5 Nov 2026.",
        );
        check(filtered(30, 20), Answer::No, line);
        let late = |it: &mut Cellar| {
            it.did(Deed::Sorbated, 30).did(Deed::Sulfited, 30);
            it.did(Deed::Sweetened, 5);
        };
        check(
            late,
            Answer::No,
            "Stabilised with sorbate and sulfite on 26 Oct 2026.",
        );
        let strong = |it: &mut Cellar| {
            _ = it
                .did(Deed::Sweetened, 30)
                .knows(Property::Alcohol, 18.5, 20);
        };
        check(
            strong,
            Answer::Yes,
            "Alcohol 18.5 % vol, at which yeast stays still.",
        );
        let nearly = |it: &mut Cellar| {
            it.did(Deed::Sweetened, 30);
            it.knows(Property::Alcohol, 17.9, 20);
        };
        check(nearly, Answer::No, line);
        let tested = |it: &mut Cellar| {
            it.did(Deed::Sweetened, 60).knows(Property::Sugar, 1.0, 5);
        };
        check(
            tested,
            Answer::Yes,
            "It is dry: nothing is left to ferment.",
        );
    }
}
