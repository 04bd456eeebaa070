//! The shapes in `setout --json` of newels' feet and heads, rail fittings, half newels and the
//! handrail on the wall side.

use nalgebra::Point2;
use serde::Serialize;

use super::setout::{CutShape, WindowShape, cut, window};
use super::xyz;
use crate::measure::{Length, Tape};
use crate::setout::{
    BlockNeeded, Cutout, FastenerMet, Fitting, FittingKind, HalfNewelSet, NewelSet, NewelSide,
    OnSurface, OverNewel, ReturnSet, WallRailSet,
};

fn plan(ring: &[Point2<f64>]) -> Vec<[f64; 2]> {
    ring.iter().map(|point| [point.x, point.y]).collect()
}

#[derive(Serialize)]
pub(super) struct CutoutShape<'a> {
    part: &'a str,
    step: u32,
    plan_mm: Vec<[f64; 2]>,
    face_mm: Vec<[f64; 2]>,
    sides_mm: Vec<f64>,
    sides: Vec<String>,
    angles_deg: Vec<f64>,
    from_end_mm: f64,
    from_end: String,
    from_top_mm: f64,
    from_top: String,
    depth_mm: f64,
    depth: String,
    remains_mm: f64,
    remains: String,
}

#[derive(Serialize)]
pub(super) struct FastenerShape<'a> {
    id: &'a str,
    clear_mm: f64,
    clear: String,
    at_mm: [f64; 3],
}

#[derive(Serialize)]
pub(super) struct BearsShape<'a> {
    side: &'static str,
    part: &'a str,
}

#[derive(Serialize)]
pub(super) struct NeedShape {
    side: &'static str,
    along_mm: f64,
    along: String,
    across_mm: f64,
    across: String,
    height_mm: f64,
    height: String,
    at_mm: [f64; 3],
}

#[derive(Serialize)]
pub(super) struct OnSurfaceShape {
    step: u32,
    past_edge_mm: f64,
    past_edge: String,
    inside_mm: Option<[f64; 2]>,
    block_mm: Option<[f64; 3]>,
}

/// What a newel says beside its place and notches.
#[derive(Serialize)]
pub(super) struct NewelMore<'a> {
    cap_mm: [f64; 3],
    block_above_mm: Option<f64>,
    block_above: Option<String>,
    block_below_mm: Option<f64>,
    block_below: Option<String>,
    cutouts: Vec<CutoutShape<'a>>,
    fasteners: Vec<FastenerShape<'a>>,
    bears_on: Vec<BearsShape<'a>>,
    needs: Vec<NeedShape>,
    on_surface: Option<OnSurfaceShape>,
}

pub(super) fn newel(newel: &NewelSet, tape: Tape) -> NewelMore<'_> {
    let cap = &newel.cap;
    let above = newel.reveals.map(|reveals| reveals.above);
    let below = newel.reveals.and_then(|reveals| reveals.below);
    NewelMore {
        cap_mm: [cap.out, cap.slab, cap.point].map(Length::as_mm),
        block_above_mm: above.map(Length::as_mm),
        block_above: above.map(|length| tape.print(length)),
        block_below_mm: below.map(Length::as_mm),
        block_below: below.map(|length| tape.print(length)),
        cutouts: newel.cutouts.iter().map(|one| cutout(one, tape)).collect(),
        fasteners: newel
            .fasteners
            .iter()
            .map(|one| fastener(one, tape))
            .collect(),
        bears_on: newel
            .bears_on
            .iter()
            .map(|(side, part)| BearsShape {
                side: side_word(*side),
                part,
            })
            .collect(),
        needs: newel.needs.iter().map(|one| need(one, tape)).collect(),
        on_surface: newel.on_surface.as_ref().map(|on| on_surface(on, tape)),
    }
}

fn cutout(cutout: &Cutout, tape: Tape) -> CutoutShape<'_> {
    CutoutShape {
        part: &cutout.part,
        step: cutout.step,
        plan_mm: plan(&cutout.plan),
        face_mm: plan(&cutout.face),
        sides_mm: cutout.sides.iter().map(|side| side.as_mm()).collect(),
        sides: cutout.sides.iter().map(|side| tape.print(*side)).collect(),
        angles_deg: cutout.angles.iter().map(|a| a.as_degrees()).collect(),
        from_end_mm: cutout.from_end.as_mm(),
        from_end: tape.print(cutout.from_end),
        from_top_mm: cutout.from_top.as_mm(),
        from_top: tape.print(cutout.from_top),
        depth_mm: cutout.depth.as_mm(),
        depth: tape.print(cutout.depth),
        remains_mm: cutout.remains.as_mm(),
        remains: tape.print(cutout.remains),
    }
}

fn fastener(one: &FastenerMet, tape: Tape) -> FastenerShape<'_> {
    FastenerShape {
        id: &one.name,
        clear_mm: one.clear.as_mm(),
        clear: tape.print(one.clear),
        at_mm: xyz(&one.at),
    }
}

fn need(block: &BlockNeeded, tape: Tape) -> NeedShape {
    NeedShape {
        side: side_word(block.side),
        along_mm: block.along.as_mm(),
        along: tape.print(block.along),
        across_mm: block.across.as_mm(),
        across: tape.print(block.across),
        height_mm: block.height.as_mm(),
        height: tape.print(block.height),
        at_mm: xyz(&block.at),
    }
}

fn on_surface(on: &OnSurface, tape: Tape) -> OnSurfaceShape {
    OnSurfaceShape {
        step: on.step,
        past_edge_mm: on.past_edge.as_mm(),
        past_edge: tape.print(on.past_edge),
        inside_mm: on.inside.map(|inside| inside.map(Length::as_mm)),
        block_mm: on.block.map(|block| block.map(Length::as_mm)),
    }
}

fn side_word(side: NewelSide) -> &'static str {
    match side {
        NewelSide::Uphill => "uphill",
        NewelSide::Inward => "inward",
        NewelSide::Under => "under",
    }
}

#[derive(Serialize)]
pub(super) struct FittingShape {
    kind: &'static str,
    end: &'static str,
    start_mm: [f64; 3],
    end_mm: [f64; 3],
    centre_mm: Option<[f64; 3]>,
    radius_mm: Option<f64>,
    turn_deg: f64,
    length_mm: f64,
    length: String,
    tangent_mm: f64,
    tangent: String,
    mitre_deg: f64,
}

pub(super) fn fitting(fitting: &Fitting, tape: Tape) -> FittingShape {
    FittingShape {
        kind: match fitting.kind {
            FittingKind::Easing => "easing",
            FittingKind::Level => "level",
            FittingKind::Raked => "raked",
            FittingKind::Gooseneck => "gooseneck",
        },
        end: end_word(fitting.upper),
        start_mm: xyz(&fitting.start),
        end_mm: xyz(&fitting.end),
        centre_mm: fitting.centre.as_ref().map(xyz),
        radius_mm: fitting.radius.map(Length::as_mm),
        turn_deg: fitting.turn.as_degrees(),
        length_mm: fitting.length.as_mm(),
        length: tape.print(fitting.length),
        tangent_mm: fitting.tangent.as_mm(),
        tangent: tape.print(fitting.tangent),
        mitre_deg: fitting.mitre().as_degrees(),
    }
}

fn end_word(upper: bool) -> &'static str {
    if upper { "upper" } else { "lower" }
}

#[derive(Serialize)]
pub(super) struct OverShape<'a> {
    newel: &'a str,
    end: &'static str,
    over_nosing_mm: f64,
    over_nosing: String,
    over_ground_mm: f64,
    over_ground: String,
    rise_mm: f64,
    rise: String,
    takes_off_mm: f64,
    takes_off: String,
}

pub(super) fn over(over: &OverNewel, tape: Tape) -> OverShape<'_> {
    OverShape {
        newel: &over.newel,
        end: end_word(over.upper),
        over_nosing_mm: over.over_nosing.as_mm(),
        over_nosing: tape.print(over.over_nosing),
        over_ground_mm: over.over_ground.as_mm(),
        over_ground: tape.print(over.over_ground),
        rise_mm: over.rise.as_mm(),
        rise: tape.print(over.rise),
        takes_off_mm: over.takes_off.as_mm(),
        takes_off: tape.print(over.takes_off),
    }
}

#[derive(Serialize)]
pub(super) struct HalfNewelShape<'a> {
    id: &'a str,
    wall: &'a str,
    end: &'static str,
    face_mm: [f64; 3],
    normal: [f64; 3],
    thickness_mm: f64,
    across_mm: f64,
    height_mm: f64,
    scribe_mm: f64,
    scribe: String,
    keeps_at_foot_mm: f64,
    keeps_at_foot: String,
    keeps_at_head_mm: f64,
    keeps_at_head: String,
}

pub(super) fn half_newel(half: &HalfNewelSet, tape: Tape) -> HalfNewelShape<'_> {
    HalfNewelShape {
        id: &half.name,
        wall: &half.wall,
        end: end_word(half.upper),
        face_mm: xyz(&half.face),
        normal: [half.normal.x, half.normal.y, half.normal.z],
        thickness_mm: half.thickness.as_mm(),
        across_mm: half.across.as_mm(),
        height_mm: half.height.as_mm(),
        scribe_mm: half.scribe.1.as_mm(),
        scribe: tape.print(half.scribe.1),
        keeps_at_foot_mm: half.keeps.0.as_mm(),
        keeps_at_foot: tape.print(half.keeps.0),
        keeps_at_head_mm: half.keeps.1.as_mm(),
        keeps_at_head: tape.print(half.keeps.1),
    }
}

#[derive(Serialize)]
pub(super) struct WallRailShape<'a> {
    id: &'a str,
    wall: &'a str,
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
    window: WindowShape,
    least_clear_mm: f64,
    least_clear: String,
    least_clear_at_mm: f64,
    most_clear_mm: f64,
    most_clear: String,
    most_clear_at_mm: f64,
    brackets: Vec<BracketShape>,
    returns: Vec<ReturnShape>,
}

#[derive(Serialize)]
struct BracketShape {
    along_mm: f64,
    along: String,
    under_rail_mm: [f64; 3],
    on_wall_mm: [f64; 3],
    stand_off_mm: f64,
    stand_off: String,
}

#[derive(Serialize)]
struct ReturnShape {
    end: &'static str,
    corner_mm: [f64; 3],
    on_wall_mm: [f64; 3],
    mitre_deg: f64,
    roll_deg: f64,
    wall_cut: CutShape,
    length_mm: f64,
    length: String,
    short_mm: f64,
    short: String,
}

pub(super) fn wall_rail(rail: &WallRailSet, tape: Tape) -> WallRailShape<'_> {
    let brackets = rail.brackets.iter().map(|one| BracketShape {
        along_mm: one.along.as_mm(),
        along: tape.print(one.along),
        under_rail_mm: xyz(&one.under_rail),
        on_wall_mm: xyz(&one.on_wall),
        stand_off_mm: one.stand_off.as_mm(),
        stand_off: tape.print(one.stand_off),
    });
    let returns = [false, true].into_iter().zip(&rail.returns);
    WallRailShape {
        id: &rail.name,
        wall: &rail.wall,
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
        window: window(&rail.window, tape),
        least_clear_mm: rail.least_clear.0.as_mm(),
        least_clear: tape.print(rail.least_clear.0),
        least_clear_at_mm: rail.least_clear.1.as_mm(),
        most_clear_mm: rail.most_clear.0.as_mm(),
        most_clear: tape.print(rail.most_clear.0),
        most_clear_at_mm: rail.most_clear.1.as_mm(),
        brackets: brackets.collect(),
        returns: returns
            .filter_map(|(upper, one)| Some(returned(one.as_ref()?, upper, tape)))
            .collect(),
    }
}

fn returned(one: &ReturnSet, upper: bool, tape: Tape) -> ReturnShape {
    ReturnShape {
        end: end_word(upper),
        corner_mm: xyz(&one.corner),
        on_wall_mm: xyz(&one.on_wall),
        mitre_deg: one.mitre.as_degrees(),
        roll_deg: one.roll.as_degrees(),
        wall_cut: cut(&one.wall_cut),
        length_mm: one.long_point.as_mm(),
        length: tape.print(one.long_point),
        short_mm: one.short_point.as_mm(),
        short: tape.print(one.short_point),
    }
}
