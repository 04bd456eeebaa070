//! Lines and columns of bytes in a text.

/// The starts of a text's lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    pub(super) fn of(text: &str) -> Self {
        let mut starts = vec![0];
        starts.extend(text.match_indices('\n').map(|(at, _)| at + 1));
        Self { starts }
    }

    /// Line and column of a byte, both from 1; the column counts characters.
    pub(super) fn place(&self, text: &str, byte: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= byte).max(1);
        let start = self.starts[line - 1];
        let column = text
            .get(start..byte)
            .map_or(byte - start, |before| before.chars().count());
        (line, column + 1)
    }

    /// The byte of a line and column, both from 1; the end of the text past its last line.
    pub(super) fn byte(&self, text: &str, line: usize, column: usize) -> usize {
        let start = self
            .starts
            .get(line.saturating_sub(1))
            .copied()
            .unwrap_or(text.len());
        let rest = text.get(start..).unwrap_or("");
        let within = rest
            .char_indices()
            .nth(column.saturating_sub(1))
            .map_or(rest.len(), |c| c.0);
        start + within
    }

    /// The bytes from the start of a line to the end of another, without its line end.
    pub(super) fn range(&self, text: &str, first: usize, last: usize) -> std::ops::Range<usize> {
        let start = self
            .starts
            .get(first.saturating_sub(1))
            .copied()
            .unwrap_or(text.len());
        let end = self.starts.get(last).map_or(text.len(), |next| next - 1);
        start..end.max(start)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_come_back_to_bytes() {
        let text = "a\nb ½ c\n\nd";
        let lines = Lines::of(text);
        let c = text.find('c').expect("it is there");
        assert_eq!(lines.place(text, c), (2, 5));
        assert_eq!(lines.byte(text, 2, 5), c);
        assert_eq!(lines.place(text, text.len()), (4, 2));
        assert_eq!(lines.byte(text, 9, 9), text.len());
        assert_eq!(&text[lines.range(text, 2, 2)], "b ½ c");
        assert_eq!(&text[lines.range(text, 2, 4)], "b ½ c\n\nd");
    }
}
