//! [`Page`]: text laid out for a terminal of 80 columns.
//!
//! Styles are written as escape codes; whoever prints the page strips them where they do not
//! belong.

use anstyle::Style;

/// The columns that a page keeps to.
const WIDTH: usize = 80;

/// The style of headings.
const BOLD: Style = Style::new().bold();

/// Text under construction.
#[derive(Debug, Default)]
pub(super) struct Page {
    text: String,
}

/// Which way a column's cells are pushed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Push {
    Left,
    Right,
}

impl Page {
    /// The finished text.
    pub(super) fn text(self) -> String {
        self.text
    }

    /// An empty line, unless the page is empty or just had one.
    pub(super) fn space(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// A heading with an empty line above.
    pub(super) fn heading(&mut self, text: &str) {
        self.styled_heading(BOLD, text);
    }

    /// A heading in a style of its own.
    pub(super) fn styled_heading(&mut self, style: Style, text: &str) {
        self.space();
        self.text += &format!("{style}{text}{style:#}\n");
    }

    /// A line as it is.
    pub(super) fn line(&mut self, text: &str) {
        self.text += text.trim_end();
        self.text.push('\n');
    }

    /// Text broken into lines; the first begins with `lead`, the others stand under its end.
    pub(super) fn wrapped(&mut self, lead: &str, text: &str) {
        let indent = " ".repeat(columns(lead));
        let room = WIDTH.saturating_sub(columns(lead)).max(20);
        let mut lead = lead;
        for line in broken(text, room) {
            self.line(&format!("{lead}{line}"));
            lead = &indent;
        }
    }

    /// A table: every column as wide as its widest cell, the last one wrapped.
    pub(super) fn table(&mut self, indent: usize, pushes: &[Push], rows: &[Vec<String>]) {
        let count = rows.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..count)
            .map(|column| {
                let cells = rows.iter().filter_map(|row| row.get(column));
                cells.map(|cell| columns(cell)).max().unwrap_or(0)
            })
            .collect();
        for row in rows {
            let Some((last, cells)) = row.split_last() else {
                continue;
            };
            let mut lead = " ".repeat(indent);
            for (column, cell) in cells.iter().enumerate() {
                let gap = " ".repeat(widths[column] - columns(cell));
                match pushes.get(column) {
                    Some(Push::Right) => lead += &format!("{gap}{cell}  "),
                    _ => lead += &format!("{cell}{gap}  "),
                }
            }
            if pushes.get(cells.len()) == Some(&Push::Right) {
                lead += &" ".repeat(widths[cells.len()] - columns(last));
            }
            self.wrapped(&lead, last);
        }
    }
}

/// The columns that a text takes. Everything we print is one column a character.
fn columns(text: &str) -> usize {
    text.chars().count()
}

/// Words, with a mixed number such as `1 3/4"` kept as one: broken, it reads as another number.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let fraction = word.starts_with(|c: char| c.is_ascii_digit()) && word.contains('/');
        match words.last_mut() {
            Some(before) if fraction && before.ends_with(|c: char| c.is_ascii_digit()) => {
                *before += " ";
                *before += word;
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Text broken at spaces into lines of at most `room` columns; a longer word keeps its own line.
fn broken(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut last = 0;
    for word in &words(text) {
        let line = &lines[last];
        if !line.is_empty() && columns(line) + 1 + columns(word) > room {
            lines.push(String::new());
            last += 1;
        }
        let line = &mut lines[last];
        if !line.is_empty() {
            line.push(' ');
        }
        *line += word;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{Page, Push};

    #[test]
    fn long_text_stays_within_eighty_columns() {
        let mut page = Page::default();
        page.wrapped(" 1  ", &"seventeen balusters ".repeat(20));
        let text = page.text();
        assert!(text.lines().count() > 5);
        assert!(text.lines().all(|line| line.chars().count() <= 80));
        assert!(
            text.lines()
                .skip(1)
                .all(|line| line.starts_with("    s") || line.starts_with("    b"))
        );
    }

    #[test]
    fn columns_line_up_and_the_last_one_wraps() {
        let mut page = Page::default();
        let rows = [("B1", "3 3/4", "short"), ("B10", "13", &"word ".repeat(30))]
            .map(|(a, b, c)| vec![a.to_owned(), b.to_owned(), c.to_owned()]);
        page.table(2, &[Push::Left, Push::Right, Push::Left], &rows);
        let text = page.text();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "  B1   3 3/4  short");
        assert!(lines[1].starts_with("  B10     13  word word"));
        assert!(lines[2].starts_with("              word"));
        assert!(lines.iter().all(|line| line.chars().count() <= 80));
    }

    #[test]
    fn a_mixed_number_is_never_broken() {
        let mut page = Page::default();
        page.wrapped("", &"is 10 1/4\", of 3 9/16\"+ ".repeat(30));
        let text = page.text();
        assert!(text.lines().count() > 5);
        assert!(
            text.lines()
                .all(|line| !line.ends_with(|c: char| c.is_ascii_digit()))
        );
        assert!(text.lines().all(|line| line.chars().count() <= 80));
    }

    #[test]
    fn a_word_longer_than_the_page_is_not_lost() {
        let mut page = Page::default();
        let word = "x".repeat(200);
        page.wrapped("", &format!("a {word} b"));
        assert_eq!(page.text(), format!("a\n{word}\nb\n"));
    }
}
