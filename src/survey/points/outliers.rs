//! What stands on the wall or lies behind its face, and points astray.

use super::patches::Patches;
use super::robust::{centre_and_spread, median};
use super::surface::Surface;
use crate::measure::{Length, Tape, tolerance};

/// So many standard deviations off the surface a point is no point of it: one in 150,000 normal
/// errors is.
const SIGMAS: f64 = 4.5;
/// A whole patch must stand so far off to be no patch of the wall, mm: plaster is no flatter
/// (common practice, no source).
const PATCH_OFF: f64 = 2.0;
/// A part of the wall may be so many times as noisy as the middle of all parts: a scanner's noise
/// grows with distance and slant.
const MOST_NOISE: f64 = 3.0;
/// Fewest points of a patch that tell their own spread.
const SPREAD_FROM: usize = 5;
/// Fewest points that are named as a thing and not as strays.
const FEWEST_NAMED: usize = 20;
/// Fewest in a patch, and the least share of its points, to be part of a thing.
const FEWEST_IN_PATCH: usize = 3;
const SHARE_IN_PATCH: f64 = 0.05;

/// Points that lie together off the wall's surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// How many points.
    pub points: usize,
    /// From where to where along the wall.
    pub along: (Length, Length),
    /// From where to where above the datum.
    pub up: (Length, Length),
    /// Their median distance off the wall's surface, towards the room positive.
    pub off: Length,
}

impl Group {
    /// What was found, for a person.
    #[must_use]
    pub fn says(&self, tape: Tape) -> String {
        let print = |length: Length| tape.print(length);
        let count = crate::measure::grouped(self.points);
        let (wide, high) = (self.along.1 - self.along.0, self.up.1 - self.up.0);
        let (stand, what) = if self.off < Length::ZERO {
            ("lie", "behind the wall's face")
        } else {
            ("stand", "off the wall")
        };
        let ask = if self.off < Length::ZERO {
            "an opening or a hole?"
        } else {
            "a trim, a plate or a box?"
        };
        format!(
            "{count} points {stand} {} {what} over {} x {} at {} along, {} up: {ask} They are left \
             out.",
            print(self.off.abs()),
            print(wide),
            print(high),
            print(self.along.0),
            print(self.up.0)
        )
    }
}

/// The noise of the points and what is left out.
pub(super) struct Sifted {
    /// Standard deviation of a point about its patch, mm.
    pub(super) noise: f64,
    /// Standard deviation of a patch about the surface, mm.
    pub(super) rough: f64,
    /// The farthest off the surface that a point of a patch may be; zero where none of it counts.
    pub(super) limits: Vec<f64>,
    pub(super) groups: Vec<Group>,
    pub(super) strays: usize,
    pub(super) left_out: usize,
}

/// What one patch holds off the surface.
#[derive(Clone, Copy, Debug, Default)]
struct Flagged {
    limit: f64,
    out: usize,
    /// Of these towards the room.
    proud: usize,
    named: bool,
}

pub(super) fn sift(patches: &Patches, surface: &Surface) -> Sifted {
    let spreads = patches.each(|at, points| spread_of(surface, at, points));
    let mut known: Vec<f64> = spreads.iter().flatten().copied().collect();
    let mut aways: Vec<f64> = (0..patches.grid.count())
        .filter_map(|at| surface.level_away(at))
        .collect();
    let rough = centre_and_spread(&mut aways).map_or(0.0, |(_, spread)| spread);
    // Where no patch has points enough, their spread about the surface is all there is to know.
    let noise = median(&mut known).unwrap_or(rough);
    let noise = noise.max(tolerance::POINT_NOISE_MM);
    let flagged = patches.each(|at, points| {
        // Half of a thing in a patch spreads its points: those around tell the noise.
        let around = patches.grid.around(at, 2).filter_map(|at| spreads[at]);
        let near = median(&mut around.collect::<Vec<f64>>()).unwrap_or(noise);
        let near = near.clamp(noise, MOST_NOISE * noise);
        flag(surface, at, points, near, rough)
    });
    let left_out = flagged.iter().map(|one| one.out).sum();
    let groups = groups(patches, surface, &flagged);
    let named: usize = groups.iter().map(|group| group.points).sum();
    Sifted {
        noise,
        rough,
        limits: flagged.iter().map(|one| one.limit).collect(),
        groups,
        strays: left_out - named,
        left_out,
    }
}

fn spread_of(surface: &Surface, at: usize, points: &[[f64; 3]]) -> Option<f64> {
    if points.len() < SPREAD_FROM {
        return None;
    }
    let mut aways: Vec<f64> = points.iter().map(|p| surface.away(at, *p)).collect();
    centre_and_spread(&mut aways).map(|(_, spread)| spread)
}

fn flag(surface: &Surface, at: usize, points: &[[f64; 3]], noise: f64, rough: f64) -> Flagged {
    let Some(level) = surface.level_away(at) else {
        return Flagged::default();
    };
    let mut limit = SIGMAS * noise.hypot(rough);
    let of_patch = SIGMAS * rough.hypot(noise / (points.len() as f64).sqrt());
    let count = |limit: f64| {
        let out = points.iter().map(|p| surface.away(at, *p));
        let out = out.filter(|away| away.abs() > limit);
        out.fold((0, 0), |(all, proud), away| {
            (all + 1, proud + usize::from(away > 0.0))
        })
    };
    let (out, _) = count(limit);
    if level.abs() > of_patch.max(PATCH_OFF) || 2 * out > points.len() {
        limit = 0.0;
    }
    let (out, proud) = if limit > 0.0 {
        count(limit)
    } else {
        (points.len(), if level > 0.0 { points.len() } else { 0 })
    };
    let share = out as f64 / points.len() as f64;
    Flagged {
        limit,
        out,
        proud,
        named: out >= FEWEST_IN_PATCH.min(points.len()) && share >= SHARE_IN_PATCH,
    }
}

/// Patches that touch, on the same side of the surface.
fn groups(patches: &Patches, surface: &Surface, flagged: &[Flagged]) -> Vec<Group> {
    let side = |at: usize| 2 * flagged[at].proud >= flagged[at].out;
    let mut seen = vec![false; flagged.len()];
    let mut groups = Vec::new();
    for first in 0..flagged.len() {
        if seen[first] || !flagged[first].named {
            continue;
        }
        seen[first] = true;
        let (mut members, mut next) = (vec![first], 0);
        while next < members.len() {
            for at in patches.grid.around(members[next], 1) {
                if !seen[at] && flagged[at].named && side(at) == side(first) {
                    seen[at] = true;
                    members.push(at);
                }
            }
            next += 1;
        }
        groups.extend(group(patches, surface, flagged, &members));
    }
    groups.sort_by_key(|group: &Group| std::cmp::Reverse(group.points));
    groups
}

fn group(
    patches: &Patches,
    surface: &Surface,
    flagged: &[Flagged],
    members: &[usize],
) -> Option<Group> {
    let mut aways = Vec::new();
    let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for at in members {
        for point in patches.of(*at) {
            let away = surface.away(*at, *point);
            if away.abs() > flagged[*at].limit || flagged[*at].limit <= 0.0 {
                aways.push(away);
                for axis in 0..2 {
                    least[axis] = least[axis].min(point[axis]);
                    most[axis] = most[axis].max(point[axis]);
                }
            }
        }
    }
    if aways.len() < FEWEST_NAMED {
        return None;
    }
    let points = aways.len();
    let off = median(&mut aways)?;
    let across = |axis: usize| (Length::mm(least[axis]), Length::mm(most[axis]));
    Some(Group {
        points,
        along: across(0),
        up: across(1),
        off: Length::mm(off),
    })
}
