//! The rail between the real faces that it meets: end points, lengths and end cuts.
//!
//! mm in the flight's frame. A rail stands in the plumb plane over the baluster line; its sides are
//! plumb and its top level across.

use nalgebra::{Point3, Unit, Vector3};

use crate::job::{Blocking, Job, Len, RailEnd};
use crate::measure::{Length, Pitch};
use crate::site::Site;

use super::cut::end_cut;
use super::rail_window::RakeLine;
use super::{BalusterLine, EndCut, NewelSet, RailSet, SetOutError, WindowReport, half_newel};

/// A face that an end of the rail meets: a point on it, and its normal towards the rail.
#[derive(Clone, Copy, Debug)]
pub(super) struct Face {
    pub(super) point: Point3<f64>,
    pub(super) normal: Unit<Vector3<f64>>,
}

/// A straight piece over the baluster line before it is cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Course {
    /// A point of its top in the middle (its underside for a bottom rail).
    pub(super) start: Point3<f64>,
    /// Along it, upwards.
    pub(super) along: Vector3<f64>,
    /// Level, to the left of its way up.
    pub(super) left: Vector3<f64>,
}

impl Course {
    pub(super) fn new(site: &Site, line: &BalusterLine, height: RakeLine) -> Self {
        let start = site.at(0.0, line.at(0.0), height.at(0.0));
        let along = Vector3::new(1.0, site.outward * line.slope, height.slope).normalize();
        let left = Vector3::z().cross(&along).normalize();
        Self { start, along, left }
    }

    /// Square to its length, in the plumb plane, upwards.
    pub(super) fn up(&self) -> Vector3<f64> {
        self.along.cross(&self.left)
    }

    /// Where a line along it, shifted across and up, meets a face.
    pub(super) fn meet(&self, across: f64, up: f64, face: &Face) -> Option<f64> {
        let from = self.start + self.left * across + self.up() * up;
        let approach = face.normal.dot(&self.along);
        let distance = (face.point - from).dot(&face.normal) / approach;
        distance.is_finite().then_some(distance)
    }

    fn point(&self, distance: f64) -> Point3<f64> {
        self.start + self.along * distance
    }
}

/// The side of a newel that looks along a direction.
pub(super) fn newel_face(newel: &NewelSet, towards: &Vector3<f64>) -> Option<Face> {
    let count = newel.footprint.len();
    (0..count)
        .filter_map(|i| {
            let (a, b) = (newel.footprint[i], newel.footprint[(i + 1) % count]);
            let edge = Vector3::new(b.x - a.x, b.y - a.y, 0.0);
            let normal = Unit::try_new(edge.cross(&newel.axis), f64::MIN_POSITIVE)?;
            Some(Face {
                point: Point3::new(a.x, a.y, newel.foot.z),
                normal,
            })
        })
        .max_by(|a, b| a.normal.dot(towards).total_cmp(&b.normal.dot(towards)))
}

/// The face that one end of the rail meets.
pub(super) fn end_face(
    site: &Site,
    newels: &[NewelSet],
    end: &RailEnd,
    course: &Course,
    upper: bool,
    stand_off: f64,
) -> Result<Face, SetOutError> {
    let field = if upper {
        "design.rail.upper"
    } else {
        "design.rail.lower"
    };
    let fault = |problem: String, help: &str| SetOutError {
        path: field.to_owned(),
        problem,
        help: help.to_owned(),
    };
    let towards = if upper { -course.along } else { course.along };
    match end {
        RailEnd::Newel(name) => newels
            .iter()
            .find(|newel| &newel.name == name)
            .and_then(|newel| newel_face(newel, &towards))
            .ok_or_else(|| {
                fault(
                    format!("there is no newel {name}"),
                    "name one of design.newels",
                )
            }),
        RailEnd::HalfNewel { .. } => {
            let half = half_newel::stand(site, end, &course.start, &course.along, upper)
                .map_err(|(problem, help)| fault(problem, help))?;
            Ok(half.map_or_else(
                || Face {
                    point: course.start,
                    normal: Unit::new_normalize(towards),
                },
                |half| Face {
                    point: half.face,
                    normal: Unit::new_normalize(half.normal),
                },
            ))
        }
        RailEnd::Wall { wall, .. } => {
            let face = site.wall(wall).ok_or_else(|| {
                fault(format!("there is no wall {wall}"), "name one of the walls")
            })?;
            let (point, _, normal) = face.meet(&course.start, &course.along).ok_or_else(|| {
                fault(
                    format!("the rail runs along wall {wall} and never meets it"),
                    "end it on a wall that crosses its way",
                )
            })?;
            let normal = Unit::new_normalize(normal);
            if normal.dot(&towards) <= 0.0 {
                return Err(fault(
                    format!("the rail comes to wall {wall} from behind"),
                    "exchange the wall's from and to: the room lies to the left of that direction",
                ));
            }
            // A rail is cut to its rosette's face.
            Ok(Face {
                point: point + normal.into_inner() * stand_off,
                normal,
            })
        }
    }
}

/// Thickness of a rosette between rail and wall: 3/4 in, common practice, no source.
pub const ROSETTE_THICKNESS: f64 = 19.05;

/// Size of a rail's section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Size<'a> {
    pub(super) name: &'a str,
    pub(super) width: Length,
    pub(super) depth: Length,
    /// Where the section's depth lies from the course: 0 downwards for a rail, 1 upwards for a
    /// bottom rail.
    pub(super) above_course: bool,
}

/// Cuts a course between two faces.
pub(super) fn cut(
    course: &Course,
    faces: [Face; 2],
    size: Size<'_>,
    window: WindowReport,
) -> Result<RailSet, SetOutError> {
    let fault = || SetOutError {
        path: "design.rail".to_owned(),
        problem: format!(
            "rail {} has no length between the faces it should meet",
            size.name
        ),
        help: "look at where its newels stand".to_owned(),
    };
    let ends = faces.map(|face| course.meet(0.0, 0.0, &face));
    let [Some(low), Some(high)] = ends else {
        return Err(fault());
    };
    if high <= low {
        return Err(fault());
    }
    let (half, depth) = (size.width.as_mm() / 2.0, size.depth.as_mm());
    let ups = if size.above_course {
        [0.0, depth]
    } else {
        [-depth, 0.0]
    };
    let corners = [
        (-half, ups[0]),
        (half, ups[0]),
        (-half, ups[1]),
        (half, ups[1]),
    ];
    let of_face =
        |face: &Face| corners.map(|(across, up)| course.meet(across, up, face).unwrap_or(low));
    let (lows, highs) = (of_face(&faces[0]), of_face(&faces[1]));
    let most = |values: &[f64]| values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
    let level = course.along.xy().norm();
    Ok(RailSet {
        name: size.name.to_owned(),
        lower: course.point(low),
        upper: course.point(high),
        pitch: Pitch::from_slope(course.along.z / level),
        width: size.width,
        depth: size.depth,
        long_points: Length::mm(most(&highs) - least(&lows)),
        short_points: Length::mm(least(&highs) - most(&lows)),
        lower_cut: cut_at(course, course.point(low), &faces[0], -course.along),
        upper_cut: cut_at(course, course.point(high), &faces[1], course.along),
        window,
        fittings: Vec::new(),
        over: Vec::new(),
    })
}

fn cut_at(course: &Course, point: Point3<f64>, face: &Face, along: Vector3<f64>) -> EndCut {
    end_cut(point, -face.normal, &along, &course.left)
}

/// A rail's end on a wall.
#[derive(Clone, Debug)]
pub struct WallLanding<'a> {
    /// The wall's name.
    pub wall: &'a str,
    /// The size of the rosette.
    pub rosette: &'a Len,
    /// The blocking that the rosette should stand on.
    pub blocking: &'a Blocking,
    /// Where the middle of the rail's end meets the wall's face, mm.
    pub point: Point3<f64>,
    /// The distance of that point along the wall, mm.
    pub along: f64,
}

/// Where the rail lands on walls: none, one or both of its ends, the lower first.
#[must_use]
pub fn landings<'a>(job: &'a Job, site: &Site, rail: &RailSet) -> Vec<WallLanding<'a>> {
    let direction = rail.upper - rail.lower;
    // The middle of the rosette stands behind the middle of the rail's end.
    let up = direction.cross(&Vector3::z().cross(&direction)).normalize();
    let design = &job.design.rail;
    [(&design.lower, rail.lower), (&design.upper, rail.upper)]
        .into_iter()
        .filter_map(|(end, point)| {
            let RailEnd::Wall {
                wall,
                rosette,
                blocking,
            } = end
            else {
                return None;
            };
            let middle = point - up * (rail.depth.as_mm() / 2.0);
            let (point, along, _) = site.wall(wall)?.meet(&middle, &direction)?;
            Some(WallLanding {
                wall,
                rosette,
                blocking,
                point,
                along,
            })
        })
        .collect()
}
