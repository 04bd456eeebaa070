//! Jobs that read but make no sense: each a message with line and field.

use super::{faults_with, one_fault, with};
use rakewell::job::{Document, Severity};

/// One stretch of the sample replaced; then the fault's field, what is read there, the problem
/// and the help.
type Case = (
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

fn check(cases: &[Case]) {
    for (old, new, path, read, problem, help) in cases {
        one_fault(&with(old, new), path, read, problem, help);
    }
}

#[test]
fn the_flight() {
    check(&[
        (
            "going: 10",
            "going: 0",
            "flight.going",
            "0",
            "the going is zero",
            "write ",
        ),
        (
            "going: 10",
            "going: -10",
            "flight.going",
            "-10",
            "the going is negative",
            "write ",
        ),
        (
            "rise: 7.5",
            "rise: 0",
            "flight.rise",
            "0",
            "the rise is zero",
            "write ",
        ),
        (
            "rise: 7.5",
            "rise: 75",
            "flight.rise",
            "75",
            "the rise is more than",
            "write ",
        ),
        (
            "width: 36",
            "width: 0",
            "flight.width",
            "0",
            "the width is zero",
            "write ",
        ),
        (
            "width: 36",
            "width: 999",
            "flight.width",
            "999",
            "the width is more than",
            "write ",
        ),
        (
            "count: 14",
            "count: 61",
            "flight.count",
            "61",
            "61 kicks",
            "write 2 to 60",
        ),
        (
            "kick_thickness: 0.75",
            "kick_thickness: -0.75",
            "flight.kick_thickness",
            "-0.75",
            "the kick thickness is negative",
            "write ",
        ),
    ]);
}

#[test]
fn too_few_kicks_take_their_treads_along() {
    let faults = faults_with("count: 14", "count: 1");
    let told: Vec<&str> = faults
        .diagnostics
        .iter()
        .map(|fault| fault.path.as_str())
        .collect();
    let steps = [
        "flight.count",
        "flight.readings[0].step",
        "flight.readings[1].step",
    ];
    assert!(told.starts_with(&steps), "{faults}");
}

#[test]
fn readings_of_the_steps() {
    check(&[
        (
            "Going(step: 6",
            "Going(step: 14",
            "flight.readings[0].step",
            "14",
            "there is no tread 14",
            "14 kicks carry treads 1 to 13",
        ),
        (
            "Going(step: 6, is: 9.75)",
            "Rise(step: 15, is: 7.5)",
            "flight.readings[0].step",
            "15",
            "there is no kick 15",
            "kicks 1 to 14",
        ),
        (
            "Edge(step: 3, is: 1.75",
            "Going(step: 6, is: 10",
            "flight.readings[1]",
            "Going(step: 6, is: 10, note: \"taped twice\")",
            "the going of step 6 is read twice",
            "keep the reading",
        ),
        (
            "is: 9.75",
            "is: 0",
            "flight.readings[0].is",
            "0",
            "the going is zero",
            "write ",
        ),
        (
            "Edge(step: 3, is: 1.75",
            "Level(step: 3, high: Open, is: -0.25",
            "flight.readings[1].is",
            "-0.25",
            "the level is negative",
            "write ",
        ),
    ]);
    let faults = faults_with("Edge(step: 3, is: 1.75", "\nGoing(step: 6, is: 10");
    let aside = faults.diagnostics[0]
        .aside
        .as_ref()
        .expect("the first reading is named");
    assert_eq!((faults.diagnostics[0].line, aside.line), (9, 8));
    assert!(
        faults.render(false).contains("read here first"),
        "{}",
        faults.render(false)
    );
}

#[test]
fn rough_and_finished_may_both_be_read() {
    let text = with("Edge(step: 3, is: 1.75", "Going(step: 6, on: Rough, is: 10");
    assert!(Document::parse(&text, "job.ron").is_ok());
}

#[test]
fn a_likely_slip_is_a_warning() {
    let text = with("is: 9.75", "is: 6.75");
    let document = Document::parse(&text, "job.ron").expect("it can be used");
    let warning = &document.warnings()[0];
    assert_eq!((warning.severity, warning.line), (Severity::Warning, 8));
    assert_eq!(warning.path, "flight.readings[0].is");
}

#[test]
fn walls() {
    let plumb = ", Plumb(along: 8, up: 105, level: 48, gap: 0.5, at: Top)";
    let offset = "Offset(along: 4, up: 110, is: 0), ";
    check(&[
        (
            plumb,
            "",
            "walls[0].readings",
            "[ Offset(along: 4, up: 110, is: 0) ]",
            "one reading, which cannot say how it stands",
            "take a second one",
        ),
        (
            offset,
            "Plumb(along: 8, up: 105, level: 48, gap: 0.25, at: Top), ",
            "walls[0].readings[1]",
            "Plumb(along: 8, up: 105, level: 48, gap: 0.5, at...",
            "read twice at one place",
            "keep the reading",
        ),
        (
            "to: (x: 130, y: -8)",
            "to: (x: 130, y: 8)",
            "walls[0].to",
            "(x: 130, y: 8)",
            "ends where it begins",
            "give the other end",
        ),
        (
            "head: 200",
            "head: 0",
            "walls[0].head",
            "0",
            "the head is not above the foot",
            "datum",
        ),
    ]);
    let text = with(plumb, "").replace(offset.trim_end_matches(", "), "");
    one_fault(
        &text,
        "walls[0].readings",
        "[  ]",
        "no readings",
        "take the wall out",
    );
    let none = text.replace("readings: [  ] )", ")");
    let faults = Document::parse(&none, "job.ron").expect_err("no readings");
    assert_eq!(faults.diagnostics[0].path, "walls[0].readings");
    assert_eq!(
        faults.diagnostics[0].line, 10,
        "the wall itself is pointed at"
    );
}

#[test]
fn readings_of_walls() {
    check(&[
        (
            "Offset(along: 4",
            "Offset(along: 17",
            "walls[0].readings[0].along",
            "17",
            "off the end of the wall",
            "long",
        ),
        (
            "up: 110",
            "up: 201",
            "walls[0].readings[0].up",
            "201",
            "above or below the wall",
            "wall `W2` goes from",
        ),
        (
            "up: 105",
            "up: 160",
            "walls[0].readings[1].up",
            "160",
            "the level's upper end is at",
            "wall `W2` goes from",
        ),
        (
            "level: 48",
            "level: 0",
            "walls[0].readings[1].level",
            "0",
            "the level is zero",
            "write ",
        ),
        (
            "gap: 0.5",
            "gap: 30",
            "walls[0].readings[1].gap",
            "30",
            "more than half",
            "check both",
        ),
    ]);
}

#[test]
fn a_reading_at_the_very_end_of_a_slanting_wall_is_on_it() {
    // 3, 4, 5: the wall is 50 in long, but its length comes out of a square root.
    let text = with(
        "(x: 130, y: 8), to: (x: 130, y: -8)",
        "(x: 130, y: 8), to: (x: 160, y: -32)",
    )
    .replace("Offset(along: 4,", "Offset(along: 50,");
    assert!(Document::parse(&text, "job.ron").is_ok());
}

const N1: &str =
    "(name: \"N1\", section: Square(3.5), stands: Displaces(step: 1, balusters: 1), height: 48)";

#[test]
fn newels_in_one_place_or_of_one_name() {
    let n2 = N1.replace("\"N1\"", "\"N2\"");
    let text = with(N1, &format!("{N1}, {n2}"));
    let place = "Displaces(step: 1, balusters: 1)";
    one_fault(
        &text,
        "design.newels[1].stands",
        place,
        "`N1` and `N2` stand in one place",
        "move",
    );
    let at = |x: f64, name: &str| {
        format!("(name: \"{name}\", section: Square(3.5), stands: At(x: {x}), height: 48)")
    };
    let text = with(N1, &format!("{}, {}", at(2.0, "N1"), at(4.0, "N2")));
    one_fault(
        &text,
        "design.newels[1].stands",
        "At(x: 4)",
        "stand in one place",
        "move",
    );
    let text = with(N1, &format!("{}, {}", at(2.0, "N1"), at(6.0, "N2")));
    assert!(Document::parse(&text, "job.ron").is_ok());
    let text = with(N1, &format!("{N1}, {}", at(90.0, "N1")));
    one_fault(
        &text,
        "design.newels[1].name",
        "\"N1\"",
        "two parts are called `N1`",
        "name",
    );
}

#[test]
fn names_of_other_parts() {
    let text = with("name: \"R1\"", "name: \"W2\"");
    one_fault(
        &text,
        "design.rail.name",
        "\"W2\"",
        "two parts are called `W2`",
        "name",
    );
    let text = with("name: \"R1\"", "name: \"B07\"");
    one_fault(
        &text,
        "design.rail.name",
        "\"B07\"",
        "name of a baluster",
        "given by the program",
    );
    let text = with("name: \"R1\"", "name: \" \"");
    one_fault(
        &text,
        "design.rail.name",
        "\" \"",
        "the name is empty",
        "W1",
    );
}

#[test]
fn references_to_what_is_not_there() {
    check(&[
        (
            "lower: Newel(\"N1\")",
            "lower: Newel(\"N2\")",
            "design.rail.lower.Newel",
            "\"N2\"",
            "there is no newel `N2`",
            "did you mean `N1`?",
        ),
        (
            "(along: 8, up: 140",
            "(along: 17, up: 140",
            "design.rail.upper.blocking.along",
            "17",
            "off the end of the wall",
            "wall `W2` is 16\" long",
        ),
        (
            "(along: 8, up: 140",
            "(along: 8, up: 240",
            "design.rail.upper.blocking.up",
            "240",
            "above or below the wall",
            "up to 200\"",
        ),
        (
            "wall: \"W2\"",
            "wall: \"porch\"",
            "design.rail.upper.wall",
            "\"porch\"",
            "there is no wall `porch`",
            "known here: `W2`",
        ),
    ]);
    let faults = faults_with(N1, "");
    assert!(
        faults.to_string().contains("there is no newel `N1`"),
        "{faults}"
    );
    assert!(faults.to_string().contains("no newel at all"), "{faults}");
}

#[test]
fn newels() {
    check(&[
        (
            "Displaces(step: 1, balusters: 1)",
            "Displaces(step: 14, balusters: 1)",
            "design.newels[0].stands.step",
            "14",
            "there is no tread 14",
            "treads 1 to 13",
        ),
        (
            "Displaces(step: 1, balusters: 1)",
            "Displaces(step: 1, balusters: 3)",
            "design.newels[0].stands.balusters",
            "3",
            "takes the place of 3 balusters",
            "tread 1 has 2",
        ),
        (
            "section: Square(3.5)",
            "section: Square(0)",
            "design.newels[0].section.Square",
            "0",
            "the side is zero",
            "write ",
        ),
        (
            "height: 48)",
            "height: 48, twist: 270)",
            "design.newels[0].twist",
            "270",
            "half a turn",
            "-180 to 180",
        ),
        (
            "height: 48)",
            "height: 48, lean: (up_flight: 20, over: 40))",
            "design.newels[0].lean.over",
            "40",
            "more than one in four",
            "check the lean",
        ),
    ]);
}

#[test]
fn rails_and_balusters() {
    check(&[
        (
            "depth: 2.25",
            "depth: 0",
            "design.rail.depth",
            "0",
            "the depth is zero",
            "write ",
        ),
        (
            "depth: 2.25",
            "depth: 2.25, bevel: 1.125",
            "design.rail.bevel",
            "1.125",
            "the bevel takes all",
            "keep it under",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, seat: 2.25",
            "design.balusters.seat",
            "2.25",
            "the seat goes through the rail",
            "deep",
        ),
        (
            "peg_diameter: 0.75",
            "peg_diameter: 1.375",
            "design.balusters.peg_diameter",
            "1.375",
            "the peg is wider than the baluster",
            "across",
        ),
    ]);
}

#[test]
fn balusters_on_their_treads() {
    let spacing = "PerTread(count: 2)";
    check(&[
        (
            spacing,
            "PerTread(count: 0)",
            "design.balusters.spacing.count",
            "0",
            "0 balusters",
            "write 1 to 40",
        ),
        (
            spacing,
            "PerTread(count: 8)",
            "design.balusters.spacing.count",
            "8",
            "8 balusters of",
            "the going of tread 1 is",
        ),
        (
            spacing,
            "PerTread(count: 2, but: [(step: 4, count: 3), (step: 4, count: 1)])",
            "design.balusters.spacing.but[1]",
            "(step: 4, count: 1)",
            "its own count twice",
            "keep one",
        ),
        (
            spacing,
            "PerTread(count: 2, but: [(step: 14, count: 3)])",
            "design.balusters.spacing.but[0].step",
            "14",
            "there is no tread 14",
            "treads 1 to 13",
        ),
        // Tread 6 is read short: 9 3/4 in, and 8 times 1 1/4 in is 10 in.
        (
            spacing,
            "PerTread(count: 2, but: [(step: 6, count: 8)])",
            "design.balusters.spacing.but[0].count",
            "8",
            "do not fit on tread 6",
            "the going of tread 6 is",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, align: Share(1.5)",
            "design.balusters.align.Share",
            "1.5",
            "not between 0 and 1",
            "0 for plumb",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, align: Share(NaN)",
            "design.balusters.align.Share",
            "NaN",
            "not between 0 and 1",
            "0 for plumb",
        ),
    ]);
}

#[test]
fn a_baluster_wider_than_its_tread() {
    let faults = faults_with(
        "balusters: (section: Square(1.25)",
        "balusters: (section: Square(11)",
    );
    let told = faults.to_string();
    assert!(
        told.contains("design.balusters.section: a baluster is wider than tread 1"),
        "{told}"
    );
}

#[test]
fn a_rail_between_one_newel() {
    let wall = "upper: Wall(wall: \"W2\", rosette: 4.5, blocking: (along: 8, up: 140, width: 5.5, height: 11.25))";
    let text = with(wall, "upper: Newel(\"N1\")");
    one_fault(
        &text,
        "design.rail.upper",
        "Newel(\"N1\")",
        "both ends",
        "upper end meets",
    );
}

#[test]
fn limits_on_what_a_job_holds() {
    let newels: String = (0..17)
        .map(|at| {
            let x = at * 10;
            format!("(name: \"P{at}\", section: Square(3), stands: At(x: {x}), height: 48),")
        })
        .collect();
    let faults = faults_with(N1, &newels);
    assert!(
        faults.to_string().contains("17 newels are too many"),
        "{faults}"
    );
    let readings: String = (0..2001)
        .map(|at| format!("Offset(along: {}, up: 110, is: 0),", at as f64 / 200.0))
        .collect();
    let faults = faults_with("Offset(along: 4, up: 110, is: 0),", &readings);
    assert!(faults.to_string().contains("2002 readings"), "{faults}");
    let wall = |at: usize| {
        format!(
            "(name: \"V{at}\", from: (x: 0, y: 9), to: (x: 9, y: 9), head: 90, readings: [\
             Offset(along: 1, up: 1, is: 0), Offset(along: 1, up: 9, is: 0)]),"
        )
    };
    let walls: String = (0..32).map(wall).collect();
    let faults = faults_with("walls: [ (", &format!("walls: [ {walls} ("));
    assert!(
        faults.to_string().contains("33 walls are too many"),
        "{faults}"
    );
}
