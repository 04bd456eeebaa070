//! Where balusters stand along the flight, before their line across it is known.
//!
//! Level distances along x, mm.

use crate::job::{Balusters, Section, Spacing};
use crate::site::Site;

pub use super::marks::{even_marks, marks};
use super::{BalusterOff, SetOutError};

/// A place for a baluster.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The tread it stands on (0 is the lower floor).
    pub step: u32,
    /// Which one of that tread, from 1.
    pub place: u32,
    /// x of its centre.
    pub x: f64,
    /// Outward offset of its foot, where it has been built; else its rule places it.
    pub q: Option<f64>,
    /// Half its size along the flight.
    pub half: f64,
    /// Half its size across the flight.
    pub half_across: f64,
    /// Its number along the run, from 0, the ones that a newel displaces counted: it tells which
    /// section of a pattern it has.
    pub number: usize,
    /// How far it comes off its marks; `x` has its foot's share already.
    pub off: BalusterOff,
}

impl Spot {
    fn new(section: &Section, number: usize, step: u32, place: u32, face: f64) -> Self {
        let half = section.along().as_mm() / 2.0;
        Self {
            step,
            place,
            x: face + half,
            q: None,
            half,
            half_across: section.across().as_mm() / 2.0,
            number,
            off: BalusterOff::default(),
        }
    }

    /// x of its face down the flight, mm in its run's frame.
    #[must_use]
    pub fn near(&self) -> f64 {
        self.x - self.half
    }

    /// x of its face up the flight, mm in its run's frame.
    #[must_use]
    pub fn far(&self) -> f64 {
        self.x + self.half
    }
}

/// How many balusters the job puts on a tread.
#[must_use]
pub fn count_on(spacing: &Spacing, step: u32) -> u32 {
    match spacing {
        Spacing::PerTread { count, but, .. } => but
            .iter()
            .find(|one| one.step == step)
            .map_or(*count, |one| one.count),
        Spacing::AlongRail { .. } | Spacing::Panels { .. } => 0,
    }
}

/// What `count` balusters from a number on take up of a run.
fn widths(balusters: &Balusters, first: usize, count: u32) -> f64 {
    (first..first + count as usize)
        .map(|number| balusters.section_at(number).along().as_mm())
        .sum()
}

/// The gap of a tread, mm: what its going leaves between its balusters, each gap alike. `None` where
/// it has none.
#[must_use]
pub fn tread_gap(site: &Site, balusters: &Balusters, step: u32) -> Option<f64> {
    let spacing = &balusters.spacing;
    let first: u32 = (1..step).map(|below| count_on(spacing, below)).sum();
    gap_on(site, balusters, step, first as usize)
}

fn gap_on(site: &Site, balusters: &Balusters, step: u32, first: usize) -> Option<f64> {
    let count = count_on(&balusters.spacing, step);
    let going = site.step(step)?.going;
    (count > 0).then(|| (going - widths(balusters, first, count)) / f64::from(count))
}

/// A place for every baluster that the treads ask for; the upper floor has none.
#[must_use]
pub fn per_tread(site: &Site, balusters: &Balusters) -> Vec<Spot> {
    let Spacing::PerTread { set_back, .. } = &balusters.spacing else {
        return Vec::new();
    };
    let treads = site.steps.iter().take(site.steps.len().saturating_sub(1));
    let mut spots = Vec::new();
    for step in treads {
        let first = spots.len();
        let gap = gap_on(site, balusters, step.number, first).unwrap_or(0.0);
        let mut face = step.kick_x + set_back.mm();
        for place in 0..count_on(&balusters.spacing, step.number) {
            let number = first + place as usize;
            let section = balusters.section_at(number);
            let spot = Spot::new(section, number, step.number, place + 1, face);
            face = spot.far() + gap;
            spots.push(spot);
        }
    }
    spots
}

/// The least count of balusters whose gap is strictly under a limit: the smallest whole number
/// `n >= 0` with `(clear - n * width) / (n + 1) < limit`, all in one unit. `None` where a length is no
/// positive number, or past 10,000.
#[must_use]
pub fn least_count(clear: f64, width: f64, limit: f64) -> Option<u32> {
    least_of_pattern(clear, &[width], limit)
}

/// The same where balusters of several widths take turns from the lower end.
#[must_use]
pub fn least_of_pattern(clear: f64, widths: &[f64], limit: f64) -> Option<u32> {
    let widest = widths.iter().copied().fold(0.0, f64::max);
    if !(clear.is_finite() && widest > 0.0 && limit > 0.0) {
        return None;
    }
    // (clear - n w) < limit (n + 1)  <=>  n > (clear - limit) / (w + limit); with the widest taken
    // for all, no fewer can do.
    let bound = ((clear - limit) / (widest + limit)).max(0.0).floor();
    let mut count = if bound > f64::from(COUNT_MOST) {
        return None;
    } else {
        bound as u32
    };
    let width_at = |at: u32| widths[at as usize % widths.len()];
    let mut taken: f64 = (0..count).map(width_at).sum();
    while (clear - taken) / (f64::from(count) + 1.0) >= limit {
        taken += width_at(count);
        count += 1;
    }
    Some(count)
}

/// The least count on a tread whose gap is strictly under a limit: the smallest `k >= 1` with
/// `(going - k * width) / k < limit`, all in one unit. `None` as in [`least_count`].
#[must_use]
pub fn least_on_tread(going: f64, width: f64, limit: f64) -> Option<u32> {
    let each = width + limit;
    if !(going.is_finite() && going > 0.0 && width > 0.0 && limit > 0.0) {
        return None;
    }
    // (going - k w) < limit k  <=>  k > going / (w + limit)
    let bound = (going / each).floor();
    (bound < f64::from(COUNT_MOST)).then_some(bound as u32 + 1)
}

/// No run has more balusters than this; far beyond any house.
const COUNT_MOST: u32 = 10_000;

/// The gap that `count` balusters leave in a clear length, all gaps alike; in the unit of both.
#[must_use]
pub fn even_gap(clear: f64, width: f64, count: u32) -> f64 {
    (clear - f64::from(count) * width) / (f64::from(count) + 1.0)
}

/// Even places between two faces (x, mm in the run's frame), with gaps under a limit, mm, if there is
/// one; and how many there are.
///
/// # Errors
/// [`SetOutError`] where not even one more baluster makes the gap pass.
pub fn along_rail(
    site: &Site,
    balusters: &Balusters,
    faces: (f64, f64),
    limit: Option<f64>,
    held: Option<u32>,
) -> Result<(Vec<Spot>, u32), SetOutError> {
    let Spacing::AlongRail { count: asked } = &balusters.spacing else {
        return Ok((Vec::new(), 0));
    };
    let clear = faces.1 - faces.0;
    let sections = balusters.sections().iter();
    let turns: Vec<f64> = sections.map(|section| section.along().as_mm()).collect();
    let least = || limit.map_or(Some(0), |limit| least_of_pattern(clear, &turns, limit));
    let gap_of = |count: u32| (clear - widths(balusters, 0, count)) / (f64::from(count) + 1.0);
    let count = held
        .or(*asked)
        .or_else(least)
        .filter(|&count| gap_of(count) > 0.0);
    let Some(count) = count else {
        return Err(no_count(clear, &turns, held.or(*asked), least()));
    };
    let gap = gap_of(count);
    let mut spots: Vec<Spot> = Vec::with_capacity(count as usize);
    let mut face = faces.0 + gap;
    for number in 0..count as usize {
        let mut spot = Spot::new(balusters.section_at(number), number, 0, 1, face);
        face = spot.far() + gap;
        stand_on(site, &mut spot, spots.last());
        spots.push(spot);
    }
    Ok((spots, count))
}

/// Tells a spot which tread it stands on, and which one of that tread it is.
pub(super) fn stand_on(site: &Site, spot: &mut Spot, before: Option<&Spot>) {
    spot.step = site.tread_under(spot.x);
    spot.place = before.map_or(1, |before| {
        if before.step == spot.step {
            before.place + 1
        } else {
            1
        }
    });
}

/// No count does: says the nearest that would.
fn no_count(clear: f64, turns: &[f64], asked: Option<u32>, least: Option<u32>) -> SetOutError {
    let narrowest = turns.iter().copied().fold(f64::INFINITY, f64::min);
    let widest = turns.iter().copied().fold(0.0, f64::max);
    let most = (clear / widest.max(f64::MIN_POSITIVE)).ceil() - 1.0;
    let problem = match asked {
        Some(count) => {
            format!("{count} balusters do not fit the {clear:.0} mm between the rail's ends")
        }
        None => format!("no count of balusters fits the {clear:.0} mm between the rail's ends"),
    };
    let help = match least {
        Some(least) if asked.is_some() && most >= f64::from(least) => {
            format!("{most:.0} fit at most, and {least} already pass the gap's limit")
        }
        _ if clear > narrowest => "use a narrower baluster, or fewer of them".to_owned(),
        _ => format!("move the rail's ends apart: a baluster is {narrowest:.0} mm wide"),
    };
    SetOutError {
        path: "design.balusters.spacing".to_owned(),
        problem,
        help,
    }
}
