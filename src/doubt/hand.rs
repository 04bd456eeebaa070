//! What hand and saw may put a run's parts off by: the list of their errors, one by one.
//!
//! What has been fitted already is off by no cut any more: it stands where it was read, give or take
//! that reading.

use crate::job::{Built, Ground, Job, Len, Operation};
use crate::measure::Length;
use crate::setout::SetOut;
use crate::survey;

use super::source::{Aim, Origin};

/// One error: what it is, where it goes, and its standard deviation there (mm, or a slope).
pub(super) struct Error {
    pub(super) origin: Origin,
    pub(super) aim: Aim,
    pub(super) sd: f64,
}

struct Lister<'a> {
    job: &'a Job,
    errors: Vec<Error>,
}

impl Lister<'_> {
    fn add(&mut self, operation: Operation, what: String, aim: Aim, per: f64) {
        let within = self.job.design.tolerances.of(operation);
        let sd = survey::rectangular(within.as_mm()) / per;
        if sd > 0.0 {
            let origin = Origin::Hand {
                operation,
                what,
                within,
            };
            self.errors.push(Error { origin, aim, sd });
        }
    }

    fn built(&mut self, what: String, aim: Aim, sd: f64) {
        if sd > 0.0 {
            let origin = Origin::Built {
                what,
                sd: Length::mm(sd),
            };
            self.errors.push(Error { origin, aim, sd });
        }
    }
}

/// The errors of one run, whose plan this is.
pub(super) fn errors(job: &Job, plan: &SetOut) -> Vec<Error> {
    let mut list = Lister {
        job,
        errors: Vec::new(),
    };
    rails(&mut list, plan);
    for at in 0..job.design.newels.len() {
        newel(&mut list, plan, at);
    }
    for at in 0..plan.balusters.len() {
        baluster(&mut list, plan, at);
    }
    list.errors
}

fn rails(list: &mut Lister<'_>, plan: &SetOut) {
    let name = &plan.rail.name;
    let ends = ["first", "last"];
    let built: Vec<f64> = list
        .job
        .built
        .iter()
        .filter_map(|reading| match reading {
            Built::Rail {
                name: of,
                is,
                by,
                sd,
                ..
            } if of == name => Some(survey::taped_sd(
                list.job,
                by.as_ref(),
                sd.as_ref(),
                is.mm(),
            )),
            _ => None,
        })
        .collect();
    for (end, word) in ends.iter().enumerate() {
        let what = format!("height of {name} over the {word} nosing");
        match built.get(end).or(built.first()) {
            Some(&sd) => list.built(what, Aim::Rail(end), sd),
            None => list.add(Operation::Marking, what, Aim::Rail(end), 1.0),
        }
    }
    if built.is_empty() {
        // Each end is a cut of its own.
        for end in ["lower", "upper"] {
            let what = format!("{end} end of {name}");
            list.add(Operation::Saw, what, Aim::RailLength, 1.0);
        }
    }
    if let Some(rail) = &plan.wall_rail {
        for (end, word) in ends.iter().enumerate() {
            let what = format!("height of {} over the {word} nosing", rail.name);
            list.add(Operation::Marking, what, Aim::WallRail(end), 1.0);
        }
    }
}

fn newel(list: &mut Lister<'_>, plan: &SetOut, at: usize) {
    let newel = &list.job.design.newels[at];
    let name = newel.name.clone();
    let ways = ["up the flight", "across it"];
    let read: Vec<(f64, f64)> = list
        .job
        .built
        .iter()
        .filter_map(|reading| match reading {
            Built::Newel {
                name: of,
                x,
                up,
                by,
                sd,
                ..
            } if *of == name => Some((
                up.as_ref().map_or(0.0, Len::mm),
                survey::taped_sd(list.job, by.as_ref(), sd.as_ref(), x.mm()),
            )),
            _ => None,
        })
        .collect();
    let fitted = read.first().map(|one| one.1);
    // Read at two heights it tells its lean, as well as they are read and far apart.
    let ups = read.iter().map(|one| one.0);
    let (low, high) = ups.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), up| {
        (low.min(up), high.max(up))
    });
    let apart = high - low;
    let set = plan.newels.iter().find(|one| one.name == name);
    let height = set.map_or(0.0, |one| one.height.as_mm());
    for (axis, way) in ways.iter().enumerate() {
        let what = format!("place of newel {name} {way}");
        let aim = Aim::NewelFoot(at, axis);
        match fitted {
            Some(sd) => list.built(what, aim, sd),
            None => list.add(Operation::Notch, what, aim, 1.0),
        }
        let what = format!("newel {name} off plumb {way}");
        let aim = Aim::NewelLean(at, axis);
        match fitted {
            Some(sd) if apart > 0.0 => list.built(what, aim, sd * 2f64.sqrt() / apart),
            _ if height > 0.0 => list.add(Operation::Plumb, what, aim, height),
            _ => {}
        }
    }
    let has_height = list.job.design.newels[at].height.is_some();
    let is_cut =
        |reading: &Built| matches!(reading, Built::NewelTop { name: of, .. } if *of == name);
    if has_height && !list.job.built.iter().any(is_cut) {
        let what = format!("height of newel {name}");
        list.add(Operation::Saw, what, Aim::NewelHeight(at), 1.0);
    }
}

/// The aim at one end of a baluster, of its number and axis.
type End = fn(usize, usize) -> Aim;

fn baluster(list: &mut Lister<'_>, plan: &SetOut, at: usize) {
    let one = &plan.balusters[at];
    // Errors go by marks: there is one too where a newel takes a baluster's place.
    let at = one.marked;
    let name = one.name.clone();
    let fitted = list.job.built.iter().find_map(|reading| match reading {
        Built::Baluster {
            step,
            place,
            x,
            by,
            sd,
            ..
        } if (*step, *place) == (one.step, one.place) => {
            Some(survey::taped_sd(list.job, by.as_ref(), sd.as_ref(), x.mm()))
        }
        _ => None,
    });
    if let Some(sd) = fitted {
        for axis in 0..2 {
            list.built(format!("place of {name}"), Aim::BalusterFoot(at, axis), sd);
        }
        return;
    }
    let in_shoe =
        !matches!(list.job.design.balusters.on, Ground::Treads) && one.peg.0 <= Length::ZERO;
    let in_plough = list.job.design.rail.plough.is_some();
    let ends: [(&str, End, bool); 2] = [
        ("foot", Aim::BalusterFoot, in_shoe),
        ("head", Aim::BalusterHead, in_plough),
    ];
    for (end, aim, ploughed) in ends {
        let mark = format!("mark of {name}'s {end}");
        list.add(Operation::Marking, mark, aim(at, 0), 1.0);
        if ploughed {
            // Between fillets in a plough it is as far off as the fillet is cut, and not across.
            let what = format!("fillet beside {name}'s {end}");
            list.add(Operation::Saw, what, aim(at, 0), 1.0);
        } else {
            for (axis, way) in ["along", "across"].iter().enumerate() {
                let what = format!("bore for {name}'s {end}, {way}");
                list.add(Operation::Bore, what, aim(at, axis), 1.0);
            }
        }
    }
}
