//! Newels, rails and balusters at another moisture content. mm in the flight's frame.

use nalgebra::{Rotation2, Vector2, Vector3};

use crate::job::Material;
use crate::measure::Length;
use crate::site::Site;

use super::super::rail_window::{self, RakeLine};
use super::super::{
    BalusterSet, EndCut, HalfNewelSet, Limits, NewelSet, PanelRun, RailSet, WallRailSet,
    WindowReport,
};
use super::Strain;

/// A newel about its axis. How the rings lie in its square is not known, and a turn's newel stands in
/// two runs, each of which sees another of its faces: the greater movement counts both ways.
pub(super) fn newel(newel: &mut NewelSet, strain: Strain) {
    let strain = strain.all_round();
    let turn = Rotation2::new(newel.twist.as_radians());
    let centre = newel.foot.xy();
    for point in &mut newel.footprint {
        let own = turn.inverse() * (*point - centre);
        let grown = Vector2::new(own.x * (1.0 + strain.first), own.y * (1.0 + strain.second));
        *point = centre + turn * grown;
    }
    newel.along = newel.along * (1.0 + strain.first);
    newel.across = newel.across * (1.0 + strain.second);
}

/// A half newel out from its wall.
pub(super) fn half_newel(half: &mut HalfNewelSet, strain: Strain) {
    let grown = half.thickness * strain.first;
    half.thickness += grown;
    half.across = half.across * (1.0 + strain.second);
    half.face += half.normal * grown.as_mm();
}

/// Square to a rail's length in its plumb plane, upwards.
fn up(along: Vector3<f64>) -> Vector3<f64> {
    along.cross(&Vector3::z().cross(&along).normalize())
}

/// A rail from its underside. Gives how far its top rises, plumb.
pub(super) fn rail(rail: &mut RailSet, strain: Strain) -> Length {
    let along = (rail.upper - rail.lower).normalize();
    let grown = rail.depth * strain.second;
    let lift = grown.as_mm();
    rail.width = rail.width * (1.0 + strain.first);
    rail.depth += grown;
    for (end, cut) in [
        (&mut rail.lower, &rail.lower_cut),
        (&mut rail.upper, &rail.upper_cut),
    ] {
        *end = on_cut(*end + up(along) * lift, cut, along);
    }
    for fitting in &mut rail.fittings {
        let ends = [fitting.at(0.0), fitting.at(1.0)];
        let [start, end] = ends.map(|(point, out)| point + out * lift);
        (fitting.start, fitting.end) = (start, end);
        if let Some(radius) = fitting.radius {
            let from = fitting
                .centre
                .map_or(radius.as_mm(), |c| (start - c).norm());
            fitting.radius = Some(Length::mm(from));
        }
    }
    let plumb = grown / rail.pitch.angle().as_radians().cos();
    for over in &mut rail.over {
        // The piece that lies on a newel is level, or as steep as the rail.
        let grown = grown * (over.thick / (rail.depth - grown));
        over.thick += grown;
        over.over_ground += grown;
        over.over_nosing += grown;
        over.top.z += grown.as_mm();
    }
    plumb
}

/// A bottom rail from its upper face: its underside, which its ends are told by, moves.
pub(super) fn bottom_rail(rail: &mut RailSet, strain: Strain) {
    let along = (rail.upper - rail.lower).normalize();
    let grown = rail.depth * strain.second;
    rail.width = rail.width * (1.0 + strain.first);
    rail.depth += grown;
    let drop = up(along) * -grown.as_mm();
    rail.lower = on_cut(rail.lower + drop, &rail.lower_cut, along);
    rail.upper = on_cut(rail.upper + drop, &rail.upper_cut, along);
}

/// A point slid along a piece to its end cut.
fn on_cut(
    point: nalgebra::Point3<f64>,
    cut: &EndCut,
    along: Vector3<f64>,
) -> nalgebra::Point3<f64> {
    let slide = (cut.point - point).dot(&cut.normal) / along.dot(&cut.normal);
    if slide.is_finite() {
        point + along * slide
    } else {
        point
    }
}

/// An end of a rail follows the face that it meets: bolts draw the two together.
pub(super) fn follow(rail: &mut RailSet, upper: bool, by: f64) {
    if rail.fittings.iter().any(|one| one.upper == upper) {
        return;
    }
    let along = (rail.upper - rail.lower).normalize();
    let (end, cut) = if upper {
        (&mut rail.upper, &mut rail.upper_cut)
    } else {
        (&mut rail.lower, &mut rail.lower_cut)
    };
    // `by` is how far the face went into the rail, against the outward normal of its cut.
    cut.point -= cut.normal.into_inner() * by;
    *end = on_cut(*end, cut, along);
}

/// The handrail on the wall side, on its brackets.
pub(super) fn wall_rail(site: &Site, rail: &mut WallRailSet, strain: Strain) {
    let along = (rail.upper - rail.lower).normalize();
    let (wider, grown) = (rail.width * strain.first, rail.depth * strain.second);
    rail.width += wider;
    rail.depth += grown;
    rail.least_clear.0 -= wider / 2.0;
    rail.most_clear.0 -= wider / 2.0;
    let lift = up(along) * grown.as_mm();
    rail.lower += lift;
    rail.upper += lift;
    let slope = rail.pitch.slope();
    rail.window = window(site, rail.lower, slope, &rail.window);
}

/// How a rail whose top goes through a point stands over the nosings.
pub(super) fn window(
    site: &Site,
    through: nalgebra::Point3<f64>,
    slope: f64,
    before: &WindowReport,
) -> WindowReport {
    let rake = RakeLine {
        at_foot: through.z - slope * through.x,
        slope,
    };
    let limits = Limits {
        rail_low: before.asked.0,
        rail_high: before.asked.1,
        ..Limits::NONE
    };
    rail_window::report(site, rake, &limits, before.killed_by.clone())
}

/// A baluster about its axis; one of metal stays as it is.
pub(super) fn baluster(one: &mut BalusterSet, strain: Strain) {
    if one.of == Material::Metal {
        return;
    }
    let strain = if one.round || !one.turned.is_empty() {
        strain.all_round()
    } else {
        strain
    };
    one.along = one.along * (1.0 + strain.first);
    one.across = one.across * (1.0 + strain.second);
    for place in &mut one.turned {
        place.diameter = place.diameter * (1.0 + strain.first);
    }
}

/// Panels of board about their middles, their grain plumb.
pub(super) fn panels(run: &mut PanelRun, strain: Strain) {
    for panel in &mut run.panels {
        let edge = panel.corners[1] - panel.corners[0];
        let half = edge * (strain.first / 2.0);
        for (corner, sign) in panel.corners.iter_mut().zip([-1.0, 1.0, 1.0, -1.0]) {
            *corner += half * sign;
        }
        panel.width = panel.width * (1.0 + strain.first);
        panel.thickness = panel.thickness * (1.0 + strain.second);
    }
    let wider = run.panels.first().map(|panel| panel.width);
    if let Some(width) = wider {
        run.gap -= width * (strain.first / (1.0 + strain.first));
    }
}
