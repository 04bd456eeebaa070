//! The shape of `setout --json`.

use serde::Serialize;

use super::boards::{BoardsShape, boards};
use super::infill::{
    self, BaseShape, FilletShape, MarkShape, PanelShape, SpacingShape, TradeShape,
};
use super::rails::{self, FittingShape, HalfNewelShape, NewelMore, OverShape, WallRailShape};
use super::turns::{TurnShape, WindersShape, turn, winders};
use super::{FORMAT, bedding, program, received, text_of, xyz};
use crate::chain::{Chain, Fitted, RunChain};
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::rules::Pack;
use crate::setout::built::{BuiltDifference, Measured};
use crate::setout::{
    BalusterLine, BalusterSet, EndCut, Gap, NewelSet, Notch, RailSet, WindowReport,
};

/// The whole answer.
#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    /// The first run.
    #[serde(flatten)]
    first: Option<RunShape<'a>>,
    /// The others.
    runs: Vec<FurtherShape<'a>>,
    /// What has been fitted, on any of them.
    built: Vec<BuiltShape<'a>>,
}

/// A run that goes on from another, or a railing on the wall side.
#[derive(Serialize)]
struct FurtherShape<'a> {
    name: &'a str,
    mark: &'a str,
    origin_mm: [f64; 3],
    turn_deg: f64,
    #[serde(flatten)]
    run: RunShape<'a>,
}

/// What was set out on one run, in its own frame.
#[derive(Serialize)]
struct RunShape<'a> {
    newels: Vec<NewelShape<'a>>,
    given: Vec<NewelShape<'a>>,
    balusters: Vec<BalusterShape<'a>>,
    rails: Vec<RailShape<'a>>,
    half_newels: Vec<HalfNewelShape<'a>>,
    wall_rail: Option<WallRailShape<'a>>,
    gaps: Vec<GapShape<'a>>,
    spacing: SpacingShape,
    marks: Vec<MarkShape<'a>>,
    base: Option<BaseShape>,
    fillets: Vec<FilletShape<'a>>,
    panels: Vec<PanelShape<'a>>,
    trade: Vec<TradeShape>,
    line: LineShape,
    window: WindowShape,
    turns: Vec<TurnShape<'a>>,
    winders: Vec<WindersShape<'a>>,
    boards: BoardsShape,
    bedding: Option<bedding::BeddingShape<'a>>,
    received: Option<received::ReceivedShape<'a>>,
}

#[derive(Serialize)]
struct BuiltShape<'a> {
    field: &'a str,
    part: &'a str,
    place: &'a str,
    of: &'static str,
    plan_mm: Option<f64>,
    plan: Option<String>,
    built_mm: f64,
    built: String,
    off_mm: Option<f64>,
    off: Option<String>,
    far: bool,
}

#[derive(Serialize)]
struct NewelShape<'a> {
    id: &'a str,
    foot_mm: [f64; 3],
    axis: [f64; 3],
    along_mm: f64,
    across_mm: f64,
    round: bool,
    twist_deg: f64,
    height_mm: f64,
    footprint_mm: Vec<[f64; 2]>,
    face_from_kick_mm: Option<f64>,
    face_from_kick: Option<String>,
    notches: Vec<NotchShape>,
    behind: Vec<BehindShape<'a>>,
    #[serde(flatten)]
    more: NewelMore<'a>,
}

#[derive(Serialize)]
struct NotchShape {
    step: u32,
    corners_mm: Vec<[f64; 2]>,
    sides_mm: Vec<f64>,
    sides: Vec<String>,
    angles_deg: Vec<f64>,
    from_nosing_mm: f64,
    from_nosing: String,
    from_open_end_mm: f64,
    from_open_end: String,
    behind_kick_face_mm: f64,
    behind_kick_face: String,
}

#[derive(Serialize)]
struct BehindShape<'a> {
    part: &'a str,
    depth_mm: f64,
    depth: String,
    remains_mm: f64,
    remains: String,
    carries: bool,
}

#[derive(Serialize)]
struct BalusterShape<'a> {
    id: &'a str,
    step: u32,
    place: u32,
    of: &'static str,
    turned_mm: Vec<[f64; 2]>,
    base_mm: [f64; 3],
    top_mm: [f64; 3],
    lean_mm: f64,
    lean: String,
    length_mm: f64,
    length: String,
    short_mm: f64,
    short: String,
    top_angle_deg: f64,
    foot_angle_deg: f64,
    peg_mm: [f64; 2],
    seat_mm: f64,
    edge_distance_mm: Option<f64>,
}

#[derive(Serialize)]
struct RailShape<'a> {
    id: &'a str,
    lower_mm: [f64; 3],
    upper_mm: [f64; 3],
    pitch_deg: f64,
    width_mm: f64,
    depth_mm: f64,
    length_mm: f64,
    length: String,
    short_mm: f64,
    short: String,
    lower_cut: CutShape,
    upper_cut: CutShape,
    fittings: Vec<FittingShape>,
    over: Vec<OverShape<'a>>,
}

#[derive(Serialize)]
pub(super) struct CutShape {
    mitre_deg: f64,
    bevel_deg: f64,
    at_mm: [f64; 3],
    normal: [f64; 3],
}

#[derive(Serialize)]
struct GapShape<'a> {
    below: &'a str,
    above: &'a str,
    clear_mm: f64,
    clear: String,
}

#[derive(Serialize)]
struct LineShape {
    at_foot_mm: f64,
    slope: f64,
    worst_mm: f64,
}

#[derive(Serialize)]
struct HeightShape {
    step: u32,
    height_mm: f64,
    height: String,
}

#[derive(Serialize)]
pub(super) struct WindowShape {
    lowest: HeightShape,
    highest: HeightShape,
    asked_low_mm: Option<f64>,
    asked_high_mm: Option<f64>,
    killed_by: Option<KilledShape>,
}

#[derive(Serialize)]
struct KilledShape {
    steps: Vec<u32>,
    short_mm: f64,
    short: String,
}

/// Writes what was set out as JSON, with what else is told of each run, in the order of the runs,
/// and what has been fitted beside its plan.
#[must_use]
pub fn setout(job: &Job, chain: &Chain, fitted: &[Fitted], built: &[BuiltDifference]) -> String {
    let tape = job.tape;
    let mut runs = chain.runs.iter().zip(fitted);
    let first = runs.next();
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        first: first.map(|(one, fitted)| of_run(one, fitted, &chain.pack, tape)),
        runs: runs
            .map(|(one, fitted)| further(one, fitted, &chain.pack, tape))
            .collect(),
        built: built.iter().map(|one| as_built(one, tape)).collect(),
    })
}

fn further<'a>(one: &'a RunChain, fitted: &'a Fitted, pack: &Pack, tape: Tape) -> FurtherShape<'a> {
    FurtherShape {
        name: &one.run.name,
        mark: &one.run.mark,
        origin_mm: xyz(&one.frame.origin),
        turn_deg: one.frame.turn.as_degrees(),
        run: of_run(one, fitted, pack, tape),
    }
}

fn of_run<'a>(one: &'a RunChain, fitted: &'a Fitted, pack: &Pack, tape: Tape) -> RunShape<'a> {
    let setout = &one.setout;
    let base = setout.base.iter();
    let rails = std::iter::once(&setout.rail)
        .chain(&setout.bottom_rail)
        .chain(base.flat_map(|base| base.cap.iter().chain([&base.shoe])));
    let (bedded, received) = (fitted.bedded.as_ref(), fitted.received.as_ref());
    RunShape {
        newels: setout.newels.iter().map(|n| newel(n, tape)).collect(),
        given: setout.given.iter().map(|n| newel(n, tape)).collect(),
        balusters: setout.balusters.iter().map(|b| baluster(b, tape)).collect(),
        rails: rails.map(|r| rail(r, tape)).collect(),
        half_newels: setout
            .half_newels
            .iter()
            .map(|half| rails::half_newel(half, tape))
            .collect(),
        wall_rail: setout
            .wall_rail
            .as_ref()
            .map(|rail| rails::wall_rail(rail, tape)),
        gaps: setout.gaps.iter().map(|g| gap(g, tape)).collect(),
        spacing: infill::spacing(&setout.spacing, tape),
        marks: setout.marks.iter().map(|m| infill::mark(m, tape)).collect(),
        base: setout.base.as_ref().map(infill::base),
        fillets: setout
            .fillets
            .iter()
            .map(|f| infill::fillet(f, tape))
            .collect(),
        panels: infill::panels(setout.panels.as_ref(), tape),
        trade: setout
            .trade
            .iter()
            .map(|t| infill::trade(t, tape))
            .collect(),
        line: line(&setout.line),
        window: window(&setout.rail.window, tape),
        turns: setout.turns.iter().map(|t| turn(t, tape)).collect(),
        winders: one.turns.iter().map(|t| winders(t, pack)).collect(),
        boards: boards(&one.boards(), tape),
        bedding: bedded.map(|one| bedding::shape(one, tape)),
        received: received.map(|one| received::shape(one, tape)),
    }
}

fn as_built(one: &BuiltDifference, tape: Tape) -> BuiltShape<'_> {
    let off = one.difference();
    BuiltShape {
        field: &one.field,
        part: &one.part,
        place: &one.place,
        of: match one.of {
            Measured::Forward => "forward",
            Measured::Outward => "sideways",
            Measured::Height => "height",
        },
        plan_mm: one.plan.map(Length::as_mm),
        plan: one.plan.map(|length| tape.print(length)),
        built_mm: one.built.as_mm(),
        built: tape.print(one.built),
        off_mm: off.map(Length::as_mm),
        off: off.map(|length| tape.print(length)),
        far: one.is_far(),
    }
}

fn newel(newel: &NewelSet, tape: Tape) -> NewelShape<'_> {
    NewelShape {
        id: &newel.name,
        foot_mm: xyz(&newel.foot),
        axis: [newel.axis.x, newel.axis.y, newel.axis.z],
        along_mm: newel.along.as_mm(),
        across_mm: newel.across.as_mm(),
        round: newel.round,
        twist_deg: newel.twist.as_degrees(),
        height_mm: newel.height.as_mm(),
        footprint_mm: newel.footprint.iter().map(|p| [p.x, p.y]).collect(),
        face_from_kick_mm: newel.face_from_kick.map(Length::as_mm),
        face_from_kick: newel.face_from_kick.map(|length| tape.print(length)),
        notches: newel.notches.iter().map(|n| notch(n, tape)).collect(),
        behind: newel
            .behind
            .iter()
            .map(|behind| BehindShape {
                part: &behind.part,
                depth_mm: behind.depth.as_mm(),
                depth: tape.print(behind.depth),
                remains_mm: behind.remains.as_mm(),
                remains: tape.print(behind.remains),
                carries: behind.carries,
            })
            .collect(),
        more: rails::newel(newel, tape),
    }
}

fn notch(notch: &Notch, tape: Tape) -> NotchShape {
    NotchShape {
        step: notch.step,
        corners_mm: notch.corners.iter().map(|p| [p.x, p.y]).collect(),
        sides_mm: notch.sides.iter().map(|side| side.as_mm()).collect(),
        sides: notch.sides.iter().map(|side| tape.print(*side)).collect(),
        angles_deg: notch.angles.iter().map(|a| a.as_degrees()).collect(),
        from_nosing_mm: notch.from_nosing.as_mm(),
        from_nosing: tape.print(notch.from_nosing),
        from_open_end_mm: notch.from_open_end.as_mm(),
        from_open_end: tape.print(notch.from_open_end),
        behind_kick_face_mm: notch.behind_kick_face.as_mm(),
        behind_kick_face: tape.print(notch.behind_kick_face),
    }
}

fn baluster(baluster: &BalusterSet, tape: Tape) -> BalusterShape<'_> {
    BalusterShape {
        id: &baluster.name,
        step: baluster.step,
        place: baluster.place,
        of: infill::material(baluster.of),
        turned_mm: baluster
            .turned
            .iter()
            .map(|one| [one.up.as_mm(), one.diameter.as_mm()])
            .collect(),
        base_mm: xyz(&baluster.foot),
        top_mm: xyz(&baluster.top),
        lean_mm: baluster.lean.as_mm(),
        lean: tape.print(baluster.lean),
        length_mm: baluster.long_point.as_mm(),
        length: tape.print(baluster.long_point),
        short_mm: baluster.short_point.as_mm(),
        short: tape.print(baluster.short_point),
        top_angle_deg: baluster.top_angle.as_degrees(),
        foot_angle_deg: baluster.foot_angle.as_degrees(),
        peg_mm: [baluster.peg.0.as_mm(), baluster.peg.1.as_mm()],
        seat_mm: baluster.seat.as_mm(),
        edge_distance_mm: baluster.edge_distance.map(Length::as_mm),
    }
}

fn rail(rail: &RailSet, tape: Tape) -> RailShape<'_> {
    RailShape {
        id: &rail.name,
        lower_mm: xyz(&rail.lower),
        upper_mm: xyz(&rail.upper),
        pitch_deg: rail.pitch.angle().as_degrees(),
        width_mm: rail.width.as_mm(),
        depth_mm: rail.depth.as_mm(),
        length_mm: rail.long_points.as_mm(),
        length: tape.print(rail.long_points),
        short_mm: rail.short_points.as_mm(),
        short: tape.print(rail.short_points),
        lower_cut: cut(&rail.lower_cut),
        upper_cut: cut(&rail.upper_cut),
        fittings: rail
            .fittings
            .iter()
            .map(|f| rails::fitting(f, tape))
            .collect(),
        over: rail.over.iter().map(|o| rails::over(o, tape)).collect(),
    }
}

pub(super) fn cut(cut: &EndCut) -> CutShape {
    CutShape {
        mitre_deg: cut.mitre.as_degrees(),
        bevel_deg: cut.bevel.as_degrees(),
        at_mm: xyz(&cut.point),
        normal: [cut.normal.x, cut.normal.y, cut.normal.z],
    }
}

fn gap(gap: &Gap, tape: Tape) -> GapShape<'_> {
    GapShape {
        below: &gap.below,
        above: &gap.above,
        clear_mm: gap.clear.as_mm(),
        clear: tape.print(gap.clear),
    }
}

fn line(line: &BalusterLine) -> LineShape {
    LineShape {
        at_foot_mm: line.at_foot.as_mm(),
        slope: line.slope,
        worst_mm: line.worst.as_mm(),
    }
}

fn height((height, step): (Length, u32), tape: Tape) -> HeightShape {
    HeightShape {
        step,
        height_mm: height.as_mm(),
        height: tape.print(height),
    }
}

pub(super) fn window(window: &WindowReport, tape: Tape) -> WindowShape {
    WindowShape {
        lowest: height(window.lowest, tape),
        highest: height(window.highest, tape),
        asked_low_mm: window.asked.0.map(Length::as_mm),
        asked_high_mm: window.asked.1.map(Length::as_mm),
        killed_by: window.killed_by.as_ref().map(|(steps, short)| KilledShape {
            steps: steps.clone(),
            short_mm: short.as_mm(),
            short: tape.print(*short),
        }),
    }
}
