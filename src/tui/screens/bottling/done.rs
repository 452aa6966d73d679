//! The sum: where every microlitre went, and what comes next.

use leesline_calc::hazards::OVERRULED;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use super::page::Page;
use super::tally;
use crate::cellar::amount::Volume;
use crate::cellar::bottling::{Closure, Package, Sum};
use crate::cellar::moment::Moment;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::{Key, Thing, field, must_stay_moist};
use crate::cellar::window::bottled;
use crate::tui::message::{Ask, Effect, Told};
use crate::tui::widgets::scroll::Paged;
use crate::tui::widgets::text;

/// What the vessel held before, by the book as it stood then.
#[derive(Default)]
pub(super) struct Done {
    asked: Option<Moment>,
    before: Option<Volume>,
    pub(super) paged: Paged,
}

impl Done {
    /// Asks for the cellar just before a run was filled.
    pub(super) fn asking(run: Key, told: &[Told]) -> (Done, Option<Ask>) {
        let filled_by = tally::filled_by(run, told).map(|it| &it.entry);
        let asked = filled_by.map(|it| it.draft.when);
        let look = filled_by.map(|it| {
            Ask::Do(Effect::LookBack {
                then: it.draft.when,
                without: Some(Box::new(it.clone())),
            })
        });
        let done = Done {
            asked,
            ..Done::default()
        };
        (done, look)
    }

    /// The cellar as it was before.
    pub(super) fn past(&mut self, past: &Snapshot, vessel: Option<Key>) {
        if self.asked == Some(past.now) {
            let wine = vessel.and_then(|it| past.wine(it));
            self.before = Some(wine.map_or(Volume::ZERO, |it| it.volume));
        }
    }

    pub(super) fn sum(&self, run: &Thing, told: &[Told], cellar: &Snapshot) -> Option<Sum> {
        // Oldest first: the bottles before what became of the rest.
        let told = told.iter().rev().map(|it| (&it.entry, &it.flows[..]));
        Sum::of(run, self.before?, told, cellar)
    }

    pub(super) fn view(
        &self,
        run: &Thing,
        told: &[Told],
        page: &Page<'_>,
        area: Rect,
        buf: &mut Buffer,
    ) {
        let (facts, theme) = (page.facts, page.theme);
        let hint = "Enter or Space goes to the board.";
        let inner = page.frame(run.name(), hint, area, buf);
        let cells = usize::from(inner.width).min(72);
        let litres = |volume: Volume| format!("{:.3} L", volume.in_litres());
        let line = |name: &str, volume: Volume, style| {
            let said = litres(volume);
            let name = text::fit(&format!("   {name}"), cells.saturating_sub(said.len()));
            Line::from(Span::styled(format!("{name}{said}"), style))
        };
        let mut lines = vec![Line::default()];
        if let Some(sum) = self.sum(run, told, &facts.cellar) {
            let vessel = run.int(field::VESSEL).map(Key);
            let vessel = vessel.map_or("", |it| facts.cellar.name(it));
            for (at, (name, volume)) in sum.rows(vessel).iter().enumerate() {
                let style = if at == 0 {
                    theme.strong()
                } else {
                    theme.text()
                };
                lines.push(line(name, *volume, style));
            }
            if sum.adds_up() {
                let adds = "   It adds up.";
                lines.push(Line::from(Span::styled(adds, theme.good())));
            }
        }
        if tally::is_overruled(run.key, told) && !Package::of(run).keeps_part_full() {
            lines.push(Line::default());
            lines.extend(Page::wrapped(OVERRULED.sentence, 3, theme.warn(), inner));
        }
        for sentence in next(run, page) {
            lines.push(Line::default());
            lines.extend(Page::wrapped(&sentence, 3, theme.text(), inner));
        }
        self.paged.draw(lines, theme, inner, buf);
    }
}

/// The last of the evening (common practice).
const TIDY_UP: &str =
    "Tidy up now: rinse hose, filler and the empty vessel before wine dries in them.";

/// What comes next.
fn next(run: &Thing, page: &Page<'_>) -> Vec<String> {
    let now = page.facts.cellar.now;
    let mut sentences = Vec::new();
    let closure = run.text(field::CLOSURE);
    let package = Package::of(run);
    if package.keeps_part_full() {
        sentences.push(package.hazard().sentence.to_owned());
    } else if must_stay_moist(closure) {
        let stand = page.facts.policy.stand_days as i64;
        let filled = bottled(run.key, &page.facts.cellar).unwrap_or(now);
        let date = filled.plus_days(stand).local().format("%a %-d %b");
        sentences.push(format!(
            "Wipe them dry, stand them upright two or three days and watch the corks; then lay them down. The board says so from {date} on."
        ));
    } else {
        sentences.push(format!(
            "They may stand: only corks are laid down, and these are closed by {}.",
            Closure::said(closure)
        ));
    }
    if let Some(until) = run.int(field::REST_UNTIL) {
        let until = now.at(until).day_words();
        sentences.push(format!(
            "They rest until {until}; the calendar has the day."
        ));
    }
    sentences.push(TIDY_UP.to_owned());
    sentences
}
