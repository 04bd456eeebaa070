//! A strip: one quantity of a climb, step by step, as a chart draws it.

use crate::measure::Length;

use super::{Climb, ClimbLimit, ClimbStep};

/// What a strip is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// How far each nosing is too high, and what each rise adds to that.
    Heights,
    /// How far each nosing is too far on, and what each going adds to that.
    Places,
    /// The rises.
    Rises,
    /// The goings.
    Goings,
    /// How treads lie across, positive where the open end is high.
    Across,
    /// How treads lie from the nosing back, positive where the nosing is high.
    Back,
    /// How far tread ends stand too far out.
    TreadEnds,
    /// What shows between balusters and tread ends.
    Reveals,
    /// The rail's height over the nosings.
    RailHeight,
    /// How far the wall beside stands off its meant plane at rail height, towards the room.
    Wall,
}

impl Of {
    /// Every quantity: what builds up first.
    pub const ALL: [Self; 10] = [
        Self::Heights,
        Self::Places,
        Self::Rises,
        Self::Goings,
        Self::Across,
        Self::Back,
        Self::TreadEnds,
        Self::Reveals,
        Self::RailHeight,
        Self::Wall,
    ];

    /// Its word, as machine answers have it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Heights => "heights",
            Self::Places => "places",
            Self::Rises => "rises",
            Self::Goings => "goings",
            Self::Across => "level-across",
            Self::Back => "level-back",
            Self::TreadEnds => "tread-ends",
            Self::Reveals => "reveals",
            Self::RailHeight => "rail-height",
            Self::Wall => "wall",
        }
    }
}

/// One quantity along a climb.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What it is of.
    pub of: Of,
    /// What the runs below bring, where it builds up from the foot of the stair.
    pub start: Option<Length>,
    /// The value that is as meant, from which values are counted. `None` where there is no value.
    pub meant: Option<Length>,
    /// The steps, in the order in which one climbs them.
    pub points: Vec<StripPoint>,
    /// The least value, and the greatest.
    pub extent: Option<(Length, Length)>,
}

/// A step of a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct StripPoint {
    /// The step.
    pub step: u32,
    /// What the line goes through: of several values their mean. None where the step has none.
    pub value: Option<Length>,
    /// What the step adds by itself, where the line is a sum.
    pub adds: Option<Length>,
    /// The values, where there are several.
    pub each: Vec<Length>,
}

impl Climb {
    /// One quantity step by step. Reveals and heights are those of the run's first railing.
    #[must_use]
    pub fn strip(&self, of: Of) -> Strip {
        let rail = self.first_rail();
        let points: Vec<StripPoint> = self
            .steps
            .iter()
            .map(|step| point(step, of, rail))
            .collect();
        let start = match of {
            Of::Heights => Some(self.brought.up),
            Of::Places => Some(self.brought.along),
            _ => None,
        };
        let values = points
            .iter()
            .flat_map(|one| one.value.iter().chain(&one.adds).chain(&one.each));
        let values: Vec<Length> = values.chain(&start).copied().collect();
        let extent = values
            .iter()
            .copied()
            .min_by(Length::total_cmp)
            .zip(values.iter().copied().max_by(Length::total_cmp));
        let seen = points.iter().any(|one| one.value.is_some());
        Strip {
            of,
            start,
            meant: seen.then(|| self.meant(of, rail)),
            points,
            extent,
        }
    }

    /// The limits on a quantity.
    pub fn limits_on(&self, of: Of) -> impl Iterator<Item = &ClimbLimit> {
        self.limits.iter().filter(move |limit| limit.of == of)
    }

    /// The rail that strips are of: that of the run's own railing.
    fn first_rail(&self) -> Option<&str> {
        let rails = self.steps.iter().flat_map(|step| &step.rails);
        let reveals = self.steps.iter().flat_map(|step| &step.reveals);
        let named = rails.map(|one| &one.rail);
        let mut all = named.chain(reveals.map(|one| &one.rail));
        all.next().map(String::as_str)
    }

    /// What is as meant.
    fn meant(&self, of: Of, rail: Option<&str>) -> Length {
        let first = |pick: &dyn Fn(&ClimbStep) -> Option<Length>| self.steps.iter().find_map(pick);
        let meant = match of {
            Of::Rises => first(&|step| Some(step.rise.found - step.rise.off)),
            Of::Goings => first(&|step| step.going.map(|going| going.found - going.off)),
            Of::Reveals => first(&|step| {
                let mut own = step.reveals.iter().filter(|one| Some(&*one.rail) == rail);
                own.next().map(|one| one.wanted)
            }),
            Of::RailHeight => first(&|step| step.rails.first().map(|one| one.wanted)),
            _ => None,
        };
        meant.unwrap_or(Length::ZERO)
    }
}

/// A step of a strip.
fn point(step: &ClimbStep, of: Of, rail: Option<&str>) -> StripPoint {
    let is_tread = step.going.is_some();
    let tread = |value: Length| is_tread.then_some(value);
    let [open, wall] = step.rise_ends;
    let own = step.reveals.iter().filter(|one| Some(&*one.rail) == rail);
    let over = step.rails.iter().find(|one| Some(&*one.rail) == rail);
    let each: Vec<Length> = match of {
        Of::Reveals => own.map(|one| one.value).collect(),
        Of::Rises => vec![open, wall],
        Of::RailHeight => over.map_or_else(Vec::new, |one| vec![one.least, one.most]),
        _ => Vec::new(),
    };
    let value = match of {
        Of::Heights => Some(step.off.up),
        Of::Places => Some(step.off.along),
        Of::Rises => Some(step.rise.found),
        Of::Goings => step.going.map(|going| going.found),
        Of::Across => Some(step.across.gap),
        Of::Back => tread(step.back.gap),
        Of::TreadEnds => step.end.map(|end| end.off),
        Of::Reveals if each.is_empty() => None,
        Of::Reveals => {
            let sum: Length = each.iter().copied().sum();
            Some(sum / each.len() as f64)
        }
        Of::RailHeight => over.map(|one| one.least),
        Of::Wall => step.wall.as_ref().map(|wall| wall.off),
    };
    let adds = match of {
        Of::Heights => Some(step.rise.off),
        Of::Places => step.going.map(|going| going.off),
        _ => None,
    };
    StripPoint {
        step: step.step,
        value,
        adds,
        each,
    }
}
