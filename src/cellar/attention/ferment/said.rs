//! A ferment in words: a few for the board, sentences for its working, and what to do about one that stands still.

use leesline_calc::ferment_state::{self, State};
use leesline_calc::gravity_curve::{START_SD, USUAL_START};

use super::{DAY_MS, DryDay, Fermentation, Sugar};
use crate::cellar::attention::holding::Holding;
use crate::cellar::attention::words::{from_to, gravity};
use crate::cellar::state::Deed;

/// Sugar that ferments while the gravity falls by 1, g/L: a must of 1.085 has about 197 g/L of it, as `calc sugar` says, and
/// ends near 0.994, below water, since alcohol is lighter (common practice).
const SUGAR_G_L: f64 = 2200.0;

/// What a ferment that stands still is warmed to at least, °C (common practice).
pub(super) const RESTART_C: f64 = 20.0;

/// What to do about a ferment that is slow or stands still, in this order. It is said wherever such a ferment is spoken of.
pub(in crate::cellar) const REMEDIES: &[&str] = &[
    "Make sure: shake the gas out, read again at the same warmth, and test the sugar; below 2 g/L it is dry, whatever a hydrometer says (Bisson: more than 0.2 % can ferment again).",
    "Warmth: bring it to 20–24 °C, a few degrees a day, and keep it there (common practice).",
    "Rouse the yeast: stir it off the bottom. Air only in the first third of the sugar; later it spoils the wine and helps no yeast (common practice).",
    "Nutrient only early, before half of the sugar is gone: later yeast cannot take it up, and what is left feeds spoilage (common practice).",
    "Restart, if it stands still after all that: rack it off its lees, wake a yeast that bears alcohol in a little sugared water, and give it the wine in steps, doubling each time it works (common practice).",
];

/// What not to do to it.
const NEVER: &str = "Never sorbate, sulfite or bottle it meanwhile: sorbate cures nothing here and keeps new yeast from working, and a stuck wine in bottles can begin again and burst them (common practice).";

/// By what it is called stuck, with the numbers of the usual policy, which a test holds.
pub(in crate::cellar) const STANDS_STILL: &str = "Three readings over 3 days, at the same warmth and with the gas shaken out, that fall by no more than 0.001 and are more than 0.004 above its end: it stands still (house estimate).";

impl DryDay {
    /// `~2 Dec (29 Nov–6 Dec)`.
    pub fn words(self) -> String {
        let mid = self.mid.date().format("%-d %b");
        format!("~{mid} ({})", from_to(self.low, self.high))
    }
}

impl Fermentation {
    /// A few words for the board: `dry ~2 Dec (29 Nov–6 Dec)`; empty where nothing can be said.
    pub fn words(&self) -> String {
        match (self.state, self.dry) {
            (State::Stuck, _) => format!("stuck at {}", gravity(self.last().1)),
            (State::NotFallen, _) if self.read.rose.is_some() => {
                "not fallen since it rose".to_owned()
            }
            (State::NotFallen, _) => "not fallen yet".to_owned(),
            (State::Sluggish, Some(dry)) => format!("slow, dry {}", dry.words()),
            (State::Moving | State::Sluggish | State::Steady, None) if self.may_have_stopped() => {
                format!("may have stopped at {}", gravity(self.last().1))
            }
            (State::Sluggish, None) => "slow".to_owned(),
            (State::Moving | State::Steady | State::Dry, Some(dry)) => {
                format!("dry {}", dry.words())
            }
            (State::Moving | State::Steady | State::Dry, None) => String::new(),
        }
    }

    /// A few words where it stands still, or may: `stuck at 1.030`.
    pub fn stands_still(&self) -> Option<String> {
        (self.state == State::Stuck || (self.dry.is_none() && self.may_have_stopped()))
            .then(|| self.words())
    }

    /// Whether its last readings fall so little that it has more likely stopped than not.
    pub(super) fn may_have_stopped(&self) -> bool {
        self.curve.as_ref().is_some_and(|it| it.stopped() > 0.5)
    }

    /// How it stands, how fast it falls and when it is dry: `moving, 0.013 a day, dry ~2 Dec (30 Nov–5 Dec)`.
    pub fn sentence(&self) -> String {
        if self.state == State::NotFallen {
            return self.words();
        }
        let fall = self
            .fall_per_day
            .map(|it| format!("{:.3} a day", it.max(0.0)));
        let dry = self.dry.map(|it| format!("dry {}", it.words()));
        let said = [Some(self.state.word().to_owned()), fall, dry];
        said.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// The same in a few letters, for a card: `dry ~2 Dec`, `slow`, `stopped?`, `stuck`.
    pub fn short(&self) -> String {
        match (self.state, self.dry) {
            (State::Stuck, _) => "stuck".to_owned(),
            (State::NotFallen, _) => "no fall yet".to_owned(),
            (State::Moving | State::Sluggish | State::Steady, None) if self.may_have_stopped() => {
                "stopped?".to_owned()
            }
            (State::Sluggish, _) => "slow".to_owned(),
            (State::Moving | State::Steady | State::Dry, Some(dry)) => {
                dry.mid.date().format("dry ~%-d %b").to_string()
            }
            (State::Moving | State::Steady | State::Dry, None) => String::new(),
        }
    }

    /// What its forecast rests on, one sentence a line.
    pub fn evidence(&self, holding: &Holding) -> Vec<String> {
        let mut lines = vec![self.course_line(holding)];
        lines.extend(self.sugar_left_line());
        lines.extend(self.dry_line(holding));
        lines.extend(self.doubts(holding));
        if self.dry.is_some() {
            lines.push(format!(
                "Its end is taken as {}, nineteen of twenty end between 0.990 and 0.998; a sweet or stopped wine ends higher (house estimate).",
                gravity(self.end_sg)
            ));
        }
        lines.push(self.warmth_line(holding));
        if self.state == State::Moving && ferment_state::wants_watching(&self.read.since) {
            lines.push("It falls slower than 0.005 a day above 1.005, or 0.002 below: read it daily, since ferments that stop begin so (Pambianchi, Modern Home Winemaking, Stuck alcoholic fermentation).".to_owned());
        }
        lines
    }

    /// Why it is called slow or stuck, and what to do about it, in order.
    pub(super) fn remedies(&self, holding: &Holding) -> Vec<String> {
        let policy = holding.policy;
        let rule = match self.state {
            State::Stuck => format!(
                "Stuck: it fell by no more than {} over {:.0} days and three readings, all more than {} above its end (house estimate; a handbook says so after 24 hours: Pambianchi, Modern Home Winemaking).",
                gravity(policy.stuck_fall),
                policy.stuck_days,
                gravity(policy.stuck_above_end)
            ),
            _ => format!(
                "Sluggish: it falls by less than {:.4} a day over {:.0} days, more than {} above its end; or by less than {} in the first {:.0} days (house estimate; two to three weeks are normal: Bisson).",
                policy.slow_per_day,
                policy.slow_days,
                gravity(policy.slow_above_end),
                gravity(policy.lag_fall),
                policy.lag_days
            ),
        };
        let remedies = REMEDIES.iter().zip(1..);
        let remedies = remedies.map(|(it, number)| format!("{number}. {it}"));
        let never = NEVER.to_owned();
        [rule].into_iter().chain(remedies).chain([never]).collect()
    }

    fn course_line(&self, holding: &Holding) -> String {
        let (at, last) = self.last();
        let from = if self.read.start.sd > START_SD {
            "a start that nobody measured".to_owned()
        } else {
            let day = holding.day(self.from_ms as i64);
            format!("{} on {day}", gravity(self.read.start.mean))
        };
        let fall = self.fall_per_day.map_or_else(String::new, |it| {
            format!(
                ", {it:.4} a day at last, about {:.0} g/L of sugar a day",
                it.max(0.0) * SUGAR_G_L
            )
        });
        format!(
            "Gravity went from {from} to {} on {}{fall}.",
            gravity(last),
            holding.day(at)
        )
    }

    /// What is likely left of its sugar, by how far it is above where ferments end.
    fn sugar_left_line(&self) -> Option<String> {
        let last = self.last().1;
        let left = |end: f64| ((last - end) * SUGAR_G_L).max(0.0);
        let likely = left(self.end_sg);
        let stands = matches!(self.state, State::Stuck | State::Sluggish);
        (stands && likely >= 1.0).then(|| {
            format!(
                "By its gravity about {likely:.0} g/L of sugar are left ({:.0}–{:.0}, as it would end at 0.998 or 0.990); a sugar test says it.",
                left(0.998),
                left(0.990)
            )
        })
    }

    fn dry_line(&self, holding: &Holding) -> Option<String> {
        match (self.state, self.dry) {
            _ if self.sugar == Sugar::After => None,
            (State::Stuck, _) => None,
            (State::NotFallen, _) if self.read.rose.is_some() => Some(format!(
                "It has not fallen by {} since it rose, so no day is given. Shake the gas out and read it again tomorrow (gas lifts a hydrometer: common practice).",
                gravity(holding.policy.lag_fall)
            )),
            (State::NotFallen, _) => Some(format!(
                "It has not fallen by {} yet, so no day is given: it has not begun, or a reading is wrong. Shake the gas out and read it again tomorrow (gas lifts a hydrometer: common practice).",
                gravity(holding.policy.lag_fall)
            )),
            (State::Dry, Some(dry)) => Some(format!(
                "It was read within 0.002 of its end, so it went dry {}.",
                from_to(dry.low, dry.high)
            )),
            (_, Some(dry)) => Some(format!(
                "Three curves laid through {} readings (logistic, Gompertz, Michaelis; equal weights) come within 0.002 of its end {}: at least four of five simulated ferments were dry within such a band.",
                self.read.since.len(),
                dry.words()
            )),
            (_, None) if self.may_have_stopped() => Some(
                "Its last readings fall so little that it has more likely stopped than not (one ferment in ten does: house estimate), so no day is given: read again tomorrow, with the gas shaken out.".to_owned(),
            ),
            (_, None) if self.curve.is_some() => Some(
                "By its curve it should be dry, and it is not: it has slowed down, or will end higher than was taken. Read again and test the sugar.".to_owned(),
            ),
            (_, None) => Some("One reading since the start gives no day: read again in a day or two.".to_owned()),
        }
    }

    /// What makes the day less sure.
    fn doubts(&self, holding: &Holding) -> Vec<String> {
        let mut lines = Vec::new();
        if self.dry.is_some() && self.read.since.len() == 2 && self.state != State::Dry {
            lines.push("Two readings say little: the day rests mostly on what a ferment usually takes, and may move by a week with the third.".to_owned());
        }
        if self.read.start == USUAL_START {
            lines.push(format!(
                "Its start is taken as {}, 0.010 either way (house estimate): that widens the band.",
                gravity(USUAL_START.mean)
            ));
        }
        if let Some((before, after)) = self.read.rose {
            lines.push(format!(
                "Gravity rose from {} to {}, which no ferment does: sugar went in, or a reading is wrong. The forecast begins anew there.",
                gravity(before),
                gravity(after)
            ));
        }
        if self.read.stood {
            lines.push(format!(
                "It stood still at {} until {} and falls again: the forecast begins anew there, with what was read since.",
                gravity(self.read.start.mean),
                holding.day(self.from_ms as i64)
            ));
        }
        lines.extend(self.sugar_line(holding));
        if self.read.wavers > 0 {
            lines.push("It was read a little higher than before: gas lifts a hydrometer (common practice). A reading that no curve comes near widens the band.".to_owned());
        }
        for (day, count, mean) in &self.read.means {
            let at_ms = (self.from_ms + day * DAY_MS) as i64;
            lines.push(format!(
                "{count} readings of one moment, on {}, differ and are taken as one, their mean: {mean:.4}.",
                holding.day(at_ms)
            ));
        }
        let gap = |it: &[(f64, f64)]| it[1].0 - it[0].0 > 30.0;
        if self.read.since.windows(2).any(gap) {
            lines.push(
                "More than a month lies between two readings: what went on meanwhile nobody knows."
                    .to_owned(),
            );
        }
        lines
    }

    fn sugar_line(&self, holding: &Holding) -> Option<String> {
        let day = holding.day(holding.wine.when(Deed::Sugared)?);
        let what = match self.sugar {
            Sugar::None => return None,
            Sugar::Raised(rise) => format!(
                "by its weight it raised gravity by {rise:.3}, and what was read before it is taken so much higher."
            ),
            Sugar::Before => {
                "how much it brought is not known, so the forecast begins anew with the reading after it.".to_owned()
            }
            Sugar::After => {
                "how much it brought is not known, so no day is given until gravity is read again.".to_owned()
            }
        };
        Some(format!("Sugar went in on {day}: {what}"))
    }

    /// Whether it is too cold for a ferment to go as it should.
    pub(super) fn is_cold(&self, holding: &Holding) -> bool {
        self.celsius.is_some_and(|it| it < holding.policy.warm_c)
    }

    fn warmth_line(&self, holding: &Holding) -> String {
        let rule = "that rates rise strongly with warmth from 11 to 35 °C: Coleman, Fish and Block (2007), abstract";
        match (self.celsius, holding.usual_c) {
            (Some(celsius), _) if self.is_cold(holding) => format!(
                "The must was at {celsius:.0} °C: below {:.0} °C a ferment is slow, and one that stands still may only sleep (common practice; {rule}).",
                holding.policy.warm_c
            ),
            (Some(celsius), _) if self.dry.is_some() && self.state != State::Dry => format!(
                "The must was at {celsius:.0} °C; the day holds while it stays so ({rule})."
            ),
            (Some(celsius), _) => format!("The must was at {celsius:.0} °C ({rule})."),
            (None, Some(usual)) => format!(
                "The warmth of the must was not measured (the cellar is usually at {usual:.0} °C): a cold one is slower ({rule})."
            ),
            (None, None) => {
                format!("The warmth of the must was not measured: a cold one is slower ({rule}).")
            }
        }
    }

    /// Days since its last reading.
    pub(super) fn days_unread(&self, holding: &Holding) -> i64 {
        holding.days(self.last().0)
    }

    /// Gravity and day of its last reading, in words and days ago.
    pub(super) fn last_gravity(&self) -> String {
        gravity(self.last().1)
    }

    /// Days from its beginning to its last reading.
    pub(super) fn days_so_far(&self) -> i64 {
        ((self.last().0 as f64 - self.from_ms) / DAY_MS).round() as i64
    }
}
