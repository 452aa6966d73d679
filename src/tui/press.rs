//! A key press, as the command table names it: read once, where events come in.

use std::fmt;

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// One press of a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Press {
    /// A printable character, with Shift already in it.
    Char(char),
    /// A character with Control.
    Ctrl(char),
    /// The key of that name.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Tab with Shift.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Home.
    Home,
    /// End.
    End,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// A function key.
    F(u8),
}

impl Press {
    /// From what the terminal sent. Releases and repeats are not presses. On keyboards with an Alt Gr key
    /// some terminals send `{ [ ] } \ @ ~ |` with Control and Alt set: those are the character.
    pub fn from_event(event: KeyEvent) -> Option<Press> {
        if event.kind != KeyEventKind::Press {
            return None;
        }
        let control = event.modifiers.contains(KeyModifiers::CONTROL);
        let alt = event.modifiers.contains(KeyModifiers::ALT);
        let shift = event.modifiers.contains(KeyModifiers::SHIFT);
        match event.code {
            KeyCode::Char(c) if control && !alt => Some(Press::Ctrl(c.to_ascii_lowercase())),
            KeyCode::Char(_) if alt && !control => None,
            KeyCode::Char(c) if shift => Some(Press::Char(c.to_uppercase().next().unwrap_or(c))),
            KeyCode::Char(c) => Some(Press::Char(c)),
            KeyCode::Enter => Some(Press::Enter),
            KeyCode::Esc => Some(Press::Esc),
            KeyCode::Tab if shift => Some(Press::BackTab),
            KeyCode::Tab => Some(Press::Tab),
            KeyCode::BackTab => Some(Press::BackTab),
            KeyCode::Backspace => Some(Press::Backspace),
            KeyCode::Delete => Some(Press::Delete),
            KeyCode::Up => Some(Press::Up),
            KeyCode::Down => Some(Press::Down),
            KeyCode::Left => Some(Press::Left),
            KeyCode::Right => Some(Press::Right),
            KeyCode::Home => Some(Press::Home),
            KeyCode::End => Some(Press::End),
            KeyCode::PageUp => Some(Press::PageUp),
            KeyCode::PageDown => Some(Press::PageDown),
            KeyCode::F(number) => Some(Press::F(number)),
            _ => None,
        }
    }
}

/// As footer, help and manual write it.
impl fmt::Display for Press {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Press::Char(' ') => "Space",
            Press::Char(c) => return write!(f, "{c}"),
            Press::Ctrl(c) => return write!(f, "Ctrl-{}", c.to_ascii_uppercase()),
            Press::F(number) => return write!(f, "F{number}"),
            Press::Enter => "Enter",
            Press::Esc => "Esc",
            Press::Tab => "Tab",
            Press::BackTab => "Shift-Tab",
            Press::Backspace => "Backspace",
            Press::Delete => "Delete",
            Press::Up => "↑",
            Press::Down => "↓",
            Press::Left => "←",
            Press::Right => "→",
            Press::Home => "Home",
            Press::End => "End",
            Press::PageUp => "PgUp",
            Press::PageDown => "PgDn",
        };
        f.write_str(word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(code: KeyCode, modifiers: KeyModifiers, expected: Option<Press>) {
        assert_eq!(
            Press::from_event(KeyEvent::new(code, modifiers)),
            expected,
            "{code:?} {modifiers:?}"
        );
    }

    #[test]
    fn a_character_of_altgr_is_the_character() {
        check(
            KeyCode::Char('@'),
            KeyModifiers::CONTROL | KeyModifiers::ALT,
            Some(Press::Char('@')),
        );
        check(
            KeyCode::Char('C'),
            KeyModifiers::CONTROL,
            Some(Press::Ctrl('c')),
        );
        check(KeyCode::Char('x'), KeyModifiers::ALT, None);
    }

    #[test]
    fn shift_is_in_the_character() {
        check(
            KeyCode::Char('j'),
            KeyModifiers::SHIFT,
            Some(Press::Char('J')),
        );
        check(
            KeyCode::Char('?'),
            KeyModifiers::SHIFT,
            Some(Press::Char('?')),
        );
        check(KeyCode::Tab, KeyModifiers::SHIFT, Some(Press::BackTab));
    }

    #[test]
    fn letting_go_of_a_key_is_not_pressing_it() {
        let released =
            KeyEvent::new_with_kind(KeyCode::Enter, KeyModifiers::NONE, KeyEventKind::Release);
        assert_eq!(Press::from_event(released), None);
    }
}
