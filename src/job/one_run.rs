//! [`OneRun`]: one run of a job taken by itself, as a job in the run's own frame, so that every
//! later stage works on one run at a time.

use super::client::Client;
use super::design::{Design, Railing};
use super::runs::{Level, Run, Starts};
use super::schema::{Flight, Job, Len, Reaches, Stringer, zero};
use super::shop::Shop;
use super::winders::Winders;
use crate::measure::Length;

/// What the file's own flight is called where there are more runs.
pub const FIRST_RUN: &str = "1";

/// One run of a job: a railing and, unless it shares one, the stair that it stands on.
#[derive(Clone, Debug, PartialEq)]
pub struct OneRun {
    /// The run's name.
    pub name: String,
    /// What stands before the names that its parts are given: empty in a job of one run.
    pub mark: String,
    /// The run as a job by itself, in its own frame.
    pub job: Job,
    /// Where its frame stands; `None` for the first.
    pub starts: Option<Starts>,
    /// The railing on the wall side of a flight: the number of the run whose stair it shares, and
    /// how far its baluster line stands in from the ends of the treads there.
    pub beside: Option<(usize, Len)>,
    /// The turns on winders that lie between the run before and this one, in the order in which one
    /// walks them.
    pub turns: Vec<TurnOn>,
    place: Place,
}

/// A turn on winders between two runs.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnOn {
    /// The run's name.
    pub name: String,
    /// Where its frame stands.
    pub starts: Starts,
    /// As it was meant, and as read.
    pub winders: Winders,
    /// Where it stands in the file.
    pub path: String,
}

impl TurnOn {
    /// What stands before the names of its parts.
    #[must_use]
    pub fn mark(&self) -> String {
        format!("{}.", self.name)
    }
}

/// Where a run stands in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    /// `None` is the file's own flight.
    further: Option<usize>,
    /// It is the railing on the wall side.
    other: bool,
}

impl OneRun {
    /// The path in the file of a field that the run by itself has at another.
    #[must_use]
    pub fn path(&self, path: &str) -> String {
        let inside = match path.strip_prefix("design.") {
            Some(field) if self.place.other && of_railing(field) => {
                format!("design.other.{field}")
            }
            _ => path.to_owned(),
        };
        match self.place.further {
            // Of the job as a whole, whichever run asks.
            Some(_) if of_whole(&inside) => inside,
            Some(number) => {
                let inside = match inside.strip_prefix("flight.") {
                    Some(field) if self.job.level.is_some() => format!("level.{field}"),
                    _ => inside,
                };
                format!("runs[{number}].{inside}")
            }
            None => inside,
        }
    }

    /// The same run with another job, changed a little.
    #[must_use]
    pub fn with(&self, job: Job) -> Self {
        Self {
            job,
            ..self.clone()
        }
    }

    /// The same run with nothing read of the turns that lead to it: as they were meant.
    #[must_use]
    pub fn with_true_turns(&self) -> Self {
        let mut changed = self.clone();
        for turn in &mut changed.turns {
            turn.winders.readings.clear();
        }
        changed
    }

    /// True where the run has a stair of its own, and not only a railing on another's.
    #[must_use]
    pub const fn has_stair(&self) -> bool {
        self.beside.is_none()
    }
}

/// Fields that a railing on the wall side has for itself.
fn of_railing(field: &str) -> bool {
    ["newels", "rail", "bottom_rail", "balusters", "reveal"]
        .iter()
        .any(|own| {
            field
                .strip_prefix(own)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
        })
}

/// Fields that only the job as a whole has.
fn of_whole(path: &str) -> bool {
    [
        "units",
        "tape",
        "instruments",
        "anchors",
        "client",
        "shop",
        "cutting",
        "fastening",
        "lets_stand",
        "notes",
        "design.rules",
        "design.local",
    ]
    .iter()
    .any(|whole| path.starts_with(whole))
}

impl Job {
    /// Every run by itself: the file's own flight first, then `runs` in their order, each followed
    /// by the railing on its wall side where it has one.
    #[must_use]
    pub fn each_run(&self) -> Vec<OneRun> {
        let several = !self.runs.is_empty();
        let mut all = Vec::new();
        let first = Self {
            runs: Vec::new(),
            lets_stand: Vec::new(),
            notes: Vec::new(),
            alternatives: Vec::new(),
            ..self.clone()
        };
        put(&mut all, FIRST_RUN, several, first, None, None);
        for (number, run) in self.runs.iter().enumerate() {
            // A flight without a design is told as a fault; it cannot be set out. A turn on winders
            // belongs to the run that goes on from it.
            let (Some(design), None) = (&run.design, &run.winders) else {
                continue;
            };
            let new = all.len();
            let job = self.part(run, design);
            let starts = Some(run.starts.clone());
            put(&mut all, &run.name, several, job, starts, Some(number));
            if let Some(new) = all.get_mut(new) {
                new.turns = self.turns_before(number);
            }
        }
        all
    }

    /// The turns on winders that lead to a further run, in the order in which one walks them: back
    /// from what it starts after, as long as that is a turn.
    fn turns_before(&self, number: usize) -> Vec<TurnOn> {
        let mut turns = Vec::new();
        let mut here = number;
        loop {
            let before = match &self.runs[here].starts.after {
                Some(after) => self.runs[..here].iter().position(|run| run.name == *after),
                None => here.checked_sub(1),
            };
            let Some((before, run)) = before.map(|at| (at, &self.runs[at])) else {
                break;
            };
            let Some(winders) = &run.winders else { break };
            turns.push(TurnOn {
                name: run.name.clone(),
                starts: run.starts.clone(),
                winders: winders.clone(),
                path: format!("runs[{before}]"),
            });
            here = before;
        }
        turns.reverse();
        turns
    }

    /// A further run with what is common to the whole job.
    fn part(&self, run: &Run, design: &Design) -> Self {
        Self {
            format: self.format,
            name: self.name.clone(),
            units: self.units,
            tape: self.tape,
            read_on: self.read_on,
            instruments: self.instruments.clone(),
            lines: run.lines.clone(),
            flight: run
                .flight
                .clone()
                .unwrap_or_else(|| flat(run.level.as_ref())),
            walls: run.walls.clone(),
            floors: run.floors.clone(),
            overheads: run.overheads.clone(),
            stringers: run.stringers.clone(),
            skirts: run.skirts.clone(),
            boards: run.boards.clone(),
            bedding: run.bedding.clone(),
            received: run.received.clone(),
            blocking: run.blocking.clone(),
            fasteners: run.fasteners.clone(),
            design: Design {
                rules: self.design.rules.clone(),
                wood: design.wood.clone().or_else(|| self.design.wood.clone()),
                seen: design.seen.clone().or_else(|| self.design.seen.clone()),
                local: self.design.local.clone(),
                tolerances: design.tolerances.or(&self.design.tolerances),
                ..design.clone()
            },
            anchors: Vec::new(),
            client: Client::default(),
            shop: Shop::default(),
            cutting: self.cutting.clone(),
            fastening: self.fastening.clone(),
            runs: Vec::new(),
            level: run.level.clone(),
            built: run.built.clone(),
            lets_stand: Vec::new(),
            notes: Vec::new(),
            alternatives: Vec::new(),
        }
    }
}

fn put(
    all: &mut Vec<OneRun>,
    name: &str,
    several: bool,
    job: Job,
    starts: Option<Starts>,
    further: Option<usize>,
) {
    let before = if several { name } else { "" };
    let mark = |side: &str| {
        let whole = format!("{before}{side}");
        if whole.is_empty() {
            whole
        } else {
            format!("{whole}.")
        }
    };
    let beside = job
        .design
        .other
        .as_ref()
        .map(|other| (beside(&job, other), other.edge.clone()));
    let number = all.len();
    all.push(OneRun {
        name: name.to_owned(),
        mark: mark(""),
        job,
        starts: starts.clone(),
        beside: None,
        turns: Vec::new(),
        place: Place {
            further,
            other: false,
        },
    });
    if let Some((job, edge)) = beside {
        all.push(OneRun {
            name: name.to_owned(),
            mark: mark("w"),
            job,
            starts,
            beside: Some((number, edge)),
            turns: Vec::new(),
            place: Place {
                further,
                other: true,
            },
        });
    }
}

/// The job of the railing on the wall side.
fn beside(job: &Job, other: &Railing) -> Job {
    let own = other.clone();
    let line = line_of(&job.flight, &other.edge);
    Job {
        // It is their open ends that are shaped.
        flight: Flight {
            bottom: Vec::new(),
            ..job.flight.clone()
        },
        design: Design {
            reveal: own.reveal,
            newels: own.newels,
            rail: own.rail,
            bottom_rail: own.bottom_rail,
            balusters: own.balusters,
            other: None,
            wall_rail: None,
            // They are told with the run that has the stair.
            fixings: Vec::new(),
            ..job.design.clone()
        },
        stringers: job
            .stringers
            .iter()
            .map(|stringer| Stringer {
                inset: inset_from(line, &stringer.inset, stringer.thickness.value),
                ..stringer.clone()
            })
            .collect(),
        blocking: job
            .blocking
            .iter()
            .map(|block| super::BlockPlaced {
                inset: inset_from(line, &block.inset, block.across.value),
                ..block.clone()
            })
            .collect(),
        fasteners: job
            .fasteners
            .iter()
            .map(|one| super::Fastener {
                inset: inset_from(line, &one.inset, Length::ZERO),
                ..one.clone()
            })
            .collect(),
        // Boards, walls and readings belong to the run that has the stair.
        skirts: Vec::new(),
        boards: None,
        bedding: None,
        received: None,
        built: job
            .built
            .iter()
            .map(|one| one.under(&job.design.rail.name))
            .collect(),
        ..job.clone()
    }
}

/// The baluster line on the wall side, outward from the one on the open side (negative).
#[must_use]
pub fn line_of(flight: &Flight, edge: &Len) -> Length {
    flight.edge.value - flight.width.value + edge.value
}

/// The inset of something under the treads as seen from a baluster line on the wall side, whence it
/// lies the other way round. `across` is its size across the flight.
fn inset_from(line: Length, inset: &Len, across: Length) -> Len {
    Len {
        value: -(line + inset.value + across),
        text: String::new(),
    }
}

/// A flight of no kicks: what a level run has.
fn flat(level: Option<&Level>) -> Flight {
    let of = |pick: fn(&Level) -> &Len| level.map_or_else(zero, |level| pick(level).clone());
    Flight {
        open_side: level.map_or(super::Hand::Left, |level| level.open_side),
        count: 0,
        rise: zero(),
        // What the floor's fall is read over.
        going: of(|level| &level.length),
        width: of(|level| &level.width),
        overhang: zero(),
        nosing_edge: None,
        kicks: super::Kicks::default(),
        kick_slope: None,
        tread_thickness: of(|level| &level.thickness),
        kick_thickness: zero(),
        edge: of(|level| &level.edge),
        floor_below: zero(),
        floor_above: zero(),
        bottom: Vec::new(),
        reaches: Reaches::default(),
        readings: Vec::new(),
    }
}
