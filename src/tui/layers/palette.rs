//! Anything by name: commands, verbs, calculators, vessels.

use leesline_calc::registry::CALCULATORS;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::state::Wine;
use crate::cellar::thing::{Key, Sort};
use crate::cellar::verbs::VERBS;
use crate::tui::commands::{self, Id, Place};
use crate::tui::layers::detail::Detail;
use crate::tui::layers::seek::seek;
use crate::tui::message::{Ask, Facts, Input};
use crate::tui::screens::Pane;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::Scroll;
use crate::tui::widgets::{frame, text};

/// Finds anything by part of its name.
pub struct Palette {
    beneath: Place,
    typed: Field,
    marked: usize,
    scroll: Scroll,
}

/// Something found.
struct Hit {
    name: String,
    keys: String,
    sentence: String,
    what: What,
}

enum What {
    Command(Id),
    Verb(&'static str),
    Calculator(&'static str),
    Thing(Key),
}

/// What the command line has a verb for that writes nothing: found here by its name, wherever one is.
const WITHOUT_KEY: [(&str, &str, Id); 2] = [
    (
        "bottle plan",
        "Shows what bottling the marked vessel takes, and what of that is short.",
        Id::Plan,
    ),
    (
        "which",
        "Says which bottles one without a label may be of: type its closure, colour, shape or place.",
        Id::Which,
    ),
];

impl Palette {
    /// Over that place, whose commands come first.
    pub fn of(beneath: Place) -> Palette {
        Palette {
            beneath,
            typed: Field::default(),
            marked: 0,
            scroll: Scroll::default(),
        }
    }

    /// What fits the typed words: the very name first, then names that begin with them, then names
    /// that hold them, then sentences that do.
    fn hits(&self, facts: &Facts) -> Vec<Hit> {
        let commands = commands::at(self.beneath).filter(|it| {
            // What Enter does follows from the mark, and is no answer to a name that was typed.
            !matches!(
                it.id,
                Id::Palette | Id::Open | Id::Up | Id::Down | Id::Left | Id::Right
            )
        });
        let mut hits: Vec<Hit> = commands
            .map(|it| Hit {
                name: it.name.to_owned(),
                keys: it.keys_words(),
                sentence: it.sentence.to_owned(),
                what: What::Command(it.id),
            })
            .collect();
        let has_key = |verb: &str| {
            commands::at(self.beneath).any(|it| matches!(it.id, Id::Verb(name) if name == verb))
        };
        hits.extend(VERBS.iter().filter(|it| !has_key(it.name)).map(|it| Hit {
            name: it.name.to_owned(),
            keys: String::new(),
            sentence: it.sentence.to_owned(),
            what: What::Verb(it.name),
        }));
        hits.extend(WITHOUT_KEY.iter().map(|(name, sentence, id)| Hit {
            name: (*name).to_owned(),
            keys: String::new(),
            sentence: (*sentence).to_owned(),
            what: What::Command(*id),
        }));
        hits.extend(CALCULATORS.iter().map(|it| Hit {
            name: it.name.to_owned(),
            keys: String::new(),
            sentence: it.sentence.to_owned(),
            what: What::Calculator(it.name),
        }));
        for sort in [Sort::Vessel, Sort::Run] {
            let cellar = &facts.cellar;
            // A vessel is found by the wine in it too.
            let holds = |key| {
                let wine = cellar.wine(key).and_then(Wine::main_batch);
                wine.map_or(String::new(), |it| format!(", with {}", cellar.name(it)))
            };
            hits.extend(cellar.open(sort).map(|it| Hit {
                name: it.name().to_owned(),
                keys: String::new(),
                sentence: format!("Shows this {}{}.", sort.label(), holds(it.key)),
                what: What::Thing(it.key),
            }));
        }
        let words = self.typed.text().trim().to_lowercase();
        let rank = |hit: &Hit| {
            let name = hit.name.to_lowercase();
            // A key's short name is not the verb's own, which the command line has.
            let verb = match hit.what {
                What::Command(Id::Verb(verb)) => verb,
                _ => "",
            };
            if name == words || verb == words {
                Some(0)
            } else if name.starts_with(&words) || verb.starts_with(&words) {
                Some(1)
            } else if name.contains(&words) {
                Some(2)
            } else if words
                .split_whitespace()
                .all(|it| name.contains(it) || hit.sentence.to_lowercase().contains(it))
            {
                Some(3)
            } else {
                None
            }
        };
        let mut ranked: Vec<(i32, Hit)> = hits
            .into_iter()
            .filter_map(|hit| rank(&hit).map(|it| (it, hit)))
            .collect();
        ranked.sort_by_key(|(rank, _)| *rank);
        ranked.into_iter().map(|(_, hit)| hit).collect()
    }

    fn open(&self, facts: &Facts) -> Vec<Ask> {
        let hit = self.hits(facts).into_iter().nth(self.marked);
        match hit.map(|it| it.what) {
            Some(What::Command(id)) => vec![Ask::CloseAnd(id)],
            Some(What::Verb(verb)) => vec![Ask::CloseAnd(Id::Verb(verb))],
            Some(What::Calculator(name)) => vec![Ask::CloseAnd(Id::Calculator(name))],
            Some(What::Thing(key)) => vec![
                Ask::Close,
                Ask::Lay(Box::new(Detail::about(key))),
                Ask::Do(Detail::reads(key)),
            ],
            None => Vec::new(),
        }
    }
}

impl Pane for Palette {
    fn place(&self) -> Place {
        Place::Palette
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = self.hits(facts).len();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => return self.open(facts),
            _ => seek(input, &mut self.typed, &mut self.marked, total),
        }
        Vec::new()
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let height = area.height.min(22);
        let inner = frame::boxed("Anything by name", (84, height), theme, area, buf);
        text::put(buf, inner, 0, Line::from(Span::styled(":", theme.key())));
        let line = Rect {
            x: inner.x + inner.width.min(2),
            width: inner.width.saturating_sub(2),
            height: inner.height.min(1),
            ..inner
        };
        let cursor = self.typed.view("", true, theme, line, buf);
        let list = Rect {
            y: inner.y + inner.height.min(2),
            height: inner.height.saturating_sub(2),
            ..inner
        };
        let hits = self.hits(facts);
        if hits.is_empty() {
            text::put(
                buf,
                list,
                0,
                Line::from(Span::styled("Nothing is called that.", theme.dim())),
            );
        }
        let rows = usize::from(list.height);
        let top = self
            .scroll
            .follow(self.marked, self.marked + 1, rows, hits.len());
        for (at, hit) in hits.iter().enumerate().skip(top).take(rows) {
            let marked = at == self.marked;
            let style = if marked {
                theme.selected()
            } else {
                theme.text()
            };
            let cells = usize::from(list.width).saturating_sub(2 + 18 + 8);
            text::put(
                buf,
                list,
                at - top,
                Line::from(vec![
                    Span::raw(if marked { MARK } else { " " }),
                    Span::styled(format!(" {}", text::fit(&hit.name, 17)), style),
                    Span::styled(format!(" {} ", text::fit(&hit.keys, 6)), theme.key()),
                    Span::styled(text::cut(&hit.sentence, cells), theme.dim()),
                ]),
            );
        }
        cursor
    }
}
