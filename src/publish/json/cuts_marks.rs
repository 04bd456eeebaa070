//! The shape of `marks` in `cuts --json`.

use serde::Serialize;

use super::cuts::{Twice, twice};
use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::publish::{edge_word, side_word};
use crate::setout::dry_fit::KnifeLine;
use crate::shop::marks::{
    BoreMark, Hook, MarkRow, MarkingBlock, NewelMarks, RowOn, RunMarks, RunningMark, TreadMarks,
};

#[derive(Serialize)]
pub(super) struct RunMarksShape<'a> {
    run: &'a str,
    rows: Vec<RowShape<'a>>,
    treads: Vec<TreadShape<'a>>,
    newels: Vec<NewelShape<'a>>,
    block: Option<BlockShape<'a>>,
}

#[derive(Serialize)]
struct RowShape<'a> {
    on: &'static str,
    part: &'a str,
    hook: &'static str,
    marks: Vec<MarkShape<'a>>,
    end: MarkShape<'a>,
}

#[derive(Serialize)]
struct MarkShape<'a> {
    part: &'a str,
    level_mm: f64,
    level: String,
    slope_mm: Option<f64>,
    slope: Option<String>,
    bore: Option<BoreShape>,
}

#[derive(Serialize)]
struct BoreShape {
    diameter_mm: f64,
    deep_mm: f64,
    deep: String,
    left_mm: Option<f64>,
    left: Option<String>,
}

#[derive(Serialize)]
struct TreadShape<'a> {
    step: u32,
    part: &'a str,
    marks: Vec<TreadMarkShape<'a>>,
}

#[derive(Serialize)]
struct TreadMarkShape<'a> {
    part: &'a str,
    along_from: &'static str,
    along_mm: f64,
    along: String,
    across_from: &'static str,
    across_mm: f64,
    across: String,
    bore: Option<BoreShape>,
}

#[derive(Serialize)]
struct NewelShape<'a> {
    newel: &'a str,
    run: &'a str,
    lines: Vec<LineShape<'a>>,
}

#[derive(Serialize)]
struct LineShape<'a> {
    on: &'a str,
    side: &'static str,
    off_from: &'static str,
    off: [Twice; 2],
    along_from: &'static str,
    along: [Twice; 2],
}

#[derive(Serialize)]
struct BlockShape<'a> {
    level_mm: f64,
    level: String,
    slope_mm: Option<f64>,
    slope: Option<String>,
    hooks_on: &'a str,
    serves: Vec<[&'a str; 2]>,
    not: Vec<NotShape<'a>>,
    creeps_mm: f64,
    creeps: String,
}

#[derive(Serialize)]
struct NotShape<'a> {
    below: &'a str,
    above: &'a str,
    gap_mm: f64,
    gap: String,
}

pub(super) fn run_marks<'a>(run: &'a RunMarks, chain: &'a Chain, tape: Tape) -> RunMarksShape<'a> {
    let name = |number: usize| {
        let run = chain.runs.get(number);
        run.map_or("", |run| run.run.name.as_str())
    };
    RunMarksShape {
        run: name(run.run),
        rows: run.rows.iter().map(|one| row(one, tape)).collect(),
        treads: run.treads.iter().map(|one| tread(one, tape)).collect(),
        newels: run
            .newels
            .iter()
            .map(|one| newel(one, name(one.run), tape))
            .collect(),
        block: run.block.as_ref().map(|one| block(one, tape)),
    }
}

fn row(row: &MarkRow, tape: Tape) -> RowShape<'_> {
    RowShape {
        on: match row.on {
            RowOn::Rod => "rod",
            RowOn::RailUnder => "rail-underside",
            RowOn::ShoeTop => "shoe-top",
            RowOn::BottomRailTop => "bottom-rail-top",
            RowOn::WallRailUnder => "wall-rail-underside",
        },
        part: &row.part,
        hook: match row.hook {
            Hook::Face => "uphill-face",
            Hook::LowerEnd => "lower-end",
        },
        marks: row.marks.iter().map(|one| mark(one, tape)).collect(),
        end: mark(&row.end, tape),
    }
}

fn mark(mark: &RunningMark, tape: Tape) -> MarkShape<'_> {
    MarkShape {
        part: &mark.part,
        level_mm: mark.level.as_mm(),
        level: tape.print(mark.level),
        slope_mm: mark.slope.map(Length::as_mm),
        slope: mark.slope.map(|slope| tape.print(slope)),
        bore: mark.bore.map(|one| bore(one, tape)),
    }
}

fn bore(bore: BoreMark, tape: Tape) -> BoreShape {
    BoreShape {
        diameter_mm: bore.diameter.as_mm(),
        deep_mm: bore.deep.as_mm(),
        deep: tape.print(bore.deep),
        left_mm: bore.left.map(Length::as_mm),
        left: bore.left.map(|left| tape.print(left)),
    }
}

fn tread(tread: &TreadMarks, tape: Tape) -> TreadShape<'_> {
    TreadShape {
        step: tread.step,
        part: &tread.part,
        marks: tread
            .marks
            .iter()
            .map(|one| TreadMarkShape {
                part: &one.part,
                along_from: edge_word(one.along.0),
                along_mm: one.along.1.as_mm(),
                along: tape.print(one.along.1),
                across_from: edge_word(one.across.0),
                across_mm: one.across.1.as_mm(),
                across: tape.print(one.across.1),
                bore: one.bore.map(|one| bore(one, tape)),
            })
            .collect(),
    }
}

fn newel<'a>(newel: &'a NewelMarks, run: &'a str, tape: Tape) -> NewelShape<'a> {
    let faces = newel.fit.foot.iter().chain(&newel.fit.faces);
    let lines = faces.flat_map(|face| {
        let part = face.part.as_str();
        face.lines.iter().map(move |one| line(one, part, tape))
    });
    NewelShape {
        newel: &newel.newel,
        run,
        lines: lines.collect(),
    }
}

fn line<'a>(line: &KnifeLine, on: &'a str, tape: Tape) -> LineShape<'a> {
    LineShape {
        on,
        side: side_word(line.side),
        off_from: edge_word(line.off.0),
        off: line.off.1.map(|length| twice(length, tape)),
        along_from: edge_word(line.along.0),
        along: line.along.1.map(|length| twice(length, tape)),
    }
}

fn block(block: &MarkingBlock, tape: Tape) -> BlockShape<'_> {
    BlockShape {
        level_mm: block.level.as_mm(),
        level: tape.print(block.level),
        slope_mm: block.slope.map(Length::as_mm),
        slope: block.slope.map(|slope| tape.print(slope)),
        hooks_on: &block.hooks_on,
        serves: block
            .serves
            .iter()
            .map(|(below, above)| [below.as_str(), above.as_str()])
            .collect(),
        not: block
            .not
            .iter()
            .map(|(below, above, gap)| NotShape {
                below,
                above,
                gap_mm: gap.as_mm(),
                gap: tape.print(*gap),
            })
            .collect(),
        creeps_mm: block.creeps.as_mm(),
        creeps: tape.print(block.creeps),
    }
}
