//! Below the vessels: the bottles, the cellar round, and whether the sulfite will last.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Holding, round_due, withheld};
use crate::cellar::entry::Posture;
use crate::cellar::supplies::SulfiteGlance;
use crate::cellar::telling;
use crate::cellar::thing::field;
use crate::tui::message::Facts;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;
use crate::tui::words;

/// Its lines: none on a very low screen, one on a low one.
pub(super) fn lines(facts: &Facts, theme: Theme, cells: usize, height: u16) -> Vec<Line<'static>> {
    if height < 6 {
        return Vec::new();
    }
    let room = cells.saturating_sub(10);
    let said = |label: &str, words: String| {
        let words = text::cut(&words, room);
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
    lines.push(said("Cellar ", cellar(facts, room)));
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

/// Runs named at most.
const RUNS: usize = 8;

/// Runs of bottles on hand in a few words each: `Regent 25: 29 standing`.
fn bottles(facts: &Facts) -> Vec<String> {
    let now = facts.cellar.now;
    let shown = facts.runs.iter().take(RUNS);
    let mut said: Vec<String> = shown
        .filter_map(|key| {
            let (run, wine) = (facts.cellar.thing(*key)?, facts.cellar.wine(*key)?);
            let count = wine.bottle_count();
            let kept = |posture: Posture| {
                let lots = wine.bottles.iter().filter(|it| it.posture == posture);
                lots.map(|it| it.count).sum::<i64>()
            };
            let standing = telling::posture_words(run.text(field::CLOSURE), Posture::Standing);
            let rests = run.int(field::REST_UNTIL).map(|it| now.at(it));
            let withheld = || withheld(&Holding::of(&facts.cellar, *key, &facts.policy)?);
            let state = match rests.filter(|it| *it > now) {
                _ if let Some(why) = withheld() => why.to_owned(),
                _ if kept(Posture::Standing) == count && count > 0 => standing.to_owned(),
                Some(until) => format!("resting to {}", until.date().format("%-d %b")),
                None if kept(Posture::Lying) > 0 => "laid down".to_owned(),
                None => String::new(),
            };
            let count = match (count, wine.about) {
                (0, _) => "not counted,".to_owned(),
                (_, true) => format!("~{count}"),
                (_, false) => count.to_string(),
            };
            let said = format!("{}: {count} {state}", run.name());
            Some(said.trim_end_matches([' ', ',']).to_owned())
        })
        .collect();
    if facts.runs.len() > RUNS {
        said.push(format!("and {} more", facts.runs.len() - RUNS));
    }
    said
}

/// The round, and what sulfite there is: the key of the round only where there is room for all of it.
fn cellar(facts: &Facts, room: usize) -> String {
    let sulfite = facts.sulfite.as_ref().map(SulfiteGlance::words);
    let with = |round: String| match &sulfite {
        Some(sulfite) => format!("{round} · {sulfite}"),
        None => round,
    };
    let all = with(format!("{}, R writes one", round(facts)));
    if text::width(&all) <= room {
        all
    } else {
        with(round(facts))
    }
}

fn round(facts: &Facts) -> String {
    let now = facts.cellar.now;
    facts.cellar.last_round_ms.map_or_else(
        || {
            let due = round_due(&facts.cellar, &facts.policy).filter(|it| *it > now);
            due.map_or("no cellar round yet".to_owned(), |it| {
                format!("first cellar round due {}", it.date().format("%-d %b"))
            })
        },
        |last| format!("cellar round {}", words::due(now.at(last), now)),
    )
}
