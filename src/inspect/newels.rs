//! Newels' heads and feet: what shows of a head block, a foot past its edge, hidden fasteners in
//! the way, half newels against their blocking.

use crate::job::RailEnd;
use crate::measure::Length;
use crate::rules::Sense;
use crate::setout::{HalfNewelSet, NewelSet};

use super::railing::{Limit, PRACTICE, Railing, exact};
use super::{Finding, Key, Kind, Severity};

impl Railing<'_> {
    /// Everything about the newels that is not their lean or what they cut.
    pub(super) fn heads_and_feet(&self) -> Vec<Finding> {
        let newels = self.setout.newels.iter();
        let own = newels.flat_map(|newel| {
            let mut found = self.block_reveals(newel);
            found.extend(self.foot(newel));
            found.extend(self.fasteners(newel));
            found
        });
        // What an earlier run's newel meets in this run's stair.
        let given = self.setout.given.iter();
        own.chain(given.flat_map(|newel| self.fasteners(newel)))
            .collect()
    }

    /// What shows of the head block above and below the rails, where the job says what should.
    fn block_reveals(&self, newel: &NewelSet) -> Vec<Finding> {
        let Some((reveals, _)) = newel.reveals.zip(newel.head) else {
            return Vec::new();
        };
        let ends = [
            (
                Some(reveals.above),
                "above",
                "above the highest rail, under the cap",
            ),
            (reveals.below, "below", "below the lowest rail"),
        ];
        ends.into_iter()
            .filter_map(|(value, end, place)| {
                let value = value?;
                let says = format!(
                    "{} of the head block of newel {} shows {place}; every rail must meet the block",
                    self.print(value),
                    newel.name
                );
                let key = Key {
                    kind: Kind::BlockReveal,
                    parts: vec![newel.name.clone(), end.to_owned()],
                };
                let limit = Limit {
                    limit: Length::ZERO,
                    sense: Sense::AtLeast,
                    source: PRACTICE,
                };
                let at = newel.foot + newel.axis.into_inner() * newel.height.as_mm();
                Some(exact(key, value, limit, Severity::Fix, at, says))
            })
            .collect()
    }

    /// A newel that stands on top of a tread or floor stands on it with all of its foot.
    fn foot(&self, newel: &NewelSet) -> Option<Finding> {
        let on = newel.on_surface.as_ref()?;
        let ground = match on.step {
            0 => "the lower floor".to_owned(),
            step if step as usize == self.site.steps.len() => "the upper floor".to_owned(),
            step => format!("tread {step}"),
        };
        let says = format!(
            "the foot of newel {} stands {} past the edge of {ground}; all of it must stand on wood",
            newel.name,
            self.print(on.past_edge)
        );
        let key = Key {
            kind: Kind::NewelFoot,
            parts: vec![newel.name.clone()],
        };
        let limit = Limit {
            limit: Length::ZERO,
            sense: Sense::AtMost,
            source: PRACTICE,
        };
        Some(exact(
            key,
            on.past_edge,
            limit,
            Severity::Fix,
            newel.foot,
            says,
        ))
    }

    fn fasteners(&self, newel: &NewelSet) -> Vec<Finding> {
        newel
            .fasteners
            .iter()
            .map(|one| {
                let says = format!(
                    "{} is {} from the notch of newel {}; the saw must not meet it",
                    one.name,
                    self.print(one.clear),
                    newel.name
                );
                let key = Key {
                    kind: Kind::FastenerCut,
                    parts: vec![newel.name.clone(), one.name.clone()],
                };
                let limit = Limit {
                    limit: Length::ZERO,
                    sense: Sense::AtLeast,
                    source: "iron under the saw is a danger (common practice)",
                };
                exact(key, one.clear, limit, Severity::Stop, one.at, says)
            })
            .collect()
    }

    /// Each half newel: wood behind its middle, and the rail's end on its face.
    pub(super) fn half_newels(&self) -> Vec<Finding> {
        let halves = self.setout.half_newels.iter();
        halves.filter_map(|half| self.half_newel(half)).collect()
    }

    fn half_newel(&self, half: &HalfNewelSet) -> Option<Finding> {
        let (rail, set) = (&self.job.design.rail, &self.setout.rail);
        let (end, point) = if half.upper {
            (&rail.upper, set.upper)
        } else {
            (&rail.lower, set.lower)
        };
        let RailEnd::HalfNewel { blocking, .. } = end else {
            return None;
        };
        let face = self.site.wall(&half.wall)?;
        let run = (face.to - face.from) / face.length();
        let along = (half.face.xy() - face.from).dot(&run);
        let off_along = (along - blocking.along.mm()).abs() - blocking.width.mm() / 2.0;
        // Its middle needs wood behind it at some height between foot and head.
        let (foot, head) = (half.face.z, half.face.z + half.height.as_mm());
        let block = [-0.5, 0.5].map(|share| blocking.up.mm() + share * blocking.height.mm());
        let off_up = (block[0] - head).max(foot - block[1]);
        let aside = ((point.xy() - half.face.xy()).dot(&run)).abs() + set.width.as_mm() / 2.0
            - half.across.as_mm() / 2.0;
        let off_rail = aside.max(point.z - head);
        let value = Length::mm(off_along.max(off_up).max(off_rail).max(0.0));
        let says = format!(
            "{} has its middle {} off its blocking, and the end of rail {} stands {} off its face",
            half.name,
            self.print(Length::mm(off_along.max(off_up).max(0.0))),
            set.name,
            self.print(Length::mm(off_rail.max(0.0)))
        );
        let key = Key {
            kind: Kind::Landing,
            parts: vec![set.name.clone(), half.wall.clone()],
        };
        let limit = Limit {
            limit: Length::ZERO,
            sense: Sense::AtMost,
            source: PRACTICE,
        };
        Some(exact(key, value, limit, Severity::Stop, half.face, says))
    }
}
