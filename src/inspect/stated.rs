//! Steps as they were stated: the edge of their nosings, the slope of their kicks, how many rises
//! lie between landings.

use nalgebra::Point3;

use crate::job::{Kicks, NosingEdge};
use crate::measure::{Angle, Length, tolerance};
use crate::rules::{Limit, Quantity, Sense};

use super::around::{Around, on_rule};
use super::{Finding, Kind};

impl Around<'_> {
    /// The edge of the nosings. One that is rounded has no bevel and the other way round, so both
    /// rules are answered.
    pub(super) fn nosing_shape(&self) -> Vec<Finding> {
        let Some(edge) = &self.run.solid.job.flight.nosing_edge else {
            return Vec::new();
        };
        let Some(at) = self.first_nosing() else {
            return Vec::new();
        };
        let (round, bevel) = match edge {
            NosingEdge::Round(radius) => (radius.value, Length::ZERO),
            NosingEdge::Bevel(bevel) => (Length::ZERO, bevel.value),
            NosingEdge::Square => (Length::ZERO, Length::ZERO),
        };
        let shapes = [
            (Quantity::NosingRadius, round, "radius", ["rounded", "to"]),
            (Quantity::NosingBevel, bevel, "bevel", ["bevelled", "by"]),
        ];
        shapes
            .into_iter()
            .filter_map(|(quantity, value, part, [how, by])| {
                let (rule, limit) = self.length(quantity)?;
                let worked = if value > Length::mm(tolerance::SAME_POINT_MM) {
                    format!("{how} {by} {}", self.print(value))
                } else {
                    format!("not {how}")
                };
                let says = format!(
                    "the edge of the nosings is {worked}, as stated; at most {} is asked",
                    self.print(limit)
                );
                let key = self.key(Kind::NosingShape, &[part]);
                Some(on_rule((rule, limit), (key, value), at, says))
            })
            .collect()
    }

    /// How far the faces of the kicks stand off plumb over the height of one: as stated, or as read
    /// on the kick that leans most.
    pub(super) fn kick_slope(&self) -> Option<Finding> {
        let job = self.run.solid.job;
        if job.flight.kicks == Kicks::Open {
            return None;
        }
        let rule = self.pack.rule(Quantity::KickSlope)?;
        let stated = job.flight.kick_slope.as_ref().map(|slope| slope.value);
        let boards = job.boards.iter().flat_map(|boards| &boards.kick_leans);
        let read =
            boards.map(|lean| Angle::radians((lean.by.value / lean.over.value).atan()).abs());
        let most = stated
            .map(Angle::abs)
            .into_iter()
            .chain(read)
            .max_by(|a, b| a.as_radians().total_cmp(&b.as_radians()))?;
        let rise = Length::mm(self.site().steps.first()?.rise);
        let (value, limit) = (rise * most.as_radians().tan(), rule.limit.over(rise));
        let asked = Angle::radians((limit / rise).atan());
        let says = format!(
            "the kicks slope {} from plumb, {} over a rise; at most {} is asked",
            most.print_degrees(1),
            self.print(value),
            asked.print_degrees(1)
        );
        let key = self.key(Kind::KickSlope, &["kicks"]);
        let at = self.first_nosing()?;
        Some(on_rule((rule, limit), (key, value), at, says))
    }

    /// How many rises lie between landings, winders with the flight. The finding's value is what
    /// they climb, and its limit what as many as are allowed would climb at the same rise.
    pub(super) fn rises(&self) -> Vec<Finding> {
        let Some(upper) = self.site().steps.last().filter(|_| !self.goes_on) else {
            return Vec::new();
        };
        let count = self.below.rises() + self.site().steps.len();
        // A count has no unit, and stands where a length does.
        let counted = Length::mm(count as f64);
        let at = self.site().at(upper.kick_x, 0.0, upper.height);
        [Quantity::RisersMost, Quantity::RisersLeast]
            .into_iter()
            .filter_map(|quantity| {
                let rule = self.pack.rule(quantity)?;
                let Limit::Count(asked) = rule.limit else {
                    return None;
                };
                let side = if rule.sense == Sense::AtLeast {
                    "at least"
                } else {
                    "at most"
                };
                let says = format!(
                    "the flight has {count} rises between floors or landings; {side} {asked} are \
                     asked"
                );
                let key = self.key(Kind::Risers, &[side]);
                let limit = Length::mm(f64::from(asked));
                Some(on_rule((rule, limit), (key, counted), at, says))
            })
            .collect()
    }

    pub(super) fn first_nosing(&self) -> Option<Point3<f64>> {
        let first = self.site().steps.first()?;
        Some(self.site().at(first.nosing_x(), 0.0, first.height))
    }
}
