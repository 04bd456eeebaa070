//! The parts of `setout --json` about what fills the way under the rail.

use serde::Serialize;

use super::xyz;
use crate::job::{Body, Infill, Material};
use crate::measure::{Length, Tape};
use crate::setout::{BaseSet, Fillet, Mark, PanelRun, SpacingReport, TradePoint};

#[derive(Serialize)]
pub(super) struct SpacingShape {
    even_mm: Option<f64>,
    least: Option<u32>,
    variation_mm: f64,
    variation: String,
    treads: Vec<TreadShape>,
    kick_offsets: Vec<OffsetShape>,
}

#[derive(Serialize)]
struct TreadShape {
    step: u32,
    gap_mm: f64,
    gap: String,
    least: Option<u32>,
}

#[derive(Serialize)]
struct OffsetShape {
    step: u32,
    off_mm: f64,
    off: String,
}

pub(super) fn spacing(report: &SpacingReport, tape: Tape) -> SpacingShape {
    SpacingShape {
        even_mm: report.even.map(Length::as_mm),
        least: report.least,
        variation_mm: report.variation.as_mm(),
        variation: tape.print(report.variation),
        treads: report
            .treads
            .iter()
            .map(|tread| TreadShape {
                step: tread.step,
                gap_mm: tread.gap.as_mm(),
                gap: tape.print(tread.gap),
                least: tread.least,
            })
            .collect(),
        kick_offsets: report
            .kick_offsets
            .iter()
            .map(|one| OffsetShape {
                step: one.step,
                off_mm: one.off.as_mm(),
                off: tape.print(one.off),
            })
            .collect(),
    }
}

#[derive(Serialize)]
pub(super) struct MarkShape<'a> {
    id: &'a str,
    level_mm: f64,
    level: String,
    rake_mm: f64,
    rake: String,
}

pub(super) fn mark(mark: &Mark, tape: Tape) -> MarkShape<'_> {
    MarkShape {
        id: &mark.part,
        level_mm: mark.level.as_mm(),
        level: tape.print(mark.level),
        rake_mm: mark.rake.as_mm(),
        rake: tape.print(mark.rake),
    }
}

#[derive(Serialize)]
pub(super) struct BaseShape {
    is: &'static str,
    plough_mm: [f64; 2],
}

pub(super) fn base(base: &BaseSet) -> BaseShape {
    let (width, depth) = base.plough;
    BaseShape {
        is: match base.is {
            Body::HalfWall => "half-wall",
            Body::ClosedString => "closed-string",
        },
        plough_mm: [width.as_mm(), depth.as_mm()],
    }
}

#[derive(Serialize)]
pub(super) struct FilletShape<'a> {
    piece: &'a str,
    below: &'a str,
    above: &'a str,
    width_mm: f64,
    thickness_mm: f64,
    edge_mm: f64,
    edge: String,
    length_mm: f64,
    length: String,
    short_mm: f64,
    short: String,
    angle_deg: f64,
}

pub(super) fn fillet(fillet: &Fillet, tape: Tape) -> FilletShape<'_> {
    FilletShape {
        piece: &fillet.piece,
        below: &fillet.below,
        above: &fillet.above,
        width_mm: fillet.width.as_mm(),
        thickness_mm: fillet.thickness.as_mm(),
        edge_mm: fillet.edge.as_mm(),
        edge: tape.print(fillet.edge),
        length_mm: fillet.long_points.as_mm(),
        length: tape.print(fillet.long_points),
        short_mm: fillet.short_points.as_mm(),
        short: tape.print(fillet.short_points),
        angle_deg: fillet.angle.angle().as_degrees(),
    }
}

#[derive(Serialize)]
pub(super) struct PanelShape<'a> {
    id: &'a str,
    of: &'static str,
    corners_mm: [[f64; 3]; 4],
    thickness_mm: f64,
    width_mm: f64,
    width: String,
    edge_mm: f64,
    edge: String,
    upper_edge_mm: f64,
    upper_edge: String,
    lower_end_mm: f64,
    lower_end: String,
    upper_end_mm: f64,
    upper_end: String,
    pitch_deg: f64,
}

pub(super) fn panels(run: Option<&PanelRun>, tape: Tape) -> Vec<PanelShape<'_>> {
    let Some(run) = run else {
        return Vec::new();
    };
    run.panels
        .iter()
        .map(|panel| PanelShape {
            id: &panel.name,
            of: match run.of {
                Infill::Glass => "glass",
                Infill::Solid => "solid",
            },
            corners_mm: panel.corners.each_ref().map(xyz),
            thickness_mm: panel.thickness.as_mm(),
            width_mm: panel.width.as_mm(),
            width: tape.print(panel.width),
            edge_mm: panel.lower_edge.as_mm(),
            edge: tape.print(panel.lower_edge),
            upper_edge_mm: panel.upper_edge.as_mm(),
            upper_edge: tape.print(panel.upper_edge),
            lower_end_mm: panel.lower_end.as_mm(),
            lower_end: tape.print(panel.lower_end),
            upper_end_mm: panel.upper_end.as_mm(),
            upper_end: tape.print(panel.upper_end),
            pitch_deg: panel.pitch.angle().as_degrees(),
        })
        .collect()
}

#[derive(Serialize)]
pub(super) struct TradeShape {
    share: f64,
    reveal_range_mm: f64,
    reveal_range: String,
    worst_lean_mm: f64,
    worst_lean: String,
}

pub(super) fn trade(point: &TradePoint, tape: Tape) -> TradeShape {
    TradeShape {
        share: point.share,
        reveal_range_mm: point.reveal_range.as_mm(),
        reveal_range: tape.print(point.reveal_range),
        worst_lean_mm: point.worst_lean.as_mm(),
        worst_lean: tape.print(point.worst_lean),
    }
}

pub(super) const fn material(of: Material) -> &'static str {
    match of {
        Material::Wood => "wood",
        Material::Metal => "metal",
    }
}
