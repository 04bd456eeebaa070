//! The handrail on the wall side: a straight rail that clears the wall as found, its brackets and
//! its returned ends.
//!
//! mm in the flight's frame; offsets `q` outward from y = 0.

use nalgebra::{Point3, Unit, Vector3};

use crate::job::{Job, WallRail, WallRailEnd};
use crate::measure::{Angle, Length, Pitch};
use crate::site::{Site, WallFace};

use super::cut::end_cut;
use super::programme::{self, Bound, Line};
use super::rail_window::{RakeLine, solve_for};
use super::{
    BracketSet, EndCut, Limits, ReturnSet, SetOutError, WallRailSet, WindowReport, rail_window,
    worked,
};

/// The wall is looked at this close along the rail, mm: closer than any bow.
const STATION_MM: f64 = 25.0;

/// Sets out the handrail on the wall side, if the job has one.
///
/// The plan line keeps the clearance everywhere, and of all that do its greatest distance from the
/// wall is least: a linear programme over stations along the rail.
///
/// `marked` are its heights over the first and last nosing, where they are given.
///
/// # Errors
/// [`SetOutError`] where the wall does not run beside the flight, or the rail has no length.
pub(super) fn solve(
    job: &Job,
    site: &Site,
    limits: &Limits,
    marked: Option<[Length; 2]>,
) -> Result<Option<WallRailSet>, SetOutError> {
    let Some(design) = &job.design.wall_rail else {
        return Ok(None);
    };
    let (Some(first), Some(last)) = (site.steps.first(), site.steps.last()) else {
        return Ok(None);
    };
    let fault = |problem: String, help: &str| SetOutError {
        path: "design.wall_rail".to_owned(),
        problem,
        help: help.to_owned(),
    };
    let face = site.wall(&design.wall).ok_or_else(|| {
        let problem = format!("there is no wall {}", design.wall);
        fault(problem, "name one of the walls")
    })?;
    let ends = [
        first.nosing_x() - design.extend_lower.mm(),
        last.nosing_x() + design.extend_upper.mm(),
    ];
    if ends[1] <= ends[0] {
        let problem = format!("rail {} has no length between its ends", design.name);
        return Err(fault(problem, "let it run on further"));
    }
    let own = Limits {
        rail_low: limits.handrail_low,
        rail_high: limits.handrail_high,
        ..*limits
    };
    let (height, window) = match marked.and_then(|heights| worked::through(site, heights)) {
        Some(height) => (height, rail_window::report(site, height, &own, None)),
        None => solve_for(site, (design.height.value, design.hold), &own),
    };
    let beside = Beside {
        site,
        design,
        face,
        height,
    };
    let stations = beside.stations(ends).ok_or_else(|| {
        fault(
            format!(
                "wall {} does not run beside the flight where rail {} would",
                design.wall, design.name
            ),
            "name the wall along the wall side, with the room on its left hand, or shorten the rail",
        )
    })?;
    let line = beside.line(&stations, ends).ok_or_else(|| {
        let problem = format!("no straight line clears wall {}", design.wall);
        fault(problem, "look at the wall's readings")
    })?;
    Ok(Some(beside.set(&stations, (line, ends), window)))
}

/// A rail beside a wall.
struct Beside<'a> {
    site: &'a Site,
    design: &'a WallRail,
    face: &'a WallFace,
    height: RakeLine,
}

/// The wall at a place up the flight: the outward offset of its face where it comes furthest into
/// the room beside the rail.
#[derive(Clone, Copy)]
struct Station {
    x: f64,
    wall: f64,
}

/// A plan line by its outward offset at x = 0 and what that grows by.
type PlanLine = RakeLine;

impl Beside<'_> {
    /// Where the wall stands beside the rail at a place, at a height.
    fn wall_at(&self, x: f64, z: f64) -> Option<f64> {
        let across = Vector3::new(0.0, -self.site.outward, 0.0);
        let (point, along, normal) = self.face.meet(&Point3::new(x, 0.0, z), &across)?;
        let beside = (0.0..=self.face.length()).contains(&along);
        // The room, and so the rail, lies before the face.
        (beside && normal.dot(&across) < 0.0).then_some(self.site.outward * point.y)
    }

    fn stations(&self, ends: [f64; 2]) -> Option<Vec<Station>> {
        let count = ((ends[1] - ends[0]) / STATION_MM).ceil().max(1.0) as u32;
        let steep = self.height.slope.hypot(1.0);
        let plumb_depth = self.design.depth.mm() * steep;
        (0..=count)
            .map(|number| {
                let x = ends[0] + (ends[1] - ends[0]) * f64::from(number) / f64::from(count);
                let top = self.height.at(x);
                let walls = [0.0, 0.5, 1.0].map(|share| self.wall_at(x, top - plumb_depth * share));
                let [a, b, c] = walls;
                Some(Station {
                    x,
                    wall: a?.max(b?).max(c?),
                })
            })
            .collect()
    }

    /// The plan line of the rail's wall-side face.
    fn line(&self, stations: &[Station], ends: [f64; 2]) -> Option<PlanLine> {
        let s = |x: f64| (x - ends[0]) / (ends[1] - ends[0]);
        let from = |clear: f64| {
            let bounds: Vec<Bound> = stations
                .iter()
                .map(|station| Bound {
                    s: s(station.x),
                    low: station.wall + clear,
                    high: f64::INFINITY,
                })
                .collect();
            let values: Vec<(f64, f64)> = stations
                .iter()
                .map(|station| (s(station.x), station.wall + clear))
                .collect();
            // All departures are outward, so the least greatest one is the closest line.
            let level = Line::through(&values)?;
            let (line, _) = programme::evenest(&values, true, &[], level)?;
            Some(lifted(line, &bounds))
        };
        let clear = self.design.clear.mm();
        let first = from(clear)?;
        // Clearance is square to the rail, not across the flight.
        let turn = (first.upper - first.lower) / (ends[1] - ends[0]);
        let line = from(clear * turn.hypot(1.0))?;
        let slope = (line.upper - line.lower) / (ends[1] - ends[0]);
        Some(PlanLine {
            at_foot: line.lower - slope * ends[0],
            slope,
        })
    }

    fn set(
        &self,
        stations: &[Station],
        (line, ends): (PlanLine, [f64; 2]),
        window: WindowReport,
    ) -> WallRailSet {
        let design = self.design;
        let turn = line.slope.hypot(1.0);
        let middle = design.width.mm() / 2.0 * turn;
        let point = |x: f64| self.site.at(x, line.at(x) + middle, self.height.at(x));
        let (lower, upper) = (point(ends[0]), point(ends[1]));
        let along = (upper - lower).normalize();
        let clears = stations
            .iter()
            .map(|station| ((line.at(station.x) - station.wall) / turn, station.x));
        let told = |(clear, x): (f64, f64)| (Length::mm(clear), Length::mm(x));
        let worst = (f64::INFINITY, 0.0);
        let least = clears.clone().min_by(|a, b| a.0.total_cmp(&b.0));
        let most = clears.max_by(|a, b| a.0.total_cmp(&b.0));
        let returned = |end: WallRailEnd, corner: Point3<f64>, out: Vector3<f64>| match end {
            WallRailEnd::Return => self.returned(corner, out),
            WallRailEnd::Plain => None,
        };
        let returns = [
            returned(design.lower, lower, -along),
            returned(design.upper, upper, along),
        ];
        let cuts = [(&returns[0], lower, -along), (&returns[1], upper, along)]
            .map(|(returned, at, out)| self.rail_cut(returned.as_ref(), at, out, along));
        let lengths = lengths(design, along, lower, &cuts);
        let [lower_cut, upper_cut] = cuts;
        WallRailSet {
            name: design.name.clone(),
            wall: design.wall.clone(),
            lower,
            upper,
            pitch: Pitch::from_slope(along.z / along.xy().norm()),
            width: design.width.value,
            depth: design.depth.value,
            long_points: lengths.0,
            short_points: lengths.1,
            lower_cut,
            upper_cut,
            window,
            least_clear: told(least.unwrap_or(worst)),
            most_clear: told(most.unwrap_or(worst)),
            brackets: self.brackets(lower, upper),
            returns,
        }
    }

    /// The way to the wall, level and square to the rail.
    fn to_wall(&self, along: &Vector3<f64>) -> Vector3<f64> {
        let left = Vector3::z().cross(along).normalize();
        // Left of the way up is outward where the open side is on the left.
        left * -self.site.outward
    }

    /// The piece that returns an end to the wall, square to the wall as found.
    fn returned(&self, corner: Point3<f64>, out: Vector3<f64>) -> Option<ReturnSet> {
        let up_flight = if out.x >= 0.0 { out } else { -out };
        let (_, _, normal) = self.face.meet(&corner, &self.to_wall(&up_flight))?;
        let way = Vector3::new(-normal.x, -normal.y, 0.0).try_normalize(f64::MIN_POSITIVE)?;
        let (on_wall, _, normal) = self.face.meet(&corner, &way)?;
        let turn = out.angle(&way);
        let half = self.design.width.mm() / 2.0;
        // Both long sides of the return, from the mitre to the wall.
        let reach = (on_wall - corner).norm();
        let taper = half * (turn / 2.0).tan();
        let left = Vector3::z().cross(&way).normalize();
        Some(ReturnSet {
            corner,
            on_wall,
            mitre: Angle::radians(turn / 2.0),
            wall_cut: end_cut(on_wall, Unit::new_normalize(-normal), &way, &left),
            long_point: Length::mm(reach + taper),
            short_point: Length::mm(reach - taper),
            roll: Pitch::from_slope(out.z.abs() / out.xy().norm()).angle(),
        })
    }

    /// The cut of the rail itself: half the turn to its return, or square.
    fn rail_cut(
        &self,
        returned: Option<&ReturnSet>,
        at: Point3<f64>,
        out: Vector3<f64>,
        along: Vector3<f64>,
    ) -> EndCut {
        let normal = returned.map_or(out, |one| {
            let way = (one.on_wall - one.corner).normalize();
            // The mitre's plane holds the corner and halves the turn.
            out + way
        });
        let left = Vector3::z().cross(&along).normalize();
        end_cut(at, Unit::new_normalize(normal), &out, &left)
    }

    /// Brackets, evenly spaced between the first and the last.
    fn brackets(&self, lower: Point3<f64>, upper: Point3<f64>) -> Vec<BracketSet> {
        let along = (upper - lower).normalize();
        let length = (upper - lower).norm();
        let from = self.design.first_bracket.mm().min(length / 2.0);
        let between = length - 2.0 * from;
        let spaces = (between / self.design.brackets_every.mm()).ceil().max(1.0);
        let up = along.cross(&Vector3::z().cross(&along).normalize());
        let to_wall = self.to_wall(&along);
        (0..=spaces as u32)
            .filter_map(|number| {
                let at = from + between * f64::from(number) / spaces;
                let under = lower + along * at - up * self.design.depth.mm();
                let (on_wall, _, _) = self.face.meet(&under, &to_wall)?;
                Some(BracketSet {
                    along: Length::mm(at),
                    under_rail: under,
                    on_wall,
                    stand_off: Length::mm((on_wall - under).norm()),
                })
            })
            .collect()
    }
}

/// A line shifted outward as far as its bounds take it, and no further.
fn lifted(line: Line, bounds: &[Bound]) -> Line {
    let by = line.worst_breach(bounds);
    Line {
        lower: line.lower + by,
        upper: line.upper + by,
    }
}

/// Lengths between the farthest and the nearest corners of the rail's ends.
fn lengths(
    design: &WallRail,
    along: Vector3<f64>,
    lower: Point3<f64>,
    cuts: &[EndCut; 2],
) -> (Length, Length) {
    let left = Vector3::z().cross(&along).normalize();
    let up = along.cross(&left);
    let (half, depth) = (design.width.mm() / 2.0, design.depth.mm());
    let corners = [(-half, 0.0), (half, 0.0), (-half, depth), (half, depth)];
    let reach = |cut: &EndCut| {
        corners.map(|(across, down)| {
            let from = lower + left * across - up * down;
            (cut.point - from).dot(&cut.normal) / along.dot(&cut.normal)
        })
    };
    let fold = |values: [f64; 4], more: fn(f64, f64) -> f64| {
        values.into_iter().reduce(more).unwrap_or_default()
    };
    let (low, high) = (reach(&cuts[0]), reach(&cuts[1]));
    (
        Length::mm(fold(high, f64::max) - fold(low, f64::min)),
        Length::mm(fold(high, f64::min) - fold(low, f64::max)),
    )
}
