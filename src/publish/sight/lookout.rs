//! Where the eye stands for each named viewpoint.
//!
//! Pure, in the frame of the first run, mm. What is framed is the stair as drawn; places to stand are
//! read off the stair as found.

use nalgebra::{Point3, Vector3};

use crate::chain::{Chain, RunChain};
use crate::site::WallFace;
use crate::solids::{Bounds, Convex, Part, PartKind, Solids, slices};

use super::Viewpoint;
use super::camera::{Eye, Free, Lens};
use super::cut::Plumb;

/// Around a single place this much is shown to each side, mm.
const CLOSE_MM: f64 = 330.0;
/// Around an end of the rail.
const END_MM: f64 = 480.0;
/// A floor that reaches down to this above the foot of the stair is the one it stands on, mm.
const FLOOR_MM: f64 = 100.0;
/// How high above what one stands on the eye is, mm. Common practice, no source.
pub const EYE_MM: f64 = 1600.0;
/// How far before the first nosing one stands who comes in by the front door, mm, the nearest first:
/// from the first of them that shows the whole. Common practice, no source.
const DOOR_MM: [f64; 4] = [2600.0, 3200.0, 3900.0, 4700.0];
/// The door stands this far outward of the treads' open ends, mm, so that the rail is seen from its
/// side.
const DOOR_OUT_MM: f64 = 450.0;
/// One who sights up a string has the eye this far before the first nosing, above it, and outward of
/// the treads' open ends, mm: kneeling beside the newel.
const SIGHT_MM: (f64, f64, f64) = (430.0, 90.0, 70.0);
/// Of the treads' ends so much is shown, inward and outward, mm: newel and balusters to one side, the
/// open well to the other.
const ENDS_MM: (f64, f64) = (40.0, 190.0);
/// This much of a wall is shown around the stair, mm.
const WALL_AROUND_MM: f64 = 420.0;
/// Over a section so much of the picture is kept free for its words, and as much under it.
const WORDS: f64 = 0.06;
/// Places of a wall that are tried, along and up.
const WALL_CELLS: (u32, u32) = (40, 40);

/// A direction to look from, before it is known how far.
fn from(yaw: f64, pitch: f64, lens: Lens) -> Eye {
    Eye {
        target: Point3::origin(),
        yaw,
        pitch,
        reach: 1.0,
        lens,
        keeps: 0.0,
    }
}

/// The flight with a name, or the first.
fn flight<'a>(chain: &'a Chain, name: Option<&str>) -> Option<&'a RunChain> {
    let mut flights = chain.stairs().map(|(_, run)| run);
    flights.find(|run| run.site.steps.len() > 1 && name.is_none_or(|name| run.run.name == name))
}

/// From the front door: standing on the lower floor before the foot, a little to the open side.
fn door(chain: &Chain, shown: &Solids, free: &Free) -> Option<Eye> {
    let site = &chain.first().site;
    let first = site.steps.first()?;
    let points = framed(shown);
    let stands = |before: f64| {
        let (x, q) = (first.nosing_x() - before, first.open_q + DOOR_OUT_MM);
        let at = site.at(x, q, site.lower_floor(x, q) + EYE_MM);
        Eye::standing(at, &points, free)
    };
    let mut eyes = DOOR_MM.into_iter().filter_map(stands);
    eyes.clone()
        .find(|eye| !eye.is_widest())
        .or_else(|| eyes.next_back())
}

/// From the foot of a flight up along the ends of its treads.
fn string(run: &RunChain, free: &Free) -> Option<Eye> {
    let site = &run.site;
    let (before, above, beside) = SIGHT_MM;
    let first = site.steps.first()?;
    let q = first.open_q + beside;
    let x = first.nosing_at(q) - before;
    let at = site.at(x, q, first.nosing_top(first.open_q) + above);
    let ends = site.steps.iter().flat_map(|step| {
        let at = |q: f64| site.at(step.nosing_at(q), q, step.nosing_top(q));
        let (inward, outward) = ENDS_MM;
        [at(step.open_q - inward), at(step.open_q + outward)]
    });
    let points: Vec<Point3<f64>> = ends.map(|end| run.frame.to_first(&end)).collect();
    Eye::standing(run.frame.to_first(&at), &points, free)
}

/// Square on to a wall from the room: as much of it as stands about the stair.
fn wall(wall: &WallFace, shown: &Solids, free: &Free) -> Option<Eye> {
    let stair = around_stair(shown)?;
    let out = |at: &Point3<f64>| {
        let beyond = |axis: usize| {
            let (low, high) = (stair.low[axis] - at[axis], at[axis] - stair.high[axis]);
            low.max(high).max(0.0)
        };
        Vector3::new(beyond(0), beyond(1), beyond(2)).norm()
    };
    let share = |i: u32, count: u32| f64::from(i) / f64::from(count);
    let place = |(i, j): (u32, u32)| {
        let along = wall.length() * share(i, WALL_CELLS.0);
        let up = wall.foot + (wall.head - wall.foot) * share(j, WALL_CELLS.1);
        wall.point(along, up)
    };
    let places = (0..=WALL_CELLS.0).flat_map(|i| (0..=WALL_CELLS.1).map(move |j| (i, j)));
    let all: Vec<Point3<f64>> = places.map(place).collect();
    let mut near: Vec<Point3<f64>> = all
        .iter()
        .copied()
        .filter(|at| out(at) < WALL_AROUND_MM)
        .collect();
    if near.is_empty() {
        near = all;
    }
    let run = (wall.to - wall.from) / wall.length();
    // The room is to the left of one who goes along the wall.
    let yaw = run.x.atan2(-run.y);
    Some(from(yaw, 0.0, Lens::Level).framing(&near, free))
}

/// What a plumb cut shows: what is cut, and what of the stair stands behind it.
fn section(cut: &Plumb, shown: &Solids, free: &Free) -> Option<Eye> {
    let plane = cut.plane()?;
    let mut points = framed(shown);
    points.retain(|at| plane.distance(at) <= 0.0);
    let parts = shown.parts.iter();
    let cut_parts = parts.filter(|part| !matches!(part.kind, PartKind::Wall | PartKind::Floor));
    points.extend(cut_parts.flat_map(|part| slices(part, &plane)).flatten());
    if points.is_empty() {
        points = framed(shown);
    }
    let yaw = plane.normal.y.atan2(plane.normal.x);
    // Above it stands where the cut is.
    let [top, foot] = free.down;
    let room = (foot - top) * WORDS;
    let free = Free {
        down: [top + room, foot - room],
        ..*free
    };
    let mut eye = from(yaw, 0.0, Lens::Level).framing(&points, &free);
    // What it looks at lies in the cut.
    eye.target -= plane.normal.into_inner() * plane.distance(&eye.target);
    Some(eye)
}

/// The eye at a viewpoint; `None` where what it names is not there.
pub fn eye(viewpoint: &Viewpoint, chain: &Chain, shown: &Solids, free: &Free) -> Option<Eye> {
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
        Viewpoint::End => whole(degrees(180.0, 0.0), Lens::Level),
        Viewpoint::Door => door(chain, shown, free),
        Viewpoint::Str(run) => string(flight(chain, run.as_deref())?, free),
        Viewpoint::Wall(name) => wall(chain.first().site.wall(name)?, shown, free),
        Viewpoint::Section(cut) => section(&Plumb::of(cut, chain)?, shown, free),
        Viewpoint::Newel(name) => {
            let foot = chain.runs.iter().find_map(|run| {
                let mut newels = run.setout.newels.iter();
                let newel = newels.find(|newel| &newel.name == name)?;
                Some(run.frame.to_first(&newel.foot))
            })?;
            close(degrees(126.0, 32.0), around(&foot, CLOSE_MM))
        }
        Viewpoint::Trouble(id) => {
            let finding = chain.inspection.named(id)?;
            close(degrees(126.0, 26.0), around(&finding.at, CLOSE_MM))
        }
    }
}

/// The eye that frames some places from a way about the plumb line and above level, radians.
pub fn close((yaw, pitch): (f64, f64), points: &[Point3<f64>], free: &Free) -> Eye {
    from(yaw, pitch, Lens::Perspective).framing(points, free)
}

/// The eye that frames a part, or a place; `outward` as [`crate::site::Site`] has it, 1 or -1.
pub fn near(points: &[Point3<f64>], outward: f64, free: &Free) -> Eye {
    from(
        outward * 126.0_f64.to_radians(),
        26.0_f64.to_radians(),
        Lens::Perspective,
    )
    .framing(points, free)
}

/// The corners of the box that reaches `by` mm each way from a place.
pub fn around(at: &Point3<f64>, by: f64) -> Vec<Point3<f64>> {
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

/// The stair and its rail, walls left out: they are as tall as the house.
fn of_stair(shown: &Solids) -> impl Iterator<Item = &Part> {
    let parts = shown.parts.iter();
    parts.filter(|part| !matches!(part.kind, PartKind::Wall | PartKind::Floor))
}

/// All corners of the stair and its rail.
pub fn stair(shown: &Solids) -> Vec<Point3<f64>> {
    let pieces = of_stair(shown).flat_map(|part| &part.pieces);
    pieces
        .flat_map(|piece| piece.corners().iter().copied())
        .collect()
}

/// The box around the stair and its rail.
pub fn around_stair(shown: &Solids) -> Option<Bounds> {
    let boxes = of_stair(shown).filter_map(Part::bounds);
    boxes.reduce(|a, b| a.union(&b))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain(text: &str) -> Chain {
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        crate::chain::run(document.job()).unwrap()
    }

    fn all(text: &str) -> Vec<(Viewpoint, Eye, Chain)> {
        let chain = chain(text);
        let free = Free::whole(1.6);
        let viewpoints = super::super::viewpoints(&chain);
        let eye = |one: &Viewpoint| eye(one, &chain, &chain.solids, &free).unwrap();
        viewpoints
            .iter()
            .map(|one| (one.clone(), eye(one), chain.clone()))
            .collect()
    }

    #[test]
    fn every_viewpoint_of_a_stair_is_there_and_stands_above_its_floor() {
        for text in [
            include_str!("../../../scenes/straight.ron"),
            include_str!("../../../scenes/half-turn.ron"),
            include_str!("../../../scenes/winders.ron"),
        ] {
            for (viewpoint, eye, _) in all(text) {
                let stands = eye.stands(&Free::whole(1.6));
                assert!(stands.coords.iter().all(|of| of.is_finite()), "{viewpoint}");
                assert!(
                    eye.lens == Lens::Level || stands.z > 0.0,
                    "{viewpoint}: {stands}"
                );
            }
        }
    }

    #[test]
    fn one_who_comes_in_stands_on_the_floor_before_the_stair() {
        for (viewpoint, eye, chain) in all(include_str!("../../../scenes/half-turn.ron")) {
            if viewpoint == Viewpoint::Door {
                let stands = eye.stands(&Free::whole(1.6));
                // The floor of this scene is level, at the datum.
                approx::assert_relative_eq!(stands.z, EYE_MM, epsilon = 1e-6);
                assert!(stands.x < chain.first().site.steps[0].nosing_x() - 2000.0);
            }
        }
    }

    #[test]
    fn a_wall_is_seen_square_on_and_true_to_scale_from_its_room() {
        let mut walls = 0;
        for (viewpoint, eye, chain) in all(include_str!("../../../scenes/half-turn.ron")) {
            let Viewpoint::Wall(name) = &viewpoint else {
                continue;
            };
            walls += 1;
            let wall = chain.first().site.wall(name).unwrap();
            assert_eq!(eye.lens, Lens::Level);
            let along = (wall.to - wall.from).normalize();
            let axes = eye.axes();
            // Its length runs across the picture, from right to left for one who faces it.
            approx::assert_relative_eq!(axes.right.xy(), -along, epsilon = 1e-12);
            let normal = wall.normal(wall.length() / 2.0, wall.foot + 1000.0);
            approx::assert_relative_eq!(axes.back, normal, epsilon = 1e-9);
        }
        assert_eq!(walls, 2);
    }

    #[test]
    fn one_sights_up_every_nosing_at_once() {
        let chain = chain(include_str!("../../../scenes/straight.ron"));
        let free = Free::whole(1.6);
        let run = flight(&chain, None).unwrap();
        let eye = string(run, &free).unwrap();
        let (axes, stands) = (eye.axes(), eye.stands(&free));
        let ends = run.site.steps.iter().map(|step| {
            let end = run
                .site
                .at(step.nosing_x(), step.open_q, step.nosing_top(step.open_q));
            end - stands
        });
        let seen: Vec<(f64, f64)> = ends
            .map(|to| {
                let ahead = -to.dot(&axes.back);
                (to.dot(&axes.right) / ahead, to.dot(&axes.up) / ahead)
            })
            .collect();
        let steep = (eye.lens.angle() / 2.0).tan();
        for (across, up) in &seen {
            assert!(across.abs() < steep * 1.6 && up.abs() < steep);
        }
        // In one line for the eye: all nosing ends lie in the plane that the eye stands beside, so
        // each is seen higher than the one before it.
        assert!(seen.windows(2).all(|pair| pair[0].1 < pair[1].1));
    }

    #[test]
    fn a_section_looks_at_its_own_plane_and_frames_what_stays() {
        let chain = chain(include_str!("../../../scenes/straight.ron"));
        let cut = Viewpoint::Section(
            super::super::cut::middle(&chain, super::super::Way::Across).unwrap(),
        );
        let eye = eye(&cut, &chain, &chain.solids, &Free::whole(1.6)).unwrap();
        let Viewpoint::Section(cut) = cut else {
            panic!()
        };
        let at = cut.distance(chain.first().run.job.units).unwrap();
        approx::assert_relative_eq!(eye.target.x, at.as_mm(), epsilon = 1e-3);
        // Up the flight: the eye stands downhill of the cut.
        approx::assert_relative_eq!(eye.axes().back, -Vector3::x(), epsilon = 1e-12);
    }

    #[test]
    fn a_stair_that_turns_is_framed_with_its_landings_and_a_straight_one_without_floors() {
        let solids = |text: &str| {
            let document = crate::job::Document::parse(text, "test.ron").unwrap();
            crate::chain::run(document.job()).unwrap().solids
        };
        let straight = solids(include_str!("../../../scenes/straight.ron"));
        assert_eq!(framed(&straight), stair(&straight));
        let turning = solids(include_str!("../../../scenes/half-turn.ron"));
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
