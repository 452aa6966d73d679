//! The head of the dosing screen: whose wine, its state, the figure to give, what it comes to.

use leesline_calc::Answer;
use ratatui::text::{Line, Span};

use super::digits;
use super::entry::Part;
use super::figure::{self, Figure, NOT_NOW};
use super::sheet::Row;
use super::view::Page;
use crate::cellar::dosing::spoon_share;
use crate::tui::glance::glance;
use crate::tui::widgets::text;

/// Columns before the large figure, where the verb stands, and behind it, for its unit.
const VERB: usize = 11;
const UNIT: usize = 6;

impl Page<'_> {
    /// Title, state, what is missing, figure, what it comes to.
    pub(super) fn head(&self) -> Vec<Line<'static>> {
        let mut lines = vec![self.title()];
        lines.extend(self.state());
        let Some((calculator, answer)) = self.sheet.answer() else {
            lines.push(Line::default());
            lines.extend(self.wrapped("!", &self.sheet.fault_said(), 2, self.theme.warn()));
            return lines;
        };
        let is_own = self.sheet.outcome.is_ok();
        if !is_own {
            let had = self.sheet.row("free_so2_mg_l");
            let had = had.filter(|_| !self.sheet.lacks_test());
            let had = had.map_or(String::new(), |it| {
                let free = it.text.text().trim();
                format!(", on top of the {free} mg/L free in it")
            });
            let unread = self.sheet.row("ph").map_or("", |it| &it.known.words);
            let why = format!("Its pH was {unread}, so by rule of thumb{had}:");
            lines.extend(self.wrapped("?", &why, 2, self.theme.strong()));
            if self.sheet.too_soon.is_none() {
                lines.extend(self.unknown_left());
            }
        } else if self.sheet.lacks_test() && self.sheet.thumb.is_some() && !self.sheet.waits() {
            lines.extend(self.untested());
        }
        let leaves_unknown = self.sheet.left_unknown().is_some();
        let band = if leaves_unknown {
            None
        } else if is_own {
            self.sheet.band
        } else {
            figure::main_result(calculator, answer).and_then(|it| ends(answer, it))
        };
        let part = self.sheet.part;
        let waits = self.sheet.waits();
        let mut figure = figure::of(calculator, answer, part, waits, band, self.units);
        figure.at_most(leaves_unknown && part == Part::All);
        figure.at_least(
            self.sheet
                .row("added_so_far_mg_l")
                .is_some_and(Row::is_at_least),
        );
        if !is_own {
            figure.sums.clear();
        }
        if let Some(can_wait) = self.sheet.can_wait(self.facts) {
            figure.sums.insert(0, can_wait);
            figure.other = figure.other.filter(|_| part == Part::Half);
        }
        if let Some(too_soon) = &self.sheet.too_soon {
            lines.extend(self.wrapped("!", too_soon, 3, self.theme.warn()));
            figure.other = None;
        }
        lines.extend(self.figure(&figure));
        if calculator.name == super::BY_SPOON {
            lines.extend(self.buys(answer));
        }
        lines
    }

    fn title(&self) -> Line<'static> {
        let sheet = self.sheet;
        let name = if sheet.calculator.name == super::DOSE {
            "Dose"
        } else {
            sheet.calculator.name
        };
        let of = match sheet.vessel.and_then(|it| self.facts.cellar.thing(it)) {
            Some(vessel) => {
                let seen = glance(vessel, self.facts);
                format!("{} · {} · {}", vessel.name(), seen.holds, seen.volume())
            }
            None => "no vessel".to_owned(),
        };
        let answer = sheet.outcome.as_ref().ok();
        let aim = answer.and_then(|it| it.number("target_free_so2_mg_l"));
        let molecular = answer.and_then(|it| it.number("aim_molecular_mg_l"));
        let molecular = molecular.filter(|_| self.cells >= 100);
        let molecular = molecular.map_or(String::new(), |it| format!(", {it} molecular"));
        let aim = aim.map_or(String::new(), |it| {
            format!("aim {it:.0} mg/L free{molecular} ")
        });
        let room = self
            .cells
            .saturating_sub(text::width(name) + text::width(&aim) + 5);
        Line::from(vec![
            Span::raw(" "),
            Span::styled(format!("{name}  "), self.theme.dim()),
            Span::styled(text::fit(&of, room), self.theme.strong()),
            Span::raw("  "),
            Span::styled(aim, self.theme.strong()),
        ])
    }

    /// Where the wine stands, before any number; a wine that is not to be dosed says so.
    fn state(&self) -> Vec<Line<'static>> {
        if let Some(stop) = &self.sheet.stop {
            return self.wrapped("!", &stop.sentence, 3, self.theme.warn());
        }
        let typed = self.sheet.row("state").filter(|it| it.is_typed);
        let (sign, words) = match (typed, &self.sheet.state) {
            (Some(_), _) => (" ", "as you typed"),
            (None, Some(known)) => (known.sign.mark(), known.words.as_str()),
            (None, None) => return Vec::new(),
        };
        let state = self
            .sheet
            .state_word()
            .unwrap_or_default()
            .replace('-', " ");
        let had = self.sheet.row("added_so_far_mg_l");
        let had = had.map_or(String::new(), |it| match it.text.text().trim() {
            "" => " · sulfite not known".to_owned(),
            so_far if it.is_at_least() => {
                format!(" · at least {so_far} mg/L sulfite added so far")
            }
            so_far => format!(" · {so_far} mg/L sulfite added so far"),
        });
        let line = format!("{sign} {state}: {words}{had}");
        let line = text::cut(&line, self.cells.saturating_sub(2));
        vec![Line::from(format!(" {line}"))]
    }

    /// The figure to give, large where there is room, with the other ways beside it.
    fn figure(&self, figure: &Figure) -> Vec<Line<'static>> {
        let likely = figure.band.as_ref().map(|it| format!("likely {it}"));
        let side: Vec<String> = figure.ways.iter().cloned().chain(likely).collect();
        let mut lines = Vec::new();
        let drawn = self.size.filter(|_| !figure.number.is_empty());
        let drawn = drawn.and_then(|size| digits::large(&figure.number, size));
        if figure.verb == NOT_NOW {
            let dose = format!("Not now. It would be {} {}.", figure.number, figure.unit);
            lines.extend(self.wrapped(" ", &dose, 2, self.theme.strong()));
        } else if let Some(drawn) = drawn {
            lines.push(Line::default());
            lines.extend(self.large(figure, drawn, &side));
            lines.push(Line::default());
        } else {
            let verb = match figure.verb {
                "nothing" => "Add nothing.",
                verb => verb,
            };
            let said = format!("{verb} {} {}", figure.number, figure.unit);
            let said = said.trim().to_owned();
            let beside = side.join(", ");
            lines.push(Line::from(Span::styled(
                format!(" {said}"),
                self.theme.strong(),
            )));
            if !beside.is_empty() {
                lines.extend(self.wrapped(" ", &beside, 2, self.theme.text()));
            }
        }
        lines.extend(
            figure
                .other
                .as_ref()
                .map_or(Vec::new(), |it| self.other(it)),
        );
        for sum in &figure.sums {
            lines.extend(self.wrapped(" ", sum, 1, self.theme.text()));
        }
        lines
    }

    /// How what is shown stands to half of it or all, and the key for the other.
    fn other(&self, said: &str) -> Vec<Line<'static>> {
        let mut lines = self.wrapped(" ", said, 2, self.theme.strong());
        let key = match self.sheet.part {
            Part::Half => " all at once",
            Part::All => " half",
        };
        let used = lines.last().map_or(0, Line::width);
        if let Some(last) = lines
            .last_mut()
            .filter(|_| used + 4 + key.len() <= self.cells)
        {
            last.push_span(Span::styled("   h", self.theme.key()));
            last.push_span(Span::styled(key, self.theme.dim()));
        }
        lines
    }

    fn large(&self, figure: &Figure, drawn: Vec<String>, side: &[String]) -> Vec<Line<'static>> {
        let last = drawn.len().saturating_sub(1);
        let row = |(at, row): (usize, String)| {
            let (verb, unit) = if at == last {
                (figure.verb, figure.unit.as_str())
            } else {
                ("", "")
            };
            let words = side.get(at..).unwrap_or_default();
            let words = if at == last {
                words.join(", ")
            } else {
                words.first().cloned().unwrap_or_default()
            };
            let unit = text::fit(unit, text::width(unit).max(UNIT));
            let before = VERB + text::width(&row) + text::width(&unit) + 3;
            Line::from(vec![
                Span::styled(format!(" {}", text::fit(verb, VERB)), self.theme.strong()),
                Span::styled(row, self.theme.strong()),
                Span::styled(format!(" {unit} "), self.theme.strong()),
                Span::raw(text::cut(&words, self.cells.saturating_sub(before))),
            ])
        };
        drawn.into_iter().enumerate().map(row).collect()
    }

    /// What the rule of thumb leaves, and what measuring would buy.
    fn buys(&self, thumb: &Answer) -> Vec<Line<'static>> {
        let share = spoon_share(thumb);
        let leaves = |key: &str| {
            let (low, high) = ends(thumb, key)?;
            Some(format!("{:.1}–{:.1}", low * share, high * share))
        };
        let Some(none) = leaves("molecular_so2_mg_l") else {
            return Vec::new();
        };
        let aim = self.sheet.aim_mg_l.unwrap_or(0.8);
        let both = leaves("molecular_with_strip_mg_l").zip(leaves("molecular_with_both_mg_l"));
        let worth = match (both, leaves("molecular_with_test_mg_l")) {
            (Some((strip, both)), _) => format!(
                "It leaves {none} mg/L molecular, {aim} is wanted; a pH strip makes that {strip}, a meter and an SO2 test {both}."
            ),
            (None, test) => format!(
                "At its pH that is {none} mg/L molecular, {aim} is wanted; an SO2 test makes it {}.",
                test.unwrap_or_default()
            ),
        };
        let mut lines = self.wrapped(" ", &worth, 2, self.theme.text());
        let other = if self.sheet.calculator.name == super::BY_SPOON {
            " reckons by pH and a test"
        } else {
            " says more of the rule"
        };
        lines.push(Line::from(vec![
            Span::styled(" m", self.theme.key()),
            Span::raw(" writes down a measurement   "),
            Span::styled("f", self.theme.key()),
            Span::raw(other),
        ]));
        lines
    }

    /// Sulfite is in it, and nobody knows how much of it is left free.
    fn unknown_left(&self) -> Vec<Line<'static>> {
        let Some(words) = self.sheet.left_unknown() else {
            return Vec::new();
        };
        let said = format!("Free SO2 is not known ({words}): test first; this is the most.");
        self.wrapped("?", &said, 2, self.theme.strong())
    }

    /// A pH and no test: what is in it already comes on top.
    fn untested(&self) -> Vec<Line<'static>> {
        let said = "Free SO2 was never tested and is taken as none, so this may be too much.";
        let mut lines = self.unknown_left();
        if lines.is_empty() {
            lines = self.wrapped("?", said, 2, self.theme.strong());
        }
        lines.push(Line::from(vec![
            Span::styled("   m", self.theme.key()),
            Span::raw(" writes a test down   "),
            Span::styled("f", self.theme.key()),
            Span::raw(" goes by the rule of thumb"),
        ]));
        lines
    }
}

/// Low and high of a result, if it has a band.
fn ends(answer: &Answer, key: &str) -> Option<(f64, f64)> {
    let end = |which: &str| answer.number(&format!("{key}_{which}"));
    Some((end("low")?, end("high")?))
}
