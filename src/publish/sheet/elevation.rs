//! A wall drawn to scale as one sees it from the room, with the places where to read. Millimetres
//! on the paper.
//!
//! The room lies to the left hand of `from -> to`, so that one who faces the wall has its `from`
//! end at the right: along runs to the left.

use super::places::{Place, Plan, beside, standing};
use super::scale::scale;
use crate::job::{Job, Wall};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Spot, Style};

/// The most that a wall may take, without the letters round it.
const TALLEST: f64 = 54.0;
/// Room at either side for letters.
const SIDE: f64 = 9.0;
/// Over the wall, and under it for the words along its foot.
const OVER: f64 = 3.0;
const BELOW: f64 = 8.5;

/// An elevation and the height that it takes.
pub(super) struct Elevation {
    pub(super) canvas: Canvas,
    pub(super) tall: f64,
}

/// Draws a wall with its places, lettered.
pub(super) fn elevation(
    job: &Job,
    wall: &Wall,
    places: &[(String, Place)],
    width: f64,
) -> Elevation {
    let line = Plan::of(wall);
    let (foot, head) = (wall.foot.mm(), wall.head.mm());
    let tall = (head - foot).max(1.0);
    let room = (width - 2.0 * SIDE, TALLEST);
    let (by, name) = scale(job.tape.unit(), (line.length, tall), room);
    let sheet = Sheet {
        right: SIDE + f64::midpoint(room.0, line.length / by),
        bottom: OVER + tall / by,
        by,
        foot,
    };
    let mut canvas = Canvas::default();
    let (left, top) = (sheet.x(line.length), sheet.y(head));
    let size = (sheet.right - left, sheet.bottom - top);
    canvas.rect((left, top), size, None, Some(Shade::PAPER));
    if beside(job, wall) {
        stair(&mut canvas, job, wall, &line, &sheet);
    }
    canvas.rect((left, top), size, Some(Pen::new(Shade::INK, 0.3)), None);
    datum(&mut canvas, wall, &sheet, left);
    targets(&mut canvas, places, &sheet, left);
    foot_words(&mut canvas, &sheet, name, left);
    Elevation {
        canvas,
        tall: sheet.bottom + BELOW,
    }
}

/// From the wall to the paper.
struct Sheet {
    /// The `from` end of the wall.
    right: f64,
    bottom: f64,
    by: f64,
    foot: f64,
}

impl Sheet {
    fn x(&self, along: f64) -> f64 {
        self.right - along / self.by
    }

    fn y(&self, up: f64) -> f64 {
        self.bottom - (up - self.foot) / self.by
    }
}

/// What one stands on along the wall, toned.
fn stair(canvas: &mut Canvas, job: &Job, wall: &Wall, line: &Plan, sheet: &Sheet) {
    let going = job.flight.going.mm();
    // Where the kicks' faces cross the wall.
    let mut ends: Vec<f64> = (0..job.flight.count)
        .map(|kick| (f64::from(kick) * going - line.x(0.0)) / line.way.0)
        .filter(|along| (0.0..=line.length).contains(along))
        .collect();
    ends.extend([0.0, line.length]);
    ends.sort_by(f64::total_cmp);
    let mut spots = vec![(sheet.x(0.0), sheet.bottom)];
    for pair in ends.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        let up = standing(job, wall, line.x(middle)).min(wall.head.mm());
        let y = sheet.y(up);
        spots.extend([(sheet.x(pair[0]), y), (sheet.x(pair[1]), y)]);
    }
    spots.push((sheet.x(line.length), sheet.bottom));
    canvas.area(&spots, Some(Pen::new(Shade::HAIR, 0.18)), Some(Shade::TONE));
}

/// The datum, where it crosses the wall.
fn datum(canvas: &mut Canvas, wall: &Wall, sheet: &Sheet, left: f64) {
    if wall.foot.mm() > 0.0 || wall.head.mm() < 0.0 {
        return;
    }
    let y = sheet.y(0.0);
    let pen = Pen::new(Shade::CHALK, 0.25).dashed(1.8, 0.9);
    canvas.line(&[(left - 5.0, y), (sheet.right + 5.0, y)], pen);
    let small = Style::regular(6.0, Shade::CHALK);
    canvas.text((sheet.right + 5.4, y + 0.7), Push::Left, "0", small);
}

/// The places, each a small target with its letter beside it.
fn targets(canvas: &mut Canvas, places: &[(String, Place)], sheet: &Sheet, left: f64) {
    let bold = Style::bold(7.0, Shade::INK);
    let middle = f64::midpoint(left, sheet.right);
    let mut taken: Vec<(Spot, Spot)> = Vec::new();
    for (letter, place) in places {
        let (x, y) = (sheet.x(place.along.as_mm()), sheet.y(place.up.as_mm()));
        target(canvas, (x, y), place.rail);
        let wide = bold.width(letter);
        let beside = if x < middle - 0.5 { -2.0 - wide } else { 2.0 };
        let at = free((x + beside, y + 0.9), wide, &taken);
        taken.push((Spot::new(at.0, at.1 - 2.0), Spot::new(at.0 + wide, at.1)));
        canvas.text(at, Push::Left, letter, bold);
    }
}

/// The nearest free height for a letter, or its own where all are taken.
fn free(at: (f64, f64), wide: f64, taken: &[(Spot, Spot)]) -> (f64, f64) {
    let clear = |y: f64| {
        taken.iter().all(|(low, high)| {
            at.0 > high.x || at.0 + wide < low.x || y - 2.0 > high.y || y < low.y
        })
    };
    let shifts = [0.0, -2.3, 2.3, -4.6, 4.6];
    let free = shifts.into_iter().find(|shift| clear(at.1 + shift));
    (at.0, at.1 + free.unwrap_or(0.0))
}

fn target(canvas: &mut Canvas, (x, y): (f64, f64), rail: bool) {
    let pen = Pen::new(Shade::CHALK, 0.25);
    let fill = if rail { Shade::CHALK } else { Shade::PAPER };
    canvas.round((x, y), 1.1, Some(pen), Some(fill));
    if !rail {
        canvas.line(&[(x - 1.7, y), (x + 1.7, y)], pen);
        canvas.line(&[(x, y - 1.7), (x, y + 1.7)], pen);
    }
}

/// Which end along is read from, and the scale.
fn foot_words(canvas: &mut Canvas, sheet: &Sheet, scale: &str, left: f64) {
    let small = Style::regular(6.3, Shade::GREY);
    let y = sheet.bottom + 3.2;
    let pen = Pen::new(Shade::CHALK, 0.4);
    let long = (sheet.right - left).min(14.0);
    canvas.line(&[(sheet.right, y - 1.4), (sheet.right, y + 1.4)], pen);
    canvas.line(&[(sheet.right, y), (sheet.right - long, y)], pen);
    canvas.area(
        &[
            (sheet.right - long, y),
            (sheet.right - long + 1.7, y - 0.6),
            (sheet.right - long + 1.7, y + 0.6),
        ],
        None,
        Some(Shade::CHALK),
    );
    let words = format!("along is read from this end; drawn {scale}");
    let wide = small.width(&words);
    // Under the arrow's end, within the room at the sides.
    let right = (sheet.right + SIDE - 1.0).max(wide);
    canvas.text((right, y + 3.9), Push::Right, &words, small);
}
