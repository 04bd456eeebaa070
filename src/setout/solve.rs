//! The set-out from beginning to end.

use nalgebra::Point3;

use crate::job::{Job, RailEnd, Spacing};
use crate::measure::Length;
use crate::site::Site;

use super::built::Fixed;
use super::newel::Placed;
use super::rail::{Course, Face, Size};
use super::rail_window::RakeLine;
use super::spacing::Spot;
use super::upright::Between;
use super::{
    BalusterLine, BalusterSet, Choices, Gap, HalfNewelSet, Limits, NewelSet, RailSet, Reveal,
    SetOut, WindowReport, fitting, half_newel, line, newel, rail, rail_window, skirt, spacing,
    wall_rail,
};

/// A design that cannot be set out on this site.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}; {help}")]
pub struct SetOutError {
    /// The field of the job that stands in the way.
    pub path: String,
    /// What is wrong.
    pub problem: String,
    /// What would do.
    pub help: String,
}

/// What the runs beside a run lay down for it.
#[derive(Clone, Debug, Default)]
pub struct Joined {
    /// Newels that earlier runs set and that its rail meets, in its own frame.
    pub newels: Vec<NewelSet>,
    /// Its own newels in turns whose place across the run is given by the run that goes on from it:
    /// the name, and the offset outward.
    pub aside: Vec<(String, Length)>,
}

impl Joined {
    /// What was laid down for a run that is set out: to set it out again, a little changed.
    #[must_use]
    pub fn of(job: &Job, site: &Site, setout: &SetOut) -> Self {
        let turned = |name: &String| {
            let mut newels = job.design.newels.iter();
            newels.any(|newel| &newel.name == name && newel.also.is_some())
        };
        let aside =
            |newel: &NewelSet| (newel.name.clone(), Length::mm(site.outward * newel.foot.y));
        Self {
            newels: setout.given.clone(),
            aside: setout
                .newels
                .iter()
                .filter(|newel| turned(&newel.name))
                .map(aside)
                .collect(),
        }
    }
}

/// Sets out a design on a site that no other run joins. `held` fixes counts that would otherwise be
/// chosen, so that a run with one fault made true compares like with like.
///
/// # Errors
/// [`SetOutError`] names the field that stands in the way.
pub fn solve(
    job: &Job,
    site: &Site,
    limits: &Limits,
    held: &Choices,
) -> Result<SetOut, SetOutError> {
    solve_joined(job, site, limits, held, &Joined::default())
}

/// Sets out the design of one run on its site, with what the runs beside it lay down.
///
/// # Errors
/// [`SetOutError`] names the field that stands in the way.
pub fn solve_joined(
    job: &Job,
    site: &Site,
    limits: &Limits,
    held: &Choices,
    joined: &Joined,
) -> Result<SetOut, SetOutError> {
    let fixed = Fixed::of(job, site);
    let job = &*fixed.carried(job);
    let planned = rail_window::solve(site, &job.design.rail, limits);
    let (height, window) = fixed.rail(site, limits, planned);
    let mut spots = spacing::per_tread(site, &job.design.balusters);
    fixed.on_treads(site, &job.design.balusters, &mut spots);
    let mut own = (0..job.design.newels.len())
        .map(|index| newel::place(job, site, index, &mut spots))
        .collect::<Result<Vec<_>, _>>()?;
    for (name, aside) in &joined.aside {
        for placed in own.iter_mut().filter(|placed| &placed.name == name) {
            placed.q = Some(aside.as_mm());
        }
    }
    let met: Vec<Placed> = joined
        .newels
        .iter()
        .map(|newel| newel::given(job, site, newel, &mut spots))
        .collect();
    let planned: Vec<&Placed> = own.iter().chain(&met).collect();
    let own = fixed.newels(&own);
    let placed: Vec<&Placed> = own.iter().chain(&met).collect();
    // Where some balusters have been fitted, how many there are is the plan's.
    let counted = if fixed.has_balusters() {
        &planned
    } else {
        &placed
    };
    let choices = space_along_rail(job, site, counted, limits, held, height, &mut spots)?;
    let faces = |placed: &[&Placed]| faces_x(job, site, placed, height);
    fixed.along_rail(job, site, faces(counted).zip(faces(&placed)), &mut spots);
    keep_between_walls(job, site, height, &mut spots);
    let line = line::solve(job, site, &spots, &through(joined, &placed));
    let mut newels: Vec<NewelSet> = job
        .design
        .newels
        .iter()
        .zip(&own)
        .map(|(newel, placed)| newel::stand(job, site, newel, placed, &line))
        .collect();
    let given: Vec<NewelSet> = joined
        .newels
        .iter()
        .zip(&met)
        .map(|(newel, placed)| newel::stand_given(job, site, newel, placed))
        .collect();
    let posts: Vec<NewelSet> = newels.iter().chain(&given).cloned().collect();
    let course = Course::new(site, &line, height);
    let mut faces = rail_faces(job, site, &posts, &course, rail::ROSETTE_THICKNESS)?;
    let passings = fitting::passings(job, site, &posts, &course)?;
    for (face, passing) in faces.iter_mut().zip(&passings) {
        *face = passing.as_ref().map_or(*face, |passing| passing.face);
    }
    let design = &job.design.rail;
    let size = Size {
        name: &design.name,
        width: design.width.value,
        depth: design.depth.value,
        above_course: false,
    };
    let mut rail = rail::cut(&course, faces, size, window)?;
    fitting::fit(&mut rail, &mut newels, passings);
    newel::raise(&mut newels, &[&rail], design)?;
    let bottom = bottom_rail(job, site, &posts, &line)?;
    let balusters = uprights(job, site, &line, (&rail, course), bottom.as_ref(), &spots);
    let half_newels = half_newels(job, site, &course)?;
    let gaps = gaps(job, site, &line, (&posts, &half_newels), &balusters);
    let reveals = reveals(site, &balusters);
    let bottom_rail = bottom.map(|(rail, _)| rail);
    Ok(SetOut {
        line,
        rail,
        bottom_rail,
        newels,
        given,
        balusters,
        gaps,
        reveals,
        skirts: skirt::skirts(job, site),
        half_newels,
        wall_rail: wall_rail::solve(job, site, limits)?,
        choices,
    })
}

/// The plan points that the line keeps to: newels in which it meets another run's rail.
fn through(joined: &Joined, placed: &[&Placed]) -> Vec<(f64, f64)> {
    let is_met = |name: &String| {
        joined.newels.iter().any(|newel| &newel.name == name)
            || joined.aside.iter().any(|(aside, _)| aside == name)
    };
    placed
        .iter()
        .filter(|placed| is_met(&placed.name))
        .filter_map(|placed| Some((placed.x, placed.q?)))
        .collect()
}

fn half_newels(job: &Job, site: &Site, course: &Course) -> Result<Vec<HalfNewelSet>, SetOutError> {
    let rail = &job.design.rail;
    let ends = [(&rail.lower, false), (&rail.upper, true)];
    let stood = ends.into_iter().map(|(end, upper)| {
        half_newel::stand(site, end, &course.start, &course.along, upper).map_err(
            |(problem, help)| SetOutError {
                path: "design.rail".to_owned(),
                problem,
                help: help.to_owned(),
            },
        )
    });
    stood.filter_map(Result::transpose).collect()
}

fn rail_faces(
    job: &Job,
    site: &Site,
    newels: &[NewelSet],
    course: &Course,
    stand_off: f64,
) -> Result<[Face; 2], SetOutError> {
    Ok([
        rail::end_face(
            site,
            newels,
            &job.design.rail.lower,
            course,
            false,
            stand_off,
        )?,
        rail::end_face(
            site,
            newels,
            &job.design.rail.upper,
            course,
            true,
            stand_off,
        )?,
    ])
}

fn bottom_rail(
    job: &Job,
    site: &Site,
    newels: &[NewelSet],
    line: &BalusterLine,
) -> Result<Option<(RailSet, Course)>, SetOutError> {
    let Some(design) = &job.design.bottom_rail else {
        return Ok(None);
    };
    let height = rail_window::nosing_line(site).raised(design.above.mm());
    let course = Course::new(site, line, height);
    // A bottom rail has no rosette: it is scribed to the wall.
    let faces = rail_faces(job, site, newels, &course, 0.0)?;
    let size = Size {
        name: &design.name,
        width: design.width.value,
        depth: design.depth.value,
        above_course: true,
    };
    let nothing = WindowReport {
        lowest: (design.above.value, 0),
        highest: (design.above.value, 0),
        asked: (None, None),
        killed_by: None,
    };
    rail::cut(&course, faces, size, nothing).map(|rail| Some((rail, course)))
}

/// x of the face that the rail meets at one end, at about half the rail's height.
fn end_x(
    site: &Site,
    placed: &[&Placed],
    (end, upper): (&RailEnd, bool),
    height: RakeLine,
) -> Option<f64> {
    match end {
        RailEnd::Newel(name) => placed
            .iter()
            .find(|placed| &placed.name == name)
            .map(|placed| placed.inner_face()),
        RailEnd::Wall { .. } | RailEnd::HalfNewel { .. } => on_wall_x(site, end, height, upper),
    }
}

/// x of the wall, or of the half newel on it, that an end of the rail meets.
fn on_wall_x(site: &Site, end: &RailEnd, height: RakeLine, upper: bool) -> Option<f64> {
    let first = *site.stations().first()?;
    let half_way = height.raised(-(height.at(first.x) - first.height) / 2.0);
    let from = Point3::new(0.0, 0.0, half_way.at_foot);
    let way = nalgebra::Vector3::new(1.0, 0.0, half_way.slope);
    match half_newel::stand(site, end, &from, &way, upper) {
        Ok(Some(half)) => half_face_x(&half, 0.0),
        _ => wall_x(site, end.wall()?, height),
    }
}

/// x of a half newel's face at an offset across the flight.
fn half_face_x(half: &HalfNewelSet, y: f64) -> Option<f64> {
    let x = half.face.x - (y - half.face.y) * half.normal.y / half.normal.x;
    x.is_finite().then_some(x)
}

/// x at which the plumb plane of the balusters meets a wall, half way up to the rail.
fn wall_x(site: &Site, wall: &str, height: RakeLine) -> Option<f64> {
    let face = site.wall(wall)?;
    let first = *site.stations().first()?;
    let half_way = height.raised(-(height.at(first.x) - first.height) / 2.0);
    let from = Point3::new(0.0, 0.0, half_way.at_foot);
    let way = nalgebra::Vector3::new(1.0, 0.0, half_way.slope);
    face.meet(&from, &way).map(|(point, _, _)| point.x)
}

/// x of the faces that the rail meets at its ends.
fn faces_x(job: &Job, site: &Site, placed: &[&Placed], height: RakeLine) -> Option<(f64, f64)> {
    let rail = &job.design.rail;
    let low = end_x(site, placed, (&rail.lower, false), height)?;
    Some((low, end_x(site, placed, (&rail.upper, true), height)?))
}

fn space_along_rail(
    job: &Job,
    site: &Site,
    placed: &[&Placed],
    limits: &Limits,
    held: &Choices,
    height: RakeLine,
    spots: &mut Vec<Spot>,
) -> Result<Choices, SetOutError> {
    if !matches!(job.design.balusters.spacing, Spacing::AlongRail { .. }) {
        return Ok(Choices::default());
    }
    let rail = &job.design.rail;
    let ends = [(&rail.lower, false), (&rail.upper, true)];
    let ends = ends.map(|end| end_x(site, placed, end, height));
    let [Some(low), Some(high)] = ends else {
        return Err(SetOutError {
            path: "design.rail".to_owned(),
            problem: "an end of the rail meets nothing".to_owned(),
            help: "name a newel or a wall that is in the job".to_owned(),
        });
    };
    let limit = limits
        .gap_under
        .map(|limit| (limit - job.design.fitting.value).as_mm());
    let (along, count) = spacing::along_rail(
        site,
        &job.design.balusters,
        (low, high),
        limit,
        held.along_rail,
    )?;
    *spots = along;
    Ok(Choices {
        along_rail: Some(count),
    })
}

/// Balusters that would stand in or behind a wall that the rail ends on are left out.
fn keep_between_walls(job: &Job, site: &Site, height: RakeLine, spots: &mut Vec<Spot>) {
    let rail = &job.design.rail;
    let low = on_wall_x(site, &rail.lower, height, false);
    let high = on_wall_x(site, &rail.upper, height, true);
    spots
        .retain(|spot| low.is_none_or(|low| spot.x > low) && high.is_none_or(|high| spot.x < high));
}

fn uprights(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    rail: (&RailSet, Course),
    bottom: Option<&(RailSet, Course)>,
    spots: &[Spot],
) -> Vec<BalusterSet> {
    let half = job.design.balusters.section.across().as_mm() / 2.0;
    let mean_reveal = || {
        let reveals: Vec<f64> = spots
            .iter()
            .filter_map(|spot| Some(site.step(spot.step)?.open_q - half - line.at(spot.x)))
            .collect();
        reveals.iter().sum::<f64>() / reveals.len().max(1) as f64
    };
    let even_reveal = job
        .design
        .reveal
        .as_ref()
        .map_or_else(mean_reveal, crate::job::Len::mm);
    let bottom = bottom.map(|(rail, course)| (rail, *course));
    let between = Between {
        job,
        site,
        line,
        rail,
        bottom,
        even_reveal,
    };
    (1..)
        .zip(spots)
        .map(|(number, spot)| between.baluster(site.named(format_args!("B{number:02}")), spot))
        .collect()
}

/// A neighbour in the row: its name and its faces along x at a height.
struct Neighbour {
    name: String,
    low: f64,
    high: f64,
}

fn gaps(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    (newels, half_newels): (&[NewelSet], &[HalfNewelSet]),
    balusters: &[BalusterSet],
) -> Vec<Gap> {
    let mut row: Vec<Neighbour> = balusters
        .iter()
        .map(|one| {
            let half = one.along.as_mm() / 2.0;
            Neighbour {
                name: one.name.clone(),
                low: one.foot.x - half,
                high: one.foot.x + half,
            }
        })
        .collect();
    let rail = &job.design.rail;
    // With no baluster between them the ends are neighbours, and the gap is the whole way.
    let at_foot = site.at(0.0, line.at(0.0), 0.0);
    let at_head = site.stations().last().map_or(at_foot, |last| {
        site.at(last.x, line.at(last.x), last.height)
    });
    let first = balusters.first().map_or(at_foot, |one| one.foot);
    let last = balusters.last().map_or(at_head, |one| one.foot);
    if let Some(end) = neighbour_at_end(site, (newels, half_newels), &rail.lower, &first) {
        row.insert(0, end);
    }
    row.extend(neighbour_at_end(
        site,
        (newels, half_newels),
        &rail.upper,
        &last,
    ));
    row.windows(2)
        .map(|pair| Gap {
            below: pair[0].name.clone(),
            above: pair[1].name.clone(),
            clear: Length::mm(pair[1].low - pair[0].high),
        })
        .collect()
}

/// What stands at an end of the row, at the height of the foot beside it.
fn neighbour_at_end(
    site: &Site,
    (newels, half_newels): (&[NewelSet], &[HalfNewelSet]),
    end: &RailEnd,
    foot: &Point3<f64>,
) -> Option<Neighbour> {
    match end {
        RailEnd::Newel(name) => {
            let newel = newels.iter().find(|newel| &newel.name == name)?;
            let (low, high) = super::plan::extent(&newel.footprint, |point| point.x);
            let shift = (foot.z - newel.foot.z) * newel.axis.x / newel.axis.z;
            Some(Neighbour {
                name: name.clone(),
                low: low + shift,
                high: high + shift,
            })
        }
        RailEnd::HalfNewel { wall, .. } => {
            let half = half_newels.iter().find(|half| half.wall == *wall)?;
            let x = half_face_x(half, foot.y)?;
            Some(Neighbour {
                name: half.name.clone(),
                low: x,
                high: x,
            })
        }
        RailEnd::Wall { wall, .. } => {
            let (point, _, _) = site.wall(wall)?.meet(foot, &nalgebra::Vector3::x())?;
            Some(Neighbour {
                name: wall.clone(),
                low: point.x,
                high: point.x,
            })
        }
    }
}

fn reveals(site: &Site, balusters: &[BalusterSet]) -> Vec<Reveal> {
    balusters
        .iter()
        .filter_map(|one| {
            let step = site.step(one.step)?;
            let face = site.outward * one.foot.y + one.across.as_mm() / 2.0;
            let value = step.open_q - face;
            let middle = face + value / 2.0;
            Some(Reveal {
                step: one.step,
                part: one.name.clone(),
                value: Length::mm(value),
                at: site.at(one.foot.x, middle, step.top(one.foot.x, middle)),
            })
        })
        .collect()
}
