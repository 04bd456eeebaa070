//! The shapes of rows of reveals and of what the seasons do.

use serde::Serialize;

use super::inspect::verdict_word;
use super::xyz;
use crate::chain::{SeasonTold, SeasonWhat};
use crate::inspect::{Family, RevealRun, Seeing};
use crate::measure::{Length, Tape};
use crate::publish::report::kind_word;
use crate::setout::wood::Season;

#[derive(Serialize)]
pub(super) struct DriftShape<'a> {
    family: &'static str,
    what: &'a str,
    parts: &'a [String],
    run: usize,
    values: Vec<ValueShape<'a>>,
    least_mm: f64,
    least: String,
    most_mm: f64,
    most: String,
    range_mm: f64,
    range: String,
    changes: Vec<ChangeShape>,
    slope_mm: f64,
    slope: String,
    remainder_mm: f64,
    remainder: String,
    seen: Vec<SeenShape>,
}

#[derive(Serialize)]
struct ValueShape<'a> {
    part: &'a str,
    step: u32,
    value_mm: f64,
    value: String,
    at_mm: [f64; 3],
}

#[derive(Serialize)]
struct ChangeShape {
    from: u32,
    to: u32,
    by_mm: f64,
    by: String,
    at_mm: [f64; 3],
}

#[derive(Serialize)]
struct SeenShape {
    what: &'static str,
    step: u32,
    at_mm: [f64; 3],
}

pub(super) fn drift(row: &RevealRun, tape: Tape) -> DriftShape<'_> {
    let value = |at: usize| row.values.get(at).map_or(Length::ZERO, |one| one.value);
    let (least, most) = (value(row.least), value(row.most));
    DriftShape {
        family: match row.family {
            Family::TreadEnds => "tread-ends",
            Family::Skirts => "skirts",
            Family::NewelBlocks => "newel-blocks",
            Family::RailToWall => "rail-to-wall",
        },
        what: &row.what,
        parts: &row.parts,
        run: row.run,
        values: row
            .values
            .iter()
            .map(|one| ValueShape {
                part: &one.part,
                step: one.step,
                value_mm: one.value.as_mm(),
                value: tape.print(one.value),
                at_mm: xyz(&one.at),
            })
            .collect(),
        least_mm: least.as_mm(),
        least: tape.print(least),
        most_mm: most.as_mm(),
        most: tape.print(most),
        range_mm: row.range.as_mm(),
        range: tape.print(row.range),
        changes: row
            .changes
            .iter()
            .map(|one| ChangeShape {
                from: one.from,
                to: one.to,
                by_mm: one.by.as_mm(),
                by: tape.print(one.by),
                at_mm: xyz(&one.at),
            })
            .collect(),
        slope_mm: row.slope.as_mm(),
        slope: tape.print(row.slope),
        remainder_mm: row.remainder.as_mm(),
        remainder: tape.print(row.remainder),
        seen: row
            .seen
            .iter()
            .map(|one| SeenShape {
                what: match one.what {
                    Seeing::Range => "range",
                    Seeing::Jump => "jump",
                    Seeing::Drift => "drift",
                },
                step: one.step,
                at_mm: xyz(&one.at),
            })
            .collect(),
    }
}

#[derive(Serialize)]
pub(super) struct SeasonShape<'a> {
    season: &'static str,
    moisture_percent: f64,
    fitted_percent: f64,
    run: usize,
    quantity: &'static str,
    parts: &'a [String],
    value_mm: f64,
    value: String,
    then_mm: f64,
    then: String,
    limit_mm: Option<f64>,
    verdict: Option<&'static str>,
    says: &'a str,
    at_mm: [f64; 3],
}

pub(super) fn season(told: &SeasonTold, tape: Tape) -> SeasonShape<'_> {
    SeasonShape {
        season: match told.season {
            Season::Winter => "winter",
            Season::Summer => "summer",
        },
        moisture_percent: told.moisture,
        fitted_percent: told.fitted_at,
        run: told.run,
        quantity: match told.what {
            SeasonWhat::Trouble(kind, _) => kind_word(kind),
            SeasonWhat::Shift(kind) => kind.word(),
        },
        parts: &told.parts,
        value_mm: told.fitted.as_mm(),
        value: tape.print(told.fitted),
        then_mm: told.then.as_mm(),
        then: tape.print(told.then),
        limit_mm: told.limit.map(Length::as_mm),
        verdict: told.verdict.map(verdict_word),
        says: &told.says,
        at_mm: xyz(&told.at),
    }
}
