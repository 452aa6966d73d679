//! Corkers: how each is set.

use leesline_calc::quantity::Quantity;

use super::here::bottle_size;
use super::read::number;
use super::things::done;
use super::{Form, Group, Refusal, Takes, Verb, ask, flag};
use crate::cellar::corkers::{self, Setting};
use crate::cellar::entry::{Draft, Kind};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Sort, Value, field};

pub(super) static CORKER: Verb = Verb {
    name: "corker",
    sentence: "Write down how a corker is set for a cork and a bottle.",
    group: Group::Bottles,
    fields: &[
        ask(
            "name",
            "Corker",
            "What it is called; a new name is a new corker.",
            Takes::Text,
        ),
        flag(
            "setting",
            "Set to",
            "As the corker has it: `3`, `2 mm proud`.",
            Takes::Text,
        ),
        flag(
            "cork",
            "Cork",
            "Length of the cork it is for, in mm; any if left out.",
            Takes::Number("mm"),
        ),
        flag(
            "size",
            "Bottle",
            "Size of the bottle it is for, in mL; any if left out.",
            Takes::Number("mL"),
        ),
        flag("retire", "Retire", "It is no longer used.", Takes::Flag),
    ],
    draft: |form, cellar| {
        let name = form.get("name").unwrap_or_default();
        let known = cellar
            .open(Sort::Corker)
            .find(|it| it.name().eq_ignore_ascii_case(name));
        let mut draft = Draft::new(Kind::Corker, cellar.now);
        if form.get("retire").is_some() {
            let Some(known) = known else {
                return Err(Refusal::input(
                    "name",
                    format!("no corker is called {name}."),
                ));
            };
            draft.subject = Some(known.key);
            draft.set(known.key, field::CLOSED, Value::Int(cellar.now.utc_ms));
            return done(draft, format!("Retire {}.", known.name()));
        }
        let setting = setting(form, cellar)?;
        let words = setting.words();
        let key = known.map_or_else(|| draft.begin(Sort::Corker, name), |it| it.key);
        draft.subject = Some(key);
        let before = known.map_or("", |it| it.text(field::CORKER_SETTINGS));
        let lines = corkers::with(corkers::settings(before), setting);
        draft.set(key, field::CORKER_SETTINGS, lines.as_str());
        done(draft, format!("Set {name} to {words}."))
    },
};

fn setting(form: &Form, cellar: &Snapshot) -> Result<Setting, Refusal> {
    let at = form
        .get("setting")
        .ok_or_else(|| Refusal::input("setting", "How is it set? Say it with --setting."))?;
    let whole = |it: f64| it.round() as i64;
    Ok(Setting {
        cork_mm: number(form, "cork", Quantity::Length, (20.0, 60.0), cellar)?.map(whole),
        bottle_ml: bottle_size(form, cellar)?,
        at: at.to_owned(),
    })
}
