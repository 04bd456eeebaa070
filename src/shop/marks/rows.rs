//! Running marks on a rod, on the rail's underside, on a shoe or bottom rail, and for brackets.

use nalgebra::{Point3, Unit, Vector3};

use crate::chain::RunChain;
use crate::measure::{Length, tolerance};
use crate::setout::{BalusterSet, EndCut, RailSet, SetOut};

use super::{BoreMark, Hook, MarkRow, RowOn, RunningMark};

/// Every row of a run.
#[must_use]
pub fn rows(run: &RunChain) -> Vec<MarkRow> {
    let setout = &run.setout;
    let mut rows = Vec::new();
    rows.extend(rod(setout));
    if !setout.balusters.is_empty() {
        rows.push(rail(run));
        rows.extend(sill(run));
    }
    rows.extend(brackets(setout));
    rows
}

/// Level up the flight from what stands at the lower end of the row to what stands at its upper end.
fn rod(setout: &SetOut) -> Option<MarkRow> {
    let (first, last) = (setout.balusters.first()?, setout.balusters.last()?);
    let near = |one: &BalusterSet| Length::mm(one.foot.x) - one.along * 0.5;
    let below = setout.gaps.first().filter(|gap| gap.above == first.name);
    let above = setout.gaps.last().filter(|gap| gap.below == last.name);
    // From the kick of the first step, where nothing stands there.
    let from = below.map_or(Length::ZERO, |gap| near(first) - gap.clear);
    let far = near(last) + last.along;
    let mark = |part: &str, level: Length| RunningMark {
        part: part.to_owned(),
        level,
        slope: None,
        bore: None,
    };
    Some(MarkRow {
        on: RowOn::Rod,
        part: below.map_or_else(String::new, |gap| gap.below.clone()),
        hook: Hook::Face,
        marks: setout
            .balusters
            .iter()
            .map(|one| mark(&one.name, Length::mm(one.foot.x) - from))
            .collect(),
        end: match above {
            Some(gap) => mark(&gap.above, far + gap.clear - from),
            None => mark(&last.name, far - from),
        },
    })
}

/// One side of a piece along the slope, from its lower end.
struct Side {
    /// Where the middle of that side meets the lower end's cut.
    start: Point3<f64>,
    along: Unit<Vector3<f64>>,
    up: Vector3<f64>,
    /// From there to the upper end's cut.
    long: f64,
}

impl Side {
    /// The side that lies `off` square above the piece's own line from end to end.
    fn of(piece: &RailSet, off: f64) -> Self {
        let along = Unit::new_normalize(piece.upper - piece.lower);
        let left = Vector3::z().cross(&along).normalize();
        let up = along.cross(&left);
        let line = piece.lower + up * off;
        let reach = |cut: &EndCut| (cut.point - line).dot(&cut.normal) / along.dot(&cut.normal);
        let (low, high) = (reach(&piece.lower_cut), reach(&piece.upper_cut));
        Self {
            start: line + along.into_inner() * low,
            along,
            up,
            long: high - low,
        }
    }

    /// Where a line that goes through a point meets the side's plane, as a length along it.
    fn at(&self, point: &Point3<f64>, way: &Vector3<f64>) -> f64 {
        let reach = (self.start - point).dot(&self.up) / way.dot(&self.up);
        (point + way * reach - self.start).dot(&self.along)
    }

    /// What a length along it is level.
    fn level(&self, slope: f64) -> Length {
        Length::mm(slope * self.along.xy().norm())
    }

    fn mark(&self, part: &str, slope: f64) -> RunningMark {
        let on = -tolerance::SAME_POINT_MM..=self.long + tolerance::SAME_POINT_MM;
        RunningMark {
            part: part.to_owned(),
            level: self.level(slope),
            slope: on.contains(&slope).then(|| Length::mm(slope)),
            bore: None,
        }
    }
}

fn axis(one: &BalusterSet) -> Vector3<f64> {
    let axis = (one.top - one.foot).try_normalize(f64::MIN_POSITIVE);
    axis.unwrap_or_else(Vector3::z)
}

fn rail(run: &RunChain) -> MarkRow {
    let rail = &run.setout.rail;
    let side = Side::of(rail, -rail.depth.as_mm());
    let plumb = rail.pitch.rake_over(rail.depth);
    let marks = run.setout.balusters.iter().map(|one| {
        // Past the straight rail a fitting lies over it: there is no slope to measure along.
        let mut mark = side.mark(&one.name, side.at(&one.top, &axis(one)));
        mark.bore = (one.seat > Length::ZERO).then(|| BoreMark {
            diameter: one.seat_size(),
            deep: one.seat,
            left: Some(plumb - one.seat),
        });
        mark
    });
    MarkRow {
        on: RowOn::RailUnder,
        part: rail.name.clone(),
        hook: Hook::LowerEnd,
        marks: marks.collect(),
        end: side.mark(&rail.name, side.long),
    }
}

/// On the top of a shoe or bottom rail.
fn sill(run: &RunChain) -> Option<MarkRow> {
    let setout = &run.setout;
    let (piece, on) = match (&setout.bottom_rail, &setout.base) {
        (Some(rail), _) => (rail, RowOn::BottomRailTop),
        (None, Some(base)) => (&base.shoe, RowOn::ShoeTop),
        (None, None) => return None,
    };
    let side = Side::of(piece, piece.depth.as_mm());
    let marks = setout.balusters.iter().map(|one| {
        let mut mark = side.mark(&one.name, side.at(&one.foot, &axis(one)));
        let (deep, diameter) = one.peg;
        mark.bore = (deep > Length::ZERO).then(|| BoreMark {
            diameter,
            deep,
            left: Some(piece.depth - deep),
        });
        mark
    });
    Some(MarkRow {
        on,
        part: piece.name.clone(),
        hook: Hook::LowerEnd,
        marks: marks.collect(),
        end: side.mark(&piece.name, side.long),
    })
}

/// The brackets under the handrail on the wall side, from its lower end.
fn brackets(setout: &SetOut) -> Option<MarkRow> {
    let rail = setout.wall_rail.as_ref()?;
    let level = |slope: Length| slope * rail.pitch.angle().as_radians().cos();
    let mark = |part: String, slope: Length| RunningMark {
        part,
        level: level(slope),
        slope: Some(slope),
        bore: None,
    };
    let long = Length::mm((rail.upper - rail.lower).norm());
    let brackets = rail.brackets.iter().enumerate();
    Some(MarkRow {
        on: RowOn::WallRailUnder,
        part: rail.name.clone(),
        hook: Hook::LowerEnd,
        marks: brackets
            .map(|(at, one)| mark(format!("bracket {}", at + 1), one.along))
            .collect(),
        end: mark(rail.name.clone(), long),
    })
}
