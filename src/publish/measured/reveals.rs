//! The reveals at the tread ends of a run, up the flight, against the one that was wanted.

use super::draft::{CUT, FINE, NAME, SEEN, TEXT};
use super::plan::own_name;
use super::sheet::{NotesAt, Panel, Scale, sheet};
use super::{Measured, called};
use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::publish::pdf::{Canvas, Pen, Push, Shade};
use crate::setout::Reveal;

/// The height of the chart, mm: at most, and at least.
const TALL: (f64, f64) = (60.0, 24.0);
/// The width of a bar's place, mm: at most, and at least.
const WIDE: (f64, f64) = (12.0, 3.4);
/// Left of the chart for the scale of lengths, mm.
const LEFT: f64 = 17.0;
/// Under it for names, mm.
const UNDER: f64 = 13.0;

/// The chart of a run; `None` where no baluster stands beside a tread's end, and where the room is
/// too small.
pub(super) fn reveals(
    chain: &Chain,
    number: usize,
    room: (f64, f64),
    tape: Tape,
) -> Option<Measured> {
    let run = chain.runs.get(number)?;
    let reveals = &run.setout.reveals;
    if reveals.is_empty() || !run.setout.on_treads() {
        return None;
    }
    let wanted = run.run.job.design.reveal.as_ref().map(|one| one.value);
    let step = ((room.0 - LEFT - 4.0) / reveals.len() as f64).min(WIDE.0);
    // Over the bars for their figures, which rise.
    let figures = reveals.iter().map(|one| NAME.width(&tape.print(one.value)));
    let over = figures.fold(0.0, f64::max) + 2.0;
    // What the notes take under it.
    let tall = (room.1 - UNDER - over - 24.0).min(TALL.0);
    if step < WIDE.1 || tall < TALL.1 {
        return None;
    }
    let canvas = chart(reveals, wanted, tape, (step, tall, over));
    let panel = Panel {
        size: (
            LEFT + step * reveals.len() as f64 + 2.0,
            tall + UNDER + over,
        ),
        canvas,
        dims: Vec::new(),
        notes: notes(reveals, wanted, tape),
    };
    let title = format!("Reveals at the tread ends of {}", called(chain, number));
    let scale = Scale {
        unit: tape.unit(),
        by: 1.0,
        name: "",
    };
    let (drawing, dims) = sheet(vec![panel], scale, &title, (room.0, NotesAt::Under));
    (drawing.width <= room.0 && drawing.height <= room.1).then_some(Measured {
        drawing,
        title,
        scale: "",
        by: 1.0,
        dims,
    })
}

fn notes(reveals: &[Reveal], wanted: Option<Length>, tape: Tape) -> Vec<String> {
    let by_value = |a: &&Reveal, b: &&Reveal| a.value.total_cmp(&b.value);
    let ends = reveals
        .iter()
        .min_by(by_value)
        .zip(reveals.iter().max_by(by_value));
    let range = ends.map(|(least, most)| {
        format!(
            "From {} at {} to {} at {}: they wander by {}.",
            tape.print(least.value),
            own_name(&least.part),
            tape.print(most.value),
            own_name(&most.part),
            tape.print(most.value - least.value)
        )
    });
    let wanted = wanted.map_or_else(
        || "No reveal was asked for: they are as even as one straight line makes them.".to_owned(),
        |wanted| format!("Dashed: the {} that was wanted.", tape.print(wanted)),
    );
    let what =
        "Baluster face to tread end, level, each over its baluster and tread; heavy: the least \
                and the greatest. The lengths at the side do not begin at nothing."
            .to_owned();
    range.into_iter().chain([wanted, what]).collect()
}

/// A round step for the lengths at the side: the least of these that leaves no more than eight.
fn mark_every(tape: Tape, range: f64) -> f64 {
    let mark = tape.mark().as_mm();
    let steps = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 256.0, 1024.0];
    let fits = steps.iter().find(|many| range / (*many * mark) <= 7.0);
    fits.copied().unwrap_or(4096.0) * mark
}

fn chart(
    reveals: &[Reveal],
    wanted: Option<Length>,
    tape: Tape,
    (step, tall, over): (f64, f64, f64),
) -> Canvas {
    let values = || reveals.iter().map(|one| one.value.as_mm());
    let all = || values().chain(wanted.map(Length::as_mm));
    let (low, high) = all().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| {
        (low.min(one), high.max(one))
    });
    let every = mark_every(tape, (high - low).max(tape.mark().as_mm() * 4.0));
    let base = (low / every).floor() * every - every;
    let top = (high / every).ceil() * every;
    let y = |value: f64| over + tall * (top - value) / (top - base);
    let mut canvas = Canvas::default();
    let right = LEFT + step * reveals.len() as f64;
    let count = ((top - base) / every).round() as u32;
    for line in 0..=count {
        let value = base + every * f64::from(line);
        let at = y(value);
        canvas.line(&[(LEFT, at), (right, at)], Pen::new(Shade::HAIR, 0.1));
        let text = tape.print(Length::mm(value));
        canvas.text((LEFT - 1.2, at + 0.8), Push::Right, &text, TEXT);
    }
    if let Some(wanted) = wanted {
        let at = y(wanted.as_mm());
        let pen = Pen::new(Shade::BLACK, 0.35).dashed(2.4, 1.2);
        canvas.line(&[(LEFT, at), (right, at)], pen);
    }
    let ends = [
        values().fold(f64::INFINITY, f64::min),
        values().fold(f64::NEG_INFINITY, f64::max),
    ];
    let mut tread = None;
    for (place, one) in reveals.iter().enumerate() {
        let left = LEFT + step * place as f64;
        let middle = left + step / 2.0;
        let at = y(one.value.as_mm());
        let value = one.value.as_mm();
        let is_end = ends.iter().any(|end| (value - end).abs() < 1e-9);
        let wide = 0.46 * step;
        let thick = if is_end { CUT } else { FINE };
        canvas.rect(
            (middle - wide / 2.0, at),
            (wide, y(base) - at),
            Some(Pen::new(Shade::BLACK, thick)),
            None,
        );
        let style = if is_end { NAME } else { TEXT };
        let text = tape.print(one.value);
        let beside = middle + 0.25 * style.em();
        // The lines behind it are broken.
        let (wide, long) = (style.em(), style.width(&text) + 0.4);
        let slip = (middle - wide / 2.0, at - 0.8 - long);
        canvas.rect(slip, (wide, long), None, Some(Shade::PAPER));
        canvas.rising((beside, at - 1.0), Push::Left, &text, style);
        let name = own_name(&one.part);
        canvas.rising((beside, y(base) + 1.2), Push::Right, &name, TEXT);
        if tread != Some(one.step) {
            tread = Some(one.step);
            let pen = Pen::new(Shade::BLACK, FINE);
            canvas.line(&[(left, y(base)), (left, y(base) + UNDER - 1.0)], pen);
            let name = format!("T{}", one.step);
            canvas.text((left + 0.6, y(base) + UNDER - 1.4), Push::Left, &name, NAME);
        }
    }
    canvas.line(
        &[(LEFT, y(base)), (right, y(base))],
        Pen::new(Shade::BLACK, SEEN),
    );
    canvas
}
