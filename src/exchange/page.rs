//! Plain text as it leaves the program: lines, columns, and words broken at a width. No boxes, so
//! that a screen reader and a cron mail read it as well as a screen does.

use unicode_width::UnicodeWidthStr;

/// Text that grows line by line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page(String);

impl Page {
    /// Adds a line; blanks at its end are left out.
    pub fn line(&mut self, text: impl AsRef<str>) {
        self.0.push_str(plain(text.as_ref()).trim_end());
        self.0.push('\n');
    }

    /// Adds what another page says.
    pub fn add(&mut self, page: &Page) {
        self.0.push_str(&page.0);
    }

    /// Adds words behind `lead`, broken at `width` columns; further lines stand under the first word.
    pub fn wrapped(&mut self, lead: &str, text: &str, width: usize) {
        let mut line = lead.to_owned();
        let mut is_empty = true;
        for word in text.split_whitespace() {
            let blank = usize::from(!is_empty);
            if !is_empty && line.width() + blank + word.width() > width {
                self.line(&line);
                line = " ".repeat(lead.width());
            } else if !is_empty {
                line.push(' ');
            }
            line.push_str(word);
            is_empty = false;
        }
        self.line(line);
    }

    /// Adds rows with their columns one under the other, two blanks between them. The last column
    /// is as wide as it likes.
    pub fn rows(&mut self, rows: &[Vec<String>]) {
        let mut widths: Vec<usize> = Vec::new();
        for row in rows {
            widths.resize(widths.len().max(row.len()), 0);
            for (width, cell) in widths.iter_mut().zip(row) {
                *width = (*width).max(cell.width());
            }
        }
        for row in rows {
            let cells = row.iter().zip(&widths);
            let mut line = String::new();
            for (cell, width) in cells {
                line.push_str(cell);
                line.push_str(&" ".repeat(width + 2 - cell.width()));
            }
            self.line(line);
        }
    }

    /// The text.
    pub fn text(self) -> String {
        self.0
    }
}

/// Text without characters that steer a terminal or turn the direction of reading: a name in a file
/// from a stranger must not do that. Line ends stay.
pub fn plain(text: &str) -> String {
    let steers = |it: char| {
        (it.is_control() && it != '\n')
            || matches!(it, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    };
    text.replace(steers, "\u{fffd}")
}

/// A value as it is typed in a shell.
pub fn shell_word(value: &str) -> String {
    let is_plain = |it: char| it.is_ascii_alphanumeric() || ".-_/:,+%=".contains(it);
    if !value.is_empty() && value.chars().all(is_plain) {
        value.to_owned()
    } else {
        format!("'{}'", value.replace('\'', r"'\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_one_under_the_other_whatever_the_script() {
        let mut page = Page::default();
        let row = |one: &str, two: &str| vec![one.to_owned(), two.to_owned()];
        page.rows(&[
            row("Rosé", "22.0 L"),
            row("A", "4.5 L"),
            row("ワイン", "1 L"),
        ]);
        assert_eq!(page.text(), "Rosé    22.0 L\nA       4.5 L\nワイン  1 L\n");
    }

    #[test]
    fn a_name_cannot_steer_the_terminal() {
        let mut page = Page::default();
        page.line("Carboy\u{1b}[2J\r\u{202e}A");
        assert_eq!(page.text(), "Carboy\u{fffd}[2J\u{fffd}\u{fffd}A\n");
    }

    #[test]
    fn words_are_broken_at_the_width_and_never_inside() {
        let mut page = Page::default();
        page.wrapped("- ", "one two three", 9);
        assert_eq!(page.text(), "- one two\n  three\n");
    }
}
