//! Balusters in the plough of a shoe, on a half wall and on a closed string; fillets.

use approx::assert_relative_eq;
use rakewell::chain::Chain;
use rakewell::inspect::Kind;
use rakewell::job::Job;
use rakewell::setout::Fillet;
use rakewell::solids::PartKind;

use super::{
    LOWER_AT, SECTION, SPACING, THREE_FOUR_FIVE, UPPER_AT, inches, run, starter, troubles,
};

const HALF_WALL: &str = "is: HalfWall, above: \"4\", thickness: \"4 1/2\", \
    cap: (width: \"5 1/2\", thickness: \"3/4\"), shoe: (width: \"2 1/2\", thickness: \"1\"), \
    plough: (width: \"1 1/4\", depth: \"3/8\"), fillet: \"1/4\"";
const STRING: &str = "is: ClosedString, above: \"2 1/2\", thickness: \"1 1/2\", depth: \"14\", \
    shoe: (width: \"2 1/2\", thickness: \"1\"), \
    plough: (width: \"1 1/4\", depth: \"3/8\"), fillet: \"1/4\"";

fn on_shoe(shoe: &str) -> Job {
    let section = format!("{SECTION}, on: Shoe({shoe})");
    starter(&[
        THREE_FOUR_FIVE,
        LOWER_AT,
        (
            "stands: Displaces(step: 13, balusters: 0)",
            "stands: At(x: \"131\")",
        ),
        (SPACING, "AlongRail(),"),
        (SECTION, &section),
        (
            "bevel: \"1/4\",           ",
            "plough: (width: \"1 1/4\", depth: \"1/4\"), ",
        ),
        ("seat: \"1/2\"", "seat: \"0\""),
    ])
}

fn fillets<'c>(chain: &'c Chain, piece: &str) -> Vec<&'c Fillet> {
    let of = chain.first().setout.fillets.iter();
    of.filter(|fillet| fillet.piece == piece).collect()
}

#[test]
fn balusters_reach_from_plough_to_plough() {
    let chain = run(&on_shoe(HALF_WALL));
    // Plumb over the nosing line, at 3-4-5 (1 / cos = 1 1/4): the wall's top 4, the shoe's top
    // (3/4 + 1) 1.25 more, its plough 3/8 1.25 down; the rail's top 36, its underside 2 3/8 1.25
    // down, its plough 1/4 1.25 up.
    let from = 4.0 + (0.75 + 1.0 - 0.375) * 1.25;
    let to = 36.0 - (2.375 - 0.25) * 1.25;
    let half = 0.625 * 0.75;
    for one in &chain.first().setout.balusters {
        // Both cuts at the pitch, so all corners are as long.
        assert_relative_eq!(inches(one.long_point), to - from, epsilon = 1e-6);
        assert_relative_eq!(inches(one.short_point), to - from, epsilon = 1e-6);
        assert_relative_eq!(one.foot_angle.as_degrees(), 36.8699, epsilon = 1e-4);
        assert!(one.peg.0.as_mm().abs() < 1e-12, "no peg in a plough");
    }
    assert!(half > 0.0);
    assert!(troubles(&chain).is_empty(), "{:?}", troubles(&chain));
    // The wall closes what is under it: no triangles, and every gap is looked at.
    let gaps = chain.first().setout.gaps.len();
    assert_eq!(chain.inspection.openings.len(), gaps);
    assert!(
        chain
            .inspection
            .findings
            .iter()
            .all(|one| one.key.kind != Kind::Triangle)
    );
    for kind in [PartKind::HalfWall, PartKind::Shoe] {
        assert!(
            chain
                .solids
                .parts
                .iter()
                .any(|part| part.kind == kind && !part.pieces.is_empty())
        );
    }
}

#[test]
fn fillets_are_the_gap_over_the_cosine() {
    for shoe in [HALF_WALL, STRING] {
        let chain = run(&on_shoe(shoe));
        for (piece, thickness) in [("shoe", 0.25), ("R1", 0.25)] {
            let found = fillets(&chain, piece);
            assert_eq!(found.len(), chain.first().setout.gaps.len());
            for (fillet, gap) in found.iter().zip(&chain.first().setout.gaps) {
                assert_eq!((&fillet.below, &fillet.above), (&gap.below, &gap.above));
                // gap / cos, and plumb cuts that run on by thickness * tan: elementary.
                let edge = inches(gap.clear) / 0.8;
                assert_relative_eq!(inches(fillet.edge), edge, epsilon = 1e-6);
                let shift = thickness * 0.75;
                assert_relative_eq!(inches(fillet.long_points), edge + shift, epsilon = 1e-6);
                assert_relative_eq!(inches(fillet.short_points), edge - shift, epsilon = 1e-6);
                assert_relative_eq!(fillet.angle.angle().as_degrees(), 36.8699, epsilon = 1e-4);
            }
        }
    }
}

#[test]
fn a_closed_string_stands_clear_of_all_else() {
    let chain = run(&on_shoe(STRING));
    assert!(troubles(&chain).is_empty(), "{:?}", troubles(&chain));
    let body = chain
        .solids
        .parts
        .iter()
        .find(|part| part.name == "closed string")
        .unwrap();
    // A board 1 1/2 thick and 14 plumb over the level way between the newels' faces (plumb, so the
    // ends are a parallelogram's): width times plumb depth times run, less what the floor takes off
    // at its foot.
    let volume: f64 = body
        .pieces
        .iter()
        .map(rakewell::solids::Convex::volume)
        .sum();
    let whole = 1.5 * 14.0 * (131.0 + 0.5 - 3.5);
    let volume = volume / 25.4_f64.powi(3);
    assert!(
        volume < whole + 1e-6 && volume > whole * 0.95,
        "{volume} of {whole}"
    );
}

#[test]
fn a_string_that_ends_at_a_wall_has_its_rail_and_shoe_there() {
    // The upper newel of the starter is left where it was; the rail's plough takes the balusters of
    // both kinds of ground.
    let mut job = on_shoe(HALF_WALL);
    job.design.balusters.on = rakewell::job::Ground::Treads;
    let chain = run(&job);
    assert!(fillets(&chain, "shoe").is_empty());
    assert!(!fillets(&chain, "R1").is_empty());
    assert!(
        chain.inspection.clashes.is_empty(),
        "{:?}",
        troubles(&chain)
    );
    let _ = UPPER_AT;
}

/// The treads end in the string as at a skirt's face: no return nosing is mitred to them, and one end
/// is relieved so that they can be tilted in (common practice, no source).
#[test]
fn treads_end_in_a_closed_string_without_returns() {
    for shoe in [HALF_WALL, STRING] {
        let boards = run(&on_shoe(shoe)).first().boards();
        for tread in &boards.treads {
            assert!(tread.left.returned.is_none() && tread.right.returned.is_none());
            let relieved = [&tread.left, &tread.right].map(|end| end.relief.is_some());
            assert_eq!(relieved, [false, true], "the right end, if nothing is said");
        }
    }
}
