//! What is stated about a stair and not read.

use super::check;

#[test]
fn steps_as_stated() {
    check(&[
        (
            "rise: 7.5",
            "nosing_edge: Round(5), rise: 7.5",
            "flight.nosing_edge.Round",
            "5",
            "the radius is more than",
            "write ",
        ),
        (
            "rise: 7.5",
            "nosing_edge: Bevel(-1), rise: 7.5",
            "flight.nosing_edge.Bevel",
            "-1",
            "the bevel is negative",
            "write ",
        ),
        (
            "rise: 7.5",
            "kick_slope: 75, rise: 7.5",
            "flight.kick_slope",
            "75",
            "no kick slopes like that",
            "write 0 to 60",
        ),
        (
            "rise: 7.5",
            "kicks: Open, kick_slope: 10, rise: 7.5",
            "flight.kick_slope",
            "10",
            "a stair without kicks has none that slopes",
            "take one",
        ),
        (
            "rise: 7.5",
            "reaches: (on: 0), rise: 7.5",
            "flight.reaches.on",
            "0",
            "how far it goes on is zero",
            "write ",
        ),
    ]);
}

#[test]
fn what_hangs_over() {
    check(&[
        (
            "    design: (",
            "    overheads: [(name: \"soffit\", from: 40, to: 30, low: 100, high: 100)],\n    design: (",
            "overheads[0].to",
            "30",
            "`soffit` ends before it begins",
            "`from` is the lower place",
        ),
        (
            "    design: (",
            "    overheads: [(name: \"soffit\", from: 40, to: 50, low: 100, high: 9000)],\n    design: (",
            "overheads[0].high",
            "9000",
            "this height is more than",
            "write ",
        ),
    ]);
}

#[test]
fn sections_of_rails() {
    let rail = "rail: (";
    check(&[
        (
            rail,
            "rail: (profile: Outline([(0, 0), (1, 0)]), ",
            "design.rail.profile",
            "Outline([(0, 0), (1, 0)])",
            "2 corners bound no section",
            "give three",
        ),
        (
            rail,
            "rail: (profile: Outline([(-1, 0), (1, -2), (-1, -2), (1, 0)]), ",
            "design.rail.profile",
            "Outline([(-1, 0), (1, -2), (-1, -2), (1, 0)])",
            "the section's outline crosses itself",
            "give its corners in their order",
        ),
        (
            rail,
            "rail: (profile: Round(0), ",
            "design.rail.profile.Round",
            "0",
            "the diameter is zero",
            "write ",
        ),
    ]);
}
