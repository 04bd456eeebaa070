//! Turns on winders that make no sense.

use rakewell::job::Document;

const SAMPLE: &str = include_str!("../sample.ron");

const GOOD: &str = "turns: Left, count: 3, kind: Kite(newel: 3.5), width: 36, rise: 7.5, \
                    overhang: 1, tread_thickness: 1, kick_thickness: 0.75";

/// What is told of winders that go on from the sample's flight: fields within them and problems.
fn told(winders: &str) -> Vec<(String, String)> {
    let design = &SAMPLE[SAMPLE.find("design:").unwrap()..SAMPLE.rfind(')').unwrap()];
    let end = SAMPLE.rfind(')').unwrap();
    let design = design.trim_end().trim_end_matches(',');
    let run = format!("runs: [(name: \"2\", starts: (), winders: ({winders}), {design})],\n)");
    let text = format!("{}{run}", &SAMPLE[..end]);
    let within = "runs[0].winders.";
    match Document::parse(&text, "job.ron") {
        Ok(_) => Vec::new(),
        Err(faults) => faults
            .diagnostics
            .iter()
            .filter_map(|fault| {
                let field = fault.path.strip_prefix(within)?;
                Some((field.to_owned(), fault.problem.clone()))
            })
            .collect(),
    }
}

#[test]
fn sound_winders_are_taken() {
    for more in [
        "",
        "angle: 180, walk_line: 12, handrail: 2",
        "kicks: [(step: 2, narrow: 1, wide: 20), (step: 3, narrow: 2.5, wide: 55)]",
        "readings: [Rise(step: 1, is: \"7 3/8\"), Narrow(step: 2, is: 1), Turn(step: 3, is: 61), \
         Level(step: 3, is: \"1/8\", high: Wide), Fall(step: 2, is: \"1/16\", low: Back), \
         Wide(step: 4, is: 72)]",
    ] {
        assert_eq!(told(&format!("{GOOD}, {more}")), [], "{more}");
    }
}

#[test]
fn winders_that_are_no_stair_are_told() {
    for (old, new, field, problem) in [
        ("count: 3", "count: 0", "count", "0 treads"),
        ("count: 3", "count: 40", "count", "40 treads"),
        (
            "count: 3",
            "count: 3, angle: 270",
            "angle",
            "no winders turn by 270",
        ),
        ("width: 36", "width: 0", "width", "the width is zero"),
        ("rise: 7.5", "rise: -7.5", "rise", "the rise is negative"),
        (
            "tread_thickness: 1",
            "tread_thickness: 8",
            "tread_thickness",
            "thicker than the rise",
        ),
        (
            "newel: 3.5",
            "newel: 1.5",
            "kind.newel",
            "the nosings pass by it",
        ),
        (
            "Kite(newel: 3.5)",
            "Tapered(well: Round(0.75))",
            "kind.well",
            "the nosings pass by it",
        ),
        (
            "count: 3",
            "count: 3, walk_line: 40",
            "walk_line",
            "lies in the wall",
        ),
        (
            "count: 3",
            "count: 3, kicks: [(step: 1, narrow: 0, wide: 0)]",
            "kicks[0].step",
            "kick 1 has no place to give",
        ),
        (
            "count: 3",
            "count: 3, kicks: [(step: 2, narrow: 2, wide: 40), (step: 3, narrow: 3, wide: 30)]",
            "kicks[1]",
            "kick 2 and kick 3 cross",
        ),
        (
            "count: 3",
            "count: 3, readings: [Rise(step: 4, is: 7.5)]",
            "readings[0].step",
            "there is no winder 4",
        ),
        (
            "count: 3",
            "count: 3, readings: [Turn(step: 2, is: 120)]",
            "readings[0].is",
            "not within the turn",
        ),
        (
            "count: 3",
            "count: 3, readings: [Turn(step: 2, is: 30), Narrow(step: 2, is: 1), \
             Wide(step: 2, is: 20)]",
            "readings[0]",
            "read at both ends and by its angle",
        ),
    ] {
        let text = GOOD.replacen(old, new, 1);
        let found = told(&text);
        let [(path, says)] = found.as_slice() else {
            panic!("{new}: {found:?}");
        };
        assert_eq!(path, field);
        assert!(says.contains(problem), "{says}");
    }
}
