//! When bottles are to be drunk, where a person knows better than the estimate.

use chrono::NaiveTime;
use leesline_calc::ageing::STYLE_WORDS;

use super::read::{thing, word};
use super::things::done;
use super::{Field, Form, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::dates;
use crate::cellar::entry::{Change, Draft, Kind};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Sort, Value, field};

const OPENS: Field = flag(
    "opens",
    "Opens",
    "From when on they may be drunk: `2028`, `Mar 2028`, a day.",
    Takes::Text,
);
const CLOSES: Field = flag(
    "closes",
    "Closes",
    "By when they should be drunk.",
    Takes::Text,
);

pub(super) static WINDOW: Verb = Verb {
    name: "window",
    sentence: "Say when bottles are to be drunk, or what style of wine to reckon it from.",
    group: Group::Bottles,
    fields: &[
        ask("run", "Bottles", "Which bottles.", Takes::Thing(Sort::Run)),
        OPENS,
        CLOSES,
        flag(
            "style",
            "Style",
            "What the estimate is reckoned from.",
            Takes::Choice(STYLE_WORDS),
        ),
        flag(
            "anew",
            "Reckon anew",
            "Forget what was said before, and reckon it.",
            Takes::Flag,
        ),
    ],
    draft: |form, cellar| {
        let run = thing(form, "run", Sort::Run, cellar)?;
        let mut draft = Draft::new(Kind::Batch, cellar.now);
        draft.subject = Some(run.key);
        if form.get("anew").is_some() {
            for name in [field::WINDOW_OPENS, field::WINDOW_CLOSES, field::STYLE] {
                draft.changes.push(Change {
                    thing: run.key,
                    field: name.to_owned(),
                    value: None,
                });
            }
        }
        let (opens, closes) = (day(form, &OPENS, cellar)?, day(form, &CLOSES, cellar)?);
        if let (Some(opens), Some(closes)) = (opens, closes)
            && closes <= opens
        {
            return Err(Refusal::input(
                "closes",
                "it would close before it opens; give a later end.",
            ));
        }
        for (name, day) in [(field::WINDOW_OPENS, opens), (field::WINDOW_CLOSES, closes)] {
            if let Some(day) = day {
                draft.set(run.key, name, Value::Int(day.utc_ms));
            }
        }
        if let Some(style) = word(form, "style", STYLE_WORDS)? {
            draft.set(run.key, field::STYLE, style);
        }
        if draft.changes.is_empty() {
            return Err(Refusal::input(
                "opens",
                "When? Give --opens, --closes, or a --style to reckon it from.",
            ));
        }
        done(draft, format!("When to drink {}.", run.name()))
    },
};

/// The day said, at noon: of a span its first to open, its last to close.
fn day(form: &Form, of: &Field, cellar: &Snapshot) -> Result<Option<Moment>, Refusal> {
    let Some(text) = form.get(of.key) else {
        return Ok(None);
    };
    let wrong = || {
        Refusal::input(
            of.key,
            format!("`{text}` is no day to come or gone; write 2028, Mar 2028, or 2028-03-15."),
        )
    };
    let meant = dates::meant(&text.to_lowercase(), cellar.now.date()).ok_or_else(wrong)?;
    let day = if of.key == OPENS.key {
        meant.first
    } else {
        meant.last
    };
    let noon = NaiveTime::from_hms_opt(12, 0, 0).unwrap_or_default();
    let (moment, _) = cellar
        .settings()
        .zone
        .wall(day.and_time(noon))
        .map_err(|it| Refusal::input(of.key, it.to_string()))?;
    Ok(Some(moment))
}
