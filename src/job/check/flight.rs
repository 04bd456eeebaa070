//! Checks of the flight as it was meant.

use super::Check;
use crate::job::Len;
use crate::job::limits::{
    BOARD, BUILD_UP, Bounds, EDGE, FEWEST_KICKS, GOING, MOST_KICKS, OVERHANG, RISE, WIDTH,
};

pub(super) fn check(check: &mut Check<'_>) {
    let flight = &check.job.flight;
    check.count(
        "flight.count",
        "kicks are not a flight",
        flight.count,
        FEWEST_KICKS,
        MOST_KICKS,
    );
    let lengths: [(&str, &str, &Len, Bounds); 9] = [
        ("flight.rise", "the rise", &flight.rise, RISE),
        ("flight.going", "the going", &flight.going, GOING),
        ("flight.width", "the width", &flight.width, WIDTH),
        (
            "flight.overhang",
            "the overhang",
            &flight.overhang,
            OVERHANG,
        ),
        (
            "flight.tread_thickness",
            "the tread thickness",
            &flight.tread_thickness,
            BOARD,
        ),
        (
            "flight.kick_thickness",
            "the kick thickness",
            &flight.kick_thickness,
            BOARD,
        ),
        ("flight.edge", "the edge", &flight.edge, EDGE),
        (
            "flight.floor_below",
            "the floor below",
            &flight.floor_below,
            BUILD_UP,
        ),
        (
            "flight.floor_above",
            "the floor above",
            &flight.floor_above,
            BUILD_UP,
        ),
    ];
    for (path, what, length, bounds) in lengths {
        check.length(path, what, length, bounds);
    }
    if flight.tread_thickness.value >= flight.rise.value && RISE.hold(flight.rise.value) {
        check.tell(
            "flight.tread_thickness",
            "the tread is thicker than the rise",
            "nothing is left for the kick; check both",
        );
    }
    if flight.overhang.value >= flight.going.value && GOING.hold(flight.going.value) {
        check.tell(
            "flight.overhang",
            "the nosing reaches past the next kick",
            "the overhang is less than the going; check both",
        );
    }
}
