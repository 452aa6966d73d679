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
        let (answer, evidence, what_to_do) = if is_dry {
            let line = "It is dry: nothing is left to ferment.".to_owned();
            (Answer::Yes, vec![line], "")
        } else if let Some(barrier) = self.stabilised() {
            let days = self.days(barrier.since_ms);
            let waited = days as f64 >= self.policy.stable_days;
            match barrier.answer {
                Answer::Yes if waited => (Answer::Yes, barrier.evidence, ""),
                Answer::Yes => (
                    Answer::No,
                    barrier.evidence,
                    "Wait two weeks after stabilising, and measure gravity again.",
                ),
                short => (short, barrier.evidence, barrier.what_to_do),
            }
        } else if sweetened || last.is_some() {
            let why = match last {
                Some(last) if !sweetened => format!("Its gravity is {}.", gravity(last)),
                _ => "It was sweetened.".to_owned(),
            };
            let line = format!(
                "{why} Neither sorbate with sulfite, nor sterile filtration, nor 18 % vol is written down."
            );
            (
                Answer::No,
                vec![line],
                "Stabilise it, or test its sugar; never sorbate where malolactic bacteria live.",
            )
        } else {
            let line = "Neither gravity nor sugar is known.".to_owned();
            (
                Answer::NotKnown,
                vec![line],
                "Measure its gravity, or test its sugar.",
            )
        };
        let mut evidence = evidence;
        evidence.extend(self.sweetened_line().filter(|_| !is_dry));
        self.item(
            "Dry, or sweet and stabilised?",
            answer,
            evidence,
            what_to_do,
            Some("sugar"),
            BURST,
        )
    }

    /// What stopped a ferment short of its end, if that was long enough ago; by sorbate only as far as it is enough.
    pub(super) fn stopped_by(&self) -> Option<Barrier> {
        let barrier = self.stabilised()?;
        let waited = self.days(barrier.since_ms) as f64 >= self.policy.stable_days;
        (waited && barrier.may_hold()).then_some(barrier)
    }

    /// Whether what sugar is in it has nothing to fear, as far as anyone knows: none is left, or something holds the yeast.
    pub(super) fn is_kept_still(&self) -> bool {
        self.is_tested_dry() || self.stabilised().is_some_and(|it| it.may_hold())
    }

    /// Whether sugar that goes in now finds yeast that was at work before, and nothing that holds it.
    pub(in crate::cellar) fn would_ferment_again(&self) -> bool {
        let holds = self.barrier(i64::MAX).is_some_and(|it| it.may_hold());
        !self.ferment().may_work() && !holds
    }

    /// Whether sorbate that went in is known to be too little to hold yeast.
    pub(super) fn is_sorbated_in_vain(&self) -> bool {
        self.wine.when(Deed::Sorbated).is_some() && self.sorbate_enough().answer == Answer::No
    }

    /// What keeps a sweet wine from fermenting again, and since when it was so and sweet.
    fn stabilised(&self) -> Option<Barrier> {
        let sugars = [Deed::Sweetened, Deed::Sugared];
        let sugars = sugars.into_iter().filter_map(|it| self.wine.when(it));
        let sweetened = sugars.max().unwrap_or(i64::MIN);
        let barrier = self.barrier(sweetened)?;
        Some(Barrier {
            since_ms: barrier.since_ms.max(sweetened),
            ..barrier
        })
    }

    fn barrier(&self, sweetened_ms: i64) -> Option<Barrier> {
        let sure = |line: String, since_ms| Barrier {
            answer: Answer::Yes,
            evidence: vec![line],
            what_to_do: "",
            since_ms,
            is_sorbate: false,
        };
        // Sugar put in after a sterile filtration brings its own yeast.
        let filtered = self.wine.when(Deed::SterileFiltered);
        if let Some(at) = filtered.filter(|it| *it >= sweetened_ms) {
            return Some(sure(format!("Filtered sterile on {}.", self.day(at)), at));
        }
        let strong = self.policy.stable_alcohol_pct_vol;
        let alcohol = self.known_between(Property::Alcohol, strong, 96.0);
        // An estimate after a blend, or after water went in, proves nothing here.
        if let Some((alcohol, known)) = alcohol.filter(|it| !it.1.estimated) {
            let line = format!("Alcohol {alcohol:.1} % vol, at which yeast stays still.");
            return Some(sure(line, known.at_ms));
        }
        self.by_sorbate()
    }

    /// Sorbate with sulfite, each as much as it takes.
    fn by_sorbate(&self) -> Option<Barrier> {
        let sorbated = self.wine.when(Deed::Sorbated)?;
        let sulfited = self.wine.when(Deed::Sulfited)?;
        // Sorbate alone feeds bacteria; the sulfite beside it may have gone in a little earlier.
        if self.now.at(sulfited).days_since(self.now.at(sorbated)) < -1 {
            return None;
        }
        let (sorbate, sulfite) = (self.sorbate_enough(), self.sulfite_beside_sorbate(sorbated));
        let (answer, what_to_do) = match (sorbate.answer, sulfite.answer) {
            (Answer::Yes, Answer::Yes) => (Answer::Yes, ""),
            (Answer::No, _) => (
                Answer::No,
                "Too little sorbate holds no yeast: first show by equal gravities that it stands still; then give the rest, by `calc sorbate`, with sulfite, and wait two weeks.",
            ),
            (_, Answer::No) => (
                Answer::No,
                "Sorbate holds only beside enough free SO2: dose it to its aim, and wait two weeks.",
            ),
            _ => (
                Answer::NotKnown,
                "Weigh what goes in, and measure pH, alcohol and free SO2: they say whether it is enough.",
            ),
        };
        let line = format!(
            "Stabilised with sorbate and sulfite on {}.",
            self.day(sorbated)
        );
        Some(Barrier {
            answer,
            evidence: vec![line, sorbate.line, sulfite.line],
            what_to_do,
            since_ms: sorbated,
            is_sorbate: true,
        })
    }
}

/// What keeps a wine from fermenting again.
pub(super) struct Barrier {
    /// Whether it is enough.
    pub(super) answer: Answer,
    /// What that rests on, one sentence a line.
    pub(super) evidence: Vec<String>,
    /// What to do where it is not.
    what_to_do: &'static str,
    /// Since when it is there, UTC ms.
    since_ms: i64,
    /// Sorbate keeps yeast from beginning, and stops none.
    pub(super) is_sorbate: bool,
}

impl Barrier {
    /// Whether it is not known to be too little.
    fn may_hold(&self) -> bool {
        self.answer != Answer::No
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{Cellar, policy};
    use super::*;
    use crate::cellar::amount::Mass;

    fn check(build: impl Fn(&mut Cellar), answer: Answer, evidence: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished();
        build(&mut cellar);
        let item = cellar.holding(&policy()).ask_stable();
        assert_eq!(item.answer, answer, "{item:#?}");
        assert_eq!(item.evidence[0], evidence);
        assert_eq!(item.what_to_do.is_empty(), answer == Answer::Yes);
    }

    /// 4.1 g of sorbate in 22.9 L, 180 mg/L, and 45 mg/L of SO2 at pH 3.3 and 11 % vol.
    fn enough(it: &mut Cellar, days: i64) {
        it.knows(Property::Ph, 3.3, 2)
            .knows(Property::Alcohol, 11.0, 2);
        it.wine().weighed.sorbate = Mass::grams(4.13);
        it.did(Deed::Sorbated, days).sulfited(45.0, days);
    }

    /// The table asks 180 mg/L at pH 3.3 and 11 % vol (T. Underhill); 0.5 mg/L molecular at pH 3.3 asks 16 mg/L free, and two
    /// thirds of a dose stay free.
    #[test]
    fn a_trace_of_sorbate_or_sulfite_stabilises_nothing() {
        let says = |sorbate_g: f64, so2_mg_l: f64, build: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 10.5);
            cellar.finished().gravities(&[(40, 1.011), (30, 1.011)]);
            cellar
                .knows(Property::Ph, 3.3, 2)
                .knows(Property::Alcohol, 11.0, 2);
            cellar.wine().weighed.sorbate = Mass::grams(sorbate_g);
            cellar.did(Deed::Sorbated, 20).sulfited(so2_mg_l, 20);
            build(&mut cellar);
            let item = cellar.holding(&policy()).ask_stable();
            (item.answer, item.evidence[1..].join(" "))
        };
        let short = "Sorbate 10 mg/L (0.1 g in 10.5 L); 180 mg/L of it are asked at pH 3.30 and 11.0 % vol (T. Underhill, Sorbate table). Sulfite brought 45 mg/L of SO2, of which about 30 stay free; 16 are asked beside sorbate at pH 3.30, 0.5 molecular.";
        assert_eq!(says(0.1, 45.0, &|_| ()), (Answer::No, short.to_owned()));
        let answer =
            |sorbate_g, so2_mg_l, build: &dyn Fn(&mut Cellar)| says(sorbate_g, so2_mg_l, build).0;
        assert_eq!(answer(1.89, 45.0, &|_| ()), Answer::Yes);
        // Within a tenth, as a home scale gives it, and not below.
        assert_eq!(answer(1.71, 45.0, &|_| ()), Answer::Yes);
        assert_eq!(answer(1.69, 45.0, &|_| ()), Answer::No);
        assert_eq!(answer(1.89, 5.5, &|_| ()), Answer::No);
        // Nobody weighed it: a packet, or a file that is older than what is kept of it.
        let packet = |it: &mut Cellar| _ = it.did(Deed::SorbateUnweighed, 20);
        assert_eq!(answer(0.0, 45.0, &packet), Answer::NotKnown);
        assert_eq!(answer(0.1, 45.0, &packet), Answer::NotKnown);
        assert_eq!(answer(1.89, 45.0, &packet), Answer::Yes);
        let unweighed = |it: &mut Cellar| {
            it.wine().so2.clear();
            it.did(Deed::UnweighedUntested, 20);
        };
        assert_eq!(answer(1.89, 0.0, &unweighed), Answer::NotKnown);
        // At pH 3.1 it takes 135 mg/L, 1.42 g, and at 3.7, where it is relied on last, 255: in between its pH decides.
        let no_ph = |it: &mut Cellar| _ = it.wine().known.remove(&Property::Ph);
        assert_eq!(answer(1.89, 45.0, &no_ph), Answer::NotKnown);
        assert_eq!(answer(1.0, 45.0, &no_ph), Answer::No);
        // A test says more than a dose does.
        let tested = |it: &mut Cellar| _ = it.knows(Property::FreeSo2, 8.0, 0);
        assert_eq!(answer(1.89, 45.0, &tested), Answer::No);
        let beyond = |it: &mut Cellar| _ = it.knows(Property::Ph, 3.8, 1);
        assert_eq!(answer(6.0, 80.0, &beyond), Answer::No);
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
                enough(it, days);
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
            enough(it, 30);
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
