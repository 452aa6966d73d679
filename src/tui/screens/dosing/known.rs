//! What the book knows of a calculator's input, where that comes from, and how far it may be off.

use leesline_calc::quantity::{Quantity, show};
use leesline_calc::registry::{Calculator, Input, Need};

use crate::cellar::attention::words::span;
use crate::cellar::attention::{Holding, Stage};
use crate::cellar::entry::{Dose, Property};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Known as Found;
use crate::cellar::thing::{Key, Malo, Sort, Thing, Wine, field};
use crate::tui::message::Facts;

/// Powders that bring sulfite, and the calculators' word for each.
const POWDERS: [(&str, &str); 2] = [
    ("potassium-metabisulfite", "potassium"),
    ("sodium-metabisulfite", "sodium"),
];

/// Share of its strength that opened powder keeps a year: it is said to lose 10–20 % (from memory:
/// Zoecklein and others, Wine Analysis and Production).
const KEPT_A_YEAR: (f64, f64, f64) = (0.80, 0.85, 0.90);

/// How well something is known. The sign stands beside the value, so that no colour is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// Measured, or written in the book.
    Known,
    /// Forecast or assumed.
    Rough,
    /// Measured longer ago than the policy trusts.
    Old,
    /// Not known, and wanted.
    Unknown,
    /// Left out, and may be.
    Blank,
}

impl Sign {
    pub(super) const fn mark(self) -> &'static str {
        match self {
            Sign::Known => "=",
            Sign::Rough => "~",
            Sign::Old => "old",
            Sign::Unknown => "?",
            Sign::Blank => "",
        }
    }
}

/// What is filled in for an input.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Known {
    /// As a person would type it; empty for nothing.
    pub(super) text: String,
    pub(super) sign: Sign,
    /// Where it comes from, in a few words.
    pub(super) words: String,
    /// Whether it is told to the calculator; its own defaults are not, so that it can say how far
    /// they may be off.
    pub(super) given: bool,
    /// The values that one in ten lies below and above, for a forecast.
    pub(super) band: Option<(f64, f64)>,
    /// How it was come by, in a sentence, where the words are too few for it.
    pub(super) why: &'static str,
}

impl Known {
    fn from_book(text: impl Into<String>, words: impl Into<String>) -> Known {
        Known {
            text: text.into(),
            sign: Sign::Known,
            words: words.into(),
            given: true,
            band: None,
            why: "",
        }
    }

    fn rough(self) -> Known {
        Known {
            sign: Sign::Rough,
            ..self
        }
    }

    fn assumed(text: &str, words: impl Into<String>) -> Known {
        Known {
            given: false,
            ..Known::from_book(text, words).rough()
        }
    }

    pub(super) fn nothing(sign: Sign, words: &str) -> Known {
        Known {
            text: String::new(),
            sign,
            words: words.to_owned(),
            given: false,
            band: None,
            why: "",
        }
    }
}

/// What is looked at: a wine, the powder it would be given, the tools.
pub(super) struct Look<'a> {
    pub(super) holding: Option<Holding<'a>>,
    pub(super) lot: Option<&'a Thing>,
    cellar: &'a Snapshot,
}

impl<'a> Look<'a> {
    pub(super) fn at(facts: &'a Facts, vessel: Option<Key>, lot: Option<&'a Thing>) -> Look<'a> {
        Look {
            holding: vessel.and_then(|it| Holding::of(&facts.cellar, it, &facts.policy)),
            lot,
            cellar: &facts.cellar,
        }
    }

    /// What is known of an input, else what the calculator takes without it.
    pub(super) fn known(&self, calculator: &Calculator, input: &Input) -> Known {
        let settings = self.cellar.settings();
        let tool = |step: Option<f64>, words: &str| {
            step.map(|it| Known::from_book(it.to_string(), words.to_owned()))
        };
        let about_wine = self.holding.and_then(|it| of_wine(&it, input.key));
        let found = match input.key {
            "salt" => self.lot.and_then(salt),
            "potency_pct" => self.lot.map(|it| self.strength(it)),
            "scale_step_g" => tool(settings.scale_step_g, "your scale"),
            "syringe_step_ml" => tool(settings.syringe_step_ml, "your syringe"),
            // The sulfite calculators ask it for the OIV's table alone, which begins at 20 °C.
            "temperature_c" if calculator.group != "Sulfite" => settings
                .temperature_c
                .map(|it| Known::from_book(it.to_string(), "usual in the cellar").rough()),
            "volume_l" => self
                .holding
                .map(|it| volume(&it, settings.units, input.quantity)),
            _ => about_wine,
        };
        found.unwrap_or_else(|| default(input))
    }

    /// The powder's strength: as bought, less what it loses once opened.
    fn strength(&self, lot: &Thing) -> Known {
        let now = self.cellar.now;
        let bought = lot.real(field::STRENGTH);
        let fresh = bought.unwrap_or(100.0);
        let Some(opened) = lot.int(field::OPENED).map(|it| now.at(it)) else {
            let words = "not opened yet";
            return match bought {
                Some(strength) => Known::from_book(format!("{strength:.0}"), words),
                None => Known::assumed("100", words),
            };
        };
        let days = now.days_since(opened);
        let years = days.max(0) as f64 / 365.25;
        let (least, usual, most) = KEPT_A_YEAR;
        let left = |kept: f64| (fresh * kept.powf(years)).clamp(10.0, 100.0);
        Known {
            sign: Sign::Rough,
            band: Some((left(least), left(most))),
            why: "Opened powder is said to lose 10–20 % of its strength a year (from memory: Zoecklein and others, Wine Analysis and Production).",
            ..Known::from_book(
                format!("{:.0}", left(usual)),
                format!("opened {} ago", span(days)),
            )
        }
    }
}

/// Of the calculator's own: its default, or nothing.
fn default(input: &Input) -> Known {
    match (input.default, input.need) {
        (Some(none), _) if input.key == "free_so2_mg_l" => Known {
            sign: Sign::Unknown,
            ..Known::assumed(none, "never tested: taken as none")
        },
        (Some(text), _) => Known::assumed(text, usual(input.key)),
        (None, Need::Always) => Known::nothing(Sign::Unknown, "not known"),
        (None, _) => Known::nothing(Sign::Blank, ""),
    }
}

/// What is said of a default.
fn usual(key: &str) -> &'static str {
    match key {
        "bound_fraction" => "usual; 0.25–0.5",
        "teaspoon_g" => "usual; 5–8 g, weigh yours",
        "scale_step_g" => "a kitchen scale's",
        "potency_pct" => "taken as fresh",
        "wine" => "kind not written down",
        _ => "usual",
    }
}

fn volume(holding: &Holding, units: leesline_calc::quantity::Units, quantity: Quantity) -> Known {
    let text = show(quantity, holding.litres(), &units);
    if holding.wine.about {
        Known::from_book(text, "about, by the book").rough()
    } else {
        Known::from_book(text, "by the book")
    }
}

fn salt(lot: &Thing) -> Option<Known> {
    let of = lot.text(field::SUBSTANCE);
    let (_, word) = POWDERS.iter().find(|(powder, _)| *powder == of)?;
    Some(Known::from_book(*word, lot.name()))
}

/// The oldest open lot of sulfite powder that has something left.
pub(super) fn lot(cellar: &Snapshot) -> Option<&Thing> {
    let has_some = |lot: &&Thing| {
        let left = cellar.stock(lot.key).and_then(|it| it.left);
        left.is_none_or(|it| matches!(it, Dose::Mass(mass) if mass.0 > 0))
    };
    let is_powder = |lot: &&Thing| {
        let of = lot.text(field::SUBSTANCE);
        POWDERS.iter().any(|(powder, _)| *powder == of)
    };
    let lots = cellar.open(Sort::Supply).filter(is_powder).filter(has_some);
    lots.min_by_key(|it| (it.int(field::BOUGHT), it.key))
}

fn of_wine(holding: &Holding, key: &str) -> Option<Known> {
    match key {
        "state" => Some(state(holding)),
        "wine" => kind(holding),
        "ph" => Some(
            reading(holding, Property::Ph, 2)
                .unwrap_or_else(|| Known::nothing(Sign::Unknown, "never measured")),
        ),
        "free_so2_mg_l" => free_so2(holding),
        "target_molecular_mg_l" => Some(aim(holding)),
        "added_so_far_mg_l" => Some(Known::from_book(
            format!("{:.0}", holding.wine.so2_added_mg_l()),
            "by the book, since the must",
        )),
        "headspace_ml" => {
            let room = holding.headspace()?;
            let words = "by the book and the vessel's size";
            Some(Known::from_book(
                format!("{:.0}", room.in_litres() * 1e3),
                words,
            ))
        }
        "alcohol_pct_vol" => reading(holding, Property::Alcohol, 1),
        "sugar_g_l" => reading(holding, Property::Sugar, 1),
        "now_sg" | "sg" => {
            let last = holding.wine.gravities.last()?;
            Some(measured(
                holding,
                format!("{:.3}", last.gravity),
                last.at_ms,
            ))
        }
        "start_sg" => {
            let first = holding.wine.gravities.first()?;
            Some(measured(
                holding,
                format!("{:.3}", first.gravity),
                first.at_ms,
            ))
        }
        _ => None,
    }
}

/// Where the wine stands, in the words of the dose of sulfite.
pub(super) fn state(holding: &Holding) -> Known {
    let stage = holding.stage();
    let by_gravity = holding
        .wine
        .gravities
        .last()
        .is_some_and(|it| it.gravity <= holding.policy.over_gravity);
    let word = match stage {
        Stage::Must => "yeast-to-follow",
        Stage::Fermenting | Stage::Stuck => "fermenting",
        Stage::Malo => "malo-running",
        _ if holding.malo_is_open() => "malo-wanted",
        Stage::Unsaid => return Known::assumed("finished", "nothing written says so"),
        Stage::OnLees | Stage::Ageing | Stage::Ready | Stage::Bottled => "finished",
    };
    let malo = match (word, holding.malo()) {
        ("finished", Malo::Unwanted) => ", malo not wanted",
        ("finished", _) if holding.malo_is_finished() => ", malo finished",
        _ => "",
    };
    let known = Known::from_book(word, format!("{}{malo}", stage.label()));
    if word == "finished" && !by_gravity {
        return Known {
            words: format!("{}{malo}; not measured", stage.label()),
            ..known.rough()
        };
    }
    known
}

fn kind(holding: &Holding) -> Option<Known> {
    let batch = holding.batch?;
    match batch.wine() {
        Wine::Unknown => None,
        wine => Some(Known::from_book(wine.word(), batch.name())),
    }
}

/// The batch's own aim, else the one of its kind.
fn aim(holding: &Holding) -> Known {
    let own = holding.batch.and_then(|it| it.real(field::AIM));
    let text = holding.molecular_aim().to_string();
    match (own, holding.batch.map(Thing::wine)) {
        (Some(own), _) if own > 0.0 => Known::from_book(text, "this batch's own"),
        (_, Some(Wine::Red)) => Known::assumed(&text, "usual for red wine"),
        _ => Known::assumed(&text, "usual for all but red"),
    }
}

/// Free SO2 as expected now: a reading of today stands, an older one runs down.
fn free_so2(holding: &Holding) -> Option<Known> {
    let band = holding.expected_free_so2()?;
    let read = holding.wine.known.get(&Property::FreeSo2)?;
    let days = holding.days(read.at_ms);
    let text = format!("{:.0}", band.mid);
    if days == 0 && holding.wine.so2_since_reading.0 == 0 && !read.estimated {
        return Some(Known::from_book(text, "measured today"));
    }
    let sign = if days as f64 > holding.policy.reading_days {
        Sign::Old
    } else {
        Sign::Rough
    };
    let was = read.found.number().unwrap_or(band.mid);
    Some(Known {
        sign,
        band: Some((band.low, band.high)),
        why: "The last reading, run down by how the wine is kept (house estimate); one in ten is outside on either side.",
        ..Known::from_book(
            text,
            format!(
                "{:.0}–{:.0} expected; was {was:.0}, {} ago",
                band.low,
                band.high,
                span(days)
            ),
        )
    })
}

/// A reading as a number with its age.
fn reading(holding: &Holding, property: Property, decimals: usize) -> Option<Known> {
    let found: &Found = holding.wine.known.get(&property)?;
    let number = found.found.number()?;
    let known = measured(holding, format!("{number:.decimals$}"), found.at_ms);
    if found.estimated {
        return Some(Known {
            words: "from the parts of the blend".to_owned(),
            ..known.rough()
        });
    }
    Some(known)
}

fn measured(holding: &Holding, text: String, at_ms: i64) -> Known {
    let days = holding.days(at_ms);
    let words = match days {
        0 => "measured today".to_owned(),
        days => format!("measured {} ago", span(days)),
    };
    let known = Known::from_book(text, words);
    if days as f64 > holding.policy.reading_days {
        return Known {
            sign: Sign::Old,
            ..known
        };
    }
    known
}
