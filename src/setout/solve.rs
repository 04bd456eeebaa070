//! The set-out from beginning to end.

use nalgebra::Point3;

use crate::job::{Ground, Job, RailEnd, Spacing};
use crate::measure::Length;
use crate::site::Site;

use super::base::Underfoot;
use super::newel::Placed;
use super::rail::{Course, Face, Size};
use super::rail_window::RakeLine;
use super::spacing::Spot;
use super::upright::Between;
use super::{
    BalusterLine, BalusterSet, Choices, Fillet, Gap, Limits, Mark, NewelSet, PanelRun, RailSet,
    Reveal, SetOut, SpacingReport, base, hold, line, marks, newel, panel, rail, rail_window, skirt,
    spacing, trade, upright,
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
    let (height, window) = rail_window::solve(site, &job.design.rail, limits);
    let mut spots = spacing::per_tread(site, &job.design.balusters);
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
    let placed: Vec<&Placed> = own.iter().chain(&met).collect();
    let ends = [&job.design.rail.lower, &job.design.rail.upper]
        .map(|end| end_x(site, &placed, end, height));
    let under = limits
        .gap_under
        .map(|limit| (limit - job.design.fitting.value).as_mm());
    let choices = space_along_rail(job, site, ends, under, held, &mut spots)?;
    keep_between_walls(job, site, height, &mut spots);
    let mut spacing = hold::respace(job, site, ends, under, &mut spots)?;
    let line = line::solve(job, site, &spots, &through(joined, &placed));
    let newels: Vec<NewelSet> = job
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
    let faces = rail_faces(job, site, &posts, &course, rail::ROSETTE_THICKNESS)?;
    let design = &job.design.rail;
    let size = Size {
        name: &design.name,
        width: design.width.value,
        depth: design.depth.value,
        above_course: false,
    };
    let rail = rail::cut(&course, faces, size, window)?;
    // What is below the balusters has no rosette: it is scribed to the wall.
    let scribed = |course: &Course| rail_faces(job, site, &posts, course, 0.0);
    let below = base::solve(job, site, &line, scribed)?;
    let underfoot = below.underfoot();
    let balusters = uprights(job, site, &line, (&rail, course), underfoot, &spots);
    let over = (&rail, &course);
    let panels = panel::solve(job, site, &line, ends, over, underfoot.as_ref(), scribed)?;
    let row = row(job, site, &line, &posts, &balusters, panels.as_ref());
    let gaps = gaps(&row);
    spacing.even = spacing.even.or_else(|| even_along_rail(&choices, &gaps));
    spacing.variation = hold::variation(&gaps, |name| site.wall(name).is_some());
    let marks = marked(job, &spots, &balusters, &gaps, &spacing, &course);
    let mut fillets = foot_fillets(job, underfoot.as_ref(), &row);
    fillets.extend(head_fillets(job, site, &posts, over, &balusters));
    let reveals = reveals(site, &balusters);
    let (bottom_rail, base) = below.parts();
    let mut setout = SetOut {
        line,
        rail,
        bottom_rail,
        base,
        fillets,
        panels,
        newels,
        given,
        balusters,
        gaps,
        spacing,
        marks,
        trade: Vec::new(),
        reveals,
        skirts: skirt::skirts(job, site),
        choices,
    };
    setout.trade = trade::compromise(job, site, &setout, &trade::SHARES);
    Ok(setout)
}

/// The one gap of a run spaced along the rail, where it has balusters.
fn even_along_rail(choices: &Choices, gaps: &[Gap]) -> Option<Length> {
    choices.along_rail.filter(|&count| count > 1)?;
    gaps.get(1).map(|gap| gap.clear)
}

fn marked(
    job: &Job,
    spots: &[Spot],
    balusters: &[BalusterSet],
    gaps: &[Gap],
    spacing: &SpacingReport,
    course: &Course,
) -> Vec<Mark> {
    let from = match (spots.first(), gaps.first(), balusters.first()) {
        // The gap below the first baluster, where something stands there.
        (Some(spot), Some(gap), Some(first)) if gap.above == first.name => {
            spot.near() - gap.clear.as_mm()
        }
        _ => 0.0,
    };
    let names = balusters.iter().map(|one| one.name.clone());
    let even = spacing.even.map(Length::as_mm);
    marks::of_run(names, spots, even, from, 1.0 / course.along.x, job.tape)
}

fn foot_fillets(job: &Job, underfoot: Option<&Underfoot<'_>>, row: &[Neighbour]) -> Vec<Fillet> {
    match (&job.design.balusters.on, underfoot) {
        (Ground::Shoe { plough, fillet, .. }, Some(under)) if !under.pegged => {
            base::fillets(under.piece, &under.course, plough, fillet.value, row)
        }
        _ => Vec::new(),
    }
}

/// The fillets in the rail's plough, from face to face at the rail.
fn head_fillets(
    job: &Job,
    site: &Site,
    newels: &[NewelSet],
    (rail, course): (&RailSet, &Course),
    balusters: &[BalusterSet],
) -> Vec<Fillet> {
    let (Some(plough), Some(first), Some(last)) =
        (&job.design.rail.plough, balusters.first(), balusters.last())
    else {
        return Vec::new();
    };
    let ends = &job.design.rail;
    let mut row: Vec<Neighbour> = neighbour_at_end(site, newels, &ends.lower, &first.top)
        .into_iter()
        .collect();
    row.extend(
        balusters
            .iter()
            .map(|one| Neighbour::of(&one.name, one.top.x, one.along)),
    );
    row.extend(neighbour_at_end(site, newels, &ends.upper, &last.top));
    base::fillets(rail, course, plough, plough.depth.value, &row)
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

/// x of the face that the rail meets at one end, at about half the rail's height.
fn end_x(site: &Site, placed: &[&Placed], end: &RailEnd, height: RakeLine) -> Option<f64> {
    match end {
        RailEnd::Newel(name) => placed
            .iter()
            .find(|placed| &placed.name == name)
            .map(|placed| placed.inner_face()),
        RailEnd::Wall { wall, .. } => wall_x(site, wall, height),
    }
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

fn space_along_rail(
    job: &Job,
    site: &Site,
    ends: [Option<f64>; 2],
    limit: Option<f64>,
    held: &Choices,
    spots: &mut Vec<Spot>,
) -> Result<Choices, SetOutError> {
    if !matches!(job.design.balusters.spacing, Spacing::AlongRail { .. }) {
        return Ok(Choices::default());
    }
    let [Some(low), Some(high)] = ends else {
        return Err(SetOutError {
            path: "design.rail".to_owned(),
            problem: "an end of the rail meets nothing".to_owned(),
            help: "name a newel or a wall that is in the job".to_owned(),
        });
    };
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
    let wall_at = |end: &RailEnd| match end {
        RailEnd::Wall { wall, .. } => wall_x(site, wall, height),
        RailEnd::Newel(_) => None,
    };
    let rail = &job.design.rail;
    let (low, high) = (wall_at(&rail.lower), wall_at(&rail.upper));
    spots
        .retain(|spot| low.is_none_or(|low| spot.x > low) && high.is_none_or(|high| spot.x < high));
}

fn uprights(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    rail: (&RailSet, Course),
    underfoot: Option<Underfoot<'_>>,
    spots: &[Spot],
) -> Vec<BalusterSet> {
    let plumb = spots
        .iter()
        .filter_map(|spot| Some(site.step(spot.step)?.open_q - spot.half_across - line.at(spot.x)));
    let between = Between {
        job,
        site,
        line,
        rail,
        underfoot,
        even_reveal: upright::even_reveal(job, plumb),
    };
    (1..)
        .zip(spots)
        .map(|(number, spot)| between.baluster(site.named(format_args!("B{number:02}")), spot))
        .collect()
}

/// A neighbour in the row: its name and its faces along x at a height.
#[derive(Clone, Debug)]
pub(super) struct Neighbour {
    pub(super) name: String,
    pub(super) low: f64,
    pub(super) high: f64,
}

impl Neighbour {
    fn of(name: &str, x: f64, along: Length) -> Self {
        let half = along.as_mm() / 2.0;
        Self {
            name: name.to_owned(),
            low: x - half,
            high: x + half,
        }
    }
}

/// All that stands in the run, from the bottom up, at the height of its feet.
fn row(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    newels: &[NewelSet],
    balusters: &[BalusterSet],
    panels: Option<&PanelRun>,
) -> Vec<Neighbour> {
    let panels = panels.map_or(&[][..], |run| &run.panels);
    let rail = &job.design.rail;
    // With nothing between them the ends are neighbours, and the gap is the whole way.
    let at_foot = site.at(0.0, line.at(0.0), 0.0);
    let at_head = site.stations().last().map_or(at_foot, |last| {
        site.at(last.x, line.at(last.x), last.height)
    });
    let feet = balusters.iter().map(|one| one.foot);
    let mut feet = feet.chain(
        panels
            .iter()
            .flat_map(|one| [one.corners[0], one.corners[1]]),
    );
    let lowest = feet.next();
    let last = feet.last().or(lowest).unwrap_or(at_head);
    let first = lowest.unwrap_or(at_foot);
    let mut row: Vec<Neighbour> = neighbour_at_end(site, newels, &rail.lower, &first)
        .into_iter()
        .collect();
    row.extend(
        balusters
            .iter()
            .map(|one| Neighbour::of(&one.name, one.foot.x, one.along)),
    );
    row.extend(panels.iter().map(|one| Neighbour {
        name: one.name.clone(),
        low: one.corners[0].x,
        high: one.corners[1].x,
    }));
    row.extend(neighbour_at_end(site, newels, &rail.upper, &last));
    row
}

fn gaps(row: &[Neighbour]) -> Vec<Gap> {
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
    newels: &[NewelSet],
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
