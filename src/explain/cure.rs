//! Cures: a newel moved, a baluster more or less, the rail higher or lower; each verified by
//! running the chain again, each saying what else it would break.

use std::sync::Arc;

use crate::chain::{self, Chain};
use crate::inspect::{Finding, Kind, Verdict};
use crate::job::{Job, Len, Spacing, Stands, TreadCount};
use crate::measure::tolerance::SAME_POINT_MM;
use crate::measure::{Length, Tape, Unit, with_default_unit};

use super::Cure;

/// A changed run with the words and the edits for it.
struct Candidate {
    what: String,
    /// Fields of the run by itself, and their values.
    edits: Vec<(String, String)>,
    /// The run, by its number.
    run: usize,
    job: Job,
}

/// Every verified cure of a trouble, least disturbance first.
pub(super) fn cures(chain: &Chain, trouble: &Finding) -> Vec<Cure> {
    let mut cures = Vec::new();
    for family in [
        newel_moves(chain, trouble),
        counts(chain, trouble),
        heights(chain, trouble),
    ] {
        // The first of a family that clears is the least disturbance of its kind.
        cures.extend(
            family
                .into_iter()
                .find_map(|candidate| verify(chain, trouble, candidate)),
        );
    }
    cures
}

/// Runs the chain on a candidate; `None` where the trouble stays.
fn verify(chain: &Chain, trouble: &Finding, candidate: Candidate) -> Option<Cure> {
    let own = chain.runs.get(candidate.run)?.run.clone();
    let mut runs = chain::again(chain);
    runs[candidate.run] = Arc::new(own.with(candidate.job));
    let after = chain::run_all(&runs).ok()?;
    let here = after
        .inspection
        .findings
        .iter()
        .filter(|finding| finding.same_place(trouble));
    let mut here = here.peekable();
    // A clash or a cut that has gone leaves no finding; any other quantity must still be there.
    let may_go = trouble.key.kind.goes_when_cleared();
    if here.peek().is_none() && !may_go {
        return None;
    }
    let mut value_after = Length::ZERO;
    for finding in here {
        if finding.verdict != Verdict::Met {
            return None;
        }
        value_after = value_after.max(finding.value());
    }
    let before = chain.inspection.troubles();
    let is_new = |finding: &&Finding| {
        !before
            .iter()
            .any(|old| finding.same_place(old) && finding.severity <= old.severity)
    };
    let breaks = after.inspection.troubles().into_iter().filter(is_new);
    Some(Cure {
        what: candidate.what,
        edits: candidate
            .edits
            .into_iter()
            .map(|(field, value)| (own.path(&field), value))
            .collect(),
        value_after,
        breaks: breaks.map(|finding| finding.says.clone()).collect(),
    })
}

/// The text of a length as the job's units write it, without marks that a string must escape.
fn typed(job: &Job, length: Length) -> String {
    match job.units {
        Unit::Inches => {
            let printed = Tape::ThirtySeconds.print(length);
            printed.trim_end_matches(['"', '+', '-']).to_owned()
        }
        Unit::Millimetres => format!("{}", length.as_mm().round()),
    }
}

/// Reads a length as the job's file would.
fn read(job: &Job, text: &str) -> Option<Len> {
    with_default_unit(job.units, || Len::read(text)).ok()
}

fn quoted(text: &str) -> String {
    format!("\"{text}\"")
}

/// The first marks at or beyond a needed distance, nearest first, both ways.
fn marks(tape: Tape, needed: Length) -> Vec<Length> {
    let mark = tape.mark();
    // A hair of arithmetic past a mark is that mark.
    let first = ((needed.abs() - Length::mm(SAME_POINT_MM)) / mark)
        .ceil()
        .max(1.0);
    (0..MARKS_TRIED)
        .flat_map(|extra| [1.0, -1.0].map(|sign| mark * (sign * (first + f64::from(extra)))))
        .filter(|length| length.abs() <= MOVE_MOST)
        .collect()
}

/// A cure is looked for on this many marks beyond the least that could do.
const MARKS_TRIED: u32 = 3;
/// No cure moves a part further than this.
const MOVE_MOST: Length = Length::inches(3.0);

fn newel_moves(chain: &Chain, trouble: &Finding) -> Vec<Candidate> {
    if !matches!(
        trouble.key.kind,
        Kind::Opening | Kind::StringerCut | Kind::Clash | Kind::SeatDeep
    ) {
        return Vec::new();
    }
    let named = |name: &str| trouble.key.parts.iter().any(|part| part == name);
    let place = chain.runs.iter().enumerate().find_map(|(number, one)| {
        let newels = &one.run.job.design.newels;
        let index = newels.iter().position(|newel| named(&newel.name))?;
        Some((number, &one.run.job, index))
    });
    let Some((run, job, index)) = place else {
        return Vec::new();
    };
    let needed = trouble.value() - trouble.limit;
    let newel = &job.design.newels[index];
    let candidate = |by: Length| {
        let mut changed = job.clone();
        let (field, now) = match &mut changed.design.newels[index].stands {
            Stands::Displaces { move_by, .. } => ("Displaces.move_by", move_by),
            Stands::At { x, .. } => ("At.x", x),
        };
        let text = typed(job, now.value + by);
        *now = read(job, &text)?;
        let way = if by > Length::ZERO { "up" } else { "down" };
        Some(Candidate {
            what: format!(
                "move newel {} {} {way} the flight",
                newel.name,
                job.tape.print(by.abs())
            ),
            edits: vec![(
                format!("design.newels[{index}].stands.{field}"),
                quoted(&text),
            )],
            run,
            job: changed,
        })
    };
    marks(job.tape, needed)
        .into_iter()
        .filter_map(candidate)
        .collect()
}

fn counts(chain: &Chain, trouble: &Finding) -> Vec<Candidate> {
    if !matches!(trouble.key.kind, Kind::Opening | Kind::EdgeDistance) {
        return Vec::new();
    }
    let run = trouble.run;
    let Some(one) = chain.runs.get(run) else {
        return Vec::new();
    };
    let job = &one.run.job;
    match &job.design.balusters.spacing {
        Spacing::PerTread { count, but, .. } => {
            let step = one.site.surface_under(one.frame.from_first(&trouble.at).x);
            let now = crate::setout::spacing::count_on(&job.design.balusters.spacing, step);
            let is_tread = step > 0 && (step as usize) < one.site.steps.len();
            let others = [now + 1, now.saturating_sub(1)];
            let wanted = others
                .into_iter()
                .filter(|&other| is_tread && other > 0 && other != now);
            wanted
                .map(|other| per_tread((run, job), step, other, *count, but))
                .collect()
        }
        Spacing::Panels { .. } => Vec::new(),
        Spacing::AlongRail { .. } => {
            let now = one.setout.choices.along_rail.unwrap_or(0);
            let candidate = |other: u32| {
                let mut changed = job.clone();
                changed.design.balusters.spacing = Spacing::AlongRail { count: Some(other) };
                Candidate {
                    what: format!("space {other} balusters along the rail instead of {now}"),
                    edits: vec![(
                        "design.balusters.spacing".to_owned(),
                        format!("AlongRail(count: Some({other}))"),
                    )],
                    run,
                    job: changed,
                }
            };
            [now + 1, now.saturating_sub(1)]
                .map(candidate)
                .into_iter()
                .collect()
        }
    }
}

fn per_tread(
    (run, job): (usize, &Job),
    step: u32,
    other: u32,
    count: u32,
    but: &[TreadCount],
) -> Candidate {
    let mut list: Vec<TreadCount> = but.iter().filter(|one| one.step != step).cloned().collect();
    if other != count {
        list.push(TreadCount { step, count: other });
    }
    list.sort_by_key(|one| one.step);
    let text: Vec<String> = list
        .iter()
        .map(|one| format!("(step: {}, count: {})", one.step, one.count))
        .collect();
    let mut changed = job.clone();
    if let Spacing::PerTread { but, .. } = &mut changed.design.balusters.spacing {
        *but = list;
    }
    Candidate {
        what: match other {
            1 => format!("put one baluster on tread {step}"),
            other => format!("put {other} balusters on tread {step}"),
        },
        edits: vec![(
            "design.balusters.spacing.PerTread.but".to_owned(),
            format!("[{}]", text.join(", ")),
        )],
        run,
        job: changed,
    }
}

fn heights(chain: &Chain, trouble: &Finding) -> Vec<Candidate> {
    let run = trouble.run;
    let Some(one) = chain.runs.get(run) else {
        return Vec::new();
    };
    let job = &one.run.job;
    let needed = match trouble.key.kind {
        Kind::RailHeight => trouble.value() - trouble.limit,
        Kind::Landing => trouble.value(),
        _ => return Vec::new(),
    };
    let now = &job.design.rail.height;
    let candidate = |by: Length| {
        let text = typed(job, now.value + by);
        let mut changed = job.clone();
        changed.design.rail.height = read(job, &text)?;
        let way = if by > Length::ZERO { "raise" } else { "lower" };
        Some(Candidate {
            what: format!("{way} the rail by {}", job.tape.print(by.abs())),
            edits: vec![("design.rail.height".to_owned(), quoted(&text))],
            run,
            job: changed,
        })
    };
    marks(job.tape, needed)
        .into_iter()
        .filter_map(candidate)
        .collect()
}
