//! Sketches of the readings of steps.

use super::tools::{
    At, BEAM, OUTLINE, Run, THIN, TRUE, board, gap, hatch, laser, level as spirit_level, name,
    read, word,
};
use crate::publish::pdf::{Canvas, Pen, Push, Shade};

/// The run that most sketches show: two steps, the lower floor at the left.
const TWO: Run = Run {
    foot: (6.0, 24.0),
    rise: 8.5,
    going: 13.0,
    nosing: 1.8,
    thick: 1.7,
};

fn floor(canvas: &mut Canvas, y: f64, left: f64, right: f64) {
    canvas.line(&[(left, y), (right, y)], OUTLINE);
}

/// Rise: plumb from a tread to the top of the next one.
pub(in super::super) fn rise() -> Canvas {
    let mut c = Canvas::default();
    floor(&mut c, 24.0, 0.0, 6.0);
    TWO.draw(&mut c, 2, 34.0);
    let (nose, low) = (TWO.nose(2), TWO.kick(1).1);
    let x = nose.0 - 3.2;
    // A straightedge carries the height of the upper tread out over the lower one.
    board(&mut c, (x - 2.0, nose.1), (30.0, nose.1), 1.5, Shade::PAPER);
    read(&mut c, (x, low), (x, nose.1));
    name(&mut c, (x - 1.0, 12.8), Push::Right, "Rise");
    c
}

/// Going: level from the face of a kick to the face of the next one.
pub(in super::super) fn going() -> Canvas {
    let mut c = Canvas::default();
    floor(&mut c, 24.0, 0.0, 6.0);
    TWO.draw(&mut c, 2, 34.0);
    let (first, second) = (TWO.kick(1), TWO.kick(2));
    // The face of the lower kick is squared up past its nosing.
    c.line(&[(first.0, first.1), (first.0, first.1 - 6.0)], TRUE);
    let y = first.1 - 3.4;
    read(&mut c, (first.0, y), (second.0, y));
    let middle = (first.0 + second.0) / 2.0;
    name(&mut c, (middle, y - 1.2), Push::Centre, "Going");
    word(&mut c, (middle + 0.6, 21.4), Push::Left, "kick");
    c
}

/// Overhang: from the face of the kick out to the nosing.
pub(in super::super) fn overhang() -> Canvas {
    let mut c = Canvas::default();
    let kick = 18.0;
    floor(&mut c, 24.0, 0.0, kick);
    c.rect((kick, 8.0), (2.2, 16.0), Some(OUTLINE), Some(Shade::PAPER));
    c.rect((11.0, 4.0), (23.0, 4.0), Some(OUTLINE), Some(Shade::TONE));
    // A small square stands against the kick.
    c.area(
        &[
            (kick, 20.0),
            (kick, 9.5),
            (kick - 1.6, 9.5),
            (kick - 1.6, 18.4),
            (9.0, 18.4),
            (9.0, 20.0),
        ],
        Some(THIN),
        Some(Shade::TONE),
    );
    c.line(&[(11.0, 8.0), (11.0, 15.0)], TRUE);
    read(&mut c, (11.0, 13.2), (kick, 13.2));
    name(&mut c, (10.0, 13.8), Push::Right, "Overhang");
    word(&mut c, (21.6, 16.0), Push::Left, "kick");
    word(&mut c, (24.0, 6.9), Push::Left, "tread");
    c
}

/// Edge: from the stretched string out to the end of each tread, seen from above.
pub(in super::super) fn edge() -> Canvas {
    let mut c = Canvas::default();
    let ends = [6.0, 4.2, 6.8, 5.2];
    for (end, x) in ends.iter().zip([1.0, 9.0, 17.0, 25.0]) {
        c.rect(
            (x, *end),
            (8.0, 22.0 - end),
            Some(OUTLINE),
            Some(Shade::TONE),
        );
    }
    let string = 14.0;
    c.line(&[(0.0, string), (34.0, string)], Pen::new(Shade::INK, 0.25));
    for x in [0.5, 33.5] {
        c.round((x, string), 0.6, None, Some(Shade::INK));
    }
    for (end, x) in ends.iter().zip([5.0, 13.0, 21.0, 29.0]) {
        read(&mut c, (x, string), (x, *end));
    }
    name(&mut c, (17.0, 2.6), Push::Centre, "Edge");
    word(&mut c, (9.6, 17.2), Push::Left, "string");
    word(&mut c, (17.0, 24.6), Push::Centre, "seen from above");
    c
}

/// Width: the length of the tread from its open end to the wall.
pub(in super::super) fn width() -> Canvas {
    let mut c = Canvas::default();
    let wall = 3.4;
    c.line(&[(0.0, wall), (34.0, wall)], OUTLINE);
    hatch(&mut c, (34.0, wall), (0.0, wall));
    for x in [1.0, 11.5, 22.0] {
        c.rect((x, wall), (10.5, 16.6), Some(OUTLINE), Some(Shade::TONE));
    }
    read(&mut c, (13.4, wall), (13.4, 20.0));
    name(&mut c, (14.3, 12.4), Push::Left, "Width");
    word(&mut c, (27.2, 6.8), Push::Centre, "wall");
    word(&mut c, (17.0, 24.0), Push::Centre, "open side, from above");
    c
}

/// Level: a level along a tread, a wedge under its low end.
pub(in super::super) fn level() -> Canvas {
    let mut c = Canvas::default();
    let (open, wall): (At, At) = ((2.0, 16.4), (31.0, 13.0));
    c.line(&[(31.0, 2.0), (31.0, 24.0)], OUTLINE);
    hatch(&mut c, (31.0, 24.0), (31.0, 2.0));
    c.area(
        &[open, wall, (wall.0, wall.1 + 2.4), (open.0, open.1 + 2.4)],
        Some(OUTLINE),
        Some(Shade::TONE),
    );
    wedge_at_left(&mut c, open.0, open.1, 3.0);
    spirit_level(&mut c, (open.0, wall.1), (30.6, wall.1));
    gap(&mut c, (open.0 + 0.5, wall.1), (open.0 + 0.5, open.1));
    name(&mut c, (3.6, 22.0), Push::Left, "Level");
    word(&mut c, (16.8, 7.6), Push::Centre, "bubble in the middle");
    word(&mut c, (29.6, 21.4), Push::Right, "high end: wall");
    c
}

/// A wedge under the left end of a tool.
fn wedge_at_left(canvas: &mut Canvas, x: f64, y: f64, high: f64) {
    let spots = [(x + 1.6, y - 0.2), (x + 1.6, y - high), (x + 7.6, y - 0.9)];
    canvas.area(&spots, Some(THIN), Some(Shade::INK));
}

/// Fall: a short level across the depth of a tread.
pub(in super::super) fn fall() -> Canvas {
    let mut c = Canvas::default();
    let (front, back): (At, At) = ((5.0, 15.2), (29.0, 12.4));
    c.line(&[(29.0, back.1), (29.0, 3.0)], OUTLINE);
    c.line(&[(9.0, 17.0), (9.0, 24.0)], OUTLINE);
    c.area(
        &[
            front,
            back,
            (back.0, back.1 + 2.4),
            (front.0, front.1 + 2.4),
        ],
        Some(OUTLINE),
        Some(Shade::TONE),
    );
    wedge_at_left(&mut c, front.0, front.1, 2.4);
    spirit_level(&mut c, (front.0, back.1), (28.6, back.1));
    gap(&mut c, (front.0 + 0.5, back.1), (front.0 + 0.5, front.1));
    name(&mut c, (4.2, 22.2), Push::Right, "Fall");
    word(&mut c, (12.0, 21.4), Push::Left, "low edge: front");
    word(&mut c, (30.2, 6.0), Push::Left, "kick");
    c
}

/// Under: from a level laser line down to each tread.
pub(in super::super) fn under() -> Canvas {
    let mut c = Canvas::default();
    let run = Run {
        foot: (9.0, 24.0),
        rise: 4.4,
        going: 7.0,
        nosing: 1.0,
        thick: 1.2,
    };
    floor(&mut c, 24.0, 0.0, 9.0);
    run.draw(&mut c, 3, 34.0);
    let beam = 4.6;
    laser(&mut c, (3.0, beam), 24.0);
    c.line(&[(4.6, beam), (34.0, beam)], BEAM);
    for step in 1..=3 {
        let (x, y) = run.kick(step);
        let x = x + 2.6;
        read(&mut c, (x, beam), (x, y));
    }
    name(&mut c, (28.4, 9.6), Push::Left, "Under");
    word(&mut c, (34.0, 3.2), Push::Right, "laser line");
    c
}

/// Total rise and total run of the whole flight.
pub(in super::super) fn whole() -> Canvas {
    let mut c = Canvas::default();
    let run = Run {
        foot: (4.0, 20.4),
        rise: 3.3,
        going: 4.8,
        nosing: 0.7,
        thick: 0.9,
    };
    floor(&mut c, 20.4, 0.0, 34.0);
    run.draw(&mut c, 5, 34.0);
    let (last, top) = run.kick(5);
    c.line(&[(last, top + 4.2), (last, 22.4)], TRUE);
    c.line(&[(4.0, 20.4), (4.0, 22.4)], TRUE);
    read(&mut c, (4.0, 22.2), (last, 22.2));
    name(&mut c, (13.6, 24.9), Push::Centre, "TotalRun");
    read(&mut c, (30.0, 20.4), (30.0, top));
    name(&mut c, (31.0, 2.6), Push::Right, "TotalRise");
    c
}

/// Pitch: a long level laid on the nosings.
pub(in super::super) fn pitch() -> Canvas {
    let mut c = Canvas::default();
    let run = Run {
        foot: (7.0, 24.0),
        rise: 4.8,
        going: 7.2,
        nosing: 1.2,
        thick: 1.2,
    };
    floor(&mut c, 24.0, 0.0, 7.0);
    run.draw(&mut c, 4, 34.0);
    let (low, high) = (run.nose(1), run.nose(4));
    let lean = (low.1 - high.1) / (high.0 - low.0);
    let along = |x: f64| (x, low.1 - (x - low.0) * lean);
    spirit_level(&mut c, along(3.4), along(31.0));
    let (x, y) = along(3.4);
    c.line(&[(x, y), (x + 11.0, y)], TRUE);
    let turn = lean.atan();
    let arc: Vec<At> = (0..=8_u8)
        .map(|part| {
            let angle = turn * f64::from(part) / 8.0;
            (x + 8.0 * angle.cos(), y - 8.0 * angle.sin())
        })
        .collect();
    c.line(&arc, Pen::new(Shade::CHALK, 0.5));
    name(&mut c, (1.0, 13.0), Push::Left, "Pitch");
    c
}
