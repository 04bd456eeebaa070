//! What every page tells of winders: one row for each tread.

use crate::measure::Length;
use crate::rules::Pack;
use crate::site::winders::{NarrowDepth, WalkDepth, WinderSite};

/// What is told of the winders of a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct WinderTable {
    /// From the narrow side to the walk line.
    pub walk_line: Length,
    /// The treads from the bottom.
    pub rows: Vec<WinderRow>,
}

/// One winder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WinderRow {
    /// Its number in the turn.
    pub step: u32,
    /// Rise from the tread below.
    pub rise: Length,
    /// How deep it is on the walk line; nothing where it does not reach it.
    pub walk: Option<WalkDepth>,
    /// How deep it is where it is narrowest.
    pub narrow: Option<NarrowDepth>,
}

/// The walk line where neither the job nor the pack gives one: 12 in, as the model code has it.
const WALK_LINE: Length = Length::inches(12.0);

/// Tells of winders, on the walk line that the job gives, else on the pack's first.
#[must_use]
pub fn winder_rows(site: &WinderSite, pack: &Pack) -> WinderTable {
    let of_pack = pack.winders_at.as_ref().and_then(|at| {
        let lines = at.lines(Length::mm(site.width), site.handrail);
        lines.into_iter().next()
    });
    let walk_line = site.walk_line.or(of_pack).unwrap_or(WALK_LINE);
    let (depths, narrows) = (site.depths(walk_line), site.narrowest());
    WinderTable {
        walk_line,
        rows: site
            .treads
            .iter()
            .map(|tread| WinderRow {
                step: tread.number,
                rise: Length::mm(tread.rise),
                walk: depths.iter().find(|one| one.step == tread.number).copied(),
                narrow: narrows.iter().find(|one| one.step == tread.number).copied(),
            })
            .collect(),
    }
}
