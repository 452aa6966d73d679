//! Something is wrong: what is noticed narrows the list of faults, Enter shows all of one, and one key
//! marks the wine with it.

mod lines;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};

use crate::cellar::attention::{Holding, Suggestion};
use crate::cellar::thing::{Key, Thing};
use crate::cellar::trouble::{self, Fault, Fit, fits};
use crate::cellar::verbs;
use crate::tui::commands::{Id, Place};
use crate::tui::layers::seek::seek;
use crate::tui::message::{Ask, Call, Effect, Facts, Input, Notice, Reply, Told};
use crate::tui::screens::Pane;
use crate::tui::theme::{MARK, Theme};
use crate::tui::widgets::field::Field;
use crate::tui::widgets::scroll::{Scroll, moved};
use crate::tui::widgets::{frame, text};
use crate::tui::words;

/// Cells of a fault's name in the list.
const NAME: usize = 24;

/// The pane of faults, about a vessel or bottles, or about none.
pub struct Trouble {
    subject: Option<Key>,
    typed: Field,
    marked: usize,
    list: Scroll,
    /// The fault that is told of; while there is none, the list is shown.
    told: Option<&'static Fault>,
    /// Which of the entries that answer it is marked.
    way: usize,
    top: usize,
    text: Scroll,
    /// What the book has of gifts, and of how wines took their names.
    followed: Vec<Told>,
}

impl Trouble {
    /// About that vessel or those bottles, if any, and told of that fault at once, if one is named. It
    /// also wants [`Effect::ReadFollowed`].
    pub fn about(subject: Option<Key>, fault: Option<&str>) -> Trouble {
        Trouble {
            subject,
            typed: Field::default(),
            marked: 0,
            list: Scroll::default(),
            told: fault.and_then(trouble::find),
            way: 0,
            top: 0,
            text: Scroll::default(),
            followed: Vec::new(),
        }
    }

    fn place_of<'a>(&self, facts: &'a Facts) -> Option<&'a Thing> {
        facts.cellar.thing(self.subject?)
    }

    fn holding<'a>(&self, facts: &'a Facts) -> Option<Holding<'a>> {
        Holding::of(&facts.cellar, self.subject?, &facts.policy)
    }

    /// What fits; where nothing is typed, what the wine is marked with comes first.
    fn found(&self, facts: &Facts) -> Vec<Fit> {
        let holding = self.holding(facts);
        let mut found = fits(self.typed.text(), holding.as_ref());
        if self.typed.text().trim().is_empty() {
            found.sort_by_key(|it| self.since(it.fault, facts).is_none());
        }
        found
    }

    /// Since when it is marked with that, UTC ms.
    fn since(&self, fault: &Fault, facts: &Facts) -> Option<i64> {
        let wine = facts.cellar.wine(self.subject?)?;
        wine.troubles.get(fault.word).copied()
    }

    fn ways(&self, facts: &Facts) -> Vec<(&'static str, Suggestion)> {
        let told = self.told.zip(self.place_of(facts));
        told.map_or(Vec::new(), |(fault, place)| {
            fault.answers(place, &facts.cellar)
        })
    }

    fn show(&mut self, facts: &Facts) {
        let fit = self.found(facts).into_iter().nth(self.marked);
        self.told = fit.map(|it| it.fault);
        (self.way, self.top) = (0, 0);
    }

    /// Writes that it is so, or that it is over, at once: undo takes it back.
    fn write(&self, verb: &'static str, facts: &Facts) -> Vec<Ask> {
        let (Some(fault), Some(place)) = (self.told, self.place_of(facts)) else {
            return vec![Ask::Say(Notice::note(
                "Open this from a vessel or from bottles to mark them.",
            ))];
        };
        let own = if verb == "trouble mark" {
            self.typed.text()
        } else {
            ""
        };
        let form = verbs::Form::of([
            ("place", place.name()),
            ("fault", fault.word),
            ("words", own),
        ]);
        let cellar = &facts.cellar;
        let prepared = verbs::find(verb).map(|verb| {
            let when = verbs::when(&form, cellar.now, cellar.settings().zone)?;
            verbs::prepare(verb, &form, cellar, &when)
        });
        match prepared {
            // A vessel and a run may share a name.
            Some(Ok(it)) if it.draft.subject == Some(place.key) => vec![Ask::Do(Effect::Write {
                amends: None,
                draft: Box::new(it.draft),
                said: it.sentence,
            })],
            Some(Err(refused)) => {
                vec![Ask::Say(Notice::refused(words::capital(&refused.sentence)))]
            }
            _ => vec![Ask::Say(Notice::refused(
                "Another vessel has that name; rename one of them first.",
            ))],
        }
    }

    fn seek(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        let total = self.found(facts).len();
        match input {
            Input::Command(Id::Back) => return vec![Ask::Close],
            Input::Command(Id::Open) => self.show(facts),
            _ => seek(input, &mut self.typed, &mut self.marked, total),
        }
        Vec::new()
    }

    fn read(&mut self, id: Id, facts: &Facts) -> Vec<Ask> {
        let ways = self.ways(facts);
        match id {
            Id::Back => self.told = None,
            Id::Mark => return self.write("trouble mark", facts),
            Id::Over => return self.write("trouble over", facts),
            Id::Open => {
                let way = ways.get(self.way);
                return match way {
                    Some((_, it)) => vec![Ask::Verb(Call::suggested(self.subject, it))],
                    None => vec![Ask::Say(Notice::note(
                        "There is nothing to write down here.",
                    ))],
                };
            }
            Id::Left => self.way = moved(self.way, -1, ways.len()),
            Id::Right => self.way = moved(self.way, 1, ways.len()),
            Id::Up => self.top = self.text.top().saturating_sub(1),
            Id::Down => self.top = self.text.top() + 1,
            Id::PageUp => self.top = self.text.top().saturating_sub(8),
            Id::PageDown => self.top = self.text.top() + 8,
            Id::First => self.top = 0,
            Id::Last => self.top = usize::MAX,
            _ => {}
        }
        Vec::new()
    }

    fn view_list(
        &self,
        facts: &Facts,
        theme: Theme,
        inner: Rect,
        buf: &mut Buffer,
    ) -> Option<Position> {
        const ASKED: &str = "What do you notice?  ";
        text::put(buf, inner, 0, Line::from(Span::styled(ASKED, theme.key())));
        let begin = u16::try_from(ASKED.len()).unwrap_or(0).min(inner.width);
        let line = Rect {
            x: inner.x + begin,
            width: inner.width - begin,
            height: inner.height.min(1),
            ..inner
        };
        let cursor = self.typed.view("", true, theme, line, buf);
        let found = self.found(facts);
        let cells = usize::from(inner.width);
        let typed = !self.typed.text().trim().is_empty();
        if typed && !found.iter().any(Fit::is_said) {
            let words = text::cut(
                "Nothing is known by that; here are all.",
                usize::from(inner.width),
            );
            text::put(buf, inner, 1, Line::from(Span::styled(words, theme.warn())));
        }
        // What the book says of the marked one stands below the list.
        let book = found.get(self.marked).and_then(Fit::sentence);
        let book = book.map_or(Vec::new(), |it| text::wrap(&it, cells));
        let below = book.len().min(3);
        let rows = usize::from(inner.height).saturating_sub(2 + below);
        let top = self
            .list
            .follow(self.marked, self.marked + 1, rows, found.len());
        for (at, fit) in found.iter().enumerate().skip(top).take(rows) {
            let is_marked = at == self.marked;
            let style = if is_marked {
                theme.selected()
            } else {
                theme.text()
            };
            let sign = match self.since(fit.fault, facts) {
                Some(_) => "! ",
                None if fit.is_likely() => "› ",
                None => "  ",
            };
            let notice = text::cut(fit.fault.notice, cells.saturating_sub(NAME + 5));
            text::put(
                buf,
                inner,
                2 + at - top,
                Line::from(vec![
                    Span::raw(if is_marked { MARK } else { " " }),
                    Span::styled(sign, theme.warn()),
                    Span::styled(text::fit(fit.fault.name, NAME), style),
                    Span::styled(format!("  {notice}"), theme.dim()),
                ]),
            );
        }
        for (at, line) in book.into_iter().take(below).enumerate() {
            let row = usize::from(inner.height) - below + at;
            text::put(
                buf,
                inner,
                row,
                Line::from(Span::styled(line, theme.text())),
            );
        }
        cursor
    }

    fn view_text(
        &self,
        fault: &'static Fault,
        facts: &Facts,
        theme: Theme,
        inner: Rect,
        buf: &mut Buffer,
    ) {
        let cells = usize::from(inner.width);
        let lines = lines::all(self, fault, facts, theme, cells);
        let height = usize::from(inner.height).saturating_sub(2);
        let top = self.top.min(lines.len().saturating_sub(height));
        let top = self.text.follow(top, top + height, height, lines.len());
        let more = lines.len() > top + height;
        for (at, line) in lines.into_iter().skip(top).take(height).enumerate() {
            text::put(buf, inner, at, line);
        }
        if more {
            text::put(
                buf,
                inner,
                height,
                Line::from(Span::styled("↓ more", theme.dim())),
            );
        }
        text::put(
            buf,
            inner,
            height + 1,
            lines::ways(&self.ways(facts), self.way, theme),
        );
    }
}

impl Pane for Trouble {
    fn place(&self) -> Place {
        match self.told {
            None => Place::Trouble,
            Some(_) => Place::TroubleText,
        }
    }

    fn about(&self, _facts: &Facts) -> Option<Key> {
        self.subject
    }

    fn update(&mut self, input: &Input<'_>, facts: &Facts) -> Vec<Ask> {
        match input {
            Input::Reply(Reply::Followed(followed)) => {
                self.followed.clone_from(followed);
                Vec::new()
            }
            Input::Reply(Reply::Stale) => vec![Ask::Do(Effect::ReadFollowed)],
            // What follows from a mark stands at the top.
            Input::Reply(Reply::Written { .. }) => {
                self.top = 0;
                Vec::new()
            }
            Input::Command(id) if self.told.is_some() => self.read(*id, facts),
            _ if self.told.is_some() => Vec::new(),
            _ => self.seek(input, facts),
        }
    }

    fn view(&self, facts: &Facts, theme: Theme, area: Rect, buf: &mut Buffer) -> Option<Position> {
        let of = self
            .place_of(facts)
            .map_or(String::new(), |it| format!(" with {}", it.name()));
        let title = match self.told {
            None => format!("What is wrong{of}"),
            Some(fault) => format!(
                "{}{}",
                words::capital(fault.name),
                of.replace(" with ", ", ")
            ),
        };
        let inner = frame::boxed(&title, (92, area.height.min(36)), theme, area, buf);
        match self.told {
            None => self.view_list(facts, theme, inner, buf),
            Some(fault) => {
                self.view_text(fault, facts, theme, inner, buf);
                None
            }
        }
    }
}
