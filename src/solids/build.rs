//! All parts and joints of a set-out on its site.

use crate::job::{Job, RailEnd};
use crate::setout::SetOut;
use crate::site::Site;

use super::{Joint, JointKind, Part, PartKind, Plane, Solids, carcass, railing, wall};

/// Makes the solids.
#[must_use]
pub fn build(job: &Job, site: &Site, setout: &SetOut) -> Solids {
    let notchers: Vec<Vec<Plane>> = setout
        .newels
        .iter()
        .filter(|newel| !newel.notches.is_empty())
        .filter_map(railing::newel_body)
        .map(|body| body.planes().to_vec())
        .collect();
    let mut parts = carcass::parts(job, site, &notchers);
    parts.extend(wall::parts(site));
    parts.extend(setout.newels.iter().map(railing::newel_part));
    parts.push(railing::rail_part(job, &setout.rail));
    parts.extend(setout.bottom_rail.iter().map(railing::bottom_rail_part));
    parts.extend(railing::rosette_parts(job, site, setout));
    parts.extend(
        setout
            .balusters
            .iter()
            .map(|one| railing::baluster_part(site, setout, one)),
    );
    let joints = joints(job, setout, &parts);
    Solids { parts, joints }
}

fn joints(job: &Job, setout: &SetOut, parts: &[Part]) -> Vec<Joint> {
    let mut joints = Vec::new();
    for (a, first) in parts.iter().enumerate() {
        for (b, second) in parts.iter().enumerate().skip(a + 1) {
            let declared = declared(job, setout, first, second)
                .or_else(|| declared(job, setout, second, first));
            joints.extend(declared.map(|(kind, seat)| Joint { a, b, kind, seat }));
        }
    }
    joints
}

/// The joint between two parts, if they are meant to meet, with how deep they may overlap.
fn declared(job: &Job, setout: &SetOut, part: &Part, other: &Part) -> Option<(JointKind, f64)> {
    use PartKind::{
        Baluster, BottomRail, Floor, Kick, Newel, Rail, Rosette, Skirt, Stringer, Tread, Wall,
    };
    let balusters = &job.design.balusters;
    match (part.kind, other.kind) {
        (Baluster, Tread | Floor) if stands_on(job, setout, &part.name, &other.name) => {
            Some((JointKind::Peg, balusters.peg.mm()))
        }
        (Baluster, BottomRail) => Some((JointKind::Peg, balusters.peg.mm())),
        (Baluster, Rail) => Some((JointKind::Seat, balusters.seat.mm())),
        // A newel's foot is scribed to a tread that is out of level.
        (Newel, Tread | Kick | Floor | Skirt) => Some((JointKind::Notch, SCRIBE)),
        (Rail | BottomRail, Newel) => Some((JointKind::RailToNewel, 0.0)),
        (Rail | BottomRail | Rosette, Wall) if meets_wall(job, &other.name) => {
            // The rosette lies on a face that is not quite flat.
            Some((JointKind::RailToWall, SCRIBE))
        }
        (Rail | BottomRail, Rosette) => Some((JointKind::RailToWall, SCRIBE)),
        // Treads, kicks, boards and floors are scribed to each other and to the walls; how is a
        // matter of its own, so their overlaps are not clashes here.
        (
            Tread | Kick | Floor | Stringer | Skirt,
            Tread | Kick | Floor | Stringer | Skirt | Wall,
        )
        | (Wall, Wall) => Some((JointKind::Carcass, f64::INFINITY)),
        _ => None,
    }
}

/// What scribing takes off where a part meets a wall or a tread: 1/8 in, common practice, no source.
const SCRIBE: f64 = 3.175;

fn meets_wall(job: &Job, name: &str) -> bool {
    let rail = &job.design.rail;
    [&rail.lower, &rail.upper]
        .iter()
        .any(|end| matches!(end, RailEnd::Wall { wall, .. } if wall == name))
}

/// Whether a baluster has its peg in this tread or floor, and not in one that it only touches.
fn stands_on(job: &Job, setout: &SetOut, baluster: &str, ground: &str) -> bool {
    if setout.bottom_rail.is_some() {
        return false;
    }
    let one = setout.balusters.iter().find(|one| one.name == baluster);
    one.is_some_and(|one| match one.step {
        0 => ground == "F0",
        step if step == job.flight.count => ground == "F1",
        step => ground.strip_prefix('T') == Some(step.to_string().as_str()),
    })
}
