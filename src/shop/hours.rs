//! Hours: what the work takes by the user's own rates, what this stair's trouble adds, and the hours
//! spent beside it.
//!
//! In: a [`Chain`] and what its job says of the shop. Out: [`Hours`], line by line. There are no rates
//! here: without the user's own a line says how many there are and no more.

use crate::chain::{Chain, RunChain};
use crate::inspect::{Severity, let_stand};
use crate::job::{Job, Meets, Shop, Work};
use crate::measure::{Angle, Tape};
use crate::setout::boards::{WinderSet, winders};
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

    /// Of these what only this stair's trouble adds.
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
    let runs = chain.runs.iter();
    runs.flat_map(|run| in_run(run, work, job.tape)).collect()
}

fn in_run(run: &RunChain, work: Work, tape: Tape) -> Vec<String> {
    let setout = &run.setout;
    match work {
        Work::Treads => {
            let treads = run.boards().treads.into_iter();
            let own = treads.map(|one| run.site.tread_name(one.step));
            let winders = winders_of(run).flat_map(|(_, set)| set.treads);
            own.chain(winders.map(|one| one.name)).collect()
        }
        Work::Kicks => {
            let kicks = run.boards().kicks.into_iter();
            let own = kicks.map(|one| run.site.kick_name(one.step));
            own.chain(winders_of(run).flat_map(|(turn, set)| {
                let kicks = set.kicks.into_iter();
                kicks.map(|one| turn.kick_name(one.step))
            }))
            .collect()
        }
        Work::Newels => {
            let newels = setout.newels.iter().map(|one| one.name.clone());
            newels
                .chain(setout.half_newels.iter().map(|one| one.name.clone()))
                .collect()
        }
        Work::Notches => setout
            .all_newels()
            .flat_map(|newel| {
                let notches = newel.notches.iter();
                let treads = notches.map(|notch| run.site.surface_name(notch.step));
                treads.map(|tread| format!("{} in {tread}", newel.name))
            })
            .collect(),
        Work::Balusters => {
            let names = setout.balusters.iter().map(|one| one.name.clone());
            names.collect()
        }
        Work::RailJoints => rail_joints(run),
        Work::ScribedEdges => scribed(run),
        Work::LeaningBalusters => {
            let leaning = setout.balusters.iter().filter(|one| {
                one.lean.abs() > tape.mark()
                    || one.foot_angle.as_radians().abs() > NOT_SQUARE.as_radians()
            });
            leaning.map(|one| one.name.clone()).collect()
        }
        Work::Troubles => Vec::new(),
    }
}

/// The boards of the turns on winders that lead to a run.
fn winders_of(run: &RunChain) -> impl Iterator<Item = (&PlacedTurn, WinderSet)> {
    let boards = run.run.job.boards.as_ref();
    run.turns
        .iter()
        .map(move |turn| (turn, winders(turn, boards)))
}

/// Both ends of every rail, and one more for every piece that goes on past it.
fn rail_joints(run: &RunChain) -> Vec<String> {
    let setout = &run.setout;
    let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
    let mut found = Vec::new();
    for rail in rails {
        found.extend(["lower", "upper"].map(|end| format!("{} {end} end", rail.name)));
        found.extend(rail.fitting_names());
    }
    if let Some(rail) = &setout.wall_rail {
        let returns = rail.returns.iter().flatten();
        found.extend(returns.map(|_| format!("{} return", rail.name)));
    }
    found
}

/// Ends of treads and kicks that meet a wall, scribe strips, and backs of half newels.
fn scribed(run: &RunChain) -> Vec<String> {
    let boards = run.boards();
    let mut found = Vec::new();
    for tread in &boards.treads {
        let name = run.site.tread_name(tread.step);
        for (end, side) in [(&tread.left, "left"), (&tread.right, "right")] {
            found.extend((end.meets == Meets::Wall).then(|| format!("{name} {side}")));
        }
    }
    for kick in &boards.kicks {
        let name = run.site.kick_name(kick.step);
        for (end, side) in [(&kick.left, "left"), (&kick.right, "right")] {
            found.extend((end.meets == Meets::Wall).then(|| format!("{name} {side}")));
        }
    }
    for (turn, set) in winders_of(run) {
        let treads = set
            .treads
            .iter()
            .map(|one| format!("{} wide end", one.name));
        found.extend(treads);
        for kick in &set.kicks {
            let name = turn.kick_name(kick.step);
            found.extend(["left", "right"].map(|side| format!("{name} {side}")));
        }
    }
    for skirt in &boards.wall_skirts {
        let name = &skirt.name;
        found.extend(
            skirt
                .strips
                .iter()
                .map(|one| format!("{name} on {}", one.wall)),
        );
    }
    found.extend(run.setout.half_newels.iter().map(|one| one.name.clone()));
    found
}
