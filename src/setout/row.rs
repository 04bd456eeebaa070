//! The row of a run: all that stands in it from end to end, the gaps between, the marks for it, and
//! the fillets that go into its ploughs.

use nalgebra::Point3;

use crate::job::{Ground, Job, RailEnd};
use crate::measure::Length;
use crate::site::Site;

use super::base::{self, Underfoot};
use super::rail::Course;
use super::spacing::Spot;
use super::{
    BalusterLine, BalusterSet, Choices, Fillet, Gap, HalfNewelSet, Mark, NewelSet, PanelRun,
    RailSet, SpacingReport, marks,
};

/// The one gap of a run spaced along the rail, where it has balusters and all its gaps are alike:
/// beside balusters that have been fitted they are not.
pub(super) fn even_along_rail(choices: &Choices, gaps: &[Gap]) -> Option<Length> {
    choices.along_rail.filter(|&count| count > 1)?;
    let own = gaps.get(1..gaps.len().checked_sub(1)?)?;
    let one = own.first()?.clear;
    let alike = |gap: &Gap| (gap.clear - one).abs().as_mm() < EVEN_MM;
    own.iter().all(alike).then_some(one)
}

/// Gaps that differ by less than this are one: a hundredth of a tape's mark.
const EVEN_MM: f64 = 0.01;

pub(super) fn marked(
    job: &Job,
    spots: &[Spot],
    balusters: &[BalusterSet],
    gaps: &[Gap],
    spacing: &SpacingReport,
    (rail, course): (&RailSet, &Course),
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
    let mut found = marks::of_run(names, spots, even, from, 1.0 / course.along.x, job.tape);
    if !rail.fittings.is_empty() {
        // Level pieces and easings are not as much longer than level as the rake is.
        let start = rail.run_to(from);
        let running: Vec<Length> = spots
            .iter()
            .map(|spot| Length::mm(rail.run_to(spot.near()) - start))
            .collect();
        for (mark, rake) in found.iter_mut().zip(marks::marks(&running, job.tape)) {
            mark.rake = rake;
        }
    }
    found
}

pub(super) fn foot_fillets(
    job: &Job,
    underfoot: Option<&Underfoot<'_>>,
    row: &[Neighbour],
) -> Vec<Fillet> {
    match (&job.design.balusters.on, underfoot) {
        (Ground::Shoe { plough, fillet, .. }, Some(under)) if !under.pegged => {
            base::fillets(under.piece, &under.course, plough, fillet.value, row)
        }
        _ => Vec::new(),
    }
}

/// The fillets in the rail's plough, from face to face at the rail: under the straight rail only,
/// for those under a bend are bent.
pub(super) fn head_fillets(
    job: &Job,
    site: &Site,
    posts: Posts<'_>,
    (rail, course): (&RailSet, &Course),
    balusters: &[BalusterSet],
) -> Vec<Fillet> {
    let (Some(plough), Some(first), Some(last)) =
        (&job.design.rail.plough, balusters.first(), balusters.last())
    else {
        return Vec::new();
    };
    let ends = &job.design.rail;
    let mut row: Vec<Neighbour> = neighbour_at_end(site, posts, &ends.lower, &first.top)
        .into_iter()
        .collect();
    row.extend(
        balusters
            .iter()
            .map(|one| Neighbour::of(&one.name, one.top.x, one.along)),
    );
    row.extend(neighbour_at_end(site, posts, &ends.upper, &last.top));
    let [low, high] = rail.straight_under();
    let straight = |pair: &&[Neighbour]| pair[0].high >= low && pair[1].low <= high;
    row.windows(2)
        .filter(straight)
        .flat_map(|pair| base::fillets(rail, course, plough, plough.depth.value, pair))
        .collect()
}

/// What a rail may end on beside walls: newels and half newels.
pub(super) type Posts<'a> = (&'a [NewelSet], &'a [HalfNewelSet]);

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
pub(super) fn row(
    job: &Job,
    site: &Site,
    line: &BalusterLine,
    posts: Posts<'_>,
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
    let mut row: Vec<Neighbour> = neighbour_at_end(site, posts, &rail.lower, &first)
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
    row.extend(neighbour_at_end(site, posts, &rail.upper, &last));
    row
}

pub(super) fn gaps(row: &[Neighbour]) -> Vec<Gap> {
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
    posts: Posts<'_>,
    end: &RailEnd,
    foot: &Point3<f64>,
) -> Option<Neighbour> {
    match end {
        RailEnd::Newel(name) => {
            let newel = posts.0.iter().find(|newel| &newel.name == name)?;
            let (low, high) = super::plan::extent(&newel.footprint, |point| point.x);
            let shift = (foot.z - newel.foot.z) * newel.axis.x / newel.axis.z;
            Some(Neighbour {
                name: name.clone(),
                low: low + shift,
                high: high + shift,
            })
        }
        RailEnd::HalfNewel { wall, .. } => {
            let half = posts.1.iter().find(|half| half.wall == *wall)?;
            let x = half.face_x(foot.y)?;
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
