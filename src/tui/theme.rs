//! What things look like: roles, never colours. The default uses the terminal's own sixteen
//! colours on its own ground; without colour the same signs remain, for no role is told by colour
//! alone.

use ratatui::style::{Color, Modifier, Style};

use crate::cellar::attention::Rank;
use crate::cellar::thing::Wine;

/// How things are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Theme {
    /// Whether colours are used.
    pub color: bool,
    /// Whether only ASCII is drawn.
    pub ascii: bool,
}

impl Theme {
    fn colored(self, color: Color) -> Style {
        if self.color {
            Style::new().fg(color)
        } else {
            Style::new()
        }
    }

    /// Ordinary words.
    pub fn text(self) -> Style {
        Style::new()
    }

    /// What may be overlooked: labels, rules, ages. The bright black of the sixteen is made to be
    /// read on either ground; half of the text's own strength is not, on a light one.
    pub fn dim(self) -> Style {
        if self.color {
            Style::new().fg(Color::DarkGray)
        } else {
            Style::new().add_modifier(Modifier::DIM)
        }
    }

    /// Names and headings.
    pub fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// What is marked. Drawn with the mark `▌` beside it.
    pub fn selected(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// A key to press.
    pub fn key(self) -> Style {
        self.colored(Color::Cyan).add_modifier(Modifier::BOLD)
    }

    /// A hazard, or what was refused.
    pub fn warn(self) -> Style {
        self.colored(Color::Red).add_modifier(Modifier::BOLD)
    }

    /// What went well.
    pub fn good(self) -> Style {
        self.colored(Color::Green)
    }

    /// A forecast or an assumption, always with its `~`.
    pub fn forecast(self) -> Style {
        self.colored(Color::Cyan)
    }

    /// The sign and words of a reason.
    pub fn rank(self, rank: Rank) -> Style {
        match rank {
            Rank::Now => self.warn(),
            Rank::Soon => self.colored(Color::Magenta),
            Rank::Later => self.dim(),
        }
    }

    /// Wine in a picture. Red alone is the alarm's, so that no wine is drawn in it.
    pub fn wine(self, wine: Wine) -> Style {
        match wine {
            Wine::Red => self.colored(Color::Magenta),
            Wine::White => self.colored(Color::Yellow),
            Wine::Rose => self.colored(Color::LightRed),
            Wine::Fruit => self.colored(Color::LightMagenta),
            Wine::Sweet => self.colored(Color::LightYellow),
            Wine::Unknown => self.colored(Color::DarkGray),
        }
    }

    /// Sediment in a picture.
    pub fn lees(self) -> Style {
        self.dim()
    }
}

/// The sign of a rank, the same everywhere.
pub fn sign(rank: Rank) -> &'static str {
    match rank {
        Rank::Now => "!",
        Rank::Soon => "›",
        Rank::Later => "·",
    }
}

/// Where you are.
pub const MARK: &str = "▌";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_colour_no_role_has_one() {
        let theme = Theme {
            color: false,
            ascii: false,
        };
        let mut styles = vec![
            theme.text(),
            theme.dim(),
            theme.strong(),
            theme.selected(),
            theme.key(),
            theme.warn(),
            theme.good(),
            theme.forecast(),
            theme.lees(),
        ];
        styles.extend([Rank::Now, Rank::Soon, Rank::Later].map(|it| theme.rank(it)));
        styles.extend(Wine::ALL.iter().map(|it| theme.wine(*it)));
        for style in styles {
            assert_eq!((style.fg, style.bg), (None, None));
        }
    }

    #[test]
    fn no_wine_is_drawn_in_the_alarm_s_colour_and_an_unknown_one_in_no_other_s() {
        let theme = Theme {
            color: true,
            ascii: false,
        };
        let alarm = theme.rank(Rank::Now).fg;
        let colours: Vec<_> = Wine::ALL.iter().map(|it| theme.wine(*it).fg).collect();
        assert!(!colours.contains(&alarm));
        for (at, colour) in colours.iter().enumerate() {
            assert!(!colours[at + 1..].contains(colour), "{colour:?} twice");
        }
    }

    #[test]
    fn in_ascii_the_mark_is_no_rank_s_sign() {
        let plain = |sign: &str| {
            let sign = sign.chars().next().unwrap();
            crate::tui::ascii::ascii_of(sign).unwrap_or(sign)
        };
        let signs = [Rank::Now, Rank::Soon, Rank::Later].map(|it| plain(super::sign(it)));
        assert!(!signs.contains(&plain(MARK)), "{signs:?}");
    }

    #[test]
    fn no_role_has_a_ground_of_its_own() {
        let theme = Theme {
            color: true,
            ascii: false,
        };
        for style in Wine::ALL.iter().map(|it| theme.wine(*it)) {
            assert_eq!(style.bg, None);
        }
        assert_eq!(theme.selected().bg, None);
    }
}
