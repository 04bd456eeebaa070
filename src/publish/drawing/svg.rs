//! Marks as SVG, for pages; one millimetre on the paper is one unit.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use super::Drawing;
use crate::publish::pdf::{Canvas, Face, Mark, Pen, Shade, Spot, Style};

/// A drawing as an SVG element that says what it shows.
#[must_use]
pub fn svg(drawing: &Drawing) -> String {
    let says = escaped(&drawing.says);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{says}\" \
         viewBox=\"0 0 {} {}\"><title>{says}</title>{}</svg>",
        number(drawing.width),
        number(drawing.height),
        inside(&drawing.canvas)
    )
}

/// A drawing as a file of its own: in its true size on its paper, and in the faces of the house
/// where they are at hand.
#[must_use]
pub fn svg_file(drawing: &Drawing) -> String {
    on_paper(drawing, super::Ink::CARD)
}

/// The same on white, for black and white.
#[must_use]
pub fn svg_plain(drawing: &Drawing) -> String {
    on_paper(drawing, Shade::PAPER)
}

fn on_paper(drawing: &Drawing, paper: Shade) -> String {
    let says = escaped(&drawing.says);
    let (width, height) = (number(drawing.width), number(drawing.height));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{says}\" \
         width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" \
         font-family=\"IBM Plex Sans, Segoe UI, Helvetica Neue, Arial, sans-serif\">\n\
         <title>{says}</title>\n<rect width=\"100%\" height=\"100%\" fill=\"{}\"/>\n{}\n</svg>\n",
        colour(paper),
        inside(&drawing.canvas)
    )
}

/// A drawing as a file at its true size with nothing under it: to lay on the wood, or to cut by.
#[must_use]
pub fn svg_true(drawing: &Drawing) -> String {
    let says = escaped(&drawing.says);
    let (width, height) = (number(drawing.width), number(drawing.height));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"{says}\" \
         width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" \
         font-family=\"IBM Plex Sans, Segoe UI, Helvetica Neue, Arial, sans-serif\">\n\
         <title>{says}</title>\n{}\n</svg>\n",
        inside(&drawing.canvas)
    )
}

/// A small mark beside its word, which readers aloud skip.
pub(in crate::publish) fn small(canvas: &Canvas, (width, height): (f64, f64)) -> String {
    format!(
        "<svg class=\"mark\" aria-hidden=\"true\" viewBox=\"0 0 {} {}\">{}</svg>",
        number(width),
        number(height),
        inside(canvas)
    )
}

/// Text that stays text: what would be markup is written as characters, and what would turn the
/// direction of the writing, or does not print, is replaced.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            c if c.is_control() => out.push(' '),
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A picture as an address that holds it.
pub(in crate::publish) fn within(png: &[u8]) -> String {
    format!("data:image/png;base64,{}", STANDARD.encode(png))
}

fn inside(canvas: &Canvas) -> String {
    let mut out = String::new();
    for mark in &canvas.marks {
        let _ = match mark {
            Mark::Line {
                spots,
                closed,
                pen,
                fill,
            } => {
                let name = if *closed { "polygon" } else { "polyline" };
                let places: Vec<String> = spots
                    .iter()
                    .map(|spot| format!("{},{}", number(spot.x), number(spot.y)))
                    .collect();
                let paint = paint(*pen, *fill);
                write!(out, "<{name} points=\"{}\"{paint}/>", places.join(" "))
            }
            Mark::Round {
                centre,
                radius,
                pen,
                fill,
            } => write!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
                number(centre.x),
                number(centre.y),
                number(*radius),
                paint(*pen, *fill)
            ),
            Mark::Picture { at, size, png } => write!(
                out,
                "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" href=\"{}\"/>",
                number(at.x),
                number(at.y),
                number(size.0),
                number(size.1),
                within(png)
            ),
            Mark::Text { at, text, style } => {
                // About its middle: another face than ours may be wider.
                let middle = at.moved(style.width(text) / 2.0, 0.0);
                words(&mut out, (middle, ""), text, *style)
            }
            Mark::Rising { at, text, style } => {
                let middle = at.moved(0.0, -style.width(text) / 2.0);
                let (x, y) = (number(middle.x), number(middle.y));
                let turned = format!(" transform=\"rotate(-90 {x} {y})\"");
                words(&mut out, (middle, &turned), text, *style)
            }
        };
    }
    out
}

/// A line of text about its middle.
fn words(
    out: &mut String,
    (middle, turned): (Spot, &str),
    text: &str,
    style: Style,
) -> std::fmt::Result {
    let weight = match style.face {
        Face::Regular => "",
        Face::SemiBold => " font-weight=\"600\"",
    };
    write!(
        out,
        "<text x=\"{}\" y=\"{}\" text-anchor=\"middle\" font-size=\"{}\" \
         fill=\"{}\"{weight}{turned}>{}</text>",
        number(middle.x),
        number(middle.y),
        number(style.em()),
        colour(style.shade),
        escaped(text)
    )
}

/// A colour as pages write it.
pub(in crate::publish) fn colour(Shade(red, green, blue): Shade) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

fn paint(pen: Option<Pen>, fill: Option<Shade>) -> String {
    let fill = fill.map_or_else(|| "none".to_owned(), colour);
    let mut out = format!(" fill=\"{fill}\"");
    if let Some(pen) = pen {
        let _ = write!(
            out,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
            colour(pen.shade),
            number(pen.thick)
        );
        if let Some((dash, gap)) = pen.dash {
            let _ = write!(
                out,
                " stroke-dasharray=\"{} {}\"",
                number(dash),
                number(gap)
            );
        }
    }
    out
}

/// To a hundredth of a millimetre, without zeros at the end. What is no number is written as 0.
fn number(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text {
        "-0" => "0".to_owned(),
        text => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::{escaped, number};

    #[test]
    fn numbers_are_short() {
        for (value, text) in [(1.0, "1"), (0.126, "0.13"), (-0.001, "0"), (10.5, "10.5")] {
            assert_eq!(number(value), text);
        }
        assert_eq!(number(f64::NAN), "0");
    }

    #[test]
    fn markup_stays_text() {
        assert_eq!(
            escaped("<b a=\"1\">&'\u{202e}\u{7}"),
            "&lt;b a=&quot;1&quot;&gt;&amp;&#39;\u{fffd} "
        );
    }
}
