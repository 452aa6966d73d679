//! Below the vessels: the bottles, the cellar round, and whether the sulfite will last.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::cellar::entry::{Dose, Posture};
use crate::cellar::thing::{Sort, field};
use crate::tui::message::Facts;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;
use crate::tui::words;

/// Its lines: none on a very low screen, one on a low one.
pub(super) fn lines(facts: &Facts, theme: Theme, cells: usize, height: u16) -> Vec<Line<'static>> {
    if height < 6 {
        return Vec::new();
    }
    let said = |label: &str, words: String| {
        let words = text::cut(&words, cells.saturating_sub(label.len() + 3));
        Line::from(vec![
            Span::styled(format!(" {label}  "), theme.strong()),
            Span::raw(words),
        ])
    };
    let mut lines = Vec::new();
    let bottles = bottles(facts);
    if !bottles.is_empty() {
        lines.push(said("Bottles", bottles.join(" · ")));
    }
    let mut cellar: Vec<String> = sulfite(facts).into_iter().collect();
    cellar.push(round(facts));
    lines.push(said("Cellar ", cellar.join(" · ")));
    if height < 9 {
        lines.truncate(1);
    }
    lines
}

pub(super) fn draw(lines: Vec<Line<'static>>, area: Rect, buf: &mut Buffer) {
    for (at, line) in lines.into_iter().enumerate() {
        text::put(buf, area, at, line);
    }
}

/// Each run of bottles on hand in a few words: `Regent 25: 29 standing`.
fn bottles(facts: &Facts) -> Vec<String> {
    let now = facts.cellar.now;
    let runs = facts.cellar.open(Sort::Run).filter_map(|run| {
        let wine = facts.cellar.wine(run.key)?;
        let count = wine.bottle_count();
        let standing = wine
            .bottles
            .iter()
            .filter(|it| it.posture == Posture::Standing);
        let standing: i64 = standing.map(|it| it.count).sum();
        let rests = run
            .int(field::REST_UNTIL)
            .map(|it| now.at(it))
            .filter(|it| *it > now);
        let state = match rests {
            _ if standing == count => "standing".to_owned(),
            Some(until) => format!("resting to {}", until.date().format("%-d %b")),
            None => "laid down".to_owned(),
        };
        (count > 0).then(|| format!("{}: {count} {state}", run.name()))
    });
    runs.collect()
}

/// How much metabisulfite there is, of all lots in use.
fn sulfite(facts: &Facts) -> Option<String> {
    let lots = facts
        .cellar
        .open(Sort::Supply)
        .filter(|it| it.text(field::SUBSTANCE).ends_with("metabisulfite"));
    let left: Vec<f64> = lots
        .filter_map(|it| match facts.cellar.stock(it.key)?.left? {
            Dose::Mass(mass) => Some(mass.in_grams()),
            Dose::Volume(_) | Dose::Count(_) => None,
        })
        .collect();
    if left.is_empty() {
        return None;
    }
    let left: f64 = left.iter().sum();
    let vessels = facts.vessels.iter().filter_map(|it| facts.cellar.wine(*it));
    let litres: f64 = vessels.map(|it| it.volume.in_litres().max(0.0)).sum();
    let doses = left / (litres * facts.policy.next_dose_g_l);
    let lasts = if doses.is_finite() {
        format!(", {doses:.0} usual doses of all vessels")
    } else {
        String::new()
    };
    Some(format!("sulfite {left:.0} g{lasts}"))
}

fn round(facts: &Facts) -> String {
    let now = facts.cellar.now;
    match facts.cellar.last_round_ms {
        Some(last) => format!(
            "cellar round {}, R writes one",
            words::due(now.at(last), now)
        ),
        None => "no cellar round yet, R writes one".to_owned(),
    }
}
