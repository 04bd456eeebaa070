//! The openings of a stair without kicks: the ball that passes between one tread and the next.
//!
//! Both treads are as found, tilted and thick as they are. The ball's centre stays over the treads;
//! they are carried on past their ends, so that it cannot slip round them: a stringer or wall that
//! closes an end is left out, which can only make the ball greater.

use nalgebra::{Isometry3, Translation3, UnitQuaternion, Vector3};

use crate::job::Kicks;
use crate::measure::Length;
use crate::measure::tolerance::{BALL_AT_LIMIT_MM, BALL_MM};
use crate::rules::{Quantity, Rule};
use crate::site::Step;
use crate::solids::{Convex, floor_block, tread_block};

use super::around::Around;
use super::ball::{Asked, Cell, largest_ball};
use super::{Finding, Kind, Opening, opening};

/// How far the cell reaches on before and behind the opening: more than the radius of any ball that
/// a rule names.
const REACH_THROUGH: f64 = 120.0;
/// How far the treads are carried on past their ends.
const REACH_PAST: f64 = 200.0;

impl Around<'_> {
    /// Every opening between a tread or floor and the tread above it; none where there are kicks.
    pub(super) fn open_kicks(&self) -> (Vec<Opening>, Vec<Finding>) {
        if self.run.solid.job.flight.kicks == Kicks::Closed {
            return (Vec::new(), Vec::new());
        }
        let Some(asked) = self.length(Quantity::OpenKickBall) else {
            return (Vec::new(), Vec::new());
        };
        let steps = &self.site().steps;
        let belows = std::iter::once(None).chain(steps.iter().map(Some));
        belows
            .zip(steps)
            .filter(|(below, _)| self.counts(*below))
            .filter_map(|(below, above)| self.open_kick(below, above, asked))
            .unzip()
    }

    /// Whether an opening is high enough above the floor below to be limited. The floor is that of
    /// the first run: under a further run nothing nearer is known.
    fn counts(&self, below: Option<&Step>) -> bool {
        let foot = below.map_or(0.0, |tread| {
            let ends = [tread.open_q, tread.wall_q];
            ends.map(|q| tread.top(tread.back_at(q), q))
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max)
        });
        let height = Length::mm(foot + self.run.frame.origin.z);
        let limited = self.pack.open_kicks_above.as_ref();
        limited.is_none_or(|above| height > above.value)
    }

    fn open_kick(
        &self,
        below: Option<&Step>,
        above: &Step,
        (rule, limit): (&Rule, Length),
    ) -> Option<(Opening, Finding)> {
        let site = self.site();
        let ground = below.map_or_else(
            || site.named("F0"),
            |tread| site.named(format_args!("T{}", tread.number)),
        );
        let is_floor = above.number as usize == site.steps.len();
        let letter = if is_floor {
            "F1".to_owned()
        } else {
            format!("T{}", above.number)
        };
        let between = vec![ground, site.named(letter)];
        let (pieces, cell) = self.between_treads(below, above)?;
        let pieces: Vec<&Convex> = pieces.iter().collect();
        let ball = largest_ball(
            &pieces,
            &cell,
            &Asked {
                width: BALL_MM,
                limit: Some(limit.as_mm()),
                width_at_limit: BALL_AT_LIMIT_MM,
            },
        );
        let middle = Length::mm(f64::midpoint(ball.lower, ball.upper));
        let says = format!(
            "there is no kick between {}: a ball of {} passes; it must stay under {}",
            between.join(" and "),
            self.print(middle),
            self.print(limit)
        );
        let about = (Kind::OpenKick, between);
        Some(opening::found(about, ball, (rule, limit), says))
    }

    /// The two treads as obstacles, and the cell that the ball passes from front to back.
    fn between_treads(&self, below: Option<&Step>, above: &Step) -> Option<(Vec<Convex>, Cell)> {
        let site = self.site();
        let low = below.map_or(above.wall_q, |tread| tread.wall_q.max(above.wall_q));
        let high = below.map_or(above.open_q, |tread| tread.open_q.min(above.open_q));
        let past = [low - REACH_PAST, high + REACH_PAST];
        let ground = match below {
            Some(tread) => tread_block(site, tread, past, false),
            None => floor_block(site, past),
        };
        let pieces = vec![ground?, tread_block(site, above, past, true)?];
        let q = [low, high];
        let least = |values: [f64; 2]| values[0].min(values[1]);
        let most = |values: [f64; 2]| values[0].max(values[1]);
        let x = [
            least(q.map(|q| above.nosing_at(q))) - REACH_THROUGH,
            most(q.map(|q| above.kick_at(q))) + REACH_THROUGH,
        ];
        let top =
            |x: f64, q: f64| below.map_or_else(|| site.lower_floor(x, q), |step| step.top(x, q));
        let foot = least(q.map(|q| top(x[0], q).min(top(above.kick_at(q), q))));
        let head = most(q.map(|q| above.nosing_top(q)));
        if head <= foot || high <= low {
            return None;
        }
        let middle = site.at(
            f64::midpoint(x[0], x[1]),
            f64::midpoint(low, high),
            f64::midpoint(foot, head),
        );
        // The cell's u lies across the flight, its v up it.
        let turn =
            UnitQuaternion::from_axis_angle(&Vector3::z_axis(), -std::f64::consts::FRAC_PI_2);
        let frame = Isometry3::from_parts(Translation3::from(middle), turn);
        let half = Vector3::new((high - low) / 2.0, (x[1] - x[0]) / 2.0, (head - foot) / 2.0);
        Some((pieces, Cell { frame, half }))
    }
}
