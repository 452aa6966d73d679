//! Wine from vessel to vessel: pressed, racked, split.

use super::here::batch_named;
use super::read::{Said, full_vessel, pours, size};
use super::{Field, Form, Group, Need, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::entry::{Amount, Draft, Kind, Movement};
use crate::cellar::fold::TOPPING_SHARE;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Account, Key, Thing};

/// Left behind without a question up to this share of what was racked (common practice).
pub(super) const LOSS_WITHOUT_QUESTION: f64 = 0.10;

/// As much pomace as a must leaves at most, though someone said what ran off: 60 to 80 % of it is wine (common practice).
const MOST_POMACE: f64 = 0.50;

const FROM: Field = ask("from", "From", "Which vessel.", Takes::FullVessel);
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
    let too_much = stays_there(from, wine, &targets, leaving)?;
    let mut draft = Draft::new(kind, cellar.now);
    let (mut left, mut asks, mut into) = (wine.volume, Vec::new(), Vec::new());
    let (mut blends, mut fits) = (Vec::new(), Vec::new());
    let last = targets.len() - 1;
    for (at, (target, said)) in targets.iter().enumerate() {
        if target.key == from.key {
            return Err(into_itself(from));
        }
        if said.is_none() {
            has_room("to", target, cellar)?;
        }
        let amount = match said {
            Some(said) => said.amount,
            None if at == last => rest(target, left, leaving, cellar),
            // What is to stay behind is left for no vessel.
            None => {
                let free = (left - leaving.unwrap_or_default()).max(Volume::ZERO);
                Amount::Exactly(room(target, cellar).unwrap_or(free).min(free))
            }
        };
        let moved = match amount {
            Amount::Exactly(volume) => volume,
            Amount::RestLeaving(stays) => (left - stays).max(Volume::ZERO),
            Amount::LevelFound(_) | Amount::NotKnown => Volume::ZERO,
        };
        if moved == Volume::ZERO && wine.unmeasured.is_none() && at > 0 {
            return Err(nothing_left(target));
        }
        let about = said.is_some_and(|it| it.about) || wine.about;
        draft.movements.push(Movement {
            from: from.key,
            to: target.key,
            amount,
            about,
            batch: None,
        });
        asks.extend(over_mark(target, moved, cellar));
        blends.extend(is_a_blend(wine.main_batch(), moved, target, cellar));
        into.push(format!("{moved} into {}", target.name()));
        fits.push(format!("{}={moved}", target.name()));
        left -= moved;
    }
    let rest = Rest {
        kind,
        behind,
        from,
        held: wine.volume,
        left,
        leaving,
        // A figure given for the wine pressed off says that the rest was pomace, as far as there can be so much of it.
        is_said: kind == Kind::Press && targets.last().is_some_and(|it| it.1.is_some()),
        fits: fits.join("; "),
    };
    if rest.gone() > Volume::ZERO && wine.unmeasured.is_none() {
        draft.pour(
            from.key,
            Account::Difference.key(),
            Amount::Exactly(rest.gone()),
        );
    }
    draft.pour(from.key, behind.key(), Amount::RestLeaving(Volume::ZERO));
    let verb = if kind == Kind::Press { "Press" } else { "Rack" };
    let prepared = Prepared {
        draft,
        sentence: format!(
            "{verb} {}: {}{}.",
            from.name(),
            into.join(", "),
            rest.words()
        ),
        asks,
        loses: rest.question(),
    };
    Ok(prepared.only_if(too_much.into_iter().chain(blends)))
}

fn into_itself(vessel: &Thing) -> Refusal {
    let sentence = format!(
        "{0} can't be racked into itself: rack into another vessel, clean {0}, and rack back.",
        vessel.name()
    );
    Refusal::input("to", sentence)
}

fn nothing_left(target: &Thing) -> Refusal {
    let sentence = format!(
        "Nothing is left for {}: what is racked fits into the vessels before it; leave it out.",
        target.name()
    );
    Refusal::book(Some("to"), sentence)
}

/// What is not poured into any vessel.
struct Rest<'a> {
    kind: Kind,
    behind: Account,
    from: &'a Thing,
    held: Volume,
    left: Volume,
    /// What was said to stay behind.
    leaving: Option<Volume>,
    is_said: bool,
    /// What goes into which vessel, as it is typed.
    fits: String,
}

impl Rest<'_> {
    /// Wine of which nobody says where it went: who says what the lees were has said no more of them.
    fn gone(&self) -> Volume {
        let gone = self.leaving.map_or(Volume::ZERO, |it| self.left - it);
        gone.max(Volume::ZERO)
    }

    fn words(&self) -> String {
        let gone = self.gone();
        let stays = self.left - gone;
        let stays =
            (stays > Volume::ZERO).then(|| format!(", {stays} left on the {}", self.behind.word()));
        let gone = (gone > Volume::ZERO).then(|| format!(", {gone} not accounted for"));
        stays.into_iter().chain(gone).collect()
    }

    /// Asked where more is left than a racking or a pressing leaves.
    fn question(&self) -> Option<String> {
        let (held, left, word) = (self.held, self.left, self.behind.word());
        let unnamed = left - self.leaving.unwrap_or_default();
        let share = |it: Volume| it.0 as f64 / held.0.max(1) as f64;
        let most = if self.is_said {
            MOST_POMACE
        } else {
            LOSS_WITHOUT_QUESTION
        };
        if share(unnamed) <= most {
            return None;
        }
        let ways = format!(
            "name a further vessel for it, leave it in {} by `split` of no more than fits ({})",
            self.from.name(),
            self.fits
        );
        if let Some(leaving) = self.leaving {
            let racked = held - left;
            return Some(format!(
                "{racked} and {leaving} of {word} are {} of {held}: where did the other {} go? If it is not lost, {ways}.",
                racked + leaving,
                self.gone()
            ));
        }
        let said = match self.kind {
            Kind::Press if self.is_said => "give the figure that ran off, if it was more",
            Kind::Press => "give the figure that ran off",
            _ => "give --leaving if it was lees",
        };
        Some(format!(
            "{left} of {held} stays behind and goes to {word}, {:.0} % of it: {ways}, or {said}.",
            share(left) * 100.0
        ))
    }
}

/// No figure that was typed is cut down in silence: refuses more left behind than there is by the book, or
/// than what was racked leaves, and asks where that is only about so much.
fn stays_there(
    from: &Thing,
    wine: &Wine,
    targets: &[(&Thing, Option<Said>)],
    leaving: Option<Volume>,
) -> Result<Option<String>, Refusal> {
    let Some(leaving) = leaving.filter(|it| *it > Volume::ZERO && wine.unmeasured.is_none()) else {
        return Ok(None);
    };
    let said = targets.iter().filter_map(|it| match it.1?.amount {
        Amount::Exactly(volume) => Some(volume),
        _ => None,
    });
    let racked: Volume = said.sum();
    let all_said = targets.iter().all(|it| it.1.is_some());
    let (name, held, both) = (from.name(), wine.volume, racked + leaving);
    let what = if racked == Volume::ZERO {
        format!("{leaving} left")
    } else {
        format!("{racked} racked and {leaving} left make {both}")
    };
    let why = if both > held {
        format!("{what}, but {name} holds {held} by the book")
    } else if both == held && !all_said {
        format!(
            "{what}, all that {name} holds by the book, and nothing for the vessel without a figure"
        )
    } else {
        return Ok(None);
    };
    let is_about = wine.about || targets.iter().any(|it| it.1.is_some_and(|it| it.about));
    if is_about && all_said {
        return Ok(Some(format!("{why}: is that right?")));
    }
    Err(Refusal::book(
        Some("leaving"),
        format!("{why}; check the figures, or `adjust` {name} first."),
    ))
}

/// Asks where so much wine of a batch meets another in parts that matter; a topping asks nothing.
pub(super) fn is_a_blend(
    coming: Option<Key>,
    moved: Volume,
    target: &Thing,
    cellar: &Snapshot,
) -> Option<String> {
    let held = cellar.wine(target.key)?;
    let batch = held.main_batch();
    let share = held.share_of(moved);
    let is_topping = held.unmeasured.is_none() && share.min(1.0 - share) < TOPPING_SHARE;
    if batch == coming || is_topping {
        return None;
    }
    let name = target.name();
    let what = batch.map_or("wine that has no name", |it| cellar.name(it));
    Some(format!(
        "{name} holds {} of {what}: is this a blend? If not, name another vessel; `blend` gives it a name of its own.",
        held.amount_words()
    ))
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

/// Refuses a vessel that is full by the book where nobody said how much goes into it.
pub(super) fn has_room(
    key: &'static str,
    vessel: &Thing,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    let (Some(Volume::ZERO), Some(full)) = (room(vessel, cellar), vessel.capacity()) else {
        return Ok(());
    };
    let name = vessel.name();
    let held = cellar.wine(vessel.key).map_or(full, |it| it.volume);
    Err(Refusal::book(
        Some(key),
        format!(
            "{name} is full by the book ({held} of {full}); say where the wine goes: another \
             vessel, or `adjust` {name} first if it holds less."
        ),
    ))
}

/// Refuses what no longer fits into a vessel, where nobody said that so much goes into it.
pub(super) fn all_fits(
    key: &'static str,
    vessel: &Thing,
    more: Volume,
    cellar: &Snapshot,
) -> Result<(), Refusal> {
    has_room(key, vessel, cellar)?;
    let Some(room) = room(vessel, cellar).filter(|it| more > *it) else {
        return Ok(());
    };
    let full = vessel.capacity().unwrap_or_default();
    Err(Refusal::book(
        Some(key),
        format!(
            "{name} has room for {room} by the book ({full} when full) and {more} would run over; name a larger \
             vessel, or say with `vessel change \"{name}\" --brim` what it holds if that is more.",
            name = vessel.name(),
        ),
    ))
}

/// Room up to what a vessel holds, if that is known.
pub(super) fn room(vessel: &Thing, cellar: &Snapshot) -> Option<Volume> {
    let held = cellar.wine(vessel.key).map_or(Volume::ZERO, |it| it.volume);
    vessel.capacity().map(|it| (it - held).max(Volume::ZERO))
}

/// Over its working mark a vessel asks once; over a measured brim the book refuses by itself.
pub(super) fn over_mark(vessel: &Thing, more: Volume, cellar: &Snapshot) -> Vec<String> {
    let held = cellar.wine(vessel.key).map_or(Volume::ZERO, |it| it.volume);
    let will_hold = held + more;
    let Some(mark) = vessel.mark().filter(|it| will_hold > *it) else {
        return Vec::new();
    };
    let name = vessel.name();
    vec![match vessel.brim() {
        Some(brim) => format!(
            "{name} is marked {mark} and will hold {will_hold}; to the brim it holds {brim}, and wine that warms needs 2 to 3 cm below the bung."
        ),
        None => format!(
            "{name} is marked {mark} and will hold {will_hold}; measure its brim if that is right."
        ),
    }]
}

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
        let (from, wine) = full_vessel(form, "from", cellar)?;
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
        let (mut left, mut asks, mut blends) = (wine.volume, Vec::new(), Vec::new());
        for (at, (target, said)) in targets.iter().enumerate() {
            if said.is_none() && target.key != from.key {
                has_room("to", target, cellar)?;
            }
            let amount = said.map_or(Amount::RestLeaving(Volume::ZERO), |it| it.amount);
            let moved = match amount {
                Amount::Exactly(volume) => volume,
                _ => left,
            };
            left -= moved;
            if target.key != from.key {
                asks.extend(over_mark(target, moved, cellar));
                blends.extend(is_a_blend(wine.main_batch(), moved, target, cellar));
            }
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
        if left > Volume::ZERO && targets.iter().any(|it| it.0.key == from.key) {
            return Err(Refusal::book(
                Some("to"),
                format!(
                    "{0} would hold the part and the rest of it together; leave {0} out, or say what becomes of all of it.",
                    from.name()
                ),
            ));
        }
        let into: Vec<&str> = targets.iter().map(|it| it.0.name()).collect();
        let prepared = Prepared {
            draft,
            sentence: format!("Split {} into {}.", from.name(), into.join(" and ")),
            asks,
            loses: None,
        };
        Ok(prepared.only_if(blends))
    },
};
