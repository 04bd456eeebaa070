//! The same stair with its open side on the other hand: the same lengths, mirrored hands.

use approx::assert_relative_eq;
use rakewell::job::Hand;
use rakewell::shop::cuts::{CutPiece, Edge, EndOf, SawCut, cut_list};
use rakewell::shop::marks::marks;

use super::{STRAIGHT, chain_of, with};

/// A stair out of true every way, open on the left or on the right going up.
pub(crate) fn crooked(open: &str) -> String {
    let left = open == "Left";
    // The room lies on the left hand of a wall's direction: seen in the mirror it runs the other way.
    let (from, to, twist) = if left {
        (
            "from: (x: \"-36\", y: \"-35 3/4\")",
            "to: (x: \"180\", y: \"-35 3/4\")",
            "4",
        )
    } else {
        (
            "from: (x: \"180\", y: \"35 3/4\")",
            "to: (x: \"-36\", y: \"35 3/4\")",
            "-4",
        )
    };
    let newel = format!(
        "stands: Displaces(step: 1, balusters: 1), twist: \"{twist}\", \
         lean: (up_flight: \"1/4\", outward: \"1/2\", over: \"48\"),"
    );
    with(
        STRAIGHT,
        &[
            ("open_side: Left", &format!("open_side: {open}")),
            ("from: (x: \"-36\", y: \"-35 3/4\")", from),
            ("to: (x: \"180\", y: \"-35 3/4\")", to),
            (
                "// Rise(step: 3, is: \"7 9/16\"),",
                "Rise(step: 3, is: \"7 9/16\"), Going(step: 6, is: \"10 1/8\"), \
                 Level(step: 4, is: \"1/4\", high: Wall), Level(step: 7, is: \"1/8\", high: Open), \
                 Edge(step: 2, is: \"2 1/4\"), Edge(step: 6, is: \"2 5/8\"), \
                 Edge(step: 11, is: \"2 3/8\"),",
            ),
            (
                "    stringers: [",
                "    skirts: [(name: \"Q1\", side: Open, thickness: \"3/4\", width: \"5\"), \
                 (name: \"Q2\", side: Wall, thickness: \"3/4\", above: \"3 1/2\", width: \"14\")],\n\
                 \x20   stringers: [",
            ),
            ("stands: Displaces(step: 1, balusters: 1),", &newel),
        ],
    )
}

fn other(hand: Hand) -> Hand {
    match hand {
        Hand::Left => Hand::Right,
        Hand::Right => Hand::Left,
    }
}

fn edge(edge: Edge) -> Edge {
    match edge {
        Edge::Left => Edge::Right,
        Edge::Right => Edge::Left,
        same => same,
    }
}

fn end(end: EndOf) -> EndOf {
    match end {
        EndOf::Left => EndOf::Right,
        EndOf::Right => EndOf::Left,
        same => same,
    }
}

fn same_cut(one: &SawCut, seen: &SawCut, who: &str) {
    assert_relative_eq!(
        one.mitre.as_degrees(),
        seen.mitre.as_degrees(),
        epsilon = 1e-6
    );
    assert_relative_eq!(
        one.bevel.as_degrees(),
        seen.bevel.as_degrees(),
        epsilon = 1e-6
    );
    assert_eq!(one.mitre_long.map(edge), seen.mitre_long, "{who}");
    assert_eq!(one.bevel_long.map(edge), seen.bevel_long, "{who}");
}

fn same(one: &CutPiece, seen: &CutPiece) {
    let who = format!("{:?} {:?}", one.kind, one.members);
    assert_eq!(one.members, seen.members, "{who}");
    assert_eq!(
        (one.quantity, &one.work),
        (seen.quantity, &seen.work),
        "{who}"
    );
    assert_eq!(one.hand.map(other), seen.hand, "{who}");
    for (a, b) in [
        (one.rough, seen.rough),
        (one.finished, seen.finished),
        (one.long_points, seen.long_points),
        (one.short_points, seen.short_points),
        (one.section[0], seen.section[0]),
    ] {
        assert_relative_eq!(a.as_mm(), b.as_mm(), epsilon = 1e-5);
    }
    for mine in &one.ends {
        let theirs = seen
            .ends
            .iter()
            .find(|theirs| theirs.end == end(mine.end))
            .unwrap();
        assert_eq!(
            (mine.scribed, &mine.meets),
            (theirs.scribed, &theirs.meets),
            "{who}"
        );
        assert_eq!(mine.cuts.len(), theirs.cuts.len(), "{who}");
        for (a, b) in mine.cuts.iter().zip(&theirs.cuts) {
            same_cut(a, b, &who);
        }
    }
}

#[test]
fn the_other_hand_is_the_mirror_image() {
    let [left, right] = ["Left", "Right"].map(|open| chain_of(&crooked(open)));
    let [one, seen] = [&left, &right].map(cut_list);
    assert_eq!(one.pieces.len(), seen.pieces.len());
    let mut handed = 0;
    for (one, seen) in one.pieces.iter().zip(&seen.pieces) {
        same(one, seen);
        handed += u32::from(one.hand.is_some());
    }
    // Rail, newel, treads, kicks, skirts and returns do for one hand only.
    assert!(handed > 8, "{handed} are handed");
    let [one, seen] = [&left, &right].map(marks);
    for (one, seen) in one.runs.iter().zip(&seen.runs) {
        let rows = one.rows.iter().zip(&seen.rows);
        let both = rows.flat_map(|(one, seen)| one.marks.iter().zip(&seen.marks));
        for (one, seen) in both {
            assert_eq!(one.part, seen.part);
            assert_relative_eq!(one.level.as_mm(), seen.level.as_mm(), epsilon = 1e-5);
        }
    }
}
