//! The plan of a bottling as a page: to read, and to take into the kitchen.

use leesline_calc::hazards::{SOUR_SULFITE, SULFITE_FUMES};

use super::json;
use super::page::Page;
use crate::cellar::attention::{Answer, GateItem};
use crate::cellar::bottling::{Plan, Read, head, said};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;

const WIDTH: usize = 80;

/// What a plan says, the answer first; `to_tick` puts a box before each line for a pencil.
pub fn page(
    plan: &Plan<'_>,
    (day, gate): (Moment, &[GateItem]),
    cellar: &Snapshot,
    to_tick: bool,
) -> Page {
    let mut page = Page::default();
    let tick = if to_tick { "[ ] " } else { "" };
    page.line(format!("{}: {}", plan.vessel.name(), head(plan)));
    if to_tick {
        page.line(format!(
            "{}, {}",
            cellar.settings().name,
            cellar.now.day_words()
        ));
    }
    page.line("");
    for it in &plan.short {
        page.wrapped("Short       ", &format!("{}.", it.words()), WIDTH);
    }
    for (heading, words) in said(plan, Read::Typed) {
        page.wrapped(&format!("{tick}{heading:<12}"), &words, WIDTH);
    }
    page.line("");
    if day.days_since(cellar.now) > 0 {
        page.line(format!("If it is bottled on {}:", day.day_words()));
    }
    questions(&mut page, gate);
    for hazard in [plan.package.hazard(), SOUR_SULFITE, SULFITE_FUMES] {
        page.wrapped("! ", hazard.short, WIDTH);
    }
    page
}

/// What is not a yes says what speaks against it and what to do; what may burst a bottle says so once, at the end.
fn questions(page: &mut Page, gate: &[GateItem]) {
    for item in gate {
        let (sign, words) = match item.answer {
            Answer::Yes => ("yes", item.evidence.join(" ")),
            Answer::No => ("NO", against(item)),
            Answer::NotKnown => ("not known", against(item)),
        };
        page.wrapped(
            &format!("{sign:<11}"),
            &format!("{} {words}", item.question),
            WIDTH,
        );
        if let Some(suggestion) = &item.suggestion {
            let besides = json::besides(suggestion);
            let besides = besides.map_or(String::new(), |it| format!(", {it}"));
            let command = format!("`{}`{besides}", json::command_line(suggestion));
            page.wrapped("           ", &command, WIDTH);
        }
    }
    if let Some(item) = gate.iter().find(|it| it.risks_bursting()) {
        page.line("");
        page.wrapped("! ", item.hazard, WIDTH);
    }
}

fn against(item: &GateItem) -> String {
    format!("{} {}", item.evidence.join(" "), item.what_to_do)
}
