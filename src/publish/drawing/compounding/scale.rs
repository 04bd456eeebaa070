//! [`Scale`]: where steps and offsets stand on the paper.

use crate::doubt::compounding::Fan;
use crate::measure::{Length, Tape, Unit};

/// No more marks than this on either side of nothing.
const MOST_MARKS: f64 = 4.0;
/// No more steps than this are all numbered.
const MOST_NUMBERS: u32 = 24;

/// The scale of one chart.
pub struct Scale {
    first: u32,
    last: u32,
    left: f64,
    right: f64,
    /// Down the paper, mm.
    pub(super) top: f64,
    /// How far down the paper something that is so far off lies, in the unit of `top` and `bottom`.
    pub(super) bottom: f64,
    /// What lies at the top, and as far under nothing at the bottom.
    most: Length,
    /// From one numbered mark to the next.
    pub mark: Length,
}

impl Scale {
    /// The scale that all of a fan is in, between left and right, and between top and bottom; these
    /// in any one unit, downwards.
    #[must_use]
    pub fn of(fan: &Fan, tape: Tape, (left, right): (f64, f64), (top, bottom): (f64, f64)) -> Self {
        let reach = fan.steps.iter().map(|row| {
            let stair = row.found.abs() + row.open.nearly;
            row.same_way.max(row.stepped.nearly).max(stair)
        });
        // Even where nothing is off there is a scale.
        let least = tape.mark() * 2.0;
        let most = reach.fold(least, Length::max) * 1.04;
        let number =
            |end: Option<&crate::doubt::compounding::FanStep>| end.map_or(0, |row| row.step);
        Self {
            first: number(fan.steps.first()),
            last: number(fan.steps.last()),
            left,
            right,
            top,
            bottom,
            most,
            mark: mark(tape, most),
        }
    }

    /// Down the paper.
    #[must_use]
    pub fn y(&self, off: Length) -> f64 {
        let middle = f64::midpoint(self.top, self.bottom);
        middle - (off / self.most) * (self.bottom - self.top) / 2.0
    }

    /// The place of a step that is so far off, mm on the paper.
    #[must_use]
    pub fn at(&self, step: u32, off: Length) -> (f64, f64) {
        let steps = f64::from((self.last - self.first).max(1));
        let share = f64::from(step.saturating_sub(self.first)) / steps;
        (self.left + share * (self.right - self.left), self.y(off))
    }

    /// The marks that are numbered, from the lowest up.
    pub fn marks(&self) -> impl Iterator<Item = Length> {
        let count = (self.most / self.mark).floor().min(MOST_MARKS) as i32;
        let mark = self.mark;
        (-count..=count).map(move |at| mark * f64::from(at))
    }

    /// Every so many steps one is numbered.
    #[must_use]
    pub fn every(&self) -> u32 {
        if self.last - self.first > MOST_NUMBERS {
            5
        } else {
            1
        }
    }
}

/// The finest marks that are few enough: halves and doubles of an inch, or 1, 2 and 5 millimetres.
fn mark(tape: Tape, most: Length) -> Length {
    let few = |mark: &Length| most / *mark <= MOST_MARKS;
    let finest = tape.mark();
    match tape.unit() {
        Unit::Inches => {
            let doubled = std::iter::successors(Some(finest), |mark| Some(*mark * 2.0));
            doubled.take(24).find(few).unwrap_or(most)
        }
        Unit::Millimetres => {
            let tens = std::iter::successors(Some(finest), |mark| Some(*mark * 10.0));
            let all = tens.take(8).flat_map(|ten| [ten, ten * 2.0, ten * 5.0]);
            all.into_iter().find(few).unwrap_or(most)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::mark;
    use crate::measure::{Length, Tape};

    #[test]
    fn marks_are_those_of_a_tape_and_few() {
        for (tape, most, wanted) in [
            (Tape::Sixteenths, Length::inches(0.91), Length::inches(0.25)),
            (
                Tape::Sixteenths,
                Length::inches(0.2),
                Length::inches(1.0 / 16.0),
            ),
            (
                Tape::ThirtySeconds,
                Length::inches(0.12),
                Length::inches(1.0 / 32.0),
            ),
            (Tape::Sixteenths, Length::inches(7.0), Length::inches(2.0)),
            (Tape::Millimetres, Length::mm(23.0), Length::mm(10.0)),
            (Tape::Millimetres, Length::mm(19.0), Length::mm(5.0)),
            (Tape::Millimetres, Length::mm(3.0), Length::mm(1.0)),
        ] {
            let found = mark(tape, most);
            assert!((found - wanted).abs() < Length::mm(1e-9), "{found:?}");
        }
    }
}
