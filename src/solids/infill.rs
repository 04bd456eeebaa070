//! Half walls, closed strings, caps, shoes and panels as solids.

use nalgebra::{Point3, Vector3};

use crate::setout::{BaseSet, PanelRun, PanelSet, RailSet};
use crate::site::Site;

use super::railing::rail_obstacle;
use super::{Convex, Part, PartKind, Plane};

/// The body under a shoe, its cap and the shoe.
pub(super) fn base_parts(base: &BaseSet) -> Vec<Part> {
    let strip = |rail: &RailSet| {
        let depth = rail.depth.as_mm();
        part(
            &rail.name,
            PartKind::Shoe,
            rail_obstacle(rail, [0.0, depth]),
        )
    };
    let mut parts = vec![body(&base.body)];
    parts.extend(base.cap.iter().map(strip));
    parts.push(strip(&base.shoe));
    parts
}

/// A half wall or closed string, down to the lower floor at most.
fn body(rail: &RailSet) -> Part {
    let floor = Plane::through(Point3::origin(), -Vector3::z());
    let solid = rail_obstacle(rail, [-rail.depth.as_mm(), 0.0]);
    let solid = solid.and_then(|solid| match floor {
        Some(floor) => solid.clip(&floor),
        None => Some(solid),
    });
    part(&rail.name, PartKind::HalfWall, solid)
}

/// The panels.
pub(super) fn panel_parts(site: &Site, run: &PanelRun) -> Vec<Part> {
    let panel = |one: &PanelSet| {
        let thickness = Vector3::y() * (site.outward * one.thickness.as_mm());
        let ring = one.corners.map(|corner| corner - thickness / 2.0);
        let solid = Convex::prism(&ring, thickness);
        part(&one.name, PartKind::Panel, solid)
    };
    run.panels.iter().map(panel).collect()
}

fn part(name: &str, kind: PartKind, solid: Option<Convex>) -> Part {
    Part {
        name: name.to_owned(),
        kind,
        pieces: solid.into_iter().collect(),
    }
}
