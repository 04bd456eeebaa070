//! Where readings are taken: what is drawn is as long as what all readings make of it, and on a true
//! stair as its closed form.

use approx::assert_abs_diff_eq;
use nalgebra::Point3;

use rakewell::chain;
use rakewell::job::{Document, Side, StepReading, Surface, WallReading};
use rakewell::site::held::{Held, ReadAt, Usual, read_at, usual};

const EVERY_KIND: &str = include_str!("../job/survey.ron");
const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
const TRUE: &str = include_str!("../../../scenes/straight.ron");

fn chain_of(text: &str) -> chain::Chain {
    chain::run(Document::parse(text, "test.ron").unwrap().job()).unwrap()
}

/// The tape that is held last, from where to where.
fn tape(at: &ReadAt) -> Option<(Point3<f64>, Point3<f64>)> {
    let mut tapes = at.held.iter().filter_map(|held| match held {
        Held::Tape(from, to) => Some((*from, *to)),
        _ => None,
    });
    tapes.next_back()
}

fn level(at: &ReadAt) -> Option<(Point3<f64>, Point3<f64>)> {
    let mut levels = at.held.iter().filter_map(|held| match held {
        Held::Level(from, to) => Some((*from, *to)),
        _ => None,
    });
    levels.next_back()
}

/// What is drawn, in mm or radians as the survey has it; `None` where it is drawn by the reading
/// itself, as what hangs from a laser line that is not in the picture.
fn drawn(job: &rakewell::job::Job, path: &str, at: &ReadAt) -> Option<f64> {
    let number = |from: &str| {
        let rest = path.rsplit_once(from).unwrap().1;
        rest.trim_end_matches(']').parse::<usize>().unwrap()
    };
    let long = |(from, to): (Point3<f64>, Point3<f64>)| (to - from).norm();
    if path.starts_with("flight") {
        let reading = &job.flight.readings[number("readings[")];
        return match reading {
            StepReading::Under { .. } | StepReading::Past { .. } => None,
            _ if *reading.on() == Surface::Rough => None,
            StepReading::Level { high, .. } => {
                let (open, wall) = level(at).unwrap();
                let sign = if *high == Side::Open { -1.0 } else { 1.0 };
                Some((wall.z - open.z) * sign)
            }
            StepReading::Fall { .. } => {
                let (from, to) = level(at).unwrap();
                Some(from.z - to.z)
            }
            StepReading::Pitch { .. } => {
                let (from, to) = level(at).unwrap();
                Some((to.z - from.z).atan2(to.x - from.x))
            }
            _ => Some(long(tape(at).unwrap())),
        };
    }
    if path.starts_with("walls") {
        let wall: usize = path["walls[".len()..]
            .split(']')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        let reading = &job.walls[wall].readings[number("readings[")];
        return match reading {
            WallReading::Offset { line: Some(_), .. } => None,
            _ => Some(long(tape(at).unwrap())),
        };
    }
    let line = at.held.iter().any(|held| matches!(held, Held::Cross(..)));
    match (line, level(at)) {
        (true, _) => None,
        (false, Some((low, high))) => Some(high.z - low.z),
        (false, None) => Some(long(tape(at).unwrap())),
    }
}

#[test]
fn what_is_drawn_is_as_long_as_all_readings_make_it() {
    for text in [EVERY_KIND, DEMO] {
        let chain = chain_of(text);
        let (run, job) = (chain.first(), &chain.first().run.job);
        let survey = run.survey.as_ref().unwrap();
        let mut compared = 0;
        for read in &survey.readings {
            let at = read_at(&run.site, job, &read.path);
            let at = at.unwrap_or_else(|| panic!("{} is nowhere", read.path));
            assert!(
                !at.points().is_empty() && !at.parts.is_empty(),
                "{}",
                read.path
            );
            let Some(drawn) = drawn(job, &read.path, &at) else {
                continue;
            };
            compared += 1;
            // A tape has no negative length. Places across the flight are the survey's to 2 mm, and
            // a bow or a skew over 2 mm is hundredths; chords of a corner are taken at the tangent.
            let near = if read.path.starts_with("walls") {
                0.6
            } else {
                0.1
            };
            let apart = (drawn.abs() - read.fitted.abs()).abs();
            assert!(
                apart <= near,
                "{}: drawn {drawn}, fitted {}",
                read.path,
                read.fitted
            );
        }
        assert!(compared > survey.readings.len() / 2, "{compared}");
    }
}

#[test]
fn on_a_true_stair_it_is_the_closed_form() {
    let chain = chain_of(TRUE);
    let run = chain.first();
    let flight = &run.run.job.flight;
    let (rise, going) = (flight.rise.mm(), flight.going.mm());
    let count = f64::from(flight.count);
    let long = |what, step| {
        let at = usual(&run.site, what, step).unwrap();
        let (from, to) = tape(&at).or(level(&at)).unwrap();
        (to - from).norm()
    };
    for (what, step, want) in [
        (Usual::Rise, 1, rise),
        (Usual::Rise, flight.count, rise),
        (Usual::Going, 4, going),
        (Usual::Edge, 4, flight.edge.mm()),
        (Usual::Level, 4, flight.width.mm()),
        (Usual::Overhang, 4, flight.overhang.mm()),
        (Usual::TotalRise, 0, rise * count),
        (Usual::TotalRun, 0, going * (count - 1.0)),
    ] {
        assert_abs_diff_eq!(long(what, step), want, epsilon = 1e-6);
    }
    // A rise is plumb under the nosing, a going level, and what is held lies where the step is.
    let at = usual(&run.site, Usual::Rise, 5).unwrap();
    let (from, to) = tape(&at).unwrap();
    assert_abs_diff_eq!((to - from).xy().norm(), 0.0, epsilon = 1e-9);
    assert_abs_diff_eq!(to.z, rise * 5.0, epsilon = 1e-6);
    assert_abs_diff_eq!(to.x, going * 4.0 - flight.overhang.mm(), epsilon = 1e-6);
    assert_eq!(at.parts, ["K5", "T5", "T4"]);
    assert!(usual(&run.site, Usual::Going, flight.count).is_none());
    assert!(usual(&run.site, Usual::Rise, 99).is_none());
}

#[test]
fn a_plumb_level_rests_where_it_was_said_to_and_stands_plumb() {
    let chain = chain_of(EVERY_KIND);
    let (run, job) = (chain.first(), &chain.first().run.job);
    // `touch` is half an inch from its lower end.
    let at = read_at(&run.site, job, "walls[0].readings[2]").unwrap();
    let (low, high) = level(&at).unwrap();
    assert_abs_diff_eq!((high - low).xy().norm(), 0.0, epsilon = 1e-9);
    assert_abs_diff_eq!(high.z - low.z, 48.0 * 25.4, epsilon = 1e-6);
    let wall = run.site.wall("W1").unwrap();
    let rests = wall.point(60.0 * 25.4, 20.5 * 25.4);
    assert_abs_diff_eq!((rests.xy() - low.xy()).norm(), 0.0, epsilon = 1e-9);
    for path in [
        "walls[0].readings[99]",
        "walls[9].readings[0]",
        "nothing",
        "flight.readings[x]",
    ] {
        assert!(read_at(&run.site, job, path).is_none(), "{path}");
    }
}
