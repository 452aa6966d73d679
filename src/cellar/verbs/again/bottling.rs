//! A bottling run and the corker it was closed with, told back.

use super::{Says, Told, days, litres, one};
use crate::cellar::bottling::Package;
use crate::cellar::corkers::{self, Setting};
use crate::cellar::entry::{Amount, Draft, Found, Kind, Property};
use crate::cellar::thing::{Account, Key, Sort, Value, field};
use crate::cellar::verbs::bottling::{NO_MARK, NOT_READY, OVERRULED, left_word};
use crate::cellar::window::bottled;

/// What such an entry says of a field that is told here; `None` for any other field.
pub(super) fn says(told: &Told, key: &str) -> Says {
    let number = |attribute: &str| match told.change(attribute)?.value {
        Some(Value::Int(number)) => Some(number),
        _ => None,
    };
    let setting = || told.setting();
    Some(one(match (told.draft.kind, key) {
        (Kind::Bottle, "from") => told.draft.run_begun().map(|it| told.name(it.1)),
        // Those that have none are given none as the entry is written anew.
        (Kind::Bottle, "mark") => told.draft.run_begun().map(|_| NO_MARK.to_owned()),
        (Kind::Bottle, "overrule") => overruled(told.draft).map(|it| it.0.to_owned()),
        (Kind::Bottle, "warm") => told.warm().map(str::to_owned),
        (Kind::Bottle, "chores") => told
            .change(field::CHORE)
            .filter(|_| told.draft.run_begun().is_some())
            .map(|_| "yes".to_owned()),
        (Kind::Bottle, "rest") => {
            let run = told.draft.subject;
            let from = run.and_then(|it| bottled(it, told.cellar));
            let from = from.unwrap_or(told.draft.when).utc_ms;
            number(field::REST_UNTIL).map(|it| days(it - from))
        }
        (Kind::Bottle, "empties") => told.took_no_empties().then(|| "no".to_owned()),
        (Kind::Bottle, "into") => told.left_over(|to| Account::from_key(to).is_none()),
        (Kind::Bottle, "left") => told.left_over(|to| Account::from_key(to).is_some()),
        (Kind::Bottle, "leaving") => told.lees(),
        (Kind::Bottle, "corker") => number(field::RUN_CORKER).map(|it| told.name(Key(it))),
        (Kind::Corker, "setting") => setting().map(|it| it.at),
        (Kind::Corker, "cork") => setting().and_then(|it| it.cork_mm).map(|it| it.to_string()),
        (Kind::Corker, "size") => setting()
            .and_then(|it| it.bottle_ml)
            .map(|it| it.to_string()),
        (Kind::Corker, "retire") => told.change(field::CLOSED).map(|_| "yes".to_owned()),
        _ => return None,
    }))
}

/// Why a bottling was begun though something spoke against it, and what else was noted.
pub(super) fn overruled(draft: &Draft) -> Option<(&str, &str)> {
    let said = [OVERRULED, NOT_READY]
        .into_iter()
        .find_map(|it| draft.note.strip_prefix(it))?;
    Some(said.split_once("; ").unwrap_or((said, "")))
}

impl Told<'_> {
    /// Whether it was warm while its gravity stood still, where that was said as it was begun.
    fn warm(&self) -> Option<&'static str> {
        let mut readings = self.draft.readings.iter();
        match readings
            .find(|it| it.property == Property::Temperature)?
            .found
        {
            Found::Above(_) => Some("yes"),
            Found::Below(_) => Some("no"),
            _ => None,
        }
    }

    /// Whether a finish took none of the empties, though there were some.
    fn took_no_empties(&self) -> bool {
        let there = self.cellar.open(Sort::Supply).filter(|it| {
            let bought = it.int(field::BOUGHT);
            Package::of_empties(it).is_some() && bought <= Some(self.draft.when.utc_ms)
        });
        let mut there = there.map(|it| it.key).peekable();
        there.peek().is_some()
            && !there.any(|lot| self.draft.supplies.iter().any(|it| it.lot == lot))
    }

    /// Where the wine went that a bottling left over.
    fn left_over(&self, fits: impl Fn(Key) -> bool) -> Option<String> {
        let mut moves = self.draft.movements.iter();
        let rest = moves.find(|it| matches!(it.amount, Amount::RestLeaving(_)))?;
        let account = Account::from_key(rest.to).map(left_word);
        fits(rest.to).then(|| account.map_or_else(|| self.name(rest.to), str::to_owned))
    }

    /// What a bottling left on the lees.
    fn lees(&self) -> Option<String> {
        self.draft.movements.iter().find_map(|it| match it.amount {
            Amount::RestLeaving(left) if left.0 > 0 => Some(litres(left.0)),
            Amount::Exactly(lees) if it.to == Account::Lees.key() => Some(litres(lees.0)),
            _ => None,
        })
    }

    /// The setting of a corker that the entry wrote down: the last of its lines.
    fn setting(&self) -> Option<Setting> {
        match &self.change(field::CORKER_SETTINGS)?.value {
            Some(Value::Text(lines)) => corkers::settings(lines).pop(),
            _ => None,
        }
    }
}
