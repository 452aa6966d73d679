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
    /// The day for which its bottling was planned, which is over, and it was not bottled.
    pub missed: Option<Moment>,
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
            None => Life {
                missed: plan::bottling_missed(most.place.key, cellar),
                ..life
            },
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
        missed: None,
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
        missed: None,
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
    /// the book first `begun before Nov 2026`; before all that the day planned for its bottling
    /// went by.
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
        let phases = phases.join(", ");
        match self.missed {
            Some(day) => format!("not bottled on {} as planned; {phases}", day.day_words()),
            None => phases,
        }
    }
}

#[cfg(test)]
mod tests;
