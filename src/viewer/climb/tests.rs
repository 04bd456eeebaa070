//! How one goes up and down.

use super::*;
use crate::chain;
use crate::inspect::Key;
use crate::job::Document;

fn climbs_of(text: &str) -> Vec<Climb> {
    let document = Document::parse(text, "climb.ron").unwrap();
    chain::climbs(&chain::run(document.job()).unwrap())
}

fn cottage() -> Vec<Climb> {
    climbs_of(include_str!("../../../demo-scenes/weir-cottage.ron"))
}

#[test]
fn past_the_top_of_a_flight_comes_the_foot_of_the_next_and_back() {
    let climbs = cottage();
    assert!(climbs.len() > 1);
    let mut at = Climbing::default().after(Ask::Top, &climbs);
    let top = climbs[0].steps.len() as u32;
    assert_eq!((at.flight, at.step), (0, top));
    at = at.after(Ask::Up, &climbs);
    assert_eq!((at.flight, at.step), (1, 1));
    at = at.after(Ask::Down, &climbs);
    assert_eq!((at.flight, at.step), (0, top));
    // Every step of every flight is reached, and then one stays at the top.
    at = at.after(Ask::Foot, &climbs);
    let all: usize = climbs.iter().map(|climb| climb.steps.len()).sum();
    for _ in 0..all + 3 {
        at = at.after(Ask::Up, &climbs);
    }
    let last = climbs.len() - 1;
    assert_eq!(
        (at.flight, at.step as usize),
        (last, climbs[last].steps.len())
    );
}

#[test]
fn a_stair_that_lost_steps_keeps_one_on_it() {
    let climbs = cottage();
    let lost = Climbing {
        flight: 9,
        step: 99,
        ..Climbing::default()
    };
    let at = lost.within(&climbs[..1]);
    assert_eq!((at.flight, at.step as usize), (0, climbs[0].steps.len()));
    assert!(at.lit(&climbs).is_some());
    assert!(at.lit(&[]).is_none());
}

#[test]
fn quantities_go_round_both_ways() {
    let mut of = Of::Heights;
    for expected in Of::ALL.iter().skip(1).chain(&Of::ALL[..1]) {
        of = next(of, false);
        assert_eq!(of, *expected);
    }
    assert_eq!(next(Of::Heights, true), Of::Wall);
}

#[test]
fn bars_and_levels_show_of_themselves_where_they_tell_something() {
    let showing = Showing::default();
    let mut at = Climbing {
        on: true,
        of: Of::Reveals,
        ..Climbing::default()
    };
    assert!(at.draws_bars(&showing) && !at.draws_levels(&showing));
    at.of = Of::Across;
    assert!(!at.draws_bars(&showing) && at.draws_levels(&showing));
    at.on = false;
    assert!(!at.draws_bars(&showing) && !at.draws_levels(&showing));
    let picked = Showing {
        picked: Some(Pick::Trouble(Key {
            kind: Kind::RevealDrift,
            parts: vec!["R1".to_owned()],
        })),
        ..Showing::default()
    };
    assert!(at.draws_bars(&picked) && !at.draws_levels(&picked));
    // What was said counts, and nothing is measured on show.
    at.bars = Some(false);
    assert!(!at.draws_bars(&picked));
    at.bars = Some(true);
    assert!(at.draws_bars(&showing));
    let show = Showing {
        mood: Mood::Show,
        ..Showing::default()
    };
    assert!(!at.draws_bars(&show));
}

#[test]
fn a_near_eye_goes_along_and_a_far_one_stays() {
    use crate::viewer::camera::Lens;
    let climb = cottage().remove(0);
    let (from, to) = (climb.steps[2].at, climb.steps[3].at);
    let eye = |reach| Eye {
        target: from,
        yaw: 0.4,
        pitch: 0.3,
        reach,
        lens: Lens::Perspective,
        keeps: 0.0,
    };
    let gone = gone_along(&eye(500.0), &climb, [&from, &to]).unwrap();
    approx::assert_abs_diff_eq!(gone.target, to, epsilon = 1e-9);
    assert!(gone_along(&eye(20_000.0), &climb, [&from, &to]).is_none());
}

#[test]
fn words_say_the_side_and_nothing_where_there_is_nothing() {
    let climbs = climbs_of(include_str!("../../../demo-scenes/quarry-lane.ron"));
    let tape = crate::measure::Tape::Sixteenths;
    let step = |number: usize| &climbs[0].steps[number - 1];
    // The demo's second rise was read 1/16 scant of 7 1/2.
    let second = words::value(Of::Heights, step(2), tape).unwrap();
    assert_eq!(second, "1/16\" too low");
    assert!(words::behind(Of::Heights, step(2), tape).starts_with("its own rise is 7 7/16\""));
    // Its sixth going was taped twice as 9 3/4, 1/4 short of 10, so the seventh kick is short.
    assert_eq!(
        words::value(Of::Places, step(7), tape).unwrap(),
        "1/4\" short"
    );
    // The upper floor is no tread.
    assert_eq!(words::value(Of::Goings, step(14), tape), None);
    assert_eq!(words::value(Of::Reveals, step(14), tape), None);
}
