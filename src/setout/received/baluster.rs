//! A received baluster at each place: the disturbance that it makes there, and where all of them go.

use nalgebra::{Rotation2, Vector2};

use crate::job::{Built, Job, Off, Received, ReceivedBaluster, ReceivedLimits};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::setout::{Limits, SetOut};
use crate::site::Site;

use super::places::{Assigned, assign};
use super::{BalusterWeighed, Placed, Verdict};

/// A gap that is wider than its limit is worth so many times one that is merely wider.
const OVER: f64 = 10.0;

/// A place that a baluster can stand at, as set out.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its name, such as `B07`.
    pub name: String,
    /// The clear gaps below it and above it.
    pub gaps: [Length; 2],
    /// A gap must stay under this.
    pub gap_under: Option<Length>,
    /// What shows between its face and the end of its tread, and what is wanted.
    pub reveal: Option<(Length, Length)>,
    /// How far its head stands outward of its foot.
    pub lean: Length,
    /// From its shoulder on the tread to the bottom of its seat, at its longer side.
    pub length: Length,
    /// The depth of the seat.
    pub seat: Length,
    /// Its designed size up the flight.
    pub size: Length,
    /// True where it can be turned by a quarter: its section is square or round.
    pub quarters: bool,
    /// +1 where outward is to the left going up, -1 where it is to the right.
    pub outward: f64,
}

/// What a baluster does at a place, turned as it does least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Turned by so many quarter turns, anticlockwise seen from above, from how it is marked.
    pub quarter_turns: u8,
    /// The greatest change of a gap beside it, at its foot or its middle.
    pub gap: Length,
    /// How far that takes a gap past its limit, beyond what was set out.
    pub over: Length,
    /// How much further its reveal is off the wanted one.
    pub reveal: Length,
    /// How much further its head is out of plumb over its foot.
    pub lean: Length,
    /// How much of its seat is lost.
    pub seat: Length,
    /// The disturbance: all of these added up, what is over a limit counted ten times.
    pub total: Length,
}

impl Fit {
    /// True where nothing is past its limit.
    #[must_use]
    pub fn within(&self, limits: &ReceivedLimits) -> bool {
        [
            (self.gap, limits.gap.value),
            (self.over, Length::ZERO),
            (self.reveal, limits.reveal.value),
            (self.lean, limits.lean.value),
            (self.seat, limits.seat.value),
        ]
        .iter()
        .all(|&(value, limit)| (value - limit).as_mm() <= SAME_POINT_MM)
    }
}

/// The places of a set-out.
#[must_use]
pub fn places(job: &Job, site: &Site, setout: &SetOut, limits: &Limits) -> Vec<Place> {
    let wanted = job.design.reveal.as_ref().map(|reveal| reveal.value);
    let reveals = &setout.reveals;
    let mean = reveals.iter().map(|one| one.value).sum::<Length>() / reveals.len().max(1) as f64;
    let on_treads = job.design.bottom_rail.is_none();
    setout
        .balusters
        .iter()
        .map(|one| {
            let gap =
                |beside: Option<&crate::setout::Gap>| beside.map_or(Length::ZERO, |gap| gap.clear);
            let reveal = reveals
                .iter()
                .find(|reveal| reveal.part == one.name && on_treads);
            let long = (one.top - one.foot).norm();
            let plumb = (one.top.z - one.foot.z).max(SAME_POINT_MM);
            Place {
                name: one.name.clone(),
                gaps: [
                    gap(setout.gaps.iter().find(|gap| gap.above == one.name)),
                    gap(setout.gaps.iter().find(|gap| gap.below == one.name)),
                ],
                gap_under: limits.gap_under,
                reveal: reveal.map(|reveal| (reveal.value, wanted.unwrap_or(mean))),
                lean: one.lean,
                length: one.long_point + one.seat * (long / plumb),
                seat: one.seat,
                size: one.along,
                quarters: (one.along - one.across).abs().as_mm() < SAME_POINT_MM,
                outward: site.outward,
            }
        })
        .collect()
}

/// What a baluster does at a place, turned so that it keeps the limits if it can, and then that it
/// does least there; `None` where it is too short to reach its seat.
#[must_use]
pub fn disturbance(
    baluster: &ReceivedBaluster,
    place: &Place,
    limits: &ReceivedLimits,
) -> Option<Fit> {
    let turns = (0..4_u8).filter(|turn| place.quarters || turn % 2 == 0);
    turns
        .filter_map(|turn| turned(baluster, place, turn))
        // Of equals, but for the arithmetic's noise, the first is taken.
        .min_by_key(|fit| {
            let whole = (fit.total.as_mm() / SAME_POINT_MM).round() as i64;
            (!fit.within(limits), whole)
        })
}

/// The same turned by so many quarter turns.
fn turned(baluster: &ReceivedBaluster, place: &Place, quarter_turns: u8) -> Option<Fit> {
    let length = baluster.length.as_ref().map(|length| length.value);
    let seat = length.map_or(Length::ZERO, |length| {
        (place.length - length).max(Length::ZERO)
    });
    if (seat - place.seat).as_mm() > SAME_POINT_MM {
        return None;
    }
    // In plan: uphill, outward.
    let turn =
        Rotation2::new(f64::from(quarter_turns) * std::f64::consts::FRAC_PI_2 * place.outward);
    let way = |off: &Option<Off>| {
        off.as_ref().map_or(Vector2::zeros(), |off| {
            turn * Vector2::new(off.uphill.mm(), off.outward.mm())
        })
    };
    // The hole goes where the peg was marked, so the foot moves the other way; the head stays.
    let foot = -way(&baluster.hole);
    let middle = foot / 2.0 + way(&baluster.bow);
    let wider = baluster
        .size
        .as_ref()
        .map_or(0.0, |size| (size.value - place.size).as_mm() / 2.0);
    let changes = [foot.x, middle.x].map(|x| [x - wider, -x - wider]);
    let gap = changes.iter().flatten().copied().map(f64::abs);
    let over = |at: usize| {
        let clear = place.gaps[at].as_mm();
        let past = |clear: f64| {
            let limit = place.gap_under.map_or(f64::INFINITY, Length::as_mm);
            (clear - limit).max(0.0)
        };
        let most = changes[0][at].max(changes[1][at]);
        (past(clear + most) - past(clear)).max(0.0)
    };
    let reveal = place.reveal.map_or(0.0, |(shows, wanted)| {
        let off = (shows - wanted).as_mm();
        ((off - foot.y - wider).abs() - off.abs()).max(0.0)
    });
    let lean = place.lean.as_mm();
    let lean = ((lean - foot.y).hypot(foot.x) - lean.abs()).max(0.0);
    let gap = gap.fold(0.0, f64::max);
    let over = over(0).max(over(1));
    Some(Fit {
        quarter_turns,
        gap: Length::mm(gap),
        over: Length::mm(over),
        reveal: Length::mm(reveal),
        lean: Length::mm(lean),
        seat,
        total: Length::mm(gap + OVER * over + reveal + lean) + seat,
    })
}

/// Weighs the balusters; also the places that stay empty.
/// True where the baluster of a place of this railing has been built.
fn is_built(job: &Job, step: u32, place: u32) -> bool {
    let own = &job.design.rail.name;
    job.built.iter().any(|built| match built {
        Built::Baluster {
            step: on,
            place: at,
            rail,
            ..
        } => (*on, *at) == (step, place) && rail.as_ref().is_none_or(|rail| rail == own),
        _ => false,
    })
}

pub(super) fn weigh(
    job: &Job,
    site: &Site,
    setout: &SetOut,
    limits: &Limits,
    received: &Received,
) -> (Vec<BalusterWeighed>, Vec<String>) {
    if received.balusters.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let mut places = places(job, site, setout, limits);
    // What has been fitted takes no other piece.
    let fitted = |name: &str| {
        let mut balusters = setout.balusters.iter();
        balusters
            .find(|one| one.name == name)
            .is_some_and(|one| is_built(job, one.step, one.place))
    };
    places.retain(|place| !fitted(&place.name));
    let fits: Vec<Vec<Option<Fit>>> = places
        .iter()
        .map(|place| {
            let balusters = received.balusters.iter();
            balusters
                .map(|one| disturbance(one, place, &received.limits))
                .collect()
        })
        .collect();
    let Assigned { balusters: at } = assign(&fits, &received.limits);
    let verdict = |number: usize, placed: Option<&Fit>| {
        let within = |fit: &Fit| fit.within(&received.limits);
        let baluster = &received.balusters[number];
        let anywhere = places
            .iter()
            .all(|place| turned(baluster, place, 0).is_some_and(|fit| within(&fit)));
        let somewhere = match placed {
            Some(fit) => within(fit),
            None => fits
                .iter()
                .any(|of_place| of_place[number].as_ref().is_some_and(within)),
        };
        match (anywhere, somewhere) {
            (true, _) => Verdict::Accept,
            (false, true) => Verdict::Shuffle,
            (false, false) => Verdict::SendBack,
        }
    };
    let mut filled = vec![false; places.len()];
    let weighed = received
        .balusters
        .iter()
        .enumerate()
        .map(|(number, baluster)| {
            let place = at.iter().position(|&one| one == Some(number));
            let fit = place.and_then(|place| fits[place][number]);
            if let (Some(place), Some(_)) = (place, fit) {
                filled[place] = true;
            }
            BalusterWeighed {
                mark: baluster.mark.clone(),
                verdict: verdict(number, fit.as_ref()),
                at: place.zip(fit).map(|(place, fit)| Placed {
                    place: places[place].name.clone(),
                    fit,
                }),
            }
        })
        .collect();
    let unfilled = places.iter().zip(&filled).filter(|(_, filled)| !**filled);
    (
        weighed,
        unfilled.map(|(place, _)| place.name.clone()).collect(),
    )
}
