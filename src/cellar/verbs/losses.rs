//! Wine leaves a vessel, or is found to be more or less than the book said.

use super::read::{Level, Said, full_vessel, level, said_volume, size, thing, word};
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Sort, Thing};

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
    sentence: "Pour wine away.",
    group: Group::Wine,
    fields: &[
        PLACE,
        flag(
            "amount",
            "Amount",
            "How much; all of it if left out.",
            Takes::Volume,
        ),
    ],
    draft: |form, cellar| {
        let (from, wine) = full_vessel(form, "place", cellar)?;
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
        draft.movements.push(Movement {
            from: vessel.key,
            to: Account::Difference.key(),
            amount: Amount::LevelFound(level),
            about,
            batch: None,
        });
        let held = cellar
            .wine(vessel.key)
            .map_or_else(|| Volume::ZERO.to_string(), Wine::amount_words);
        let words = if about { "about " } else { "" };
        done(
            draft,
            format!(
                "{} holds {words}{level}; the book had {held}.",
                vessel.name()
            ),
        )
    },
};

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
