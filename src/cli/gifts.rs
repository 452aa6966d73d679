//! `gifts`: who was given bottles.

use serde_json::{Value, json as value};

use crate::cellar::entry::Kind;
use crate::cellar::gifts;
use crate::exchange::json;
use crate::exchange::page::Page;
use crate::store::{Filter, Listed};

use super::bottles::{given, text};
use super::failure::Failure;
use super::session::Opened;
use super::{LISTS, Own, Said};

pub(super) static GIFTS: Own = Own {
    name: "gifts",
    sentence: "List who was given bottles, when last, and how many came back.",
    heading: LISTS,
    arguments: |it| it.arg(text("whom", "NAME", "Only this person.")),
    run: |session, matches| {
        let opened = session.open()?;
        let entries = living(&opened, &[Kind::Give, Kind::Back])?;
        let mut found = gifts::gifts(entries.iter().map(|it| &it.entry.draft));
        if let Some(whom) = given(matches, "whom") {
            found.retain(|it| it.whom.to_lowercase() == whom.trim().to_lowercase());
        }
        let cellar = &opened.cellar;
        let last = |it: &gifts::Gift| (it.last_ms > i64::MIN).then_some(it.last_ms);
        if session.json {
            let gifts = found.iter().map(|it| {
                value!({
                    "whom": (!it.whom.is_empty()).then_some(&it.whom),
                    "run": json::reference(it.run, cellar),
                    "given_count": it.given,
                    "back_count": it.back,
                    "last": json::time_if(last(it), cellar),
                })
            });
            let mut document = json::heading(cellar);
            document.put("gifts", gifts.collect::<Vec<Value>>());
            return Ok(Said::json(&document.value()));
        }
        let mut page = Page::default();
        if found.is_empty() {
            page.line("No bottle was given by the book.");
        }
        let rows: Vec<Vec<String>> = found
            .iter()
            .map(|it| {
                let whom = if it.whom.is_empty() {
                    "somebody"
                } else {
                    &it.whom
                };
                vec![
                    whom.to_owned(),
                    format!("{} of {}", it.given, cellar.name(it.run)),
                    last(it).map_or_else(String::new, |it| cellar.now.at(it).day_words()),
                    match it.back {
                        0 => String::new(),
                        back => format!("{back} back"),
                    },
                ]
            })
            .collect();
        page.rows(&rows);
        Ok(page.into())
    },
};

/// The living entries of some kinds.
pub(super) fn living(opened: &Opened, kinds: &[Kind]) -> Result<Vec<Listed>, Failure> {
    let mut entries = Vec::new();
    for kind in kinds {
        entries.extend(opened.store.entries(&Filter {
            kind: Some(*kind),
            living: true,
            ..Filter::default()
        })?);
    }
    Ok(entries)
}
