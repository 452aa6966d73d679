//! Figures to be read from across a room.

/// Rows of a pixel drawing of a sign, from the top.
fn pixels(sign: char) -> Option<[&'static str; 5]> {
    Some(match sign {
        '0' => ["###", "# #", "# #", "# #", "###"],
        '1' => [" # ", "## ", " # ", " # ", "###"],
        '2' => ["###", "  #", "###", "#  ", "###"],
        '3' => ["###", "  #", "###", "  #", "###"],
        '4' => ["# #", "# #", "###", "  #", "  #"],
        '5' => ["###", "#  ", "###", "  #", "###"],
        '6' => ["###", "#  ", "###", "# #", "###"],
        '7' => ["###", "  #", "  #", "  #", "  #"],
        '8' => ["###", "# #", "###", "# #", "###"],
        '9' => ["###", "# #", "###", "  #", "###"],
        '.' => [" ", " ", " ", " ", "#"],
        '/' => ["  #", "  #", " # ", "#  ", "#  "],
        '-' | '−' => ["   ", "   ", "###", "   ", "   "],
        ' ' => [" ", " ", " ", " ", " "],
        _ => return None,
    })
}

/// How large figures are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Size {
    /// Five rows.
    Tall,
    /// Three rows.
    Small,
}

/// The rows of a number drawn large; `None` if a sign of it cannot be drawn.
pub(super) fn large(number: &str, size: Size) -> Option<Vec<String>> {
    let signs: Vec<[&str; 5]> = number.chars().map(pixels).collect::<Option<_>>()?;
    let row = |at: usize| -> Vec<bool> {
        let mut dots = Vec::new();
        for sign in &signs {
            dots.extend(sign.get(at).map_or("", |it| it).chars().map(|it| it == '#'));
            dots.push(false);
        }
        dots
    };
    Some(match size {
        Size::Tall => (0..5)
            .map(|at| {
                row(at)
                    .iter()
                    .map(|it| if *it { "██" } else { "  " })
                    .collect()
            })
            .collect(),
        Size::Small => (0..3)
            .map(|at| {
                let upper = row(2 * at);
                let lower = if at < 2 { row(2 * at + 1) } else { Vec::new() };
                let under = lower.iter().copied().chain(std::iter::repeat(false));
                upper
                    .iter()
                    .zip(under)
                    .map(|it| match it {
                        (true, true) => '█',
                        (true, false) => '▀',
                        (false, true) => '▄',
                        (false, false) => ' ',
                    })
                    .collect()
            })
            .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_figures_fold_two_rows_into_one() {
        let rows = large("1.7", Size::Small).unwrap();
        assert_eq!(rows, ["▄█    ▀▀█ ", " █      █ ", "▀▀▀ ▀   ▀ "]);
    }

    #[test]
    fn every_row_of_a_number_is_as_long_as_the_others() {
        for size in [Size::Tall, Size::Small] {
            let rows = large("0123456789 1/8-.", size).unwrap();
            assert!(
                rows.iter()
                    .all(|it| it.chars().count() == rows[0].chars().count())
            );
        }
    }

    #[test]
    fn what_cannot_be_drawn_is_not() {
        assert_eq!(large("wait", Size::Tall), None);
    }
}
