//! What fills the way under the rail, written wrongly.

use super::check;

const SECTION: &str = "section: Square(1.25)";
const SPACING: &str = "PerTread(count: 2)";

#[test]
fn turned_sections() {
    check(&[
        (
            SECTION,
            "section: Turned(square: 1.25, profile: [])",
            "design.balusters.section.profile",
            "[]",
            "the profile is empty",
            "write at least one",
        ),
        (
            SECTION,
            "section: Turned(square: 1.25, profile: [(up: 5, diameter: 1), (up: 5, diameter: 0.75)])",
            "design.balusters.section.profile[1].up",
            "5",
            "does not go up",
            "from the foot up",
        ),
        (
            SECTION,
            "section: Turned(square: 1.25, profile: [(up: 5, diameter: 1.5)])",
            "design.balusters.section.profile[0].diameter",
            "1.5",
            "wider than its block",
            "the block is",
        ),
        (
            SECTION,
            "section: Turned(square: 1.25, profile: [(up: 5, diameter: 0)])",
            "design.balusters.section.profile[0].diameter",
            "0",
            "the diameter is zero",
            "write 1/4\"",
        ),
        (
            SECTION,
            "section: Turned(square: 1.25, profile: [(up: 5, diameter: 1), (up: 37, diameter: 1)])",
            "design.balusters.section.profile[1].up",
            "37",
            "longer than the baluster",
            "the rail stands 36\"",
        ),
        (
            "section: Square(3.5)",
            "section: Turned(square: 3.5, profile: [(up: 5, diameter: 3)])",
            "design.newels[0].section",
            "Turned(square: 3.5, profile: [(up: 5, diameter: ...",
            "is for balusters",
            "write the newel's block",
        ),
    ]);
}

#[test]
fn patterns_and_shares() {
    check(&[
        (
            SECTION,
            "section: Square(1.25), pattern: [Square(1.25), Round(-1)]",
            "design.balusters.pattern[1].Round",
            "-1",
            "the diameter is negative",
            "write 1/4\"",
        ),
        // 1 1/4 and 9 in: 10 1/4 in on a going of 10 in.
        (
            SECTION,
            "section: Square(1.25), pattern: [Square(1.25), Rectangle(along: 9, across: 1)]",
            "design.balusters.spacing.count",
            "2",
            "do not fit on tread 1",
            "1 fit at most",
        ),
        (
            SPACING,
            "PerTread(count: 2, hold: Share(-0.5))",
            "design.balusters.spacing.hold.Share",
            "-0.5",
            "not between 0 and 1",
            "0 for the kick line",
        ),
        (
            "edge_distance: 0.5",
            "edge_distance: 0.5, from_skirt: 0",
            "design.balusters.from_skirt",
            "0",
            "no skirt on the open side",
            "put the skirt into skirts",
        ),
    ]);
}

#[test]
fn shoes_and_ploughs() {
    let shoe = |change: (&str, &str)| {
        let text = "section: Square(1.25), on: Shoe(is: ClosedString, above: 3, thickness: 1.5, \
            depth: 14, shoe: (width: 2.5, thickness: 1), plough: (width: 1.25, depth: 0.25), \
            fillet: 0.25)";
        let told = text.replacen(change.0, change.1, 1);
        assert_ne!(text, told);
        told
    };
    let deep = shoe(("depth: 0.25", "depth: 1"));
    let narrow = shoe(("width: 1.25", "width: 1"));
    let wide = shoe(("width: 1.25", "width: 2.5"));
    let short = shoe(("depth: 14", "depth: 3"));
    let high = shoe((
        "above: 3, thickness: 1.5, depth: 14",
        "above: 33, thickness: 1.5, depth: 40",
    ));
    let none = shoe(("depth: 14, ", ""));
    check(&[
        (
            SECTION,
            &deep,
            "design.balusters.on.plough.depth",
            "1",
            "the plough goes through the shoe",
            "the shoe is 1\" deep",
        ),
        (
            SECTION,
            &narrow,
            "design.balusters.on.plough.width",
            "1",
            "the balusters do not go into the plough",
            "the widest baluster is 1 1/4\"",
        ),
        (
            SECTION,
            &wide,
            "design.balusters.on.plough.width",
            "2.5",
            "as wide as the shoe",
            "the shoe is 2 1/2\" wide",
        ),
        (
            SECTION,
            &short,
            "design.balusters.on.depth",
            "3",
            "ends above the nosings",
            "it begins 3\" above them",
        ),
        (
            SECTION,
            &high,
            "design.balusters.on.above",
            "33",
            "the shoe is not under the rail",
            "lower it",
        ),
        (
            SECTION,
            &none,
            "design.balusters.on",
            "Shoe(is: ClosedString, above: 3, thickness: 1.5,...",
            "the string has no depth",
            "how far it reaches down",
        ),
        (
            "depth: 2.25, height: 36",
            "depth: 2.25, plough: (width: 1.25, depth: 2.5), height: 36",
            "design.rail.plough.depth",
            "2.5",
            "the plough goes through the rail",
            "the rail is 2 1/4\" deep",
        ),
    ]);
}

#[test]
fn panels() {
    let panels = |widths: &str| format!("Panels(widths: {widths}, thickness: 0.5, foot: 1)");
    let (none, empty) = (panels("Alike(count: 0, gap: 1)"), panels("Given([])"));
    let (thin, gap) = (panels("Given([0.5])"), panels("Alike(count: 2, gap: 25)"));
    check(&[
        (
            SPACING,
            &none,
            "design.balusters.spacing.widths.count",
            "0",
            "0 panels",
            "write 1 to 100",
        ),
        (
            SPACING,
            &empty,
            "design.balusters.spacing.widths",
            "Given([])",
            "no panel has a width",
            "at least one",
        ),
        (
            SPACING,
            &thin,
            "design.balusters.spacing.widths.Given[0]",
            "0.5",
            "the width is less than 1\"",
            "write 1\" to",
        ),
        (
            SPACING,
            &gap,
            "design.balusters.spacing.widths.gap",
            "25",
            "the gap is more than 24\"",
            "write 0\" to 24\"",
        ),
    ]);
}

#[test]
fn names_that_the_program_gives() {
    let panels = "Panels(widths: Given([20]), thickness: 0.5, foot: 1)";
    let text = super::with(SPACING, panels).replacen("name: \"R1\"", "name: \"P1\"", 1);
    let problem = "`P1` is the name of a panel";
    crate::job::one_fault(
        &text,
        "design.rail.name",
        "\"P1\"",
        problem,
        "something else",
    );
    // Where there are no panels it is anybody's.
    let text = super::with("name: \"R1\"", "name: \"P1\"");
    assert!(rakewell::job::Document::parse(&text, "job.ron").is_ok());
}

#[test]
fn a_newel_wider_than_its_tread() {
    check(&[(
        "section: Square(3.5)",
        "section: Square(10.5)",
        "design.newels[0].section",
        "Square(10.5)",
        "newel `N1` is wider than tread 1",
        "the going of tread 1 is 10\"",
    )]);
}
