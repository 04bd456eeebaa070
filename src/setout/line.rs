//! The baluster line: the straight plan line that keeps the reveals at the tread ends as even as
//! can be.
//!
//! Offsets `q` are outward from y = 0, mm.

use crate::job::{Ground, Job, Len, RailEnd, Side};
use crate::measure::Length;
use crate::site::Site;

use super::BalusterLine;
use super::programme::{self, Bound, Line};
use super::rail_window::Span;
use super::spacing::Spot;

impl BalusterLine {
    /// The outward offset over a place, mm.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.at_foot.as_mm() + self.slope * x
    }
}

/// Solves the line for the balusters that remain. `through` are plan points (x, outward offset) that
/// the runs beside it lay down: newels in which two rails meet.
#[must_use]
pub(super) fn solve(
    job: &Job,
    site: &Site,
    spots: &[Spot],
    through: &[(f64, f64)],
) -> BalusterLine {
    let span = Span::of(site);
    let wanted_reveal = job.design.reveal.as_ref().map(Len::mm);
    // On a shoe there are no reveals at tread ends: the line is the string's.
    let to_ends = matches!(job.design.balusters.on, Ground::Treads);
    let values: Vec<(f64, f64)> = spots
        .iter()
        // An end that reaches past the others tells nothing about their line.
        .filter(|spot| !job.flight.reaches_beyond(spot.step))
        .filter(|_| to_ends)
        .filter_map(|spot| {
            let step = site.step(spot.step)?;
            Some((
                span.s(spot.x),
                step.open_q - spot.half_across - wanted_reveal.unwrap_or(0.0),
            ))
        })
        .collect();
    let free = wanted_reveal.is_none();
    let string = Line {
        lower: 0.0,
        upper: 0.0,
    };
    let edges = peg_bounds(job, site, spots, span);
    let met: Vec<Bound> = through
        .iter()
        .map(|&(x, q)| Bound {
            s: span.s(x),
            low: q - THROUGH_MM,
            high: q + THROUGH_MM,
        })
        .collect();
    let and = |bounds: &[Bound], more: &[Bound]| [bounds, more].concat();
    let blocking = blocking_bounds(job, site, span);
    let with_met = and(&edges, &met);
    // A rail must meet its newels in the middle before all; then the blocking gives way before the
    // edge of a tread does: a peg through an edge splits it, and a rosette off its blocking is
    // reported.
    let solved = [and(&with_met, &blocking), with_met, met, edges.clone()]
        .into_iter()
        .find_map(|bounds| programme::evenest(&values, free, &bounds, string))
        .or_else(|| {
            let (line, _) = programme::greatest_margin(&edges, string)?;
            Some((line, programme::worst_departure(&values, free, &line)))
        });
    let (line, worst) = solved.unwrap_or((string, 0.0));
    let rake = span.rake(line);
    BalusterLine {
        at_foot: Length::mm(rake.at_foot),
        slope: rake.slope,
        worst: Length::mm(worst),
    }
}

/// How near the line keeps to the middle of a newel that another run set: a hundred times the
/// simplex's own noise.
const THROUGH_MM: f64 = 1e-3;

/// Each peg keeps its distance from the open end of its tread and from the joint of the return
/// nosing, and each outer face its distance from the skirt's.
fn peg_bounds(job: &Job, site: &Site, spots: &[Spot], span: Span) -> Vec<Bound> {
    let balusters = &job.design.balusters;
    if job.design.bottom_rail.is_some() || !matches!(balusters.on, Ground::Treads) {
        return Vec::new();
    }
    let keep = balusters.peg_diameter.mm() / 2.0 + balusters.edge_distance.mm();
    let joint = balusters.return_joint.as_ref().map_or(0.0, Len::mm);
    let skirt = balusters
        .from_skirt
        .as_ref()
        .and_then(|clear| Some(skirt_face(job, site)? - clear.mm()));
    let bound = |spot: &Spot| {
        let step = site.step(spot.step)?;
        let behind_skirt = skirt.map_or(f64::INFINITY, |face| face - spot.half_across);
        Some(Bound {
            s: span.s(spot.x),
            low: step.wall_q + keep,
            high: (step.open_q - joint - keep).min(behind_skirt),
        })
    };
    spots.iter().filter_map(bound).collect()
}

/// Outward offset of the finished face of the skirt on the open side, where there is one: it is
/// mitred to the kicks, whose ends stand back from the tread ends by the return nosing.
fn skirt_face(job: &Job, site: &Site) -> Option<f64> {
    job.skirts.iter().find(|skirt| skirt.side == Side::Open)?;
    let faces = site
        .steps
        .iter()
        .map(|step| step.open_q - step.overhang.max(0.0));
    faces.min_by(f64::total_cmp)
}

/// Where the rail ends on walls across the flight, its rosettes keep on their blocking.
fn blocking_bounds(job: &Job, site: &Site, span: Span) -> Vec<Bound> {
    let rail = &job.design.rail;
    let ends = [&rail.lower, &rail.upper].into_iter();
    ends.filter_map(|end| blocking_bound(end, site, span))
        .collect()
}

fn blocking_bound(end: &RailEnd, site: &Site, span: Span) -> Option<Bound> {
    let RailEnd::Wall {
        wall,
        rosette,
        blocking,
    } = end
    else {
        return None;
    };
    let face = site.wall(wall)?;
    let run = (face.to - face.from) / face.length();
    // A wall that runs with the flight rather than across it sets no limit to the line's offset.
    if run.y.abs() < std::f64::consts::FRAC_1_SQRT_2 {
        return None;
    }
    let spare = (blocking.width.mm() - rosette.mm()) / 2.0;
    if spare < 0.0 {
        return None;
    }
    let centre = face.point(blocking.along.mm(), blocking.up.mm());
    let q = site.outward * centre.y;
    let reach = spare * run.y.abs();
    Some(Bound {
        s: span.s(centre.x),
        low: q - reach,
        high: q + reach,
    })
}
