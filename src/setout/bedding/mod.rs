//! Bedding: where each tread and kick lies on its stringers, and what goes between.
//!
//! In: the cuts of the stringers as read ([`crate::survey::cuts`]), the finished floors, limits.
//! Out: [`Bedded`]: the plane of every tread and the face of every kick, chosen for the whole flight
//! so that the limits are kept with the least filling ([`programme`]), and for each stringer what
//! to fill, shim or relieve. Where no bedding keeps the limits: the step and the limit, and the
//! bedding with the limit given way as little as can be.
//! Does not: know rule packs, or take kicks or plumb cuts to lean.

mod boards;
pub mod programme;
#[cfg(test)]
mod tests;
mod types;

use crate::job::{self, Job};
use crate::measure::Length;
use crate::site::Site;
use crate::survey::{self, Survey};

use super::SetOutError;
use boards::{Laying, kicks, treads};
use programme::{Boards, Laid, Limit};

pub use types::*;

/// Beds the treads and kicks of a flight on the stringers that were read. `None` where no cut of any
/// stringer was.
///
/// Lengths are in the flight's frame. Errors: as good as the cuts ([`crate::survey::Cut::sd`], given
/// again with each bed); the programme itself is exact to 1e-5 mm.
///
/// # Errors
/// [`SetOutError`] where the programme has no answer, which no job that passed its checks brings
/// about as far as we know.
pub fn bed(
    job: &Job,
    survey: &Survey,
    site: &Site,
    limits: &BeddingLimits,
) -> Result<Option<Bedded>, SetOutError> {
    let cuts = survey::cuts(job, survey);
    if cuts.is_empty() {
        return Ok(None);
    }
    let settings = job.bedding.clone().unwrap_or_default();
    let on_treads = laid(treads(job, site, &cuts, &settings, limits))?;
    let on_kicks = if job.flight.kicks == job::Kicks::Open {
        None
    } else {
        laid(kicks(job, &cuts, &settings, limits))?
    };
    let read = |name: &str| cuts.iter().any(|one| one.stringer == name);
    let left_out = job.stringers.iter().filter(|one| !read(&one.name));
    let total = |of: &Option<Answer>| {
        let filling = of.as_ref().map(|one| one.laying.boards.filling(&one.laid));
        let (fill, relieve) = filling.unwrap_or_default();
        (Length::mm(fill), Length::mm(relieve))
    };
    let (filling, relieving) = total(&on_treads);
    let (set_back, set_back_relieving) = total(&on_kicks);
    Ok(Some(Bedded {
        rises: on_treads.as_ref().map(Answer::steps).unwrap_or_default(),
        goings: on_kicks.as_ref().map(Answer::goings).unwrap_or_default(),
        treads_short: on_treads.as_ref().and_then(|one| one.short.clone()),
        kicks_short: on_kicks.as_ref().and_then(|one| one.short.clone()),
        treads: on_treads
            .map(|one| one.treads(&settings))
            .unwrap_or_default(),
        kicks: on_kicks.map(|one| one.kicks(&settings)).unwrap_or_default(),
        filling,
        relieving,
        set_back,
        set_back_relieving,
        left_out: left_out.map(|one| one.name.clone()).collect(),
    }))
}

/// Boards as laid, and what limit had to give for it.
struct Answer {
    laying: Laying,
    laid: Vec<Laid>,
    short: Option<Shortfall>,
}

fn laid(laying: Laying) -> Result<Option<Answer>, SetOutError> {
    if laying.boards.boards.is_empty() {
        return Ok(None);
    }
    if let Some(laid) = laying.boards.lay() {
        let short = None;
        return Ok(Some(Answer {
            laying,
            laid,
            short,
        }));
    }
    let gives = gives(&laying.boards);
    let answer = gives.first().and_then(|&(limit, by)| {
        // The simplex keeps limits to so much, so a limit that only just gives enough may not be
        // kept once more.
        let given = laying.boards.given(limit, by + 4.0 * programme::SIMPLEX_MM);
        let laid = given.lay()?;
        let short = Shortfall {
            gives: gives
                .iter()
                .map(|&(limit, by)| laying.give(limit, by))
                .collect(),
            steps: laying.past(&laid, limit),
        };
        Some((laid, short))
    });
    let Some((laid, short)) = answer else {
        return Err(SetOutError {
            path: "bedding".to_owned(),
            problem: "the programme that beds the treads has no answer".to_owned(),
            help: "check the readings on the stringers' cuts".to_owned(),
        });
    };
    Ok(Some(Answer {
        laying,
        laid,
        short: Some(short),
    }))
}

/// The limits that help by giving way alone, with how much; least first. If none does, all of them
/// together.
fn gives(boards: &Boards) -> Vec<(Option<Limit>, f64)> {
    let mut alone: Vec<(Option<Limit>, f64)> = boards
        .set_limits()
        .filter_map(|limit| Some((Some(limit), boards.least_give(Some(limit))?)))
        .collect();
    // A stable sort: among equals the order of the limits decides.
    alone.sort_by(|a, b| a.1.total_cmp(&b.1));
    if alone.is_empty() {
        alone.extend(boards.least_give(None).map(|by| (None, by)));
    }
    alone
}

/// Which bead fills so much, mm.
fn fills(settings: &job::Bedding, gap: f64) -> Fills {
    let up_to = |bead: &job::Len| gap <= bead.mm() + programme::SIMPLEX_MM;
    if gap < -programme::SIMPLEX_MM {
        Fills::Relieve
    } else if up_to(&settings.light) {
        Fills::Light
    } else if up_to(&settings.normal) {
        Fills::Normal
    } else if up_to(&settings.heavy) {
        Fills::Heavy
    } else {
        Fills::Shim
    }
}
