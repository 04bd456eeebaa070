//! How treads, landings and floors lie, as a carpenter's level laid on them shows it: one end bears,
//! and under the other a gap opens.

use nalgebra::Point3;

use crate::measure::Length;
use crate::site::{Site, Step};

use super::Stands;

/// Which way a level is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LevelWay {
    /// From the open side to the wall side.
    Across,
    /// From the nosing (of a floor: from its downhill edge) back.
    Back,
}

/// The gap under a level that lies on a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelGap {
    /// The part, by its name in the whole stair; of a floor `floor`, of a landing its name.
    pub part: String,
    /// Which way the level is laid.
    pub way: LevelWay,
    /// The rise of the gap: more than nothing where the open side, the nosing or a floor's downhill
    /// edge is high.
    pub gap: Length,
    /// The length that the level lies over.
    pub span: Length,
    /// The end on which it bears, mm in the first run's frame.
    pub high: Point3<f64>,
    /// The surface under its other end, in the same.
    pub low: Point3<f64>,
}

impl LevelGap {
    /// From the end that counts as high to the other.
    fn between(part: String, way: LevelWay, stands: &Stands<'_>, ends: [Point3<f64>; 2]) -> Self {
        let [one, other] = ends;
        let gap = one.z - other.z;
        let (high, low) = if gap < 0.0 {
            (other, one)
        } else {
            (one, other)
        };
        Self {
            part,
            way,
            gap: Length::mm(gap),
            span: Length::mm((one.xy() - other.xy()).norm()),
            high: stands.frame.to_first(&high),
            low: stands.frame.to_first(&low),
        }
    }
}

/// Across a step, along its nosing.
pub(super) fn across(stands: &Stands<'_>, step: &Step) -> LevelGap {
    let site = stands.site;
    let end = |q: f64| site.at(step.nosing_at(q), q, step.nosing_top(q));
    // Read level, not along the splay of a nosing: both ends stand at the same distance up.
    let tilt = |q: f64| step.top(step.nosing_x(), q);
    let (open, wall) = (end(step.open_q), end(step.wall_q));
    let ends = [
        Point3::new(open.x, open.y, tilt(step.open_q)),
        Point3::new(wall.x, wall.y, tilt(step.wall_q)),
    ];
    LevelGap::between(named(site, step), LevelWay::Across, stands, ends)
}

/// From the nosing back over a step, at its open end.
pub(super) fn back(stands: &Stands<'_>, step: &Step) -> LevelGap {
    let (site, q) = (stands.site, step.open_q);
    let end = |x: f64| site.at(x, q, step.top(x, q));
    let ends = [end(step.nosing_at(q)), end(step.back_at(q))];
    LevelGap::between(named(site, step), LevelWay::Back, stands, ends)
}

fn named(site: &Site, step: &Step) -> String {
    site.named(format_args!("T{}", step.number))
}

/// The lower floor over as much as a tread's length and the width of the flight up to the first
/// kick, where it is drawn with the run; and its landings.
pub(super) fn floors(stands: &Stands<'_>) -> Vec<LevelGap> {
    let site = stands.site;
    let mut told = Vec::new();
    if let (true, Some(first)) = (site.floor_drawn, site.steps.first()) {
        let at = |x: f64, q: f64| site.at(x, q, site.lower_floor(x, q));
        let (out, wall) = (first.open_q, first.wall_q);
        let away = -(first.going + first.overhang);
        let mut tell = |way, ends| {
            told.push(LevelGap::between("floor".to_owned(), way, stands, ends));
        };
        tell(LevelWay::Across, [at(away, out), at(away, wall)]);
        tell(LevelWay::Back, [at(away, out), at(0.0, out)]);
    }
    for landing in &site.landings {
        let [down_open, up_open, _, down_wall] = landing.corners;
        let mut tell = |way, ends| {
            told.push(LevelGap::between(landing.name.clone(), way, stands, ends));
        };
        tell(LevelWay::Across, [down_open, down_wall]);
        tell(LevelWay::Back, [down_open, up_open]);
    }
    told
}
