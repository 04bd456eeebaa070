//! [`Canvas`]: marks put down one after the other. Millimetres, from the canvas's upper left
//! corner right and down.

use super::{Mark, Pen, Shade, Spot, Style};

/// Which side of a place text stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Push {
    /// It begins there.
    Left,
    /// Its middle is there.
    Centre,
    /// It ends there.
    Right,
}

/// Marks under construction. Every place, size, radius and leading is mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Canvas {
    /// The marks so far.
    pub marks: Vec<Mark>,
}

impl Canvas {
    /// A line through places.
    pub fn line(&mut self, spots: &[(f64, f64)], pen: Pen) {
        self.path(spots, false, Some(pen), None);
    }

    /// An area.
    pub fn area(&mut self, spots: &[(f64, f64)], pen: Option<Pen>, fill: Option<Shade>) {
        self.path(spots, true, pen, fill);
    }

    /// An upright rectangle.
    pub fn rect(
        &mut self,
        (x, y): (f64, f64),
        (width, height): (f64, f64),
        pen: Option<Pen>,
        fill: Option<Shade>,
    ) {
        let (right, below) = (x + width, y + height);
        self.area(&[(x, y), (right, y), (right, below), (x, below)], pen, fill);
    }

    /// A circle.
    pub fn round(
        &mut self,
        (x, y): (f64, f64),
        radius: f64,
        pen: Option<Pen>,
        fill: Option<Shade>,
    ) {
        self.marks.push(Mark::Round {
            centre: Spot::new(x, y),
            radius,
            pen,
            fill,
        });
    }

    /// A line of text with its baseline at a place.
    pub fn text(&mut self, (x, y): (f64, f64), push: Push, text: &str, style: Style) {
        let text = printable(text);
        let back = match push {
            Push::Left => 0.0,
            Push::Centre => style.width(&text) / 2.0,
            Push::Right => style.width(&text),
        };
        self.marks.push(Mark::Text {
            at: Spot::new(x - back, y),
            text,
            style,
        });
    }

    /// A line of text that runs up the page, to be read from the right, with its baseline at a
    /// place: pushed to the left it begins there.
    pub fn rising(&mut self, (x, y): (f64, f64), push: Push, text: &str, style: Style) {
        let text = printable(text);
        let down = match push {
            Push::Left => 0.0,
            Push::Centre => style.width(&text) / 2.0,
            Push::Right => style.width(&text),
        };
        self.marks.push(Mark::Rising {
            at: Spot::new(x, y + down),
            text,
            style,
        });
    }

    /// A line of text that keeps to a width: set smaller, and if that will not do, cut short.
    pub fn fitted(&mut self, at: (f64, f64), push: Push, text: &str, style: Style, room: f64) {
        let (text, style) = fit(&printable(text), style, room);
        self.text(at, push, &text, style);
    }

    /// Text broken into lines of a width, the first baseline at a place; gives the number of lines.
    pub fn lines(
        &mut self,
        (x, y): (f64, f64),
        text: &str,
        style: Style,
        room: f64,
        leading: f64,
    ) -> usize {
        let mut below = y;
        let lines = wrap(text, style, room);
        for line in &lines {
            self.text((x, below), Push::Left, line, style);
            below += leading;
        }
        lines.len()
    }

    /// Another canvas's marks, with its corner at a place.
    pub fn put(&mut self, (x, y): (f64, f64), other: Self) {
        self.marks
            .extend(other.marks.into_iter().map(|mark| mark.moved(x, y)));
    }

    fn path(&mut self, spots: &[(f64, f64)], closed: bool, pen: Option<Pen>, fill: Option<Shade>) {
        self.marks.push(Mark::Line {
            spots: spots.iter().map(|(x, y)| Spot::new(*x, *y)).collect(),
            closed,
            pen,
            fill,
        });
    }
}

/// A text without line breaks and other characters that do not print.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

/// Text is set down to this part of its size before it is cut short.
const SMALLEST: f64 = 0.7;

/// A text set smaller, or cut short, so that it keeps to a width.
fn fit(text: &str, style: Style, room: f64) -> (String, Style) {
    let wide = style.width(text);
    if wide <= room {
        return (text.to_owned(), style);
    }
    let smaller = Style {
        size: style.size * (room / wide).max(SMALLEST),
        ..style
    };
    let mut kept: Vec<char> = text.chars().collect();
    let mut text = text.to_owned();
    while !kept.is_empty() && smaller.width(&text) > room {
        kept.pop();
        text = kept.iter().collect::<String>() + "\u{2026}";
    }
    (text, smaller)
}

/// Text broken at spaces into lines of a width in millimetres. A longer word is broken where it
/// must be.
#[must_use]
pub fn wrap(text: &str, style: Style, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // Not at no-break spaces, which bind a number to its fraction and unit.
    let words = text.split(' ').filter(|word| !word.is_empty());
    for word in &words
        .flat_map(|word| pieces(word, style, room))
        .collect::<Vec<_>>()
    {
        match lines.last_mut() {
            Some(line) if style.width(&format!("{line} {word}")) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.clone()),
        }
    }
    lines
}

/// A word in pieces that keep to a width, a letter each at the least.
fn pieces(word: &str, style: Style, room: f64) -> Vec<String> {
    if style.width(word) <= room {
        return vec![word.to_owned()];
    }
    let mut pieces = vec![String::new()];
    let mut last = 0;
    for letter in word.chars() {
        let longer = format!("{}{letter}", pieces[last]);
        if pieces[last].is_empty() || style.width(&longer) <= room {
            pieces[last] = longer;
        } else {
            pieces.push(letter.to_string());
            last += 1;
        }
    }
    pieces
}
