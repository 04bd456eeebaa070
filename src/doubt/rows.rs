//! Draws kept row by row: the margins of some findings, draw for draw, so that settings and
//! tolerances can be tried on them together.
//!
//! A row's margin has the sign of its verdict: under nought it fails, over nought it is met.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use crate::chain::Laid;
use crate::inspect::{self, Care, Finding, Key, Kind};
use crate::rules::{Quantity, Sense};

use super::batches::{self, Effort, Ended, Progress};
use super::model::{Model, Scratch};
use super::sample::{Wanted, fails, is_unseen, margin};

/// Draws handed out at a time.
const CHUNK: u64 = 25;
/// A margin is at least so far on the side of its verdict, mm.
const HAIR_MM: f64 = 1e-6;

/// A kind of finding on one side of its limit.
pub(super) type Sort = (Kind, Sense);

/// Who is told how far it has come, and may break it off.
pub(super) type Watch<'a> = &'a (dyn Fn(Progress) -> ControlFlow<()> + Sync);

/// One draw.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    /// Something stands in it.
    pub(super) stands: bool,
    /// What else fails that counts, each sort once.
    pub(super) others: Vec<Sort>,
    /// The margins of what is looked at, mm; infinite where it is not there.
    pub(super) margins: Vec<f64>,
    /// How far each reveal is off its plan, mm; nought where it is not there.
    pub(super) off: Vec<f64>,
}

/// A reveal of the plan.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shown {
    pub(super) run: usize,
    pub(super) step: u32,
    pub(super) part: String,
    /// What shows, mm.
    pub(super) planned: f64,
}

/// The reveals of a plan.
pub(super) fn shown(laid: &Laid) -> Vec<Shown> {
    let runs = laid.setouts.iter().enumerate();
    runs.flat_map(|(run, setout)| {
        setout.reveals.iter().map(move |one| Shown {
            run,
            step: one.step,
            part: one.part.clone(),
            planned: one.value.as_mm(),
        })
    })
    .collect()
}

/// What is looked at in every draw.
pub(super) struct Look<'a> {
    /// Of these the margins are told, by their places.
    pub(super) places: BTreeMap<Key, usize>,
    /// Of these how far off they are.
    pub(super) reveals: Vec<Shown>,
    /// Rules that are not looked at.
    pub(super) far: Vec<Quantity>,
    /// Whether something else that fails counts.
    pub(super) counts: &'a (dyn Fn(&Finding) -> bool + Sync),
}

impl Look<'_> {
    fn row(&self, model: &Model, drawn: &Laid, findings: &[Finding]) -> Row {
        let mut row = Row {
            stands: true,
            others: Vec::new(),
            margins: vec![f64::INFINITY; self.places.len()],
            off: vec![0.0; self.reveals.len()],
        };
        for finding in findings {
            let failed = fails(finding);
            if let Some(&at) = self.places.get(&finding.key) {
                let by = margin(finding);
                let by = if failed {
                    by.min(-HAIR_MM)
                } else {
                    by.max(HAIR_MM)
                };
                row.margins[at] = row.margins[at].min(by);
            } else if failed && (self.counts)(finding) && !is_unseen(model, finding) {
                let sort = (finding.key.kind, finding.sense);
                if !row.others.contains(&sort) {
                    row.others.push(sort);
                }
            }
        }
        for (shown, off) in self.reveals.iter().zip(&mut row.off) {
            let reveals = drawn.setouts.get(shown.run).map(|one| &one.reveals);
            let mut reveals = reveals.into_iter().flatten();
            let here = reveals.find(|one| one.step == shown.step && one.part == shown.part);
            *off = here.map_or(0.0, |one| one.value.as_mm() - shown.planned);
        }
        row
    }

    fn nothing(&self) -> Row {
        Row {
            stands: false,
            others: Vec::new(),
            margins: vec![f64::INFINITY; self.places.len()],
            off: vec![0.0; self.reveals.len()],
        }
    }
}

/// So many draws, those that [`super::sample_of`] counts; `None` where the watcher broke it off.
pub(super) fn rows(
    model: &Model,
    look: &Look<'_>,
    (wanted, count): (&Wanted, u64),
    watch: Watch<'_>,
) -> Option<Vec<Row>> {
    rows_until(model, look, (wanted, vec![count]), |_| false, watch)
}

/// The same, which stops at one of some ends where it is enough.
pub(super) fn rows_until(
    model: &Model,
    look: &Look<'_>,
    (wanted, ends): (&Wanted, Vec<u64>),
    enough: impl Fn(&[Row]) -> bool,
    watch: Watch<'_>,
) -> Option<Vec<Row>> {
    let lessened = model.without(&look.far);
    let gauged = look.places.keys().cloned().collect();
    let balls = inspect::Watched {
        gauged,
        ..inspect::Watched::default()
    };
    let care = if look.places.is_empty() {
        Care::Decide
    } else {
        Care::Some(&balls)
    };
    let effort = Effort {
        ends,
        chunk: CHUNK,
        threads: wanted.threads,
    };
    let draw = |made: &mut Made, number: u64| {
        let scratch = made.scratch.get_or_insert_with(|| model.scratch());
        model.draw(wanted.seed, number, scratch);
        made.rows.push(match model.lay(scratch) {
            Ok(drawn) => look.row(model, &drawn.laid, &lessened.findings(&drawn, care)),
            Err(_none) => look.nothing(),
        });
    };
    let ran = batches::run(
        &effort,
        Made::default,
        draw,
        |all: &mut Made, more| all.rows.extend(more.rows),
        |all, _| enough(&all.rows),
        watch,
    );
    (ran.ended != Ended::Cancelled).then_some(ran.summary.rows)
}

#[derive(Default)]
struct Made {
    scratch: Option<Scratch>,
    rows: Vec<Row>,
}
