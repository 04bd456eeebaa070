//! Hours: what the work takes by the user's own rates, what this stair's trouble adds, and the hours
//! spent beside it.
//!
//! In: a [`Chain`] and what its job says of the shop. Out: [`Hours`], line by line. What has been fitted
//! is done and not counted; what was delivered is still to be fitted. There are no rates here: without the user's own a line says how many there are and no more.

use std::collections::BTreeSet;

use crate::chain::{Chain, RunChain};
use crate::inspect::{Severity, let_stand};
use crate::job::{Job, Meets, Shop, Work};
use crate::measure::{Angle, Tape};
use crate::setout::boards::{WinderSet, winders};
use crate::setout::built::fitted_parts;
use crate::shop::cuts::newels_in;
use crate::site::PlacedTurn;

/// One kind of work.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkLine {
    /// The work.
    pub work: Work,
    /// What it is done on, one by one.
    pub on: Vec<String>,
    /// Hours that one takes, where the job says.
    pub rate: Option<f64>,
    /// Hours spent on it, where any are written.
    pub spent: Option<f64>,
}

impl WorkLine {
    /// Hours that all of it takes.
    #[must_use]
    pub fn hours(&self) -> Option<f64> {
        self.rate.map(|rate| rate * self.on.len() as f64)
    }

    /// True where there is work and no rate for it.
    #[must_use]
    pub fn lacks_rate(&self) -> bool {
        self.rate.is_none() && !self.on.is_empty()
    }
}

/// The whole estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// The lines, in the order of [`Work::ALL`].
    pub lines: Vec<WorkLine>,
}

impl Hours {
    /// Hours of the lines that have a rate; `None` where no line has.
    #[must_use]
    pub fn planned(&self) -> Option<f64> {
        total(self.lines.iter().filter_map(WorkLine::hours))
    }

    /// Of these hours what only this stair's trouble adds.
    #[must_use]
    pub fn added_by_trouble(&self) -> Option<f64> {
        let trouble = self.lines.iter().filter(|line| line.work.is_trouble());
        total(trouble.filter_map(WorkLine::hours))
    }

    /// Hours spent; `None` where none are written.
    #[must_use]
    pub fn spent(&self) -> Option<f64> {
        total(self.lines.iter().filter_map(|line| line.spent))
    }

    /// Work without a rate: what the plan is without.
    pub fn lacking(&self) -> impl Iterator<Item = &WorkLine> {
        self.lines.iter().filter(|line| line.lacks_rate())
    }
}

fn total(hours: impl Iterator<Item = f64>) -> Option<f64> {
    hours.fold(None, |sum, one| Some(sum.unwrap_or(0.0) + one))
}

/// The saw's scale tells a foot from a square one at this.
const NOT_SQUARE: Angle = Angle::degrees(1.0);

/// Estimates the work on a stair.
#[must_use]
pub fn hours(chain: &Chain, job: &Job) -> Hours {
    let shop = &job.shop;
    let lines = Work::ALL.map(|work| WorkLine {
        work,
        on: done_on(chain, job, work),
        rate: shop.rates.of(work),
        spent: spent(shop, work),
    });
    Hours {
        lines: lines.to_vec(),
    }
}

fn spent(shop: &Shop, work: Work) -> Option<f64> {
    let entries = shop.hours.iter().filter(|one| one.on == work);
    total(entries.map(|one| one.hours))
}

fn done_on(chain: &Chain, job: &Job, work: Work) -> Vec<String> {
    if work == Work::Troubles {
        let troubles = chain.inspection.troubles().into_iter();
        return troubles
            .filter(|one| one.severity >= Severity::Fix && let_stand(job, one).is_none())
            .map(|one| one.key.id())
            .collect();
    }
    let fitted = chain.runs.iter();
    let fitted = fitted.flat_map(|run| fitted_parts(&run.run.job, &run.site, &run.setout));
    let fitted: BTreeSet<String> = fitted.collect();
    let runs = chain.runs.iter();
    runs.flat_map(|run| in_run(chain, run, work, job.tape))
        .filter(|one| !fitted.contains(&one.part))
        .map(|one| one.on)
        .collect()
}

/// Something to be done: on what, and the part that has it behind it once it is fitted.
struct Done {
    part: String,
    on: String,
}

impl Done {
    fn of(part: &str, on: String) -> Self {
        Self {
            part: part.to_owned(),
            on,
        }
    }

    /// What is done on a part itself.
    fn whole(part: String) -> Self {
        Self {
            on: part.clone(),
            part,
        }
    }
}

fn in_run(chain: &Chain, run: &RunChain, work: Work, tape: Tape) -> Vec<Done> {
    let setout = &run.setout;
    let whole = |names: Vec<String>| names.into_iter().map(Done::whole).collect();
    match work {
        Work::Treads => {
            let treads = run.boards().treads.into_iter();
            let own = treads.map(|one| run.site.tread_name(one.step));
            let winders = winders_of(run).flat_map(|(_, set)| set.treads);
            whole(own.chain(winders.map(|one| one.name)).collect())
        }
        Work::Kicks => {
            let kicks = run.boards().kicks.into_iter();
            let own = kicks.map(|one| run.site.kick_name(one.step));
            let winders = winders_of(run).flat_map(|(turn, set)| {
                let kicks = set.kicks.into_iter();
                kicks.map(|one| turn.kick_name(one.step))
            });
            whole(own.chain(winders).collect())
        }
        Work::Newels => {
            let newels = setout.newels.iter().map(|one| one.name.clone());
            let halves = setout.half_newels.iter().map(|one| one.name.clone());
            whole(newels.chain(halves).collect())
        }
        Work::Notches => notches(chain, run),
        Work::Balusters => {
            let names = setout.balusters.iter().map(|one| one.name.clone());
            whole(names.collect())
        }
        Work::RailJoints => rail_joints(run),
        Work::ScribedEdges => scribed(run),
        Work::LeaningBalusters => {
            let leaning = setout.balusters.iter().filter(|one| {
                one.lean.abs() > tape.mark()
                    || one.foot_angle.as_radians().abs() > NOT_SQUARE.as_radians()
            });
            whole(leaning.map(|one| one.name.clone()).collect())
        }
        Work::Troubles => Vec::new(),
    }
}

/// Treads and winders of a run with newels in them: cut before the newel is fitted.
fn notches(chain: &Chain, run: &RunChain) -> Vec<Done> {
    // What the last kick reaches may be a winder, which is told with its turn.
    let (winder, last) = (run.site.surfaces.upper.is_some(), run.site.steps.len());
    let own = run.setout.all_newels().flat_map(|newel| {
        let notches = newel.notches.iter();
        let notches = notches.filter(|notch| !winder || (notch.step as usize) < last);
        notches.map(|notch| (&newel.name, run.site.surface_name(notch.step)))
    });
    let mut found: Vec<(&String, String)> = own.collect();
    for (turn, set) in winders_of(run) {
        for tread in &set.treads {
            let newels = newels_in(chain, turn, tread).into_iter();
            found.extend(newels.map(|(newel, _)| (&newel.name, tread.name.clone())));
        }
    }
    let done = found.into_iter();
    done.map(|(newel, tread)| Done::of(newel, format!("{newel} in {tread}")))
        .collect()
}

/// The boards of the turns on winders that lead to a run.
fn winders_of(run: &RunChain) -> impl Iterator<Item = (&PlacedTurn, WinderSet)> {
    let boards = run.run.job.boards.as_ref();
    run.turns
        .iter()
        .map(move |turn| (turn, winders(turn, boards)))
}

/// Both ends of every rail, and one more for every piece that goes on past it.
fn rail_joints(run: &RunChain) -> Vec<Done> {
    let setout = &run.setout;
    let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
    let mut found = Vec::new();
    for rail in rails {
        let ends = ["lower", "upper"].map(|end| format!("{} {end} end", rail.name));
        let joints = ends.into_iter().chain(rail.fitting_names());
        found.extend(joints.map(|joint| Done::of(&rail.name, joint)));
    }
    if let Some(rail) = &setout.wall_rail {
        let returns = rail.returns.iter().flatten();
        found.extend(returns.map(|_| Done::of(&rail.name, format!("{} return", rail.name))));
    }
    found
}

/// Ends of treads and kicks that meet a wall, scribe strips, and backs of half newels.
fn scribed(run: &RunChain) -> Vec<Done> {
    let boards = run.boards();
    let mut found = Vec::new();
    for tread in &boards.treads {
        let name = run.site.tread_name(tread.step);
        for (end, side) in [(&tread.left, "left"), (&tread.right, "right")] {
            let scribe = (end.meets == Meets::Wall).then(|| format!("{name} {side}"));
            found.extend(scribe.map(|on| Done::of(&name, on)));
        }
    }
    for kick in &boards.kicks {
        let name = run.site.kick_name(kick.step);
        for (end, side) in [(&kick.left, "left"), (&kick.right, "right")] {
            let scribe = (end.meets == Meets::Wall).then(|| format!("{name} {side}"));
            found.extend(scribe.map(|on| Done::of(&name, on)));
        }
    }
    for (turn, set) in winders_of(run) {
        let treads = set
            .treads
            .iter()
            .map(|one| Done::of(&one.name, format!("{} wide end", one.name)));
        found.extend(treads);
        for kick in &set.kicks {
            let name = turn.kick_name(kick.step);
            let ends = ["left", "right"].map(|side| format!("{name} {side}"));
            found.extend(ends.map(|on| Done::of(&name, on)));
        }
    }
    for skirt in &boards.wall_skirts {
        let name = &skirt.name;
        found.extend(
            skirt
                .strips
                .iter()
                .map(|one| Done::of(name, format!("{name} on {}", one.wall))),
        );
    }
    let halves = run.setout.half_newels.iter().map(|one| one.name.clone());
    found.extend(halves.map(Done::whole));
    found
}
