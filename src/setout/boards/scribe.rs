//! The strip that closes the gap between a plumb skirt's cap and a wall that leans or bows.
//!
//! The skirt is straight and plumb, and pushed back until it touches the wall somewhere; the strip
//! is scribed to what is left open along its cap.

use crate::measure::{Angle, Length};
use crate::site::{Site, WallFace};

use super::sides::Straight;

/// A scribe strip along a skirt's cap. Places are level, up the flight from the first kick's face.
#[derive(Clone, Debug, PartialEq)]
pub struct StripSet {
    /// The wall it is scribed to.
    pub wall: String,
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Its width at the lower end.
    pub bottom: Length,
    /// Its width at the upper end.
    pub top: Length,
    /// Its greatest width, and where.
    pub greatest: (Length, Length),
    /// Its least width, and where.
    pub least: (Length, Length),
    /// The angle between its edges from end to end: positive where it widens up the flight.
    pub taper: Angle,
    /// Where the skirt touches the wall: along, and above the datum.
    pub touches: (Length, Length),
    /// The gap there with the skirt's face at the ends of the treads; negative where the wall
    /// stands in its way by so much.
    pub clear: Length,
}

/// A board before the wall: its back in plan, its edges in elevation, and how far it runs.
pub(super) struct Board<'a> {
    pub(super) back: Straight,
    pub(super) cap: &'a dyn Fn(f64) -> f64,
    /// Its lower edge, or the floor that it stands on.
    pub(super) foot: &'a dyn Fn(f64) -> f64,
    pub(super) from: f64,
    pub(super) to: f64,
}

/// Places along a strip, and heights behind a board, at which the wall is looked at. A bow changes
/// over a yard or so; a flight's wall is a few yards long.
const ALONG: u32 = 256;
const UP: u32 = 16;

/// A wall further from the skirt's back than this, mm, is another wall: a foot.
const NEAR: f64 = 304.8;

/// A wall runs along the flight where its run turns from it by less than this sine: half a right
/// angle.
const RUNS_ALONG: f64 = 0.7;

/// The strips of a board, wall by wall.
pub(super) fn strips(site: &Site, board: &Board<'_>) -> Vec<StripSet> {
    let walls = site.walls.iter();
    walls.filter_map(|wall| strip(site, board, wall)).collect()
}

/// One look at the wall: place, height, gap.
#[derive(Clone, Copy)]
struct Look {
    x: f64,
    z: f64,
    gap: f64,
}

fn strip(site: &Site, board: &Board<'_>, wall: &WallFace) -> Option<StripSet> {
    let run = (wall.to - wall.from) / wall.length();
    if run.y.abs() > RUNS_ALONG {
        return None;
    }
    let look = |x: f64, z: f64| {
        let foot = site.at(x, board.back.at(x), z).xy() - wall.from;
        let (along, off) = (foot.dot(&run), run.perp(&foot));
        let gap = off - wall.field.offset(along, z);
        let there = (0.0..=wall.length()).contains(&along)
            && (wall.foot..=wall.head).contains(&z)
            && gap.abs() < NEAR;
        there.then_some(Look { x, z, gap })
    };
    let share = |part: u32, of: u32, low: f64, high: f64| {
        low + (high - low) * f64::from(part) / f64::from(of)
    };
    let places = (0..=ALONG).map(|at| share(at, ALONG, board.from, board.to));
    let cap: Vec<Look> = places
        .clone()
        .filter_map(|x| look(x, (board.cap)(x)))
        .collect();
    let touch = places
        .flat_map(|x| {
            let (low, high) = ((board.foot)(x), (board.cap)(x));
            (0..=UP).filter_map(move |at| look(x, share(at, UP, low, high)))
        })
        .min_by(|a, b| a.gap.total_cmp(&b.gap))?;
    let (first, last) = (cap.first()?, cap.last()?);
    let by_gap = |a: &&Look, b: &&Look| a.gap.total_cmp(&b.gap);
    let (least, greatest) = (cap.iter().min_by(by_gap)?, cap.iter().max_by(by_gap)?);
    let width = |look: &Look| Length::mm(look.gap - touch.gap);
    let long = (last.x - first.x).hypot(last.z - first.z);
    Some(StripSet {
        wall: wall.name.clone(),
        from: Length::mm(first.x),
        to: Length::mm(last.x),
        bottom: width(first),
        top: width(last),
        greatest: (width(greatest), Length::mm(greatest.x)),
        least: (width(least), Length::mm(least.x)),
        taper: Angle::radians((last.gap - first.gap).atan2(long)),
        touches: (Length::mm(touch.x), Length::mm(touch.z)),
        clear: Length::mm(touch.gap),
    })
}
