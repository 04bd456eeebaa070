//! Ways to do one job side by side: the figures that decide between them, and the troubles that one
//! brings or clears beside another.
//!
//! In: chains that were run. Out: [`Figure`]s, and a [`table()`] of them. Does not: run anything.

use crate::inspect::{Finding, Severity};
use crate::measure::{Length, Tape};
use crate::setout::{NewelSet, RailSet, SetOut};

use super::Chain;

/// What a figure tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Troubles of this severity.
    Troubles(Severity),
    /// The least clear gap between neighbours, level, at the foot.
    LeastGap,
    /// The greatest.
    GreatestGap,
    /// The ball that passes the opening nearest to its limit, or furthest past it.
    Ball,
    /// The limit of that opening.
    BallLimit,
    /// The least reveal at a tread's open end.
    LeastReveal,
    /// The greatest.
    GreatestReveal,
    /// Greatest reveal less least.
    RevealRange,
    /// The greatest lean of a baluster, either way.
    WorstLean,
    /// How many balusters there are.
    Balusters,
    /// A rail between its long points.
    RailLength,
    /// Where a rail stands lowest over a nosing.
    LowestRail,
    /// Where it stands highest.
    HighestRail,
    /// The deepest notch for a newel, in from the nosing.
    NotchDepth,
    /// Stringers that newels cut.
    StringerCuts,
}

/// A figure's value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// So many.
    Count(usize),
    /// A length.
    Length(Length),
}

/// One figure of a chain.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it tells.
    pub what: What,
    /// The part that it is about; empty where it is about all.
    pub part: String,
    /// Its value.
    pub value: Value,
}

/// Every figure of a chain, in a fixed order; what a stair has not is left out.
#[must_use]
pub fn figures(chain: &Chain) -> Vec<Figure> {
    let mut told = Vec::new();
    let mut tell = |what, part: &str, value| {
        told.push(Figure {
            what,
            part: part.to_owned(),
            value,
        });
    };
    let troubles = chain.inspection.troubles();
    for severity in [Severity::Stop, Severity::Fix, Severity::Remark] {
        let count = troubles.iter().filter(|one| one.severity == severity);
        tell(What::Troubles(severity), "", Value::Count(count.count()));
    }
    let openings = chain.inspection.openings.iter();
    if let Some(worst) = openings.max_by(|a, b| (a.ball - a.limit).total_cmp(&(b.ball - b.limit))) {
        tell(What::Ball, "", Value::Length(worst.ball));
        tell(What::BallLimit, "", Value::Length(worst.limit));
    }
    let setouts = || chain.runs.iter().map(|run| &run.setout);
    if let Some((least, most)) = extent(setouts().flat_map(|one| &one.gaps).map(|gap| gap.clear)) {
        tell(What::LeastGap, "", Value::Length(least));
        tell(What::GreatestGap, "", Value::Length(most));
    }
    // Reveals are held against those of their own railing; on a shoe or a bottom rail no tread ends
    // beside a baluster.
    let of_one = |one: &SetOut| extent(one.reveals.iter().map(|reveal| reveal.value));
    let widest = setouts()
        .filter(|one| one.on_treads())
        .filter_map(of_one)
        .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    if let Some((least, most)) = widest {
        tell(What::LeastReveal, "", Value::Length(least));
        tell(What::GreatestReveal, "", Value::Length(most));
        tell(What::RevealRange, "", Value::Length(most - least));
    }
    let balusters = || setouts().flat_map(|one| &one.balusters);
    tell(What::Balusters, "", Value::Count(balusters().count()));
    if let Some((_, lean)) = extent(balusters().map(|one| one.lean.abs())) {
        tell(What::WorstLean, "", Value::Length(lean));
    }
    for setout in setouts() {
        let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
        for RailSet {
            name, long_points, ..
        } in rails
        {
            tell(What::RailLength, name, Value::Length(*long_points));
        }
        let (name, window) = (&setout.rail.name, &setout.rail.window);
        tell(What::LowestRail, name, Value::Length(window.lowest.0));
        tell(What::HighestRail, name, Value::Length(window.highest.0));
    }
    let newels = || setouts().flat_map(|one| &one.newels);
    for NewelSet { name, notches, .. } in newels() {
        if let Some((_, deepest)) = extent(notches.iter().map(|notch| notch.from_nosing)) {
            tell(What::NotchDepth, name, Value::Length(deepest));
        }
    }
    let behind = newels().flat_map(|newel| &newel.behind);
    let cuts = behind.filter(|behind| behind.carries).count();
    tell(What::StringerCuts, "", Value::Count(cuts));
    told
}

fn extent(lengths: impl Iterator<Item = Length>) -> Option<(Length, Length)> {
    lengths.fold(None, |extent, one| {
        let (least, most) = extent.unwrap_or((one, one));
        Some((least.min(one), most.max(one)))
    })
}

/// One figure of several chains.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it tells.
    pub what: What,
    /// The part that it is about; empty where it is about all.
    pub part: String,
    /// Its value in each chain; `None` where that has no such figure, or could not be run.
    pub values: Vec<Option<Value>>,
}

/// The figures of several chains side by side; `None` for one that could not be run. A row stands
/// where the first chain that has it puts it.
#[must_use]
pub fn table(chains: &[Option<&Chain>]) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for (column, chain) in chains.iter().enumerate() {
        let Some(chain) = chain else {
            continue;
        };
        let mut behind = 0;
        for figure in figures(chain) {
            let known = rows
                .iter()
                .position(|row| row.what == figure.what && row.part == figure.part);
            let at = known.unwrap_or_else(|| {
                let values = vec![None; chains.len()];
                let Figure { what, part, .. } = figure.clone();
                rows.insert(behind, Row { what, part, values });
                behind
            });
            rows[at].values[column] = Some(figure.value);
            behind = at + 1;
        }
    }
    rows
}

/// The figures that decide between two chains: those that differ by half a mark of the tape or more,
/// or in number, so many at most, in the order of the table. The limit on a ball decides nothing.
#[must_use]
pub fn deciding(one: &Chain, other: &Chain, tape: Tape, most: usize) -> Vec<Row> {
    let apart = |row: &Row| match row.values.as_slice() {
        [Some(Value::Length(a)), Some(Value::Length(b))] => (*a - *b).abs() >= tape.mark() / 2.0,
        [a, b] => a != b,
        _ => false,
    };
    let rows = table(&[Some(one), Some(other)]).into_iter();
    rows.filter(|row| row.what != What::BallLimit && apart(row))
        .take(most)
        .collect()
}

/// The troubles that one chain has beside another: those it brings, or makes worse, and those it
/// clears. Worst first.
#[must_use]
pub fn brought_and_cleared<'c>(
    before: &'c Chain,
    after: &'c Chain,
) -> (Vec<&'c Finding>, Vec<&'c Finding>) {
    let (old, new) = (before.inspection.troubles(), after.inspection.troubles());
    let known = |finding: &Finding| {
        old.iter()
            .any(|old| finding.same_place(old) && finding.severity <= old.severity)
    };
    let stays = |finding: &Finding| new.iter().any(|new| finding.same_place(new));
    let brought = new.iter().copied().filter(|one| !known(one)).collect();
    let cleared = old.iter().copied().filter(|one| !stays(one)).collect();
    (brought, cleared)
}
