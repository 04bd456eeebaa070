//! What will not do is said with what would.

use approx::assert_relative_eq;
use rakewell::job::{AnchorAt, Document, Fastened};
use rakewell::measure::{Length, Tape};
use rakewell::publish::shop::{fault_told, joints_told};
use rakewell::shop::fastening::{JointFault, JointKind, JointLine, schedule};

use super::{STRAIGHT, chain_of, with};

/// The schedule's lines of one kind, with how the job says that they are fastened.
fn fastened(joint: Fastened, says: &str) -> Vec<JointLine> {
    let says = format!("fastening: ({}: {says}),\n    built: [", joint.field());
    let told = schedule(&chain_of(&with(STRAIGHT, &[("built: [", &says)])));
    let lines = told.lines.into_iter();
    lines
        .filter(|line| line.kind == JointKind::Usual(joint))
        .collect()
}

fn says(line: &JointLine) -> String {
    let says = line
        .faults
        .iter()
        .map(|fault| fault_told(fault, line, Tape::Sixteenths));
    says.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_screw_longer_than_what_it_goes_into() {
    // Through 1 in of tread into a throat of 5 in: 8 in comes 2 in out below; 5 7/8 in would do.
    let lines = fastened(
        Fastened::TreadToStringer,
        "(diameter: \"1/4\", length: \"8\")",
    );
    let JointFault::TooLong { past, at_most } = &lines[0].faults[0] else {
        panic!("{:?}", lines[0].faults);
    };
    assert_relative_eq!(past.as_inches(), 2.0, epsilon = 1e-9);
    assert_relative_eq!(at_most.unwrap().as_inches(), 5.875, epsilon = 1e-9);
    let says = says(&lines[0]);
    assert!(
        says.contains("comes 2\" out") && says.contains("5 7/8\" at most"),
        "{says}"
    );
    // What was said to do does.
    let lines = fastened(
        Fastened::TreadToStringer,
        "(diameter: \"1/4\", length: \"5 7/8\")",
    );
    assert!(lines[0].faults.is_empty(), "{:?}", lines[0].faults);
}

#[test]
fn a_screw_that_hardly_reaches() {
    let lines = fastened(
        Fastened::TreadToStringer,
        "(diameter: \"1/4\", length: \"1 1/4\")",
    );
    let JointFault::TooShort { at_least, .. } = &lines[0].faults[0] else {
        panic!("{:?}", lines[0].faults);
    };
    // Four shanks of 1/4 in past the tread's inch.
    assert_relative_eq!(at_least.as_inches(), 2.0, epsilon = 1e-9);
    let lines = fastened(
        Fastened::TreadToStringer,
        "(diameter: \"1/4\", length: \"2\")",
    );
    assert!(lines[0].faults.is_empty());
}

#[test]
fn a_plug_larger_than_the_piece() {
    let plugged = |plug: &str| {
        let says = format!("(diameter: \"1/4\", length: \"3\", plug: {plug})");
        fastened(Fastened::KickToStringer, &says)
    };
    // A kick shows 7 1/2 in and less; its board is 3/4 in thick.
    let wide = plugged("(diameter: \"4\", depth: \"1/4\")");
    assert!(wide[0].faults.is_empty(), "{:?}", wide[0].faults);
    let deep = plugged("(diameter: \"3/8\", depth: \"5/8\")");
    let told = says(&deep[0]);
    assert!(
        told.contains("leaves too little under the head in 3/4\""),
        "{told}"
    );
    assert!(told.contains("1/2\" at most would do"), "{told}");
    // A rail bolt's plug in a rail of its own width, on a stair whose rail has fittings.
    let over = include_str!("../../../scenes/over-post.ron");
    let bolt = "fastening: (rail_joint: (diameter: \"5/16\", length: \"1 1/2\", \
                plug: (diameter: \"3\", depth: \"1\"))),\n    design: (";
    let told = schedule(&chain_of(&with(over, &[("design: (", bolt)])));
    let lines = told.lines.iter();
    let mut lines = lines.filter(|line| line.kind == JointKind::Usual(Fastened::RailJoint));
    let line = lines.next().unwrap();
    let wide = line.faults.iter().find_map(|fault| match fault {
        JointFault::PlugTooWide { piece, at_most } => Some((*piece, *at_most)),
        _ => None,
    });
    let (piece, at_most) = wide.unwrap();
    assert_relative_eq!((piece - at_most.unwrap()).as_inches(), 0.25, epsilon = 1e-9);
}

#[test]
fn a_joint_with_nothing_behind_it() {
    let text = with(
        STRAIGHT,
        &[
            (
                "(name: \"S1\", inset: \"2 1/2\", thickness: \"1 1/2\", throat: \"5\"),",
                "",
            ),
            (
                "(name: \"S2\", inset: \"32 1/2\", thickness: \"1 1/2\", throat: \"5\"),",
                "",
            ),
        ],
    );
    let told = schedule(&chain_of(&text));
    let kind = JointKind::Usual(Fastened::TreadToStringer);
    let line = told.lines.iter().find(|line| line.kind == kind).unwrap();
    assert_eq!(line.faults[0], JointFault::NothingBehind { nearest: None });
    assert!(line.joints.iter().all(|(_, behind)| behind.is_none()));
    assert!(says(line).contains("write the stringers"), "{}", says(line));
}

#[test]
fn a_peg_deeper_than_its_tread_and_a_bolt_that_comes_out() {
    let fixing = "fixings: [(name: \"bolt 1\", part: \"N2\", face: Wall, up: \"3\", diameter: \"1/2\", \
                  deep: \"4\", plug: (diameter: \"3 3/8\", depth: \"1/2\"))],\n        newels: [\n            (";
    let text = with(
        STRAIGHT,
        &[
            ("peg: \"3/4\"", "peg: \"1 1/4\""),
            ("        newels: [\n            (", fixing),
        ],
    );
    let told = schedule(&chain_of(&text));
    let pegs = told.lines.iter().find(|line| {
        line.kind == JointKind::Anchor(AnchorAt::BalusterEnds)
            && line.bores[0].part.starts_with('T')
    });
    let pegs = says(pegs.unwrap());
    assert!(
        pegs.contains("comes 1/4\" out") && pegs.contains("7/8\" deep at most"),
        "{pegs}"
    );
    let bolt = told
        .lines
        .iter()
        .find(|line| line.kind == JointKind::Fixing)
        .unwrap();
    let bolt = says(bolt);
    // Through a newel of 3 1/2 in with nothing on its far side, its plug as wide as the newel.
    assert!(
        bolt.contains("comes 1/2\" out") && bolt.contains("3 3/8\" deep at most"),
        "{bolt}"
    );
    assert!(
        bolt.contains("too wide for a piece of 3 1/2\"") && bolt.contains("3 1/4\" at most"),
        "{bolt}"
    );
    // Every fault has words, and every line a title.
    for line in joints_told(&told, Tape::Millimetres) {
        assert!(!line.title.is_empty());
    }
}

#[test]
fn what_the_job_may_not_say_is_told_at_its_line() {
    let cases = [
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"2\", clear: \"1/8\"))",
            "fastening.shoe.clear",
        ),
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"2\", pilot: \"1/4\"))",
            "fastening.shoe.pilot",
        ),
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"200\"))",
            "fastening.shoe.length",
        ),
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"2\", plug: (diameter: \"1/8\", depth: \"1/4\")))",
            "fastening.shoe.plug.diameter",
        ),
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"2\", plug: (diameter: \"3/8\", depth: \"3\")))",
            "fastening.shoe.plug.depth",
        ),
        (
            "fastening: (shoe: (diameter: \"1/4\", length: \"2\", number: 0))",
            "fastening.shoe.number",
        ),
        ("cutting: (rail: \"-1\")", "cutting.rail"),
        (
            "anchors: [(what: Infill, detail: \"a\", source: \"b\", carries: \"50 lb\", at: [NewelBase])]",
            "anchors[0].at[0]",
        ),
    ];
    for (says, path) in cases {
        let text = with(STRAIGHT, &[("built: [", &format!("{says},\n    built: ["))]);
        let faults = Document::parse(&text, "test").unwrap_err();
        let told = faults.diagnostics.iter().any(|fault| fault.path == path);
        assert!(told, "{says}: {:?}", faults.diagnostics);
        assert!(
            faults
                .diagnostics
                .iter()
                .all(|fault| !fault.help.is_empty())
        );
    }
}

#[test]
fn what_is_rough_is_as_the_job_says() {
    let text = with(
        STRAIGHT,
        &[(
            "built: [",
            "cutting: (rail: \"6\", baluster: \"0\"),\n    built: [",
        )],
    );
    let list = rakewell::shop::cuts::cut_list(&chain_of(&text));
    let over = |name: &str| {
        list.of(name)
            .next()
            .map(|one| one.rough - one.finished)
            .unwrap()
    };
    assert_relative_eq!(over("R1").as_inches(), 6.0, epsilon = 1e-9);
    assert_relative_eq!(over("B05").as_mm(), Length::ZERO.as_mm(), epsilon = 1e-9);
}

/// The examples that the starter shows in its comments are read as they stand.
#[test]
fn the_starters_own_examples_can_be_read() {
    let mut taken = 0;
    let lines = STRAIGHT.lines().map(|line| {
        let inside = line.trim_start().strip_prefix("// ");
        let ours = |inside: &&str| {
            ["cutting: (", "fastening: ("]
                .iter()
                .any(|one| inside.starts_with(one))
        };
        inside.filter(ours).map_or(line, |inside| {
            taken += 1;
            inside
        })
    });
    let text = lines.collect::<Vec<_>>().join("\n");
    assert_eq!(taken, 2);
    // The usual sizes, said: all is as it was, but that it is said, and without a plug.
    let told = schedule(&chain_of(&text));
    let usual = schedule(&chain_of(STRAIGHT));
    assert_eq!(told.lines.len(), usual.lines.len());
    assert_ne!(told, usual);
}
