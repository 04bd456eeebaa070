//! The shape of `survey --json`.

use serde::Serialize;

use super::inspect::verdict_word;
use super::{FORMAT, program, text_of};
use crate::doubt::{Advice, Doubt, Outcome};
use crate::inspect::walls::{CornerTold, Held, Landing, WallTold};
use crate::job::{Document, Job};
use crate::measure::{Length, Tape};
use crate::publish::survey::{standing_word, suspect_says};
use crate::survey::{Read, Survey};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    /// The first run.
    #[serde(flatten)]
    first: Option<RunShape<'a>>,
    /// The others that have a stair of their own.
    runs: Vec<FurtherShape<'a>>,
}

/// A run that goes on from another.
#[derive(Serialize)]
struct FurtherShape<'a> {
    name: &'a str,
    #[serde(flatten)]
    run: RunShape<'a>,
}

/// What the readings of one run say.
#[derive(Serialize)]
struct RunShape<'a> {
    settled: bool,
    readings: Vec<ReadingShape<'a>>,
    suspects: Vec<SuspectShape<'a>>,
    loose: Vec<LooseShape<'a>>,
    results: Vec<ResultShape<'a>>,
    walls: Vec<WallShape<'a>>,
    corners: Vec<CornerShape<'a>>,
    next: Vec<NextShape<'a>>,
}

/// Its numbers are in `unit`: `mm`, or `deg` where it reads an angle.
#[derive(Serialize)]
struct ReadingShape<'a> {
    field: &'a str,
    line: Option<usize>,
    what: &'a str,
    unit: &'static str,
    value: f64,
    sd: f64,
    fitted: f64,
    misfit: f64,
    predicted: f64,
    predicted_sd: f64,
    r: f64,
    w: f64,
    standing: &'static str,
}

#[derive(Serialize)]
struct SuspectShape<'a> {
    field: &'a str,
    line: Option<usize>,
    what: &'a str,
    w: f64,
    r: f64,
    predicted: f64,
    predicted_sd: f64,
    says: String,
    or: Vec<&'a str>,
    unit_slip: Option<&'static str>,
}

#[derive(Serialize)]
struct LooseShape<'a> {
    says: &'a str,
    sd_mm: f64,
    sd: String,
}

#[derive(Serialize)]
struct ResultShape<'a> {
    what: &'a str,
    value_mm: f64,
    value: String,
    sd_mm: f64,
    sources: Vec<SourceShape<'a>>,
}

#[derive(Serialize)]
struct SourceShape<'a> {
    what: &'a str,
    share: f64,
}

#[derive(Serialize)]
struct WallShape<'a> {
    name: &'a str,
    lean_mm: f64,
    lean_sd_mm: f64,
    lean_deg: f64,
    splay_mm: f64,
    splay_sd_mm: f64,
    plumb: HeldShape,
    flat: HeldShape,
    hump: bool,
    flat_along_mm: f64,
    flat_up_mm: f64,
    rail: Vec<LandingShape<'a>>,
    skirts: Vec<BehindShape<'a>>,
}

#[derive(Serialize)]
struct HeldShape {
    value_mm: f64,
    sd_mm: f64,
    limit_mm: f64,
    over_mm: f64,
    verdict: &'static str,
    source: &'static str,
}

#[derive(Serialize)]
struct LandingShape<'a> {
    rail: &'a str,
    along_mm: f64,
    up_mm: f64,
    off_mm: f64,
    sd_mm: f64,
    over_depth_mm: f64,
}

#[derive(Serialize)]
struct BehindShape<'a> {
    skirt: &'a str,
    least_mm: f64,
    most_mm: f64,
}

#[derive(Serialize)]
struct CornerShape<'a> {
    walls: [&'a str; 2],
    off_deg: f64,
    square: HeldShape,
}

#[derive(Serialize)]
struct NextShape<'a> {
    what: &'a str,
    how: &'a str,
    takes_mm: f64,
    shrinks: Vec<ShrinkShape<'a>>,
}

#[derive(Serialize)]
struct ShrinkShape<'a> {
    what: &'a str,
    before_mm: f64,
    after_mm: f64,
}

/// All that is told of a survey.
#[derive(Clone, Copy, Debug)]
pub struct SurveyTold<'a> {
    /// The readings adjusted.
    pub survey: &'a Survey,
    /// How sure the results are.
    pub doubt: &'a Doubt,
    /// The run's name.
    pub run: &'a str,
    /// The walls.
    pub walls: &'a [WallTold],
    /// The corners.
    pub corners: &'a [CornerTold],
}

/// What the survey says, as JSON: `told` has one for each run with a stair of its own.
#[must_use]
pub fn survey(document: &Document, told: &[SurveyTold<'_>]) -> String {
    let shapes = told.iter().map(|one| of_run(document, one));
    let mut shapes = shapes.collect::<Vec<_>>().into_iter();
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &document.job().name,
        first: shapes.next(),
        runs: shapes
            .zip(told.iter().skip(1))
            .map(|(run, one)| FurtherShape { name: one.run, run })
            .collect(),
    })
}

fn of_run<'a>(document: &'a Document, told: &'a SurveyTold<'_>) -> RunShape<'a> {
    let (survey, doubt) = (told.survey, told.doubt);
    let job: &Job = document.job();
    let tape = job.tape;
    let line = |path: &str| document.line_of(path).map(|(line, _)| line);
    let readings = survey.readings.iter().map(|one| ReadingShape {
        field: &one.path,
        line: line(&one.path),
        what: &one.what,
        unit: unit(one.read),
        value: shown(one.read, one.value),
        sd: shown(one.read, one.sd),
        fitted: shown(one.read, one.fitted),
        misfit: shown(one.read, one.misfit()),
        predicted: shown(one.read, one.predicted),
        predicted_sd: shown(one.read, one.predicted_sd),
        r: one.r,
        w: one.w,
        standing: standing_word(one.standing),
    });
    let suspects = survey.suspects.iter().filter_map(|suspect| {
        let one = survey.readings.get(suspect.reading)?;
        let or = suspect.or.iter().filter_map(|at| survey.readings.get(*at));
        Some(SuspectShape {
            field: &one.path,
            line: line(&one.path),
            what: &one.what,
            w: suspect.w,
            r: suspect.r,
            predicted: shown(one.read, suspect.predicted),
            predicted_sd: shown(one.read, suspect.predicted_sd),
            says: suspect_says(tape, one, suspect),
            or: or.map(|other| other.path.as_str()).collect(),
            unit_slip: suspect.unit.map(crate::survey::UnitSlip::says),
        })
    });
    let loose = survey.loose.iter().map(|one| LooseShape {
        says: &one.says,
        sd_mm: one.give.as_mm(),
        sd: tape.print(one.give),
    });
    RunShape {
        settled: survey.adjustment.settled(),
        readings: readings.collect(),
        suspects: suspects.collect(),
        loose: loose.collect(),
        results: doubt.outcomes.iter().map(|one| result(one, tape)).collect(),
        walls: told.walls.iter().map(wall).collect(),
        corners: told.corners.iter().map(corner).collect(),
        next: doubt.next.iter().map(next).collect(),
    }
}

const fn unit(read: Read) -> &'static str {
    match read {
        Read::Length => "mm",
        Read::Angle => "deg",
    }
}

fn shown(read: Read, value: f64) -> f64 {
    match read {
        Read::Length => value,
        Read::Angle => value.to_degrees(),
    }
}

fn result(one: &Outcome, tape: Tape) -> ResultShape<'_> {
    ResultShape {
        what: &one.what,
        value_mm: one.value,
        value: tape.print(Length::mm(one.value)),
        sd_mm: one.sd,
        sources: one
            .sources
            .iter()
            .map(|(what, share)| SourceShape {
                what,
                share: *share,
            })
            .collect(),
    }
}

fn wall(one: &WallTold) -> WallShape<'_> {
    WallShape {
        name: &one.name,
        lean_mm: one.lean.as_mm(),
        lean_sd_mm: one.lean_sd.as_mm(),
        lean_deg: one.lean_angle.as_degrees(),
        splay_mm: one.splay.as_mm(),
        splay_sd_mm: one.splay_sd.as_mm(),
        plumb: held(&one.plumb),
        flat: held(&one.flat),
        hump: one.hump,
        flat_along_mm: one.flat_at.0.as_mm(),
        flat_up_mm: one.flat_at.1.as_mm(),
        rail: one.rail.iter().map(landing).collect(),
        skirts: one
            .skirts
            .iter()
            .map(|skirt| BehindShape {
                skirt: &skirt.skirt,
                least_mm: skirt.off.0.as_mm(),
                most_mm: skirt.off.1.as_mm(),
            })
            .collect(),
    }
}

fn landing(one: &Landing) -> LandingShape<'_> {
    LandingShape {
        rail: &one.rail,
        along_mm: one.at.0.as_mm(),
        up_mm: one.at.1.as_mm(),
        off_mm: one.off.as_mm(),
        sd_mm: one.sd.as_mm(),
        over_depth_mm: one.over_depth.as_mm(),
    }
}

fn held(one: &Held) -> HeldShape {
    HeldShape {
        value_mm: one.value.as_mm(),
        sd_mm: one.sd.as_mm(),
        limit_mm: one.asked.limit.as_mm(),
        over_mm: one.asked.over.as_mm(),
        verdict: verdict_word(one.verdict),
        source: one.asked.source,
    }
}

fn corner(one: &CornerTold) -> CornerShape<'_> {
    CornerShape {
        walls: [&one.walls.0, &one.walls.1],
        off_deg: one.off.as_degrees(),
        square: held(&one.square),
    }
}

fn next(one: &Advice) -> NextShape<'_> {
    NextShape {
        what: &one.what,
        how: &one.how,
        takes_mm: one.takes,
        shrinks: one
            .shrinks
            .iter()
            .map(|shrink| ShrinkShape {
                what: &shrink.what,
                before_mm: shrink.before,
                after_mm: shrink.after,
            })
            .collect(),
    }
}
