//! Shoes, caps and fillets, and the joints between the pieces of one rail.

use crate::job::{Body, Fastened};
use crate::measure::Length;
use crate::setout::{BaseSet, RailSet};

use super::usual::{PLATE, Wood};
use super::{Joiner, JointLine};

/// The joints of what runs along the slope.
pub(super) fn all(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let setout = &joiner.run.setout;
    let mut lines = Vec::new();
    if let Some(base) = &setout.base {
        lines.extend(on_base(joiner, base));
    }
    lines.extend(fillets(joiner));
    lines.extend(rail_joints(joiner, &setout.rail));
    lines
}

fn on_base(joiner: &Joiner<'_>, base: &BaseSet) -> Vec<JointLine> {
    let body = match base.is {
        Body::HalfWall => PLATE,
        Body::ClosedString => base.body.depth,
    };
    let under = base.cap.as_ref().unwrap_or(&base.body);
    let cap = base.cap.as_ref().map_or(Length::ZERO, |cap| cap.depth);
    let shoe = &base.shoe;
    let wood = Wood {
        // They go through the bottom of the plough.
        held: shoe.depth - base.plough.1,
        face: base.plough.0,
        room: Some(cap + body),
        runs: shoe.long_points,
    };
    let parts = (shoe.name.clone(), Some(under.name.clone()));
    let mut lines = vec![joiner.usual(Fastened::Shoe, parts, &wood)];
    if let Some(cap) = &base.cap {
        let wood = Wood {
            held: cap.depth,
            face: cap.width,
            room: Some(body),
            runs: cap.long_points,
        };
        let parts = (cap.name.clone(), Some(base.body.name.clone()));
        lines.push(joiner.usual(Fastened::BaseCap, parts, &wood));
    }
    lines
}

fn fillets(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let setout = &joiner.run.setout;
    let fillets = setout.fillets.iter().map(|one| {
        let shoe = setout
            .base
            .as_ref()
            .filter(|base| base.shoe.name == one.piece);
        let room = shoe.map_or_else(
            || setout.rail.depth - one.thickness,
            |base| base.shoe.depth - base.plough.1,
        );
        let wood = Wood {
            held: one.thickness,
            face: one.width,
            room: Some(room),
            runs: one.edge,
        };
        let parts = (one.piece.clone(), Some(one.piece.clone()));
        joiner.usual(Fastened::Fillet, parts, &wood)
    });
    fillets.collect()
}

/// Where two pieces of a rail meet end to end, half a bolt goes into each.
fn rail_joints(joiner: &Joiner<'_>, rail: &RailSet) -> Vec<JointLine> {
    let mut lines = Vec::new();
    for upper in [false, true] {
        let fittings = rail.fittings.iter().zip(rail.fitting_names());
        let mut before = (rail.short_points, rail.name.clone());
        for (one, name) in fittings.filter(|(one, _)| one.upper == upper) {
            let wood = Wood {
                held: rail.depth,
                face: rail.width,
                room: Some(before.0.min(one.length)),
                runs: rail.width,
            };
            let parts = (name.clone(), Some(before.1));
            lines.push(joiner.usual(Fastened::RailJoint, parts, &wood));
            before = (one.length, name);
        }
    }
    lines
}
