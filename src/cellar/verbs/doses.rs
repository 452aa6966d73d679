//! Amounts of what goes in: by weight, volume, number, tablet, spoon, stock solution, or not weighed.

use leesline_calc::quantity::{Quantity, parse};
use leesline_calc::registry::find;

use super::additions::unit_of;
use super::loose::{Loose, bottles, in_figures};
use super::lots::{counted_in, lot, lots_of};
use super::read::{about, count, number};
use super::{Form, Refusal};
use crate::cellar::amount::{Mass, Volume};
use crate::cellar::entry::{Addition, Dose};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::substance;
use crate::cellar::thing::Thing;

/// A level teaspoon of metabisulfite, g, as the calculators take it; `None` if they no longer ask. What a
/// spoon of another powder weighs is not known here. The entry's note keeps what was typed.
fn teaspoon_g() -> Option<f64> {
    let inputs = find("sulfite-by-spoon")?.inputs;
    let spoon = inputs.iter().find(|it| it.key == "teaspoon_g")?;
    spoon.default?.parse().ok()
}

/// Powder may also be said by the level spoon, whose weight is known of metabisulfite alone, or as so
/// many mL of a stock solution, whose strength is usual for metabisulfite alone.
pub(super) fn amount_of(
    form: &Form,
    key: &'static str,
    substance: &str,
    cellar: &Snapshot,
) -> Result<Option<Dose>, Refusal> {
    let text = form.get(key).unwrap_or_default().to_lowercase();
    let units = cellar.settings().units;
    if let Some(packets) = packets(&text) {
        let is_counted_so = |it: &Thing| counted_in(it) == "packet";
        let counted = match form.get("lot") {
            Some(_) if key == "amount" => is_counted_so(lot(form, "lot", cellar)?),
            _ => lots_of(substance, cellar).any(is_counted_so),
        };
        // Of a lot that is weighed nobody knows how much a packet is.
        return Ok(counted.then_some(packets));
    }
    let known = substance::known(substance);
    let is_sulfite = known.is_some_and(|it| it.so2_yield > 0.0);
    let is_powder = known.is_none_or(|it| it.unit == "ug");
    let is_stock = text.ends_with("ml") || text.ends_with("millilitres");
    let grams = if is_powder && is_spoon(&text) {
        let figures = in_figures(&text.replace("level ", ""));
        let spoons = parse(Quantity::Teaspoons, &figures, &units)
            .map_err(|it| Refusal::input(key, it.to_string()))?;
        if !is_sulfite && spoons >= 0.0 {
            return Ok(None);
        }
        teaspoon_g().map(|each| spoons * each)
    } else if known.is_some() && is_powder && is_stock {
        let millilitres = parse(Quantity::SmallVolume, &text, &units)
            .map_err(|it| Refusal::input(key, it.to_string()))?;
        let solution = number(form, "solution", Quantity::Percent, (0.1, 50.0), cellar)?;
        let Some(solution) = solution.or(is_sulfite.then_some(10.0)) else {
            return Ok(None);
        };
        Some(millilitres * solution / 100.0)
    } else {
        None
    };
    if known.is_none() && grams.is_none() {
        return dose_with_unit(form, key, substance, cellar);
    }
    match grams {
        Some(grams) if grams >= 0.0 => Ok(Some(Dose::Mass(Mass::grams(grams)))),
        Some(_) => Err(Refusal::input(
            key,
            format!("`{text}` is less than nothing."),
        )),
        None => dose(form, key, unit_of(substance), cellar),
    }
}

/// Whether the words say that nobody weighed it: some of it, or packets as they come.
pub(super) fn is_unweighed(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    is_bare(&text) || text.split([' ', '-']).any(|it| PACKETS.contains(&it))
}

const PACKETS: &[&str] = &["packet", "packets", "sachet", "sachets", "pack", "packs"];

/// So many whole packets: `2 packets`, `a sachet`.
pub(super) fn packets(text: &str) -> Option<Dose> {
    let text = text.trim().to_lowercase();
    let (number, what) = text.rsplit_once(' ')?;
    let is_packets = PACKETS.contains(&what);
    let number = match number.trim() {
        "a" | "one" => Some(1),
        number => match bottles(number) {
            Some(Loose::Exactly(many)) => Some(many as i64),
            _ => None,
        },
    };
    number.filter(|_| is_packets).map(Dose::Packets)
}

/// Whether they say no more than that, so that nothing of them is worth keeping.
fn is_bare(text: &str) -> bool {
    matches!(
        text.trim().to_lowercase().as_str(),
        "packet" | "a packet" | "some" | "unknown" | "?"
    )
}

/// Tablets in thousandths: `3`, `3 tablets`, `half a tablet`, `1 1/2 tablets`.
fn tablets(
    key: &'static str,
    text: &str,
    units: leesline_calc::quantity::Units,
) -> Result<i64, Refusal> {
    let words = text.to_lowercase();
    let words = words.trim_end_matches("tablets").trim_end_matches("tablet");
    let words = words.trim_end().trim_end_matches("campden");
    let number = match words.trim() {
        "a" | "one" => 1.0,
        "half" | "half a" | "a half" => 0.5,
        "quarter" | "a quarter" | "quarter of a" | "a quarter of a" => 0.25,
        // A spoon is said in the same fractions as a tablet.
        number => parse(Quantity::Teaspoons, &in_figures(number), &units).map_err(|_| {
            Refusal::input(
                key,
                format!(
                    "`{text}` is no number of tablets; say `3`, `half a tablet` or `1 1/2 tablets`."
                ),
            )
        })?,
    };
    if number > 10_000.0 {
        return Err(Refusal::input(
            key,
            format!("`{text}` is more tablets than a jar holds; check the number."),
        ));
    }
    Ok((number * 1e3).round() as i64)
}

/// What was typed for an amount, and the amount in it; `None` where nothing was, or where nobody weighed it.
fn weighed<'a>(form: &'a Form, key: &str) -> Option<(&'a str, &'a str)> {
    let text = form.get(key)?;
    let (_, amount) = about(text);
    (!is_unweighed(amount)).then_some((text, amount))
}

/// An amount of something the book knows nothing of, which must name its unit.
pub(super) fn dose_with_unit(
    form: &Form,
    key: &'static str,
    substance: &str,
    cellar: &Snapshot,
) -> Result<Option<Dose>, Refusal> {
    let Some((text, amount)) = weighed(form, key) else {
        return Ok(None);
    };
    let units = cellar.settings().units;
    let ask = || {
        Refusal::input(
            key,
            format!(
                "`{text}` of {substance} has no unit that is known here; say it, such as `3 g`, `3 mL` or `3 pieces`."
            ),
        )
    };
    if amount.parse::<f64>().is_ok() {
        return Err(ask());
    }
    let pieces = amount
        .split_once(' ')
        .filter(|(_, what)| matches!(*what, "piece" | "pieces" | "tablet" | "tablets"))
        .and_then(|(number, _)| number.parse::<i64>().ok());
    let dose = if let Some(pieces) = pieces {
        Dose::Count(pieces)
    } else if let Ok(grams) = parse(Quantity::Mass, amount, &units) {
        Dose::Mass(Mass::grams(grams))
    } else if let Ok(millilitres) = parse(Quantity::SmallVolume, amount, &units) {
        Dose::Volume(Volume::litres(millilitres / 1e3))
    } else {
        return Err(ask());
    };
    if dose.amount() < 0 {
        return Err(Refusal::input(
            key,
            format!("`{text}` is less than nothing."),
        ));
    }
    Ok(Some(dose))
}

/// An amount of a supply in the unit it is counted in: `ug`, `ul`, `count`, `packet`, `millitablet`. Of what is
/// not counted in packets, a packet is an amount nobody knows.
pub(super) fn dose(
    form: &Form,
    key: &'static str,
    unit: &str,
    cellar: &Snapshot,
) -> Result<Option<Dose>, Refusal> {
    if unit == "packet" {
        let text = form.get(key).unwrap_or_default();
        return match packets(text) {
            Some(packets) => Ok(Some(packets)),
            None => Ok(count(form, key)?.map(|it| Dose::Packets(it.0))),
        };
    }
    let Some((text, amount)) = weighed(form, key) else {
        return Ok(None);
    };
    let units = cellar.settings().units;
    let refuse = |it: leesline_calc::quantity::ParseError| Refusal::input(key, it.to_string());
    let dose = match unit {
        "count" => Dose::Count(count(form, key)?.map_or(0, |it| it.0)),
        "millitablet" => Dose::Tablets(tablets(key, amount, units)?),
        "ul" => Dose::Volume(Volume::litres(
            parse(Quantity::SmallVolume, amount, &units).map_err(refuse)? / 1e3,
        )),
        _ => Dose::Mass(Mass::grams(
            parse(Quantity::Mass, &in_figures(amount), &units).map_err(refuse)?,
        )),
    };
    if dose.amount() < 0 {
        return Err(Refusal::input(
            key,
            format!("`{text}` is less than nothing."),
        ));
    }
    Ok(Some(dose))
}

/// An amount whose weight is not known, or taken from a spoon, as the person said it.
pub(super) fn as_typed(form: &Form, key: &'static str, addition: &Addition) -> Option<String> {
    let text = form.get(key)?;
    match addition.dose {
        Some(Dose::Mass(mass)) if is_spoon(text) => Some(format!("{text}, taken as {mass}")),
        None if !is_bare(text) => Some(text.to_owned()),
        _ => None,
    }
}

/// Whether an amount is said by the spoon.
pub(super) fn is_spoon(text: &str) -> bool {
    let text = text.to_lowercase();
    text.ends_with("tsp") || text.contains("teaspoon")
}
