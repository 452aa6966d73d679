//! Sulfite powder: too little, or too old, for the next dose.

use super::fit::Look;
use super::words::span;
use super::{Found, Rank, Reason, ReasonKind, Suggestion};
use crate::cellar::amount::Mass;
use crate::cellar::dosing::is_powder;
use crate::cellar::entry::Dose;
use crate::cellar::supplies;
use crate::cellar::supplies::to_buy::{self, ToBuy};
use crate::cellar::thing::{Key, Sort, Thing, field};

/// Both rules read the same lots.
pub(super) fn rule<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let lots: Vec<&Thing> = look
        .cellar
        .all()
        .filter(|it| it.sort == Sort::Supply && is_powder(it.text(field::SUBSTANCE)))
        .collect();
    let mut reasons: Vec<Found> = short(look, &lots).into_iter().collect();
    reasons.extend(lots.iter().filter_map(|it| old(look, it)));
    // Of powder it is said once that it is old.
    let said: Vec<Key> = reasons.iter().map(|it| it.reason.subject).collect();
    let past = look.cellar.open(Sort::Supply);
    let past = past.filter(|it| !said.contains(&it.key));
    reasons.extend(past.filter_map(|it| past_its_day(look, it)));
    reasons.extend(before_work(look));
    reasons
}

/// Past the day that its maker printed on it.
fn past_its_day<'a>(look: &'a Look, lot: &Thing) -> Option<Found<'a>> {
    let now = look.cellar.now;
    let end = now.at(lot.int(field::BEST_BEFORE)?);
    let left = look.cellar.stock(lot.key).and_then(|it| it.left);
    let used_up = left.is_some_and(|it| it.amount() <= 0);
    let day = end.day_words();
    let sentence = format!("{} was best before {day}: replace it", lot.name());
    let substance = lot.text(field::SUBSTANCE).to_owned();
    let why = move || {
        let weaker = if is_powder(&substance) {
            "Sulfite powder loses strength, 10 to 20 % a year once it is open (from memory: Zoecklein and others); a dose weighed as if it were fresh is too small, and too small is not seen."
        } else {
            "Past that day yeast and enzymes do less, and corks dry out (common practice)."
        };
        vec![
            format!("Best before {day}, as its maker says."),
            weaker.to_owned(),
            format!(
                "`leesline buy {substance}` writes the new one down, and the command here takes the old one off the stock. If you go on using it, dismiss this and say why."
            ),
        ]
    };
    (end < now && !used_up).then(|| {
        Reason {
            subject: lot.key,
            kind: ReasonKind::SupplyOld,
            due: end,
            rank: Rank::Soon,
            weight: 0.0,
            sentence,
            suggestion: Suggestion::of("stock take")
                .with("lot", lot.name())
                .with("amount", "none"),
        }
        .because(why)
    })
}

/// What the jobs of the next weeks, and wines that may be bottled, take and the book lacks: a line for each thing that a wine
/// lacks, due while there is still time to buy it.
fn before_work<'a>(look: &'a Look) -> Vec<Found<'a>> {
    let mut wanted = to_buy::before_work(look.cellar, look.policy);
    let of = |it: &ToBuy| (it.need.subject, it.need.substance.clone());
    wanted.sort_by_key(of);
    let lines = wanted.chunk_by(|a, b| of(a) == of(b)).filter_map(|all| {
        let first = &all.first()?.need;
        let mut lines: Vec<String> = all
            .iter()
            .map(|it| it.until_it_has_enough(look.cellar))
            .collect();
        if first.is_planned {
            let days = look.policy.buy_days as i64;
            let (day, ahead) = (first.buy_by.day_words(), super::words::count(days, "day"));
            lines.push(if first.due.days_since(first.buy_by) < days {
                format!("It was planned on {day} with less than {ahead} to go, which the post may take (common practice): buy it at once.")
            } else {
                format!("To be bought by {day}, {ahead} before the day: a week for the post (common practice).")
            });
        } else {
            lines.push(
                "All seven questions before bottling are answered with yes and no job says when, so this may wait until then. What stands in the cupboard counts once `buy` has written it down."
                    .to_owned(),
            );
        }
        let presses = first.is_planned && first.buy_by.days_since(look.cellar.now) <= 1;
        let reason = Reason {
            subject: first.subject,
            kind: ReasonKind::SupplyShort,
            due: first.buy_by,
            rank: if presses { Rank::Soon } else { Rank::Later },
            weight: 0.0,
            sentence: format!("short of {} for {}", all[0].what(), first.for_what(look.cellar)),
            suggestion: Suggestion::of("buy")
                .with("substance", first.substance.as_str())
                .asking("amount"),
        };
        Some(reason.because(move || lines))
    });
    lines.collect()
}

/// Less than one dose for all the wine in vessels. Said only where powder was ever written down, and
/// of what is left in weight.
fn short<'a>(look: &'a Look, lots: &[&Thing]) -> Option<Found<'a>> {
    let cellar = look.cellar;
    let newest = lots.iter().rev().find(|it| it.is_open()).or(lots.last())?;
    let mut left = Mass::ZERO;
    for lot in lots.iter().filter(|it| it.is_open()) {
        // A lot whose rest nobody knows, or that is not weighed, may be enough.
        match cellar.stock(lot.key)?.left? {
            Dose::Mass(mass) => left += mass.max(Mass::ZERO),
            Dose::Volume(_) | Dose::Count(_) | Dose::Packets(_) | Dose::Tablets(_) => return None,
        }
    }
    let litres = supplies::litres_in_vessels(cellar);
    let need = Mass::grams(litres * look.policy.next_dose_g_l);
    let why = move || {
        vec![
            format!(
                "{litres:.1} L in vessels at {} g of potassium metabisulfite per litre (common practice) take {need}.",
                look.policy.next_dose_g_l
            ),
            format!("All open lots together hold {left}."),
        ]
    };
    (left < need).then(|| {
        Reason {
            subject: newest.key,
            kind: ReasonKind::SupplyShort,
            due: cellar.now,
            rank: Rank::Soon,
            weight: 0.0,
            sentence: format!("sulfite powder {left} left, the next dose takes {need}"),
            suggestion: Suggestion::of("buy")
                .with("substance", newest.text(field::SUBSTANCE))
                .asking("amount"),
        }
        .because(why)
    })
}

/// Opened longer than a year ago.
fn old<'a>(look: &'a Look, lot: &Thing) -> Option<Found<'a>> {
    let now = look.cellar.now;
    let used_up = match look.cellar.stock(lot.key).and_then(|it| it.left) {
        Some(Dose::Mass(left)) => left <= Mass::ZERO,
        Some(Dose::Volume(left)) => left.0 <= 0,
        Some(Dose::Count(left) | Dose::Packets(left) | Dose::Tablets(left)) => left <= 0,
        None => false,
    };
    if !lot.is_open() || used_up {
        return None;
    }
    let opened = now.at(supplies::opened(lot, look.cellar)?);
    let due = opened.plus_days(look.policy.powder_days as i64);
    let why = move || {
        vec![
        format!("Opened on {}.", opened.day_words()),
        "Opened powder is said to lose 10–20 % of its strength a year (from memory: Zoecklein and others, Wine Analysis and Production); caked or damp, it is thrown away.".to_owned(),
        "Until it is replaced, test the wine after a dose; do not dose above the ceiling on the strength of a guess.".to_owned(),
    ]
    };
    (due.days_since(now) <= 0).then(|| {
        Reason {
            subject: lot.key,
            kind: ReasonKind::SupplyOld,
            due,
            rank: Rank::Soon,
            weight: 0.0,
            sentence: format!(
                "sulfite powder open for {}: replace it",
                span(now.days_since(opened))
            ),
            suggestion: Suggestion::of("stock take")
                .with("lot", lot.name())
                .with("amount", "0 g"),
        }
        .because(why)
    })
}

#[cfg(test)]
mod tests {
    use super::super::attention;
    use super::super::trial::{CARBOY, Cellar, POWDER, days_ago, policy};
    use super::*;
    use crate::cellar::entry::Property;
    use crate::cellar::thing::Value;

    fn check(kind: ReasonKind, grams: f64, opened_days_ago: i64, expected: &str) {
        let mut cellar = Cellar::with_vessel(23.0, 22.0);
        cellar.powder(grams);
        cellar.set(POWDER, field::OPENED, Value::Int(days_ago(opened_days_ago)));
        assert_eq!(cellar.says_why(kind), expected);
    }

    #[test]
    fn less_than_a_dose_for_all_vessels_is_short() {
        // 22 L at 0.05 g/L are 1.1 g.
        let kind = ReasonKind::SupplyShort;
        check(
            kind,
            1.0,
            30,
            "› sulfite powder 1 g left, the next dose takes 1.1 g",
        );
        check(kind, 1.2, 30, "");
        check(
            kind,
            -2.0,
            30,
            "› sulfite powder 0 g left, the next dose takes 1.1 g",
        );
    }

    /// A wine of 22.5 L that every question of the gate is answered of with yes.
    fn ready() -> Cellar {
        let mut cellar = Cellar::with_vessel(23.0, 22.5);
        cellar.finished().says(Property::Clarity, "clear", 2);
        cellar
            .knows(Property::Ph, 3.3, 2)
            .knows(Property::FreeSo2, 30.0, 2);
        cellar
    }

    #[test]
    fn a_wine_that_may_be_bottled_says_each_thing_it_lacks() {
        let check = |there: &[(&str, i64)], clarity: &str, expected: &[&str]| {
            let mut cellar = ready();
            cellar.says(Property::Clarity, clarity, 1);
            for (at, (substance, count)) in (510..).zip(there) {
                cellar.thing(Key(at), Sort::Supply, substance);
                cellar.set(Key(at), field::SUBSTANCE, *substance);
                cellar.stock(Key(at), Dose::Count(*count));
            }
            assert_eq!(said(&cellar), expected);
        };
        let bottles = "short of empty bottles for the bottling of Carboy A";
        let corks = "short of corks for the bottling of Carboy A";
        check(&[], "clear", &[bottles, corks]);
        check(&[], "hazy", &[]);
        // 22.5 L are 30 bottles, and 32 corks with two spare.
        check(&[("cork", 32)], "clear", &[bottles]);
        check(&[("cork", 31)], "clear", &[bottles, corks]);
        check(&[("cork", 32), ("bottle", 30)], "clear", &[]);
        let lines = ready().working(ReasonKind::SupplyShort);
        assert_eq!(
            lines[0],
            "30 empty bottles, none in the book: for the bottling of Carboy A."
        );
    }

    /// What is put off for a wine is all that it is short of, and comes back under one name.
    #[test]
    fn all_that_a_wine_is_short_of_is_put_off_together() {
        let mut cellar = ready();
        cellar.put_off(CARBOY, ReasonKind::SupplyShort.word(), None, 0);
        assert_eq!(said(&cellar), [""; 0]);
    }

    /// All that is said to be short.
    fn said(cellar: &Cellar) -> Vec<String> {
        let short = attention(&cellar.0, &policy()).into_iter();
        let short = short.filter(|it| it.kind == ReasonKind::SupplyShort);
        short.map(|it| it.sentence).collect()
    }

    #[test]
    fn a_year_after_opening_it_is_old() {
        let kind = ReasonKind::SupplyOld;
        check(
            kind,
            100.0,
            425,
            "› sulfite powder open for 14 months: replace it",
        );
        check(kind, 100.0, 364, "");
        check(kind, 0.0, 425, "");
    }

    #[test]
    fn a_cellar_that_keeps_no_stock_is_not_asked() {
        let cellar = Cellar::with_vessel(23.0, 22.0);
        assert_eq!(cellar.says_why(ReasonKind::SupplyShort), "");
    }
}
