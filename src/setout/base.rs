//! What balusters stand on instead of the treads: a bottom rail, or a shoe over a half wall or a
//! closed string; and the fillets that fill ploughs between them.
//!
//! mm in the flight's frame.

use crate::job::{Body, Ground, Job, Plough};
use crate::measure::{Length, Pitch};
use crate::site::Site;

use super::rail::{Course, Face, Size, cut};
use super::rail_window::nosing_line;
use super::{BalusterLine, Neighbour, RailSet, SetOutError, WindowReport};

/// A shoe and what it runs along.
#[derive(Clone, Debug)]
pub struct BaseSet {
    /// Half wall or closed string.
    pub is: Body,
    /// Its body: the middle of its top at both ends, its thickness as the width.
    pub body: RailSet,
    /// The cap on it: the middle of its underside at both ends.
    pub cap: Option<RailSet>,
    /// The shoe: the middle of its underside at both ends.
    pub shoe: RailSet,
    /// Width and depth of the plough in the shoe's top.
    pub plough: (Length, Length),
}

/// A fillet between two neighbours in a plough, its ends cut plumb.
#[derive(Clone, Debug, PartialEq)]
pub struct Fillet {
    /// The piece with the plough.
    pub piece: String,
    /// The lower neighbour.
    pub below: String,
    /// The upper neighbour.
    pub above: String,
    /// Its width, level.
    pub width: Length,
    /// Its thickness, square to the slope.
    pub thickness: Length,
    /// Length of each edge along the slope.
    pub edge: Length,
    /// Along the slope between its farthest corners.
    pub long_points: Length,
    /// Along the slope between its nearest corners.
    pub short_points: Length,
    /// The cut at each end from square.
    pub angle: Pitch,
}

/// A piece below the balusters, for what they stand in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Underfoot<'a> {
    pub(super) piece: &'a RailSet,
    pub(super) course: Course,
    /// How deep they stand in its top, square to it.
    pub(super) plough: f64,
    /// True where they have pegs.
    pub(super) pegged: bool,
}

/// Everything below the balusters.
pub(super) enum Below {
    /// The treads.
    Treads,
    /// A bottom rail.
    Rail(Box<RailSet>, Course),
    /// A shoe.
    Shoe(Box<BaseSet>, Course),
}

impl Below {
    pub(super) fn underfoot(&self) -> Option<Underfoot<'_>> {
        match self {
            Self::Treads => None,
            Self::Rail(piece, course) => Some(Underfoot {
                piece,
                course: *course,
                plough: 0.0,
                pegged: true,
            }),
            Self::Shoe(base, course) => Some(Underfoot {
                piece: &base.shoe,
                course: *course,
                plough: base.plough.1.as_mm(),
                pegged: false,
            }),
        }
    }

    /// The bottom rail or the shoe's whole.
    pub(super) fn parts(self) -> (Option<RailSet>, Option<BaseSet>) {
        match self {
            Self::Treads => (None, None),
            Self::Rail(rail, _) => (Some(*rail), None),
            Self::Shoe(base, _) => (None, Some(*base)),
        }
    }
}

/// Sets out what the job puts below the balusters. `faces` gives what a piece's ends meet.
///
/// # Errors
/// [`SetOutError`] where a piece has no length or no end.
pub(super) fn solve(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    faces: impl Fn(&Course) -> Result<[Face; 2], SetOutError>,
) -> Result<Below, SetOutError> {
    let named = |name: &str, raised: f64, width: Length, depth: Length, above_course: bool| {
        let height = nosing_line(site).raised(raised);
        let course = Course::new(site, line, height);
        let size = Size {
            name,
            width,
            depth,
            above_course,
        };
        let nothing = no_window(Length::mm(raised));
        cut(&course, faces(&course)?, size, nothing).map(|piece| (piece, course))
    };
    let piece = |name: &str, raised: f64, width: Length, depth: Length, above_course: bool| {
        named(&site.named(name), raised, width, depth, above_course)
    };
    if let Some(design) = &job.design.bottom_rail {
        let (width, depth) = (design.width.value, design.depth.value);
        let (rail, course) = named(&design.name, design.above.mm(), width, depth, true)?;
        return Ok(Below::Rail(Box::new(rail), course));
    }
    let Ground::Shoe {
        is,
        above,
        thickness,
        depth,
        cap,
        shoe,
        plough,
        ..
    } = &job.design.balusters.on
    else {
        return Ok(Below::Treads);
    };
    let top = above.mm();
    let course = Course::new(site, line, nosing_line(site).raised(top));
    // Square to the slope for each length plumb.
    let square = course.up().z;
    let reach = depth.as_ref().map_or_else(
        || to_the_floor(site, nosing_line(site).raised(top).slope, top),
        crate::job::Len::mm,
    );
    let name = match is {
        Body::HalfWall => HALF_WALL,
        Body::ClosedString => CLOSED_STRING,
    };
    let deep = Length::mm(reach * square);
    let (body, _) = piece(name, top, thickness.value, deep, false)?;
    let cap_thick = cap.as_ref().map_or(0.0, |cap| cap.thickness.mm());
    let cap = match cap {
        Some(cap) => {
            let (width, thick) = (cap.width.value, cap.thickness.value);
            Some(piece(CAP, top, width, thick, true)?.0)
        }
        None => None,
    };
    let on_cap = top + cap_thick / square;
    let (width, thick) = (shoe.width.value, shoe.thickness.value);
    let (shoe, course) = piece(SHOE, on_cap, width, thick, true)?;
    let base = BaseSet {
        is: *is,
        body,
        cap,
        shoe,
        plough: (plough.width.value, plough.depth.value),
    };
    Ok(Below::Shoe(Box::new(base), course))
}

/// What the program calls the pieces under a shoe.
pub const SHOE: &str = "shoe";
/// The cap under it.
pub const CAP: &str = "cap";
/// The wall under that.
pub const HALF_WALL: &str = "half wall";
/// Or the string.
pub const CLOSED_STRING: &str = "closed string";

/// A half wall's depth plumb under its top, enough to reach the lower floor anywhere, mm.
fn to_the_floor(site: &Site, slope: f64, top: f64) -> f64 {
    let stations = site.stations();
    let highest = stations.last().map_or(0.0, |last| last.height);
    let past = site
        .steps
        .last()
        .map_or(0.0, |step| step.going + step.overhang);
    highest + top.abs() + slope.abs() * past + UNDER_FLOOR
}

/// A half wall is drawn this far on, and cut off at the floor.
const UNDER_FLOOR: f64 = 300.0;

/// A report for a piece that no window bounds.
pub(super) fn no_window(above: Length) -> WindowReport {
    WindowReport {
        lowest: (above, 0),
        highest: (above, 0),
        asked: (None, None),
        killed_by: None,
    }
}

/// The fillets of a plough between neighbours: `thickness` square to the slope.
///
/// Between plumb faces a level gap apart, each edge is gap / cos pitch (the rake over the gap), and
/// the plumb cuts carry one edge beyond the other by thickness * tan pitch.
pub(super) fn fillets(
    piece: &RailSet,
    course: &Course,
    plough: &Plough,
    thickness: Length,
    row: &[Neighbour],
) -> Vec<Fillet> {
    let pitch = Pitch::from_slope(course.along.z / course.along.xy().norm());
    let shift = thickness * pitch.slope().abs();
    row.windows(2)
        .filter(|pair| pair[1].low > pair[0].high)
        .map(|pair| {
            let edge = Length::mm((pair[1].low - pair[0].high) / course.along.x);
            Fillet {
                piece: piece.name.clone(),
                below: pair[0].name.clone(),
                above: pair[1].name.clone(),
                width: plough.width.value,
                thickness,
                edge,
                long_points: edge + shift,
                short_points: edge - shift,
                angle: pitch,
            }
        })
        .collect()
}
