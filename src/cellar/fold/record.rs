//! What an entry says of a wine without moving it: deeds, readings, additions, tastings, supplies.

use crate::cellar::amount::Mass;
use crate::cellar::bottling::{IN_SOME, LOOKED_AT};
use crate::cellar::entry::{Addition, Dose, Found, Kind, Property, Reading, SupplyChange};
use crate::cellar::state::{
    Deed, Draw, GravityReading, Known, MalicTest, So2Change, State, Stock, Wine, says_no_gas,
};
use crate::cellar::substance;
use crate::cellar::sugars::{Dissolved, brings_sugar};
use crate::cellar::thing::Key;

use super::{Fault, Step};

/// Gravity readings kept with a wine: the first, which it began at, and the last of its fall with two weeks of equal ones.
const GRAVITIES_KEPT: usize = 12;
/// Times a supply was taken from that are kept with it: more than a year of them in most cellars.
pub const DRAWS_KEPT: usize = 60;

/// Tests of malic acid that are kept: one in two weeks for as long as a conversion takes.
const MALICS_KEPT: usize = 4;

impl Wine {
    /// Its last gravity is from before this sugar.
    fn feed(&mut self, sugar: &Addition) {
        let litres = self.volume.in_litres();
        let is_known = self.unmeasured.is_none() && litres > 0.0;
        let dissolved = sugar.dose.filter(|_| is_known);
        let dissolved = dissolved.and_then(|it| Dissolved::of(&sugar.substance, it));
        let Some(last) = self.gravities.last_mut() else {
            return;
        };
        let rise = dissolved.map(|it| it.raises(last.gravity, litres) - last.gravity);
        last.feed(rise.unwrap_or(0.0));
    }
}

impl Step<'_> {
    pub(super) fn write_deeds(&mut self) {
        let Some(place) = self.entry.draft.subject else {
            return;
        };
        let deed = match self.entry.draft.kind {
            Kind::Pitch => Deed::Pitched,
            Kind::StartMalo => Deed::MaloStarted,
            Kind::Feed => Deed::Fed,
            Kind::PunchDown => Deed::PunchedDown,
            Kind::Degas => Deed::Degassed,
            Kind::SterileFilter => Deed::SterileFiltered,
            Kind::OakIn | Kind::OakOut => Deed::Oaked,
            Kind::Fine => Deed::Fined,
            Kind::Sweeten => Deed::Sweetened,
            Kind::LayDown => Deed::LaidDown,
            Kind::Open => Deed::Opened,
            _ => return,
        };
        let now = self.now();
        let asks_for_more = self.entry.draft.jobs.iter().any(|it| it.verb == "fine");
        let oak_out = self.entry.draft.kind == Kind::OakOut;
        let Some(wine) = self.spoken_of(place) else {
            return;
        };
        if oak_out {
            wine.deeds.remove(&deed);
        } else {
            wine.deeds.insert(deed, now);
        }
        if deed == Deed::Fined {
            // What it asks for is its second part; any fining ends what one before it asked for.
            wine.deeds.remove(&Deed::HalfFined);
            wine.deeds
                .extend(asks_for_more.then_some((Deed::HalfFined, now)));
        }
        if deed == Deed::Pitched {
            // A ferment binds what was free, nobody knows how much: the next test begins anew.
            wine.met(now, So2Change::AddedUnknown);
        }
    }

    pub(super) fn write_readings(&mut self) {
        let now = self.now();
        let draft = &self.entry.draft;
        let readings = &draft.readings;
        for reading in readings {
            let is_over = self.entry.draft.kind == Kind::TroubleOver;
            let Some(wine) = self.spoken_of(reading.place) else {
                continue;
            };
            // More than one thing may be wrong, so that a fault is no last reading.
            if let (Property::Trouble, Found::Word(fault)) = (reading.property, &reading.found) {
                if is_over {
                    wine.troubles.remove(fault);
                } else {
                    wine.troubles.entry(fault.clone()).or_insert(now);
                }
                continue;
            }
            let of_some = match &reading.found {
                Found::Word(word) if word.ends_with(IN_SOME) => Some(word),
                _ => None,
            };
            if LOOKED_AT.contains(&reading.property) && wine.bottle_count() > 0 {
                if of_some.is_none() {
                    wine.look_at_all(reading.property, now);
                } else if !wine.look_at_some(reading, draft) {
                    continue;
                }
            }
            let known = Known {
                at_ms: now,
                found: reading.found.clone(),
                estimated: false,
            };
            wine.known.insert(reading.property, known);
            let gas = match &reading.found {
                Found::Word(word) if reading.property == Property::Gas => !says_no_gas(word),
                _ => false,
            };
            wine.deeds.extend(gas.then_some((Deed::GasFound, now)));
            if reading.property == Property::Malic {
                wine.malics.push(MalicTest {
                    at_ms: now,
                    found: reading.found.clone(),
                });
                let surplus = wine.malics.len().saturating_sub(MALICS_KEPT);
                wine.malics.drain(..surplus);
            }
            match (reading.property, &reading.found) {
                (Property::Gravity, found) => {
                    if let Some(gravity) = found.number() {
                        wine.weighed.sweetened = Mass::ZERO;
                        let celsius = warmth(readings, reading.place);
                        wine.gravities.push(GravityReading {
                            at_ms: now,
                            gravity,
                            celsius,
                            fed: None,
                        });
                        if wine.gravities.len() > GRAVITIES_KEPT {
                            let left_out = wine.gravities.remove(1);
                            if let Some(rise) = left_out.fed {
                                wine.gravities[0].feed(rise);
                            }
                        }
                    }
                }
                (Property::FreeSo2, found) => {
                    if found.number().is_some() {
                        wine.met(now, So2Change::Tested(found.clone()));
                    }
                    wine.deeds.remove(&Deed::UnweighedUntested);
                    wine.so2_since_reading = Mass::ZERO;
                }
                (Property::Gas, Found::Word(word)) if word == "none" => {
                    wine.deeds.insert(Deed::Degassed, now);
                }
                (property, found) if property.says_malo_finished(found) => {
                    wine.deeds.entry(Deed::MaloFinished).or_insert(now);
                }
                _ => {}
            }
        }
    }

    pub(super) fn write_additions(&mut self) {
        let (now, kind) = (self.now(), self.entry.draft.kind);
        for addition in &self.entry.draft.additions {
            match (addition.lot, addition.dose) {
                (Some(lot), Some(dose)) => self.draw_down(lot, dose, true),
                // How much is not known, and it was opened for it all the same.
                (Some(lot), None) => _ = self.use_of(lot),
                (None, _) => {}
            }
            let Some(wine) = self.spoken_of(addition.place) else {
                continue;
            };
            if kind != Kind::Sweeten && brings_sugar(&addition.substance) {
                wine.deeds.insert(Deed::Sugared, now);
                wine.feed(addition);
            }
            if let (Kind::Sweeten, Some(dose)) = (kind, addition.dose) {
                let dissolved = Dissolved::of(&addition.substance, dose);
                wine.weighed.sweetened += dissolved.map_or(Mass::ZERO, Dissolved::in_sugar);
            }
            wine.so2_added += addition.so2_at_most();
            wine.so2_since_reading += addition.so2;
            wine.sulfited(now, addition.so2, addition.so2_sd());
            if let Some(known) = substance::known(&addition.substance) {
                let is_none = addition.dose.is_some_and(|it| it.amount() == 0);
                if known.deed == Some(Deed::Sorbated) {
                    if let Some(Dose::Mass(mass)) = addition.dose {
                        wine.weighed.sorbate += mass;
                    } else {
                        wine.deeds.insert(Deed::SorbateUnweighed, now);
                    }
                }
                if known.deed == Some(Deed::Sulfited) && addition.so2.0 == 0 && !is_none {
                    wine.deeds.insert(Deed::Unweighed, now);
                    wine.deeds.insert(Deed::UnweighedUntested, now);
                    wine.met(now, So2Change::AddedUnknown);
                }
                wine.deeds.extend(known.deed.map(|deed| (deed, now)));
                if !known.allergen.is_empty() {
                    wine.allergens.insert(known.allergen.to_owned());
                }
            }
        }
    }

    pub(super) fn write_tastings(&mut self) {
        let now = self.now();
        for tasting in &self.entry.draft.tastings {
            if let Some(wine) = self.spoken_of(tasting.place) {
                wine.deeds.insert(Deed::Tasted, now);
            }
        }
    }

    pub(super) fn move_supplies(&mut self) {
        let now = self.now();
        for supply in &self.entry.draft.supplies {
            match supply.change {
                SupplyChange::By(dose) if dose.amount() < 0 => {
                    self.draw_down(supply.lot, dose.times(-1), false);
                }
                SupplyChange::By(dose) => {
                    let stock = self.stock(supply.lot);
                    // What was taken before the lot was written down was taken out of it too.
                    let before = || dose.with(-stock.draws.iter().map(|it| it.amount).sum::<i64>());
                    let is_new = stock.left.is_none();
                    let left = stock.left.unwrap_or_else(before).plus(dose);
                    stock.left = Some(left);
                    if is_new && left.amount() < 0 {
                        let (held, used) = (dose.amount(), dose.amount() - left.amount());
                        self.find(supply.lot, Fault::SupplyShort { held, used });
                    }
                }
                SupplyChange::Found(dose) => {
                    let stock = self.stock(supply.lot);
                    stock.unexpected = stock.left.map(|it| dose.amount() - it.amount());
                    stock.left = Some(dose);
                    stock.counted_ms = Some(now);
                }
                SupplyChange::Unknown => self.stock(supply.lot).left = None,
            }
        }
    }

    fn stock(&mut self, lot: Key) -> &mut Stock {
        let none = State::Supply(Stock::default());
        let state = self
            .ledger
            .states
            .entry(lot)
            .or_insert_with(|| none.clone());
        if let State::Wine(_) = state {
            *state = none;
        }
        match state {
            State::Supply(stock) => stock,
            State::Wine(_) => unreachable!("replaced by a stock above"),
        }
    }

    /// The stock of a lot that something is taken out of.
    fn use_of(&mut self, lot: Key) -> &mut Stock {
        let now = self.now();
        let stock = self.stock(lot);
        stock.first_used_ms.get_or_insert(now);
        stock
    }

    fn draw_down(&mut self, lot: Key, dose: Dose, into_wine: bool) {
        let at_ms = self.now();
        let stock = self.use_of(lot);
        stock.draws.push(Draw {
            at_ms,
            amount: dose.amount(),
            into_wine,
        });
        let surplus = stock.draws.len().saturating_sub(DRAWS_KEPT);
        stock.draws.drain(..surplus);
        if let Some(left) = stock.left {
            stock.left = Some(left.plus(dose.times(-1)));
            if dose.amount() > left.amount() {
                self.find(
                    lot,
                    Fault::SupplyShort {
                        held: left.amount(),
                        used: dose.amount(),
                    },
                );
            }
        }
    }
}

impl Dose {
    /// As a whole number in the unit of its lot: µg, µL, pieces or thousandths of a tablet.
    pub fn amount(self) -> i64 {
        match self {
            Dose::Mass(mass) => mass.0,
            Dose::Volume(volume) => volume.0,
            Dose::Count(count) | Dose::Packets(count) | Dose::Tablets(count) => count,
        }
    }

    /// So many times as much.
    pub fn times(self, factor: i64) -> Dose {
        self.with(self.amount() * factor)
    }

    /// The same unit with both amounts. A lot is counted in one unit; the verbs see to that.
    pub fn plus(self, other: Dose) -> Dose {
        self.with(self.amount() + other.amount())
    }

    /// The same unit with another amount.
    pub fn with(self, amount: i64) -> Dose {
        match self {
            Dose::Mass(_) => Dose::Mass(crate::cellar::amount::Mass(amount)),
            Dose::Volume(_) => Dose::Volume(crate::cellar::amount::Volume(amount)),
            Dose::Count(_) => Dose::Count(amount),
            Dose::Packets(_) => Dose::Packets(amount),
            Dose::Tablets(_) => Dose::Tablets(amount),
        }
    }
}

/// How warm an entry found the wine of a place, °C.
fn warmth(readings: &[Reading], place: Key) -> Option<f64> {
    let mut readings = readings.iter().filter(|it| it.place == place);
    let found = &readings
        .find(|it| it.property == Property::Temperature)?
        .found;
    match found {
        Found::Below(bound) => Some(bound.next_down()),
        _ => found.number(),
    }
}
