//! Named viewpoints: what each frames and from where.

use std::fmt;
use std::str::FromStr;

use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::inspect::Finding;
use crate::publish::trouble_id;
use crate::solids::{Convex, PartKind, Solids};

use super::camera::{Eye, Free, Lens};

/// Around a single place this much is shown to each side, mm.
const CLOSE_MM: f64 = 330.0;
/// Around an end of the rail.
const END_MM: f64 = 480.0;
/// A floor that reaches down to this above the foot of the stair is the one it stands on, mm.
const FLOOR_MM: f64 = 100.0;

/// A place to look from, by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Viewpoint {
    /// Before the foot of the stair, to the open side.
    Front,
    /// From above the open side.
    Above,
    /// Level from the open side: an elevation, true to scale.
    Side,
    /// From straight above: a plan, true to scale.
    Plan,
    /// The foot of the rail, near.
    Foot,
    /// The head of the rail, near.
    Head,
    /// One newel, near.
    Newel(String),
    /// One trouble, near, by its id.
    Trouble(String),
}

impl Viewpoint {
    /// Those without a name of a part, in the order of their number keys.
    pub const PLAIN: [Self; 6] = [
        Self::Front,
        Self::Above,
        Self::Side,
        Self::Plan,
        Self::Foot,
        Self::Head,
    ];
}

impl fmt::Display for Viewpoint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Front => out.write_str("front"),
            Self::Above => out.write_str("above"),
            Self::Side => out.write_str("side"),
            Self::Plan => out.write_str("plan"),
            Self::Foot => out.write_str("foot"),
            Self::Head => out.write_str("head"),
            Self::Newel(name) => write!(out, "newel:{name}"),
            Self::Trouble(id) => write!(out, "trouble:{id}"),
        }
    }
}

impl FromStr for Viewpoint {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        if let Some(plain) = Self::PLAIN.iter().find(|plain| plain.to_string() == text) {
            return Ok(plain.clone());
        }
        match text.split_once(':') {
            Some(("newel", name)) if !name.is_empty() => Ok(Self::Newel(name.to_owned())),
            Some(("trouble", id)) if !id.is_empty() => Ok(Self::Trouble(id.to_owned())),
            _ => Err(format!(
                "there is no viewpoint {text:?}; take front, above, side, plan, foot, head, \
                 newel:NAME or trouble:ID"
            )),
        }
    }
}

/// A direction to look from, before it is known how far.
fn from(yaw: f64, pitch: f64, lens: Lens) -> Eye {
    Eye {
        target: Point3::origin(),
        yaw,
        pitch,
        reach: 1.0,
        lens,
    }
}

/// The eye at a viewpoint; `None` where what it names is not there.
pub(super) fn eye(
    viewpoint: &Viewpoint,
    chain: &Chain,
    shown: &Solids,
    free: &Free,
) -> Option<Eye> {
    let out = chain.first().site.outward;
    let degrees = |yaw: f64, pitch: f64| (out * yaw.to_radians(), pitch.to_radians());
    let close = |(yaw, pitch), points: Vec<Point3<f64>>| {
        Some(from(yaw, pitch, Lens::Perspective).framing(&points, free))
    };
    let whole = |(yaw, pitch), lens| Some(from(yaw, pitch, lens).framing(&framed(shown), free));
    match viewpoint {
        Viewpoint::Front => whole(degrees(142.0, 15.0), Lens::Perspective),
        Viewpoint::Above => whole(degrees(118.0, 40.0), Lens::Perspective),
        Viewpoint::Side => whole(degrees(90.0, 0.0), Lens::Level),
        // Seen from above x runs to the right, whichever side is open.
        Viewpoint::Plan => whole(
            ((-90.0_f64).to_radians(), 90.0_f64.to_radians()),
            Lens::Level,
        ),
        Viewpoint::Foot => close(degrees(128.0, 26.0), around(&foot_of(chain), END_MM)),
        Viewpoint::Head => close(degrees(140.0, 18.0), around(&head_of(chain), END_MM)),
        Viewpoint::Newel(name) => {
            let foot = chain.runs.iter().find_map(|run| {
                let mut newels = run.setout.newels.iter();
                let newel = newels.find(|newel| &newel.name == name)?;
                Some(run.frame.to_first(&newel.foot))
            })?;
            close(degrees(126.0, 32.0), around(&foot, CLOSE_MM))
        }
        Viewpoint::Trouble(id) => {
            let finding = chain.inspection.findings.iter().find(|f| id_of(f) == *id)?;
            close(degrees(126.0, 26.0), around(&finding.at, CLOSE_MM))
        }
    }
}

/// The id of a trouble, as the command line prints it.
pub(super) fn id_of(finding: &Finding) -> String {
    trouble_id(finding)
}

/// The eye that frames a part, or a place.
pub(super) fn near(points: &[Point3<f64>], outward: f64, free: &Free) -> Eye {
    from(
        outward * 126.0_f64.to_radians(),
        26.0_f64.to_radians(),
        Lens::Perspective,
    )
    .framing(points, free)
}

/// The eye that frames some places from a way about the plumb line and above level, radians.
pub(super) fn close((yaw, pitch): (f64, f64), points: &[Point3<f64>], free: &Free) -> Eye {
    from(yaw, pitch, Lens::Perspective).framing(points, free)
}

/// The corners of the box around a place.
pub(super) fn around(at: &Point3<f64>, by: f64) -> Vec<Point3<f64>> {
    let signs = [-1.0, 1.0];
    let corner = |x, y, z| at + Vector3::new(x, y, z) * by;
    signs
        .iter()
        .flat_map(|&x| signs.map(|y| (x, y)))
        .flat_map(|(x, y)| signs.map(|z| corner(x, y, z)))
        .collect()
}

/// Where the rail starts: its lower newel's foot, or the rail's own end.
fn foot_of(chain: &Chain) -> Point3<f64> {
    let setout = &chain.first().setout;
    let lowest = setout.newels.iter().find(|newel| newel.at_foot);
    lowest.map_or(setout.rail.lower, |newel| {
        newel.foot + Vector3::new(0.0, 0.0, CLOSE_MM)
    })
}

/// Where the highest rail of a flight ends.
fn head_of(chain: &Chain) -> Point3<f64> {
    let flights = chain.stairs().filter(|(_, run)| run.site.level.is_none());
    let heads = flights.map(|(_, run)| run.frame.to_first(&run.setout.rail.upper));
    heads
        .max_by(|a, b| a.z.total_cmp(&b.z))
        .unwrap_or(chain.first().setout.rail.upper)
}

/// What a look at the whole frames: the stair, and with it the landings and floors above the lowest
/// where it has several runs, for they belong to its way up.
fn framed(shown: &Solids) -> Vec<Point3<f64>> {
    let mut points = stair(shown);
    let several = shown.runs.iter().any(|run| *run > 0);
    let lowest = points
        .iter()
        .map(|point| point.z)
        .fold(f64::INFINITY, f64::min);
    let floors = shown
        .parts
        .iter()
        .filter(|part| part.kind == PartKind::Floor);
    let corners = floors.flat_map(|part| &part.pieces).map(Convex::corners);
    let above = corners.filter(|corners| corners.iter().all(|at| at.z > lowest + FLOOR_MM));
    points.extend(
        above
            .filter(|_| several)
            .flatten()
            .copied()
            .collect::<Vec<_>>(),
    );
    points
}

/// All corners of the stair and its rail, walls left out: they are as tall as the house.
pub(super) fn stair(shown: &Solids) -> Vec<Point3<f64>> {
    shown
        .parts
        .iter()
        .filter(|part| !matches!(part.kind, PartKind::Wall | PartKind::Floor))
        .flat_map(|part| {
            part.pieces
                .iter()
                .flat_map(|piece| piece.corners().iter().copied())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_reads_back_as_itself() {
        for text in [
            "front",
            "above",
            "side",
            "plan",
            "foot",
            "head",
            "newel:N1",
            "trouble:Clash:B01+N1",
        ] {
            assert_eq!(text.parse::<Viewpoint>().unwrap().to_string(), text);
        }
        for text in ["", "newel:", "left", "trouble"] {
            assert!(text.parse::<Viewpoint>().is_err(), "{text}");
        }
    }

    #[test]
    fn a_stair_that_turns_is_framed_with_its_landings_and_a_straight_one_without_floors() {
        let solids = |text: &str| {
            let document = crate::job::Document::parse(text, "test.ron").unwrap();
            crate::chain::run(document.job()).unwrap().solids
        };
        let straight = solids(include_str!("../../scenes/straight.ron"));
        assert_eq!(framed(&straight), stair(&straight));
        let turning = solids(include_str!("../../scenes/half-turn.ron"));
        let shown = framed(&turning);
        let floors = turning.parts.iter().filter(|p| p.kind == PartKind::Floor);
        let landings: Vec<_> = floors
            .filter(|part| part.bounds().unwrap().low.z > FLOOR_MM)
            .collect();
        assert!(landings.len() > 1, "a landing and an upper floor");
        for piece in landings.iter().flat_map(|part| &part.pieces) {
            assert!(piece.corners().iter().all(|corner| shown.contains(corner)));
        }
    }
}
