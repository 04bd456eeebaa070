//! The doubt of what the stair itself is held against: rises, treads, overhangs, levels, pitch.

use crate::inspect::{Finding, Kind, Run};
use crate::survey::Adjustment;

use super::flight::{Flight, Told};
use super::{ALIKE_MM, Doubt};

/// A run's stair with what its readings say, and the flight that it goes on from.
pub(super) struct Stair<'a> {
    own: Flight<'a>,
    below: Option<Flight<'a>>,
    /// The rises on the baluster line, at the open end and at the wall end.
    rises: [Vec<Told<'a>>; 3],
    depths: Vec<Told<'a>>,
    overhangs: Vec<Told<'a>>,
}

impl<'a> Stair<'a> {
    pub(super) fn of(run: &Run<'a>, adjustment: &'a Adjustment, all: &[Run<'a>]) -> Self {
        let base = run.solid.turns.first().and_then(|turn| all.get(turn.base));
        let below =
            base.and_then(|base| Some(Flight::new(base.solid.site, &base.survey?.adjustment)));
        Self::new(Flight::new(run.solid.site, adjustment), below)
    }

    pub(super) fn new(own: Flight<'a>, below: Option<Flight<'a>>) -> Self {
        Self {
            rises: own.rises(),
            depths: own.depths(),
            overhangs: own.overhangs(),
            own,
            below,
        }
    }

    /// The doubt of a finding about the stair; `None` where none is claimed.
    pub(super) fn doubt(&self, finding: &Finding) -> Option<Doubt> {
        let value = finding.value().as_mm();
        let depths = std::slice::from_ref(&self.depths);
        match finding.key.kind {
            Kind::Rise => {
                let step = self.number(finding, 'K')?;
                one_of(self.rises.iter().filter_map(|side| of(side, step)), value)
            }
            Kind::RiseVariation => range(&self.whole_rises(), value),
            Kind::RiseAdjacent => adjacent(&self.whole_rises(), value),
            Kind::FlightRise => self.flight_rise(value),
            Kind::TreadDepth => one_of(of(&self.depths, self.number(finding, 'T')?), value),
            Kind::TreadVariation => range(depths, value),
            Kind::GoingAdjacent => adjacent(depths, value),
            Kind::TwoRisesAndGoing => {
                let step = self.number(finding, 'T')?;
                let depth = of(&self.depths, step)?;
                one_of(&[of(&self.rises[0], step)?.twice_with(depth)], value)
            }
            Kind::Pitch => self.own.pitch(),
            Kind::Nosing => one_of(of(&self.overhangs, self.number(finding, 'T')?), value),
            Kind::NosingVariation => range(std::slice::from_ref(&self.overhangs), value),
            Kind::TreadSlope => one_of(&self.own.level(self.number(finding, 'T')?), value),
            _ => None,
        }
    }

    /// The number of the step whose part a finding is about: `K4`, or `2.K4` in a stair of several
    /// runs; `None` for a winder's.
    fn number(&self, finding: &Finding, letter: char) -> Option<u32> {
        let part = finding.key.parts.first()?;
        let own = part.strip_prefix(self.own.site.mark.as_str())?;
        own.strip_prefix(letter)?.parse().ok()
    }

    /// The rises with those that are climbed before them without a landing, winders left out.
    fn whole_rises(&self) -> [Vec<Told<'a>>; 3] {
        let mut whole = self.below.as_ref().map(Flight::rises).unwrap_or_default();
        for (whole, own) in whole.iter_mut().zip(&self.rises) {
            whole.extend(own.iter().cloned());
        }
        whole
    }

    fn flight_rise(&self, value: f64) -> Option<Doubt> {
        let own = self.own.climb()?;
        match &self.below {
            // Winders between them carry no doubt, and count in the value.
            Some(below) => Some(own.doubt().with(below.climb()?.doubt())),
            None => one_of(&[own], value),
        }
    }
}

fn of<'t, 'a>(all: &'t [Told<'a>], step: u32) -> Option<&'t Told<'a>> {
    let place = |told: &&Told<'_>| told.step == step;
    all.iter().find(place)
}

/// The doubt of the first of some that has the value of a finding.
fn one_of<'t, 'a: 't>(all: impl IntoIterator<Item = &'t Told<'a>>, value: f64) -> Option<Doubt> {
    let alike = |told: &&Told<'_>| (told.value - value).abs() < ALIKE_MM;
    Some(all.into_iter().find(alike)?.doubt())
}

/// The doubt of the greatest less the least, on the side where that is the value of a finding.
fn range(sides: &[Vec<Told<'_>>], value: f64) -> Option<Doubt> {
    let ends = sides.iter().filter_map(|side| {
        let by = |a: &&Told<'_>, b: &&Told<'_>| a.value.total_cmp(&b.value);
        Some((side.iter().max_by(by)?, side.iter().min_by(by)?))
    });
    difference(ends, sides, value)
}

/// The doubt of a quantity less the next one, where that is the value of a finding.
fn adjacent(sides: &[Vec<Told<'_>>], value: f64) -> Option<Doubt> {
    let pairs = sides
        .iter()
        .flat_map(|side| side.iter().zip(side.iter().skip(1)));
    let by_size = pairs.map(|(a, b)| if a.value > b.value { (a, b) } else { (b, a) });
    difference(by_size, sides, value)
}

/// The doubt of the first pair whose difference is the value of a finding; none is claimed where a
/// winder makes it. Any one that was not read may be what makes the difference.
fn difference<'t, 'a: 't>(
    mut pairs: impl Iterator<Item = (&'t Told<'a>, &'t Told<'a>)>,
    sides: &[Vec<Told<'_>>],
    value: f64,
) -> Option<Doubt> {
    let made = pairs.find(|(more, less)| (more.value - less.value - value).abs() < ALIKE_MM);
    Some(Doubt {
        unread: sides.first()?.iter().any(Told::unread),
        ..made.map_or_else(Doubt::default, |(more, less)| more.doubt_less(less))
    })
}
