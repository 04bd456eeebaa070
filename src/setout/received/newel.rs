//! A received newel: its faces at two heights, its lean, its block and its head.

use nalgebra::{Point2, Rotation2, Vector2};

use crate::job::{ReceivedLimits, ReceivedNewel};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::setout::{NewelSet, SetOut, plan};
use crate::site::Site;

use super::section::four_sided;
use super::{NewelEffects, NewelWeighed, Verdict};

/// Weighs one newel; `None` where the set-out has none of that name.
pub(super) fn weigh(
    site: &Site,
    setout: &SetOut,
    received: &ReceivedNewel,
    limits: &ReceivedLimits,
) -> Option<NewelWeighed> {
    let newel = setout.newels.iter().find(|one| one.name == received.name)?;
    let as_received = AsReceived::of(site, setout, newel, received);
    // An oblong section goes in one way round or the other.
    let square = (newel.along - newel.across).abs().as_mm() < SAME_POINT_MM;
    let turns = (0..4_u8).filter(|turn| square || turn % 2 == 0);
    let all: Vec<(u8, NewelEffects)> = turns
        .map(|turn| (turn, as_received.effects(turn)))
        .collect();
    let (_, as_marked) = *all.first()?;
    // Of equals the first is taken.
    let (quarter_turns, turned) = all.iter().copied().min_by_key(|one| cost(&one.1, limits))?;
    let (verdict, quarter_turns, turned) = if past(&as_marked, limits) <= SAME_POINT_MM {
        (Verdict::Accept, 0, as_marked)
    } else if past(&turned, limits) <= SAME_POINT_MM {
        (Verdict::Shuffle, quarter_turns, turned)
    } else {
        (Verdict::SendBack, quarter_turns, turned)
    };
    Some(NewelWeighed {
        name: received.name.clone(),
        verdict,
        quarter_turns,
        as_marked,
        turned,
    })
}

/// How far its effects go past their limits; then how large they are. In millionths of a millimetre,
/// so that what differs by the arithmetic's noise is equal.
fn cost(effects: &NewelEffects, limits: &ReceivedLimits) -> (i64, i64) {
    let size = effects.gap().abs() + effects.lean();
    let whole = |mm: f64| (mm / SAME_POINT_MM).round() as i64;
    (whole(past(effects, limits)), whole(size.as_mm()))
}

fn past(effects: &NewelEffects, limits: &ReceivedLimits) -> f64 {
    [
        (effects.gap(), &limits.gap),
        (effects.reveals_apart().unwrap_or_default(), &limits.reveal),
        (effects.lean(), &limits.lean),
        (effects.cap, &limits.cap),
    ]
    .iter()
    .map(|(value, limit)| (value.abs() - limit.value).as_mm().max(0.0))
    .sum()
}

/// A newel as delivered, and what it stands beside. mm, heights from its foot.
struct AsReceived<'a> {
    site: &'a Site,
    newel: &'a NewelSet,
    /// Corners of its foot about its middle, as marked; none for a round one.
    corners: Option<[Point2<f64>; 4]>,
    /// How far the designed foot reaches towards the rail.
    reach: f64,
    length: f64,
    /// Turn of its section per height, radians.
    wind: f64,
    /// Its head over its foot as marked: uphill, to the left.
    lean: Vector2<f64>,
    cap: f64,
    trim: f64,
    block: Option<(f64, f64)>,
    /// Heights of its neighbour's foot, and of the rail's underside and top.
    beside: [f64; 3],
}

impl<'a> AsReceived<'a> {
    fn of(site: &'a Site, setout: &SetOut, newel: &'a NewelSet, received: &ReceivedNewel) -> Self {
        let (along, across) = (newel.along.as_mm(), newel.across.as_mm());
        let wanted = newel.height.as_mm();
        let length = received.length.as_ref().map_or(wanted, crate::job::Len::mm);
        let drawn = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]
            .map(|(x, y)| Point2::new(x * along, y * across));
        let read = received.section.as_ref().and_then(four_sided);
        let twist = received.twist.as_ref();
        let foot_x = newel.foot.x;
        let (low, high) = plan::extent(&newel.footprint, |point| point.x);
        let rail = &setout.rail;
        let end = if newel.at_foot {
            rail.lower
        } else {
            rail.upper
        };
        let top = end.z - newel.foot.z;
        let plumb = rail.depth.as_mm() / rail.pitch.angle().as_radians().cos();
        let block = received.block.as_ref();
        let block = block.map(|block| (block.from.mm(), block.to.mm()));
        // With a block the rail decides how low it stands, else its own height does.
        let spare = block.map_or(length - wanted, |(from, to)| {
            f64::midpoint(to - top, from - (top - plumb))
        });
        let trim = spare.max(0.0);
        let lean = received.foot.as_ref().map_or(Vector2::zeros(), |foot| {
            let (uphill, outward) = (foot.uphill.mm(), foot.outward.mm());
            if trim >= uphill.abs().max(outward.abs()) {
                // The saw goes through all of it, and square.
                return Vector2::zeros();
            }
            let to_left = site.outward * outward;
            Vector2::new(uphill / along * length, to_left / across * length)
        });
        Self {
            site,
            newel,
            corners: (!newel.round || read.is_some()).then(|| read.unwrap_or(drawn)),
            reach: if newel.at_foot {
                high - foot_x
            } else {
                foot_x - low
            },
            length,
            wind: twist.map_or(0.0, |twist| twist.value.as_radians() / length),
            lean,
            cap: length - trim - wanted,
            trim,
            block: block.map(|(from, to)| (from - trim, to - trim)),
            beside: [neighbour_foot(setout, newel), top - plumb, top],
        }
    }

    /// The change of the gap beside it at a height, turned by so many quarter turns.
    fn gap(&self, quarter_turns: u8, height: f64) -> f64 {
        let towards = if self.newel.at_foot { 1.0 } else { -1.0 };
        let quarter = f64::from(quarter_turns) * std::f64::consts::FRAC_PI_2;
        let turn = quarter + self.newel.twist.as_radians() + self.wind * height;
        let reach = self.corners.map_or(self.reach, |corners| {
            let turn = Rotation2::new(turn);
            let reaches = corners.map(|corner| towards * (turn * corner).x);
            reaches.into_iter().fold(f64::NEG_INFINITY, f64::max)
        });
        let leans = (Rotation2::new(quarter) * self.lean).x * height / self.length;
        self.reach - reach - towards * leans
    }

    fn effects(&self, quarter_turns: u8) -> NewelEffects {
        let [foot, underside, top] = self.beside;
        let quarter = f64::from(quarter_turns) * std::f64::consts::FRAC_PI_2;
        let lean = Rotation2::new(quarter) * self.lean;
        let outward = self.site.outward * lean.y;
        NewelEffects {
            gap_at_foot: Length::mm(self.gap(quarter_turns, foot)),
            gap_at_rail: Length::mm(self.gap(quarter_turns, top)),
            block_reveals: self
                .block
                .map(|(from, to)| (Length::mm(to - top), Length::mm(underside - from))),
            lean_uphill: Length::mm(lean.x),
            lean_outward: Length::mm(outward),
            cap: Length::mm(self.cap),
            trim: Length::mm(self.trim),
        }
    }
}

/// Height of the foot of the baluster beside a newel, above the newel's; nothing where there is none.
fn neighbour_foot(setout: &SetOut, newel: &NewelSet) -> f64 {
    let name = setout.gaps.iter().find_map(|gap| {
        if gap.below == newel.name {
            Some(&gap.above)
        } else if gap.above == newel.name {
            Some(&gap.below)
        } else {
            None
        }
    });
    let beside = name.and_then(|name| setout.balusters.iter().find(|one| &one.name == name));
    beside.map_or(0.0, |one| (one.foot.z - newel.foot.z).max(0.0))
}
