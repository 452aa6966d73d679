//! Bottles kept: shifted to another place, let go again, taken back, described.

use super::pull::{Bottles, stow};
use super::read::{count, thing, word};
use super::things::{changed, done};
use super::{Field, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::attention::words;
use crate::cellar::bottling::{Closure, Package};
use crate::cellar::entry::{Amount, BottleMove, Draft, Kept, Kind, Movement, Posture, Spot};
use crate::cellar::gifts;
use crate::cellar::racks::RackKind;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{State, Wine};
use crate::cellar::thing::{Account, Sort, Thing, field};
use crate::cellar::which::{COLOURS, SHAPES};

use super::empties::come_back;
use super::here::bottle_size;

pub(super) const RUN: Field = ask(
    "run",
    "Bottles",
    "Which bottles: a run, its mark, or a slot such as `Rack A/B3`.",
    Takes::Thing(Sort::Run),
);
/// Bottles with what was found amiss.
pub(super) const AMISS: Field = flag(
    "amiss",
    "Amiss",
    "Only those that a look found something amiss with: corks rising, gas, seepage, haze.",
    Takes::Flag,
);

/// Bottles of one size, where a run has several.
pub(super) const SIZE: Field = flag(
    "size",
    "Size",
    "Of a run with several sizes, only those of this one, in mL.",
    Takes::Number("mL"),
);

pub(super) const FROM: Field = flag(
    "from",
    "Out of",
    "A rack, slot or shelf, if it matters which.",
    Takes::Spot,
);

pub(super) static SHIFT: Verb = Verb {
    name: "shift",
    sentence: "Move bottles to another rack, slot or shelf.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "to",
            "To",
            "`Rack A` for its next free slots, `Rack A/B3` to begin there, or any words.",
            Takes::Spot,
        ),
        flag(
            "count",
            "How many",
            "All of them, or all at that place, if left out.",
            Takes::Count,
        ),
        FROM,
        AMISS,
        SIZE,
    ],
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let to = form
            .get("to")
            .ok_or_else(|| Refusal::input("to", "To which rack, slot or shelf?"))?;
        let all = bottles.count(|_| true).max(1);
        let wanted = count(form, "count")?.map_or(all, |it| it.0);
        // In a slot a bottle lies; in a bin, in a case or on a shelf it stays as it was.
        let lies = bottles.racks.read(to).rack();
        let lies = lies.is_some_and(|it| it.kind == RackKind::Grid);
        let moves = bottles.pull(
            wanted,
            |_| true,
            |from| {
                Spot::Kept(Kept {
                    posture: if lies { Posture::Lying } else { from.posture },
                    at: to.to_owned(),
                    ..from.kept()
                })
            },
        )?;
        let (moves, place) = stow(moves, "to", to, cellar)?;
        let mut draft = Draft::new(Kind::Move, cellar.now);
        draft.subject = Some(bottles.run.key);
        draft.bottles = moves;
        done(
            draft,
            format!("Move {wanted} of {} to {place}.", bottles.run.name()),
        )
    },
};

pub(super) static RELEASE: Verb = Verb {
    name: "release",
    sentence: "Let bottles that were kept for someone or something be drunk after all.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "count",
            "How many",
            "All that were kept if left out.",
            Takes::Count,
        ),
        flag(
            "for",
            "Kept for",
            "For whom or what they were kept; for anything if left out.",
            Takes::Text,
        ),
        FROM,
        SIZE,
    ],
    draft: |form, cellar| {
        let bottles = Bottles::of(form, cellar)?;
        let whom = form.get("for").unwrap_or_default().to_lowercase();
        let kept = |it: &crate::cellar::state::BottleLot| {
            !it.reserved.is_empty() && (whom.is_empty() || it.reserved.to_lowercase() == whom)
        };
        let there = bottles.count(kept);
        if there == 0 {
            let whom = form
                .get("for")
                .map_or_else(String::new, |it| format!(" for {it}"));
            return Err(Refusal::book(
                Some("for"),
                format!(
                    "no bottle of {} is kept{whom}; `leesline bottles --reserved` lists those that are.",
                    bottles.run.name()
                ),
            ));
        }
        let wanted = count(form, "count")?.map_or(there, |it| it.0);
        let mut draft = Draft::new(Kind::Reserve, cellar.now);
        draft.subject = Some(bottles.run.key);
        draft.bottles = bottles.pull(wanted, kept, |from| {
            Spot::Kept(Kept {
                reserved: String::new(),
                ..from.kept()
            })
        })?;
        done(
            draft,
            format!("{wanted} of {} may be drunk again.", bottles.run.name()),
        )
    },
};

pub(super) static BACK: Verb = Verb {
    name: "back",
    sentence: "Bottles that were given came back, empty or full.",
    group: Group::Bottles,
    fields: &[
        ask(
            "run",
            "Bottles",
            "Of which run they were.",
            Takes::Thing(Sort::Run),
        ),
        flag("count", "How many", "One if left out.", Takes::Count),
        flag("whom", "From", "Who brought them.", Takes::Text),
        flag("full", "Full", "Unopened; empty if left out.", Takes::Flag),
        flag(
            "where",
            "Where",
            "For full ones: rack, slot or shelf.",
            Takes::Spot,
        ),
        flag(
            "size",
            "Size",
            "Bottle size in mL, if not the run's own.",
            Takes::Number("mL"),
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        let number = count(form, "count")?.map_or(1, |it| it.0);
        let size_ml = bottle_size(form, cellar)?.or(run.int(field::SIZE));
        let size_ml = size_ml.unwrap_or(Package::Bottle.usual_ml());
        let mut draft = Draft::new(Kind::Back, cellar.now);
        draft.subject = Some(run.key);
        draft.note = form.get("whom").map(gifts::from_note).unwrap_or_default();
        let full = form.get("full").is_some_and(|it| it != "no");
        let at = form.get("where").unwrap_or_default();
        let to = if full {
            Spot::Kept(Kept::at(Posture::usual(run.text(field::CLOSURE)), at))
        } else {
            Spot::Outside(Account::Empties.key())
        };
        let moved = BottleMove {
            run: run.key,
            size_ml,
            count: number,
            from: Spot::Outside(Account::Given.key()),
            to,
            about: false,
        };
        let mut place = String::new();
        draft.bottles = if full {
            refuse_never_given(run, number, cellar)?;
            // The wine comes back with its bottles.
            draft.movements.push(Movement {
                from: Account::Given.key(),
                to: run.key,
                amount: Amount::Exactly(Volume::millilitres(size_ml * number)),
                about: false,
                batch: cellar.wine(run.key).and_then(Wine::main_batch),
            });
            let (moves, stowed) = stow(vec![moved], "where", at, cellar)?;
            if !stowed.is_empty() {
                place = format!(" to {stowed}");
            }
            moves
        } else {
            vec![moved]
        };
        let whom = form
            .get("whom")
            .map_or_else(String::new, |it| format!(" from {it}"));
        if !full && come_back(&mut draft, run, (size_ml, number), cellar) {
            ", to be washed".clone_into(&mut place);
        }
        let state = if full { "full" } else { "empty" };
        let said = format!(
            "{} of {} back {state}{whom}{place}.",
            Package::of(run).count(number),
            run.name()
        );
        let few = given_fewer(run, form.get("whom"), number, cellar);
        Ok(done(draft, said)?.only_if(few))
    },
};

/// More full bottles than were ever given would be wine out of nothing.
fn refuse_never_given(run: &Thing, number: i64, cellar: &Snapshot) -> Result<(), Refusal> {
    let astray = cellar.wine(run.key).and_then(|it| it.astray.as_ref());
    let given: i64 = astray.map_or(0, |it| it.given.values().sum());
    if number <= given {
        return Ok(());
    }
    let name = run.name();
    Err(Refusal::book(
        Some("count"),
        format!(
            "By the book {given} of {name} are with somebody, so {number} cannot come back full; write the others down with `here` by a name of their own."
        ),
    ))
}

/// What the book says of the gifts that these bottles would come back from, where it has fewer.
fn given_fewer(run: &Thing, whom: Option<&str>, back: i64, cellar: &Snapshot) -> Option<String> {
    let State::Wine(wine) = cellar.states.get(&run.key)?.as_ref() else {
        return None;
    };
    let astray = wine.astray.as_deref().cloned().unwrap_or_default();
    let given: i64 = match whom {
        Some(whom) => astray.has(whom),
        None => astray.given.values().sum(),
    };
    if given >= back {
        return None;
    }
    let has = match given {
        0 => "no bottle".to_owned(),
        given => words::count(given, "bottle"),
    };
    // The name may be of one person or of several.
    let with = whom.map_or_else(|| "with others".to_owned(), |it| format!("with {it}"));
    let are = if given > 1 { "are" } else { "is" };
    Some(format!(
        "By the book {has} of {} {are} {with}, not {back}; `leesline gifts` lists them.",
        run.name()
    ))
}

pub(super) static DESCRIBE: Verb = Verb {
    name: "bottles describe",
    sentence: "Say what the bottles of a run look like, so that one of them can be told.",
    group: Group::Bottles,
    fields: &[
        ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run)),
        flag("colour", "Colour", "Of the glass.", Takes::Choice(COLOURS)),
        flag("shape", "Shape", "Of the bottle.", Takes::Choice(SHAPES)),
        flag(
            "closure",
            "Closure",
            "What closes them.",
            Takes::Choice(Closure::WORDS),
        ),
        flag(
            "mark",
            "Mark",
            "Two characters on cork, cap or tape.",
            Takes::Text,
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        let mut draft = Draft::new(Kind::Bottles, cellar.now);
        draft.subject = Some(run.key);
        let said = [
            (field::COLOUR, word(form, "colour", COLOURS)?),
            (field::SHAPE, word(form, "shape", SHAPES)?),
            (field::CLOSURE, word(form, "closure", Closure::WORDS)?),
            (field::RUN_MARK, form.get("mark")),
        ];
        if let Some(mark) = form.get("mark").filter(|it| it.chars().count() > 2) {
            return Err(Refusal::input(
                "mark",
                format!("`{mark}` is longer than two characters; it must fit on a cork."),
            ));
        }
        for (field, value) in said {
            if let Some(value) = value {
                draft.set(run.key, field, value);
            }
        }
        changed(draft, run.name())
    },
};
