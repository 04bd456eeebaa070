//! Sketches of the readings of walls.

use super::tools::{
    BEAM, OUTLINE, THIN, TRUE, board, gap, hatch, laser, level, mark, name, read, word,
};
use crate::publish::pdf::{Canvas, Pen, Push, Shade};

/// Offset: level from a plumb laser plane to the face, seen from the end of the wall.
pub(in super::super) fn offset() -> Canvas {
    let mut c = Canvas::default();
    let face = [(5.0, 1.0), (6.6, 12.0), (9.4, 24.0)];
    c.line(&face, OUTLINE);
    hatch_left(&mut c, &face);
    c.line(&[(3.0, 24.0), (34.0, 24.0)], OUTLINE);
    laser(&mut c, (26.0, 20.6), 24.0);
    c.line(&[(26.0, 1.0), (26.0, 19.0)], BEAM);
    for (y, x) in [(4.0, 5.4), (11.0, 6.5), (18.0, 8.0)] {
        read(&mut c, (26.0, y), (x, y));
    }
    name(&mut c, (15.8, 9.8), Push::Centre, "Offset");
    word(&mut c, (27.2, 9.6), Push::Left, "plumb");
    word(&mut c, (27.2, 12.2), Push::Left, "laser");
    word(&mut c, (27.2, 14.8), Push::Left, "plane");
    c
}

fn hatch_left(canvas: &mut Canvas, face: &[(f64, f64)]) {
    for pair in face.windows(2) {
        hatch(canvas, pair[0], pair[1]);
    }
}

/// Plumb: a level held plumb against the wall, touching at one end.
pub(in super::super) fn plumb() -> Canvas {
    let mut c = Canvas::default();
    let face = [(9.0, 0.8), (14.6, 24.0)];
    c.line(&face, OUTLINE);
    hatch_left(&mut c, &face);
    c.line(&[(6.0, 24.0), (34.0, 24.0)], OUTLINE);
    // The level's edge to the wall, plumb, touching low.
    let edge = 13.9;
    level(&mut c, (edge, 3.0), (edge, 21.2));
    c.line(&[(edge, 3.0), (edge, 1.0)], TRUE);
    gap(&mut c, (9.7, 3.6), (edge, 3.6));
    name(&mut c, (18.4, 6.4), Push::Left, "gap, at: Top");
    c.round((edge, 21.2), 0.6, None, Some(Shade::INK));
    word(&mut c, (18.4, 21.8), Push::Left, "touches");
    word(&mut c, (18.4, 13.0), Push::Left, "level plumb");
    c
}

/// Straight: the gap at the middle of a straightedge.
pub(in super::super) fn straight() -> Canvas {
    let mut c = Canvas::default();
    let hollow: Vec<(f64, f64)> = (0..=16_u8)
        .map(|part| {
            let t = f64::from(part) / 16.0;
            (
                1.0 + 32.0 * t,
                7.0 - 3.4 * (1.0 - (2.0 * t - 1.0).powi(2)) + 1.6,
            )
        })
        .collect();
    c.line(&hollow, OUTLINE);
    for pair in hollow.windows(2) {
        hatch(&mut c, pair[1], pair[0]);
    }
    board(&mut c, (33.0, 8.6), (1.0, 8.6), -2.2, Shade::TONE);
    gap(&mut c, (17.0, 5.2), (17.0, 8.6));
    name(&mut c, (18.4, 14.6), Push::Left, "is");
    word(&mut c, (16.4, 20.0), Push::Centre, "gap at its middle;");
    word(
        &mut c,
        (16.4, 22.8),
        Push::Centre,
        "minus where the wall is proud",
    );
    word(&mut c, (2.0, 14.0), Push::Left, "straightedge");
    c
}

/// Between: the level distance square off one wall to another.
pub(in super::super) fn between() -> Canvas {
    let mut c = Canvas::default();
    let (one, other) = ([(1.0, 20.0), (33.0, 20.0)], [(1.0, 5.4), (33.0, 3.4)]);
    c.line(&one, OUTLINE);
    hatch(&mut c, one[0], one[1]);
    c.line(&other, OUTLINE);
    hatch(&mut c, other[1], other[0]);
    read(&mut c, (14.0, 20.0), (14.0, 4.6));
    c.line(&[(14.0, 17.6), (16.4, 17.6), (16.4, 20.0)], THIN);
    name(&mut c, (15.6, 11.6), Push::Left, "Between");
    word(&mut c, (33.0, 17.8), Push::Right, "this wall");
    word(&mut c, (33.0, 8.0), Push::Right, "the other");
    word(&mut c, (17.0, 24.6), Push::Centre, "from above");
    c
}

/// Corner: a leg marked along each wall, and the diagonal between the marks.
pub(in super::super) fn corner() -> Canvas {
    let mut c = Canvas::default();
    let (corner, far, up) = ((6.0, 20.0), (33.0, 20.0), (8.6, 1.0));
    c.line(&[up, corner, far], OUTLINE);
    hatch(&mut c, corner, far);
    hatch(&mut c, up, corner);
    let (leg, other) = ((26.0, 20.0), (8.0, 5.2));
    c.line(&[(leg.0, 18.8), (leg.0, 21.2)], Pen::new(Shade::INK, 0.5));
    mark(&mut c, other);
    read(&mut c, leg, other);
    name(&mut c, (18.6, 11.6), Push::Left, "is");
    word(&mut c, (16.0, 18.6), Push::Centre, "leg");
    word(&mut c, (8.2, 14.2), Push::Left, "other leg");
    word(&mut c, (19.0, 24.6), Push::Centre, "from above");
    c
}
