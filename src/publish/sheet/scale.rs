//! The scale that a wall is drawn to: one that a carpenter's rule has.

use crate::measure::Unit;

/// How many millimetres of the wall one millimetre on the paper stands for, with its name.
const INCHES: [(f64, &str); 14] = [
    (2.0, "6 in to the foot"),
    (4.0, "3 in to the foot"),
    (8.0, "1 1/2 in to the foot"),
    (12.0, "1 in to the foot"),
    (16.0, "3/4 in to the foot"),
    (24.0, "1/2 in to the foot"),
    (32.0, "3/8 in to the foot"),
    (48.0, "1/4 in to the foot"),
    (64.0, "3/16 in to the foot"),
    (96.0, "1/8 in to the foot"),
    (192.0, "1/16 in to the foot"),
    (384.0, "1/32 in to the foot"),
    (768.0, "1/64 in to the foot"),
    (1536.0, "1/128 in to the foot"),
];

const MILLIMETRES: [(f64, &str); 13] = [
    (2.0, "1 : 2"),
    (5.0, "1 : 5"),
    (10.0, "1 : 10"),
    (20.0, "1 : 20"),
    (25.0, "1 : 25"),
    (50.0, "1 : 50"),
    (75.0, "1 : 75"),
    (100.0, "1 : 100"),
    (200.0, "1 : 200"),
    (500.0, "1 : 500"),
    (1000.0, "1 : 1000"),
    (2000.0, "1 : 2000"),
    (5000.0, "1 : 5000"),
];

/// The scales of a unit, the largest first.
pub(in crate::publish) const fn scales(unit: Unit) -> &'static [(f64, &'static str)] {
    match unit {
        Unit::Inches => &INCHES,
        Unit::Millimetres => &MILLIMETRES,
    }
}

/// The largest scale at which a wall of a size keeps to the room on the paper. The last one holds
/// any wall that a job may have.
pub(in crate::publish) fn scale(
    unit: Unit,
    size: (f64, f64),
    room: (f64, f64),
) -> (f64, &'static str) {
    let least = (size.0 / room.0).max(size.1 / room.1);
    let fits = scales(unit).iter().find(|(by, _)| *by >= least);
    fits.copied().unwrap_or((least, "not to a scale"))
}
