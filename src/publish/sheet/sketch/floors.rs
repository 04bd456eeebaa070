//! Sketches of the readings of floors and landings.

use super::tools::{OUTLINE, THIN, gap, level, name, read, word};
use crate::publish::pdf::{Canvas, Push, Shade};

/// A level on a floor, a wedge under its low end.
pub(in super::super) fn floor() -> Canvas {
    let mut c = Canvas::default();
    let low = (1.0, 17.0);
    c.line(&[low, (33.0, 12.8)], OUTLINE);
    let beam = 13.2;
    c.area(
        &[(3.2, 16.5), (3.2, beam), (9.6, 15.6)],
        Some(THIN),
        Some(Shade::INK),
    );
    level(&mut c, (1.6, beam), (30.0, beam));
    gap(&mut c, (2.0, beam), (2.0, 16.9));
    name(&mut c, (3.8, 22.2), Push::Left, "is");
    word(&mut c, (16.0, 7.4), Push::Centre, "bubble in the middle");
    read(&mut c, (1.6, 3.4), (30.0, 3.4));
    name(&mut c, (16.0, 2.2), Push::Centre, "over");
    word(&mut c, (31.6, 17.6), Push::Right, "high");
    c
}

/// The edges and diagonals of a landing, seen from above.
pub(in super::super) fn landing() -> Canvas {
    let mut c = Canvas::default();
    let corners = [(11.0, 20.0), (24.4, 21.0), (25.0, 4.4), (11.4, 3.6)];
    c.area(&corners, Some(OUTLINE), Some(Shade::TONE));
    read(&mut c, corners[0], corners[2]);
    read(&mut c, corners[1], corners[3]);
    name(&mut c, (17.6, 19.6), Push::Centre, "Diagonal");
    word(&mut c, (18.0, 2.6), Push::Centre, "Wall");
    word(&mut c, (18.0, 24.2), Push::Centre, "Open");
    word(&mut c, (10.2, 12.6), Push::Right, "Downhill");
    word(&mut c, (26.0, 12.6), Push::Left, "Uphill");
    c
}
