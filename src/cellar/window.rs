//! When the bottles of a run are to be drunk: as a person said, else an estimate of ours from what
//! the book knows of the wine.

use chrono::NaiveDate;
use leesline_calc::ageing::{self, CELLAR_C, HOTTEST_C, Style};

use super::attention::Holding;
use super::bottling::{Closure, Package};
use super::entry::Property;
use super::moment::{self, Moment, Zone};
use super::snapshot::Snapshot;
use super::state::{Deed, Wine};
use super::thing::{Key, Thing, Wine as Sort, field};

/// Days of a Julian year.
const YEAR: f64 = 365.25;

/// From when to when the bottles of a run are to be drunk.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// From here on.
    pub opens: Moment,
    /// Until here.
    pub closes: Moment,
    /// One in ten closes before; the same day where a person said when.
    pub closes_low: Moment,
    /// One in ten closes after.
    pub closes_high: Moment,
    /// How it came about, line by line.
    pub because: Vec<String>,
}

/// When the bottles of a run were filled, as well as the book knows: what a person said of it, the
/// bottling, or when they were first written down.
pub fn filled(holding: &Holding) -> Option<Moment> {
    if let Some(said) = said_since(holding) {
        return Some(said);
    }
    let [bottled, begun] = [Deed::Bottled, Deed::Begun].map(|it| holding.wine.when(it));
    let at = bottled.or(holding.place.int(field::FINISHED)).or(begun)?;
    Some(holding.now.at(at))
}

/// When a bottling filled the bottles of a run, though it may have been finished days later.
pub fn bottled(run: Key, cellar: &Snapshot) -> Option<Moment> {
    let at = cellar.wine(run)?.when(Deed::Bottled)?;
    Some(cellar.now.at(at))
}

/// Since when a person said that they are there: as it was meant when they were written down.
fn said_since(holding: &Holding) -> Option<Moment> {
    let zone = Zone::Fixed(holding.now.offset_min);
    let (said, then) = since_words(holding.place, holding.now)?;
    Some(moment::read(said, then, zone).ok()?.moment)
}

/// The first and the last day that a person may have meant by since when they are there; `None` where nobody said, or said
/// no date.
pub fn since(run: &Thing, cellar: &Snapshot) -> Option<(NaiveDate, NaiveDate)> {
    let (said, then) = since_words(run, cellar.now)?;
    moment::days_meant(said, then)
}

/// What was said, and when.
fn since_words(run: &Thing, now: Moment) -> Option<(&str, Moment)> {
    let said = run.text(field::SINCE_WORDS);
    let written = run.int(field::FINISHED);
    (!said.is_empty()).then(|| (said, written.map_or(now, |it| now.at(it))))
}

/// Where a window is reckoned from.
struct From {
    filled: Moment,
    /// How that is known, in words.
    said: String,
    /// How far that may be off either way, days.
    spread_days: i64,
}

/// The day on which the bottles were filled or since when they are there, else the middle of the year
/// after their harvest. The day on which bottles of before the book were written down says nothing of
/// their age.
fn reckoned_from(holding: &Holding) -> Option<From> {
    let is_own =
        holding.place.int(field::VESSEL).is_some() || holding.wine.when(Deed::Bottled).is_some();
    let known = said_since(holding).or_else(|| filled(holding).filter(|_| is_own));
    if let Some(filled) = known {
        let said = format!("Filled {}", filled.day_words());
        return Some(From {
            filled,
            said,
            spread_days: 0,
        });
    }
    let harvest = holding.batch?.int(field::VINTAGE)?;
    let middle = NaiveDate::from_ymd_opt(i32::try_from(harvest).ok()? + 1, 7, 1)?;
    let zone = Zone::Fixed(holding.now.offset_min);
    let (filled, _) = zone.wall(middle.and_hms_opt(12, 0, 0)?).ok()?;
    Some(From {
        filled: filled.min(holding.now),
        said: format!(
            "Of the harvest of {harvest}, taken as filled in the year after, about {} (house estimate)",
            filled.day_words()
        ),
        spread_days: 183,
    })
}

/// Why there is no window.
pub const NOT_KNOWN: &str = "not known: nobody said since when they are there, or of which harvest; `window` takes your own dates";

/// Whether anything is known of when its bottles were filled.
pub fn is_dated(holding: &Holding) -> bool {
    reckoned_from(holding).is_some()
}

/// The window of a run's bottles; nothing where it is not known when they were filled, or where they
/// are kept too warm for any window to hold.
pub fn window(holding: &Holding) -> Option<Window> {
    let run = holding.place;
    let said = |name| run.int(name).map(|it| holding.now.at(it));
    let (opens, closes) = (said(field::WINDOW_OPENS), said(field::WINDOW_CLOSES));
    let mut window = match (estimate(holding), opens, closes) {
        (Some(estimate), _, _) => estimate,
        // Where nobody knows their age, they are to be drunk by the day that was said.
        (None, opens, Some(closes)) => Window {
            opens: opens.or_else(|| filled(holding))?,
            closes,
            closes_low: closes,
            closes_high: closes,
            because: Vec::new(),
        },
        (None, _, None) => return None,
    };
    if let Some(opens) = opens {
        window.opens = opens;
        let day = opens.day_words();
        window.because.push(format!(
            "That it opens on {day} was written down, and holds."
        ));
    }
    if let Some(closes) = closes {
        (window.closes, window.closes_low, window.closes_high) = (closes, closes, closes);
        let day = closes.day_words();
        window.because.push(format!(
            "That it closes on {day} was written down, and holds."
        ));
        window.opens = window.opens.min(closes);
    }
    Some(window)
}

/// How long the bottles of a run rest before they are called ready, days: two to eight weeks is common
/// practice; how long within that for which kind of wine is a house estimate. A bag is not kept long enough to rest.
pub fn rest_days(run: Key, cellar: &Snapshot) -> i64 {
    if cellar.thing(run).map(Package::of) == Some(Package::Bag) {
        return 0;
    }
    let batch = cellar.wine(run).and_then(Wine::main_batch);
    match batch.and_then(|it| cellar.thing(it)).map(Thing::wine) {
        Some(Sort::White | Sort::Rose) => 28,
        Some(Sort::Red | Sort::Sweet) => 56,
        Some(Sort::Fruit | Sort::Unknown) | None => 42,
    }
}

/// The window that the wine of a vessel would have, were it filled and closed by cork on that day.
pub fn if_filled(holding: &Holding, day: Moment) -> Option<Window> {
    let from = From {
        filled: day,
        said: format!("If it is filled on {}", day.day_words()),
        spread_days: 0,
    };
    estimate_from(holding, &from)
}

fn estimate(holding: &Holding) -> Option<Window> {
    estimate_from(holding, &reckoned_from(holding)?)
}

fn estimate_from(holding: &Holding, from: &From) -> Option<Window> {
    let storage = holding.usual_c.unwrap_or(CELLAR_C).max(0.0);
    if storage > HOTTEST_C {
        return None;
    }
    let (style, style_said) = style(holding);
    let ph = holding.known_between(Property::Ph, 2.0, 5.0);
    let sugar = holding.known_between(Property::Sugar, 0.0, 500.0);
    let closure = closure(holding.place);
    let (ph_value, sugar_value) = (ph.map(|it| it.0), sugar.map(|it| it.0));
    let found = ageing::window(style, ph_value, sugar_value, closure, storage);
    let day = |years: f64| from.filled.plus_days((years * YEAR).round() as i64);
    let closes_low = day(found.closes.low).plus_days(-from.spread_days);
    let closes_high = day(found.closes.high).plus_days(from.spread_days);
    let kept = match holding.usual_c {
        Some(usual) => format!("kept at {usual:.0} °C"),
        None => format!("taken to be kept at {CELLAR_C:.0} °C"),
    };
    let known =
        |known: Option<f64>, digits: usize, (what, unit): (&str, &str), factor: f64| match known {
            Some(value) => format!("{what} {value:.digits$}{unit}: × {factor}"),
            None => format!("{what} not known"),
        };
    let because = vec![
        format!(
            "{}; {style_said}, so {} to {} years at {CELLAR_C:.0} °C (house estimate).",
            from.said, found.style.opens, found.style.closes
        ),
        format!(
            "The end: {}; {}; {} × {} (house estimates).",
            known(ph_value, 2, ("pH", ""), found.acid),
            known(sugar_value, 0, ("sugar", " g/L"), found.sugar),
            closure_words(holding.place),
            found.closure
        ),
        format!(
            "It ages {:.2} times as fast as at {CELLAR_C:.0} °C, {kept} (Arrhenius's law, 50 kJ/mol).",
            found.pace.value
        ),
        format!(
            "Opens {}, closes {} ({} to {}; one in five is outside). No standard says when a wine is to be drunk: open one and go by that.",
            day(found.opens).day_words(),
            day(found.closes.value).day_words(),
            closes_low.date().format("%b %Y"),
            closes_high.date().format("%b %Y")
        ),
        "Your own dates or style: the verb `window`.".to_owned(),
    ];
    Some(Window {
        opens: day(found.opens),
        closes: day(found.closes.value),
        closes_low,
        closes_high,
        because,
    })
}

/// The style as a person said it, else as kind and source of the wine have it, and how it is known.
fn style(holding: &Holding) -> (Style, String) {
    let said = ageing::find(holding.place.text(field::STYLE));
    if let Some(style) = said {
        return (style, format!("a {} as written down", style.label));
    }
    let sort = holding.batch.map_or(Sort::Unknown, Thing::wine);
    let source = holding.batch.map_or("", |it| it.text(field::KIND));
    let is_kit = matches!(source, "kit" | "concentrate");
    let is_oaked = holding.wine.when(Deed::Oaked).is_some();
    let word = match sort {
        Sort::Red if is_kit => "kit-red",
        Sort::Red => "red",
        Sort::White | Sort::Unknown if is_kit => "kit-white",
        Sort::White if is_oaked => "full-white",
        Sort::White | Sort::Unknown => "white",
        Sort::Rose => "rose",
        Sort::Fruit => "fruit",
        Sort::Sweet => "sweet",
    };
    let style = ageing::find(word).unwrap_or(ageing::STYLES[0]);
    let how = match sort {
        Sort::Unknown => format!("what wine it is was not said, taken as a {}", style.label),
        _ => format!("a {}", style.label),
    };
    (style, how)
}

/// What keeps air from the wine, as the estimate knows it. Nothing said counts as cork.
fn closure(run: &Thing) -> &'static str {
    match (Package::of(run), Closure::of(run)) {
        (Package::Bag, _) => return "bag-in-box",
        (Package::Keg, _) => return "keg",
        (_, Some(Closure::Crown26 | Closure::Crown29)) => return "crown-cap",
        _ => {}
    }
    let said = run.text(field::CLOSURE).to_lowercase();
    if said.contains("synthetic") {
        return "synthetic";
    }
    let known = ageing::CLOSURE_WORDS.iter();
    known.copied().find(|it| *it == said).unwrap_or("cork")
}

fn closure_words(run: &Thing) -> String {
    match (Package::of(run), run.text(field::CLOSURE)) {
        (Package::Bag, _) => "in a bag, where wine keeps for months and does not age".to_owned(),
        (Package::Keg, _) => "in a keg".to_owned(),
        (_, "") => "closure not said, taken as cork".to_owned(),
        (_, said) => format!("closed by {}", Closure::said(said)),
    }
}
