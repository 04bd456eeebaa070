//! Half newels: planted on a wall, plumb, and scribed to the wall as found.
//!
//! mm in the flight's frame.

use nalgebra::{Point3, Vector3};

use crate::job::RailEnd;
use crate::measure::Length;
use crate::site::{Site, WallFace};

use super::HalfNewelSet;

/// Stands the half newel that an end of the rail meets, where a line that runs along the rail comes
/// to its wall. `None` for an end of another kind.
///
/// # Errors
/// What is wrong and what would do, where the line does not come to the wall's face.
pub(super) fn stand(
    site: &Site,
    end: &RailEnd,
    from: &Point3<f64>,
    way: &Vector3<f64>,
    upper: bool,
) -> Result<Option<HalfNewelSet>, (String, &'static str)> {
    let RailEnd::HalfNewel {
        wall,
        section,
        height,
        ..
    } = end
    else {
        return Ok(None);
    };
    let face = site
        .wall(wall)
        .ok_or_else(|| (format!("there is no wall {wall}"), "name one of the walls"))?;
    let (point, along, _) = face.meet(from, way).ok_or_else(|| {
        (
            format!("the rail runs along wall {wall} and never meets it"),
            "end it on a wall that crosses its way",
        )
    })?;
    let run = (face.to - face.from) / face.length();
    let normal = Vector3::new(-run.y, run.x, 0.0);
    let out = if upper { -1.0 } else { 1.0 };
    if normal.dot(way) * out <= 0.0 {
        return Err((
            format!("the rail comes to wall {wall} from behind"),
            "exchange the wall's from and to: the room lies to the left of that direction",
        ));
    }
    let (thickness, across) = (section.along(), section.across());
    let middle = point + normal * (thickness.as_mm() / 2.0);
    let q = site.outward * middle.y;
    let ground = site.height_of(site.tread_under(middle.x), middle.x, q);
    let up = [ground, ground + height.mm()];
    let (least, most) = offsets(face, along, across.as_mm() / 2.0, up);
    let off = least + thickness.as_mm();
    let plan = face.from + run * along;
    let at = Point3::new(plan.x, plan.y, ground) + normal * off;
    let keeps = up.map(|up| Length::mm(off - face.field.offset(along, up)));
    Ok(Some(HalfNewelSet {
        name: format!("half newel on {wall}"),
        wall: wall.clone(),
        upper,
        face: at,
        normal,
        thickness,
        across,
        height: height.value,
        scribe: (Length::ZERO, Length::mm(most - least)),
        keeps: (keeps[0], keeps[1]),
    }))
}

/// The least and greatest offset of a wall behind a half newel.
fn offsets(face: &WallFace, along: f64, half: f64, up: [f64; 2]) -> (f64, f64) {
    let share = |number: u32, places: u32| f64::from(number) / f64::from(places);
    let places = (0..=ACROSS).flat_map(|i| (0..=UP).map(move |j| (i, j)));
    let found = places.map(|(i, j)| {
        let along = along + half * (2.0 * share(i, ACROSS) - 1.0);
        face.field
            .offset(along, up[0] + (up[1] - up[0]) * share(j, UP))
    });
    found.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), off| {
        (low.min(off), high.max(off))
    })
}

/// Places across and up a half newel at which the wall behind it is looked at: a hand's width apart
/// at most, closer than any bow.
const ACROSS: u32 = 4;
const UP: u32 = 16;

impl HalfNewelSet {
    /// x of its face at an offset across the flight, mm; `None` where the face runs along x.
    pub(super) fn face_x(&self, y: f64) -> Option<f64> {
        let x = self.face.x - (y - self.face.y) * self.normal.y / self.normal.x;
        x.is_finite().then_some(x)
    }
}
