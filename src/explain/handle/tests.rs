//! Handles against closed forms and against the chain run again.

use super::*;
use crate::chain;
use crate::explain::Asked;
use crate::job::Document;
use crate::measure::parse_length;
use crate::setout::{Gap, plan};
use proptest::prelude::*;

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

fn document(text: &str) -> Document {
    Document::parse(text, "test.ron").unwrap()
}

fn demo() -> Document {
    document(DEMO)
}

fn found(document: &Document) -> Chain {
    chain::run(document.job()).unwrap()
}

/// The document with a handle put to a value.
fn put(document: &Document, handle: &Handle, value: Value) -> Document {
    let (field, text) = handle.edit(value).unwrap();
    document.set(&field, &text).unwrap()
}

fn inches(value: f64) -> Length {
    Length::inches(value)
}

fn along(chain: &Chain) -> Handle {
    let mut all = handles(chain, "N1").into_iter();
    all.find(|one| one.what == "newel N1 along the flight")
        .unwrap()
}

fn gap<'a>(chain: &'a Chain, below: &str, above: &str) -> &'a Gap {
    let gaps = &mut chain.first().setout.gaps.iter();
    gaps.find(|gap| gap.below == below && gap.above == above)
        .unwrap()
}

#[test]
fn a_newel_goes_up_the_flight_as_its_length_grows_and_its_grip_with_it() {
    let before = demo();
    let chain = found(&before);
    let handle = along(&chain);
    assert_eq!(handle.now(), Value::Length(Length::ZERO));
    let to = Value::Length(inches(3.0 / 16.0));
    assert_eq!(
        handle.edit(to).unwrap(),
        (
            "design.newels[0].stands.Displaces.move_by".to_owned(),
            "\"3/16\"".to_owned()
        )
    );
    let after = found(&put(&before, &handle, to));
    let moved = along(&after).at - handle.at;
    // Foot and grip go level along the flight, as far as the length did.
    approx::assert_relative_eq!(moved.dot(&handle.way), 3.0 / 16.0 * 25.4, epsilon = 1e-9);
    approx::assert_relative_eq!(moved.x, moved.dot(&handle.way), epsilon = 1e-9);
}

/// Every grip of every kind of part follows its length one to one: put 1/4 in further, what is held
/// goes 1/4 in its way (of a rail as far as its window lets it, which the demo's does).
#[test]
fn every_grip_goes_its_way_as_far_as_its_length() {
    let quarter = inches(0.25);
    let all = [
        (DEMO, vec!["N1", "R1", "B05"]),
        (
            include_str!("../../../scenes/panels.ron"),
            vec!["N1", "P02"],
        ),
        (
            include_str!("../../../scenes/wall-rail.ron"),
            vec!["R2", "R3"],
        ),
    ];
    let mut seen = 0;
    for (text, parts) in all {
        let before = document(text);
        let chain = found(&before);
        for part in parts {
            for handle in handles(&chain, part) {
                let Value::Length(now) = handle.now() else {
                    continue;
                };
                let Some((field, value)) = handle.edit(Value::Length(now + quarter)) else {
                    continue;
                };
                let after = found(&before.set(&field, &value).unwrap());
                let mut there = handles(&after, part).into_iter();
                let there = there.find(|one| one.what == handle.what).unwrap();
                let went = (there.at - handle.at).dot(&handle.way);
                let off = (went - quarter.as_mm()).abs();
                // The line keeps its limits, the rail its window: both may hold a part back. A rail's
                // end on a leaning wall goes along that.
                assert!(off < 0.1 || went.abs() < 0.1, "{}: {went}", handle.what);
                seen += usize::from(off < 0.1);
            }
        }
    }
    assert!(seen >= 8, "{seen}");
}

/// Common practice, no source: going 10 in, two balusters of 1 1/4 in to a tread leave gaps of
/// 3 3/4 in; with the first one displaced the newel's face stands 1 1/4 in behind the kick's.
#[test]
fn the_places_of_the_demos_newel_are_those_of_the_closed_form() {
    let chain = found(&demo());
    let handle = along(&chain);
    let Takes::Length(lever) = &handle.takes else {
        panic!("no length")
    };
    let all = places(&chain, lever, inches(6.0));
    let at = |is: f64| {
        let near = |place: &&Place| (place.is - inches(is)).abs() < Length::mm(1e-4);
        let found = all.iter().find(near);
        found.unwrap_or_else(|| panic!("no place at {is}: {all:?}"))
    };
    assert!(
        at(0.0).says.contains("gap equals B01 to B02: 3 3/4\""),
        "{:?}",
        at(0.0)
    );
    assert!(at(-1.25).says.contains("uphill face flush with kick K1"));
    // The newel is 3 1/2 in thick.
    assert!(at(2.25).says.contains("downhill face flush with kick K1"));
}

/// Every place is what it says once the chain runs there.
#[test]
fn every_place_holds_when_the_chain_runs_there() {
    for text in [DEMO, include_str!("../../../scenes/half-turn.ron")] {
        let before = document(text);
        let chain = found(&before);
        let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
        let mut checked = 0;
        for newel in newels {
            let mut all = handles(&chain, &newel.name).into_iter();
            let Some(handle) = all.find(|one| one.what.ends_with("along the flight")) else {
                continue;
            };
            let Takes::Length(lever) = &handle.takes else {
                continue;
            };
            for place in places(&chain, lever, inches(4.0)) {
                let (field, value) = handle.edit(Value::Length(place.is)).unwrap();
                let Ok(after) = before.set(&field, &value) else {
                    continue;
                };
                let after = found(&after);
                let run = &after.runs[handle.run()];
                let set = run
                    .setout
                    .newels
                    .iter()
                    .find(|one| one.name == newel.name)
                    .unwrap();
                for says in place.says.split("; ") {
                    hold_true(says, run, set);
                    checked += 1;
                }
            }
        }
        assert!(checked >= 3, "{checked}");
    }
}

/// What is said of a place holds in a run, to what its text leaves: 0.002 mm.
fn hold_true(says: &str, run: &RunChain, set: &crate::setout::NewelSet) {
    let (low, high) = plan::extent(&set.footprint, |point| point.x);
    if let Some((which, kick)) = says.split_once(" face flush with kick ") {
        let own = kick.strip_prefix(run.run.mark.as_str()).unwrap();
        let step: u32 = own[1..].parse().unwrap();
        let face = run
            .site
            .step(step)
            .unwrap()
            .kick_at(run.site.outward * set.foot.y);
        let here = if which == "uphill" { high } else { low };
        assert!((face - here).abs() < 0.005, "{says}: {face} {here}");
        return;
    }
    let wall = |name: &String| run.site.wall(name).is_some();
    let gaps: Vec<&Gap> = run
        .setout
        .gaps
        .iter()
        .filter(|gap| !wall(&gap.below) && !wall(&gap.above))
        .collect();
    let beside = gaps
        .iter()
        .filter(|gap| gap.below == set.name || gap.above == set.name);
    let own: Vec<f64> = beside.map(|gap| gap.clear.as_mm()).collect();
    if says.starts_with("all gaps even") {
        let off = |gap: &&&Gap| (gap.clear.as_mm() - own[0]).abs() > 0.02;
        assert!(gaps.iter().find(off).is_none(), "{says}");
        return;
    }
    let pair = says.strip_prefix("gap equals ").unwrap();
    let (names, _) = pair.split_once(": ").unwrap();
    let (below, above) = names.split_once(" to ").unwrap();
    let other = gaps
        .iter()
        .find(|gap| gap.below == below && gap.above == above)
        .unwrap();
    let near = own
        .iter()
        .any(|own| (own - other.clear.as_mm()).abs() < 0.005);
    assert!(near, "{says}: {own:?} {:?}", other.clear);
}

#[test]
fn a_gap_that_is_wanted_moves_the_newel_to_the_mark() {
    let before = demo();
    let chain = found(&before);
    let asked = Asked::Gap {
        below: "N1".to_owned(),
        above: "B01".to_owned(),
    };
    let set = set(&chain, &asked, inches(4.0)).unwrap();
    // A quarter wider is a quarter down the flight.
    assert_eq!(set.edit.1, "\"-1/4\"");
    assert_eq!(set.what, "move newel N1 1/4\" down the flight");
    let after = found(&before.set(&set.edit.0, &set.edit.1).unwrap());
    let now = gap(&after, "N1", "B01").clear;
    assert!((now - inches(4.0)).abs() < Length::mm(1e-6), "{now:?}");
    // Between two marks it is met as well, by a decimal.
    let between = super::set(&chain, &asked, Length::mm(100.0)).unwrap();
    let after = found(&before.set(&between.edit.0, &between.edit.1).unwrap());
    let now = gap(&after, "N1", "B01").clear.as_mm();
    assert!((now - 100.0).abs() < 0.005, "{now}");
}

#[test]
fn what_cannot_be_had_is_said_with_how_much_is_missing() {
    let chain = found(&demo());
    let gap_of = |below: &str, above: &str| Asked::Gap {
        below: below.to_owned(),
        above: above.to_owned(),
    };
    let far = set(&chain, &gap_of("N1", "B01"), inches(40.0)).unwrap_err();
    // 18 in down the flight the gap is 21 3/4: what is wanted is 18 1/4 more.
    assert!(far.contains("40\" is 18 1/4\" more"), "{far}");
    let none = set(&chain, &gap_of("B02", "B03"), inches(4.0)).unwrap_err();
    assert_eq!(
        none,
        "no single length of the design sets the clear gap between B02 and B03"
    );
}

#[test]
fn a_rail_and_a_reveal_are_set_by_what_they_hang_on() {
    let before = demo();
    let chain = found(&before);
    let reveal = &chain.first().setout.reveals[3];
    let asked = Asked::Reveal {
        tread: format!("T{}", reveal.step),
        part: reveal.part.clone(),
    };
    let wanted = reveal.value + inches(1.0 / 16.0);
    let set = set(&chain, &asked, wanted).unwrap();
    assert_eq!(set.edit.0, "design.reveal");
    let after = found(&before.set(&set.edit.0, &set.edit.1).unwrap());
    let off = asked.value(&after).unwrap() - wanted;
    assert!(off.abs() < Length::mm(0.02), "{off:?}");
}

/// Two to a tread of 10 in stand 5 in from centre to centre, three 3 1/3 in.
#[test]
fn a_tread_takes_as_many_as_its_second_baluster_is_pulled_to() {
    let chain = found(&demo());
    let mut all = handles(&chain, "B05").into_iter();
    let count = all
        .find(|one| matches!(one.takes, Takes::Count(_)))
        .unwrap();
    let tape = chain.first().run.job.tape;
    let third = (10.0 / 3.0 - 5.0) * 25.4;
    assert_eq!(
        count.value_at(Length::mm(third + 3.0), tape),
        Value::Count(3)
    );
    approx::assert_relative_eq!(count.along(Value::Count(3)).as_mm(), third, epsilon = 1e-6);
    assert_eq!(count.value_at(Length::inches(5.0), tape), Value::Count(1));
    let step = chain.first().setout.balusters[4].step;
    let (field, text) = count.edit(Value::Count(3)).unwrap();
    assert_eq!(text, format!("[(step: {step}, count: 3)]"));
    let after = found(&demo().set(&field, &text).unwrap());
    let on = |chain: &Chain| {
        let balusters = chain.first().setout.balusters.iter();
        balusters.filter(|one| one.step == step).count()
    };
    assert_eq!((on(&chain), on(&after)), (2, 3));
}

#[test]
fn consequences_are_told_against_before() {
    let before = demo();
    let chain = found(&before);
    let handle = along(&chain);
    let after = found(&put(&before, &handle, Value::Length(inches(1.5))));
    let told = consequences(&chain, &after, "N1");
    let gap = told
        .changes
        .iter()
        .find(|one| one.what.starts_with("gap N1"))
        .unwrap();
    approx::assert_relative_eq!(gap.before.unwrap().as_inches(), 3.75, epsilon = 1e-9);
    approx::assert_relative_eq!(gap.after.unwrap().as_inches(), 2.25, epsilon = 1e-9);
    let notch = told
        .changes
        .iter()
        .find(|one| one.what.starts_with("notch"))
        .unwrap();
    let deeper = notch.after.unwrap() - notch.before.unwrap();
    approx::assert_relative_eq!(deeper.as_inches(), 1.5, epsilon = 1e-9);
    // The same chain has no consequences.
    let none = consequences(&chain, &chain, "N1");
    assert_eq!((none.brought, none.cleared, none.worst), (0, 0, None));
}

proptest! {
    #[test]
    fn what_is_written_reads_back_to_the_hair(mm in -500.0..500.0_f64, metric in any::<bool>()) {
        let mut job = demo().job().clone();
        job.units = if metric { Unit::Millimetres } else { Unit::Inches };
        let text = written(&job, Length::mm(mm));
        let read = parse_length(&text, job.units).unwrap().as_mm();
        let least = if metric { 0.0051 } else { 0.0021 };
        prop_assert!((read - mm).abs() < least, "{text}");
    }
}
