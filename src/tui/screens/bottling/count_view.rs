//! The count, read from the door: large digits, and beside them what is left and how long it takes.

use leesline_calc::hazards::OVERRULED;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use super::count::{Asked, Count, to_fill};
use super::page::Page;
use super::tally;
use crate::cellar::amount::Volume;
use crate::cellar::attention::words;
use crate::cellar::bottling::{
    Closure, Fill, Package, Tally, beyond, corker_words, fits, found_by, height_of, other_mouth,
    still_there, to_go,
};
use crate::cellar::snapshot::Snapshot;
use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Thing, field};
use crate::tui::commands::{self, Id, Place};
use crate::tui::message::Told;
use crate::tui::theme::Theme;
use crate::tui::widgets::{digits, footer, text};

/// From so many rows on there is room for the keys that the footer has none for.
const TALL: u16 = 20;
/// Columns of what stands beside the digits.
const BESIDE: u16 = 26;

pub(super) fn view(
    run: Key,
    count: &Count,
    told: &[Told],
    page: &Page<'_>,
    area: Rect,
    buf: &mut Buffer,
) -> Option<Position> {
    let (facts, theme) = (page.facts, page.theme);
    let run = facts.cellar.thing(run)?;
    let vessel = run.int(field::VESSEL).map(Key);
    let bottles = facts.cellar.wine(run.key).map_or(0, Wine::bottle_count);
    let left = to_fill(run, &facts.cellar);
    let tally = Tally::of(tally::fillings(run.key, told));
    let ahead = Ahead::of(run, count.size_ml, left, &tally, &facts.cellar);
    let filled_by = tally::filled_by(run.key, told);
    let found = filled_by.map_or(Volume::ZERO, |it| found_by(&it.entry.draft, &it.flows));
    let hint = match count.asked {
        Some((Asked::Many, _)) => "Type the number, then Enter. Esc leaves it.",
        Some(_) => "Enter takes it; so does Space until you type. Esc leaves it.",
        None if found > Volume::ZERO => &beyond(
            found,
            vessel.map_or("", |it| facts.cellar.name(it)),
            "Backspace takes it back",
        ),
        None if bottles > 0 && ahead.now == 0 => &full(run, left, count.size_ml, &ahead),
        None => &format!(
            "Space when a {} is full and closed. Enter after the last. A key held down counts once.{}",
            Package::of(run).label(),
            other_keys(area)
        ),
    };
    let of = format!(
        "{} from {}",
        run.name(),
        vessel.map_or("", |it| facts.cellar.name(it))
    );
    let inner = page.frame(&of, hint, area, buf);

    let asked_rows = if count.asked.is_some() { 3 } else { 0 };
    let cautions = cautions(run, count, told, bottles, page, inner);
    let foot = (cautions.len() + asked_rows) as u16;
    let main = Rect {
        y: inner.y + 1.min(inner.height),
        height: inner.height.saturating_sub(foot + 2),
        ..inner
    };
    let left_of = Rect {
        x: main.x + 3.min(main.width),
        width: main.width.saturating_sub(BESIDE + 4),
        ..main
    };
    // As large as the last bottle's number lets them be, so that they keep their size to the end.
    let most = bottles + ahead.now + ahead.then.iter().map(|it| it.bottles).sum::<i64>();
    let columns = digits::draw(bottles, most, theme.strong(), left_of, buf);
    let beside = Rect {
        x: left_of.x + columns.min(left_of.width) + 1,
        width: main
            .right()
            .saturating_sub(left_of.x + columns.min(left_of.width) + 1),
        ..main
    };
    let lines = beside_lines(run, count, &tally, (bottles, left), &ahead, page);
    Page::lines(lines, 0, beside, buf);

    let below = Rect {
        y: inner.bottom().saturating_sub(foot),
        height: foot.min(inner.height),
        ..inner
    };
    let mut cursor = None;
    let mut row = 0;
    if let Some((_, fields)) = &count.asked {
        (row, cursor) = fields.view(0, usize::MAX, theme, below, buf);
    }
    Page::lines(cautions, row.max(asked_rows), below, buf);
    cursor
}

/// What to mind, at the foot: of what presses, and of how the bottles are closed.
fn cautions(
    run: &Thing,
    count: &Count,
    told: &[Told],
    bottles: i64,
    page: &Page<'_>,
    area: Rect,
) -> Vec<Line<'static>> {
    let (cellar, theme) = (&page.facts.cellar, page.theme);
    let mut lines = Page::wrapped(caution(run, told), 2, theme.warn(), area);
    let closure = Closure::of(run);
    let misfit = closure.and_then(|it| fits(Package::of(run), count.size_ml, it, cellar));
    // Bottles that are closed in another way have no corks to look at.
    let (corks, in_short) = match &misfit {
        Some(misfit) => (
            format!("! {}", misfit.sentence),
            format!("! {}", misfit.short),
        ),
        None => (corks(run, count, page), short_of_corks(run, count, page)),
    };
    // Two are in: what was advice is now in the way of the third.
    let style = if bottles < 2 && misfit.is_none() {
        theme.strong()
    } else {
        theme.warn()
    };
    let mut corks = Page::wrapped(&corks, 2, style, area);
    // On a small screen the digits need the room.
    if corks.len() > 1 && area.height < LOW {
        corks = Page::wrapped(&in_short, 2, style, area);
    }
    lines.extend(corks);
    lines
}

/// The keys of the count that the footer has no room for; on the smallest screen the digits need it.
fn other_keys(area: Rect) -> String {
    if area.height < TALL {
        return String::new();
    }
    let shown = footer::shown(Place::Count, |_| None, usize::from(area.width));
    let is_shown = |id: Id| shown.iter().any(|it| it.0.id == id);
    let others: Vec<String> = commands::at(Place::Count)
        .filter(|it| it.places == [Place::Count] && !is_shown(it.id))
        .map(|it| format!("{} {}", it.keys[0], it.name))
        .collect();
    match others.as_slice() {
        [] => String::new(),
        others => format!(" Also {}.", others.join(", ")),
    }
}

/// What to do once what is left fills no more of that size.
fn full(run: &Thing, left: Volume, size_ml: i64, ahead: &Ahead) -> String {
    let package = Package::of(run);
    if let [next, ..] = ahead.then.as_slice() {
        return format!(
            "By the book all of {} that were there are filled: s takes {}.",
            package.size_words(size_ml),
            package.size_words(next.size_ml)
        );
    }
    if left <= Volume::ZERO {
        return "All is filled: Enter goes on to the finish.".to_owned();
    }
    format!(
        "{left} fills no {} of {} more: Enter goes on to the finish, s takes another size.",
        package.label(),
        package.size_words(size_ml)
    )
}

/// What is still to be filled.
struct Ahead {
    /// Of the size at hand.
    now: i64,
    /// Of smaller ones after them, where too few of that size are on hand.
    then: Vec<Fill>,
}

impl Ahead {
    fn of(run: &Thing, size_ml: i64, left: Volume, tally: &Tally, cellar: &Snapshot) -> Ahead {
        let all = to_go(run, left, &tally.standing, cellar);
        let then: Vec<Fill> = all
            .iter()
            .filter(|it| it.size_ml < size_ml)
            .copied()
            .collect();
        let is_mixed = run.int(field::SIZE) == Some(size_ml) && !then.is_empty();
        if is_mixed {
            let now = all.iter().find(|it| it.size_ml == size_ml);
            return Ahead {
                now: now.map_or(0, |it| it.bottles),
                then,
            };
        }
        Ahead {
            now: left.0.max(0) / Volume::millilitres(size_ml.max(1)).0,
            then: Vec::new(),
        }
    }
}

fn beside_lines(
    run: &Thing,
    count: &Count,
    tally: &Tally,
    (bottles, left): (i64, Volume),
    ahead: &Ahead,
    page: &Page<'_>,
) -> Vec<Line<'static>> {
    let theme = page.theme;
    let to_go = ahead.now;
    let mark = match run.text(field::RUN_MARK) {
        "" => String::new(),
        mark => format!(", mark {mark}"),
    };
    let package = Package::of(run);
    let what = if bottles == 1 { "" } else { "s" };
    let what = format!("{}{what}", package.label());
    let size = package.size_words(count.size_ml);
    let mut lines = vec![
        Line::from(Span::styled(what, theme.strong())),
        labelled("to go", &format!("{to_go} of {size}"), theme),
    ];
    lines.extend(too_few(run, count.size_ml, to_go, page));
    for next in &ahead.then {
        let size = package.size_words(next.size_ml);
        lines.push(labelled(
            "then",
            &format!("{} of {size}", next.bottles),
            theme,
        ));
    }
    lines.push(labelled("left", &left.to_string(), theme));
    let lip = height_of(run, &page.facts.cellar).and_then(|it| it.below_lip_mm);
    lines.extend(lip.map(|it| labelled("fill", &format!("{it} mm below lip"), theme)));
    if let Some(pace) = tally.pace_ms {
        let seconds = (pace + 500) / 1_000;
        lines.push(labelled(
            "pace",
            &format!("{} a {}", span(seconds), package.label()),
            theme,
        ));
        // From the last bottle on: while nobody fills, the end moves with the clock.
        let now = page.facts.cellar.now;
        let done = now.at(now.utc_ms + to_go * pace);
        if to_go > 0 {
            let at = done.local().format("~%H:%M").to_string();
            lines.push(labelled("done", &at, theme));
        }
    }
    lines.push(Line::default());
    let cellar = &page.facts.cellar;
    let closure = match other_mouth(package, count.size_ml, Closure::of(run), cellar) {
        Some(_) => String::new(),
        None => format!(", {}", Closure::said(run.text(field::CLOSURE))),
    };
    lines.push(Line::from(Span::styled(
        format!("{size}{closure}{mark}"),
        theme.dim(),
    )));
    if tally.standing.len() > 1 {
        lines.push(Line::from(Span::styled(tally.sizes(package), theme.dim())));
    }
    let mut lost = Vec::new();
    if tally.spilled > Volume::ZERO {
        lost.push(format!("{} spilled", tally.spilled));
    }
    if tally.drawn > Volume::ZERO {
        lost.push(format!("{} drawn", tally.drawn));
    }
    if tally.broken > 0 {
        lost.push(format!("{} broken", tally.broken));
    }
    if tally.refused > 0 {
        lost.push(format!(
            "{} refused",
            words::count(tally.refused, "closure")
        ));
    }
    let lost = lost.into_iter();
    lines.extend(lost.map(|it| Line::from(Span::styled(it, theme.dim()))));
    lines
}

/// What the book has of empties of that size, where they are too few or not clean.
fn too_few(run: &Thing, size_ml: i64, to_go: i64, page: &Page<'_>) -> Vec<Line<'static>> {
    let (package, cellar) = (Package::of(run), &page.facts.cellar);
    // Those of another mouth are told of below.
    let is_other = other_mouth(package, size_ml, Closure::of(run), cellar).is_some();
    let there = still_there(run, size_ml, cellar).filter(|_| !is_other);
    let lacks = there.filter(|it| it.there() < to_go || it.to_wash(to_go) > 0);
    let words = lacks.map_or_else(String::new, |it| format!("! {}", it.words()));
    let lines = text::wrap(&words, usize::from(BESIDE)).into_iter();
    let lines = lines.filter(|it| !it.is_empty());
    lines
        .map(|it| Line::from(Span::styled(it, page.theme.warn())))
        .collect()
}

fn labelled(label: &str, said: &str, theme: Theme) -> Line<'static> {
    Line::from(vec![
        Span::styled(text::fit(label, 7), theme.dim()),
        Span::styled(said.to_owned(), theme.strong()),
    ])
}

/// `31 s`, `2 min`.
fn span(seconds: i64) -> String {
    match seconds {
        ..120 => format!("{seconds} s"),
        _ => format!("{} min", (seconds + 30) / 60),
    }
}

/// Rows below which the digits would shrink for it.
const LOW: u16 = 14;
const SHORT_OF_CORKS: &str = "Look at two corks first; k once they sit well.";

/// The same in one line, with how the corker is set where one is known.
fn short_of_corks(run: &Thing, count: &Count, page: &Page<'_>) -> String {
    let corker = corker_words(run, count.size_ml, &page.facts.cellar);
    let set = format!("{corker}. Two corks first; k once they sit well.");
    let is_set = corker.contains(|it: char| it.is_ascii_digit());
    if is_set && text::width(&set) <= SHORT {
        set
    } else {
        SHORT_OF_CORKS.to_owned()
    }
}

/// Columns that one line of the smallest screen has.
const SHORT: usize = 57;

/// How the corker is set, and the two corks to look at before the rest; once they sit well no more is said.
fn corks(run: &Thing, count: &Count, page: &Page<'_>) -> String {
    let is_driven = Closure::of(run).is_some_and(Closure::is_driven);
    if !is_driven || run.int(field::CORKS_SEEN).is_some() {
        return String::new();
    }
    let corker = corker_words(run, count.size_ml, &page.facts.cellar);
    format!("Set {corker}. Look at two corks before the rest; k once they sit well.")
}

fn caution(run: &Thing, told: &[Told]) -> &'static str {
    let package = Package::of(run);
    if tally::is_overruled(run.key, told) && !package.keeps_part_full() {
        OVERRULED.short
    } else {
        package.hazard().short
    }
}
