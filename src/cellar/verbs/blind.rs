//! A blind tasting: begun, tasted by letter, revealed.

use super::looking::{MOST_SCORE, POINTS, SHEET, TASTED, drawn, marks};
use super::read::number;
use super::things::done;
use super::{Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::entry::{Draft, Kind, Tasting};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::tasting::Marks;
use crate::cellar::tasting::blind::{self, Flight};
use crate::cellar::thing::{CELLAR, Key, Sort};

/// More wines than this have no letter.
const MOST: usize = 26;

/// The letters that come first.
const LETTERS: &[&str] = &["A", "B", "C", "D", "E", "F", "G", "H"];

pub(super) static START: Verb = Verb {
    name: "blind start",
    sentence: "Begin a blind tasting: the wines get letters in an order that chance decides.",
    group: Group::Looking,
    fields: &[ask(
        "wines",
        "Wines",
        "Two or more vessels or bottles, with semicolons between: `Carboy A; Plum 25`.",
        Takes::Wines,
    )],
    draft: |form, cellar| {
        let typed = form.get("wines").unwrap_or_default().split(';');
        let names = typed.map(str::trim).filter(|it| !it.is_empty());
        let places: Vec<Key> = names.map(|it| wine(it, cellar)).collect::<Result<_, _>>()?;
        // The moment is the seed: nobody foresees its milliseconds.
        let flight = Flight::shuffled(&places, cellar.now.utc_ms as u64);
        let many = flight.places.len();
        if !(2..=MOST).contains(&many) {
            return Err(Refusal::input(
                "wines",
                format!("A blind tasting has 2 to {MOST} wines, and {many} were named."),
            ));
        }
        let mut draft = Draft::new(Kind::Note, cellar.now);
        draft.subject = Some(CELLAR);
        draft.note = format!("blind tasting of {many} wines begun");
        flight.begin(&mut draft);
        let letters: Vec<String> = flight.letters().collect();
        done(
            draft,
            format!(
                "Blind tasting begun: wines {}. Whoever pours asks `leesline blind who`; the others look away. Each sample is drawn as it is tasted, so leave levels and forecasts unread until `leesline blind reveal`: a sharp eye would see which wine it was.",
                letters.join(", ")
            ),
        )
    },
};

pub(super) static TASTE: Verb = Verb {
    name: "blind taste",
    sentence: "Write down how a wine of the blind tasting tastes, by its letter.",
    group: Group::Looking,
    fields: &[
        ask(
            "letter",
            "Letter",
            "Under which it is poured: A, B, C. Its sample is drawn at once: a level that changes may give it away.",
            Takes::Suggest(LETTERS),
        ),
        flag("words", "Words", "In your own words.", Takes::Words),
        flag(
            "score",
            "Score",
            "A number on your own scale, from 0 to 100.",
            Takes::Number(""),
        ),
        SHEET,
        POINTS,
        TASTED,
    ],
    draft: |form, cellar| {
        let flight = under_way(cellar)?;
        let letter = form.get("letter").unwrap_or_default();
        let place = flight.wine(letter).ok_or_else(|| {
            let letters: Vec<String> = flight.letters().collect();
            Refusal::input(
                "letter",
                format!(
                    "No wine is poured as `{letter}`; there are {}.",
                    letters.join(", ")
                ),
            )
        })?;
        let quantity = leesline_calc::quantity::Quantity::Number;
        let score = number(form, "score", quantity, (0.0, MOST_SCORE), cellar)?;
        let marks = marks(form)?;
        let score = marks.as_ref().map(Marks::sum).or(score);
        let words = form.get("words").unwrap_or_default().to_owned();
        if words.is_empty() && score.is_none() {
            return Err(Refusal::input(
                "words",
                "How does it taste? A few words will do.",
            ));
        }
        let mut draft = Draft::new(Kind::Taste, cellar.now);
        // Not said: it would tell a vessel from a bottle.
        drawn(&mut draft, place, form, cellar)?;
        draft.tastings.push(Tasting {
            place,
            words,
            score,
            sheet: blind::sheet(letter, marks.as_ref()),
        });
        done(
            draft,
            format!("Taste wine {}.", letter.trim().to_uppercase()),
        )
    },
};

pub(super) static REVEAL: Verb = Verb {
    name: "blind reveal",
    sentence: "End the blind tasting and say which wine was which.",
    group: Group::Looking,
    fields: &[],
    draft: |_, cellar| {
        let flight = under_way(cellar)?;
        let mut draft = Draft::new(Kind::Note, cellar.now);
        draft.subject = Some(CELLAR);
        draft.note = format!("blind tasting revealed: {}", flight.revealed(cellar));
        Flight::end(&mut draft);
        let said = format!("{}.", flight.revealed(cellar));
        done(draft, said)
    },
};

/// Whether a blind tasting may be begun, or tasted and revealed, now: that is known before anything is typed.
pub(super) fn is_its_turn(verb: &Verb, cellar: &Snapshot) -> Result<(), Refusal> {
    match verb.name {
        "blind start" if Flight::of(cellar).is_some() => Err(Refusal::book(
            Some("wines"),
            "a blind tasting is under way; `leesline blind reveal` ends it.",
        )),
        "blind taste" | "blind reveal" => under_way(cellar).map(|_| ()),
        _ => Ok(()),
    }
}

fn under_way(cellar: &Snapshot) -> Result<Flight, Refusal> {
    Flight::of(cellar).ok_or_else(|| {
        Refusal::book(
            None,
            "no blind tasting is under way; `leesline blind start` begins one.",
        )
    })
}

/// The vessel that holds wine, or the run with bottles, of that name.
fn wine(name: &str, cellar: &Snapshot) -> Result<Key, Refusal> {
    let found = cellar
        .find(Sort::Vessel, name)
        .or_else(|unknown| cellar.find(Sort::Run, name).map_err(|_| unknown))
        .map_err(|it| Refusal::input("wines", it.to_string()))?;
    if cellar.wine(found.key).is_none() {
        return Err(Refusal::book(
            Some("wines"),
            format!("{} holds nothing to taste.", found.name()),
        ));
    }
    Ok(found.key)
}
