//! Running marks: from one end, so that they sum; and the block.

use approx::assert_relative_eq;
use rakewell::measure::{Length, Tape};
use rakewell::shop::marks::{Hook, MarkRow, MarkSet, RowOn, marks};

use super::{SCENES, STRAIGHT, chain_of, with};

fn row(set: &MarkSet, on: RowOn) -> &MarkRow {
    set.runs[0].rows.iter().find(|row| row.on == on).unwrap()
}

#[test]
fn every_printed_mark_is_within_half_a_mark_of_its_place() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        for tape in [Tape::Sixteenths, Tape::ThirtySeconds, Tape::Millimetres] {
            for run in marks(&chain).runs {
                for row in &run.rows {
                    let half = tape.mark() / 2.0 + Length::mm(1e-6);
                    let mut before = Length::mm(f64::NEG_INFINITY);
                    // A baluster may stand past the straight rail, under a fitting.
                    let past = row.on == RowOn::RailUnder
                        && row.marks.last().is_some_and(|mark| mark.slope.is_none());
                    let end = (!past).then_some(&row.end);
                    for mark in row.marks.iter().chain(end) {
                        // What is printed, read back: `+` and `-` say where within the mark.
                        let printed = tape.print(mark.level);
                        let read = tape.read(printed.trim_end_matches(['+', '-'])).unwrap();
                        assert!((read - mark.level).abs() <= half, "{scene}: {printed}");
                        assert!(
                            mark.level > before,
                            "{scene}: {} is out of order",
                            mark.part
                        );
                        before = mark.level;
                    }
                    // From the last centre to the end the printed marks agree with the exact way
                    // within a mark, however many marks lie before: rounding does not add up.
                    let last = row.marks.last().map_or(Length::ZERO, |mark| mark.level);
                    let printed = tape.round(row.end.level) - tape.round(last);
                    let exact = row.end.level - last;
                    assert!((printed - exact).abs() <= half * 2.0, "{scene}");
                }
            }
        }
    }
}

#[test]
fn the_row_sums_to_the_overall() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        for (run, told) in chain.runs.iter().zip(marks(&chain).runs) {
            let setout = &run.setout;
            let Some(rod) = told.rows.iter().find(|row| row.on == RowOn::Rod) else {
                continue;
            };
            // Gaps and widths, one after another, come to the overall.
            let named = |name: &str| setout.balusters.iter().any(|one| one.name == name);
            let gaps = setout
                .gaps
                .iter()
                .filter(|gap| named(&gap.below) || named(&gap.above));
            let both_ends = setout.gaps.len() == setout.balusters.len() + 1;
            if !both_ends {
                continue;
            }
            let clear: Length = gaps.map(|gap| gap.clear).sum();
            let widths: Length = setout.balusters.iter().map(|one| one.along).sum();
            assert_relative_eq!(
                rod.end.level.as_mm(),
                (clear + widths).as_mm(),
                epsilon = 1e-6
            );
            assert_eq!(rod.hook, Hook::Face, "{scene}");
        }
    }
}

#[test]
fn marks_along_the_rail_are_level_ones_over_the_cosine() {
    // s.5.5: spacing along the rail is the horizontal over cos pitch. At 7 3/4 in 10, 5 in centres
    // come to 6.3258 in along the rake (37.7757 degrees).
    let text = with(
        STRAIGHT,
        &[
            ("rise: \"7 1/2\"", "rise: \"7 3/4\""),
            ("going: \"10 1/4\"", "going: \"10\""),
        ],
    );
    let set = marks(&chain_of(&text));
    let rail = row(&set, RowOn::RailUnder);
    let rod = row(&set, RowOn::Rod);
    for pair in rail.marks.windows(2) {
        let along = pair[1].slope.unwrap() - pair[0].slope.unwrap();
        assert_relative_eq!(along.as_inches(), 6.3258, epsilon = 1e-4);
        assert_relative_eq!(
            (pair[1].level - pair[0].level).as_inches(),
            5.0,
            epsilon = 1e-6
        );
    }
    for (one, other) in rail.marks.iter().zip(&rod.marks) {
        assert_eq!(one.part, other.part);
        // Both are hooked on N1's plumb uphill face.
        assert_relative_eq!(one.level.as_mm(), other.level.as_mm(), epsilon = 1e-6);
    }
    let block = set.runs[0].block.as_ref().unwrap();
    assert_relative_eq!(block.level.as_inches(), 3.75, epsilon = 1e-6);
    assert_relative_eq!(
        block.slope.unwrap().as_inches(),
        3.75 / 5.0 * 6.3258,
        epsilon = 1e-4
    );
    assert_eq!(block.hooks_on, "N1");
    // 3 3/4 in lies on a mark: it does not creep.
    assert_relative_eq!(block.creeps.as_mm(), 0.0, epsilon = 1e-6);
}

#[test]
fn centres_on_a_tread_by_hand() {
    // Common practice, no source: going 10 in, two of 1 1/4 in, stand 5/8 and 5 5/8 in behind the face
    // of the kick below; with the nosing 1 in before that face, 1 5/8 and 6 5/8 in from it.
    let text = with(STRAIGHT, &[("going: \"10 1/4\"", "going: \"10\"")]);
    let set = marks(&chain_of(&text));
    let tread = set.runs[0]
        .treads
        .iter()
        .find(|tread| tread.step == 4)
        .unwrap();
    assert_eq!(tread.part, "T4");
    for (mark, from) in tread.marks.iter().zip([1.625, 6.625]) {
        assert_relative_eq!(mark.along.1.as_inches(), from, epsilon = 1e-9);
        // The baluster line lies 2 1/4 in in from the tread ends.
        assert_relative_eq!(mark.across.1.as_inches(), 2.25, epsilon = 1e-9);
        let bore = mark.bore.unwrap();
        // A peg of 3/4 in in a tread of 1 in leaves 1/4 in.
        assert_relative_eq!(bore.left.unwrap().as_inches(), 0.25, epsilon = 1e-9);
    }
}

#[test]
fn a_crooked_tread_is_marked_as_found() {
    // A tread 1/2 in out of level over its 38 in length: along its surface the way in from its end
    // is longer than level by the slope's own hypotenuse.
    let text = with(
        STRAIGHT,
        &[(
            "// Rise(step: 3, is: \"7 9/16\"),",
            "Level(step: 4, is: \"2\", high: Wall), Edge(step: 4, is: \"2 1/2\"), Edge(step: 5, is: \"2\"),",
        )],
    );
    let chain = chain_of(&text);
    let set = marks(&chain);
    let step = chain.first().site.step(4).unwrap().clone();
    let tread = set.runs[0]
        .treads
        .iter()
        .find(|tread| tread.step == 4)
        .unwrap();
    for mark in &tread.marks {
        let baluster = chain.first().setout.balusters.iter();
        let foot = baluster
            .clone()
            .find(|one| one.name == mark.part)
            .unwrap()
            .foot;
        let (x, q) = (foot.x, foot.y * chain.first().site.outward);
        // The two points in space, an edge's and the centre's: a string between them.
        let string = |from: (f64, f64)| {
            let rise = step.top(from.0, from.1) - step.top(x, q);
            (from.0 - x).hypot(from.1 - q).hypot(rise)
        };
        assert_relative_eq!(
            mark.across.1.as_mm(),
            string((x, step.open_q)),
            epsilon = 1e-6
        );
        assert_relative_eq!(
            mark.along.1.as_mm(),
            string((step.nosing_at(q), q)),
            epsilon = 1e-6
        );
        assert!(mark.across.1.as_mm() > step.open_q - q);
    }
}

#[test]
fn a_block_that_is_rounded_says_how_far_it_creeps() {
    // 52 in clear, ten of 1 1/2 in: each gap 37/11 in (ironfurnit.blogspot.com 2011-11), 3 3/8 on
    // sixteenths: stepped off eleven times that is 37 1/8, an eighth too far.
    let text = with(
        STRAIGHT,
        &[
            ("count: 14,  ", "count: 8,  "),
            ("Displaces(step: 1, balusters: 1)", "At(x: \"0\")"),
            ("Displaces(step: 13, balusters: 0)", "At(x: \"55 1/2\")"),
            ("section: Square(\"1 1/4\")", "section: Square(\"1 1/2\")"),
            ("PerTread(count: 2)", "AlongRail(count: 10)"),
        ],
    );
    let set = marks(&chain_of(&text));
    let block = set.runs[0].block.as_ref().unwrap();
    assert_relative_eq!(block.level.as_inches(), 37.0 / 11.0, epsilon = 1e-9);
    assert_eq!((block.serves.len(), block.not.len()), (11, 0));
    assert_relative_eq!(block.creeps.as_inches(), 0.125, epsilon = 1e-9);
}
