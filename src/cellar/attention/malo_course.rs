//! How a malolactic conversion goes that is wanted and not finished: not begun, under way, or stuck, and when it ends.

use leesline_calc::malolactic::{self, DONE_G_L, Seen};

use super::holding::Holding;
use super::words::{from_to, span};
use crate::cellar::entry::{Found, Property};
use crate::cellar::moment::{self, Moment};
use crate::cellar::state::{Deed, MalicTest};
use crate::cellar::telling;

const DAY_MS: f64 = moment::DAY_MS as f64;
/// A paper strip says faint below this, g/L: house estimate.
const FAINT_G_L: f64 = 0.3;
/// No wine has more malic acid, g/L.
const MOST_G_L: f64 = 20.0;

/// How it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    /// No bacteria were added, and no test shows that they came by themselves.
    NotBegun,
    /// Under way.
    Going,
    /// Something holds it up, or it takes longer than any does.
    Stuck,
}

/// One thing that bacteria do not bear.
pub(super) struct Hindrance {
    /// `14 °C, under 18`.
    pub(super) words: String,
    /// Whether it is the cold, which a person can end.
    pub(super) is_cold: bool,
}

/// The course of one conversion.
pub(super) struct Course {
    pub(super) stands: Stands,
    pub(super) hindered: Vec<Hindrance>,
    /// When to look: now, or when one in ten is finished.
    pub(super) due: Moment,
    /// When malic acid was last tested, UTC ms.
    pub(super) looked: Option<i64>,
    begun_ms: i64,
    /// One in ten is finished before, half, one in ten after.
    ends: Option<[Moment; 3]>,
    celsius: f64,
    /// What two tests of malic acid show.
    pace: Option<Pace>,
}

/// What two tests of malic acid show of its pace: both in words, `malic 2.4, then 1.1 g/L 20 days later`.
enum Pace {
    /// It falls, by more than the two may err.
    Falls(String),
    /// It stands still: it fell by no more than they may err, over as long as a test is waited for.
    Stands(String),
}

impl Holding<'_> {
    /// How its conversion goes; `None` where none is open.
    pub(super) fn malo_course(&self) -> Option<Course> {
        if !self.malo_is_open() {
            return None;
        }
        let hindered = self.malo_hindrances();
        let tested = self.wine.known.get(&Property::Malic);
        let looked = tested.map(|it| it.at_ms);
        let celsius = self.malo_celsius().unwrap_or(malolactic::USUAL_C);
        let pace = self.malo_pace();
        let falls = matches!(pace, Some(Pace::Falls(_)));
        let Some(begun_ms) = self.wine.when(Deed::MaloStarted) else {
            let fades = falls || tested.is_some_and(|it| malic(&it.found).1 <= FAINT_G_L);
            return Some(Course {
                stands: if fades {
                    Stands::Going
                } else {
                    Stands::NotBegun
                },
                hindered,
                due: self.now,
                looked,
                begun_ms: self.now.utc_ms,
                ends: None,
                celsius,
                pace,
            });
        };
        let since = tested.filter(|it| it.at_ms > begun_ms);
        let seen = since.map(|it| {
            let (low_g_l, high_g_l) = malic(&it.found);
            let day = (it.at_ms - begun_ms) as f64 / DAY_MS;
            Seen {
                day,
                low_g_l,
                high_g_l,
            }
        });
        let begun = self.now.at(begun_ms);
        let ends = malolactic::days(celsius, seen);
        let ends = ends.map(|it| [it.low, it.value, it.high].map(|days| begun.after(days)));
        // Malic acid that falls is stronger evidence than what bacteria are said not to bear; and so is what does not fall.
        let stops = matches!(pace, Some(Pace::Stands(_)));
        let is_free = (hindered.is_empty() || falls) && !stops;
        Some(Course {
            stands: if is_free && (falls || ends.is_some()) {
                Stands::Going
            } else {
                Stands::Stuck
            },
            due: ends.filter(|_| is_free).map_or(self.now, |it| it[0]),
            looked: since.map(|it| it.at_ms),
            hindered,
            begun_ms,
            ends,
            celsius,
            pace,
        })
    }

    /// What the first and the last test of malic acid since the bacteria show together.
    fn malo_pace(&self) -> Option<Pace> {
        let begun = self.wine.when(Deed::MaloStarted).unwrap_or(i64::MIN);
        let since = self.wine.malics.iter().filter(|it| it.at_ms >= begun);
        let tests: Vec<&MalicTest> = since.collect();
        let [first, .., last] = tests[..] else {
            return None;
        };
        let days = self.days(first.at_ms) - self.days(last.at_ms);
        let (was, is) = (malic(&first.found), malic(&last.found));
        let [one, other] = [first, last].map(|it| telling::found(Property::Malic, &it.found));
        let words = format!("malic {one}, then {other} {} later", span(days));
        // A strip that says strong twice may hide a fall.
        let is_number = |found: &Found| matches!(found, Found::Number(_) | Found::Between(..));
        let both_numbers = is_number(&first.found) && is_number(&last.found);
        if was.0 >= is.1 {
            Some(Pace::Falls(words))
        } else {
            let long = days as f64 >= self.policy.malo_look_days;
            (long && both_numbers && is.0 >= DONE_G_L).then_some(Pace::Stands(words))
        }
    }

    /// Its warmth, °C: as read lately, else the cellar's.
    fn malo_celsius(&self) -> Option<f64> {
        self.living_c()
            .filter(|(_, known)| self.days(known.at_ms) as f64 <= self.policy.malo_warmth_days)
            .map(|it| it.0)
            .or(self.usual_c)
    }

    fn malo_hindrances(&self) -> Vec<Hindrance> {
        let policy = self.policy;
        let mut all = Vec::new();
        let mut hindered = |is_cold, words| all.push(Hindrance { words, is_cold });
        if let Some(c) = self.malo_celsius().filter(|it| *it < policy.malo_least_c) {
            hindered(true, format!("{c:.0} °C, under {}", policy.malo_least_c));
        }
        let read = self.known_between(Property::TotalSo2, 0.0, 1000.0);
        let so2 = read.map_or(self.wine.so2_added_mg_l(), |it| it.0);
        if so2 > policy.malo_most_so2_mg_l {
            hindered(
                false,
                format!(
                    "total SO2 {so2:.0} mg/L, over {}",
                    policy.malo_most_so2_mg_l
                ),
            );
        }
        if let Some((ph, _)) = self.ph().filter(|it| it.0 < policy.malo_least_ph) {
            hindered(false, format!("pH {ph:.2}, under {}", policy.malo_least_ph));
        }
        let most = policy.malo_most_alcohol_pct_vol;
        let alcohol = self.known_between(Property::Alcohol, 0.0, 30.0);
        if let Some((alcohol, _)) = alcohol.filter(|it| it.0 > most) {
            hindered(false, format!("{alcohol:.1} % vol, over {most}"));
        }
        all
    }
}

/// Between which figures malic acid lies that was found so, g/L.
fn malic(found: &Found) -> (f64, f64) {
    match found {
        // A home test errs by a tenth of a gram or a seventh part: house estimate.
        Found::Number(g_l) => {
            let off = (g_l / 7.0).max(0.1);
            (g_l - off, g_l + off)
        }
        Found::Below(g_l) => (DONE_G_L, *g_l),
        Found::Above(g_l) => (*g_l, MOST_G_L),
        Found::Between(low, high) => (*low, *high),
        Found::Word(word) if word == "faint" => (DONE_G_L, FAINT_G_L),
        Found::Word(word) if word == "strong" => (FAINT_G_L, MOST_G_L),
        Found::Word(_) => (DONE_G_L, MOST_G_L),
    }
}

impl Course {
    /// Whether two tests show that it does not go on.
    pub(super) fn has_stopped(&self) -> bool {
        matches!(self.pace, Some(Pace::Stands(_)))
    }

    /// A few words for a row.
    pub(super) fn sentence(&self, holding: &Holding) -> String {
        let hindered: Vec<&str> = self.hindered.iter().map(|it| it.words.as_str()).collect();
        let hindered = hindered.join("; ");
        let seen = match &self.pace {
            Some(Pace::Stands(words)) if hindered.is_empty() => {
                return format!("malolactic stopped: {words}");
            }
            Some(Pace::Stands(words)) => {
                return format!("malolactic stopped: {words}; {hindered}");
            }
            Some(Pace::Falls(words)) => format!("malolactic going ({words}), "),
            None => "malolactic ".to_owned(),
        };
        match (self.stands, self.ends) {
            (Stands::NotBegun, _) if hindered.is_empty() => {
                "malolactic wanted, not begun".to_owned()
            }
            (Stands::NotBegun, _) => format!("malolactic wanted, not begun: {hindered}"),
            (Stands::Stuck, _) if !hindered.is_empty() => {
                format!("malolactic likely stuck: {hindered}")
            }
            (Stands::Stuck, _) => format!(
                "malolactic stuck: malic acid still there {} after the bacteria",
                span(
                    holding.days(self.begun_ms)
                        - holding.days(self.looked.unwrap_or(holding.now.utc_ms))
                )
            ),
            (Stands::Going, Some([low, _, high])) if low > holding.now => {
                format!("{seen}likely finished {}: test malic", from_to(low, high))
            }
            (Stands::Going, Some([low, _, high])) if high > holding.now => {
                format!("{seen}may be finished ({}): test malic", from_to(low, high))
            }
            (Stands::Going, Some(_)) => format!(
                "{seen}not seen to finish, {} on: test malic",
                span(holding.days(self.begun_ms))
            ),
            (Stands::Going, None) => {
                format!("{seen}came by itself, not seen to finish: test malic")
            }
        }
    }

    /// What that rests on, and what to do.
    pub(super) fn working(&self, holding: &Holding) -> Vec<String> {
        let policy = holding.policy;
        let mut lines = vec![match (self.stands, self.ends) {
            (Stands::NotBegun, _) => "It is wanted; no bacteria were added, and no test shows that they came by themselves.".to_owned(),
            (_, None) if self.hindered.is_empty() && self.stands == Stands::Going => {
                "No bacteria were added; malic acid that fades says that they came by themselves.".to_owned()
            }
            _ => format!("Bacteria were added on {}.", holding.day(self.begun_ms)),
        }];
        lines.extend(self.pace.as_ref().map(|it| match it {
            Pace::Falls(words) => format!("{words}: more than the error of two tests, a tenth of a gram or a seventh part each (house estimate), so it is under way."),
            Pace::Stands(words) => format!(
                "{words}: no more than the error of two tests, a tenth of a gram or a seventh part each (house estimate), over {} or more, so it has stopped.",
                span(policy.malo_look_days as i64)
            ),
        }));
        lines.extend(self.end_line(holding));
        lines.push(format!(
            "Bacteria want {} °C or more, pH {} or more, total SO2 of {} mg/L or less and alcohol of {} % vol or less (from memory: suppliers' sheets agree broadly).",
            policy.malo_least_c, policy.malo_least_ph, policy.malo_most_so2_mg_l, policy.malo_most_alcohol_pct_vol
        ));
        lines.extend(self.hindered.iter().map(|it| {
            let what_to_do = if it.is_cold {
                "warm it, then measure"
            } else {
                "that stays, so decide against it if malic acid does not fall"
            };
            format!("{}: {what_to_do}.", it.words)
        }));
        lines.push("It is finished when malic acid is below 0.1 g/L or gone from the strip (from memory); until then the wine gets no sulfite, and no sorbate, which bacteria turn into geranium taint (common practice).".to_owned());
        lines.push(
            "If it will not run, set malolactic to unwanted for the batch, and protect the wine."
                .to_owned(),
        );
        lines
    }

    /// When it ends, and on what that rests; `None` where nobody can say.
    pub(super) fn end_line(&self, holding: &Holding) -> Option<String> {
        let [low, mid, high] = self.ends?;
        let known = holding.wine.known.get(&Property::Malic);
        let seen = known.map_or("nobody tested malic acid yet".to_owned(), |it| {
            format!("malic acid was last tested on {}", holding.day(it.at_ms))
        });
        let what = if self.hindered.is_empty() {
            "It"
        } else {
            "Unhindered it"
        };
        Some(format!(
            "{what} ends about {} at {:.0} °C, one in ten before {} and one after {}; {seen} (house estimate: 35 days at 20 °C, half as long for every 6 °C more).",
            mid.day_words(),
            self.celsius,
            low.day_words(),
            high.day_words()
        ))
    }
}
