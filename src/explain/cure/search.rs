//! The least move along the tape that clears a trouble: tried a little way off, foretold from the
//! slope, then found mark by mark.

use crate::inspect::{Finding, Sense};
use crate::measure::Length;

use super::Doctor;
use super::candidate::Candidate;
use super::knobs::Knob;

/// The first look is this many marks away.
const LOOK: i32 = 4;
/// A cure is looked for on this many marks beyond the foretold one.
const BEYOND: i32 = 3;
/// And on so many before it.
const BEFORE: i32 = 8;
/// No cure moves a part further than this.
const MOVE_MOST: Length = Length::inches(3.0);
/// What takes less than this off in the first look is no cure, mm.
const TAKES_LEAST: f64 = 0.02;

impl Doctor<'_> {
    /// The least move of a length that clears the trouble, either way; of two alike the one up.
    pub(super) fn on_the_tape(&self, knob: &Knob) -> Option<Candidate> {
        let up = self.one_way(knob, 1);
        let down = self.one_way(knob, -1);
        let marks = match (up, down) {
            (Some(up), Some(down)) if up > -down => down,
            (Some(up), _) => up,
            (None, down) => down?,
        };
        knob.moved(marks)
    }

    /// The least number of marks one way.
    fn one_way(&self, knob: &Knob, way: i32) -> Option<i32> {
        let excess = excess(self.trouble) + self.doubt();
        let after = self.excess_after(&knob.moved(way * LOOK)?)?;
        let takes = (excess - after) / f64::from(LOOK);
        if takes * f64::from(LOOK) < TAKES_LEAST {
            return None;
        }
        let most = (MOVE_MOST / knob.mark()).floor();
        // A hair of arithmetic past a mark is that mark.
        let foretold = (excess / takes - 1e-6).ceil().clamp(1.0, most);
        #[expect(clippy::cast_possible_truncation, reason = "clamped to a few hundred")]
        let foretold = foretold as i32;
        #[expect(clippy::cast_possible_truncation, reason = "3 in of marks")]
        let most = most as i32;
        let clears = |marks: i32| {
            knob.moved(way * marks)
                .is_some_and(|candidate| self.clears(&candidate))
        };
        let first = (foretold..=(foretold + BEYOND).min(most)).find(|marks| clears(*marks))?;
        let mut least = first;
        while least > 1 && first - least < BEFORE && clears(least - 1) {
            least -= 1;
        }
        Some(way * least)
    }

    /// How far within its limit the trouble must come to be met, mm.
    fn doubt(&self) -> f64 {
        self.trouble.doubt.map_or(0.0, Length::as_mm)
    }

    /// How far past its limit the trouble is after a change, its doubt counted; `None` where the stair cannot be set
    /// out, or the quantity is gone.
    fn excess_after(&self, candidate: &Candidate) -> Option<f64> {
        let state = self.state(candidate)?;
        let found = state.finding(self.again.pack(), self.trouble);
        match found {
            Some(finding) => Some(excess(&finding) + self.doubt()),
            None => super::super::again::absent(self.trouble).map(Length::as_mm),
        }
    }
}

/// How far past its limit a finding is, mm; negative where it keeps it.
pub(super) fn excess(finding: &Finding) -> f64 {
    match finding.sense {
        Sense::AtLeast => finding.limit - finding.value(),
        Sense::AtMost | Sense::Under => finding.value() - finding.limit,
    }
    .as_mm()
}
