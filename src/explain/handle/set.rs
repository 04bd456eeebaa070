//! From a number that is wanted to the length of the design that it hangs on.

use crate::chain::{Chain, RunChain};
use crate::measure::{Length, Tape};

use super::super::Asked;
use super::super::cure::Lever;
use super::probe::{Probe, nought};
use super::written;

/// Looked at on either side of where the length stands.
const PARTS: u32 = 24;
/// So far from where the length stands a number is looked for.
const WITHIN: Length = Length::inches(18.0);
/// As good as what is wanted: a hundredth of a millimetre.
const NEAR_MM: f64 = 0.01;

/// The length that a number hangs on.
pub struct Knob {
    /// The length.
    pub lever: Lever,
    /// What is moved, in trade words: `newel N1 along the flight`.
    pub what: String,
}

/// A number set to what is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// What is done for it, in trade words: `move newel N1 3/16" up the flight`.
    pub what: String,
    /// The field of the file and the RON text of its value.
    pub edit: (String, String),
    /// The length that it hangs on then.
    pub is: Length,
    /// The number then.
    pub value: Length,
}

/// The one length that sets a number; `None` where no single one does, or the number is of another
/// kind.
#[must_use]
pub fn hangs_on(chain: &Chain, asked: &Asked) -> Option<Knob> {
    chain.runs.iter().enumerate().find_map(|(number, run)| {
        asked.of_run(&run.site, &run.setout)?;
        let (field, what) = field_of(run, asked)?;
        let mut levers = Lever::of_run(number, run).into_iter();
        let lever = levers.find(|lever| lever.own_field() == field)?;
        Some(Knob { lever, what })
    })
}

/// The field, in its run by itself, and what it moves.
fn field_of(run: &RunChain, asked: &Asked) -> Option<(String, String)> {
    let job = &run.run.job;
    let newel = |name: &String| {
        let at = job.design.newels.iter().position(|one| &one.name == name)?;
        let tail = match &job.design.newels[at].stands {
            crate::job::Stands::Displaces { .. } => "Displaces.move_by",
            crate::job::Stands::At { .. } => "At.x",
        };
        let what = format!("newel {name} along the flight");
        Some((format!("design.newels[{at}].stands.{tail}"), what))
    };
    let rail = || {
        let what = format!("the height of rail {}", job.design.rail.name);
        ("design.rail.height".to_owned(), what)
    };
    match asked {
        Asked::Gap { below, above } => newel(below).or_else(|| newel(above)),
        Asked::NewelFace(name) | Asked::Notch { newel: name, .. } => newel(name),
        Asked::Reveal { .. } => {
            let what = "the baluster line, by the reveal wanted".to_owned();
            Some(("design.reveal".to_owned(), what))
        }
        Asked::RailOver { .. } | Asked::LongPoint(_) => Some(rail()),
        Asked::Finding(_) | Asked::OutOfPlumb(_) | Asked::RailLength(_) => None,
    }
}

/// Sets a number to what is wanted by the length that it hangs on: on a mark of the tape where that
/// gives it, else between two. Of several places the nearest.
///
/// # Errors
/// Says why it cannot be had, and by how much it is missed.
pub fn set(chain: &Chain, asked: &Asked, wanted: Length) -> Result<Set, String> {
    let none = || format!("no single length of the design sets {}", asked.words());
    let Knob { lever, what } = hangs_on(chain, asked).ok_or_else(none)?;
    let probe = Probe::of(chain, &lever).ok_or_else(none)?;
    let off = |is: Length| {
        let value = asked.of_run(&probe.run.site, &probe.at(is)?)?;
        Some((value - wanted).as_mm())
    };
    let grid = probe.grid(WITHIN, PARTS).into_iter();
    let looked: Vec<(Length, f64)> = grid.filter_map(|is| Some((is, off(is)?))).collect();
    let tape = lever.job().tape;
    let near = |is: &Length| (*is - lever.now()).abs();
    let there = looked
        .windows(2)
        .filter(|pair| (pair[0].1 <= 0.0) != (pair[1].1 <= 0.0))
        .filter_map(|pair| nought(pair[0], pair[1], off))
        .min_by(|a, b| near(a).total_cmp(&near(b)));
    let Some(there) = there else {
        return Err(missed(&looked, (asked, wanted), (&what, &lever), tape));
    };
    let marked =
        Some(tape.round(there)).filter(|is| off(*is).is_some_and(|off| off.abs() < NEAR_MM));
    let is = marked.unwrap_or(there);
    let mut job = lever.job().clone();
    let pulled = lever.put(&mut job, is).ok_or_else(none)?;
    // As it is written it may be a hair beside.
    let value = off(pulled.is).map_or(wanted, |off| wanted + Length::mm(off));
    Ok(Set {
        what: pulled.what,
        edit: pulled.edit,
        is: pulled.is,
        value,
    })
}

/// Why a number cannot be had.
fn missed(
    looked: &[(Length, f64)],
    (asked, wanted): (&Asked, Length),
    (what, lever): (&str, &Lever),
    tape: Tape,
) -> String {
    let ends = looked.iter().map(|(_, off)| *off);
    let (least, most) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), off| {
        (low.min(off), high.max(off))
    });
    let words = asked.words();
    if !(least.is_finite() && most.is_finite()) {
        return format!("{words} is not there with {what} anywhere near");
    }
    let value = |off: f64| tape.print(wanted + Length::mm(off));
    if most - least < NEAR_MM {
        return format!("{words} stays {} whatever {what} does", value(least));
    }
    let short = if least > 0.0 { least } else { -most };
    let by = tape.print(Length::mm(short.abs()));
    if short <= 0.0 {
        // It leaps over what is wanted, where a part comes in or goes.
        return format!(
            "{words} leaps over {}: a baluster comes in or goes there",
            tape.print(wanted)
        );
    }
    let side = if least > 0.0 { "less" } else { "more" };
    let far = written(lever.job(), WITHIN);
    format!(
        "{words} goes from {} to {} with {what} within {far} of where it is; {} is {by} {side}",
        value(least),
        value(most),
        tape.print(wanted)
    )
}

/// Whether a number hangs on one length of the design, without looking for it.
#[must_use]
pub fn hangs(chain: &Chain, asked: &Asked) -> bool {
    let mut runs = chain.runs.iter();
    runs.any(|run| asked.of_run(&run.site, &run.setout).is_some() && field_of(run, asked).is_some())
}
