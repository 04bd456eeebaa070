//! The runs of a stair in their places: each goes on from another as that one was found, so what is
//! off low on the stair is carried to everything above it.

use std::sync::Arc;

use nalgebra::{Point3, Vector3};

use crate::job::{FloorKind, Len, OneRun, Starts, TurnOn, line_of};
use crate::measure::Angle;

use super::winders::{self, WinderSite};
use super::{Frame, Landing, LevelEdge, Site, Step, Surfaces, WallFace};

/// A run as found, with where it stands.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The run's frame in the first run's.
    pub frame: Frame,
    /// The run as found, in its own frame.
    pub site: Site,
    /// The turns on winders that lead to it.
    pub turns: Vec<PlacedTurn>,
}

/// A turn on winders as found, with where it stands.
#[derive(Clone, Debug)]
pub struct PlacedTurn {
    /// The run's name.
    pub name: String,
    /// What stands before the names of its parts.
    pub mark: String,
    /// Its frame in the first run's.
    pub frame: Frame,
    /// As found, in its own frame.
    pub site: WinderSite,
    /// False where its first kick is the last of the flight before it, which has that kick.
    pub has_first_kick: bool,
    /// The run that it goes on from, by its number.
    pub base: usize,
}

impl PlacedTurn {
    /// The name that a winder has in the picture.
    #[must_use]
    pub fn tread_name(&self, number: u32) -> String {
        format!("{}T{number}", self.mark)
    }

    /// The name that the kick under a winder has in the picture.
    #[must_use]
    pub fn kick_name(&self, number: u32) -> String {
        format!("{}K{number}", self.mark)
    }
}

/// Places the runs of a job. `sites` are the runs by themselves, one for each; the site of a railing
/// on the wall side is made from the one that it shares and is not looked at.
///
/// # Panics
/// Never where there is one site for each run.
#[must_use]
pub fn place(runs: &[Arc<OneRun>], sites: Vec<Site>) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::with_capacity(runs.len());
    let mut bases = Vec::with_capacity(runs.len());
    for (run, site) in runs.iter().zip(sites) {
        let next = match &run.beside {
            Some((stair, edge)) => placed.get(*stair).map(|shared| beside(shared, edge, run)),
            None => None,
        };
        let mut base = None;
        let next = next.unwrap_or_else(|| {
            let (frame, turns, from) = frame_of(run, runs, &placed);
            base = from;
            if let (false, Some(from)) = (turns.is_empty(), from) {
                // What the flight before it reaches is the first winder.
                placed[from].site.upper_drawn = false;
            }
            let site = match from {
                Some(from) if turns.is_empty() => on_landing(run, site, frame, &placed[from]),
                _ => site,
            };
            Placed { frame, site, turns }
        });
        placed.push(next);
        bases.push(base);
    }
    share_walls(&mut placed, runs);
    for (run, one) in runs.iter().zip(&mut placed) {
        one.site.mark.clone_from(&run.mark);
        // The floor under a flight that goes on is the landing that the run before reaches.
        one.site.floor_drawn =
            run.has_stair() && (run.starts.is_none() || one.site.level.is_some());
    }
    name_surfaces(&mut placed, runs, &bases);
    placed
}

/// Gives the surfaces of every run the names that the picture has for them; `bases` are the runs that
/// they go on from.
fn name_surfaces(placed: &mut [Placed], runs: &[Arc<OneRun>], bases: &[Option<usize>]) {
    for at in 0..placed.len() {
        let beside = runs[at]
            .beside
            .as_ref()
            .and_then(|(stair, _)| placed.get(*stair));
        let surfaces = match beside {
            Some(stair) => stair.site.surfaces.clone(),
            None => Surfaces {
                stair: runs[at].mark.clone(),
                lower: lower_name(placed, at, bases[at]),
                upper: upper_name(placed, at),
            },
        };
        placed[at].site.surfaces = surfaces;
    }
}

/// What a run stands on at its foot, where it does not draw that itself: the last winder of the turn
/// that leads to it, or what the run before it reaches.
fn lower_name(placed: &[Placed], at: usize, base: Option<usize>) -> Option<String> {
    let here = &placed[at];
    if here.site.floor_drawn {
        return None;
    }
    let winder = here.turns.last().map(|turn| {
        let last = turn.site.treads.last().map_or(0, |tread| tread.number);
        turn.tread_name(last)
    });
    let before = || {
        let before = &placed[base?].site;
        let last = before.steps.last().map_or(0, |last| last.number);
        Some(before.surface_name(last))
    };
    winder.or_else(before)
}

/// The winder that the last kick of a run reaches, where it reaches one.
fn upper_name(placed: &[Placed], at: usize) -> Option<String> {
    if placed[at].site.upper_drawn {
        return None;
    }
    let first = placed.iter().filter_map(|run| run.turns.first());
    let mut first = first.filter(|turn| turn.base == at);
    first.next().map(|turn| turn.tread_name(1))
}

/// A run whose own floor nobody read stands on the landing as the run before found it: that slopes
/// here as it slopes there.
fn on_landing(run: &OneRun, site: Site, frame: Frame, base: &Placed) -> Site {
    let is_read = run
        .job
        .floors
        .iter()
        .any(|floor| floor.is == FloorKind::Lower && !floor.readings.is_empty());
    if is_read {
        return site;
    }
    let (climb, tilt) = base
        .site
        .slopes(base.site.steps.last().map_or(0, |last| last.number));
    let there = Vector3::new(climb, tilt * base.site.outward, 0.0);
    let here = frame.way_from_first(&base.frame.way_to_first(&there));
    Site {
        lower: (here.x, here.y * site.outward),
        ..site
    }
}

/// Where a run's frame stands, the turns that lead to it, and the run that it goes on from.
fn frame_of(
    run: &OneRun,
    runs: &[Arc<OneRun>],
    placed: &[Placed],
) -> (Frame, Vec<PlacedTurn>, Option<usize>) {
    let Some(starts) = &run.starts else {
        return (Frame::default(), Vec::new(), None);
    };
    let after = run
        .turns
        .first()
        .map_or(&starts.after, |turn| &turn.starts.after);
    let mut before = (0..placed.len()).filter(|&at| runs[at].has_stair());
    let found = match after {
        Some(after) => before.find(|&at| runs[at].name == *after),
        None => before.next_back(),
    };
    let Some(from) = found else {
        return (Frame::default(), Vec::new(), None);
    };
    let base = &placed[from];
    let Some((first, others)) = run.turns.split_first() else {
        return (
            base.frame.then(&start(&base.site, starts)),
            Vec::new(),
            found,
        );
    };
    let mut turns = vec![first_turn((from, base), first)];
    for turn in others {
        let here = end_of(&turns[turns.len() - 1]).then(&shifted(&turn.starts));
        turns.push(PlacedTurn {
            name: turn.name.clone(),
            mark: turn.mark(),
            frame: here,
            site: winders::build(&turn.winders),
            has_first_kick: true,
            base: from,
        });
    }
    let frame = end_of(&turns[turns.len() - 1]).then(&shifted(starts));
    (frame, turns, found)
}

/// The winders that go on from a flight: their first kick is its last, and their first tread stands
/// where that kick was found to reach.
fn first_turn((number, base): (usize, &Placed), turn: &TurnOn) -> PlacedTurn {
    let mut site = winders::build(&turn.winders);
    let mut here = start(&base.site, &turn.starts);
    let of_flight = base.site.level.is_none();
    if let (true, Some(tread)) = (of_flight, site.treads.first_mut()) {
        here.origin.z -= tread.height;
        // That kick is read with the flight.
        tread.rise = base.site.steps.last().map_or(tread.rise, |last| last.rise);
    }
    PlacedTurn {
        name: turn.name.clone(),
        mark: turn.mark(),
        frame: base.frame.then(&here),
        site,
        has_first_kick: !of_flight,
        base: number,
    }
}

/// The frame that goes on from a turn.
fn end_of(turn: &PlacedTurn) -> Frame {
    turn.frame.then(&turn.site.above())
}

/// Where a run starts in the frame that a turn ends in.
fn shifted(starts: &Starts) -> Frame {
    Frame {
        origin: Point3::new(starts.past.mm(), starts.left.mm(), starts.up.mm()),
        turn: starts.turn.as_ref().map_or(Angle::ZERO, |turn| turn.value),
    }
}

/// Where a run starts, in the frame of the run that it goes on from.
fn start(from: &Site, starts: &Starts) -> Frame {
    let (end, last) = match (from.steps.last(), &from.level) {
        (Some(last), _) => (last.kick_x, last.number),
        (None, Some(level)) => (level.length, 0),
        (None, None) => (0.0, 0),
    };
    let (x, y) = (end + starts.past.mm(), starts.left.mm());
    let floor = from.height_of(last, x, from.outward * y);
    Frame {
        origin: Point3::new(x, y, floor + starts.up.mm()),
        turn: starts.turn.as_ref().map_or(Angle::ZERO, |turn| turn.value),
    }
}

/// Walls are seen from every run: a rail may end on any of them.
fn share_walls(placed: &mut [Placed], runs: &[Arc<OneRun>]) {
    let own: Vec<(Frame, Vec<WallFace>)> = placed
        .iter()
        .zip(runs)
        .map(|(one, run)| {
            let walls = if run.has_stair() {
                one.site.walls.clone()
            } else {
                Vec::new()
            };
            (one.frame, walls)
        })
        .collect();
    for (number, one) in placed.iter_mut().enumerate() {
        if !runs[number].has_stair() {
            one.site.walls.clear();
            one.site.own_walls = 0;
        }
        for (other, (frame, walls)) in own.iter().enumerate() {
            if other != number {
                let seen = walls.iter().map(|wall| wall.carried(frame, &one.frame));
                one.site.walls.extend(seen);
            }
        }
    }
}

/// The stair of a run as seen from the baluster line on its wall side: that line stands `edge` in
/// from the meant ends of the treads there, and outward is the other way.
fn beside(shared: &Placed, edge: &Len, run: &OneRun) -> Placed {
    let site = &shared.site;
    let flight = &run.job.flight;
    let q0 = line_of(flight, edge).as_mm();
    let lift = site.lower.1 * q0;
    let here = Frame {
        origin: Point3::new(0.0, site.outward * q0, lift),
        turn: Angle::ZERO,
    };
    let mut height = 0.0;
    let steps = site
        .steps
        .iter()
        .map(|step| {
            let turned = other_side(step, q0, lift, height);
            height = turned.height;
            turned
        })
        .collect();
    let carried = |landing: &Landing| Landing {
        name: landing.name.clone(),
        corners: landing.corners.map(|corner| here.from_first(&corner)),
    };
    Placed {
        turns: Vec::new(),
        frame: shared.frame.then(&here),
        site: Site {
            mark: String::new(),
            surfaces: Surfaces::default(),
            outward: -site.outward,
            steps,
            level: site.level.map(|level| LevelEdge {
                open_q: q0 - level.wall_q,
                wall_q: q0 - level.open_q,
                ..level
            }),
            walls: Vec::new(),
            own_walls: 0,
            floor_out: 0.0,
            floor_drawn: false,
            upper_drawn: false,
            lower: (site.lower.0, -site.lower.1),
            landings: site.landings.iter().map(carried).collect(),
        },
    }
}

/// A step seen from a baluster line at `q0`, outward the other way; `below` is the height there of
/// what lies below it.
fn other_side(step: &Step, q0: f64, lift: f64, below: f64) -> Step {
    let kick_x = step.kick_at(q0);
    let height = step.top(kick_x, q0) - lift;
    Step {
        kick_x,
        rise: height - below,
        height,
        tilt: -step.tilt,
        skew: -step.skew,
        back_skew: -step.back_skew,
        going: step.back_at(q0) - kick_x,
        open_q: q0 - step.wall_q,
        wall_q: q0 - step.open_q,
        ..step.clone()
    }
}

impl Placed {
    /// A point of this run in the first run's frame.
    #[must_use]
    pub fn to_first(&self, point: &Point3<f64>) -> Point3<f64> {
        self.frame.to_first(point)
    }

    /// The way up this run, a level unit vector in the first run's frame.
    #[must_use]
    pub fn way(&self) -> Vector3<f64> {
        self.frame.way_to_first(&Vector3::x())
    }
}
