//! A number, a time or a few words in strokes large enough to be read across a room, each sign made of
//! rows of blocks.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::text;

/// Rows of a digit before it is enlarged.
const ROWS: usize = 5;
/// Columns of a digit before it is enlarged, with the gap to the next.
const COLUMNS: usize = 4;

/// The strokes of a digit or of a letter that is needed, row by row.
const fn strokes(digit: u8) -> [&'static str; ROWS] {
    match digit {
        b'0' => ["###", "# #", "# #", "# #", "###"],
        b'1' => [" # ", "## ", " # ", " # ", "###"],
        b'2' => ["###", "  #", "###", "#  ", "###"],
        b'3' => ["###", "  #", " ##", "  #", "###"],
        b'4' => ["# #", "# #", "###", "  #", "  #"],
        b'5' | b'S' => ["###", "#  ", "###", "  #", "###"],
        b'6' => ["###", "#  ", "###", "# #", "###"],
        b'7' => ["###", "  #", "  #", "  #", "  #"],
        b'8' => ["###", "# #", "###", "# #", "###"],
        b'9' => ["###", "# #", "###", "  #", "###"],
        b':' => [" ", "#", " ", "#", " "],
        b' ' => [" "; ROWS],
        b'E' => ["###", "#  ", "## ", "#  ", "###"],
        b'I' => ["#"; ROWS],
        b'M' => ["#   #", "## ##", "# # #", "#   #", "#   #"],
        b'P' => ["###", "# #", "###", "#  ", "#  "],
        b'T' => ["###", " # ", " # ", " # ", " # "],
        b'U' => ["# #", "# #", "# #", "# #", "###"],
        b'-' => ["   ", "   ", "###", "   ", "   "],
        _ => ["   ", "   ", "   ", "   ", "   "],
    }
}

/// How many times numbers up to `most` may be enlarged in that area: a stroke is so many rows high
/// and twice as many columns wide, which is about a square. Two digits at least, so that a tenth
/// bottle makes nothing jump.
pub fn fits(most: i64, area: Rect) -> usize {
    let digits = figures(most);
    let by_height = usize::from(area.height) / ROWS;
    let by_width = usize::from(area.width) / (digits * COLUMNS * 2);
    by_height.min(by_width)
}

fn figures(number: i64) -> usize {
    number.to_string().len().max(2)
}

/// The number as large as the area lets numbers up to `most` be, from its upper left corner; in
/// plain figures where there is no room for strokes. Gives the columns taken.
pub fn draw(number: i64, most: i64, style: Style, area: Rect, buf: &mut Buffer) -> u16 {
    let most = most.max(number);
    let columns = figures(most);
    let figures = number.to_string();
    let times = fits(most, area);
    if times == 0 {
        text::put(
            buf,
            area,
            0,
            Line::from(Span::styled(
                text::cut(&figures, usize::from(area.width)),
                style,
            )),
        );
        return columns as u16;
    }
    for row in 0..ROWS {
        let strokes: Vec<String> = figures
            .bytes()
            .map(|digit| enlarged(strokes(digit)[row], times))
            .collect();
        let line = strokes.join(&" ".repeat(2 * times));
        for repeat in 0..times {
            text::put(
                buf,
                area,
                row * times + repeat,
                Line::from(Span::styled(line.clone(), style)),
            );
        }
    }
    (columns * COLUMNS * 2 * times) as u16
}

/// A time or words as large as the area lets them be; where they are not to be had twice as wide as they
/// are drawn they are narrow, and in plain letters where there is no room for strokes. Gives the rows taken.
pub fn words(said: &str, style: Style, area: Rect, buf: &mut Buffer) -> u16 {
    let signs: Vec<[&str; ROWS]> = said.to_uppercase().bytes().map(strokes).collect();
    let row = |at: usize| {
        let strokes: Vec<&str> = signs.iter().map(|it| it[at]).collect();
        strokes.join(" ")
    };
    let (cells, rows) = (usize::from(area.width), usize::from(area.height));
    let columns = row(0).len().max(1);
    let times = (rows / ROWS).min(cells / (2 * columns));
    let (high, wide) = match times {
        0 if rows >= ROWS && columns <= cells => (1, 1),
        0 => {
            let plain = text::cut(said, cells);
            text::put(buf, area, 0, Line::from(Span::styled(plain, style)));
            return area.height.min(1);
        }
        times => (times, 2 * times),
    };
    for at in 0..ROWS * high {
        let blocks = row(at / high);
        let blocks = blocks.chars().map(|it| if it == '#' { "█" } else { " " });
        let line: String = blocks.map(|it| it.repeat(wide)).collect();
        text::put(buf, area, at, Line::from(Span::styled(line, style)));
    }
    (ROWS * high) as u16
}

fn enlarged(strokes: &str, times: usize) -> String {
    let cells = strokes.chars().map(|it| if it == '#' { "█" } else { " " });
    cells.map(|it| it.repeat(2 * times)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(number: i64, width: u16, height: u16) -> Vec<String> {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        draw(number, number, Style::new(), area, &mut buf);
        let row = |y| {
            let cells = (0..width).map(|x| buf[(x, y)].symbol().to_owned());
            cells.collect::<String>().trim_end().to_owned()
        };
        (0..height).map(row).collect()
    }

    #[test]
    fn a_digit_is_blocks() {
        assert_eq!(
            rows(14, 24, 5),
            [
                "  ██    ██  ██",
                "████    ██  ██",
                "  ██    ██████",
                "  ██        ██",
                "██████      ██",
            ]
        );
    }

    #[test]
    fn more_room_makes_larger_strokes() {
        let area = |width, height| Rect::new(0, 0, width, height);
        assert_eq!(fits(7, area(16, 5)), 1);
        assert_eq!(fits(25, area(32, 12)), 2);
        assert_eq!(fits(25, area(32, 9)), 1);
        assert_eq!(fits(125, area(32, 12)), 1);
        assert_eq!(fits(125, area(23, 12)), 0);
    }

    fn said(words: &str, width: u16, height: u16) -> Vec<String> {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        let taken = super::words(words, Style::new(), area, &mut buf);
        let row = |y| {
            let cells = (0..width).map(|x| buf[(x, y)].symbol().to_owned());
            cells.collect::<String>().trim_end().to_owned()
        };
        (0..taken).map(row).collect()
    }

    #[test]
    fn a_time_is_as_large_as_there_is_room() {
        assert_eq!(
            said("7:41", 30, 6),
            [
                "██████      ██  ██    ██",
                "    ██  ██  ██  ██  ████",
                "    ██      ██████    ██",
                "    ██  ██      ██    ██",
                "    ██          ██  ██████",
            ]
        );
        assert_eq!(said("7:41", 60, 12).len(), 10);
        assert_eq!(said("7:41", 15, 5)[2], "  █   ███  █");
        assert_eq!(said("7:41", 15, 4), ["7:41"]);
    }

    #[test]
    fn time_is_up_fits_a_small_screen() {
        let drawn = said("time is up", 50, 5);
        assert_eq!(drawn.len(), 5);
        assert_eq!(drawn[0], "███ █ █   █ ███   █ ███   █ █ ███");
    }

    #[test]
    fn without_room_it_is_plain_figures() {
        assert_eq!(rows(14, 8, 1), ["14"]);
    }

    #[test]
    fn no_two_digits_look_alike() {
        for one in b'0'..=b'9' {
            for other in one + 1..=b'9' {
                assert_ne!(strokes(one), strokes(other));
            }
        }
    }
}
