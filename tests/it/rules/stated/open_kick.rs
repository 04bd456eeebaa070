//! A stair without kicks: IRC R311.7.5.1 (R318.7.5.1): no 4 in ball passes where the opening is more
//! than 30 in above the floor below.

use rakewell::inspect::{Finding, Kind, Verdict};

use super::{STRAIGHT, SURE, chain_of, edited, found, inspected, is, length, pack};

fn rules() -> String {
    length("OpenKickBall", "Under", "4 in")
}

fn open(edits: &[(&str, &str)]) -> String {
    let open = edited(
        STRAIGHT,
        &[("overhang: \"1\",", "overhang: \"1\", kicks: Open,")],
    );
    edited(&open, edits)
}

fn balls(text: &str) -> Vec<Finding> {
    found(text, &rules(), Kind::OpenKick)
}

// Level treads leave what the rise has over their thickness: two parallel planes.
#[test]
fn level_treads_leave_the_rise_less_their_thickness() {
    for side in ["Left", "Right"] {
        let side = format!("open_side: {side}");
        let of = |thickness: &str| {
            balls(&open(&[
                ("open_side: Left", &side),
                ("rise: \"7 1/2\"", "rise: \"5\""),
                (
                    "tread_thickness: \"1\"",
                    &format!("tread_thickness: \"{thickness}\""),
                ),
            ]))
        };
        let met = of("1.001");
        assert_eq!(met.len(), 14);
        for ball in &met {
            is(ball, Verdict::Met, 3.999, 1e-5);
        }
        for ball in &of("1") {
            is(ball, Verdict::Broken, 4.0, 1e-5);
        }
    }
}

#[test]
fn a_tilted_tread_leaves_more_at_one_end() {
    // Its wall end 1/2 in above its open end over 38 in; rises are read on the baluster line.
    let tilted =
        format!("readings: [Level(step: 5, is: \"1/2\", sd: \"{SURE}\", high: Wall),\n// R");
    let job = open(&[
        ("rise: \"7 1/2\"", "rise: \"5\""),
        ("tread_thickness: \"1\"", "tread_thickness: \"1.001\""),
        ("readings: [\n            // R", &tilted),
    ]);
    let all = balls(&job);
    let under = all
        .iter()
        .find(|one| one.key.parts == ["T4", "T5"])
        .unwrap();
    // Between a level plane and one tilted by a: plumb gap h leaves a ball of 2 h cos a / (1 + cos a)
    // at the end, where its centre stands.
    let plumb = 3.999 + 0.5 * 35.75 / 38.0;
    let cos = (0.5_f64 / 38.0).atan().cos();
    is(
        under,
        Verdict::Broken,
        2.0 * plumb * cos / (1.0 + cos),
        3e-3,
    );
    let other = all
        .iter()
        .find(|one| one.key.parts == ["T7", "T8"])
        .unwrap();
    is(other, Verdict::Met, 3.999, 1e-5);
}

#[test]
fn only_openings_above_the_height_that_the_pack_gives_are_limited() {
    let pack = pack(&rules(), "open_kicks_above: Some(\"30 in\"),");
    let inspection = inspected(&open(&[]), &pack);
    let found = inspection
        .findings
        .iter()
        .filter(|one| one.key.kind == Kind::OpenKick);
    let parts: Vec<_> = found.map(|one| one.key.parts.clone()).collect();
    // Tread 4 is 30 in high and tread 5 37 1/2.
    assert_eq!(parts.first().unwrap(), &["T5", "T6"]);
    assert_eq!(parts.last().unwrap(), &["T13", "F1"]);
    // They are told among the openings too.
    let told = inspection
        .openings
        .iter()
        .filter(|one| parts.contains(&one.between));
    assert_eq!(told.count(), 9);
}

#[test]
fn a_stair_without_kicks_has_none_to_draw_or_to_cut() {
    let job = open(&[]);
    let chain = chain_of(&job);
    let kicks = chain
        .solids
        .parts
        .iter()
        .filter(|part| part.name.starts_with('K'));
    assert_eq!(kicks.count(), 0);
    let boards = chain.first().boards();
    assert!(boards.kicks.is_empty() && boards.open_skirts.is_empty());
    assert_eq!(boards.treads.len(), 13);
    assert!(balls(STRAIGHT).is_empty());
}
