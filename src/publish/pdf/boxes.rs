//! Letters that the shipped faces have not, which print as boxes.
//!
//! In: marks. Out: the words that hold such a letter.

use std::collections::BTreeMap;

use super::{Face, Mark, shape};

/// The words among some marks that hold a letter for which their face has no glyph, each once, in their
/// order. They print with a box in its place.
#[must_use]
pub fn boxed<'a>(marks: impl IntoIterator<Item = &'a Mark>) -> Vec<String> {
    let mut lacks = Lacks::default();
    let mut words: Vec<String> = Vec::new();
    for mark in marks {
        let (Mark::Text { text, style, .. } | Mark::Rising { text, style, .. }) = mark else {
            continue;
        };
        let lacking = text
            .split_whitespace()
            .filter(|word| lacks.any(word, style.face));
        for word in lacking.map(str::to_owned).collect::<Vec<_>>() {
            if !words.contains(&word) {
                words.push(word);
            }
        }
    }
    words
}

/// What is said on a page of some marks where letters print as boxes; nothing where none does.
#[must_use]
pub fn boxes_said<'a>(marks: impl IntoIterator<Item = &'a Mark>) -> Option<&'static str> {
    (!boxed(marks).is_empty()).then_some("A box: a letter that this page cannot draw.")
}

/// What has been found of letters so far, by face.
#[derive(Default)]
struct Lacks(BTreeMap<(bool, char), bool>);

impl Lacks {
    fn any(&mut self, word: &str, face: Face) -> bool {
        // Both faces have every printing character of ASCII.
        let other = word.chars().filter(|letter| !letter.is_ascii());
        other.fold(false, |lacks, letter| {
            let known = self.0.entry((face == Face::SemiBold, letter));
            let here = *known.or_insert_with(|| {
                let shaped = shape(letter.encode_utf8(&mut [0; 4]), face);
                shaped.glyphs.iter().any(|glyph| glyph.id == 0)
            });
            lacks || here
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Shade, Spot, Style};
    use super::*;

    fn said(text: &str) -> Mark {
        Mark::Text {
            at: Spot::default(),
            text: text.to_owned(),
            style: Style::regular(8.0, Shade::INK),
        }
    }

    #[test]
    fn words_with_letters_that_no_face_has_are_told_once() {
        // U+697C and U+6771 are ideographs; the faces are for Latin and its neighbours.
        let marks = [
            "N1 \u{697c}\u{6771} top",
            "\u{697c}\u{6771}",
            "7 1/2\" d\u{e9}part \u{2212}3",
        ];
        let marks = marks.map(said);
        assert_eq!(boxed(&marks), ["\u{697c}\u{6771}"]);
        let ascii: String = (' '..='~').collect();
        assert_eq!(
            shape(&ascii, Face::Regular)
                .glyphs
                .iter()
                .filter(|one| one.id == 0)
                .count(),
            0
        );
        assert_eq!(
            shape(&ascii, Face::SemiBold)
                .glyphs
                .iter()
                .filter(|one| one.id == 0)
                .count(),
            0
        );
    }
}
