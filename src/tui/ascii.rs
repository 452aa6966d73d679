//! The screen in ASCII: every sign of ours by those that stand for it there.

use ratatui::buffer::{Buffer, Cell};

/// Replaces every sign of ours by one of ASCII. Letters are left alone: a name is the person's own.
pub(super) fn to_ascii(buffer: &mut Buffer) {
    let width = usize::from(buffer.area.width).max(1);
    for row in buffer.content.chunks_mut(width) {
        close_up(row);
        widen(row);
        for cell in row {
            let sign = cell.symbol().chars().next();
            if let Some(plain) = sign.filter(|it| !it.is_ascii()).and_then(ascii_of) {
                cell.set_char(plain);
            }
        }
    }
}

/// `15 °C` is `15 C`: what stands behind the sign moves up, as far as the text goes on.
fn close_up(row: &mut [Cell]) {
    for at in 1..row.len() {
        if row[at].symbol() == "°" && is_blank(&row[at - 1]) {
            let ends = |it: &usize| {
                is_frame(&row[*it]) || (is_blank(&row[*it]) && row.get(it + 1).is_none_or(is_blank))
            };
            let end = (at..row.len()).find(ends).unwrap_or(row.len());
            row[at..end].rotate_left(1);
            row[end - 1].set_char(' ');
        }
    }
}

/// `± 2.5` is `+/- 2.5` where what stands behind it has room to move on, and `+-2.5` where it has not.
fn widen(row: &mut [Cell]) {
    for at in 0..row.len() {
        if row[at].symbol() != "±" {
            continue;
        }
        let text = row[at..].iter().take_while(|it| !is_frame(it)).count();
        let room = |it: &usize| row[*it..it + 2].iter().all(is_blank);
        // One blank more has to stay between it and what stands further on, but not at the edge.
        let keeps = |it: &usize| it + 2 == at + text || is_blank(&row[it + 2]);
        let fits = (at + 1..(at + text).saturating_sub(1)).find(|it| room(it) && keeps(it));
        let signs = if let Some(end) = fits {
            row[at + 1..end + 2].rotate_right(2);
            "+/-"
        } else if row.get(at + 1).is_some_and(is_blank) {
            "+-"
        } else {
            continue;
        };
        let style = row[at].style();
        for (cell, sign) in row[at..].iter_mut().zip(signs.chars()) {
            cell.set_char(sign).set_style(style);
        }
    }
}

fn is_blank(cell: &Cell) -> bool {
    cell.symbol() == " "
}

/// Whether it is part of a frame, a bar or a slider, behind which other text stands.
fn is_frame(cell: &Cell) -> bool {
    let mut signs = cell.symbol().chars();
    signs.any(|it| ('\u{2500}'..='\u{259f}').contains(&it))
}

/// What stands for a sign in ASCII.
pub(super) fn ascii_of(sign: char) -> Option<char> {
    Some(match sign {
        '─' | '–' | '—' | '−' | '╌' => '-',
        '│' | '┃' | '┊' | '╎' | '╷' | '╵' | '▍' | '▎' | '▏' => '|',
        // The mark, and a line drawn in braille dots.
        '▌' | '\u{2800}'..='\u{28ff}' => '*',
        '›' | '→' | '▸' | '↵' | '≥' => '>',
        '←' | '‹' | '≤' => '<',
        '↑' | '╱' | '▲' => '^',
        '↓' | '√' | '✓' => 'v',
        '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '┼' => '+',
        '╭' | '╯' => '/',
        '╮' | '╰' => '\\',
        '▁' | '▂' | '▃' => '_',
        '▄' | '▅' | '▆' | '▇' | '▀' | '━' | '╸' => '=',
        '█' | '▊' | '▉' | '▋' => '#',
        '▒' | '░' | '▓' => ':',
        '°' => ' ',
        '·' | '…' | '•' | '∙' => '.',
        // Where there is no room for `+/-`.
        '≈' | '±' => '~',
        '₀' => '0',
        '×' => 'x',
        '●' => 'o',
        '▼' => 'V',
        '△' => 'A',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use ratatui::style::{Modifier, Style};

    use super::*;

    #[track_caller]
    fn check(drawn: &str, expected: &str) {
        let mut buffer = Buffer::with_lines([drawn]);
        to_ascii(&mut buffer);
        assert_eq!(buffer, Buffer::with_lines([expected]), "{drawn}");
    }

    #[test]
    fn degrees_are_one_blank_and_their_letter() {
        check("at 15 °C; so  there", "at 15 C; so   there");
        check("│15 °C and 16 °C│x", "|15 C and 16 C  |x");
        check("15 °C", "15 C ");
        check("at °C", "at C ");
    }

    #[test]
    fn more_or_less_keeps_its_minus() {
        check("20 ± 2.5 mg/L.    next", "20 +/- 2.5 mg/L.  next");
        check("│± 2.5  │", "|+/- 2.5|");
        // Without room for it all.
        check("20 ± 2.5 mg", "20 +-2.5 mg");
        check("±2.5", "~2.5");
    }

    #[test]
    fn what_moves_keeps_its_style() {
        let mut buffer = Buffer::with_lines(["± 2   "]);
        buffer[(2, 0)].set_style(Style::new().bold());
        to_ascii(&mut buffer);
        assert_eq!(buffer[(4, 0)].symbol(), "2");
        assert!(buffer[(4, 0)].modifier.contains(Modifier::BOLD));
    }

    #[test]
    fn a_formula_and_its_start_can_be_read() {
        check("F = F₀·e^(−k·t)", "F = F0.e^(-k.t)");
    }
}
