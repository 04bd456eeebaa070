//! Heads that miss the plough, leaning parts past the edge of their tread, pegs that come out under
//! it.

use approx::assert_relative_eq;
use rakewell::inspect::{Kind, Verdict};

use super::{IN, changed, find, inches, shift, starter, troubles};

const SECTION: &str = "section: Square(\"1 1/4\")";
/// The starter's rail with a plough 1 1/4 wide and 1/4 deep, without a bevel or a seat.
const PLOUGH: [[&str; 2]; 2] = [
    [
        "bevel: \"1/4\",           ",
        "plough: (width: \"1 1/4\", depth: \"1/4\"), ",
    ],
    ["seat: \"1/2\"", "seat: \"0\""],
];

#[test]
fn a_head_off_the_line_misses_its_plough() {
    for right in [false, true] {
        for (section, off, past) in [
            ("1 1/4", 0.0, 0.0),
            ("1", 0.0, -0.125),
            ("1 1/4", 0.25, 0.25),
            ("1", -0.25, 0.125),
        ] {
            let wide = format!("section: Square(\"{section}\")");
            let mut changes = PLOUGH.to_vec();
            if section != "1 1/4" {
                changes.push([SECTION, &wide]);
            }
            let chain = starter(right, &changes);
            let seen = changed(&chain, |solids| shift(solids, "B05", [0.0, off, 0.0]));
            let found = find(&seen, Kind::PloughMiss, &["B05", "R1"]);
            assert_relative_eq!(inches(found), past, epsilon = 1e-6);
            // Fitting takes a sixteenth.
            assert_eq!(found.verdict == Verdict::Broken, past > 1.0 / 16.0);
            // The plough is 1/4 deep square to the rake: 1/4 / 0.8 plumb.
            let seat = find(&seen, Kind::SeatShallow, &["B05", "R1"]);
            assert_relative_eq!(inches(seat), 0.25 / 0.8, epsilon = 1e-6);
            assert_eq!(seat.verdict, Verdict::Met, "{}", seat.says);
            // All the others lie in it.
            let missing = troubles(&seen, Kind::PloughMiss).len();
            assert_eq!(missing, usize::from(past > 1.0 / 16.0));
        }
    }
}

// A tread 1 in short on the open side, and balusters whose feet follow the tread ends, 1/8 in inside:
// its balusters lean out to the rail.
#[test]
fn a_leaning_baluster_past_the_end_of_its_tread() {
    for right in [false, true] {
        let chain = starter(
            right,
            &[
                ["align: Plumb, ", "align: EvenReveal, "],
                [
                    "fitting: \"1/16\", ",
                    "reveal: \"1/8\", fitting: \"1/16\", ",
                ],
                ["edge_distance: \"3/4\"", "edge_distance: \"1/16\""],
                [
                    "readings: [\n            // Rise",
                    "readings: [\n            Edge(step: 6, is: \"1 1/4\"),\n            // Rise",
                ],
            ],
        );
        let first = chain.first();
        let out = first.site.outward;
        let open = first.site.step(6).unwrap().open_q;
        let leaning = first.setout.balusters.iter().filter(|one| one.step == 6);
        let mut seen = 0;
        for one in leaning {
            // The line that the foot's outer corner goes along, up to the head: it is cut parallel to
            // the rake, 1/2 in plumb over the underside, and its uphill corner is the highest.
            let axis = one.top - one.foot;
            let climb = 0.75;
            // At the corner 5/8 up the flight: z = top.z + 1/2 + climb * (x - top.x).
            let x = 0.625 * IN + one.foot.x - one.top.x;
            let slope = axis.x / axis.z;
            let head = (one.top.z + 0.5 * IN + climb * x - one.foot.z) / (1.0 - climb * slope);
            let past = out * (one.foot.y + axis.y / axis.z * head) + 0.625 * IN - open;
            let found = find(&chain.inspection, Kind::PastEdge, &[&one.name, "T6"]);
            assert_relative_eq!(found.value().as_mm(), past, epsilon = 1e-3);
            assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
            assert!(past > 0.0);
            seen += 1;
        }
        assert_eq!(seen, 2);
        // Those of the other treads stay inside.
        assert_eq!(troubles(&chain.inspection, Kind::PastEdge).len(), 2);
    }
}

// A newel 3 1/2 wide on the line, 2 1/4 in from the tread's end: its outer face is 1/2 in inside. A
// lean of 1 in over 40 takes it that much out for every 40 in up to the rail.
#[test]
fn a_leaning_newel_past_the_end_of_its_tread() {
    for right in [false, true] {
        let leaning = |past: &str| {
            let newel = "height: \"50\",       // above";
            let lean = format!("lean: (outward: \"1\", over: \"40\"), {newel}");
            starter(
                right,
                &[
                    [newel, &lean],
                    [
                        "fitting: \"1/16\", ",
                        &format!("{past} fitting: \"1/16\", "),
                    ],
                ],
            )
        };
        let chain = leaning("");
        let (newel, rail) = (&chain.first().setout.newels[0], &chain.first().setout.rail);
        let up = (rail.lower.z - newel.foot.z) / IN;
        let open = chain.first().site.step(1).unwrap().open_q;
        let at_foot = (newel.foot.y * chain.first().site.outward - open) / IN + 1.75;
        assert_relative_eq!(at_foot, -0.5, epsilon = 1e-6);
        let found = find(&chain.inspection, Kind::PastEdge, &["N1", "T1"]);
        assert_relative_eq!(inches(found), at_foot + up / 40.0, epsilon = 1e-6);
        assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
        // The job may allow it.
        let chain = leaning("past_edge: \"3/4\",");
        let found = find(&chain.inspection, Kind::PastEdge, &["N1", "T1"]);
        assert_eq!(found.verdict, Verdict::Met, "{}", found.says);
    }
}

// Treads of 1 in: a peg of 3/4 leaves 1/4 under it, one of 1 in leaves nothing, one of 1 1/4 comes
// out by 1/4.
#[test]
fn a_peg_longer_than_its_tread_is_thick_comes_out_under_it() {
    for (peg, left) in [("3/4", 0.25), ("1", 0.0), ("1 1/4", -0.25)] {
        let asked = format!("peg: \"{peg}\",\n");
        let chain = starter(false, &[["peg: \"3/4\",\n", &asked]]);
        let one = &chain.first().setout.balusters[4];
        let tread = format!("T{}", one.step);
        let found = find(&chain.inspection, Kind::BoreEdge, &[&one.name, &tread]);
        assert_relative_eq!(inches(found), left, epsilon = 1e-6);
        assert_eq!(found.verdict == Verdict::Broken, left < 0.125);
        // It is as deep in the tread as it asks: only the tread is too thin.
        let seat = find(&chain.inspection, Kind::SeatShallow, &[&one.name, &tread]);
        assert_eq!(seat.verdict, Verdict::Met, "{}", seat.says);
    }
}
