//! Sketches of what is done before the first reading: the laser line, the checks of level and
//! laser, and how a reading is written.

use super::tools::{
    BEAM, OUTLINE, Run, THIN, gap, hatch, laser as stand, level, mark, name, read, word,
};
use crate::publish::pdf::{Canvas, Pen, Push, Shade, Style};

/// A level line thrown past the whole flight, its height and its marks.
pub(in super::super) fn line() -> Canvas {
    let mut c = Canvas::default();
    let run = Run {
        foot: (14.0, 24.0),
        rise: 3.8,
        going: 4.6,
        nosing: 0.7,
        thick: 0.9,
    };
    c.line(&[(0.0, 24.0), (14.0, 24.0)], OUTLINE);
    run.draw(&mut c, 4, 34.0);
    let beam = 4.4;
    stand(&mut c, (4.0, beam), 24.0);
    c.line(&[(5.6, beam), (34.0, beam)], BEAM);
    for x in [12.6, 21.6, 31.0] {
        mark(&mut c, (x, beam));
    }
    read(&mut c, (10.4, 24.0), (10.4, beam));
    name(&mut c, (11.4, 12.4), Push::Left, "height");
    word(&mut c, (34.0, 2.8), Push::Right, "marks in pencil");
    word(&mut c, (9.4, 23.2), Push::Right, "0");
    c
}

/// A level turned end for end on one mark: true level is midway between the others.
pub(in super::super) fn reversal() -> Canvas {
    let mut c = Canvas::default();
    let (left, right) = (4.0, 28.0);
    c.line(&[(1.0, 14.0), (31.5, 14.0)], THIN);
    // Before and after, with the two errors alike and opposite.
    ghost(&mut c, (left, 14.0), (right, 10.6));
    level(&mut c, (left, 14.0), (right, 17.4));
    mark(&mut c, (2.6, 14.0));
    for y in [10.6, 17.4] {
        mark(&mut c, (29.6, y));
    }
    gap(&mut c, (32.2, 10.6), (32.2, 17.4));
    word(&mut c, (16.0, 6.4), Push::Centre, "before");
    word(
        &mut c,
        (17.0, 23.6),
        Push::Centre,
        "after turning it end for end",
    );
    word(&mut c, (1.0, 17.8), Push::Left, "one");
    word(&mut c, (1.0, 20.2), Push::Left, "mark");
    c
}

/// A level that was there before.
fn ghost(canvas: &mut Canvas, (x0, y0): (f64, f64), (x1, y1): (f64, f64)) {
    let deep = 2.4;
    canvas.area(
        &[(x0, y0), (x1, y1), (x1, y1 - deep), (x0, y0 - deep)],
        Some(Pen::new(Shade::GREY, 0.18).dashed(0.9, 0.7)),
        None,
    );
}

/// A line laser between two walls: near one, then near the other.
pub(in super::super) fn laser() -> Canvas {
    let mut c = Canvas::default();
    let (left, right) = (3.0, 31.0);
    c.line(
        &[(left, 1.0), (left, 24.0), (right, 24.0), (right, 1.0)],
        OUTLINE,
    );
    hatch(&mut c, (left, 1.0), (left, 24.0));
    hatch(&mut c, (right, 24.0), (right, 1.0));
    // First near the left wall, then near the right one with its line on the same mark there.
    let (first, met, second) = (13.4, 10.4, 7.4);
    c.line(&[(left, first), (right, met)], BEAM);
    c.line(&[(left, second), (right, met)], BEAM);
    stand(&mut c, (7.4, 12.9), 24.0);
    stand(&mut c, (26.6, 9.9), 24.0);
    for (x, y) in [(left, first), (left, second), (right, met)] {
        mark(&mut c, (x, y));
    }
    gap(&mut c, (5.4, second), (5.4, first));
    word(&mut c, (17.0, 19.6), Push::Centre, "two on A");
    word(&mut c, (29.6, 6.6), Push::Right, "one on B");
    word(&mut c, (4.4, 3.2), Push::Left, "A");
    word(&mut c, (29.6, 3.2), Push::Right, "B");
    c
}

/// A tape with an edge a hair over a mark.
pub(in super::super) fn writing() -> Canvas {
    let mut c = Canvas::default();
    c.rect((0.0, 10.0), (34.0, 7.0), Some(OUTLINE), Some(Shade::TONE));
    let pen = Pen::new(Shade::INK, 0.18);
    for part in 0..=16_u8 {
        let x = 1.0 + 2.0 * f64::from(part);
        let long = match part % 16 {
            0 => 6.2,
            8 => 4.6,
            4 | 12 => 3.6,
            2 | 6 | 10 | 14 => 2.6,
            _ => 1.7,
        };
        c.line(&[(x, 10.0), (x, 10.0 + long)], pen);
    }
    // The part ends a hair past the ninth mark.
    let end = 19.6;
    c.rect((0.0, 3.6), (end, 5.6), Some(OUTLINE), Some(Shade::PAPER));
    c.line(&[(end, 3.0), (end, 17.6)], Pen::new(Shade::CHALK, 0.35));
    c.text(
        (end + 1.4, 7.4),
        Push::Left,
        "9/16 +",
        Style::bold(9.0, Shade::CHALK),
    );
    word(
        &mut c,
        (17.0, 21.0),
        Push::Centre,
        "+ strong, a hair over the mark",
    );
    word(
        &mut c,
        (17.0, 23.8),
        Push::Centre,
        "\u{2212} scant, a hair under it",
    );
    c
}
