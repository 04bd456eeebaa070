//! Bolts, screws and their plugs in newels and rails.

use approx::assert_relative_eq;
use rakewell::chain::Chain;
use rakewell::inspect::{Finding, Kind, Verdict};

use super::{IN, find, inches, starter};

/// The starter with fixings, its first newel changed.
fn fixed(right: bool, newel: &str, fixings: &str) -> Chain {
    let height = "height: \"50\",       // above";
    starter(
        right,
        &[
            [height, &format!("{newel} {height}")],
            [
                "fitting: \"1/16\", ",
                &format!("fixings: [{fixings}], fitting: \"1/16\", "),
            ],
        ],
    )
}

fn edge<'c>(chain: &'c Chain, part: &str, name: &str) -> &'c Finding {
    find(&chain.inspection, Kind::BoreEdge, &[part, name])
}

// A newel of 3 1/2 in: a 1/2 in bolt 1 in off the middle of its face has 1 3/4 - 1 - 1/4 = 1/2 of wood
// beside it, where two diameters, 1 in, are asked; on every face, leaning and twisted too.
#[test]
fn wood_beside_a_bolt_in_a_newel() {
    for right in [false, true] {
        let names: Vec<String> = ["Downhill", "Uphill", "Open", "Wall"]
            .iter()
            .flat_map(|face| [format!("{face} 1"), format!("{face} -1")])
            .collect();
        let bolts = names.iter().zip(16_u32..).map(|(name, up)| {
            let (face, off) = name.split_once(' ').unwrap();
            format!(
                "(name: \"{name}\", part: \"N1\", face: {face}, up: \"{up}\", off: \"{off}\", \
                 diameter: \"1/2\", deep: \"3\"),"
            )
        });
        let bolts: String = bolts.collect();
        for newel in ["", "twist: 20,", "lean: (outward: \"1\", over: \"40\"),"] {
            let chain = fixed(right, newel, &bolts);
            for name in &names {
                let found = edge(&chain, "N1", name);
                // A leaning post is cut level: its faces are 1 in 3200 nearer square to them.
                assert_relative_eq!(inches(found), 0.5, epsilon = 1e-3);
                assert_relative_eq!(found.limit.as_inches(), 1.0, epsilon = 1e-9);
                assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
                let far = &["N1", name, "far side"];
                let far = find(&chain.inspection, Kind::BoreEdge, far);
                assert_relative_eq!(inches(far), 0.5, epsilon = 2e-3);
                assert_eq!(far.verdict, Verdict::Met, "{}", far.says);
            }
        }
    }
}

#[test]
fn the_foot_of_a_newel_and_the_jobs_own_distance_count() {
    let bolt = "(name: \"bolt\", part: \"N1\", face: Open, up: \"1\", edge: \"1/2\", \
                diameter: \"3/8\", deep: \"2\")";
    let chain = fixed(false, "", bolt);
    let found = edge(&chain, "N1", "bolt");
    assert_relative_eq!(inches(found), 1.0 - 3.0 / 16.0, epsilon = 1e-6);
    assert_eq!(found.verdict, Verdict::Met, "{}", found.says);
    assert_eq!(found.source, "the job's edge distance");
}

// Its middle line 2 in off a face that reaches 1 3/4 misses the newel by 1/4, and the bore's other
// side is 1/8 further out.
#[test]
fn a_bolt_beside_its_newel_or_out_of_its_side_is_told() {
    let bolt = |off: &str| {
        let bolt = format!(
            "(name: \"bolt\", part: \"N1\", face: Open, up: \"20\", off: \"{off}\", \
             diameter: \"1/4\", deep: \"2\")"
        );
        fixed(false, "", &bolt)
    };
    let chain = bolt("2");
    let missed = edge(&chain, "N1", "bolt");
    assert_relative_eq!(inches(missed), -0.375, epsilon = 1e-6);
    assert!(missed.says.contains("misses N1"), "{}", missed.says);
    // 1/16 of its radius is out.
    let chain = bolt("1 11/16");
    let out = edge(&chain, "N1", "bolt");
    assert_relative_eq!(inches(out), -1.0 / 16.0, epsilon = 1e-6);
    assert!(out.says.contains("through the side"), "{}", out.says);
}

#[test]
fn a_bolt_out_of_the_far_side_is_told_unless_it_goes_on_into_something() {
    let bolt = |up: &str, off: &str| {
        format!(
            "(name: \"bolt\", part: \"N1\", face: Downhill, up: \"{up}\", off: \"{off}\", \
             diameter: \"3/8\", deep: \"5\")"
        )
    };
    // 20 in up there is nothing behind the newel: 5 - 3 1/2 is out.
    let chain = fixed(false, "", &bolt("20", "0"));
    let far = find(
        &chain.inspection,
        Kind::BoreEdge,
        &["N1", "bolt", "far side"],
    );
    assert_relative_eq!(inches(far), -1.5, epsilon = 1e-6);
    assert_eq!(far.verdict, Verdict::Broken, "{}", far.says);
    // Where the tread is notched round it, the tread stands behind it: 7 in up is in its thickness.
    let chain = fixed(false, "", &bolt("7", "0"));
    let mut told = chain.inspection.findings.iter();
    assert!(!told.any(|one| one.key.parts == ["N1", "bolt", "far side"]));
}

// A rail bolt in the middle of the end of a rail 2 1/4 x 2 3/8: 1 1/8 - 3/16 to its sides.
#[test]
fn wood_beside_bolts_in_a_rail() {
    for right in [false, true] {
        let chain = fixed(
            right,
            "",
            "(name: \"lower bolt\", part: \"R1\", face: Downhill, up: \"1 3/16\", \
              diameter: \"3/8\", deep: \"4\"),
             (name: \"upper bolt\", part: \"R1\", face: Uphill, up: \"3/4\", \
              diameter: \"3/8\", deep: \"4\"),
             (name: \"screw\", part: \"R1\", face: Under, up: \"20\", off: \"1/2\", \
              diameter: \"1/4\", deep: \"1\")",
        );
        let expected = [
            ("lower bolt", 1.125 - 0.1875),
            // Its underside is nearest.
            ("upper bolt", 0.75 - 0.1875),
            ("screw", 1.125 - 0.5 - 0.125),
        ];
        for (name, wood) in expected {
            let found = edge(&chain, "R1", name);
            assert_relative_eq!(inches(found), wood, epsilon = 1e-6);
        }
        // 2 3/8 deep, less the inch.
        let far = &["R1", "screw", "far side"];
        let far = find(&chain.inspection, Kind::BoreEdge, far);
        assert_relative_eq!(inches(far), 1.375, epsilon = 1e-6);
    }
}

#[test]
fn a_plug_at_the_corner_of_its_newel_is_open_at_the_side() {
    for (off, left) in [("0", 0.375), ("1", 0.375), ("1 1/2", 0.0)] {
        let bolt = format!(
            "(name: \"bolt\", part: \"N1\", face: Open, up: \"20\", off: \"{off}\", \
             diameter: \"1/4\", deep: \"2\", plug: (diameter: \"1\", depth: \"3/8\"))"
        );
        let chain = fixed(false, "", &bolt);
        let found = find(&chain.inspection, Kind::PlugCover, &["N1", "bolt"]);
        assert_relative_eq!(inches(found), left, epsilon = 1e-6);
        assert_eq!(found.verdict == Verdict::Met, left > 0.0, "{}", found.says);
    }
}

// Where the newel stands in its notch, the tread lies against its uphill face.
#[test]
fn a_plug_behind_a_tread_cannot_be_set() {
    let bolt = "(name: \"bolt\", part: \"N1\", face: Uphill, up: \"7\", diameter: \"1/4\", \
                deep: \"2\", plug: (diameter: \"1/2\", depth: \"3/8\"))";
    let chain = fixed(false, "", bolt);
    let found = find(&chain.inspection, Kind::PlugCover, &["N1", "bolt"]);
    assert_eq!(found.verdict, Verdict::Broken, "{}", found.says);
    assert!(found.says.contains("behind T1"), "{}", found.says);
}

// Two bolts through the middle of one newel at one height meet: half of either diameter. An inch
// apart in height they keep an inch less that.
#[test]
fn two_bolts_that_meet() {
    for (up, clear) in [("20", -0.4375), ("21", 0.5625)] {
        let chain = fixed(
            false,
            "",
            &format!(
                "(name: \"a\", part: \"N1\", face: Open, up: \"20\", diameter: \"1/2\", \
                  deep: \"3\"),
                 (name: \"b\", part: \"N1\", face: Downhill, up: \"{up}\", diameter: \"3/8\", \
                  deep: \"3\")"
            ),
        );
        let found = find(&chain.inspection, Kind::BoreEdge, &["N1", "a", "b"]);
        assert_relative_eq!(inches(found), clear, epsilon = 1e-6);
        assert_eq!(found.verdict == Verdict::Broken, clear < 0.0);
    }
}

// A screw 1/4 in thick stands plumb in tread 1, in line with a bolt that stops short of it or not.
#[test]
fn a_bolt_that_meets_a_hidden_screw() {
    let bolt = |deep: &str| {
        let bolt = format!(
            "(name: \"bolt\", part: \"N1\", face: Downhill, up: \"7\", diameter: \"1/4\", \
             deep: \"{deep}\")"
        );
        let chain = starter(
            false,
            &[
                [
                    "fitting: \"1/16\", ",
                    &format!("fixings: [{bolt}], fitting: \"1/16\", "),
                ],
                [
                    "    // What is to be built on it.\n",
                    "    fasteners: [(name: \"screw\", step: 1, from: \"4\", inset: \"0\", \
                     diameter: \"1/4\")],\n",
                ],
            ],
        );
        let newel = &chain.first().setout.newels[0];
        let face = newel.foot.x / IN - 1.75;
        let found = find(&chain.inspection, Kind::BoreEdge, &["N1", "bolt", "screw"]);
        // From the mouth to the screw's middle line, level.
        (inches(found), 4.0 - face)
    };
    let (clear, away) = bolt("5 1/2");
    assert_relative_eq!(clear, away - 5.5 - 0.25, epsilon = 1e-6);
    let (clear, _) = bolt("12");
    assert_relative_eq!(clear, -0.25, epsilon = 1e-6);
}
