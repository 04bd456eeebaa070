//! A tall stair for the benches: a half turn's pieces, one on top of the other.

use rakewell::job::{Document, Job, Newel, RailEnd, Run, Stands};

const HALF_TURN: &str = include_str!("../../scenes/half-turn.ron");
/// Treads of a flight: with two balusters on each, twenty and a little more.
const KICKS: u32 = 12;

/// The scene that flights are made of.
pub(crate) fn half_turn() -> Job {
    Document::parse(HALF_TURN, "half-turn.ron")
        .expect("the scene is a valid job")
        .job()
        .clone()
}

/// The half turn's pieces, one on top of the other, until there are so many flights.
pub(crate) fn tower(flights: usize) -> Job {
    let mut job = half_turn();
    job.walls.clear();
    job.stringers.clear();
    job.flight.count = KICKS;
    let [level, flight] = [job.runs[0].clone(), job.runs[1].clone()];
    job.runs.clear();
    let last = |job: &Job| match job.runs.last() {
        Some(run) => (run.name.clone(), newel_of(run).name.clone()),
        None => ("1".to_owned(), "N2".to_owned()),
    };
    head(&mut job.design.newels[1].stands);
    for number in 2..=flights {
        let (run, newel) = last(&job);
        job.runs
            .push(named(&level, &format!("L{number}"), &run, &newel));
        let (run, newel) = last(&job);
        let mut next = named(&flight, &number.to_string(), &run, &newel);
        next.walls.clear();
        next.stringers.clear();
        if let Some(flight) = &mut next.flight {
            flight.count = KICKS;
        }
        head(&mut newel_of_mut(&mut next).stands);
        job.runs.push(next);
    }
    job
}

/// The newel at a flight's head stands past the last tread's balusters.
fn head(stands: &mut Stands) {
    if let Stands::Displaces { step, .. } = stands {
        *step = KICKS - 1;
    }
}

fn named(run: &Run, name: &str, after: &str, newel: &str) -> Run {
    let mut next = run.clone();
    next.name = name.to_owned();
    next.starts.after = Some(after.to_owned());
    if let Some(design) = &mut next.design {
        design.rail.name = format!("R{name}");
        design.newels[0].name = format!("P{name}");
        design.rail.lower = RailEnd::Newel(newel.to_owned());
        design.rail.upper = RailEnd::Newel(format!("P{name}"));
    }
    next
}

fn newel_of(run: &Run) -> &Newel {
    let design = run.design.as_ref().expect("the scene's runs have railings");
    &design.newels[0]
}

/// The newel at a run's head.
fn newel_of_mut(run: &mut Run) -> &mut Newel {
    let design = run.design.as_mut().expect("the scene's runs have railings");
    &mut design.newels[0]
}
