//! Finds readings that stand in the file twice. Reading a place again is good practice and is
//! welcome; a copy of the same reading would count as a second one that it is not.

use std::collections::BTreeMap;

use super::Check;
use crate::job::{Across, FloorReading, Len, StepReading, WallReading};

/// All that tells one reading from another; remarks and uncertainty do not.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Key<'r> {
    kind: &'static str,
    words: [&'r str; 4],
    numbers: Vec<i64>,
}

/// The readings of one list, as far as they were seen.
#[derive(Debug, Default)]
pub(super) struct Seen<'r>(BTreeMap<Key<'r>, String>);

impl<'r> Seen<'r> {
    /// Warns of a reading of the steps that was seen before.
    pub(super) fn step(&mut self, check: &mut Check<'_>, path: &str, reading: &'r StepReading) {
        let (side, stringer) = match reading.side() {
            Across::Line => (0, ""),
            Across::Open => (1, ""),
            Across::Wall => (2, ""),
            Across::Stringer(name) => (3, name.as_str()),
        };
        let (line, mut numbers) = step_place(reading);
        numbers.extend([*reading.on() as i64, side, value(reading)]);
        let words = [line, stringer, by(reading.by()), reading.taken()];
        let kind = reading.kind();
        self.look(
            check,
            path,
            Key {
                kind,
                words,
                numbers,
            },
        );
    }

    /// Warns of a reading of this wall that was seen before.
    pub(super) fn wall(&mut self, check: &mut Check<'_>, path: &str, reading: &'r WallReading) {
        let (name, mut numbers) = wall_place(reading);
        numbers.push(microns(reading.is()));
        let words = [name, "", by(reading.by()), reading.taken()];
        let kind = reading.kind();
        self.look(
            check,
            path,
            Key {
                kind,
                words,
                numbers,
            },
        );
    }

    /// Warns of a reading of this floor that was seen before.
    pub(super) fn floor(&mut self, check: &mut Check<'_>, path: &str, reading: &'r FloorReading) {
        let (name, mut numbers) = floor_place(reading);
        numbers.extend([*reading.on() as i64, microns(reading.is())]);
        let words = [name, "", by(reading.by()), reading.taken()];
        let kind = reading.kind();
        self.look(
            check,
            path,
            Key {
                kind,
                words,
                numbers,
            },
        );
    }

    fn look(&mut self, check: &mut Check<'_>, path: &str, key: Key<'r>) {
        if let Some(first) = self.0.get(&key) {
            check.warn_both(
                path,
                "this is the same reading twice; it would count double",
                "take one out; if it was read afresh, say when in `taken`",
                first,
                "read here first",
            );
        } else {
            self.0.insert(key, path.to_owned());
        }
    }
}

fn by(name: &Option<String>) -> &str {
    name.as_deref().unwrap_or("")
}

/// What was read: thousandths of a millimetre, or millionths of a radian.
fn value(reading: &StepReading) -> i64 {
    match reading {
        StepReading::Pitch { is, .. } => thousandths(is.value.as_radians() * 1e3),
        reading => reading.is().map_or(0, microns),
    }
}

fn step_place(reading: &StepReading) -> (&str, Vec<i64>) {
    let step = reading.step().map_or(0, i64::from);
    match reading {
        StepReading::Level { high, .. } => ("", vec![step, *high as i64]),
        StepReading::Fall { low, .. } => ("", vec![step, *low as i64]),
        StepReading::Height { above, .. } => ("", vec![step, i64::from(*above)]),
        StepReading::Run { beyond, .. } => ("", vec![step, i64::from(*beyond)]),
        StepReading::Under { line, .. } | StepReading::Past { line, .. } => (line, vec![step]),
        StepReading::Pitch { to, .. } => ("", vec![step, i64::from(*to)]),
        StepReading::Diagonal { from, to, .. } => {
            let ends = vec![step, from.end as i64, i64::from(to.step), to.end as i64];
            ("", ends)
        }
        _ => ("", vec![step]),
    }
}

fn wall_place(reading: &WallReading) -> (&str, Vec<i64>) {
    match reading {
        WallReading::Offset {
            along, up, line, ..
        } => (by(line), vec![microns(along), microns(up)]),
        WallReading::Plumb {
            along,
            up,
            level,
            at,
            touch,
            ..
        } => {
            // A level touches at no negative place.
            let touch = touch.as_ref().map_or(-1, microns);
            let place = [microns(along), microns(up), microns(level)];
            ("", [&place[..], &[*at as i64, touch]].concat())
        }
        WallReading::Straight {
            along,
            up,
            length,
            lies,
            ..
        } => {
            let place = [along, up, length].map(microns);
            ("", [&place[..], &[*lies as i64]].concat())
        }
        WallReading::Between {
            along, up, wall, ..
        } => (wall, vec![microns(along), microns(up)]),
        WallReading::Corner {
            wall,
            up,
            leg,
            other_leg,
            ..
        } => (wall, [up, leg, other_leg].map(microns).to_vec()),
    }
}

fn floor_place(reading: &FloorReading) -> (&str, Vec<i64>) {
    match reading {
        FloorReading::Level { over, high, .. } => ("", vec![microns(over), *high as i64]),
        FloorReading::Under { x, y, line, .. } => (line, vec![microns(x), microns(y)]),
        FloorReading::Edge { edge, .. } => ("", vec![*edge as i64]),
        FloorReading::Diagonal { from, .. } => ("", vec![*from as i64]),
    }
}

/// Thousandths of a millimetre, so that places can be compared without `==` of lengths.
fn microns(length: &Len) -> i64 {
    thousandths(length.mm())
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast saturates, and bounds are checked"
)]
fn thousandths(number: f64) -> i64 {
    (number * 1e3).round() as i64
}
