//! [`Group`]: measured departures from true that one can point at together, and make true.

use std::collections::BTreeSet;

use crate::chain::{Chain, RunChain};
use crate::job::FloorKind;
use crate::survey::Fault;

/// What is made true: faults of runs by their numbers, and turns as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Makes {
    pub(super) faults: Vec<(usize, Fault)>,
    pub(super) turns: Vec<usize>,
}

impl Makes {
    /// True where there is nothing to make true.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.faults.is_empty() && self.turns.is_empty()
    }

    fn add(&mut self, other: &Self) {
        self.faults.extend(other.faults.iter().cloned());
        self.turns.extend(&other.turns);
    }
}

/// Departures from true with what to call them, where they were read and where to look.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// What it is, such as `wall W2's lean`.
    pub what: String,
    /// The parts of the picture that it shows on; those of [`Chain::solids`].
    pub parts: Vec<String>,
    /// The fields of the job that its readings stand in.
    pub readings: Vec<String>,
    /// What is made true with it.
    pub makes: Makes,
}

/// Every departure from true of a chain, one by one: of each run its faults in the order up the
/// flight, then the turns as read.
#[must_use]
pub fn groups(chain: &Chain) -> Vec<Group> {
    let several = chain.stairs().count() > 1;
    let known: BTreeSet<&str> = chain
        .solids
        .parts
        .iter()
        .map(|part| part.name.as_str())
        .collect();
    let mut all = Vec::new();
    for (number, run) in chain.stairs() {
        let of = if several {
            format!(" of run {}", run.run.name)
        } else {
            String::new()
        };
        for (fault, readings) in run.estimates.faults() {
            let mut parts = parts_of(run, &fault);
            parts.retain(|part| known.contains(part.as_str()));
            all.push(Group {
                what: format!("{}{of}", named(run, &fault)),
                parts,
                readings: readings.iter().map(|path| run.run.path(path)).collect(),
                makes: Makes {
                    faults: vec![(number, fault)],
                    turns: Vec::new(),
                },
            });
        }
    }
    let runs = chain.runs.iter().enumerate();
    all.extend(runs.filter_map(|(number, run)| turns(number, run, &known)));
    all
}

/// A fault in words: what is read of a floor by the floor's name.
fn named(run: &RunChain, fault: &Fault) -> String {
    let job = &run.run.job;
    let floor = |upper: bool| {
        let is = if upper {
            FloorKind::Upper
        } else {
            FloorKind::Lower
        };
        let found = job.floors.iter().find(|floor| floor.is == is);
        found.map_or_else(
            || {
                if upper {
                    "the upper floor"
                } else {
                    "the lower floor"
                }
                .to_owned()
            },
            |floor| format!("floor {}", floor.name),
        )
    };
    let way = |what: &str| match what {
        "fall" => " out of level along the flight",
        _ => " out of level",
    };
    match fault {
        Fault::Step(step, what @ ("level" | "fall")) if *step == job.flight.count => {
            format!("{}{}", floor(true), way(what))
        }
        Fault::LowerFloor(what) => format!("{}{}", floor(false), way(what)),
        fault => fault.to_string(),
    }
}

/// What is read of the turns on winders that lead to a run.
fn turns(number: usize, run: &RunChain, known: &BTreeSet<&str>) -> Option<Group> {
    let mut readings = Vec::new();
    let mut parts = Vec::new();
    let mut names = Vec::new();
    for turn in &run.run.turns {
        let count = turn.winders.readings.len();
        readings.extend((0..count).map(|at| format!("{}.winders.readings[{at}]", turn.path)));
        let mark = turn.mark();
        let marked = known.iter().filter(|part| part.starts_with(&mark));
        parts.extend(marked.map(|part| (*part).to_owned()));
        names.push(turn.name.as_str());
    }
    (!readings.is_empty()).then(|| Group {
        what: format!("winders {} as read", names.join(" and ")),
        parts,
        readings,
        makes: Makes {
            faults: Vec::new(),
            turns: vec![number],
        },
    })
}

/// The parts that a fault shows on, whether the picture has them or not.
fn parts_of(run: &RunChain, fault: &Fault) -> Vec<String> {
    let site = &run.site;
    let last = site.steps.len();
    let tread = |step: u32| {
        if step as usize == last {
            site.named("F1")
        } else {
            site.named(format_args!("T{step}"))
        }
    };
    let kick = |step: u32| site.named(format_args!("K{step}"));
    match fault {
        Fault::Step(step, "rise") => vec![kick(*step), tread(*step)],
        Fault::Step(step, "going") => vec![tread(*step), kick(*step), kick(*step + 1)],
        Fault::Step(step, "kick thickness" | "skew") => vec![kick(*step)],
        Fault::Step(step, _) => vec![tread(*step)],
        Fault::WallLean(name)
        | Fault::WallSplay(name)
        | Fault::WallOffset(name)
        | Fault::WallBow(name)
        | Fault::Landing(name, _) => vec![name.clone()],
        Fault::LowerFloor(_) => vec![site.named("F0")],
    }
}

/// Several groups as one; the name of a single one stays.
pub(super) fn together(groups: &[&Group]) -> Group {
    let mut all = Group {
        what: match groups {
            [one] => one.what.clone(),
            several => format!("{} smaller ones together", several.len()),
        },
        ..Group::default()
    };
    for group in groups {
        for part in &group.parts {
            if !all.parts.contains(part) {
                all.parts.push(part.clone());
            }
        }
        for reading in &group.readings {
            if !all.readings.contains(reading) {
                all.readings.push(reading.clone());
            }
        }
        all.makes.add(&group.makes);
    }
    all
}
