//! A wine's life as stretches of time, from must to drunk up: what the years view draws, one bar a
//! run of bottles or a batch still in its vessels. What lies after now is an estimate.

use std::collections::BTreeMap;

use super::attention::{Holding, Policy, Stage, is_marked_undrinkable, withheld};
use super::bottling::Package;
use super::entry::Posture;
use super::moment::Moment;
use super::plan;
use super::snapshot::Snapshot;
use super::state::Deed;
use super::thing::{Key, Sort, Thing, field, must_stay_moist, words};
use super::window::{Window, filled, if_filled, is_dated, rest_days, window};

words! {
    /// What a wine does for a while.
    Phase {
        Fermenting "fermenting" "ferments",
        OnLees "on-lees" "on its lees",
        Ageing "ageing" "in the vessel",
        Standing "standing" "stands",
        Resting "resting" "rests",
        InBottle "in-bottle" "ages in bottle",
        Ready "ready" "ready",
        DrinkUp "drink-up" "drink up",
        Past "past" "past",
        Withheld "withheld" "not to be drunk",
    }
}

/// A phase with when it begins and ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Which.
    pub phase: Phase,
    /// From here on.
    pub from: Moment,
    /// Until here.
    pub to: Moment,
}

/// The life of what one place holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Life {
    /// The run, or the vessel that holds most of the batch.
    pub place: Key,
    /// What it is called: the run or the batch.
    pub name: String,
    /// What is left of it: `29 bottles`, or `2.4 L bulk` in its vessels, since what is left of a batch there has
    /// the name of its bottles as a rule.
    pub left: String,
    /// Its phases in order, one beginning where the one before ends. Never empty.
    pub stretches: Vec<Stretch>,
    /// It was wine before the first of them, and nobody wrote down since when.
    pub is_older: bool,
}

/// The lives of all runs with bottles on hand and of all batches in vessels, the oldest first; then of
/// the runs that are drunk up, the last one first.
pub fn lives(cellar: &Snapshot, policy: &Policy) -> Vec<Life> {
    let mut lives = in_vessels(cellar, policy);
    lives.extend(in_bottles(cellar, policy));
    lives.sort_by_key(|it| (it.stretches[0].from, it.place));
    lives.extend(drunk_up(cellar, policy));
    lives
}

/// A life for each batch that is in vessels, seen where most of it is.
fn in_vessels(cellar: &Snapshot, policy: &Policy) -> Vec<Life> {
    let mut batches: BTreeMap<Option<Key>, Vec<Holding>> = BTreeMap::new();
    for vessel in cellar.open(Sort::Vessel) {
        if let Some(holding) = Holding::of(cellar, vessel.key, policy) {
            let of_batch = batches.entry(holding.wine.main_batch()).or_default();
            of_batch.push(holding);
        }
    }
    let lives = batches.iter().filter_map(|(batch, holdings)| {
        let most = holdings.iter().max_by_key(|it| it.wine.volume)?;
        let litres: f64 = holdings.iter().map(Holding::litres).sum();
        let name = batch.map_or(most.place.name(), |batch| cellar.name(batch));
        let left = match litres {
            0.0 => "not known".to_owned(),
            100.0.. => format!("{litres:.0} L bulk"),
            litres => format!("{litres:.1} L bulk"),
        };
        let life = life(most, name.to_owned(), left.clone());
        let life = life.or_else(|| taken_over(most, name.to_owned(), left, cellar))?;
        Some(match plan::bottling_day(most.place.key, cellar) {
            Some(day) => life.bottled_on(day, most, cellar),
            None => life,
        })
    });
    lives.collect()
}

/// A life for each run with bottles on hand.
fn in_bottles(cellar: &Snapshot, policy: &Policy) -> Vec<Life> {
    let lives = cellar.open(Sort::Run).filter_map(|run| {
        let holding = Holding::of(cellar, run.key, policy)?;
        let bottles = holding.wine.bottle_count();
        if bottles <= 0 {
            return None;
        }
        let left = Package::of(run).count(bottles);
        let left = match withheld(&holding).filter(|_| is_marked_undrinkable(&holding)) {
            Some(why) => format!("{left}, {why}"),
            None => left,
        };
        life(&holding, run.name().to_owned(), left)
    });
    lives.collect()
}

/// A life for each run of which nothing is left, the last to go first.
fn drunk_up(cellar: &Snapshot, policy: &Policy) -> Vec<Life> {
    let mut gone: Vec<(Moment, Life)> = cellar
        .open(Sort::Run)
        .filter_map(|run| {
            let was = Holding::used_up(cellar, run.key, policy)?;
            let end = was.now.at(was.wine.when(Deed::UsedUp)?);
            let life = life(&was, run.name().to_owned(), "drunk up".to_owned())?;
            Some((end, life.until(end)?))
        })
        .collect();
    gone.sort_by_key(|it| std::cmp::Reverse(it.0));
    gone.into_iter().map(|it| it.1).collect()
}

fn life(holding: &Holding, name: String, left: String) -> Option<Life> {
    let mut stretches = stretches(holding);
    // Written down today, and nobody said since when they are there.
    let is_older = holding.is_bottled() && !is_dated(holding);
    if is_older && stretches.is_empty() {
        let from = filled(holding)?.min(holding.now);
        stretches.push(Stretch {
            phase: ready(holding),
            from,
            to: holding.now,
        });
    }
    (!stretches.is_empty()).then_some(Life {
        place: holding.place.key,
        name,
        left,
        stretches,
        is_older,
    })
}

/// The life of a wine that was in its vessel before the book: from the day since when it is said to
/// have been, else from the day on which it was first written down, and then it is older than that.
fn taken_over(holding: &Holding, name: String, left: String, cellar: &Snapshot) -> Option<Life> {
    let now = holding.now;
    let batch = holding.wine.main_batch();
    let of_this_wine = |it: &&Thing| {
        it.key == holding.place.key
            || (batch.is_some() && it.int(field::HELD_BATCH).map(Key) == batch)
    };
    let vessels = cellar.open(Sort::Vessel).filter(of_this_wine);
    let since = vessels.filter_map(|it| it.int(field::HELD_SINCE)).min();
    let written = [Deed::BeforeBook, Deed::Filled]
        .into_iter()
        .find_map(|it| holding.wine.when(it));
    let from = now.at(since.or(written)?).min(now);
    let phase = match holding.stage() {
        Stage::Must | Stage::Fermenting | Stage::Stuck | Stage::Doubtful => Phase::Fermenting,
        _ => Phase::Ageing,
    };
    let to = match phase {
        Phase::Fermenting => dry_ahead(holding).unwrap_or(now),
        _ => now,
    };
    Some(Life {
        place: holding.place.key,
        name,
        left,
        stretches: vec![Stretch { phase, from, to }],
        is_older: since.is_none(),
    })
}

/// The phases of what a place holds, from the dates that the book has of it.
fn stretches(holding: &Holding) -> Vec<Stretch> {
    let mut ends: Vec<(Phase, Moment)> = Vec::new();
    let now = holding.now;
    let begun = [Deed::Pitched, Deed::Begun]
        .iter()
        .filter_map(|it| holding.wine.when(*it))
        .min()
        .map(|it| now.at(it));
    let bottled = holding.is_bottled().then(|| filled(holding)).flatten();
    let Some(begun) = begun.into_iter().chain(bottled).min() else {
        return Vec::new();
    };
    // Of bottles that were here before the book nothing is known of their must.
    if bottled.is_none_or(|it| it > begun) {
        let in_bulk = bottled.unwrap_or(now);
        let (fermented, cleared) = ferment(holding, begun, in_bulk);
        let fermented = dry_ahead(holding).unwrap_or(fermented);
        ends.push((Phase::Fermenting, fermented));
        ends.push((Phase::OnLees, cleared));
        ends.push((Phase::Ageing, in_bulk));
    }
    if let Some(bottled) = bottled {
        after_bottling(holding, bottled, &mut ends);
    }
    one_after_another(begun, ends)
}

/// Phases by the day on which each ends; one that ends before the one before it is none.
fn one_after_another(mut from: Moment, ends: Vec<(Phase, Moment)>) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    for (phase, to) in ends {
        if to > from {
            stretches.push(Stretch { phase, from, to });
            from = to;
        }
    }
    stretches
}

/// When the ferment ended, and when the wine left its gross lees. The book's state keeps the last
/// racking alone: where that is long after, the first is taken to have come when it is due.
fn ferment(holding: &Holding, begun: Moment, in_bulk: Moment) -> (Moment, Moment) {
    let policy = holding.policy;
    let now = holding.now;
    let usual = begun.plus_days(policy.ferment_days as i64);
    let readings = || holding.wine.gravities.iter();
    let low = readings().find(|it| it.gravity <= policy.over_gravity);
    let is_measured = readings().any(|it| it.gravity > policy.over_gravity);
    let over = match low.map(|it| now.at(it.at_ms)) {
        Some(low) if is_measured => low,
        Some(low) => low.min(usual),
        // Read above its end to the last: it ferments still, unless it was stopped or is taken as over.
        None if is_measured && !holding.is_bottled() => match holding.stage() {
            Stage::Must | Stage::Fermenting | Stage::Stuck | Stage::Doubtful => now,
            _ => holding.gross_lees_since().map_or(now, |it| now.at(it)),
        },
        None => usual,
    };
    let fermented = over.min(in_bulk);
    let due = fermented.plus_days(policy.gross_lees_days as i64);
    let racked = holding.wine.when(Deed::Racked).map(|it| now.at(it));
    let racked = racked.filter(|it| *it >= fermented);
    let cleared = match racked {
        Some(racked) if racked.days_since(due) <= policy.gross_lees_days as i64 => racked,
        Some(_) => due,
        // Racked off before the ferment was over, or never yet.
        None if holding.wine.when(Deed::Racked).is_some() => fermented,
        None => in_bulk,
    };
    (fermented, cleared.min(in_bulk))
}

/// When a ferment under way is expected to be dry, if that is still to come.
fn dry_ahead(holding: &Holding) -> Option<Moment> {
    let dry = holding.fermentation()?.dry?.mid;
    (dry > holding.now).then_some(dry)
}

/// What bottles are whose wine waits for nothing.
fn ready(holding: &Holding) -> Phase {
    if is_marked_undrinkable(holding) {
        Phase::Withheld
    } else {
        Phase::Ready
    }
}

/// Until when each of its phases lasts once it is rested.
fn drunk(window: &Window, now: Moment) -> [(Phase, Moment); 4] {
    [
        (Phase::InBottle, window.opens),
        (Phase::Ready, window.closes_low),
        (Phase::DrinkUp, window.closes),
        (Phase::Past, window.closes_high.max(now)),
    ]
}

fn after_bottling(holding: &Holding, bottled: Moment, ends: &mut Vec<(Phase, Moment)>) {
    let now = holding.now;
    // No window opens for what nobody should drink.
    let window = window(holding).filter(|_| !is_marked_undrinkable(holding));
    let laid = holding.wine.when(Deed::LaidDown).map(|it| now.at(it));
    let mut lots = holding.wine.bottles.iter();
    let is_standing = lots.any(|it| it.posture == Posture::Standing);
    let due = bottled.plus_days(holding.policy.stand_days as i64);
    let stood = match laid {
        Some(laid) => laid,
        None if !is_standing => bottled,
        // They still wait to be laid down, until there is nothing left to wait for.
        None if must_stay_moist(holding.place.text(field::CLOSURE)) => {
            let over = window.as_ref().map_or(now, |it| it.opens.min(now));
            due.max(over)
        }
        None => due,
    };
    ends.push((Phase::Standing, stood));
    let rest = holding.place.int(field::REST_UNTIL).map(|it| now.at(it));
    if let Some(window) = window {
        ends.push((Phase::Resting, rest.unwrap_or(stood)));
        ends.extend(drunk(&window, now));
    } else {
        ends.push((Phase::Resting, rest.unwrap_or(stood)));
        ends.push((ready(holding), now));
    }
}

impl Life {
    /// With what comes of it once it is bottled on a day to come, as its plan has it.
    fn bottled_on(mut self, day: Moment, holding: &Holding, cellar: &Snapshot) -> Life {
        let Some(last) = self.stretches.pop() else {
            return self;
        };
        let mut ends = match last.phase {
            Phase::Fermenting => vec![(Phase::Fermenting, last.to), (Phase::Ageing, day)],
            phase => vec![(phase, day.max(last.to))],
        };
        let stands = holding.policy.stand_days as i64;
        ends.push((Phase::Standing, day.plus_days(stands)));
        let rests = rest_days(holding.place.key, cellar);
        ends.push((Phase::Resting, day.plus_days(rests)));
        let window = if_filled(holding, day).map(|it| drunk(&it, holding.now));
        ends.extend(window.into_iter().flatten());
        self.stretches.extend(one_after_another(last.from, ends));
        self
    }

    /// As far as that; nothing if it began after.
    fn until(mut self, end: Moment) -> Option<Life> {
        self.stretches.retain(|it| it.from < end);
        let last = self.stretches.last_mut()?;
        last.to = end;
        Some(self)
    }

    /// What it does at a moment.
    pub fn at(&self, moment: Moment) -> Option<Phase> {
        let holds = |it: &&Stretch| it.from <= moment && moment < it.to;
        self.stretches.iter().find(holds).map(|it| it.phase)
    }

    /// What it does now and will do in words, `ready to Jun 2027, drink up to Nov 2028`; all it did where that is over.
    pub fn ahead(&self, now: Moment) -> String {
        let mut rest = self.clone();
        rest.stretches.retain(|it| it.to > now);
        if rest.stretches.iter().all(|it| it.phase == Phase::Past) {
            return self.sentence();
        }
        rest.is_older = false;
        rest.sentence()
    }

    /// Its phases in words: `ferments to Oct 2025, in the vessel to Nov 2026`; of one that is older than
    /// the book first `begun before Nov 2026`.
    pub fn sentence(&self) -> String {
        let phase = |it: &Stretch| {
            let to = it.to.date().format("%b %Y");
            format!("{} to {to}", it.phase.label())
        };
        // That it is past its best after that goes without saying.
        let said = self.stretches.iter().filter(|it| it.phase != Phase::Past);
        let older = self.stretches.first().filter(|_| self.is_older);
        let older = older.map(|it| format!("begun before {}", it.from.date().format("%b %Y")));
        let phases: Vec<String> = older.into_iter().chain(said.map(phase)).collect();
        phases.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::super::attention::trial::{BATCH, CARBOY, Cellar, NOW, RUN, days_ago, policy};
    use super::*;
    use crate::cellar::amount::Volume;
    use crate::cellar::entry::{Due, Job};
    use crate::cellar::snapshot::OpenJob;
    use crate::cellar::state::{Share, State, Wine};
    use crate::cellar::thing::Value;

    /// The phases with the day each ends, counted from now.
    fn phases(cellar: &Cellar) -> Vec<(&'static str, i64)> {
        let lives = lives(&cellar.0, &policy());
        let stretches = &lives[0].stretches;
        for pair in stretches.windows(2) {
            assert_eq!(pair[0].to, pair[1].from);
        }
        let ends = stretches.iter();
        ends.map(|it| (it.phase.word(), it.to.days_since(NOW)))
            .collect()
    }

    fn check(change: impl FnOnce(&mut Cellar), expected: &[(&str, i64)]) {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::Begun, 121).did(Deed::Pitched, 120);
        change(&mut cellar);
        assert_eq!(phases(&cellar), expected);
    }

    #[test]
    fn a_ferment_ends_with_the_first_low_gravity() {
        check(
            |it| it.gravities(&[(110, 1.040), (100, 0.996), (90, 0.994)]),
            &[("fermenting", -100), ("on-lees", 0)],
        );
        // Long overdue, and nobody knows when it ends.
        check(
            |it| it.gravities(&[(110, 1.040), (2, 1.020)]),
            &[("fermenting", 0)],
        );
        // Stopped sweet and stabilised, it ferments no more.
        check(
            |it| {
                it.did(Deed::Sorbated, 60);
                it.gravities(&[(110, 1.040), (70, 1.011), (2, 1.011)]);
            },
            &[("fermenting", -70), ("on-lees", 0)],
        );
        // Without a reading above, three weeks: the policy's usual ferment.
        check(
            |it| it.gravities(&[(20, 0.995)]),
            &[("fermenting", -100), ("on-lees", 0)],
        );
        check(|_| {}, &[("fermenting", -100), ("on-lees", 0)]);
    }

    /// Planned in 30 days: it stands three, rests four weeks as a white does, and the window is that of a white filled then.
    #[test]
    fn what_is_to_be_bottled_goes_on_to_its_last_bottle() {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.set(BATCH, field::WINE, "white");
        cellar.did(Deed::Begun, 121).did(Deed::Pitched, 120);
        cellar.gravities(&[(110, 1.040), (100, 0.996)]);
        let job = Job {
            key: Key(7),
            subject: CARBOY,
            title: "bottle".to_owned(),
            due: Due::On(NOW.plus_days(30).utc_ms),
            verb: "bottle".to_owned(),
        };
        let since_ms = days_ago(10);
        cellar.0.jobs.push(OpenJob { job, since_ms });
        let policy = policy();
        let opens = if_filled(&cellar.holding(&policy), NOW.plus_days(30)).unwrap();
        let ends = [
            opens.opens,
            opens.closes_low,
            opens.closes,
            opens.closes_high,
        ];
        let [opens, ready, closes, past] = ends.map(|it| it.days_since(NOW));
        let expected = [
            ("fermenting", -100),
            ("on-lees", 30),
            ("standing", 33),
            ("resting", 58),
            ("in-bottle", opens),
            ("ready", ready),
            ("drink-up", closes),
            ("past", past),
        ];
        assert_eq!(phases(&cellar), expected);
    }

    #[test]
    fn a_ferment_under_way_goes_on_to_the_day_it_is_expected_to_be_dry() {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::Begun, 7).did(Deed::Pitched, 6);
        cellar.gravities(&[(7, 1.089), (4, 1.070), (2, 1.047), (1, 1.034)]);
        let policy = policy();
        let dry = cellar.holding(&policy).fermentation().unwrap().dry.unwrap();
        assert!(dry.mid > NOW);
        let days = dry.mid.days_since(NOW);
        assert_eq!(phases(&cellar), [("fermenting", days)]);
    }

    #[test]
    fn its_lees_end_with_the_racking() {
        let fell = [(110, 1.040), (100, 0.996)];
        check(
            |it| {
                it.gravities(&fell);
                it.did(Deed::Racked, 80);
            },
            &[("fermenting", -100), ("on-lees", -80), ("ageing", 0)],
        );
        // The last racking of several: the first is taken at four weeks.
        check(
            |it| {
                it.gravities(&fell);
                it.did(Deed::Racked, 5);
            },
            &[("fermenting", -100), ("on-lees", -72), ("ageing", 0)],
        );
    }

    /// Bottled 100 days ago under cork, from a must of a year and a half before.
    fn run() -> Cellar {
        let mut cellar = Cellar::with_bottles(23, 100);
        cellar.did(Deed::Begun, 500).did(Deed::Pitched, 500);
        cellar.did(Deed::Racked, 460);
        cellar.gravities(&[(490, 1.030), (479, 0.996)]);
        cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(58)));
        cellar.set(RUN, field::WINDOW_OPENS, Value::Int(days_ago(-80)));
        cellar.set(RUN, field::WINDOW_CLOSES, Value::Int(days_ago(-900)));
        cellar
    }

    #[test]
    fn bottles_stand_rest_and_are_ready_until_their_window_closes() {
        let mut cellar = run();
        cellar.did(Deed::LaidDown, 97);
        cellar.wine().bottles[0].posture = Posture::Lying;
        let before = [("fermenting", -479), ("on-lees", -460), ("ageing", -100)];
        let after = [
            ("standing", -97),
            ("resting", -58),
            ("in-bottle", 80),
            ("ready", 900),
        ];
        assert_eq!(phases(&cellar), [&before[..], &after[..]].concat());
        let life = &lives(&cellar.0, &policy())[0];
        assert_eq!((life.place, life.left.as_str()), (RUN, "23 bottles"));
        assert_eq!(life.at(NOW), Some(Phase::InBottle));
        assert_eq!(life.at(NOW.plus_days(901)), None);
    }

    #[test]
    fn bottles_that_still_stand_do_so_until_now() {
        assert_eq!(phases(&run())[3], ("standing", 0));
    }

    #[test]
    fn bottles_never_laid_down_are_ready_with_their_window() {
        let mut cellar = run();
        cellar.set(RUN, field::WINDOW_OPENS, Value::Int(days_ago(20)));
        cellar.set(RUN, field::REST_UNTIL, Value::Int(days_ago(58)));
        assert_eq!(phases(&cellar)[3..], [("standing", -20), ("ready", 900)]);
    }

    #[test]
    fn bottles_that_need_no_laying_down_rest_after_a_few_days() {
        let mut cellar = run();
        cellar.set(RUN, field::CLOSURE, "screw-cap");
        let stand_days = policy().stand_days as i64;
        let after = [
            ("standing", stand_days - 100),
            ("resting", -58),
            ("in-bottle", 80),
            ("ready", 900),
        ];
        assert_eq!(phases(&cellar)[3..], after);
    }

    #[test]
    fn an_estimate_has_a_time_to_drink_up() {
        let mut cellar = run();
        for name in [field::WINDOW_OPENS, field::WINDOW_CLOSES] {
            cellar.set(RUN, name, Value::Text(String::new()));
        }
        let words: Vec<&str> = phases(&cellar).iter().map(|it| it.0).collect();
        let after = ["standing", "in-bottle", "ready", "drink-up", "past"];
        assert_eq!(words[3..], after);
    }

    #[test]
    fn spoiled_bottles_are_told_apart_and_have_no_window() {
        let mut cellar = run();
        cellar.did(Deed::LaidDown, 97);
        cellar
            .wine()
            .troubles
            .insert("vinegar".to_owned(), days_ago(2));
        let all = phases(&cellar);
        assert_eq!(all.last(), Some(&("withheld", 0)));
        assert!(
            all.iter().all(|it| it.0 != "ready" && it.0 != "drink-up"),
            "{all:?}"
        );
        let left = &lives(&cellar.0, &policy())[0].left;
        assert!(left.ends_with(" bottles, spoiled"), "{left}");
    }

    #[test]
    fn bottles_here_before_the_book_begin_with_it() {
        let mut cellar = run();
        cellar.wine().deeds.clear();
        cellar.set(RUN, field::SINCE_WORDS, "autumn 2025");
        let first = phases(&cellar)[0];
        assert_eq!(first.0, "standing");
    }

    #[test]
    fn a_run_that_is_drunk_up_ends_with_its_last_bottle_and_comes_last() {
        let mut cellar = run();
        cellar.did(Deed::LaidDown, 97).did(Deed::UsedUp, 10);
        cellar.wine().bottles.clear();
        cellar.wine().volume = Volume::ZERO;
        let lives = lives(&cellar.0, &policy());
        assert_eq!((lives[0].place, lives[0].left.as_str()), (RUN, "drunk up"));
        let last = lives[0].stretches.last().unwrap();
        assert_eq!(
            (last.phase, last.to.days_since(NOW)),
            (Phase::InBottle, -10)
        );
        assert_eq!(lives[0].at(NOW), None);
    }

    #[test]
    fn wine_that_was_here_before_the_book_has_a_bar_from_then() {
        let life = |change: &dyn Fn(&mut Cellar)| {
            let mut cellar = Cellar::with_vessel(23.0, 22.0);
            cellar.did(Deed::BeforeBook, 5);
            change(&mut cellar);
            let life = lives(&cellar.0, &policy()).remove(0);
            let [first] = life.stretches[..] else {
                panic!("{life:#?}");
            };
            (first.from.days_since(NOW), first.phase, life.is_older)
        };
        let since = |it: &mut Cellar, vessel: Key| {
            it.set(vessel, field::HELD_SINCE, Value::Int(days_ago(400)));
            it.set(vessel, field::HELD_BATCH, Value::Int(BATCH.0));
        };
        assert_eq!(life(&|_| ()), (-5, Phase::Ageing, true));
        assert_eq!(life(&|it| since(it, CARBOY)), (-400, Phase::Ageing, false));
        // Racked since out of the vessel that it was taken over in.
        let racked = |it: &mut Cellar| {
            it.spare(1, "jug", "jug", 3.8);
            since(it, Key(1));
        };
        assert_eq!(life(&racked), (-400, Phase::Ageing, false));
        let working = |it: &mut Cellar| it.gravities(&[(4, 1.060), (1, 1.048)]);
        assert_eq!(life(&working), (-5, Phase::Fermenting, true));
        // Taken over today.
        assert_eq!(
            life(&|it| _ = it.did(Deed::BeforeBook, 0)),
            (0, Phase::Ageing, true)
        );
    }

    #[test]
    fn a_batch_in_two_vessels_has_one_bar() {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.did(Deed::Pitched, 120);
        cellar.spare(1, "jug", "jug", 3.8).fill(Key(1), 2.0);
        let lives = lives(&cellar.0, &policy());
        assert_eq!(lives.len(), 1);
        assert_eq!(lives[0].place, CARBOY);
        assert_eq!(lives[0].name, cellar.0.name(BATCH));
        assert_eq!(lives[0].left, "24.0 L bulk");
    }

    /// Both are called what the batch is; the words beside them say which is which.
    #[test]
    fn what_is_left_of_a_batch_in_its_vessel_is_told_from_its_bottles() {
        let mut cellar = run();
        let name = cellar.0.name(RUN).to_owned();
        cellar.thing(BATCH, Sort::Batch, &name);
        cellar.spare(1, "jug", "jug", 3.8);
        let volume = Volume::litres(2.4);
        let batch = Some(BATCH);
        let rest = Wine {
            volume,
            makeup: vec![Share { batch, volume }],
            deeds: [(Deed::Pitched, days_ago(500))].into(),
            ..Wine::default()
        };
        cellar.0.states.insert(Key(1), State::from(rest).into());
        let lives = lives(&cellar.0, &policy());
        let said: Vec<(&str, &str)> = lives.iter().map(|it| (&*it.name, &*it.left)).collect();
        assert_eq!(said.len(), 2, "{said:?}");
        for left in ["23 bottles", "2.4 L bulk"] {
            assert!(said.contains(&(&*name, left)), "{said:?}");
        }
    }
}
