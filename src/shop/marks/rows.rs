//! Running marks on a rod, on the rail's underside, on a shoe or bottom rail, and for brackets.

use crate::chain::RunChain;
use crate::measure::Length;
use crate::setout::{BalusterSet, RailSet, SetOut};

use super::side::{Side, axis};
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

/// The bottom rail or the shoe that balusters stand in, and the row that is marked on its top.
pub(crate) fn sill_piece(setout: &SetOut) -> Option<(&RailSet, RowOn)> {
    match (&setout.bottom_rail, &setout.base) {
        (Some(rail), _) => Some((rail, RowOn::BottomRailTop)),
        (None, Some(base)) => Some((&base.shoe, RowOn::ShoeTop)),
        (None, None) => None,
    }
}

/// On the top of a shoe or bottom rail.
fn sill(run: &RunChain) -> Option<MarkRow> {
    let setout = &run.setout;
    let (piece, on) = sill_piece(setout)?;
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
