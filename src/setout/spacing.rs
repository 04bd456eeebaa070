//! Where balusters stand along the flight, before their line across it is known.
//!
//! Level distances along x, mm.

use crate::job::{Balusters, Spacing};
use crate::site::Site;

use super::SetOutError;

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
}

/// How many balusters the job puts on a tread.
#[must_use]
pub fn count_on(spacing: &Spacing, step: u32) -> u32 {
    match spacing {
        Spacing::PerTread { count, but, .. } => but
            .iter()
            .find(|one| one.step == step)
            .map_or(*count, |one| one.count),
        Spacing::AlongRail { .. } => 0,
    }
}

/// The gap of a tread: what its going leaves between its balusters, each gap alike.
#[must_use]
pub fn tread_gap(site: &Site, balusters: &Balusters, step: u32) -> Option<f64> {
    let count = f64::from(count_on(&balusters.spacing, step));
    let going = site.step(step)?.going;
    (count > 0.0).then(|| (going - count * balusters.section.along().as_mm()) / count)
}

/// A place for every baluster that the treads ask for; the upper floor has none.
#[must_use]
pub fn per_tread(site: &Site, balusters: &Balusters) -> Vec<Spot> {
    let Spacing::PerTread { set_back, .. } = &balusters.spacing else {
        return Vec::new();
    };
    let width = balusters.section.along().as_mm();
    let treads = site.steps.iter().take(site.steps.len().saturating_sub(1));
    treads
        .flat_map(|step| {
            let gap = tread_gap(site, balusters, step.number).unwrap_or(0.0);
            (0..count_on(&balusters.spacing, step.number)).map(move |place| Spot {
                step: step.number,
                place: place + 1,
                x: step.kick_x + set_back.mm() + width / 2.0 + f64::from(place) * (width + gap),
                q: None,
            })
        })
        .collect()
}

/// The least count of balusters whose gap is strictly under a limit: the smallest whole number
/// `n >= 0` with `(clear - n * width) / (n + 1) < limit`.
#[must_use]
pub fn least_count(clear: f64, width: f64, limit: f64) -> Option<u32> {
    if !(clear.is_finite() && width > 0.0 && limit > 0.0) {
        return None;
    }
    // (clear - n w) < limit (n + 1)  <=>  n > (clear - limit) / (w + limit)
    let bound = ((clear - limit) / (width + limit)).max(0.0).floor();
    let mut count = if bound > f64::from(COUNT_MOST) {
        return None;
    } else {
        bound as u32
    };
    while even_gap(clear, width, count) >= limit {
        count += 1;
    }
    Some(count)
}

/// No run has more balusters than this; far beyond any house.
const COUNT_MOST: u32 = 10_000;

/// The gap that `count` balusters leave in a clear length, all gaps alike.
#[must_use]
pub fn even_gap(clear: f64, width: f64, count: u32) -> f64 {
    (clear - f64::from(count) * width) / (f64::from(count) + 1.0)
}

/// Even places between two faces.
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
    let width = balusters.section.along().as_mm();
    let clear = faces.1 - faces.0;
    let least = || limit.map_or(Some(0), |limit| least_count(clear, width, limit));
    let count = held
        .or(*asked)
        .or_else(least)
        .filter(|&count| even_gap(clear, width, count) > 0.0);
    let Some(count) = count else {
        return Err(SetOutError {
            path: "design.balusters.spacing".to_owned(),
            problem: format!(
                "no count of balusters fits the {clear:.0} mm between the rail's ends"
            ),
            help: "use a narrower baluster, or fewer of them".to_owned(),
        });
    };
    let gap = even_gap(clear, width, count);
    let mut spots: Vec<Spot> = Vec::with_capacity(count as usize);
    for index in 0..count {
        let x = faces.0 + gap + width / 2.0 + f64::from(index) * (width + gap);
        let step = site.tread_under(x);
        let place = spots.iter().filter(|spot| spot.step == step).count() as u32 + 1;
        spots.push(Spot {
            step,
            place,
            x,
            q: None,
        });
    }
    Ok((spots, count))
}
