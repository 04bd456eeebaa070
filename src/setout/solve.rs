//! The set-out from beginning to end.

use nalgebra::Point3;

use crate::job::{Job, RailEnd, Spacing};
use crate::measure::Length;
use crate::site::Site;

use super::base::Underfoot;
use super::built::Fixed;
use super::newel::Placed;
use super::rail::{Course, Face, Size};
use super::rail_window::RakeLine;
use super::spacing::Spot;
use super::upright::Between;
use super::{
    BalusterLine, BalusterSet, Choices, HalfNewelSet, Limits, NewelSet, RailSet, Reveal, SetOut,
    SpacingReport, WindowReport, Worked, base, fitting, half_newel, hold, line, newel, panel, rail,
    rail_window, row, skirt, spacing, trade, upright, wall_rail, worked,
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
    solve_worked(job, site, limits, held, joined, None)
}

/// The same as it is worked: to marks that stand, with each part off its own.
pub(super) fn solve_worked(
    job: &Job,
    site: &Site,
    limits: &Limits,
    held: &Choices,
    joined: &Joined,
    worked: Option<&Worked>,
) -> Result<SetOut, SetOutError> {
    let fixed = Fixed::of(job, site);
    let job = &*fixed.carried(job);
    let (height, window) = rail_height(job, site, limits, &fixed, worked);
    let mut spots = spacing::per_tread(site, &job.design.balusters);
    fixed.on_treads(site, &job.design.balusters, &mut spots);
    let mut stand = Stand::of(job, site, joined, &fixed, &mut spots)?;
    stand.come_off(worked);
    let Spread {
        ends,
        choices,
        mut spacing,
    } = spread(
        job,
        site,
        (limits, held, height),
        (&fixed, &stand),
        &mut spots,
    )?;
    come_off(worked, &mut spots);
    let line = worked
        .and_then(|worked| worked.line)
        .unwrap_or_else(|| line::solve(job, site, &spots, &through(joined, &stand.placed())));
    let mut newels: Vec<NewelSet> = job
        .design
        .newels
        .iter()
        .zip(&stand.own)
        .map(|(newel, placed)| newel::stand(job, site, newel, placed, &line))
        .collect();
    let given = stand.given(job, site, joined);
    let posts: Vec<NewelSet> = newels.iter().chain(&given).cloned().collect();
    let course = Course::new(site, &line, height);
    let (mut rail, passings) = main_rail(job, site, &posts, &course, window)?;
    fitting::fit(&mut rail, &mut newels, passings);
    rail.window = rail_window::with_fittings(site, &rail);
    newel::raise(&mut newels, &[&rail], &job.design.rail)?;
    // What is below the balusters has no rosette: it is scribed to the wall.
    let scribed = |course: &Course| rail_faces(job, site, &posts, course, 0.0);
    let below = base::solve(job, site, &line, scribed)?;
    let underfoot = below.underfoot();
    let balusters = uprights(job, site, &line, (&rail, course), underfoot, &spots);
    let over = (&rail, &course);
    let panels = panel::solve(job, site, &line, ends, over, underfoot.as_ref(), scribed)?;
    let half_newels = half_newels(job, site, &course)?;
    let posts = (posts.as_slice(), half_newels.as_slice());
    let row = row::row(job, site, &line, posts, &balusters, panels.as_ref());
    let gaps = row::gaps(&row);
    spacing.even = spacing
        .even
        .or_else(|| row::even_along_rail(&choices, &gaps));
    spacing.variation = hold::variation(&gaps, |name| site.wall(name).is_some());
    let marks = row::marked(job, &spots, &balusters, &gaps, &spacing, over);
    let mut fillets = row::foot_fillets(job, underfoot.as_ref(), &row);
    fillets.extend(row::head_fillets(job, site, posts, over, &balusters));
    let reveals = reveals(job, site, &balusters);
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
        half_newels,
        wall_rail: wall_rail::solve(job, site, limits, worked.and_then(|one| one.wall_rail))?,
        turns: Vec::new(),
        choices,
    };
    // What plumb and even cost each other is a matter of the plan.
    if worked.is_none() {
        setout.trade = trade::compromise(job, site, &setout, &trade::SHARES);
    }
    Ok(setout)
}

/// The rail's height, to its marks where they are given.
fn rail_height(
    job: &Job,
    site: &Site,
    limits: &Limits,
    fixed: &Fixed,
    worked: Option<&Worked>,
) -> (RakeLine, WindowReport) {
    let marked = worked.and_then(|worked| worked::through(site, worked.rail?));
    match marked {
        Some(height) => (height, rail_window::report(site, height, limits, None)),
        None => {
            let planned = rail_window::solve(site, &job.design.rail, limits);
            fixed.rail(site, limits, planned)
        }
    }
}

/// Puts balusters off their marks.
fn come_off(worked: Option<&Worked>, spots: &mut [Spot]) {
    let Some(worked) = worked else { return };
    for spot in spots {
        spot.off = worked.baluster(spot.number);
        spot.x += spot.off.foot[0].as_mm();
    }
}

/// Where the newels of a run stand along it.
struct Stand {
    /// Its own as planned, before any has been fitted.
    planned: Vec<Placed>,
    /// Its own as they stand.
    own: Vec<Placed>,
    /// Those that an earlier run set.
    met: Vec<Placed>,
}

impl Stand {
    /// Places the newels, and takes away the balusters that they displace.
    fn of(
        job: &Job,
        site: &Site,
        joined: &Joined,
        fixed: &Fixed,
        spots: &mut Vec<Spot>,
    ) -> Result<Self, SetOutError> {
        let mut planned = (0..job.design.newels.len())
            .map(|index| newel::place(job, site, index, spots))
            .collect::<Result<Vec<_>, _>>()?;
        for (name, aside) in &joined.aside {
            for placed in planned.iter_mut().filter(|placed| &placed.name == name) {
                placed.q = Some(aside.as_mm());
            }
        }
        let met = joined.newels.iter();
        let met = met.map(|newel| newel::given(job, site, newel, spots));
        Ok(Self {
            met: met.collect(),
            own: fixed.newels(&planned),
            planned,
        })
    }

    /// Puts its own off their marks.
    fn come_off(&mut self, worked: Option<&Worked>) {
        let Some(worked) = worked else { return };
        for (at, newel) in self.own.iter_mut().enumerate() {
            newel.off = worked.newel(at);
            newel.x += newel.off.foot[0].as_mm();
        }
    }

    /// All as they stand.
    fn placed(&self) -> Vec<&Placed> {
        self.own.iter().chain(&self.met).collect()
    }

    /// The newels that an earlier run set, with what is cut for them in this run.
    fn given(&self, job: &Job, site: &Site, joined: &Joined) -> Vec<NewelSet> {
        let newels = joined.newels.iter().zip(&self.met);
        newels
            .map(|(newel, placed)| newel::stand_given(job, site, newel, placed))
            .collect()
    }

    /// All as planned.
    fn as_planned(&self) -> Vec<&Placed> {
        self.planned.iter().chain(&self.met).collect()
    }
}

/// How the balusters of a run are spread between its ends.
struct Spread {
    /// x of the faces at its ends.
    ends: [Option<f64>; 2],
    choices: Choices,
    spacing: SpacingReport,
}

fn spread(
    job: &Job,
    site: &Site,
    (limits, held, height): (&Limits, &Choices, RakeLine),
    (fixed, stand): (&Fixed, &Stand),
    spots: &mut Vec<Spot>,
) -> Result<Spread, SetOutError> {
    let under = limits
        .gap_under
        .map(|limit| (limit - job.design.fitting.value).as_mm());
    let ends = ends_x(job, site, &stand.placed(), height);
    // Where some balusters have been fitted, how many there are is the plan's.
    let counted = if fixed.has_balusters() {
        ends_x(job, site, &stand.as_planned(), height)
    } else {
        ends
    };
    let choices = space_along_rail(job, site, counted, under, held, spots)?;
    let faces = |[low, high]: [Option<f64>; 2]| low.zip(high);
    fixed.along_rail(job, site, faces(counted).zip(faces(ends)), spots);
    keep_between_walls(job, site, height, spots);
    let spacing = hold::respace(job, site, ends, under, fixed.has_balusters(), spots)?;
    Ok(Spread {
        ends,
        choices,
        spacing,
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

fn main_rail(
    job: &Job,
    site: &Site,
    posts: &[NewelSet],
    course: &Course,
    window: WindowReport,
) -> Result<(RailSet, [Option<fitting::Passing>; 2]), SetOutError> {
    let mut faces = rail_faces(job, site, posts, course, rail::ROSETTE_THICKNESS)?;
    let passings = fitting::passings(job, site, posts, course)?;
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
    rail::cut(course, faces, size, window).map(|rail| (rail, passings))
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
        Ok(Some(half)) => half.face_x(0.0),
        _ => wall_x(site, end.wall()?, height),
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

/// x of the faces that the rail meets at its ends.
fn ends_x(job: &Job, site: &Site, placed: &[&Placed], height: RakeLine) -> [Option<f64>; 2] {
    let rail = &job.design.rail;
    [(&rail.lower, false), (&rail.upper, true)].map(|end| end_x(site, placed, end, height))
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
    underfoot: Option<Underfoot<'_>>,
    spots: &[Spot],
) -> Vec<BalusterSet> {
    let comparable = |spot: &&Spot| !job.flight.reaches_beyond(spot.step);
    let plumb = spots
        .iter()
        .filter(comparable)
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

/// The reveals at the tread ends. A tread that reaches past the others has none to compare.
pub(super) fn reveals(job: &Job, site: &Site, balusters: &[BalusterSet]) -> Vec<Reveal> {
    balusters
        .iter()
        .filter(|one| !job.flight.reaches_beyond(one.step))
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
