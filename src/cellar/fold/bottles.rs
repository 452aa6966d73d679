//! Bottles: filled, moved, and how many are where. Their wine goes with them.

use std::collections::BTreeMap;

use crate::cellar::amount::Volume;
use crate::cellar::entry::{BottleMove, FillEvent, Kept, Posture, Spot};
use crate::cellar::gifts;
use crate::cellar::state::{BottleLot, Deed, Wine};
use crate::cellar::thing::{Account, Key};

use super::{Fault, Step};

/// Found in a vessel without a question at bottling: this part of what the book had (house
/// estimate, the same tenth that may be lost at a racking).
const FOUND_WITHOUT_QUESTION: i64 = 10;

impl Step<'_> {
    /// The presses at the filling spout that hang on this entry: bottles that stand, what was spilled, what broke full.
    pub(super) fn fill_bottles(&mut self) {
        let Some((run, vessel)) = self.entry.draft.filled_from() else {
            return;
        };
        let mut standing: BTreeMap<i64, i64> = BTreeMap::new();
        let mut lost: BTreeMap<(Account, i64), i64> = BTreeMap::new();
        let (mut broken, mut refused) = (BTreeMap::new(), 0);
        for press in &self.entry.draft.fillings {
            *standing.entry(press.size_ml).or_default() += press.standing();
            let Some((event, count)) = press.mishap() else {
                continue;
            };
            let account = match event {
                FillEvent::Spilled => Account::Spills,
                FillEvent::Drawn => Account::Samples,
                FillEvent::Broken => {
                    *broken.entry(press.size_ml).or_default() += count;
                    Account::Broken
                }
                _ => {
                    refused += count;
                    continue;
                }
            };
            *lost.entry((account, press.size_ml)).or_default() += count;
        }
        let bottled = standing.iter().map(|(size_ml, count)| size_ml * count);
        let spent = lost.iter().map(|((_, size_ml), count)| size_ml * count);
        self.find_more(vessel, Volume::millilitres(bottled.chain(spent).sum()));
        for (size_ml, count) in standing {
            if count > 0 {
                self.pour(vessel, run, Volume::millilitres(size_ml * count), None);
                let now = self.now();
                let wine = self.wine(run);
                if refused > 0 || !broken.is_empty() {
                    let astray = wine.astray.get_or_insert_default();
                    astray.broken.clone_from(&broken);
                    astray.refused = refused;
                }
                wine.deeds.insert(Deed::Bottled, now);
                // Bottles are counted, however much of it was said to be in the vessel.
                wine.about = false;
                let spot = BottleLot {
                    size_ml,
                    posture: Posture::Standing,
                    at: String::new(),
                    reserved: String::new(),
                    found: String::new(),
                    count,
                };
                wine.keep(spot);
            }
        }
        for ((account, size_ml), count) in lost {
            self.pour(
                vessel,
                account.key(),
                Volume::millilitres(size_ml * count),
                None,
            );
        }
    }

    /// Bottles counted are facts, and volumes are known to a glass or two: where more was filled
    /// than the book had, the rest was in the vessel all along, up to a tenth of it.
    fn find_more(&mut self, vessel: Key, filled: Volume) {
        let held = self.held(vessel);
        let missing = filled - held;
        if missing > Volume::ZERO && missing <= held.share(1, FOUND_WITHOUT_QUESTION) {
            self.pour(Account::Difference.key(), vessel, missing, None);
        }
    }

    /// When the last bottle went, until one comes back.
    fn note_used_up(&mut self, run: Key) {
        let now = self.now();
        let wine = self.wine(run);
        if wine.bottle_count() > 0 || wine.unmeasured.is_some() {
            wine.deeds.remove(&Deed::UsedUp);
        } else {
            wine.deeds.entry(Deed::UsedUp).or_insert(now);
        }
    }

    pub(super) fn move_bottles(&mut self) {
        for bottles in &self.entry.draft.bottles {
            let leaving = Volume::millilitres(bottles.size_ml * bottles.count);
            let nominal = self.wine(bottles.run).nominal();
            let mut freed = 0;
            if let Some(lot) = BottleLot::of(bottles, &bottles.from) {
                let wine = self.wine(bottles.run);
                freed = wine.freed(&lot);
                if freed > 0 {
                    wine.unkeep(&lot.free(freed));
                }
                let held = freed + wine.unkeep(&lot.fewer(freed));
                if held < bottles.count {
                    self.find(
                        bottles.run,
                        Fault::BottlesShort {
                            held,
                            taken: bottles.count,
                        },
                    );
                }
            }
            if let Some(lot) = BottleLot::of(bottles, &bottles.to) {
                let stays = bottles.from.kept_for() == bottles.to.kept_for();
                let free = if stays { freed } else { 0 };
                let wine = self.wine(bottles.run);
                if free > 0 {
                    wine.keep(lot.free(free));
                }
                wine.keep(lot.fewer(free));
            }
            self.note_gift(bottles);
            self.wine(bottles.run).lose_sight(bottles);
            // Wine leaves with its bottle: the run's volume over its nominal. Bottles that only
            // change place, or were here before the book, carry none.
            if let (Spot::Kept(_), Spot::Outside(to)) = (&bottles.from, &bottles.to) {
                let held = self.held(bottles.run);
                let wine = held.share(leaving.0.min(nominal.0), nominal.0);
                if wine > Volume::ZERO {
                    self.pour(bottles.run, *to, wine, None);
                }
            }
            // Only now: what is poured back takes along what was done to it.
            self.note_used_up(bottles.run);
        }
    }
}

impl Step<'_> {
    /// Who has how many of a run.
    fn note_gift(&mut self, bottles: &BottleMove) {
        let given = Spot::Outside(Account::Given.key());
        let more = match (bottles.to == given, bottles.from == given) {
            (true, false) => bottles.count,
            (false, true) => -bottles.count,
            _ => return,
        };
        let whom = gifts::whom(&self.entry.draft).unwrap_or_default();
        let astray = self.wine(bottles.run).astray.get_or_insert_default();
        let whom = astray.named(whom).unwrap_or(whom).to_owned();
        // What comes back of nobody knows whose is not owed to anyone.
        let has = astray.has(&whom) + more;
        if has > 0 {
            astray.given.insert(whom, has);
        } else {
            astray.given.remove(&whom);
        }
    }
}

impl BottleLot {
    /// The lot that a bottle move takes from or adds to, if that end of it is in the cellar.
    fn of(bottles: &BottleMove, spot: &Spot) -> Option<BottleLot> {
        match spot {
            Spot::Kept(kept) => Some(BottleLot {
                size_ml: bottles.size_ml,
                posture: kept.posture,
                at: kept.at.clone(),
                reserved: kept.reserved.clone(),
                found: kept.found.clone(),
                count: bottles.count,
            }),
            Spot::Outside(_) => None,
        }
    }

    /// How and where they are kept.
    pub(in crate::cellar) fn kept(&self) -> Kept {
        Kept {
            posture: self.posture,
            at: self.at.clone(),
            reserved: self.reserved.clone(),
            found: self.found.clone(),
        }
    }

    /// So many of it that are kept for nobody.
    fn free(&self, count: i64) -> BottleLot {
        BottleLot {
            reserved: String::new(),
            count,
            ..self.clone()
        }
    }

    /// Without so many of it.
    fn fewer(&self, by: i64) -> BottleLot {
        BottleLot {
            count: self.count - by,
            ..self.clone()
        }
    }

    fn same_place(&self, other: &BottleLot) -> bool {
        (self.size_ml, self.posture, &self.at) == (other.size_ml, other.posture, &other.at)
            && (&self.reserved, &self.found) == (&other.reserved, &other.found)
    }
}

impl Wine {
    /// Puts bottles at a position.
    fn keep(&mut self, lot: BottleLot) {
        match self.bottles.iter_mut().find(|it| it.same_place(&lot)) {
            Some(there) => there.count += lot.count,
            None => self.bottles.push(lot),
        }
        self.bottles.retain(|it| it.count != 0);
        self.bottles.sort();
    }

    fn at_place(&self, lot: &BottleLot) -> i64 {
        let mut lots = self.bottles.iter();
        lots.find(|it| it.same_place(lot)).map_or(0, |it| it.count)
    }

    /// How many of bottles that were kept for someone are free at the same place instead: that they be
    /// kept was taken back since.
    fn freed(&self, lot: &BottleLot) -> i64 {
        let short = lot.count - self.at_place(lot).max(0);
        let is_kept = !lot.reserved.is_empty();
        let there = self.at_place(&lot.free(0));
        if is_kept && short > 0 && there >= short {
            short
        } else {
            0
        }
    }

    /// Takes bottles from a position and says how many were there.
    fn unkeep(&mut self, lot: &BottleLot) -> i64 {
        let held = self.at_place(lot);
        self.keep(BottleLot {
            count: -lot.count,
            ..lot.clone()
        });
        held
    }
}
