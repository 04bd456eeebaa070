//! The quantities of a flight as linear functions of what was read.

use crate::site::{Site, Step};
use crate::survey::{Adjustment, Linear};

use super::{Doubt, Hangs, is_carried};

/// A quantity of one step: its value, mm, and what it hangs on.
#[derive(Clone, Debug)]
pub(super) struct Told<'a> {
    pub(super) step: u32,
    pub(super) value: f64,
    hangs: Hangs,
    /// What it was read in.
    from: &'a Adjustment,
}

impl Told<'_> {
    pub(super) fn doubt(&self) -> Doubt {
        self.hangs.doubt(self.from)
    }

    /// Whether something that this mainly is was not read.
    pub(super) fn unread(&self) -> bool {
        let mut mainly = self.hangs.mainly.iter();
        mainly.any(|part| !is_carried(self.from, part))
    }

    /// The doubt of this less another.
    pub(super) fn doubt_less(&self, other: &Self) -> Doubt {
        if std::ptr::eq(self.from, other.from) {
            self.hangs.less(&other.hangs).doubt(self.from)
        } else {
            self.doubt().with(other.doubt())
        }
    }

    /// Twice this (a rise) and another (its tread's depth).
    pub(super) fn twice_with(&self, other: &Self) -> Self {
        let twice = Hangs {
            mainly: self
                .hangs
                .mainly
                .iter()
                .map(|part| part.times(-2.0))
                .collect(),
            also: Vec::new(),
        };
        Self {
            value: 2.0 * self.value + other.value,
            hangs: other.hangs.less(&twice),
            ..self.clone()
        }
    }
}

/// A run's steps and their readings adjusted.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flight<'a> {
    pub(super) site: &'a Site,
    pub(super) adjustment: &'a Adjustment,
}

impl<'a> Flight<'a> {
    pub(super) const fn new(site: &'a Site, adjustment: &'a Adjustment) -> Self {
        Self { site, adjustment }
    }

    fn told(&self, step: u32, whole: &Linear, hangs: Hangs) -> Told<'a> {
        Told {
            step,
            value: self.adjustment.mean(whole),
            hangs,
            from: self.adjustment,
        }
    }

    /// The rises on the baluster line, at the open end and at the wall end.
    pub(super) fn rises(&self) -> [Vec<Told<'a>>; 3] {
        let offsets: [fn(&Step) -> f64; 3] = [|_| 0.0, |step| step.open_q, |step| step.wall_q];
        let steps = self.site.steps.iter();
        offsets.map(|offset| {
            let rise = |step: &Step| self.rise(step.number, offset(step));
            steps.clone().filter_map(rise).collect()
        })
    }

    /// A rise so far outward of the baluster line: what was read there, and the levels of its tread
    /// and of the one below. A tread that falls front to back adds a tenth of its fall at the most.
    fn rise(&self, step: u32, outward: f64) -> Option<Told<'a>> {
        let height = |step: u32, q: f64| self.adjustment.of_nosing_height(step, q);
        let level = |step: u32| Some(height(step, outward)?.less(&height(step, 0.0)?));
        let whole = height(step, outward)?.less(&height(step - 1, outward)?);
        let mut also = Vec::new();
        if outward.abs() > 0.0 {
            also.push(level(step)?);
            also.push(level(step - 1)?.times(-1.0));
        }
        let mainly = vec![self.adjustment.of_step(step, "rise")?];
        Some(self.told(step, &whole, Hangs { mainly, also }))
    }

    /// The treads' depths, nosing to nosing: the going, less this overhang's growth to the next.
    pub(super) fn depths(&self) -> Vec<Told<'a>> {
        let treads = self.site.steps.windows(2);
        treads
            .filter_map(|pair| self.depth(pair[0].number))
            .collect()
    }

    fn depth(&self, step: u32) -> Option<Told<'a>> {
        let of = |step: u32, word: &str| self.adjustment.of_step(step, word);
        let nosing = |step: u32| self.adjustment.of_nosing(step);
        let hangs = Hangs {
            mainly: vec![of(step, "going")?],
            also: vec![of(step, "overhang")?, of(step + 1, "overhang")?.times(-1.0)],
        };
        Some(self.told(step, &nosing(step + 1)?.less(&nosing(step)?), hangs))
    }

    /// The nosings beyond their kicks.
    pub(super) fn overhangs(&self) -> Vec<Told<'a>> {
        let steps = self.site.steps.iter();
        steps
            .filter_map(|step| self.plain(step.number, "overhang"))
            .collect()
    }

    /// A quantity that is an unknown itself.
    fn plain(&self, step: u32, word: &str) -> Option<Told<'a>> {
        let function = self.adjustment.of_step(step, word)?;
        let hangs = Hangs {
            mainly: vec![function.clone()],
            also: Vec::new(),
        };
        Some(self.told(step, &function, hangs))
    }

    /// How far a tread is out of level over its length, whichever way.
    pub(super) fn level(&self, step: u32) -> Option<Told<'a>> {
        let level = self.plain(step, "level")?;
        Some(Told {
            value: level.value.abs(),
            ..level
        })
    }

    /// What the flight climbs.
    pub(super) fn climb(&self) -> Option<Told<'a>> {
        let mut rises = self.site.steps.iter();
        let whole = rises.try_fold(Linear::default(), |sum, step| {
            Some(sum.add(&self.adjustment.of_step(step.number, "rise")?))
        })?;
        let last = self.site.steps.last()?.number;
        let hangs = Hangs {
            mainly: vec![whole.clone()],
            also: Vec::new(),
        };
        Some(self.told(last, &whole, hangs))
    }

    /// What the line of the nosings climbs over its run, against a limit that grows with the run:
    /// the slope of the straight line through all nosings by least squares, times the run.
    pub(super) fn pitch(&self) -> Option<Doubt> {
        let stations = self.site.stations();
        let (first, last) = (stations.first()?, stations.last()?);
        let run = last.x - first.x;
        let count = stations.len() as f64;
        let middle = stations.iter().map(|one| one.x).sum::<f64>() / count;
        let spread: f64 = stations.iter().map(|one| (one.x - middle).powi(2)).sum();
        let weights: Vec<f64> = stations
            .iter()
            .map(|one| run * (one.x - middle) / spread)
            .collect();
        let climb: f64 = stations
            .iter()
            .zip(&weights)
            .map(|(one, weight)| weight * one.height)
            .sum();
        Some(
            self.against_line(&weights, climb / run)?
                .doubt(self.adjustment),
        )
    }

    /// How nosings' places move against a raked line: the sum of `weight * (height - slope * place)`
    /// over the nosings on the baluster line, from the lowest. Every nosing stands on all rises and
    /// goings before it.
    pub(super) fn against_line(&self, weights: &[f64], slope: f64) -> Option<Hangs> {
        let of = |step: u32, word: &str| self.adjustment.of_step(step, word);
        let (mut rises, mut goings, mut overhangs) =
            (Linear::default(), Linear::default(), Linear::default());
        // What is left of the weights from a step on.
        let mut from_here: f64 = weights.iter().sum();
        for (step, weight) in self.site.steps.iter().zip(weights) {
            let number = step.number;
            rises = rises.plus(from_here, &of(number, "rise")?);
            overhangs = overhangs.plus(slope * weight, &of(number, "overhang")?);
            from_here -= weight;
            goings = goings.plus(-slope * from_here, &of(number, "going")?);
        }
        Some(Hangs {
            mainly: vec![rises, goings],
            also: vec![overhangs],
        })
    }
}
