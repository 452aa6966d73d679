//! Bottling, and the bottles after it.

use super::read::{count, full_vessel, thing, word};
use super::things::{CLOSURES, bottle_size, done};
use super::{Field, Form, Group, Prepared, Refusal, Takes, Verb, ask, flag};
use crate::cellar::amount::Volume;
use crate::cellar::attention::words;
use crate::cellar::attention::{Answer, GateItem, Holding, Policy};
use crate::cellar::entry::{
    Amount, BottleMove, Draft, FillEvent, Filling, Kind, Posture, Spot, Tasting,
};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::{BottleLot, Wine};
use crate::cellar::thing::{Account, Key, Sort, Thing, Value, field};

/// Bottles rest this long before they are called ready (common practice: two to eight weeks).
const REST_DAYS: i64 = 42;

const RUN: Field = ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run));
const COUNT: Field = flag("count", "How many", "One if left out.", Takes::Count);

pub(super) static START: Verb = Verb {
    name: "bottle start",
    sentence: "Begin to bottle a wine; the bottles are counted one by one, or typed at the end.",
    group: Group::Bottles,
    fields: &[
        ask("from", "From", "Which vessel.", Takes::FullVessel),
        flag(
            "size",
            "Size",
            "Bottle size in mL; 750 if left out.",
            Takes::Number("mL"),
        ),
        flag(
            "closure",
            "Closure",
            "What closes them; cork if left out.",
            Takes::Choice(CLOSURES),
        ),
        flag(
            "mark",
            "Mark",
            "Two characters on cork, cap or tape, to tell the run by.",
            Takes::Text,
        ),
        flag(
            "name",
            "Name",
            "What the bottles are called; the wine's name if left out.",
            Takes::NewName(Sort::Run),
        ),
        flag(
            "filled",
            "Filled",
            "If it is done already: `29`, or `28x750 1x375`.",
            Takes::Text,
        ),
        flag(
            "overrule",
            "Overrule",
            "Why it is bottled though something speaks against it.",
            Takes::Text,
        ),
    ],
    draft: start,
};

fn start(form: &Form, cellar: &Snapshot) -> Result<Prepared, Refusal> {
    let (vessel, wine) = full_vessel(form, "from", cellar)?;
    if let Some(open) = cellar.filling {
        return Err(Refusal::book(
            None,
            format!(
                "{} is still being filled; finish it first with `bottle finish`.",
                cellar.name(open)
            ),
        ));
    }
    let size_ml = bottle_size(form, cellar)?;
    let closure = word(form, "closure", CLOSURES)?.unwrap_or("cork");
    let mark = form.get("mark").unwrap_or_default();
    if mark.chars().count() > 2 {
        return Err(Refusal::input(
            "mark",
            format!("`{mark}` is longer than two characters; it must fit on a cork."),
        ));
    }
    let wine_name = wine
        .main_batch()
        .map_or(vessel.name(), |it| cellar.name(it));
    let name = form
        .get("name")
        .map_or_else(|| free_name(wine_name, cellar), str::to_owned);
    let mut draft = Draft::new(Kind::Bottle, cellar.now);
    let run = draft.begin(Sort::Run, &name);
    draft.subject = Some(vessel.key);
    draft.set(run, field::VESSEL, Value::Int(vessel.key.0));
    draft.set(run, field::SIZE, Value::Int(size_ml));
    draft.set(run, field::CLOSURE, closure);
    if !mark.is_empty() {
        draft.set(run, field::RUN_MARK, mark);
    }
    if let Some(filled) = form.get("filled") {
        draft.fillings = typed_fillings(filled, size_ml, cellar)?;
    }
    let asks = gate(vessel.key, form, cellar)?;
    if let Some(reason) = form.get("overrule") {
        draft.note = format!("overruled: {reason}");
    }
    Ok(Prepared {
        draft,
        sentence: format!("Bottle {name} from {}.", vessel.name()),
        asks,
    })
}

/// What speaks against bottling. What may burst a bottle is refused with its hazard unless a
/// reason is given, which the book keeps; the rest is asked once.
fn gate(vessel: Key, form: &Form, cellar: &Snapshot) -> Result<Vec<String>, Refusal> {
    let policy = Policy::default();
    let Some(holding) = Holding::of(cellar, vessel, &policy) else {
        return Ok(Vec::new());
    };
    let open = holding
        .gate()
        .into_iter()
        .filter(|it| it.answer != Answer::Yes);
    let (bursting, rest): (Vec<GateItem>, Vec<GateItem>) = open.partition(GateItem::risks_bursting);
    let said = |item: &GateItem| {
        let evidence = item.evidence.join(" ");
        format!("{} {evidence} {}", item.question, item.what_to_do)
            .trim()
            .to_owned()
    };
    if let (Some(first), None) = (bursting.first(), form.get("overrule")) {
        return Err(Refusal::book(
            Some("overrule"),
            format!(
                "{} {} Or give --overrule with a reason.",
                said(first),
                first.hazard
            ),
        ));
    }
    let hazard = bursting.first().map(|it| it.hazard.to_owned());
    Ok(bursting
        .iter()
        .chain(&rest)
        .map(said)
        .chain(hazard)
        .collect())
}

/// A second run of one wine is told from the first by a number.
fn free_name(wine: &str, cellar: &Snapshot) -> String {
    let taken = |name: &str| {
        cellar
            .open(Sort::Run)
            .any(|it| it.name().eq_ignore_ascii_case(name))
    };
    let runs = cellar.open(Sort::Run).count();
    let numbered = (2..=runs + 1).map(|n| format!("{wine} {n}"));
    let mut names = std::iter::once(wine.to_owned()).chain(numbered);
    names.find(|it| !taken(it)).unwrap_or_default()
}

/// `29`, `28x750 1x375`, `28×750 + 1×375`.
fn typed_fillings(text: &str, size_ml: i64, cellar: &Snapshot) -> Result<Vec<Filling>, Refusal> {
    let wrong = || {
        Refusal::input(
            "filled",
            format!("`{text}` is no count; write 29, or 28x750 1x375."),
        )
    };
    let mut fillings = Vec::new();
    for part in text.split([' ', '+', ',']).filter(|it| !it.is_empty()) {
        let (count, size) = part.split_once(['x', '×']).unwrap_or((part, ""));
        let count = count
            .parse()
            .ok()
            .filter(|it| (1..=100_000).contains(it))
            .ok_or_else(wrong)?;
        let size_ml = if size.is_empty() {
            size_ml
        } else {
            size.parse()
                .ok()
                .filter(|it| (20..=60_000).contains(it))
                .ok_or_else(wrong)?
        };
        let sequence = fillings.len() as i64 + 1;
        fillings.push(Filling {
            sequence,
            event: FillEvent::Filled,
            size_ml,
            count,
            at_ms: cellar.now.utc_ms,
        });
    }
    if fillings.is_empty() {
        Err(wrong())
    } else {
        Ok(fillings)
    }
}

const LEFT: &[&str] = &["stays", "lees", "drunk", "samples", "spills", "discarded"];

pub(super) static FINISH: Verb = Verb {
    name: "bottle finish",
    sentence: "Finish a bottling: what is left in the vessel, where the bottles stand, how long they rest.",
    group: Group::Bottles,
    fields: &[
        RUN,
        flag(
            "left",
            "What is left",
            "What became of the wine left over; it stays if left out.",
            Takes::Choice(LEFT),
        ),
        flag(
            "into",
            "Or into",
            "The vessel that what is left went into.",
            Takes::Thing(Sort::Vessel),
        ),
        flag(
            "leaving",
            "Lees",
            "What of it is lees, which stay behind.",
            Takes::Volume,
        ),
        flag(
            "rest",
            "Rest days",
            "How long the bottles rest; 42 days if left out.",
            Takes::Count,
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        if run.int(field::FINISHED).is_some() {
            return Err(Refusal::book(
                Some("run"),
                format!("{} is finished already.", run.name()),
            ));
        }
        let bottles = cellar.wine(run.key).map_or(0, Wine::bottle_count);
        if bottles == 0 {
            return Err(Refusal::book(
                Some("run"),
                format!(
                    "no bottle of {} is filled; count some, or undo the start.",
                    run.name()
                ),
            ));
        }
        let mut draft = Draft::new(Kind::Bottle, cellar.now);
        draft.subject = Some(run.key);
        draft.set(run.key, field::FINISHED, Value::Int(cellar.now.utc_ms));
        let rest = count(form, "rest")?.map_or(REST_DAYS, |it| it.0);
        draft.set(
            run.key,
            field::REST_UNTIL,
            Value::Int(cellar.now.plus_days(rest).utc_ms),
        );
        let vessel = run.int(field::VESSEL).map(Key);
        let left = vessel
            .and_then(|it| cellar.wine(it))
            .map_or(Volume::ZERO, |it| it.volume);
        let mut sentence = format!("{} of {}", words::count(bottles, "bottle"), run.name());
        if let Some(vessel) = vessel.filter(|_| left > Volume::ZERO) {
            let lees = super::read::size(form, "leaving", cellar)?;
            let to = match super::read::thing_if_given(form, "into", Sort::Vessel, cellar)? {
                Some(target) => Some(target.key),
                None => word(form, "left", LEFT)?
                    .filter(|it| *it != "stays")
                    .and_then(Account::from_word)
                    .map(Account::key),
            };
            if let Some(to) = to {
                draft.pour(vessel, to, Amount::RestLeaving(lees.unwrap_or_default()));
                let into = if Account::from_key(to).is_some() {
                    ""
                } else {
                    "into "
                };
                let moved = left - lees.unwrap_or_default();
                sentence = format!("{sentence}, {moved} {into}{}", cellar.name(to));
            }
            if lees.is_some() || to.is_some() {
                draft.pour(
                    vessel,
                    Account::Lees.key(),
                    Amount::RestLeaving(Volume::ZERO),
                );
            } else {
                sentence = format!("{sentence}, {left} stays in {}", cellar.name(vessel));
            }
        }
        done(draft, format!("{sentence}."))
    },
};

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
    if wanted > there {
        return Err(Refusal::book(
            Some("count"),
            format!(
                "{there} of {} are there, not {wanted}; if you find more, write them down with `here`.",
                run.name()
            ),
        ));
    }
    let (mut moves, mut left) = (Vec::new(), wanted);
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
