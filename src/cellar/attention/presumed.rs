//! Free SO2 that is presumed to be low for the wine's pH, of a wine that no test has seen.

use super::given::{Given, PRESUMED_BY};
use super::holding::Holding;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};

/// A presumption is no measurement: it never presses as a test would, and asks for one where free SO2 is tested.
pub(super) fn rule<'a>(holding: &'a Holding) -> Option<Found<'a>> {
    let band = holding.presumed_free_so2_at(holding.now)?;
    let aim = band.aim.filter(|_| holding.is_short(&band))?;
    let given = Given::of(holding)?;
    let place = holding.place.name();
    let suggestion = if holding.tests_so2 {
        Suggestion::of("measure")
            .with("place", place)
            .asking("free-so2")
    } else {
        Suggestion::of("dose").with("place", place)
    };
    let why = move || {
        vec![
            format!("Presumed {PRESUMED_BY}: {}.", given.went_in(holding)),
            format!(
                "So {band} mg/L are presumed now; one in ten is outside on either side. No test has seen it: what stays free differs widely."
            ),
            holding.aim_line(aim),
            format!(
                "Said only below {:.0} mg/L: a home test cannot tell less than {:.0} mg/L.",
                aim - holding.margin(aim),
                holding.margin(aim)
            ),
        ]
    };
    Some(
        Reason {
            subject: holding.place.key,
            kind: ReasonKind::Presumed,
            due: holding.now,
            rank: Rank::Soon,
            weight: holding.litres()
                * ((aim - band.mid) / aim).clamp(0.0, 1.0)
                * holding.policy.loss_unprotected,
            sentence: format!("free SO2 presumed {band} mg/L, aim {aim:.0}: never tested"),
            suggestion,
        }
        .because(why),
    )
}

#[cfg(test)]
mod tests {
    use super::super::ReasonKind;
    use super::super::trial::{Cellar, policy};
    use super::super::{Answer, attention};
    use crate::cellar::entry::Property;
    use crate::cellar::state::Deed;
    use crate::cellar::thing::{CELLAR, Sort, field};

    /// A finished white at that pH that was given 45 mg/L thirty days ago: 30 · e^(−0.12) = 26.6 mg/L are presumed.
    fn given(ph: f64) -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 22.9);
        cellar.finished().never(Deed::Sulfited);
        cellar.sulfited(45.0, 30).knows(Property::Ph, ph, 30);
        cellar
    }

    fn without_test(mut cellar: Cellar) -> Cellar {
        cellar.thing(CELLAR, Sort::Cellar, "Home");
        cellar.set(CELLAR, field::SO2_TEST, "no");
        cellar
    }

    /// 0.8 · (1 + 10^(3.6 − 1.81)) are 50 mg/L, and 0.8 · (1 + 10^(3.2 − 1.81)) 20.
    #[test]
    fn what_is_presumed_short_is_a_reason_that_says_so_and_asks_for_a_test() {
        let short = given(3.6).reason(ReasonKind::Presumed).unwrap();
        let starts = "free SO2 presumed ~27 (";
        assert!(short.sentence.starts_with(starts), "{}", short.sentence);
        assert!(short.sentence.ends_with("aim 50: never tested"));
        assert_eq!(short.suggestion.verb, "measure");
        assert_eq!(short.suggestion.needs, ["free-so2"]);
        assert_eq!(given(3.2).reason(ReasonKind::Presumed), None);
        let mut tested = given(3.6);
        tested.knows(Property::FreeSo2, 27.0, 0);
        assert_eq!(tested.reason(ReasonKind::Presumed), None);
        let thumb = without_test(given(3.6)).reason(ReasonKind::Presumed);
        assert_eq!(thumb.unwrap().suggestion.verb, "dose");
    }

    /// 22.9 L · (50.1 − 26.6)/50.1 · 0.02 are 0.21 L a week; a wine whose sulfite nobody looked at for long stands at 22.9 · 0.008.
    #[test]
    fn it_is_ranked_by_what_is_presumed_to_be_lacking_and_never_as_urgent_as_a_test() {
        let weight = |ph| {
            let all = attention(&given(ph).0, &policy());
            let found = all.into_iter().find(|it| it.kind == ReasonKind::Presumed);
            found.unwrap()
        };
        let (much, little) = (weight(3.6), weight(3.5));
        assert!((much.weight - 0.2147).abs() < 0.001, "{}", much.weight);
        assert!(much.weight > little.weight, "{}", little.weight);
        assert_eq!(much.rank, super::Rank::Soon);
    }

    fn gate(cellar: &Cellar) -> (Answer, String) {
        let policy = policy();
        let gate = cellar.holding(&policy).gate();
        let item = gate.into_iter().find(|it| it.question == "Protected?");
        let item = item.unwrap();
        (item.answer, item.evidence.join(" "))
    }

    #[test]
    fn the_gate_tells_what_is_presumed_and_takes_it_for_no_measurement() {
        for ph in [3.2, 3.6] {
            let (answer, evidence) = gate(&given(ph));
            assert_eq!(answer, Answer::NotKnown);
            assert!(
                evidence.contains("Free SO2 presumed now: ~27 (") && evidence.contains("Aim "),
                "{evidence}"
            );
        }
        // Who has no test goes by the rule of thumb, unless that is presumed to be too little.
        assert_eq!(gate(&without_test(given(3.2))).0, Answer::Yes);
        assert_eq!(gate(&without_test(given(3.6))).0, Answer::NotKnown);
    }
}
