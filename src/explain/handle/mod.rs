//! [`Handle`]: a length or a count of the design that a hand can move, beside the part that it moves.
//!
//! In: a chain and a part's name. Out: where to take hold of it, the way it goes, and the edit that
//! puts it elsewhere; [`places`] has the places worth stopping at, [`set`] the way from a wanted
//! number to the length that it hangs on, [`consequences`] what a move does.
//! Points and directions are in the first run's frame, mm.
//! Does not: draw, or know a pointer.

mod consequence;
mod count;
mod held;
mod places;
mod probe;
mod set;

use nalgebra::{Point3, Vector3};

use crate::chain::{Chain, RunChain};
use crate::job::{Job, RailEnd};
use crate::measure::{Length, Tape, Unit};

use super::cure::{Lever, across};

pub use consequence::{Change, Consequences, consequences};
pub use count::Count;
pub use places::{Place, places};
pub use set::{Knob, Set, hangs, hangs_on, set};

/// What a handle moves.
#[derive(Clone)]
pub enum Takes {
    /// A length, which the part follows one to one.
    Length(Lever),
    /// A number of balusters, which goes by leaps.
    Count(Count),
}

/// What a handle is put to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// So many.
    Count(u32),
}

/// Something of the design that a hand can move.
#[derive(Clone)]
pub struct Handle {
    /// The part that is taken hold of.
    pub part: String,
    /// What moves, in trade words: `newel N1 along the flight`.
    pub what: String,
    /// What it does where it is more and where it is less: `up the flight`, `down the flight`.
    pub ways: [&'static str; 2],
    /// Where it is taken hold of.
    pub at: Point3<f64>,
    /// The way it goes as its length grows, a unit vector; of a count the way up the flight.
    pub way: Vector3<f64>,
    /// What it moves.
    pub takes: Takes,
}

impl Handle {
    /// The field of the file that it writes.
    #[must_use]
    pub fn field(&self) -> String {
        match &self.takes {
            Takes::Length(lever) => lever.field(),
            Takes::Count(count) => count.field.clone(),
        }
    }

    /// What it stands at now.
    #[must_use]
    pub fn now(&self) -> Value {
        match &self.takes {
            Takes::Length(lever) => Value::Length(lever.now()),
            Takes::Count(count) => Value::Count(count.now),
        }
    }

    /// The run, by its number.
    #[must_use]
    pub fn run(&self) -> usize {
        match &self.takes {
            Takes::Length(lever) => lever.run(),
            Takes::Count(count) => count.run,
        }
    }

    /// Its length after it went so far in its way, within what a job may hold; `None` for a count.
    #[must_use]
    pub fn length_at(&self, along: Length) -> Option<Length> {
        let Takes::Length(lever) = &self.takes else {
            return None;
        };
        let bounds = lever.bounds();
        let there = lever.now() + along;
        Some(there.max(bounds.least).min(bounds.most))
    }

    /// What it is put to after it went so far in its way: of a count the number whose place is
    /// nearest, of a length that length on a mark of the tape.
    #[must_use]
    pub fn value_at(&self, along: Length, tape: Tape) -> Value {
        match &self.takes {
            Takes::Count(count) => Value::Count(count.nearest(along.as_mm())),
            Takes::Length(lever) => {
                let there = self.length_at(along).unwrap_or_default();
                // A bound may lie between two marks.
                let marked = tape.round(there);
                let held = lever.bounds().hold(marked);
                Value::Length(if held { marked } else { there })
            }
        }
    }

    /// How far along its way a value lies.
    #[must_use]
    pub fn along(&self, value: Value) -> Length {
        match (&self.takes, value) {
            (Takes::Length(lever), Value::Length(length)) => length - lever.now(),
            (Takes::Count(count), Value::Count(number)) => Length::mm(count.place(number)),
            _ => Length::ZERO,
        }
    }

    /// Field and RON text that put it to a value; `None` for what a job may not hold.
    #[must_use]
    pub fn edit(&self, value: Value) -> Option<(String, String)> {
        match (&self.takes, value) {
            (Takes::Length(lever), Value::Length(length)) => {
                let mut job = lever.job().clone();
                Some(lever.put(&mut job, length)?.edit)
            }
            (Takes::Count(count), Value::Count(number)) => count.edit(number),
            _ => None,
        }
    }

    /// True where a finished wall would have to be opened for it.
    #[must_use]
    pub fn opens_wall(&self) -> bool {
        matches!(&self.takes, Takes::Length(lever) if lever.opens_wall())
    }
}

/// A length as the job's file writes it: on the marks as a fraction, off them as a decimal, to less
/// than 0.002 mm.
#[must_use]
pub fn written(job: &Job, length: Length) -> String {
    let text = super::cure::typed(job, length);
    let same = super::cure::read(job, &text).is_some_and(|read| {
        let off = read.value - length;
        off.abs() < SAME
    });
    if same {
        return text;
    }
    let decimal = match job.units {
        Unit::Inches => format!("{:.4}", length.as_inches()),
        Unit::Millimetres => format!("{:.2}", length.as_mm()),
    };
    let short = decimal.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0" } else { short }.to_owned()
}

/// Nearer than this to a mark is on it: a fiftieth of the thinnest pencil line.
const SAME: Length = Length::mm(0.002);

/// Everything that a hand can move of a part, the likeliest first; of a wall rosette or a cap none.
#[must_use]
pub fn handles(chain: &Chain, part: &str) -> Vec<Handle> {
    let mut all = Vec::new();
    for (number, run) in chain.runs.iter().enumerate() {
        let about = held::About {
            run,
            part,
            kind: kind_of(run, part),
        };
        if matches!(about.kind, Part::Other) {
            continue;
        }
        let levers = Lever::of_run(number, run).into_iter();
        let levers = levers.chain(across(number, run));
        all.extend(levers.flat_map(|lever| about.of(&lever)));
        if let Part::Baluster(one) = about.kind {
            all.extend(count::of(number, run, one));
        }
    }
    all.sort_by_key(Handle::rank);
    all
}

impl Handle {
    /// What goes along the flight comes first, then how many there are, across, and up and down.
    fn rank(&self) -> u8 {
        let upright = self.way.z.abs() > 0.5;
        let first = match &self.takes {
            Takes::Length(_) if self.ways == held::FLIGHT => 0,
            Takes::Count(_) => 1,
            Takes::Length(_) if upright => 3,
            Takes::Length(_) => 2,
        };
        first + 4 * u8::from(self.opens_wall())
    }
}

/// What a part is to a run.
#[derive(Clone, Copy)]
enum Part<'a> {
    Newel(usize),
    Rail,
    BottomRail,
    WallRail,
    Baluster(&'a crate::setout::BalusterSet),
    Panel(usize),
    /// What the rail ends on at a wall: at its upper end, or not.
    Landing(bool),
    Other,
}

fn kind_of<'a>(run: &'a RunChain, part: &str) -> Part<'a> {
    let setout = &run.setout;
    if let Some(at) = setout.newels.iter().position(|one| one.name == part) {
        return Part::Newel(at);
    }
    if setout.rail.name == part {
        return Part::Rail;
    }
    if setout.bottom_rail.iter().any(|rail| rail.name == part) {
        return Part::BottomRail;
    }
    if setout.wall_rail.iter().any(|rail| rail.name == part) {
        return Part::WallRail;
    }
    if let Some(one) = setout.balusters.iter().find(|one| one.name == part) {
        return Part::Baluster(one);
    }
    let panels = setout.panels.iter().flat_map(|run| &run.panels);
    if let Some(at) = panels.into_iter().position(|one| one.name == part) {
        return Part::Panel(at);
    }
    let rail = &run.run.job.design.rail;
    let ends = [(&rail.lower, false), (&rail.upper, true)];
    let lands = |(end, _): &&(&RailEnd, bool)| end.wall().is_some_and(|wall| wall == part);
    ends.iter()
        .find(lands)
        .map_or(Part::Other, |(_, upper)| Part::Landing(*upper))
}

#[cfg(test)]
mod tests;
