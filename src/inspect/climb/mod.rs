//! The climb: up a flight step by step, how far the stair as found has come from the stair that was
//! meant, and what each step adds to that.
//!
//! In: a run as found and as meant, each with its frame in the first run's, the railings on it and
//! the rule pack. Out: a [`Climb`], its places in the first run's frame, mm.
//!
//! What is built up (a nosing's place) is measured from the foot of the whole stair, so a run that
//! goes on from another begins with what that one brings. What a step adds (its rise, its going) is
//! its own, on the baluster line.
//! Does not: judge (that is the rest of `inspect`), or lay out the true stair (that is `chain`).

use nalgebra::{Point3, Vector3};

use crate::job::Job;
use crate::measure::Length;
use crate::rules::{Pack, Sense};
use crate::setout::SetOut;
use crate::site::{Frame, Site, Step};

mod levels;
mod limits;
mod strip;
mod walls;

pub use levels::{LevelGap, LevelWay};
pub use strip::{Of, Strip, StripPoint};

/// A run where it stands.
#[derive(Clone, Copy, Debug)]
pub struct Stands<'a> {
    /// Its frame in the first run's.
    pub frame: &'a Frame,
    /// Its stair, in its own frame.
    pub site: &'a Site,
}

/// A railing on a run: its own, or the one on its wall side, which is a run by itself.
#[derive(Clone, Copy, Debug)]
pub struct Railing<'a> {
    /// The run that it is of, by itself.
    pub job: &'a Job,
    /// Where that stands, as found.
    pub stands: Stands<'a>,
    /// The railing as it is set out.
    pub setout: &'a SetOut,
}

/// What a climb is worked out from.
#[derive(Clone, Debug)]
pub struct ClimbOf<'a> {
    /// The run, by its number in [`Job::each_run`].
    pub run: usize,
    /// Its name.
    pub name: &'a str,
    /// As found.
    pub found: Stands<'a>,
    /// As meant, all below it as meant too.
    pub meant: Stands<'a>,
    /// The railings on it, its own first.
    pub railings: Vec<Railing<'a>>,
    /// The rule pack.
    pub pack: &'a Pack,
}

/// A run climbed from its foot.
#[derive(Clone, Debug, PartialEq)]
pub struct Climb {
    /// The run, by its number in [`Job::each_run`].
    pub run: usize,
    /// Its name.
    pub name: String,
    /// How far its foot is from where it was meant: what the runs below bring. Nothing of the first.
    pub brought: Off,
    /// The steps from the bottom; the last is the upper floor.
    pub steps: Vec<ClimbStep>,
    /// The lower floor and the landings, across and back.
    pub floors: Vec<LevelGap>,
    /// What limits there are on what a strip shows, from the rule pack or the job.
    pub limits: Vec<ClimbLimit>,
}

/// How far a place is from where it was meant, in the run's own directions.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Off {
    /// Too high; less than nothing: too low.
    pub up: Length,
    /// Too far on up the flight; less than nothing: short.
    pub along: Length,
    /// Too far out towards the open side; less than nothing: in.
    pub out: Length,
}

/// What one step adds to a sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Added {
    /// As found.
    pub found: Length,
    /// Found less meant.
    pub off: Length,
    /// The same of this step and all below it, added up.
    pub sum: Length,
}

/// One step of a climb.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimbStep {
    /// Its number, from 1.
    pub step: u32,
    /// Its tread by its name in the whole stair.
    pub tread: String,
    /// Its kick likewise.
    pub kick: String,
    /// Its nosing on the baluster line, as found.
    pub at: Point3<f64>,
    /// The same as meant.
    pub meant: Point3<f64>,
    /// The open end of its nosing, as found and as meant.
    pub corner: [Point3<f64>; 2],
    /// How far its nosing is off on the baluster line.
    pub off: Off,
    /// Its rise.
    pub rise: Added,
    /// The same at the open end of its nosing and at its wall end, where the rules look too.
    pub rise_ends: [Length; 2],
    /// Its going; none of the upper floor.
    pub going: Option<Added>,
    /// How it lies across: more than nothing where the open end is high.
    pub across: LevelGap,
    /// How it lies from the nosing back: more than nothing where the nosing is high.
    pub back: LevelGap,
    /// Its open end; none of the upper floor, and of a tread that is meant to reach past the others.
    pub end: Option<TreadEnd>,
    /// What shows between each baluster on it and the end of the tread, from the bottom up.
    pub reveals: Vec<EndReveal>,
    /// The rails over its nosing.
    pub rails: Vec<RailOver>,
    /// The wall beside it.
    pub wall: Option<WallBeside>,
}

/// The open end of a tread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadEnd {
    /// Too far out; less than nothing: in.
    pub off: Length,
    /// How far it stands out of the straight line from the lowest tread's end to the topmost's;
    /// less than nothing: in.
    pub off_string: Length,
}

/// What shows between a baluster and the end of its tread.
#[derive(Clone, Debug, PartialEq)]
pub struct EndReveal {
    /// The baluster.
    pub part: String,
    /// The rail over it.
    pub rail: String,
    /// What shows.
    pub value: Length,
    /// What is wanted; the mean of the railing's where nothing is said.
    pub wanted: Length,
    /// What shows less what is wanted.
    pub off: Length,
    /// What shows less what shows beside the lowest baluster of the railing.
    pub drift: Length,
    /// The baluster's face.
    pub face: Point3<f64>,
    /// The end of the tread there.
    pub end: Point3<f64>,
}

/// A rail over a nosing.
#[derive(Clone, Debug, PartialEq)]
pub struct RailOver {
    /// The rail.
    pub rail: String,
    /// Plumb from the higher end of the nosing to the rail's top.
    pub least: Length,
    /// From the lower end.
    pub most: Length,
    /// What is wanted.
    pub wanted: Length,
}

/// A wall beside a step.
#[derive(Clone, Debug, PartialEq)]
pub struct WallBeside {
    /// The wall.
    pub wall: String,
    /// How far its face stands off its meant plumb plane at rail height, towards the room.
    pub off: Length,
    /// How much of that it leans from the tread's height up to there.
    pub lean: Length,
    /// Its face at rail height.
    pub at: Point3<f64>,
}

/// A limit on what a strip shows.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimbLimit {
    /// What it limits.
    pub of: Of,
    /// The limit, as the strip counts.
    pub at: Length,
    /// What the values must be.
    pub sense: Sense,
    /// What it is, in words without numbers.
    pub says: &'static str,
    /// The clause, or whose practice it is.
    pub source: String,
}

/// Climbs a run; `None` where it has no steps.
#[must_use]
pub fn climb(of: &ClimbOf<'_>) -> Option<Climb> {
    let steps = steps(of);
    if steps.is_empty() {
        return None;
    }
    let (found, meant) = (of.found.frame, of.meant.frame);
    Some(Climb {
        run: of.run,
        name: of.name.to_owned(),
        brought: off(&found.origin, &meant.origin, &of.meant),
        limits: limits::limits(of, &steps),
        floors: levels::floors(&of.found),
        steps,
    })
}

impl Climb {
    /// The step that a part belongs to, by the part's name: a tread, a kick or a baluster.
    #[must_use]
    pub fn step_of(&self, part: &str) -> Option<u32> {
        let has = |step: &&ClimbStep| {
            step.tread == part
                || step.kick == part
                || step.reveals.iter().any(|one| one.part == part)
        };
        self.steps.iter().find(has).map(|step| step.step)
    }

    /// The step with this number.
    #[must_use]
    pub fn step(&self, number: u32) -> Option<&ClimbStep> {
        let at = (number as usize).checked_sub(1)?;
        self.steps.get(at)
    }
}

/// How far a place is from where it was meant, both in the first run's frame, in the directions of
/// a run as meant.
fn off(found: &Point3<f64>, meant: &Point3<f64>, run: &Stands<'_>) -> Off {
    let by = run.frame.way_from_first(&(found - meant));
    Off {
        up: Length::mm(by.z),
        along: Length::mm(by.x),
        out: Length::mm(run.site.outward * by.y),
    }
}

/// The nosing of a step on the baluster line, in the first run's frame.
fn nosing(stands: &Stands<'_>, step: &Step) -> Point3<f64> {
    let at = stands.site.at(step.nosing_x(), 0.0, step.nosing_top(0.0));
    stands.frame.to_first(&at)
}

/// The open end of a step's nosing, in the first run's frame.
fn corner(stands: &Stands<'_>, step: &Step) -> Point3<f64> {
    let (site, q) = (stands.site, step.open_q);
    stands
        .frame
        .to_first(&site.at(step.nosing_at(q), q, step.nosing_top(q)))
}

fn steps(of: &ClimbOf<'_>) -> Vec<ClimbStep> {
    let (mut rises, mut goings) = (Length::ZERO, Length::ZERO);
    let site = of.found.site;
    let count = site.steps.len().min(of.meant.site.steps.len());
    let pairs = site.steps.iter().zip(&of.meant.site.steps).take(count);
    let mut steps: Vec<ClimbStep> = pairs
        .map(|(step, meant)| {
            let (at, true_at) = (nosing(&of.found, step), nosing(&of.meant, meant));
            ClimbStep {
                step: step.number,
                tread: site.named(format_args!("T{}", step.number)),
                kick: site.named(format_args!("K{}", step.number)),
                at,
                meant: true_at,
                corner: [corner(&of.found, step), corner(&of.meant, meant)],
                off: off(&at, &true_at, &of.meant),
                rise: added([step.rise, meant.rise], &mut rises),
                rise_ends: [step.open_q, step.wall_q].map(|q| rise_at(site, step, q)),
                going: ((step.number as usize) < count)
                    .then(|| added([step.going, meant.going], &mut goings)),
                across: levels::across(&of.found, step),
                back: levels::back(&of.found, step),
                end: None,
                reveals: Vec::new(),
                rails: Vec::new(),
                wall: None,
            }
        })
        .collect();
    ends(of, &mut steps);
    for railing in &of.railings {
        reveals(railing, &mut steps);
        over(railing, &mut steps);
    }
    for step in &mut steps {
        step.wall = walls::beside(of, step);
    }
    steps
}

/// The rise of a step at an outward offset, from nosing to nosing; from the floor at the first.
fn rise_at(site: &Site, step: &Step, q: f64) -> Length {
    let over_line = |step: &Step| step.nosing_top(q) - step.height;
    let below = site
        .step(step.number - 1)
        .map_or_else(|| site.lower_floor(0.0, q), over_line);
    Length::mm(step.rise + over_line(step) - below)
}

/// What a step adds to a sum.
fn added([found, meant]: [f64; 2], sum: &mut Length) -> Added {
    let off = Length::mm(found - meant);
    *sum += off;
    Added {
        found: Length::mm(found),
        off,
        sum: *sum,
    }
}

/// The tread ends against where they were meant, and against a string along them.
fn ends(of: &ClimbOf<'_>, steps: &mut [ClimbStep]) {
    let site = of.found.site;
    let Some(first) = of.railings.first() else {
        return;
    };
    let treads = site.steps.len().saturating_sub(1);
    let alike = |number: u32| !first.job.flight.reaches_beyond(number);
    let own: Vec<(&Step, &Step)> = site
        .steps
        .iter()
        .zip(&of.meant.site.steps)
        .take(treads)
        .filter(|(step, _)| alike(step.number))
        .collect();
    let place = |step: &Step| (step.nosing_at(step.open_q), step.open_q);
    let (Some((low, _)), Some((high, _))) = (own.first(), own.last()) else {
        return;
    };
    let (low, high) = (place(low), place(high));
    let run = high.0 - low.0;
    for (step, meant) in own {
        let (x, q) = place(step);
        let straight = if run > 0.0 {
            low.1 + (high.1 - low.1) * (x - low.0) / run
        } else {
            q
        };
        let end = TreadEnd {
            off: Length::mm(q - meant.open_q),
            off_string: Length::mm(q - straight),
        };
        if let Some(step) = at_step(steps, step.number) {
            step.end = Some(end);
        }
    }
}

fn at_step(steps: &mut [ClimbStep], number: u32) -> Option<&mut ClimbStep> {
    let at = (number as usize).checked_sub(1)?;
    steps.get_mut(at)
}

/// What shows at the tread ends beside a railing whose balusters stand on them.
fn reveals(railing: &Railing<'_>, steps: &mut [ClimbStep]) {
    let Railing {
        job,
        stands: Stands { frame, site },
        setout,
    } = railing;
    let all = &setout.reveals;
    let Some(first) = all.first().filter(|_| setout.on_treads()) else {
        return;
    };
    let sum: Length = all.iter().map(|one| one.value).sum();
    let said = job.design.reveal.as_ref().map(|len| len.value);
    let wanted = said.unwrap_or(sum / all.len() as f64);
    for one in all {
        let half = Vector3::y() * (site.outward * one.value.as_mm() / 2.0);
        let reveal = EndReveal {
            part: one.part.clone(),
            rail: setout.rail.name.clone(),
            value: one.value,
            wanted,
            off: one.value - wanted,
            drift: one.value - first.value,
            face: frame.to_first(&(one.at - half)),
            end: frame.to_first(&(one.at + half)),
        };
        if let Some(step) = at_step(steps, one.step) {
            step.reveals.push(reveal);
        }
    }
}

/// The height of a railing's rail over every nosing that it reaches.
fn over(railing: &Railing<'_>, steps: &mut [ClimbStep]) {
    let (rail, design) = (&railing.setout.rail, &railing.job.design.rail);
    for station in railing.stands.site.stations() {
        let Some(top) = rail.top(station.x) else {
            continue;
        };
        let (low, high) = station.low_high();
        if let Some(step) = at_step(steps, station.step) {
            step.rails.push(RailOver {
                rail: rail.name.clone(),
                least: Length::mm(top.z - high),
                most: Length::mm(top.z - low),
                wanted: design.height.value,
            });
        }
    }
}
