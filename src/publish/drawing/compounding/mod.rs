//! How an error on each step adds up along a flight, drawn: a chart for each sum, one under the
//! other. Steps go to the right, what is off goes up and down in marks of the tape. The wedge is
//! every step off the same way; the washes are what falls by chance; the chalk is the stair itself.
//! Every line has its name beside its end, and its own way of being drawn, so that it reads without
//! colour.

mod labels;
mod scale;

use labels::Label;

pub use labels::places;
pub use scale::Scale;

use super::{Drawing, Ink};
use crate::doubt::compounding::{Compounding, Fan, FanStep, Sum};
use crate::measure::{Length, Tape};
use crate::publish::compounding::{fine, heading, off_words, says, sides, up_to};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// The whole, mm.
const WIDE: f64 = 186.0;
/// Where the plot begins and ends.
const LEFT: f64 = 17.0;
const RIGHT: f64 = 124.0;
/// Where names stand.
const NAMES: f64 = 129.0;
/// How tall a plot is.
const TALL: f64 = 46.0;
/// From one line of small text to the next.
const LEADING: f64 = 3.6;

const SMALL: f64 = 8.0;

/// A wash for nineteen times in twenty, and one for half the time: pale and less pale timber.
const NEARLY: Shade = Ink::SHEET;
const EVEN: Shade = Shade(219, 199, 167);

/// The charts of one flight under a title.
#[must_use]
pub fn compounding(told: &Compounding, tape: Tape, title: &str) -> Drawing {
    let mut canvas = Canvas::default();
    let style = Style::bold(12.5, Ink::PENCIL);
    canvas.fitted((0.0, 4.4), Push::Left, title, style, WIDE);
    let mut below = 12.0;
    let mut words = Vec::new();
    for fan in &told.fans {
        if fan.steps.is_empty() {
            continue;
        }
        let sentences = says(fan, told.per_step, tape);
        below = headed(&mut canvas, below, fan, &sentences);
        below = plot(&mut canvas, below, fan, told.per_step, tape) + 7.0;
        words.push(format!("{}. {}", heading(fan.of), sentences.join(" ")));
    }
    Drawing {
        width: WIDE,
        height: below,
        canvas,
        says: format!("{title}. {}", words.join(" ")),
    }
}

/// Heading and sentences; gives where the plot begins.
fn headed(canvas: &mut Canvas, below: f64, fan: &Fan, sentences: &[String]) -> f64 {
    let style = Style::bold(9.5, Ink::CHALK);
    canvas.text((0.0, below), Push::Left, heading(fan.of), style);
    let style = Style::regular(SMALL, Ink::PENCIL);
    let first = below + 4.3;
    let text = sentences.join(" ");
    let lines = canvas.lines((0.0, first), &text, style, WIDE, LEADING);
    first + LEADING * lines as f64 + 1.5
}

/// One chart; gives where it ends.
fn plot(canvas: &mut Canvas, top: f64, fan: &Fan, per_step: Length, tape: Tape) -> f64 {
    let scale = Scale::of(fan, tape, (LEFT, RIGHT), (top, top + TALL));
    washes(canvas, fan, &scale);
    grid(canvas, fan, &scale, tape);
    by_rule(canvas, fan, &scale);
    stair(canvas, fan, &scale);
    names(canvas, fan, &scale, per_step, tape);
    numbers(canvas, fan, &scale)
}

/// The places of both edges of something that lies as far either way.
fn edges(
    fan: &Fan,
    scale: &Scale,
    middle: impl Fn(&FanStep) -> Length,
    half: impl Fn(&FanStep) -> Length,
) -> [Vec<(f64, f64)>; 2] {
    [-1.0, 1.0].map(|side| {
        let at = |row: &FanStep| scale.at(row.step, middle(row) + half(row) * side);
        fan.steps.iter().map(at).collect()
    })
}

/// What falls by chance.
fn washes(canvas: &mut Canvas, fan: &Fan, scale: &Scale) {
    let mut wash = |shade: Shade, half: fn(&FanStep) -> Length| {
        let [low, mut ring] = edges(fan, scale, |_| Length::ZERO, half);
        ring.extend(low.iter().rev());
        canvas.area(&ring, Some(Pen::new(Ink::SOFT, 0.12)), Some(shade));
    };
    wash(NEARLY, |row| row.stepped.nearly);
    wash(EVEN, |row| row.stepped.even);
}

/// Marks of the tape either way, and what is over and under: a tape has no negative marks.
fn grid(canvas: &mut Canvas, fan: &Fan, scale: &Scale, tape: Tape) {
    let style = Style::regular(7.5, Ink::SOFT);
    let side = Style::regular(7.5, Ink::PENCIL);
    let numbers = LEFT - 1.5;
    let marks: Vec<Length> = scale.marks().collect();
    for &mark in &marks {
        let y = scale.y(mark);
        let none = mark.abs() < scale.mark / 2.0;
        let (pen, word) = if none {
            (Pen::new(Ink::PENCIL, 0.3), "0".to_owned())
        } else {
            (Pen::new(Ink::FAINT, 0.15), fine(tape, mark.abs()))
        };
        canvas.line(&[(LEFT, y), (RIGHT, y)], pen);
        canvas.text((numbers, y + 0.95), Push::Right, &word, style);
    }
    let [over, under] = sides(fan.of);
    if let (Some(&lowest), Some(&highest)) = (marks.first(), marks.last()) {
        let (top, bottom) = (scale.y(highest) - 2.3, scale.y(lowest) + 4.2);
        canvas.text((numbers, top), Push::Right, over, side);
        canvas.text((numbers, bottom), Push::Right, under, side);
    }
}

/// The wedge of every step the same way, and marks from one end of a tape.
fn by_rule(canvas: &mut Canvas, fan: &Fan, scale: &Scale) {
    for line in edges(fan, scale, |_| Length::ZERO, |row| row.same_way) {
        canvas.line(&line, Pen::new(Ink::PENCIL, 0.4));
    }
    let dotted = Pen::new(Ink::PENCIL, 0.3).dashed(0.4, 1.0);
    for line in edges(fan, scale, |_| Length::ZERO, |row| row.one_tape.nearly) {
        canvas.line(&line, dotted);
    }
}

/// The stair as found, and what its readings leave open: thin for nineteen times in twenty, at each
/// step a bar for half the time. What adds up has a thin line along it; tread ends stand each by
/// itself, and have a thin bar.
fn stair(canvas: &mut Canvas, fan: &Fan, scale: &Scale) {
    let thin = Pen::new(Ink::CHALK, 0.3);
    let bar = |canvas: &mut Canvas, row: &FanStep, half: Length, pen: Pen| {
        let end = |side: f64| scale.at(row.step, row.found + half * side);
        canvas.line(&[end(-1.0), end(1.0)], pen);
    };
    if fan.of == Sum::TreadEnds {
        for row in &fan.steps {
            bar(canvas, row, row.open.nearly, thin);
        }
    } else {
        for line in edges(fan, scale, |row| row.found, |row| row.open.nearly) {
            canvas.line(&line, thin.dashed(1.6, 0.9));
        }
    }
    for row in &fan.steps {
        bar(canvas, row, row.open.even, Pen::new(Ink::CHALK, 0.9));
    }
    let found: Vec<(f64, f64)> = fan
        .steps
        .iter()
        .map(|row| scale.at(row.step, row.found))
        .collect();
    canvas.line(&found, Pen::new(Ink::CHALK, 0.45));
    for spot in found {
        canvas.round(spot, 0.75, Some(Pen::new(Ink::CARD, 0.2)), Some(Ink::CHALK));
    }
}

/// The name of every line beside its end.
fn names(canvas: &mut Canvas, fan: &Fan, scale: &Scale, per_step: Length, tape: Tape) {
    let Some(last) = fan.last() else {
        return;
    };
    let plain = Style::regular(SMALL, Ink::PENCIL);
    let name = |at: Length, text: String| Label::new(scale.y(at), vec![(text, plain)]);
    let stair = match off_words(fan.of, last.found, tape) {
        Some(off) => format!("this stair: {off}"),
        None => "this stair: as meant".to_owned(),
    };
    let line = match fan.of {
        Sum::TreadEnds => "thin bars",
        Sum::Heights | Sum::Goings => "dashed",
    };
    let known = format!(
        "known to {}, 19 times in 20 ({line})",
        up_to(tape, last.open.nearly)
    );
    let even = format!(
        "and half the time to {} (thick bars)",
        up_to(tape, last.open.even)
    );
    let chalk = [
        (stair, Style::bold(SMALL, Ink::CHALK)),
        (known, Style::regular(SMALL, Ink::CHALK)),
        (even, Style::regular(SMALL, Ink::CHALK)),
    ];
    let all = vec![
        name(
            last.same_way,
            format!("all the same way: {}", tape.print(last.same_way)),
        ),
        name(
            last.stepped.nearly,
            format!(
                "by chance, 19 times in 20: {}",
                up_to(tape, last.stepped.nearly)
            ),
        ),
        name(
            last.stepped.even,
            format!(
                "by chance, half the time: {}",
                up_to(tape, last.stepped.even)
            ),
        ),
        name(
            last.one_tape.nearly,
            format!("marked from one end: {}", fine(tape, per_step)),
        ),
        Label::new(scale.y(last.found), chalk.to_vec()),
    ];
    let room = (scale.top - 1.0, scale.bottom + 2.0);
    labels::put(canvas, all, (RIGHT, NAMES, WIDE), room);
}

/// The numbers of the steps; gives where they end.
fn numbers(canvas: &mut Canvas, fan: &Fan, scale: &Scale) -> f64 {
    let style = Style::regular(7.5, Ink::SOFT);
    let y = scale.bottom + 4.0;
    canvas.text((NAMES, y), Push::Left, "step", style);
    let every = scale.every();
    for row in fan.steps.iter().filter(|row| row.step % every == 0) {
        let (x, _) = scale.at(row.step, Length::ZERO);
        canvas.text((x, y), Push::Centre, &row.step.to_string(), style);
    }
    y
}

#[cfg(test)]
mod tests;
