//! Supplies bought.

use chrono::{Duration, Months, NaiveDate, NaiveTime};
use leesline_calc::quantity::Quantity;

use super::additions::{substance_named, sulfite_alone, unit_of};
use super::apart::{apart, names_something};
use super::doses::{amount_of, dose, dose_with_unit, is_spoon, packets};
use super::empties::EMPTIES_ADD;
use super::read::number;
use super::things::done;
use super::{Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::bottling::{Closure, Package};
use crate::cellar::entry::{Dose, Draft, Kind, SupplyChange, SupplyMove};
use crate::cellar::moment::{self, DAY_MS};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::substance;
use crate::cellar::telling;
use crate::cellar::thing::{Key, Sort, Value, field};

pub(super) static BUY: Verb = Verb {
    name: "buy",
    sentence: "Write down a supply: powder, yeast, corks.",
    group: Group::Supplies,
    fields: &[
        ask("substance", "What", "What was bought.", Takes::Text),
        flag("amount", "Amount", "How much or how many.", Takes::Dose),
        flag(
            "name",
            "Lot",
            "What you call this lot; numbered if left out.",
            Takes::NewName(Sort::Supply),
        ),
        flag(
            "strength",
            "Strength",
            "Of sulfite, % of fresh; 100 if left out.",
            Takes::Number("%"),
        ),
        flag(
            "tablet-so2",
            "SO2 each",
            "SO2 that one tablet gives, as its label says; not known if left out.",
            Takes::Number("mg"),
        ),
        flag(
            "opened",
            "Opened",
            "When it was opened, if it was.",
            Takes::Date,
        ),
        flag(
            "best-before",
            "Best before",
            "As printed on it: `2027-03-31`, or `2027-03` for the end of that month.",
            Takes::Date,
        ),
        flag(
            "makers-lot",
            "Maker's lot",
            "The number on the packet.",
            Takes::Text,
        ),
        flag(
            "size",
            "Size",
            "Of corks, length by diameter in mm: `38x24`, or the length alone; of bottles in mL.",
            Takes::Text,
        ),
        flag("cost", "Cost", "What it cost.", Takes::Number("")),
    ],
    draft: |form, cellar| {
        let typed = form.get("substance").unwrap_or_default();
        let form = &apart(form, "substance");
        names_something(
            typed,
            form.get("substance").unwrap_or_default(),
            "substance",
        )?;
        sulfite_alone(form.get("substance").unwrap_or_default(), "substance")?;
        let substance = substance_named(form.get("substance").unwrap_or_default());
        if let Some(package) = Package::from_word(&substance) {
            return empties(package, form, cellar);
        }
        let known = substance::known(&substance);
        let is_weighed = known.is_none_or(|it| matches!(it.unit, "ug" | "ul"));
        let packets = form.get("amount").and_then(packets);
        let amount = match (packets.filter(|_| is_weighed), known) {
            (Some(packets), _) => Some(packets),
            (None, _) if form.get("amount").is_some_and(is_spoon) => {
                amount_of(form, "amount", &substance, cellar)?
            }
            (None, Some(known)) => dose(form, "amount", known.unit, cellar)?,
            (None, None) => dose_with_unit(form, "amount", &substance, cellar)?,
        };
        let unit = amount.map_or_else(|| unit_of(&substance), Dose::unit);
        let earlier = cellar
            .things
            .values()
            .filter(|it| it.sort == Sort::Supply && it.text(field::SUBSTANCE) == substance);
        let numbered = format!("{} {}", telling::substance(&substance), earlier.count() + 1);
        let name = form.get("name").unwrap_or(&numbered);
        let mut draft = Draft::new(Kind::Buy, cellar.now);
        let lot = draft.begin(Sort::Supply, name);
        draft.subject = Some(lot);
        draft.set(lot, field::SUBSTANCE, substance.as_str());
        draft.set(lot, field::UNIT, unit);
        draft.set(lot, field::BOUGHT, Value::Int(cellar.now.utc_ms));
        if let Some(strength) = number(form, "strength", Quantity::Percent, (1.0, 100.0), cellar)? {
            draft.set(lot, field::STRENGTH, Value::Real(strength));
        }
        let each = number(
            form,
            "tablet-so2",
            Quantity::SmallMass,
            (1.0, 20_000.0),
            cellar,
        )?;
        if let Some(each) = each {
            draft.set(lot, field::TABLET_SO2, Value::Real(each));
        }
        if let Some(cost) = number(form, "cost", Quantity::Number, (0.0, 1e6), cellar)? {
            draft.set(lot, field::COST, Value::Int((cost * 100.0).round() as i64));
        }
        if let Some(opened) = form.get("opened") {
            let said = moment::read(opened, cellar.now, cellar.settings().zone)
                .map_err(|it| Refusal::input("opened", it.to_string()))?;
            if said.moment > cellar.now {
                return Err(Refusal::input(
                    "opened",
                    format!("`{opened}` is after now; leave --opened out until it is opened."),
                ));
            }
            draft.set(lot, field::OPENED, Value::Int(said.moment.utc_ms));
        }
        if let Some(day) = form.get("best-before") {
            draft.set(
                lot,
                field::BEST_BEFORE,
                Value::Int(best_before(day, cellar)?),
            );
        }
        if let Some(size) = form.get("size") {
            set_cork_size(&mut draft, lot, &substance, size)?;
        }
        if let Some(number) = form.get("makers-lot") {
            draft.set(lot, field::MAKERS_LOT, number);
        }
        if let (None, Some(typed)) = (amount, form.get("amount")) {
            typed.clone_into(&mut draft.note);
        }
        let change = amount.map_or(SupplyChange::Unknown, SupplyChange::By);
        draft.supplies.push(SupplyMove { lot, change });
        done(
            draft,
            format!("{} as {name}.", how_much(amount, &substance)),
        )
    },
};

/// Bottles bought are empties, so that the same glass is counted once.
fn empties(package: Package, form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let label = package.label();
    let others = [
        "strength",
        "tablet-so2",
        "opened",
        "best-before",
        "makers-lot",
    ];
    if let Some(key) = others.into_iter().find(|it| form.get(it).is_some()) {
        return Err(Refusal::input(
            key,
            format!("--{key} is not said of an empty {label}; leave it out."),
        ));
    }
    let here = |key: &str| if key == "count" { "amount" } else { "size" };
    let Some(Dose::Count(count)) = dose(form, "amount", "count", cellar)? else {
        return Err(Refusal::input(
            "amount",
            format!(
                "How many {label}s? Give --amount 40; `empties add` takes their mouth and colour too."
            ),
        ));
    };
    let mut as_empties = Form::default();
    as_empties.put("count", &count.to_string());
    as_empties.put("package", package.word());
    for key in ["size", "name", "cost"] {
        as_empties.put(key, form.get(key).unwrap_or_default());
    }
    let mut prepared = (EMPTIES_ADD.draft)(&as_empties, cellar).map_err(|it| Refusal {
        field: it.field.map(here),
        ..it
    })?;
    if package == Package::Bottle {
        prepared.asks.push(
            "Nobody said what closes them, so they are taken to fit; `empties add --finish cork` says it of the next ones."
                .to_owned(),
        );
    }
    Ok(prepared)
}

/// The end of the day that is printed on it. A month alone lasts to its end (Regulation (EU) 1169/2011,
/// Annex X, from memory).
fn best_before(typed: &str, cellar: &Snapshot) -> Result<i64, Refusal> {
    let zone = cellar.settings().zone;
    let first = NaiveDate::parse_from_str(&format!("{typed}-01"), "%Y-%m-%d");
    let of_month = first
        .ok()
        .and_then(|it| it.checked_add_months(Months::new(1)));
    let day = match of_month {
        Some(next) => next.pred_opt().unwrap_or(next),
        None => moment::read(typed, cellar.now, zone)
            .map_err(|it| Refusal::input("best-before", it.to_string()))?
            .moment
            .date(),
    };
    let noon = day.and_time(NaiveTime::MIN) + Duration::hours(12);
    let (noon, _) = zone
        .wall(noon)
        .map_err(|it| Refusal::input("best-before", it.to_string()))?;
    Ok(noon.utc_ms + DAY_MS / 2 - 1)
}

/// `38x24`, `38 × 24 mm`, `38`: a cork is 20 to 60 mm long and 15 to 35 mm thick (common practice).
fn set_cork_size(draft: &mut Draft, lot: Key, substance: &str, typed: &str) -> Result<(), Refusal> {
    let wrong = |why: &str| Err(Refusal::input("size", format!("`{typed}` {why}")));
    if !Closure::from_word(substance).is_some_and(Closure::is_driven) {
        return wrong("is a size of corks, and these are none; leave it out.");
    }
    let plain = typed.replace("mm", "");
    let mut parts = plain
        .split(['x', '×', 'X'])
        .map(|it| it.trim().parse::<i64>());
    let length = parts
        .next()
        .and_then(Result::ok)
        .filter(|it| (20..=60).contains(it));
    let (Some(length), diameter, None) = (length, parts.next(), parts.next()) else {
        return wrong(
            "is no size of a cork; write its length by its diameter in mm, such as 38x24.",
        );
    };
    draft.set(lot, field::CORK_LENGTH, Value::Int(length));
    match diameter {
        None => {}
        Some(Ok(diameter)) if (15..=35).contains(&diameter) => {
            draft.set(lot, field::CORK_DIAMETER, Value::Int(diameter));
        }
        Some(_) => {
            return wrong(
                "is no size of a cork; write its length by its diameter in mm, such as 38x24.",
            );
        }
    }
    Ok(())
}

fn how_much(amount: Option<Dose>, what: &str) -> String {
    match amount {
        Some(tablets @ Dose::Tablets(_)) => format!("{} of sulfite", telling::dose(tablets)),
        Some(amount) => format!("{} of {what}", telling::dose(amount)),
        None => format!("An unknown amount of {what}"),
    }
}
