//! The shape of `setout --fit --json`.

use nalgebra::Point3;
use serde::Serialize;

use super::{FORMAT, program, text_of, xyz};
use crate::chain::Chain;
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::publish::{DRY_FIT_CAUTION, FitMark, FitTold, dry_fit_told, edge_word, side_word};
use crate::setout::dry_fit::{Board, DryFit, Edge, FitGap, GapWhy, KnifeFace, KnifeLine, Standing};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    newel: &'a str,
    runs: Vec<RunShape<'a>>,
    cautions: [&'static str; 1],
}

#[derive(Serialize)]
struct RunShape<'a> {
    run: &'a str,
    stands: &'static str,
    says: String,
    marks: Vec<MarkShape>,
    foot: Option<FaceShape<'a>>,
    faces: Vec<FaceShape<'a>>,
    behind: Vec<BehindShape>,
    gaps: Vec<GapShape<'a>>,
    strips: Vec<StripShape<'a>>,
    beside: Vec<BesideShape<'a>>,
    lean_up_flight_mm: f64,
    lean_outward_mm: f64,
    lean_deg: f64,
    allowance_mm: f64,
    allowance: String,
}

#[derive(Serialize)]
struct MarkShape {
    place: String,
    side: String,
    off: String,
    along: String,
    out_of_square: Option<String>,
}

#[derive(Serialize)]
struct FaceShape<'a> {
    part: &'a str,
    step: u32,
    on: &'static str,
    ring_mm: Vec<[f64; 3]>,
    deep_mm: f64,
    deep: String,
    centre: Option<CentreShape>,
    lines: Vec<LineShape>,
}

#[derive(Serialize)]
struct CentreShape {
    at_mm: [f64; 3],
    from: [&'static str; 2],
    off_mm: [f64; 2],
    off: [String; 2],
}

#[derive(Serialize)]
struct LineShape {
    side: &'static str,
    ends_mm: [[f64; 3]; 2],
    length_mm: f64,
    length: String,
    off: HookShape,
    along: HookShape,
    out_of_square_mm: f64,
}

#[derive(Serialize)]
struct HookShape {
    from: &'static str,
    at_mm: [f64; 2],
    at: [String; 2],
}

#[derive(Serialize)]
struct BehindShape {
    says: String,
    engineer: bool,
}

#[derive(Serialize)]
struct GapShape<'a> {
    part: &'a str,
    side: &'static str,
    why: &'static str,
    square_to: Option<&'static str>,
    greatest_mm: f64,
    greatest: String,
    at_mm: [f64; 3],
    wedge_mm: Vec<[f64; 3]>,
    shows: bool,
}

#[derive(Serialize)]
struct StripShape<'a> {
    part: &'a str,
    at: &'static str,
    width_mm: f64,
    width: String,
    length_mm: f64,
    length: String,
}

#[derive(Serialize)]
struct BesideShape<'a> {
    other: &'a str,
    at_foot_mm: f64,
    at_foot: String,
    at_rail_mm: Option<f64>,
    at_rail: Option<String>,
    next: Option<&'a str>,
    next_mm: Option<f64>,
}

/// A newel set down dry on every run that it meets, each by its number in the chain.
#[must_use]
pub fn dry_fit(job: &Job, chain: &Chain, newel: &str, fits: &[(usize, DryFit)]) -> String {
    let runs = fits.iter().filter_map(|(number, fit)| {
        let run = chain.runs.get(*number)?;
        Some(shape(&run.run.name, fit, job.tape))
    });
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        newel,
        runs: runs.collect(),
        cautions: [DRY_FIT_CAUTION],
    })
}

fn shape<'a>(run: &'a str, fit: &'a DryFit, tape: Tape) -> RunShape<'a> {
    let FitTold {
        stands,
        marks,
        behind,
        ..
    } = dry_fit_told(fit, tape);
    let behind = behind.into_iter().map(|one| BehindShape {
        says: one.says,
        engineer: one.engineer,
    });
    RunShape {
        run,
        stands: match fit.stands {
            Standing::Notched => "notched",
            Standing::OnTop(_) => "on-top",
            Standing::Clear(_) => "clear",
            Standing::Elsewhere => "elsewhere",
        },
        says: stands,
        marks: marks.into_iter().map(mark).collect(),
        foot: fit.foot.as_ref().map(|foot| face(foot, tape)),
        faces: fit.faces.iter().map(|one| face(one, tape)).collect(),
        behind: behind.collect(),
        gaps: fit.gaps.iter().map(|gap| gap_shape(gap, tape)).collect(),
        strips: fit.strips.iter().map(|one| strip(one, tape)).collect(),
        beside: fit.beside.iter().map(|one| beside(one, tape)).collect(),
        lean_up_flight_mm: fit.cap.up_flight.as_mm(),
        lean_outward_mm: fit.cap.outward.as_mm(),
        lean_deg: fit.cap.lean.as_degrees(),
        allowance_mm: fit.allowance.as_mm(),
        allowance: tape.print(fit.allowance),
    }
}

fn mark(mark: FitMark) -> MarkShape {
    MarkShape {
        place: mark.place,
        side: mark.side,
        off: mark.off,
        along: mark.along,
        out_of_square: mark.out,
    }
}

fn places(points: &[Point3<f64>]) -> Vec<[f64; 3]> {
    points.iter().map(xyz).collect()
}

fn face(face: &KnifeFace, tape: Tape) -> FaceShape<'_> {
    let centre = face.centre.as_ref();
    FaceShape {
        part: &face.part,
        step: face.step,
        on: match face.on {
            Board::Top => "top",
            Board::Nose => "front",
            Board::End => "open-end",
            Board::Kick => "kick",
            Board::Skirt => "skirt",
        },
        ring_mm: places(&face.ring),
        deep_mm: face.deep.as_mm(),
        deep: tape.print(face.deep),
        centre: centre.map(|(at, hooks)| CentreShape {
            at_mm: xyz(at),
            from: hooks.map(|(edge, _)| edge_word(edge)),
            off_mm: hooks.map(|(_, off)| off.as_mm()),
            off: hooks.map(|(_, off)| tape.print(off)),
        }),
        lines: face.lines.iter().map(|one| line(one, tape)).collect(),
    }
}

fn line(line: &KnifeLine, tape: Tape) -> LineShape {
    let hook = |(edge, at): (Edge, [Length; 2])| HookShape {
        from: edge_word(edge),
        at_mm: at.map(Length::as_mm),
        at: at.map(|at| tape.print(at)),
    };
    LineShape {
        side: side_word(line.side),
        ends_mm: [xyz(&line.from), xyz(&line.to)],
        length_mm: line.length().as_mm(),
        length: tape.print(line.length()),
        off: hook(line.off),
        along: hook(line.along),
        out_of_square_mm: line.out_of_square().as_mm(),
    }
}

fn gap_shape(gap: &FitGap, tape: Tape) -> GapShape<'_> {
    let (why, square_to) = match gap.why {
        GapWhy::SquareToEdge(edge) => ("square-to-edge", Some(edge_word(edge))),
        GapWhy::SquareToFace => ("square-to-face", None),
        GapWhy::SquareFoot => ("square-foot", None),
        GapWhy::AgainstKick => ("against-kick", None),
    };
    GapShape {
        part: &gap.part,
        side: side_word(gap.side),
        why,
        square_to,
        greatest_mm: gap.greatest.as_mm(),
        greatest: tape.print(gap.greatest),
        at_mm: xyz(&gap.at),
        wedge_mm: places(&gap.wedge),
        shows: gap.shows,
    }
}

fn strip(one: &crate::setout::dry_fit::Strip, tape: Tape) -> StripShape<'_> {
    StripShape {
        part: &one.part,
        at: edge_word(one.edge),
        width_mm: one.width.as_mm(),
        width: tape.print(one.width),
        length_mm: one.length.as_mm(),
        length: tape.print(one.length),
    }
}

fn beside(one: &crate::setout::dry_fit::Beside, tape: Tape) -> BesideShape<'_> {
    BesideShape {
        other: &one.other,
        at_foot_mm: one.at_foot.as_mm(),
        at_foot: tape.print(one.at_foot),
        at_rail_mm: one.at_rail.map(Length::as_mm),
        at_rail: one.at_rail.map(|gap| tape.print(gap)),
        next: one.next.as_ref().map(|(name, _)| name.as_str()),
        next_mm: one.next.as_ref().map(|(_, gap)| gap.as_mm()),
    }
}
