//! A line of text being typed.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::text::{Line, Span};
use tui_input::{Input, InputRequest};

use super::text;
use crate::tui::press::Press;
use crate::tui::theme::Theme;

/// A line of text with a cursor in it.
#[derive(Clone, Debug, Default)]
pub struct Field {
    input: Input,
}

impl Field {
    /// With that text, the cursor at its end.
    pub fn of(text: &str) -> Field {
        Field {
            input: Input::new(text.to_owned()),
        }
    }

    /// What is typed.
    pub fn text(&self) -> &str {
        self.input.value()
    }

    /// Whether the cursor stands at the end.
    pub fn at_end(&self) -> bool {
        self.input.cursor() == self.input.value().chars().count()
    }

    /// Types a key; whether the text changed.
    pub fn typed(&mut self, press: Press) -> bool {
        let request = match press {
            Press::Char(c) => InputRequest::InsertChar(c),
            Press::Backspace => InputRequest::DeletePrevChar,
            Press::Delete => InputRequest::DeleteNextChar,
            Press::Left => InputRequest::GoToPrevChar,
            Press::Right => InputRequest::GoToNextChar,
            Press::Home | Press::Ctrl('a') => InputRequest::GoToStart,
            Press::End | Press::Ctrl('e') => InputRequest::GoToEnd,
            Press::Ctrl('w') => InputRequest::DeletePrevWord,
            Press::Ctrl('k') => InputRequest::DeleteTillEnd,
            _ => return false,
        };
        self.input.handle(request).is_some_and(|it| it.value)
    }

    /// Takes a paste in; line breaks become blanks.
    pub fn paste(&mut self, pasted: &str) {
        let line = pasted.trim_end().chars();
        let line = line.map(|c| if c.is_control() { ' ' } else { c });
        let cursor = self.input.cursor();
        let mut text: String = self.text().chars().take(cursor).chain(line).collect();
        let cursor = text.chars().count();
        text.extend(self.text().chars().skip(self.input.cursor()));
        self.input = Input::new(text).with_cursor(cursor);
    }

    /// Draws the part around the cursor with a ghost of what would complete it, and says where the
    /// cursor stands.
    pub fn view(
        &self,
        ghost: &str,
        focused: bool,
        theme: Theme,
        area: Rect,
        buf: &mut Buffer,
    ) -> Option<Position> {
        let cells = usize::from(area.width);
        if !focused {
            let begin: String = self.text().chars().take(cells * 4).collect();
            text::put(buf, area, 0, Line::from(text::cut(&begin, cells)));
            return None;
        }
        // Only what can be in sight is looked at, so that a long paste does not slow every frame;
        // four characters to a cell leave room for accents.
        let near = cells * 4;
        let (cursor, text) = (self.input.cursor(), self.text());
        let first = cursor.saturating_sub(near);
        let before: String = text.chars().skip(first).take(cursor - first).collect();
        let after: String = text.chars().skip(cursor).take(near).collect();
        // The end of what stands before the cursor stays in sight.
        let mut shown = before.as_str();
        while text::width(shown) + 1 > cells {
            let mut rest = shown.chars();
            if rest.next().is_none() {
                break;
            }
            shown = rest.as_str();
        }
        let at = text::width(shown);
        let line = Line::from(vec![
            Span::styled(shown.to_owned(), theme.text()),
            Span::styled(after, theme.text()),
            Span::styled(ghost.to_owned(), theme.dim()),
        ]);
        text::put(buf, area, 0, line);
        let x = area.x.saturating_add(u16::try_from(at).unwrap_or(u16::MAX));
        (area.height > 0 && x < area.right()).then_some(Position { x, y: area.y })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paste_of_lines_is_one_line() {
        let mut field = Field::of("a");
        field.paste("b\r\nc\n");
        assert_eq!(field.text(), "ab  c");
    }

    #[test]
    fn a_paste_goes_where_the_cursor_is() {
        let mut field = Field::of("ad");
        field.typed(Press::Left);
        field.paste("bc");
        field.typed(Press::Char('!'));
        assert_eq!(field.text(), "abc!d");
    }

    #[test]
    fn of_a_long_text_only_what_is_in_sight_is_looked_at() {
        let mut field = Field::of(&"é".repeat(200_000));
        field.typed(Press::Char('z'));
        let area = Rect::new(0, 0, 20, 1);
        let mut buf = Buffer::empty(area);
        let theme = Theme {
            color: false,
            ascii: false,
        };
        let cursor = field.view("", true, theme, area, &mut buf);
        assert_eq!(cursor, Some(Position { x: 19, y: 0 }));
        let shown: String = buf
            .content
            .iter()
            .map(ratatui::buffer::Cell::symbol)
            .collect();
        assert_eq!(shown, format!("{}z ", "é".repeat(18)));
    }

    #[test]
    fn typing_goes_where_the_cursor_is() {
        let mut field = Field::of("ac");
        field.typed(Press::Left);
        field.typed(Press::Char('b'));
        assert_eq!((field.text(), field.at_end()), ("abc", false));
    }
}
