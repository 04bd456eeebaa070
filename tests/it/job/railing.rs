//! Rails over newels, newels' feet and heads, wall rails, blocks and fasteners that cannot be: each
//! told with its field.

use rakewell::job::Document;

const RAILING: &str = include_str!("../setout/railing.ron");

/// The fields that are told of a file with one change.
fn told(from: &str, to: &str) -> Vec<(String, String)> {
    let text = RAILING.replacen(from, to, 1);
    assert_ne!(text, RAILING, "{from} is not there");
    let faults = Document::parse(&text, "bad.ron").expect_err(to);
    faults
        .diagnostics
        .iter()
        .map(|fault| (fault.path.clone(), fault.problem.clone()))
        .collect()
}

fn one(from: &str, to: &str, path: &str, says: &str) {
    let found = told(from, to);
    assert!(
        found
            .iter()
            .any(|(at, problem)| at == path && problem.contains(says)),
        "{to}: {found:?}"
    );
}

#[test]
fn the_railing_itself_is_sound() {
    assert!(Document::parse(RAILING, "railing.ron").is_ok());
}

#[test]
fn each_slip_of_rail_and_newel_names_its_field() {
    let system = "system: OverPost(easing: \"6\", level: \"1\")";
    let newel = "section: Square(\"3 1/2\"), stands";
    one(
        "easing: \"6\"",
        "easing: \"0\"",
        "design.rail.system.easing",
        "radius is zero",
    );
    one(
        "level: \"1\")",
        "level: \"-1\")",
        "design.rail.system.level",
        "negative",
    );
    one(
        system,
        "system: OverPost(cap: Raked, landing: \"36\")",
        "design.rail.system.landing",
        "no level piece",
    );
    one(
        system,
        "system: PostToPost",
        "design.newels[0]",
        "nothing to work it out from",
    );
    one(
        newel,
        "section: Square(\"3 1/2\"), foot: Box(sides: \"1 3/4\", block: \"5\"), stands",
        "design.newels[0].foot.sides",
        "no room inside",
    );
    one(
        newel,
        "section: Square(\"3 1/2\"), blocks: (top: \"6\", above: \"7\"), stands",
        "design.newels[0].blocks.above",
        "more of the block shows",
    );
    one(
        newel,
        "section: Square(\"3 1/2\"), blocks: (), stands",
        "design.newels[0].blocks",
        "neither the block's length",
    );
    one(
        newel,
        "section: Square(\"3 1/2\"), cap: (out: \"-1\"), stands",
        "design.newels[0].cap.out",
        "negative",
    );
}

#[test]
fn each_slip_of_what_stands_about_names_its_field() {
    one(
        "section: Rectangle(along: \"1 3/4\", across: \"3 1/2\")",
        "section: Round(\"3 1/2\")",
        "design.rail.upper.section",
        "cannot be round",
    );
    one(
        "wall: \"W2\", section",
        "wall: \"W9\", section",
        "design.rail.upper.wall",
        "no wall `W9`",
    );
    one(
        "wall: \"W1\", clear",
        "wall: \"W8\", clear",
        "design.wall_rail.wall",
        "no wall `W8`",
    );
    one(
        "brackets_every: \"32\"",
        "brackets_every: \"0\"",
        "design.wall_rail.brackets_every",
        "zero",
    );
    one(
        "clear: \"1 5/8\"",
        "clear: \"nine\"",
        "design.wall_rail.clear",
        "",
    );
    one(
        "name: \"D1\", step: 1",
        "name: \"D1\", step: 9",
        "blocking[0].step",
        "no step 9",
    );
    one(
        "name: \"D1\"",
        "name: \"Q1\"",
        "blocking[0].name",
        "two parts are called `Q1`",
    );
    one(
        "diameter: \"3/8\"",
        "diameter: \"40\"",
        "fasteners[0].diameter",
        "more than",
    );
}
