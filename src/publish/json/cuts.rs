//! The shape of `cuts --json`: the cut list and the fastening schedule; the marks are in
//! `cuts_marks`.

use serde::Serialize;

use super::cuts_detail::{DetailShape, detail};
use super::cuts_marks::{RunMarksShape, run_marks};
use super::{FORMAT, program, text_of};
use crate::chain::Chain;
use crate::job::{FixingFace, Hand, Job};
use crate::measure::{Length, Tape};
use crate::publish::shop::{fault_told, joint_word, piece_word, work_word};
use crate::shop::cuts::{
    BoreFor, BoreWork, CutFor, CutList, CutPiece, Detail, Edge, EndOf, EndWork, FaceUp, NotchWork,
    SawCut, Square, Standing,
};
use crate::shop::fastening::{
    BoreLeft, DrivenKind, DrivenSet, HeldBy, JointFault, JointKind, JointLine, Schedule,
};
use crate::shop::marks::MarkSet;
use crate::shop::there::There;

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    there: ThereShape<'a>,
    pieces: Vec<PieceShape<'a>>,
    untold: &'a [String],
    joints: Vec<JointShape<'a>>,
    marks: Vec<RunMarksShape<'a>>,
}

/// What is there already.
#[derive(Serialize)]
pub(super) struct ThereShape<'a> {
    fitted: &'a [String],
    received: Vec<ReceivedShape<'a>>,
    goes_back: &'a [String],
}

#[derive(Serialize)]
struct ReceivedShape<'a> {
    part: &'a str,
    mark: &'a str,
}

pub(super) fn there_shape(there: &There) -> ThereShape<'_> {
    let received = there.received.iter();
    ThereShape {
        fitted: &there.fitted,
        received: received
            .map(|(part, mark)| ReceivedShape { part, mark })
            .collect(),
        goes_back: &there.goes_back,
    }
}

/// A length twice.
#[derive(Serialize)]
pub(super) struct Twice {
    mm: f64,
    tape: String,
}

pub(super) fn twice(length: Length, tape: Tape) -> Twice {
    Twice {
        mm: length.as_mm(),
        tape: tape.print(length),
    }
}

#[derive(Serialize)]
struct PieceShape<'a> {
    names: &'a [String],
    own_names: &'a [String],
    quantity: u32,
    run: &'a str,
    kind: &'static str,
    work: Vec<&'static str>,
    up: &'static str,
    hand: Option<&'static str>,
    width_mm: f64,
    width: String,
    thickness_mm: f64,
    thickness: String,
    rough_mm: f64,
    rough: String,
    finished_mm: f64,
    finished: String,
    long_points_mm: f64,
    long_points: String,
    short_points_mm: f64,
    short_points: String,
    top_edge_mm: Option<f64>,
    top_edge: Option<String>,
    underside_mm: Option<f64>,
    underside: Option<String>,
    delivered: &'a [String],
    ends: Vec<EndShape<'a>>,
    rips: Vec<RipShape>,
    notches: Vec<NotchShape<'a>>,
    bores: Vec<BoreShape<'a>>,
    sides: Vec<SideShape<'a>>,
    area_mm2: Option<f64>,
    detail: Vec<DetailShape>,
}

/// A side of a winder's outline.
#[derive(Serialize)]
struct SideShape<'a> {
    edge: &'static str,
    meets: Option<&'a str>,
    stands_mm: Vec<f64>,
    length_mm: f64,
    length: String,
    corner_deg: f64,
    along_mm: f64,
    along: String,
    back_mm: f64,
    back: String,
    mitre_deg: f64,
    mitre_rise: String,
    mitre_run: String,
    bevel_deg: f64,
    bevel_long: Option<&'static str>,
    radius_mm: Option<f64>,
    chord_mm: Option<f64>,
}

#[derive(Serialize)]
struct EndShape<'a> {
    end: &'static str,
    meets: Option<&'a str>,
    scribed: bool,
    cuts: Vec<CutShape>,
}

#[derive(Serialize)]
struct CutShape {
    what: &'static str,
    mitre_deg: f64,
    mitre_rise_mm: f64,
    mitre_rise: String,
    mitre_run_mm: f64,
    mitre_run: String,
    mitre_long: Option<&'static str>,
    bevel_deg: f64,
    bevel_rise_mm: f64,
    bevel_rise: String,
    bevel_run_mm: f64,
    bevel_run: String,
    bevel_long: Option<&'static str>,
    line_mm: Option<f64>,
    line: Option<String>,
}

#[derive(Serialize)]
struct RipShape {
    edge: &'static str,
    bevel_deg: f64,
}

#[derive(Serialize)]
struct NotchShape<'a> {
    newel: &'a str,
    reaches: Vec<ReachShape>,
    deep_mm: f64,
    deep: String,
    remains_mm: f64,
    remains: String,
    whole: bool,
    sides_mm: Vec<f64>,
    sides: Vec<String>,
    angles_deg: Vec<f64>,
}

#[derive(Serialize)]
struct ReachShape {
    edge: &'static str,
    mm: f64,
    tape: String,
}

#[derive(Serialize)]
struct BoreShape<'a> {
    what: &'static str,
    fixing: Option<&'a str>,
    railing: Option<&'a str>,
    number: u32,
    diameter_mm: f64,
    deep_mm: f64,
    deep: String,
    plug_mm: Option<f64>,
    plug_deep_mm: Option<f64>,
    face: Option<&'static str>,
    up_mm: Option<f64>,
    up: Option<String>,
    off_mm: Option<f64>,
    off: Option<String>,
}

#[derive(Serialize)]
struct JointShape<'a> {
    kind: &'static str,
    run: &'a str,
    joints: Vec<[Option<&'a str>; 2]>,
    held_by: &'static str,
    anchors: Vec<AnchorShape<'a>>,
    driven: Option<DrivenShape>,
    bores: Vec<BoreLeftShape<'a>>,
    faults: Vec<FaultShape>,
}

#[derive(Serialize)]
struct AnchorShape<'a> {
    detail: &'a str,
    source: &'a str,
    carries: &'a str,
    for_this: bool,
}

#[derive(Serialize)]
struct DrivenShape {
    what: &'static str,
    usual: bool,
    each: u32,
    total: u32,
    every_mm: Option<f64>,
    diameter_mm: f64,
    length_mm: f64,
    length: String,
    clear_mm: Option<f64>,
    pilot_mm: Option<f64>,
    plug_mm: Option<f64>,
    plug_deep_mm: Option<f64>,
    through_mm: f64,
    through: String,
    bite_mm: f64,
    bite: String,
    room_mm: Option<f64>,
    room: Option<String>,
}

#[derive(Serialize)]
struct BoreLeftShape<'a> {
    part: &'a str,
    fixing: Option<&'a str>,
    number: u32,
    diameter_mm: f64,
    deep_mm: f64,
    deep: String,
    left_mm: f64,
    left: String,
}

#[derive(Serialize)]
struct FaultShape {
    what: &'static str,
    says: String,
}

/// The answer of `cuts`.
///
/// # Panics
/// Never: plain shapes always write.
#[must_use]
pub fn cuts(
    job: &Job,
    chain: &Chain,
    list: &CutList,
    schedule: &Schedule,
    marks: &MarkSet,
) -> String {
    let tape = job.tape;
    let run = |number: usize| {
        let run = chain.runs.get(number);
        run.map_or("", |run| run.run.name.as_str())
    };
    let pieces = list.pieces.iter();
    let joints = schedule.lines.iter();
    let runs = marks.runs.iter();
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        there: there_shape(&list.there),
        pieces: pieces.map(|one| piece(one, run(one.run), tape)).collect(),
        untold: &list.untold,
        joints: joints.map(|one| joint(one, run(one.run), tape)).collect(),
        marks: runs.map(|one| run_marks(one, chain, tape)).collect(),
    })
}

fn piece<'a>(one: &'a CutPiece, run: &'a str, tape: Tape) -> PieceShape<'a> {
    let [width, thickness] = one.section;
    let [top, under] = one.edges.map_or([None; 2], |edges| edges.map(Some));
    let print = |length: Length| tape.print(length);
    PieceShape {
        names: &one.members,
        own_names: &one.own,
        quantity: one.quantity,
        run,
        kind: piece_word(one.kind).0,
        work: one.work.iter().map(|work| work_word(*work)).collect(),
        up: up(one.up),
        hand: one.hand.map(hand),
        width_mm: width.as_mm(),
        width: tape.print(width),
        thickness_mm: thickness.as_mm(),
        thickness: tape.print(thickness),
        rough_mm: one.rough.as_mm(),
        rough: tape.print(one.rough),
        finished_mm: one.finished.as_mm(),
        finished: tape.print(one.finished),
        long_points_mm: one.long_points.as_mm(),
        long_points: tape.print(one.long_points),
        short_points_mm: one.short_points.as_mm(),
        short_points: tape.print(one.short_points),
        top_edge_mm: top.map(Length::as_mm),
        top_edge: top.map(print),
        underside_mm: under.map(Length::as_mm),
        underside: under.map(print),
        delivered: match &one.there {
            Standing::Received(marks) => marks,
            Standing::Wanted | Standing::Fitted => &[],
        },
        ends: one.ends.iter().map(|end| end_shape(end, tape)).collect(),
        rips: one
            .rips
            .iter()
            .map(|(edge, angle)| RipShape {
                edge: edge_word(*edge),
                bevel_deg: angle.as_degrees(),
            })
            .collect(),
        notches: one
            .notches
            .iter()
            .map(|notch| notch_shape(notch, tape))
            .collect(),
        bores: one
            .bores
            .iter()
            .map(|bore| bore_shape(bore, tape))
            .collect(),
        sides: sides(&one.detail, tape),
        area_mm2: match one.detail {
            Detail::Winder { area_mm2, .. } => Some(area_mm2),
            _ => None,
        },
        detail: detail(&one.detail, tape),
    }
}

fn sides(detail: &Detail, tape: Tape) -> Vec<SideShape<'_>> {
    let Detail::Winder { edges, .. } = detail else {
        return Vec::new();
    };
    let sides = edges.iter().map(|side| {
        let [along, back] = side.at;
        let mitre = Square::of(side.cut.mitre, tape);
        SideShape {
            edge: edge_word(side.edge),
            meets: side.meets.as_deref(),
            stands_mm: side
                .stands
                .iter()
                .flatten()
                .map(|one| one.as_mm())
                .collect(),
            length_mm: side.length.as_mm(),
            length: tape.print(side.length),
            corner_deg: side.corner.as_degrees(),
            along_mm: along.as_mm(),
            along: tape.print(along),
            back_mm: back.as_mm(),
            back: tape.print(back),
            mitre_deg: side.cut.mitre.as_degrees(),
            mitre_rise: tape.print(mitre.rise),
            mitre_run: tape.print(mitre.run),
            bevel_deg: side.cut.bevel.as_degrees(),
            bevel_long: side.cut.bevel_long.map(edge_word),
            radius_mm: side.round.map(|round| round.0.as_mm()),
            chord_mm: side.round.map(|round| round.1.as_mm()),
        }
    });
    sides.collect()
}

fn end_shape(end: &EndWork, tape: Tape) -> EndShape<'_> {
    EndShape {
        end: end_word(end.end),
        meets: end.meets.as_deref(),
        scribed: end.scribed,
        cuts: end.cuts.iter().map(|cut| cut_shape(cut, tape)).collect(),
    }
}

fn cut_shape(cut: &SawCut, tape: Tape) -> CutShape {
    let mitre = Square::of(cut.mitre, tape);
    let bevel = Square::of(cut.bevel, tape);
    CutShape {
        what: match cut.what {
            CutFor::End => "end",
            CutFor::Plumb => "plumb",
            CutFor::Level => "level",
            CutFor::Seam => "seam",
            CutFor::Return => "return",
        },
        mitre_deg: cut.mitre.as_degrees(),
        mitre_rise_mm: mitre.rise.as_mm(),
        mitre_rise: tape.print(mitre.rise),
        mitre_run_mm: mitre.run.as_mm(),
        mitre_run: tape.print(mitre.run),
        mitre_long: cut.mitre_long.map(edge_word),
        bevel_deg: cut.bevel.as_degrees(),
        bevel_rise_mm: bevel.rise.as_mm(),
        bevel_rise: tape.print(bevel.rise),
        bevel_run_mm: bevel.run.as_mm(),
        bevel_run: tape.print(bevel.run),
        bevel_long: cut.bevel_long.map(edge_word),
        line_mm: cut.line.map(Length::as_mm),
        line: cut.line.map(|line| tape.print(line)),
    }
}

fn notch_shape(notch: &NotchWork, tape: Tape) -> NotchShape<'_> {
    NotchShape {
        newel: &notch.newel,
        reaches: notch
            .reaches
            .iter()
            .map(|(edge, length)| ReachShape {
                edge: edge_word(*edge),
                mm: length.as_mm(),
                tape: tape.print(*length),
            })
            .collect(),
        deep_mm: notch.deep.as_mm(),
        deep: tape.print(notch.deep),
        remains_mm: notch.remains.as_mm(),
        remains: tape.print(notch.remains),
        whole: notch.whole,
        sides_mm: notch.sides.iter().map(|side| side.as_mm()).collect(),
        sides: notch.sides.iter().map(|side| tape.print(*side)).collect(),
        angles_deg: notch
            .angles
            .iter()
            .map(|angle| angle.as_degrees())
            .collect(),
    }
}

fn bore_shape(bore: &BoreWork, tape: Tape) -> BoreShape<'_> {
    BoreShape {
        what: match bore.what {
            BoreFor::Peg => "peg",
            BoreFor::Seat => "seat",
            BoreFor::Fixing => "fixing",
        },
        fixing: (bore.what == BoreFor::Fixing).then_some(bore.name.as_str()),
        railing: (bore.what == BoreFor::Peg).then_some(bore.railing.as_str()),
        number: bore.number,
        diameter_mm: bore.diameter.as_mm(),
        deep_mm: bore.deep.as_mm(),
        deep: tape.print(bore.deep),
        plug_mm: bore.plug.map(|plug| plug.0.as_mm()),
        plug_deep_mm: bore.plug.map(|plug| plug.1.as_mm()),
        face: bore.place.map(|(face, ..)| face_word(face)),
        up_mm: bore.place.map(|(_, up, _)| up.as_mm()),
        up: bore.place.map(|(_, up, _)| tape.print(up)),
        off_mm: bore.place.map(|(.., off)| off.as_mm()),
        off: bore.place.map(|(.., off)| tape.print(off)),
    }
}

fn joint<'a>(line: &'a JointLine, run: &'a str, tape: Tape) -> JointShape<'a> {
    let anchors: &[_] = match &line.held_by {
        HeldBy::Anchors(anchors) => anchors,
        _ => &[],
    };
    JointShape {
        kind: joint_word(line.kind),
        run,
        joints: line
            .joints
            .iter()
            .map(|(held, by)| [Some(held.as_str()), by.as_deref()])
            .collect(),
        held_by: match (&line.held_by, line.kind) {
            (HeldBy::Anchors(_), _) => "anchor",
            (HeldBy::NotShown, _) => "anchor not shown",
            (HeldBy::Driven(_), JointKind::Usual(_)) => "driven",
            _ => "bored",
        },
        anchors: anchors
            .iter()
            .map(|one| AnchorShape {
                detail: &one.detail,
                source: &one.source,
                carries: &one.as_typed,
                for_this: one.for_this,
            })
            .collect(),
        driven: match &line.held_by {
            HeldBy::Driven(set) => Some(driven(set, tape)),
            _ => None,
        },
        bores: line.bores.iter().map(|bore| left(bore, tape)).collect(),
        faults: line
            .faults
            .iter()
            .map(|fault| FaultShape {
                what: fault_word(fault),
                says: fault_told(fault, line, tape),
            })
            .collect(),
    }
}

fn driven(set: &DrivenSet, tape: Tape) -> DrivenShape {
    DrivenShape {
        what: match set.what {
            DrivenKind::Screw => "screw",
            DrivenKind::Brad => "brad",
            DrivenKind::RailBolt => "rail-bolt",
        },
        usual: set.usual,
        each: set.each,
        total: set.total,
        every_mm: set.every.map(Length::as_mm),
        diameter_mm: set.diameter.as_mm(),
        length_mm: set.length.as_mm(),
        length: tape.print(set.length),
        clear_mm: set.clear.map(Length::as_mm),
        pilot_mm: set.pilot.map(Length::as_mm),
        plug_mm: set.plug.map(|plug| plug.0.as_mm()),
        plug_deep_mm: set.plug.map(|plug| plug.1.as_mm()),
        through_mm: set.through.as_mm(),
        through: tape.print(set.through),
        bite_mm: set.bite.as_mm(),
        bite: tape.print(set.bite),
        room_mm: set.room.map(Length::as_mm),
        room: set.room.map(|room| tape.print(room)),
    }
}

fn left(bore: &BoreLeft, tape: Tape) -> BoreLeftShape<'_> {
    BoreLeftShape {
        part: &bore.part,
        fixing: (!bore.name.is_empty()).then_some(bore.name.as_str()),
        number: bore.number,
        diameter_mm: bore.diameter.as_mm(),
        deep_mm: bore.deep.as_mm(),
        deep: tape.print(bore.deep),
        left_mm: bore.left.as_mm(),
        left: tape.print(bore.left),
    }
}

const fn fault_word(fault: &JointFault) -> &'static str {
    match fault {
        JointFault::NothingBehind { .. } => "nothing-behind",
        JointFault::Unseen { .. } => "behind-not-told",
        JointFault::TooLong { .. } => "too-long",
        JointFault::TooShort { .. } => "too-short",
        JointFault::PlugTooWide { .. } => "plug-too-wide",
        JointFault::PlugTooDeep { .. } => "plug-too-deep",
        JointFault::Through { .. } => "through",
    }
}

const fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

const fn up(face: FaceUp) -> &'static str {
    match face {
        FaceUp::Show => "show",
        FaceUp::OpenSide => "open-side",
        FaceUp::Downhill => "downhill",
        FaceUp::Top => "top",
        FaceUp::Any => "any",
    }
}

const fn end_word(end: EndOf) -> &'static str {
    match end {
        EndOf::Lower => "lower",
        EndOf::Upper => "upper",
        EndOf::Foot => "foot",
        EndOf::Head => "head",
        EndOf::Left => "left",
        EndOf::Right => "right",
        EndOf::Corner => "corner",
        EndOf::Wall => "wall",
    }
}

const fn edge_word(edge: Edge) -> &'static str {
    match edge {
        Edge::Top => "top",
        Edge::Under => "underside",
        Edge::Left => "left",
        Edge::Right => "right",
        Edge::Uphill => "uphill",
        Edge::Downhill => "downhill",
        Edge::Nosing => "nosing",
        Edge::Back => "back",
        Edge::OpenEnd => "open-end",
        Edge::Show => "show",
        Edge::Hidden => "hidden",
        Edge::Outer => "outer",
        Edge::KickFace => "kick-face",
        Edge::Narrow => "narrow-end",
        Edge::Wide => "wide-end",
    }
}

const fn face_word(face: FixingFace) -> &'static str {
    match face {
        FixingFace::Downhill => "downhill",
        FixingFace::Uphill => "uphill",
        FixingFace::Open => "open",
        FixingFace::Wall => "wall",
        FixingFace::Top => "top",
        FixingFace::Under => "under",
    }
}
