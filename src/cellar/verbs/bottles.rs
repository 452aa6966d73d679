//! Bottles after the bottling: laid down, opened, given, kept, broken, poured back.

use super::read::{count, thing};
use super::things::done;
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{BottleMove, Draft, Kind, Posture, Spot, Tasting};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Wine};
use crate::cellar::thing::{Account, Sort, Thing, field};

const RUN: Field = ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run));
const COUNT: Field = flag("count", "How many", "One if left out.", Takes::Count);
pub(super) static LAY_DOWN: Verb = Verb {
    name: "lay-down",
    sentence: "Lay bottles down.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag("where", "Where", "Rack or shelf.", Takes::Text),
        flag(
            "count",
            "How many",
            "All that stand if left out.",
            Takes::Count,
        ),
    ],
    draft: |form, cellar| {
        let (run, wine) = bottled(form, cellar)?;
        let standing: i64 = wine
            .bottles
            .iter()
            .filter(|it| it.posture == Posture::Standing)
            .map(|it| it.count)
            .sum();
        if standing == 0 {
            return Err(Refusal::book(
                Some("run"),
                format!("no bottle of {} is standing.", run.name()),
            ));
        }
        let wanted = count(form, "count")?.map_or(standing, |it| it.0);
        let at = form.get("where").unwrap_or_default();
        let mut draft = Draft::new(Kind::LayDown, cellar.now);
        draft.subject = Some(run.key);
        draft.bottles = pull(
            run,
            wine,
            wanted,
            |it| it.posture == Posture::Standing,
            |from| Spot::Kept {
                posture: Posture::Lying,
                at: if at.is_empty() {
                    from.at.clone()
                } else {
                    at.to_owned()
                },
                reserved: from.reserved.clone(),
            },
        )?;
        let place = if at.is_empty() {
            String::new()
        } else {
            format!(" in {at}")
        };
        done(
            draft,
            format!("Lay down {wanted} of {}{place}.", run.name()),
        )
    },
};

pub(super) static OPEN: Verb = Verb {
    name: "open",
    sentence: "Open a bottle.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("words", "Taste", "How it tastes, if you like.", Takes::Text),
    ],
    draft: |form, cellar| {
        let mut prepared = leave(form, cellar, Kind::Open, Account::Drunk, "Open")?;
        if let (Some(words), Some(first)) = (form.get("words"), prepared.draft.bottles.first()) {
            let tasting = Tasting {
                place: first.run,
                words: words.to_owned(),
                score: None,
                sheet: String::new(),
            };
            prepared.draft.tastings.push(tasting);
        }
        Ok(prepared)
    },
};

pub(super) static GIVE: Verb = Verb {
    name: "give",
    sentence: "Give bottles away. Whether home wine may be given or sold is for your local law.",
    group: Group::Bottles,
    fields: &[RUN, COUNT, flag("to", "To", "To whom.", Takes::Text)],
    draft: |form, cellar| {
        let mut prepared = leave(form, cellar, Kind::Give, Account::Given, "Give")?;
        prepared.draft.note = form
            .get("to")
            .map(|it| format!("to {it}"))
            .unwrap_or_default();
        Ok(prepared)
    },
};

pub(super) static BREAK: Verb = Verb {
    name: "break",
    sentence: "A bottle broke.",
    group: Group::Bottles,
    fields: &[RUN, COUNT],
    draft: |form, cellar| leave(form, cellar, Kind::Break, Account::Broken, "Broken:"),
};

pub(super) static UNBOTTLE: Verb = Verb {
    name: "unbottle",
    sentence: "Pour bottles back into a vessel.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("into", "Into", "Which vessel.", Takes::Thing(Sort::Vessel)),
    ],
    draft: |form, cellar| {
        if form.get("into").is_none() {
            return Err(Refusal::input("into", "Into which vessel?"));
        }
        let into = thing(form, "into", Sort::Vessel, cellar)?;
        let (run, wine) = bottled(form, cellar)?;
        let wanted = count(form, "count")?.map_or(1, |it| it.0);
        let mut draft = Draft::new(Kind::Unbottle, cellar.now);
        draft.subject = Some(run.key);
        draft.bottles = pull(run, wine, wanted, |_| true, |_| Spot::Outside(into.key))?;
        done(
            draft,
            format!("Pour {wanted} of {} back into {}.", run.name(), into.name()),
        )
    },
};

pub(super) static RESERVE: Verb = Verb {
    name: "reserve",
    sentence: "Keep bottles for someone or something; they no longer count as drinkable.",
    group: Group::Bottles,
    fields: &[
        RUN,
        COUNT,
        flag("for", "For", "`2030`, `the show`, a name.", Takes::Text),
    ],
    draft: |form, cellar| {
        let (run, wine) = bottled(form, cellar)?;
        let wanted = count(form, "count")?.map_or(1, |it| it.0);
        let keep_for = form
            .get("for")
            .ok_or_else(|| Refusal::input("for", "For whom or what?"))?;
        let mut draft = Draft::new(Kind::Reserve, cellar.now);
        draft.subject = Some(run.key);
        draft.bottles = pull(
            run,
            wine,
            wanted,
            |it| it.reserved.is_empty(),
            |from| Spot::Kept {
                posture: from.posture,
                at: from.at.clone(),
                reserved: keep_for.to_owned(),
            },
        )?;
        done(
            draft,
            format!("Keep {wanted} of {} for {keep_for}.", run.name()),
        )
    },
};

fn leave(
    form: &Form,
    cellar: &Snapshot,
    kind: Kind,
    to: Account,
    verb: &str,
) -> Result<Prepared, Refusal> {
    let (run, wine) = bottled(form, cellar)?;
    let wanted = count(form, "count")?.map_or(1, |it| it.0);
    let mut draft = Draft::new(kind, cellar.now);
    draft.subject = Some(run.key);
    draft.bottles = pull(run, wine, wanted, |_| true, |_| Spot::Outside(to.key()))?;
    done(draft, format!("{verb} {wanted} of {}.", run.name()))
}

fn bottled<'a>(form: &Form, cellar: &'a Snapshot) -> Result<(&'a Thing, &'a Wine), Refusal> {
    let run = thing(form, "run", Sort::Run, cellar)?;
    match cellar.wine(run.key) {
        Some(wine) => Ok((run, wine)),
        None => Err(Refusal::book(
            Some("run"),
            format!("no bottle of {} is left by the book.", run.name()),
        )),
    }
}

/// Takes so many bottles from where they are, those free to drink before those kept for someone,
/// those lying before those standing, the largest size first.
fn pull(
    run: &Thing,
    wine: &Wine,
    wanted: i64,
    which: impl Fn(&BottleLot) -> bool,
    to: impl Fn(&BottleLot) -> Spot,
) -> Result<Vec<BottleMove>, Refusal> {
    let mut lots: Vec<&BottleLot> = wine.bottles.iter().filter(|it| which(it)).collect();
    lots.sort_by_key(|it| {
        (
            !it.reserved.is_empty(),
            it.posture == Posture::Standing,
            std::cmp::Reverse(it.size_ml),
        )
    });
    let there: i64 = lots.iter().map(|it| it.count).sum();
    let uncounted = (wanted - there).max(0);
    if uncounted > 0 && wine.unmeasured.is_none() {
        return Err(Refusal::book(
            Some("count"),
            format!(
                "{there} of {} are there, not {wanted}; if you find more, write them down with `here`.",
                run.name()
            ),
        ));
    }
    let (mut moves, mut left) = (Vec::new(), wanted);
    if uncounted > 0 {
        // Bottles nobody counted are found as they leave.
        let lot = BottleLot {
            size_ml: run.int(field::SIZE).unwrap_or(750),
            posture: Posture::Lying,
            at: run.text(field::ROOM).to_owned(),
            reserved: String::new(),
            count: uncounted,
        };
        moves.push(BottleMove {
            run: run.key,
            size_ml: lot.size_ml,
            count: uncounted,
            from: Spot::Outside(Account::Before.key()),
            to: to(&lot),
            about: false,
        });
        left -= uncounted;
    }
    for lot in lots {
        let count = left.min(lot.count);
        if count > 0 {
            let from = Spot::Kept {
                posture: lot.posture,
                at: lot.at.clone(),
                reserved: lot.reserved.clone(),
            };
            moves.push(BottleMove {
                run: run.key,
                size_ml: lot.size_ml,
                count,
                from,
                to: to(lot),
                about: false,
            });
            left -= count;
        }
    }
    Ok(moves)
}
