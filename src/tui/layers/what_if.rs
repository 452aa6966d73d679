//! What if: the forecast beside the present one, with waiting and another temperature at a key each.
//! Nothing here is written.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Holding, Reason};
use crate::cellar::course::Course;
use crate::cellar::courses;
use crate::cellar::entry::Draft;
use crate::cellar::moment::Said;
use crate::cellar::snapshot::Snapshot;
use crate::cellar::thing::Key;
use crate::cellar::verbs::{self, Form, Prepared};
use crate::cellar::what_if::{self, Beside};
use crate::tui::commands::{Id, Place};
use crate::tui::message::{Ask, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::Theme;
use crate::tui::widgets::{chart, frame, text};

/// Days of one press.
const WEEK: i64 = 7;
/// Ten years: no forecast says more.
const LONGEST: i64 = 520 * WEEK;
/// Temperatures that wine is kept at, °C.
const COLDEST: f64 = -5.0;
const WARMEST: f64 = 40.0;
/// Columns of what is compared, and of each side.
const LABEL: usize = 22;

/// What is supposed of one vessel.
pub struct WhatIf {
    key: Key,
    /// The deed in a sentence, if there is one.
    deed: Option<(Box<Draft>, String)>,
    /// What is to be known where there is none.
    lacks: Option<&'static str>,
    days: i64,
    /// Days until what it is about falls due; nothing where that is today or past.
    due: i64,
    celsius: Option<f64>,
    /// Both sides, or why the book would refuse the deed. Worked out when what is supposed or the cellar changes: two forecasts
    /// take longer than a frame may.
    seen: Result<Seen, String>,
}

/// What is compared.
struct Seen {
    besides: Vec<Beside>,
    /// What heads either side.
    headings: [String; 2],
    then: Snapshot,
    /// How it would go on.
    course: Option<Course>,
}

impl WhatIf {
    /// Of a deed that a screen has ready; of waiting and warmth alone where there is none.
    pub fn done(key: Key, deed: Option<Prepared>, facts: &Facts) -> WhatIf {
        let mut pane = WhatIf::unseen(key, deed);
        pane.seen = pane.sides(facts);
        pane
    }

    fn unseen(key: Key, deed: Option<Prepared>) -> WhatIf {
        WhatIf {
            key,
            deed: deed.map(|it| (Box::new(it.draft), it.sentence)),
            lacks: None,
            days: 0,
            due: 0,
            celsius: None,
            seen: Err(String::new()),
        }
    }

    /// Of what a reason asks for, if all of that is known; else of the thing that it is about. What falls due
    /// later is seen on that day first. `None` where no wine is meant.
    pub fn of(marked: Option<Key>, reason: Option<&Reason>, facts: &Facts) -> Option<WhatIf> {
        let key = reason.map(|it| it.subject).or(marked)?;
        let prepared = reason.and_then(|it| prepared(it, facts));
        let mut pane = WhatIf::unseen(key, prepared);
        pane.due = reason.map_or(0, |it| it.due.days_since(facts.cellar.now).max(0));
        pane.days = pane.due;
        pane.lacks = match reason.map(|it| it.suggestion.verb) {
            _ if pane.deed.is_some() => None,
            Some("dose") => Some("How much goes in is worked out first: d, and v again there."),
            Some(_) => {
                Some("How it would be done is not known yet; its form says what would come of it.")
            }
            None => None,
        };
        pane.seen = pane.sides(facts);
        (facts.cellar.wine(key).is_some() || pane.deed.is_some()).then_some(pane)
    }

    fn sides(&self, facts: &Facts) -> Result<Seen, String> {
        let cellar = &facts.cellar;
        let supposed = match &self.deed {
            Some((draft, _)) => Some(what_if::done(cellar, draft)?),
            None => None,
        };
        let done = supposed.as_ref().map(|it| &it.cellar);
        let is_only_waiting = done.is_none() && self.celsius.is_none();
        let (is, then) = what_if::both_sides(cellar, done, self.days, self.celsius);
        let mut places = supposed.map_or_else(|| vec![self.key], |it| it.places);
        // Where wine comes to be is what one asks after; what is left empty says so already.
        places.sort_by_key(|it| then.wine(*it).is_none());
        let beside = |it: &Key| Beside::of(*it, &is, &then, &facts.policy);
        let besides = places.iter().map(beside).collect();
        let shown = places.first().copied().unwrap_or(self.key);
        let course = Holding::of(&then, shown, &facts.policy).and_then(|it| courses::ahead(&it));
        Ok(Seen {
            besides,
            headings: what_if::headings(is_only_waiting, self.days),
            then,
            course,
        })
    }

    fn head(&self, theme: Theme, cells: usize) -> Vec<Line<'static>> {
        let mut lines = Vec::new();
        let deed = match &self.deed {
            Some((_, sentence)) => format!("If: {sentence}"),
            None => "If nothing is done.".to_owned(),
        };
        let mut put = |words: &str, style| {
            let parts = text::wrap(words, cells).into_iter();
            lines.extend(parts.map(|it| Line::from(Span::styled(it, style))));
        };
        put(&deed, theme.strong());
        let days = match self.days {
            0 => "now".to_owned(),
            1 if self.due == 1 => "tomorrow, when it falls due".to_owned(),
            days if days == self.due => format!("{days} days from now, when it falls due"),
            1 => "tomorrow".to_owned(),
            days => format!("{days} days from now"),
        };
        let kept = self.celsius.map_or_else(
            || "kept as it is".to_owned(),
            |it| format!("kept at {it:.0} °C"),
        );
        put(&format!("Seen {days}, {kept}."), theme.text());
        if let Some(lacks) = self.lacks {
            put(lacks, theme.dim());
        }
        lines
    }
}

/// A reason's deed, where nothing is left to ask.
fn prepared(reason: &Reason, facts: &Facts) -> Option<Prepared> {
    let suggestion = &reason.suggestion;
    let verb = verbs::find(suggestion.verb).filter(|_| suggestion.needs.is_empty())?;
    let values = suggestion.values.iter();
    let form = Form::of(values.map(|(key, text)| (*key, text.as_str())));
    let now = Said {
        moment: facts.cellar.now,
        loosely: None,
        remark: None,
    };
    verbs::prepare(verb, &form, &facts.cellar, &now).ok()
}

/// One vessel: what is compared, or only what changes; what would go and what would come.
fn lines(
    beside: &Beside,
    headings: &[String; 2],
    then: &Snapshot,
    only_changes: bool,
    theme: Theme,
    cells: usize,
) -> Vec<Line<'static>> {
    let side = cells.saturating_sub(LABEL) / 2;
    let mut lines = vec![
        Line::default(),
        Line::from(vec![
            Span::styled(text::fit(then.name(beside.place), LABEL), theme.strong()),
            Span::styled(text::fit(&headings[0], side), theme.dim()),
            Span::styled(text::fit(&headings[1], side), theme.dim()),
        ]),
    ];
    let rows = beside.rows().into_iter();
    for [row, is, then] in rows.filter(|[_, is, then]| !only_changes || is != then) {
        let known = |it: String| if it.is_empty() { "-".to_owned() } else { it };
        let style = if is == then {
            theme.text()
        } else {
            theme.strong()
        };
        let label = format!("  {row}");
        let (is, then) = (
            text::wrap(&known(is), side.saturating_sub(2)),
            text::wrap(&known(then), side),
        );
        for at in 0..is.len().max(then.len()) {
            let part = |of: &[String]| of.get(at).cloned().unwrap_or_default();
            let label = if at == 0 { label.as_str() } else { "" };
            lines.push(Line::from(vec![
                Span::styled(text::fit(label, LABEL), theme.dim()),
                Span::raw(text::fit(&part(&is), side)),
                Span::styled(part(&then), style),
            ]));
        }
    }
    let gone = beside.gone().map(|it| ("  no longer", it, theme.good()));
    let come = beside.come().map(|it| ("  new", it, theme.warn()));
    for (lead, reason, style) in gone.chain(come) {
        let parts = text::wrap(&reason.sentence, cells.saturating_sub(LABEL));
        for (at, part) in parts.into_iter().enumerate() {
            let lead = if at == 0 { lead } else { "" };
            lines.push(Line::from(vec![
                Span::styled(text::fit(lead, LABEL), style),
                Span::raw(part),
            ]));
        }
    }
    // What is assumed either way stands with the reasons and the charts.
    let is = &beside.is.assumed;
    let assumed = beside.then.assumed.iter().filter(|it| !is.contains(it));
    for said in assumed {
        let parts = text::wrap(&format!("~ {said}"), cells).into_iter();
        lines.extend(parts.map(|it| Line::from(Span::styled(it, theme.dim()))));
    }
    // Where there is a forecast, what is missing of it stands with the charts.
    let then = &beside.then;
    let unforeseen = then.unforeseen.as_ref();
    if let Some(said) = unforeseen.filter(|_| then.free_so2.is_none()) {
        let parts = text::wrap(said, cells).into_iter();
        lines.extend(parts.map(|it| Line::from(Span::styled(it, theme.dim()))));
    }
    lines
}

impl Pane for WhatIf {
    fn place(&self) -> Place {
        Place::WhatIf
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        Some(self.key)
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let mut warm = |by: f64| {
            let usual = facts.cellar.settings().temperature_c;
            let from = self.celsius.or(usual).unwrap_or(facts.policy.air_c);
            self.celsius = Some((from + by).clamp(COLDEST, WARMEST));
        };
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Right) => self.days = (self.days + WEEK).min(LONGEST),
            Input::Command(Id::Left) => self.days = (self.days - WEEK).max(0),
            Input::Command(Id::Up) => warm(1.0),
            Input::Command(Id::Down) => warm(-1.0),
            Input::Command(Id::First) => (self.days, self.celsius) = (0, None),
            Input::Reply(_) => {}
            _ => return Vec::new(),
        }
        self.seen = self.sides(facts);
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let inner = frame::boxed(
            "What if: nothing is written",
            (104, area.height),
            theme,
            area,
            buf,
        );
        let cells = usize::from(inner.width);
        let height = usize::from(inner.height);
        let mut all = self.head(theme, cells);
        let mut course = None;
        match &self.seen {
            Ok(seen) => {
                let told = |only_changes: bool| {
                    let of = |it| lines(it, &seen.headings, &seen.then, only_changes, theme, cells);
                    seen.besides.iter().flat_map(of).collect::<Vec<_>>()
                };
                let whole = told(false);
                // Where not all has room, what stays as it is is left out.
                let has_room = all.len() + whole.len() <= height;
                all.extend(if has_room { whole } else { told(true) });
                course.clone_from(&seen.course);
            }
            Err(refused) => {
                let parts = text::wrap(refused, cells).into_iter();
                all.extend(parts.map(|it| Line::from(Span::styled(it, theme.warn()))));
            }
        }
        let rows = all.len() as u16 + 1;
        for (at, line) in all.into_iter().take(height).enumerate() {
            text::put(buf, inner, at, line);
        }
        // How it would go on is drawn where there is room below.
        let below = Rect {
            y: inner.y + rows.min(inner.height),
            height: inner.height.saturating_sub(rows),
            ..inner
        };
        if let Some(mut course) = course.filter(|_| chart::fits(below)) {
            let now = facts.cellar.now;
            course.now_ms = now.utc_ms;
            // What was expected before this was supposed is not a part of it.
            course.expected.retain(|it| it.at_ms >= now.utc_ms);
            chart::draw(&course, now, theme, below, buf);
        }
        None
    }
}
