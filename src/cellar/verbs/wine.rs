//! Wine on the move: received, pressed, racked, topped up, split, blended, drawn, lost, found.

use super::read::{
    Said, full_vessel, place, pours, reading, said_volume, size, thing, volume, word,
};
use super::things::{SOURCES, batch_named, done};
use super::{Field, Form, Group, Need, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Addition, Amount, Draft, Kind, Movement, Property};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Account, Key, Sort, Thing, Wine, field};

/// Left behind without a question up to this share of what was racked (common practice).
const LOSS_WITHOUT_QUESTION: f64 = 0.10;

const FROM: Field = ask("from", "From", "Which vessel.", Takes::FullVessel);
const PLACE: Field = ask("place", "Vessel", "Which vessel.", Takes::FullVessel);
const TO: Field = Field {
    key: "to",
    label: "Into",
    help: "Into which vessels, each with its amount if known: `Carboy A=22 L; Jug`.",
    takes: Takes::Pours,
    need: Need::Many,
};
const LEAVING: Field = flag(
    "leaving",
    "Leaving",
    "What stays behind with the lees.",
    Takes::Volume,
);

pub(super) static RECEIVE: Verb = Verb {
    name: "receive",
    sentence: "Receive must, juice, fruit or bought wine into a vessel.",
    group: Group::Wine,
    fields: &[
        ask("into", "Into", "Which vessel.", Takes::Thing(Sort::Vessel)),
        flag(
            "amount",
            "Amount",
            "How much; to the vessel's mark if left out.",
            Takes::Volume,
        ),
        flag(
            "batch",
            "Batch",
            "What the wine is called; begun if new.",
            Takes::Text,
        ),
        flag(
            "wine",
            "Wine",
            "What wine it will be.",
            Takes::Choice(Wine::WORDS),
        ),
        flag(
            "source",
            "Made from",
            "Where it comes from.",
            Takes::Choice(SOURCES),
        ),
        flag(
            "gravity",
            "Gravity",
            "Its gravity, if measured.",
            Takes::Reading(Property::Gravity),
        ),
        flag(
            "temperature",
            "Temperature",
            "Its temperature, if measured.",
            Takes::Reading(Property::Temperature),
        ),
        flag(
            "ph",
            "pH",
            "Its pH, if measured.",
            Takes::Reading(Property::Ph),
        ),
        flag("fruit", "Fruit", "Weight of the fruit in it.", Takes::Dose),
    ],
    draft: |form, cellar| {
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let mut draft = Draft::new(Kind::Receive, cellar.now);
        let said = match (volume(form, "amount", cellar)?, into.mark()) {
            (Some(said), _) => said,
            (None, Some(mark)) => Said {
                amount: Amount::Exactly(mark),
                about: true,
            },
            (None, None) => {
                return Err(Refusal::input(
                    "amount",
                    format!("How much? {} has no mark to go by.", into.name()),
                ));
            }
        };
        let Amount::Exactly(amount) = said.amount else {
            return Err(Refusal::input(
                "amount",
                "must comes from outside, where there is no `all`; give a volume.",
            ));
        };
        let name = form.get("batch").unwrap_or(into.name());
        let batch = batch_named(&mut draft, name, form, cellar)?;
        let from = if form
            .get("source")
            .is_some_and(|it| "bought".starts_with(it))
        {
            Account::Bought
        } else {
            Account::Must
        };
        draft.movements.push(Movement {
            from: from.key(),
            to: into.key,
            amount: said.amount,
            about: said.about,
            batch: Some(batch),
        });
        if let Some(dose) = super::read::dose(form, "fruit", "ug", cellar)? {
            draft.additions.push(Addition {
                substance: "fruit".to_owned(),
                dose: Some(dose),
                ..Addition::of(into.key)
            });
        }
        for (key, property) in [
            ("gravity", Property::Gravity),
            ("temperature", Property::Temperature),
            ("ph", Property::Ph),
        ] {
            draft
                .readings
                .extend(reading(form, key, into.key, property, cellar)?);
        }
        let asks = over_mark(into, amount, cellar);
        Ok(Prepared {
            draft,
            sentence: format!("Receive {amount} of {name} into {}.", into.name()),
            asks,
        })
    },
};

pub(super) static PRESS: Verb = Verb {
    name: "press",
    sentence: "Press the wine off its skins; what is left goes to pomace.",
    group: Group::Wine,
    fields: &[FROM, TO],
    draft: |form, cellar| leave_behind(form, cellar, Kind::Press, Account::Pomace),
};

pub(super) static RACK: Verb = Verb {
    name: "rack",
    sentence: "Rack wine off its sediment; what is left goes to lees.",
    group: Group::Wine,
    fields: &[FROM, TO, LEAVING],
    draft: |form, cellar| leave_behind(form, cellar, Kind::Rack, Account::Lees),
};

/// Wine goes into one vessel after another, the last takes the rest, and what stays behind goes to
/// the account: the rest is resolved by the fold, so an older sample written later changes it.
fn leave_behind(
    form: &Form,
    cellar: &Snapshot,
    kind: Kind,
    behind: Account,
) -> Result<Prepared, Refusal> {
    let (from, wine) = full_vessel(form, "from", cellar)?;
    let targets = pours(form, "to", cellar)?;
    let leaving = size(form, "leaving", cellar)?;
    if targets.is_empty() {
        return Err(Refusal::input("to", "Into which vessel?"));
    }
    let mut draft = Draft::new(kind, cellar.now);
    let (mut left, mut asks, mut into) = (wine.volume, Vec::new(), Vec::new());
    let last = targets.len() - 1;
    for (at, (target, said)) in targets.iter().enumerate() {
        if target.key == from.key {
            return Err(Refusal::input(
                "to",
                format!("{} can't be racked into itself.", from.name()),
            ));
        }
        let amount = match said {
            Some(said) => said.amount,
            None if at == last => rest(target, left, leaving, cellar),
            None => Amount::Exactly(room(target, cellar).unwrap_or(left).min(left)),
        };
        let moved = match amount {
            Amount::Exactly(volume) => volume,
            Amount::RestLeaving(stays) => (left - stays).max(Volume::ZERO),
            Amount::LevelFound(_) => Volume::ZERO,
        };
        let about = said.is_some_and(|it| it.about) || wine.about;
        draft.movements.push(Movement {
            from: from.key,
            to: target.key,
            amount,
            about,
            batch: None,
        });
        asks.extend(over_mark(target, moved, cellar));
        into.push(format!("{moved} into {}", target.name()));
        left -= moved;
    }
    draft.pour(from.key, behind.key(), Amount::RestLeaving(Volume::ZERO));
    let share = left.0 as f64 / wine.volume.0.max(1) as f64;
    if leaving.is_none() && kind == Kind::Rack && share > LOSS_WITHOUT_QUESTION {
        asks.push(format!("{left} stays behind and goes to lees, {:.0} % of it; if that is wine, say where it goes.", share * 100.0));
    }
    let left = if left > Volume::ZERO {
        format!(", {left} left on the {}", behind.word())
    } else {
        String::new()
    };
    let verb = if kind == Kind::Press { "Press" } else { "Rack" };
    Ok(Prepared {
        draft,
        sentence: format!("{verb} {}: {}{left}.", from.name(), into.join(", ")),
        asks,
    })
}

/// The rest but what stays on the lees; no more than fits where the brim was measured and nothing
/// was said of what stays.
fn rest(target: &Thing, left: Volume, leaving: Option<Volume>, cellar: &Snapshot) -> Amount {
    match (leaving, room(target, cellar)) {
        (Some(leaving), _) => Amount::RestLeaving(leaving),
        (None, Some(room)) if room < left => Amount::Exactly(room),
        (None, _) => Amount::RestLeaving(Volume::ZERO),
    }
}

/// Room up to what a vessel holds, if that is known.
fn room(vessel: &Thing, cellar: &Snapshot) -> Option<Volume> {
    let held = cellar.wine(vessel.key).map_or(Volume::ZERO, |it| it.volume);
    vessel.capacity().map(|it| (it - held).max(Volume::ZERO))
}

/// Over its working mark a vessel asks once; over a measured brim the book refuses by itself.
fn over_mark(vessel: &Thing, more: Volume, cellar: &Snapshot) -> Vec<String> {
    let held = cellar.wine(vessel.key).map_or(Volume::ZERO, |it| it.volume);
    match vessel.mark() {
        Some(mark) if held + more > mark => {
            vec![format!(
                "{} is marked {mark} and will hold {}; measure its brim if that is right.",
                vessel.name(),
                held + more
            )]
        }
        _ => Vec::new(),
    }
}

pub(super) static TOP_UP: Verb = Verb {
    name: "top-up",
    sentence: "Top a vessel up from another, or with bought wine or water.",
    group: Group::Wine,
    fields: &[
        ask(
            "into",
            "Vessel",
            "Which vessel is topped up.",
            Takes::FullVessel,
        ),
        flag(
            "from",
            "With",
            "A vessel, `bought-wine` or `water`.",
            Takes::FullVessel,
        ),
        flag(
            "amount",
            "Amount",
            "How much; what fits if left out.",
            Takes::Volume,
        ),
    ],
    draft: |form, cellar| {
        let (into, _) = full_vessel(form, "into", cellar)?;
        let from = form.get("from").ok_or_else(|| {
            Refusal::input(
                "from",
                "Topped up with what? A vessel, bought-wine or water.",
            )
        })?;
        let (source, name) =
            if let Some(account @ (Account::Bought | Account::Water)) = Account::from_word(from) {
                (account.key(), account.word())
            } else {
                let (vessel, _) = full_vessel(form, "from", cellar)?;
                (vessel.key, vessel.name())
            };
        if source == into.key {
            return Err(Refusal::input("from", "A vessel can't top up itself."));
        }
        let held = cellar.wine(source).map(|it| it.volume);
        let fits = room(into, cellar).map(|it| held.map_or(it, |held| it.min(held)));
        let said = match (volume(form, "amount", cellar)?, fits) {
            (Some(said), _) => said,
            (None, Some(fits)) if fits > Volume::ZERO => Said {
                amount: Amount::Exactly(fits),
                about: true,
            },
            (None, Some(_)) => {
                return Err(Refusal::book(
                    Some("amount"),
                    format!("{} is full by the book; say how much went in.", into.name()),
                ));
            }
            (None, None) => {
                return Err(Refusal::input(
                    "amount",
                    format!(
                        "How much? The book does not know what {} holds when full.",
                        into.name()
                    ),
                ));
            }
        };
        let moved = match said.amount {
            Amount::Exactly(volume) => volume,
            _ => held.unwrap_or_default(),
        };
        let mut draft = Draft::new(Kind::TopUp, cellar.now);
        draft.movements.push(Movement {
            from: source,
            to: into.key,
            amount: said.amount,
            about: said.about,
            batch: None,
        });
        let asks = over_mark(into, moved, cellar);
        Ok(Prepared {
            draft,
            sentence: format!("Top up {} with {moved} from {name}.", into.name()),
            asks,
        })
    },
};

pub(super) static SPLIT: Verb = Verb {
    name: "split",
    sentence: "Split a wine into named parts.",
    group: Group::Wine,
    fields: &[
        FROM,
        TO,
        Field {
            key: "as",
            label: "Named",
            help: "A name for each part, in the same order.",
            takes: Takes::Text,
            need: Need::Many,
        },
    ],
    draft: |form, cellar| {
        let (from, _) = full_vessel(form, "from", cellar)?;
        let targets = pours(form, "to", cellar)?;
        if targets.is_empty() {
            return Err(Refusal::input(
                "to",
                "Into which vessels? `Carboy A=10 L; Jug` for example.",
            ));
        }
        let names: Vec<&str> = form
            .all("as")
            .iter()
            .flat_map(|it| it.split(';'))
            .map(str::trim)
            .collect();
        let mut draft = Draft::new(Kind::Split, cellar.now);
        for (at, (target, said)) in targets.iter().enumerate() {
            let amount = said.map_or(Amount::RestLeaving(Volume::ZERO), |it| it.amount);
            let batch = names
                .get(at)
                .map(|name| batch_named(&mut draft, name, &Form::default(), cellar))
                .transpose()?;
            let about = said.is_some_and(|it| it.about);
            draft.movements.push(Movement {
                from: from.key,
                to: target.key,
                amount,
                about,
                batch,
            });
        }
        let into: Vec<&str> = targets.iter().map(|it| it.0.name()).collect();
        done(
            draft,
            format!("Split {} into {}.", from.name(), into.join(" and ")),
        )
    },
};

pub(super) static BLEND: Verb = Verb {
    name: "blend",
    sentence: "Blend wines into one vessel, under a name of its own if you like.",
    group: Group::Wine,
    fields: &[
        ask(
            "into",
            "Into",
            "The vessel they meet in.",
            Takes::Thing(Sort::Vessel),
        ),
        Field {
            key: "from",
            label: "From",
            help: "Vessels with their amounts: `Carboy A=10 L; Jug=all`.",
            takes: Takes::Pours,
            need: Need::Many,
        },
        flag("as", "Named", "What the blend is called.", Takes::Text),
    ],
    draft: |form, cellar| {
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let parts = pours(form, "from", cellar)?;
        if parts.is_empty() {
            return Err(Refusal::input(
                "from",
                "Of what? `Carboy A=10 L; Jug=all` for example.",
            ));
        }
        let mut draft = Draft::new(Kind::Blend, cellar.now);
        let batch = form
            .get("as")
            .map(|name| batch_named(&mut draft, name, form, cellar))
            .transpose()?;
        if let (Some(batch), Some(wine)) = (batch, cellar.wine(into.key)) {
            // What is there already takes the blend's name too; the flow keeps what it was.
            draft.movements.push(Movement {
                from: into.key,
                to: into.key,
                amount: Amount::Exactly(wine.volume),
                about: wine.about,
                batch: Some(batch),
            });
        }
        let (mut sum, mut names) = (Volume::ZERO, Vec::new());
        for (source, said) in parts {
            let held = cellar
                .wine(source.key)
                .map(|it| it.volume)
                .unwrap_or_default();
            let amount = said.map_or(Amount::RestLeaving(Volume::ZERO), |it| it.amount);
            sum += match amount {
                Amount::Exactly(volume) => volume,
                _ => held,
            };
            names.push(source.name());
            draft.movements.push(Movement {
                from: source.key,
                to: into.key,
                amount,
                about: said.is_some_and(|it| it.about),
                batch,
            });
        }
        let asks = over_mark(into, sum, cellar);
        let named = form
            .get("as")
            .map(|it| format!(" as {it}"))
            .unwrap_or_default();
        Ok(Prepared {
            draft,
            sentence: format!(
                "Blend {sum} from {} into {}{named}.",
                names.join(" and "),
                into.name()
            ),
            asks,
        })
    },
};

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
        let (from, _) = full_vessel(form, "place", cellar)?;
        let said = volume(form, "amount", cellar)?.unwrap_or(Said {
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
        let (from, _) = full_vessel(form, "place", cellar)?;
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
            volume(form, "amount", cellar)?.ok_or_else(|| Refusal::input("amount", "How much?"))?;
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
        let (from, _) = full_vessel(form, "place", cellar)?;
        let all = Said {
            amount: Amount::RestLeaving(Volume::ZERO),
            about: false,
        };
        let said = volume(form, "amount", cellar)?.unwrap_or(all);
        out(
            from,
            said,
            Account::Discarded,
            Kind::Discard,
            "Discard",
            cellar,
        )
    },
};

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
    let how_much = match said.amount {
        Amount::Exactly(volume) => volume.to_string(),
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
        let level = size(form, "level", cellar)?
            .ok_or_else(|| Refusal::input("level", "How much do you find in it?"))?;
        let about = form
            .get("level")
            .is_some_and(|it| it.starts_with("about") || it.starts_with('~'));
        let mut draft = Draft::new(Kind::Adjust, cellar.now);
        draft.movements.push(Movement {
            from: vessel.key,
            to: Account::Difference.key(),
            amount: Amount::LevelFound(level),
            about,
            batch: None,
        });
        let held = cellar
            .wine(vessel.key)
            .map(|it| it.volume)
            .unwrap_or_default();
        done(
            draft,
            format!("{} holds {level}; the book had {held}.", vessel.name()),
        )
    },
};

pub(super) static MOVE: Verb = Verb {
    name: "move",
    sentence: "Move a vessel to another room.",
    group: Group::Wine,
    fields: &[
        ask("place", "Vessel", "Which vessel or bottles.", Takes::Place),
        flag("room", "To", "Room or shelf.", Takes::Text),
    ],
    draft: |form, cellar| {
        let thing = place(form, "place", cellar)?;
        let room = form
            .get("room")
            .ok_or_else(|| Refusal::input("room", "To which room?"))?;
        let mut draft = Draft::new(Kind::Move, cellar.now);
        draft.subject = Some(thing.key);
        draft.set(thing.key, field::ROOM, room);
        done(draft, format!("Move {} to {room}.", thing.name()))
    },
};

macro_rules! deeds {
    ($($name:ident $word:literal $kind:ident $sentence:literal;)*) => {
        $(pub(super) static $name: Verb = Verb {
            name: $word,
            sentence: $sentence,
            group: Group::Wine,
            fields: &[PLACE],
            draft: |form, cellar| {
                let (vessel, _) = full_vessel(form, "place", cellar)?;
                let mut draft = Draft::new(Kind::$kind, cellar.now);
                draft.subject = Some(vessel.key);
                done(draft, format!("{}: {}.", vessel.name(), Kind::$kind.label()))
            },
        };)*
    };
}
deeds! {
    PUNCH_DOWN "punch-down" PunchDown "Punch down the cap.";
    DEGAS "degas" Degas "Drive the gas out of a wine.";
    CHILL "chill" Chill "Put a wine in the cold.";
    WARM "warm" Warm "Bring a wine into the warm.";
    COVER "cover" Cover "Cover a wine with gas, a lid or wax.";
    START_MALO "start-malo" StartMalo "Start malolactic conversion.";
}

pub(super) static FILTER: Verb = Verb {
    name: "filter",
    sentence: "Filter a wine.",
    group: Group::Wine,
    fields: &[
        PLACE,
        flag(
            "sterile",
            "Sterile",
            "Through a sterile membrane, which keeps yeast out.",
            Takes::Flag,
        ),
    ],
    draft: |form, cellar| {
        let (vessel, _) = full_vessel(form, "place", cellar)?;
        let kind = if form.get("sterile").is_some() {
            Kind::SterileFilter
        } else {
            Kind::Filter
        };
        let mut draft = Draft::new(kind, cellar.now);
        draft.subject = Some(vessel.key);
        done(draft, format!("{}: {}.", vessel.name(), kind.label()))
    },
};

impl Addition {
    /// Something into that place, with nothing more said yet.
    pub(super) fn of(place: Key) -> Addition {
        Addition {
            place,
            substance: String::new(),
            dose: None,
            so2: crate::cellar::amount::Mass::ZERO,
            lot: None,
            calculation: String::new(),
        }
    }
}

/// Draws a sample beside another entry, where its field is given.
pub(super) fn sample_too(
    draft: &mut Draft,
    place: Key,
    form: &Form,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    if let Some(text) = form.get("sample") {
        let said = said_volume("sample", text, cellar)?;
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
