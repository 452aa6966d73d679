//! More SO2 in a wine than it may hold or than is not tasted. It cannot be taken out again, so it is said from the
//! day on which it went in.

use leesline_calc::hazards::TOO_MUCH_SULFITE;
use leesline_calc::limits::over_ceiling;
use leesline_calc::sulfite::{US_CEILING_MG_L, ceiling_mg_l};

use super::fit::Look;
use super::holding::Holding;
use super::waiting::DANGER;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::entry::Property;
use crate::cellar::state::{Deed, So2Change, SulfiteSoFar};
use crate::cellar::telling;
use crate::cellar::thing::{Thing, Wine};

/// Total SO2 over its ceiling; else free SO2 that is tasted.
pub(super) fn rule<'a>(holding: &'a Holding, _: &'a Look) -> Option<Found<'a>> {
    holding.over_in_total().or_else(|| holding.tasted())
}

/// The total SO2 that can be in a wine: what a test found and what went in since, else all that went in.
struct Total {
    mg_l: f64,
    /// When it was tested, UTC ms, if it was.
    tested_ms: Option<i64>,
    /// As it is said: `at most 210 mg/L of SO2 by what went in`.
    words: String,
}

impl Holding<'_> {
    /// What is wrong with the total SO2 of this wine, if it is over the ceiling of its kind: `at most 182
    /// mg/L of SO2 by what went in, over the 150 that bottled red wine may hold in the EU`.
    pub fn too_much_so2(&self) -> Option<String> {
        let total = self.total_so2()?;
        let over = over_ceiling(self.kind_of_wine(), total.mg_l)?;
        Some(format!("{}, {over}", total.words))
    }

    fn kind_of_wine(&self) -> &'static str {
        self.batch.map_or(Wine::Unknown, Thing::wine).word()
    }

    /// By the last test and what went in since, else the sum since the must.
    fn total_so2(&self) -> Option<Total> {
        let test = self.wine.known.get(&Property::TotalSo2);
        if let Some((found, read, at_ms)) =
            test.and_then(|it| Some((it.found.number()?, &it.found, it.at_ms)))
        {
            let read = telling::found(Property::TotalSo2, read);
            let since = self.wine.so2.iter().filter(|it| it.at_ms > at_ms);
            let added: f64 = since
                .filter_map(|it| match it.what {
                    So2Change::Added(micrograms, _) => Some(micrograms as f64 / 1e3),
                    _ => None,
                })
                .sum();
            let words = if added > 0.0 {
                format!("total SO2 {read}, and {added:.0} went in since")
            } else {
                format!("total SO2 {read}")
            };
            return Some(Total {
                mg_l: found + added,
                tested_ms: Some(at_ms),
                words,
            });
        }
        // Air takes of it year by year and a ferment carries some off: what went in is what can be there at most.
        let (mg_l, words) = match self.wine.sulfite_so_far() {
            SulfiteSoFar::Whole(mg_l) => (
                mg_l,
                format!("at most {mg_l:.0} mg/L of SO2 by what went in"),
            ),
            SulfiteSoFar::AtLeast(mg_l) => {
                (mg_l, format!("at least {mg_l:.0} mg/L of SO2 went in"))
            }
            SulfiteSoFar::NotBeforeTheBook | SulfiteSoFar::Unweighed => return None,
        };
        Some(Total {
            mg_l,
            tested_ms: None,
            words,
        })
    }

    fn over_in_total(&self) -> Option<Found<'_>> {
        let total = self.total_so2()?;
        let said = self.too_much_so2()?;
        let is_far_over = total.mg_l > US_CEILING_MG_L;
        let (rank, weight, todo) = match (is_far_over, total.tested_ms) {
            (true, None) => (Rank::Now, DANGER, "drink none before total SO2 is tested"),
            (true, Some(_)) => (Rank::Now, DANGER, "do not drink it"),
            (false, None) => (Rank::Soon, 0.0, "give no more, test total SO2"),
            (false, Some(_)) => (Rank::Later, 0.0, "give no more, or blend it"),
        };
        let since_ms = total.tested_ms.or_else(|| self.wine.when(Deed::Sulfited));
        let why = move || {
            let mut lines = vec![
                match total.tested_ms {
                    Some(at_ms) => format!("Total SO2 was tested on {}; what went in since comes on top.", self.day(at_ms)),
                    None => format!(
                        "By the book {}: the sum of what was added since the must, free and bound together. What air and a ferment took since is not taken off, so an old wine holds less; a test of total SO2 says how much, and stands in place of the sum. If an entry is wrong, `leesline amend` or `leesline void` puts it right.",
                        total.words
                    ),
                },
                format!(
                    "Bottled wine of its kind may hold {:.0} mg/L in total in the EU (Delegated Regulation (EU) 2019/934, Annex I Part B), any wine {US_CEILING_MG_L:.0} in the US (27 CFR 4.22(b)(1)). Your local code holds, not these figures.",
                    ceiling_mg_l(self.kind_of_wine())
                ),
                "It cannot be taken out again, only thinned by blending it into a wine that had little; give no more to either before a test (common practice).".to_owned(),
            ];
            lines.push(TOO_MUCH_SULFITE.sentence.to_owned());
            lines
        };
        Some(
            Reason {
                subject: self.place.key,
                kind: ReasonKind::SulfiteHigh,
                due: since_ms.map_or(self.now, |it| self.now.at(it)),
                rank,
                weight,
                // What must not be done is read where the rest is cut off.
                sentence: match rank {
                    Rank::Now => format!("{todo}: {said}"),
                    _ => format!("{said}: {todo}"),
                },
                suggestion: self.test_of("total-so2"),
            }
            .because(why),
        )
    }

    /// Free SO2 that nine in ten such wines are above, more than its pH asks for.
    fn tasted(&self) -> Option<Found<'_>> {
        let aim = self.free_so2_aim().unwrap_or(0.0);
        let limit = self.policy.tasted_free_mg_l.max(aim + self.margin(aim));
        let forecast = self.forecast()?;
        if forecast.chance_below(limit, self.now) > 0.1 {
            return None;
        }
        let band = self.band(forecast, self.now);
        let why = move || {
            let mut lines = self.forecast_lines();
            lines.push(format!(
                "Above about {:.0} mg/L free SO2 is tasted (common practice); more is sound only where the pH asks for it.",
                self.policy.tasted_free_mg_l
            ));
            if aim > 0.0 {
                lines.push(self.aim_line(aim));
            }
            lines.push(TOO_MUCH_SULFITE.sentence.to_owned());
            lines
        };
        Some(
            Reason {
                subject: self.place.key,
                kind: ReasonKind::SulfiteHigh,
                due: self.now,
                rank: Rank::Later,
                weight: 0.0,
                sentence: format!(
                    "free SO2 {band} mg/L, over {limit:.0}: give none, let it fall before it is drunk"
                ),
                suggestion: self.test_of("free-so2"),
            }
            .because(why),
        )
    }

    fn test_of(&self, field: &'static str) -> Suggestion {
        Suggestion::of("measure")
            .with("place", self.place.name())
            .asking(field)
    }
}

#[cfg(test)]
mod tests {
    use super::super::trial::{BATCH, Cellar, NOW, days_ago};
    use super::*;
    use crate::cellar::amount::Mass;
    use crate::cellar::thing::field;

    /// A finished wine of 20 L to which so many mg/L went in five days ago.
    fn given(mg_l: f64) -> Cellar {
        let mut cellar = Cellar::with_vessel(21.0, 20.0);
        cellar.finished().sulfited(mg_l, 5);
        cellar.wine().so2_added = Mass::grams(mg_l * 20.0 / 1e3);
        cellar
    }

    fn check(build: impl Fn() -> Cellar, expected: &str) {
        assert_eq!(build().says_why(ReasonKind::SulfiteHigh), expected);
    }

    #[test]
    fn over_the_ceiling_of_its_kind_is_said_however_it_was_answered_when_written() {
        check(|| given(200.0), "");
        check(
            || given(201.0),
            "› at most 201 mg/L of SO2 by what went in, over the 200 that bottled white wine may hold in the EU: give no more, test total SO2",
        );
        let red = || {
            let mut cellar = given(160.0);
            cellar.set(BATCH, field::WINE, "red");
            cellar
        };
        check(
            red,
            "› at most 160 mg/L of SO2 by what went in, over the 150 that bottled red wine may hold in the EU: give no more, test total SO2",
        );
        // 27 CFR 4.22(b)(1).
        check(
            || given(351.0),
            "! drink none before total SO2 is tested: at most 351 mg/L of SO2 by what went in, over the 200 that bottled white wine may hold in the EU",
        );
    }

    #[test]
    fn what_went_in_before_the_book_makes_it_at_least() {
        let build = || {
            let mut cellar = given(220.0);
            cellar.did(Deed::BeforeBook, 90);
            cellar
        };
        check(
            build,
            "› at least 220 mg/L of SO2 went in, over the 200 that bottled white wine may hold in the EU: give no more, test total SO2",
        );
    }

    #[test]
    fn a_test_of_the_total_stands_in_place_of_the_sum() {
        let tested = |mg_l, days| {
            move || {
                let mut cellar = given(400.0);
                cellar.knows(Property::TotalSo2, mg_l, days);
                cellar
            }
        };
        check(tested(150.0, 0), "");
        check(
            tested(230.0, 0),
            "  total SO2 230 mg/L, over the 200 that bottled white wine may hold in the EU: give no more, or blend it",
        );
        check(
            tested(20.0, 8),
            "! do not drink it: total SO2 20 mg/L, and 400 went in since, over the 200 that bottled white wine may hold in the EU",
        );
    }

    #[test]
    fn free_so2_that_is_tasted_is_worth_knowing_unless_the_ph_asks_for_it() {
        let read = |free, ph| {
            move || {
                let mut cellar = Cellar::with_vessel(21.0, 20.0);
                cellar.finished().knows(Property::Ph, ph, 2);
                cellar.knows(Property::FreeSo2, free, 0);
                cellar
            }
        };
        check(read(50.0, 3.3), "");
        check(
            read(60.0, 3.3),
            "  free SO2 ~60 (57–63) mg/L, over 50: give none, let it fall before it is drunk",
        );
        // White at pH 3.7 wants 0.8 × (1 + 10^1.89) = 62.9, and 15 % of margin.
        check(read(70.0, 3.7), "");
    }

    #[test]
    fn its_why_carries_the_limits_and_the_caution() {
        let cellar = given(400.0);
        let why = cellar.working(ReasonKind::SulfiteHigh).join("\n");
        for said in [
            "2019/934",
            "27 CFR 4.22(b)(1)",
            "local code",
            "asthma",
            "leesline amend",
        ] {
            assert!(why.contains(said), "{said}: {why}");
        }
        let due = cellar
            .reason(ReasonKind::SulfiteHigh)
            .map(|it| it.due.date());
        assert_eq!(due, Some(NOW.at(days_ago(5)).date()));
    }
}
