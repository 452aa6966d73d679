//! Wine leaves a vessel, or is found to be more or less than the book said.

use super::bottles::discard_bottles;
use super::keeping::{AMISS, FROM};
use super::rack::over_mark;
use super::read::{Level, Said, full_vessel, level, said_volume, size, thing, word};
use super::things::done;
use super::trouble::bottle;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{Deed, Wine};
use crate::cellar::thing::{Account, Key, Sort, Thing, field};

const PLACE: Field = ask("place", "Vessel", "Which vessel.", Takes::FullVessel);

pub(super) static DRAW: Verb = Verb {
    name: "draw",
    sentence: "Draw a sample.",
    group: Group::Looking,
    fields: &[
        PLACE,
        flag(
            "amount",
            "Amount",
            "How much; 100 mL if left out.",
            Takes::Volume,
        ),
    ],
    draft: |form, cellar| {
        let (from, wine) = full_vessel(form, "place", cellar)?;
        let said = part_of(wine, form, cellar)?.unwrap_or(Said {
            amount: Amount::Exactly(Volume::millilitres(100)),
            about: true,
        });
        out(from, said, Account::Samples, Kind::Draw, "Draw", cellar)
    },
};

const LOST: &[&str] = &[
    "spilled",
    "evaporated",
    "drunk",
    "given",
    "sold",
    "broken",
    "lees",
];

pub(super) static LOSE: Verb = Verb {
    name: "lose",
    sentence: "Write down wine that left a vessel: spilled, evaporated, drunk, given.",
    group: Group::Wine,
    fields: &[
        PLACE,
        flag("amount", "Amount", "How much, or `all`.", Takes::Volume),
        flag(
            "how",
            "How",
            "What became of it; spilled if left out.",
            Takes::Choice(LOST),
        ),
    ],
    draft: |form, cellar| {
        let (from, wine) = full_vessel(form, "place", cellar)?;
        let account = match word(form, "how", LOST)?.unwrap_or("spilled") {
            "evaporated" => Account::Evaporated,
            "drunk" => Account::Drunk,
            "given" => Account::Given,
            "sold" => Account::Sold,
            "broken" => Account::Broken,
            "lees" => Account::Lees,
            _ => Account::Spills,
        };
        let said =
            part_of(wine, form, cellar)?.ok_or_else(|| Refusal::input("amount", "How much?"))?;
        out(from, said, account, Kind::Lose, "Lose", cellar)
    },
};

pub(super) static DISCARD: Verb = Verb {
    name: "discard",
    sentence: "Pour wine away, out of a vessel or with its bottles.",
    group: Group::Wine,
    fields: &[
        ask(
            "place",
            "Vessel",
            "Which vessel or bottles: a run, its mark, or a slot such as `Rack A/B3`.",
            Takes::Place,
        ),
        flag(
            "amount",
            "Amount",
            "How much out of a vessel; all of it if left out.",
            Takes::Volume,
        ),
        flag(
            "count",
            "How many",
            "How many bottles; all that are meant if left out.",
            Takes::Count,
        ),
        FROM,
        AMISS,
    ],
    draft: |form, cellar| {
        if of_bottles(form, cellar) {
            return discard_bottles(form, cellar);
        }
        let (from, wine) = full_vessel(form, "place", cellar)?;
        if let Some(field) = ["count", "from", "amiss"]
            .into_iter()
            .find(|it| form.get(it).is_some())
        {
            let why = format!(
                "{} is a vessel; say with --amount how much of its wine.",
                from.name()
            );
            return Err(Refusal::input(field, why));
        }
        let all = Said {
            amount: Amount::RestLeaving(Volume::ZERO),
            about: false,
        };
        let said = part_of(wine, form, cellar)?;
        let mut prepared = out(
            from,
            said.unwrap_or(all),
            Account::Discarded,
            Kind::Discard,
            "Discard",
            cellar,
        )?;
        prepared.loses = said.is_none().then(|| {
            format!(
                "All {} in {} is poured away; give --amount if it is less.",
                wine.volume,
                from.name()
            )
        });
        Ok(prepared)
    },
};

/// Whether the place named is a run of bottles, or a slot with one. A vessel of the same name wins while it holds wine.
fn of_bottles(form: &Form, cellar: &Snapshot) -> bool {
    let name = form.get("place").unwrap_or_default();
    let vessel = cellar.find(Sort::Vessel, name);
    let is_full = vessel
        .as_ref()
        .is_ok_and(|it| cellar.wine(it.key).is_some());
    let is_run = cellar.find(Sort::Run, name).is_ok();
    !is_full && (is_run || vessel.is_err() && bottle(name, cellar).is_some())
}

/// How much of a wine; `half` is half of what there is by the book.
fn part_of(wine: &Wine, form: &Form, cellar: &Snapshot) -> Result<Option<Said>, Refusal> {
    let there = wine.unmeasured.is_none().then_some(wine.volume);
    form.get("amount")
        .map(|text| said_volume("amount", text, there, cellar))
        .transpose()
}

fn out(
    from: &Thing,
    said: Said,
    to: Account,
    kind: Kind,
    verb: &str,
    cellar: &Snapshot,
) -> Result<Prepared, Refusal> {
    let mut draft = Draft::new(kind, cellar.now);
    draft.movements.push(Movement {
        from: from.key,
        to: to.key(),
        amount: said.amount,
        about: said.about,
        batch: None,
    });
    let about = if said.about { "about " } else { "" };
    let how_much = match said.amount {
        Amount::Exactly(volume) => format!("{about}{volume}"),
        _ => "all".to_owned(),
    };
    done(
        draft,
        format!("{verb} {how_much} from {} ({}).", from.name(), to.word()),
    )
}

pub(super) static ADJUST: Verb = Verb {
    name: "adjust",
    sentence: "Set what a vessel holds to what you find; the book derives the difference.",
    group: Group::Wine,
    fields: &[
        ask(
            "place",
            "Vessel",
            "Which vessel.",
            Takes::Thing(Sort::Vessel),
        ),
        flag("level", "Holds", "How much you find in it.", Takes::Volume),
    ],
    draft: |form, cellar| {
        let vessel = thing(form, "place", Sort::Vessel, cellar)?;
        let mut draft = Draft::new(Kind::Adjust, cellar.now);
        let (level, about) = match size(form, "level", cellar) {
            Ok(Some(Volume::ZERO)) => (Volume::ZERO, false),
            _ => match level(form, "level", vessel.capacity(), cellar)? {
                Some(Level::Found {
                    volume,
                    about,
                    between,
                }) => {
                    draft.note = between.map(|it| it.1).unwrap_or_default();
                    (volume, about)
                }
                Some(Level::NotKnown(Some(why))) => return Err(Refusal::input("level", why)),
                _ => return Err(Refusal::input("level", "How much do you find in it?")),
            },
        };
        let name = vessel.name();
        let wine = cellar.wine(vessel.key);
        let held = wine.map_or(Volume::ZERO, |it| it.volume);
        let filled = filled_from(vessel, cellar).filter(|_| level != held);
        let more = level - held;
        let (from, to, amount) = match filled {
            Some(_) if more > Volume::ZERO => {
                (Account::Difference.key(), vessel.key, Amount::Exactly(more))
            }
            Some(_) => (
                vessel.key,
                Account::Difference.key(),
                Amount::Exactly(held - level),
            ),
            None => (
                vessel.key,
                Account::Difference.key(),
                Amount::LevelFound(level),
            ),
        };
        draft.movements.push(Movement {
            from,
            to,
            amount,
            about,
            batch: None,
        });
        let mut asks = Vec::new();
        let mut sentence = format!(
            "{name} holds {}{level}; the book had {}.",
            if about { "about " } else { "" },
            wine.map_or_else(|| Volume::ZERO.to_string(), Wine::amount_words)
        );
        if let Some((run, began)) = filled {
            // What is still there now was there when the first bottle was filled.
            draft.when = cellar.now.at(began - 1);
            let (off, how) = if more > Volume::ZERO {
                asks.extend(over_mark(vessel, more + run.volume, cellar));
                (more, "more")
            } else {
                (held - level, "less")
            };
            sentence = format!("{sentence} So {off} {how} was in it before the first bottle.");
        } else if more > Volume::ZERO {
            asks.extend(over_mark(vessel, more, cellar));
        }
        Ok(done(draft, sentence)?.only_if(asks))
    },
};

/// The wine that is in bottles of a run under way from that vessel, and when the first of them was filled (UTC ms).
fn filled_from<'a>(vessel: &Thing, cellar: &'a Snapshot) -> Option<(&'a Wine, i64)> {
    let run = cellar.thing(cellar.filling?)?;
    let wine = cellar.wine(run.key)?;
    let began = wine.when(Deed::Bottled)?;
    (run.int(field::VESSEL) == Some(vessel.key.0)).then_some((wine, began))
}

/// Draws a sample beside another entry, where its field is given.
pub(super) fn sample_too(
    draft: &mut Draft,
    place: Key,
    form: &Form,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    if let Some(text) = form.get("sample") {
        let said = said_volume("sample", text, None, cellar)?;
        draft.movements.push(Movement {
            from: place,
            to: Account::Samples.key(),
            amount: said.amount,
            about: said.about,
            batch: None,
        });
    }
    Ok(())
}
