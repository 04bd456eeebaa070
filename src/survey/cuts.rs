//! The cuts of each stringer as read on the bare framing: heights of the level cuts, places of the
//! plumb ones.
//!
//! The adjustment of the whole survey takes a tread to be a plane over its stringers, so it shares
//! out what one stringer is off. Here each stringer's cuts are points of their own: a levelling
//! network (readings between cuts, from floors and from laser lines), solved by least squares with
//! the readings' own weights. Floors and laser lines stand where the whole survey puts them. Where
//! nothing ties a cut to the others, its rise or going is taken as meant, and it says so.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};

use crate::job::{Across, Flight, Job, StepReading, Surface, TreadEdge};
use crate::measure::Length;

use super::dense::Factor;
use super::{Survey, prior};

/// One cut of a stringer, in the flight's frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The tread that lies on it, or the kick that stands against it.
    pub step: u32,
    /// Height of a level cut at its middle; place of a plumb cut up the flight.
    pub at: Length,
    /// How sure that is: a standard deviation.
    pub sd: Length,
    /// Of a level cut, how much its front stands above its back.
    pub fall: Length,
    /// True where the fall was read.
    pub fall_read: bool,
    /// False where no reading touches it: it is taken as meant from its neighbour.
    pub read: bool,
}

/// The cuts of one stringer.
#[derive(Clone, Debug, PartialEq)]
pub struct StringerCuts {
    /// The stringer's name.
    pub stringer: String,
    /// Its middle, outward from the baluster line.
    pub outward: Length,
    /// Its level cuts, one for each tread from the bottom; none where no height was read on it.
    pub level: Vec<Cut>,
    /// Its plumb cuts, one for each kick from the bottom; none where no place was read on it.
    pub plumb: Vec<Cut>,
}

/// The cuts of every stringer that was read, in the order of the job.
///
/// Heights are above the datum; places are from the finished face of the first kick on the baluster
/// line. Errors: each cut's standard deviation, in which floors and laser lines count as sure.
#[must_use]
pub fn cuts(job: &Job, survey: &Survey) -> Vec<StringerCuts> {
    let from = Reader {
        job,
        survey,
        sds: survey
            .adjustment
            .rows()
            .iter()
            .map(|row| (row.path.as_str(), row.sd))
            .collect(),
    };
    let all = job.stringers.iter().map(|stringer| {
        let name = stringer.name.as_str();
        let q = -(stringer.inset.mm() + stringer.thickness.mm() / 2.0);
        StringerCuts {
            stringer: name.to_owned(),
            outward: Length::mm(q),
            level: from.level(name, q),
            plumb: from.plumb(name, q),
        }
    });
    all.filter(|one| !(one.level.is_empty() && one.plumb.is_empty()))
        .collect()
}

/// The difference of two nodes, read or taken as meant.
#[derive(Clone, Copy, Debug)]
struct Tie {
    upper: usize,
    lower: usize,
    /// Upper less lower, mm.
    is: f64,
    sd: f64,
}

/// Nodes with differences between them; fixed nodes have a value.
#[derive(Clone, Debug)]
struct Network {
    fixed: Vec<Option<f64>>,
    ties: Vec<Tie>,
}

impl Network {
    /// Which group each node hangs together with; all fixed ones are one group.
    fn groups(&self) -> Vec<usize> {
        let mut group: Vec<usize> = (0..self.fixed.len()).collect();
        let anchors: Vec<usize> = (0..group.len())
            .filter(|&node| self.fixed[node].is_some())
            .collect();
        for pair in anchors.windows(2) {
            join(&mut group, pair[0], pair[1]);
        }
        for tie in &self.ties {
            join(&mut group, tie.upper, tie.lower);
        }
        group
    }

    /// Adds what was meant wherever the readings leave two nodes unconnected, in order.
    fn assume(&mut self, meant: &[Tie]) {
        let mut group = self.groups();
        for tie in meant {
            if group[tie.upper] != group[tie.lower] {
                join(&mut group, tie.upper, tie.lower);
                self.ties.push(*tie);
            }
        }
    }

    /// Weighted least squares: value and standard deviation of each node. `None` where some node
    /// hangs on nothing fixed.
    fn solve(&self) -> Option<Vec<(f64, f64)>> {
        let mut free = vec![None; self.fixed.len()];
        let mut count = 0;
        for (number, value) in free.iter_mut().zip(&self.fixed) {
            if value.is_none() {
                *number = Some(count);
                count += 1;
            }
        }
        let mut normal = DMatrix::zeros(count, count);
        let mut right = DVector::zeros(count);
        for tie in &self.ties {
            let weight = tie.sd.powi(-2);
            let ends = [(tie.upper, 1.0), (tie.lower, -1.0)];
            let known: f64 = ends
                .iter()
                .map(|&(node, sign)| sign * self.fixed[node].unwrap_or(0.0))
                .sum();
            for &(node, sign) in &ends {
                let Some(row) = free[node] else { continue };
                right[row] += weight * sign * (tie.is - known);
                for &(other, other_sign) in &ends {
                    if let Some(column) = free[other] {
                        normal[(row, column)] += weight * sign * other_sign;
                    }
                }
            }
        }
        let factor = Factor::of(normal)?;
        let solved = factor.solve(&right);
        let inverse = factor.inverse_lower();
        let place = |(node, number): (usize, &Option<usize>)| match number {
            Some(at) => (solved[*at], inverse.column(*at).norm()),
            None => (self.fixed[node].unwrap_or(0.0), 0.0),
        };
        Some(free.iter().enumerate().map(place).collect())
    }
}

fn join(group: &mut [usize], one: usize, other: usize) {
    let (keep, drop) = (group[one], group[other]);
    for each in group.iter_mut().filter(|each| **each == drop) {
        *each = keep;
    }
}

struct Reader<'a> {
    job: &'a Job,
    survey: &'a Survey,
    sds: BTreeMap<&'a str, f64>,
}

impl<'a> Reader<'a> {
    /// The rough readings on one stringer, each with its standard uncertainty.
    fn readings(&self, name: &str) -> Vec<(&'a StepReading, f64)> {
        let on_it = |reading: &StepReading| {
            *reading.on() == Surface::Rough
                && matches!(reading.side(), Across::Stringer(one) if one == name)
        };
        self.job
            .flight
            .readings
            .iter()
            .enumerate()
            .filter(|(_, reading)| on_it(reading))
            .filter_map(|(at, reading)| {
                let sd = self
                    .sds
                    .get(format!("flight.readings[{at}]").as_str())
                    .copied()?;
                Some((reading, sd))
            })
            .collect()
    }

    /// Where the whole survey puts a laser line at a place, mm.
    fn line(&self, name: &str, run: f64, cross: f64) -> Option<f64> {
        let number = self.job.lines.iter().position(|line| line.name == name)?;
        let adjustment = &self.survey.adjustment;
        Some(adjustment.mean(&adjustment.unknowns().line(number, run, cross)))
    }

    fn level(&self, name: &str, q: f64) -> Vec<Cut> {
        let (flight, adjustment) = (&self.job.flight, &self.survey.adjustment);
        let unknowns = adjustment.unknowns();
        let last = flight.count as usize;
        let readings = self.readings(name);
        // Node 0 is the lower subfloor, `last` the upper one; one more stands at height 0.
        let datum = last + 1;
        let mut fixed = vec![None; last + 2];
        for floor in [0, flight.count] {
            let rough = unknowns.height(floor, q, Surface::Rough);
            fixed[floor as usize] = Some(adjustment.mean(&rough));
        }
        fixed[datum] = Some(0.0);
        let tie = |(reading, sd): &(&StepReading, f64)| {
            let (upper, lower, is) = match reading {
                StepReading::Rise { step, is, .. } => (*step, step.checked_sub(1)?, is.mm()),
                StepReading::Height {
                    step, above, is, ..
                } => (*step, *above, is.mm()),
                StepReading::Under { step, line, is, .. } => {
                    let along = unknowns.meant_kick(*step) + unknowns.meant_depth() / 2.0;
                    let height = self.line(line, along, q)? - is.mm();
                    return between(*step as usize, datum, height, *sd, datum + 1);
                }
                _ => return None,
            };
            between(upper as usize, lower as usize, is, *sd, datum)
        };
        let ties: Vec<Tie> = readings.iter().filter_map(tie).collect();
        let meant: Vec<Tie> = (1..last)
            .map(|step| Tie {
                upper: step,
                lower: step - 1,
                is: meant_rise(flight, step),
                sd: prior::RISE,
            })
            .collect();
        let mut cuts = solved(fixed, ties, &meant, 1..last);
        for cut in &mut cuts {
            put_fall(cut, &readings);
        }
        cuts
    }

    fn plumb(&self, name: &str, q: f64) -> Vec<Cut> {
        let flight = &self.job.flight;
        let unknowns = self.survey.adjustment.unknowns();
        let last = flight.count as usize;
        let readings = self.readings(name);
        // Node 0 stands under the face of the first kick.
        let mut fixed = vec![None; last + 1];
        fixed[0] = Some(0.0);
        let tie = |(reading, sd): &(&StepReading, f64)| {
            let (upper, lower, is) = match reading {
                StepReading::Going { step, is, .. } => (step + 1, *step, is.mm()),
                StepReading::Run {
                    step, beyond, is, ..
                } => (*step, *beyond, is.mm()),
                StepReading::TotalRun { is, .. } => (flight.count, 1, is.mm()),
                StepReading::Past { step, line, is, .. } => {
                    let up = unknowns.meant_height(step.saturating_sub(1));
                    (*step, 0, self.line(line, q, up)? + is.mm())
                }
                _ => return None,
            };
            between(upper as usize, lower as usize, is, *sd, last + 1)
        };
        let ties: Vec<Tie> = readings.iter().filter_map(tie).collect();
        let meant: Vec<Tie> = (1..=last)
            .map(|step| Tie {
                upper: step,
                lower: step - 1,
                is: if step == 1 {
                    flight.kick_thickness.mm()
                } else {
                    flight.going.mm()
                },
                sd: if step == 1 { prior::BED } else { prior::GOING },
            })
            .collect();
        solved(fixed, ties, &meant, 1..last + 1)
    }
}

/// A tie between two of the first so many nodes.
fn between(upper: usize, lower: usize, is: f64, sd: f64, nodes: usize) -> Option<Tie> {
    let there = |node: usize| node < nodes;
    (there(upper) && there(lower) && upper != lower).then_some(Tie {
        upper,
        lower,
        is,
        sd,
    })
}

/// The meant rise of a rough cut: the first is short by the tread and long by the floor to come.
fn meant_rise(flight: &Flight, step: usize) -> f64 {
    let first = if step == 1 {
        flight.tread_thickness.mm() - flight.floor_below.mm()
    } else {
        0.0
    };
    flight.rise.mm() - first
}

/// Cuts of a solved network; none where nothing was read.
fn solved(
    fixed: Vec<Option<f64>>,
    ties: Vec<Tie>,
    meant: &[Tie],
    steps: std::ops::Range<usize>,
) -> Vec<Cut> {
    let mut read = vec![false; fixed.len()];
    for tie in &ties {
        read[tie.upper] = true;
        read[tie.lower] = true;
    }
    if !steps.clone().any(|step| read[step]) {
        return Vec::new();
    }
    let mut network = Network { fixed, ties };
    network.assume(meant);
    let values = network.solve().unwrap_or_default();
    let cut = |(node, (value, sd)): (usize, &(f64, f64))| Cut {
        step: node as u32,
        at: Length::mm(*value),
        sd: Length::mm(*sd),
        fall: Length::ZERO,
        fall_read: false,
        read: read[node],
    };
    values
        .iter()
        .enumerate()
        .filter(|(node, _)| steps.contains(node))
        .map(cut)
        .collect()
}

/// The weighted mean of what was read of a cut from front to back.
fn put_fall(cut: &mut Cut, readings: &[(&StepReading, f64)]) {
    let (mut sum, mut weights) = (0.0, 0.0);
    for (reading, sd) in readings {
        if let StepReading::Fall { step, low, is, .. } = reading
            && *step == cut.step
        {
            let front = if *low == TreadEdge::Back { 1.0 } else { -1.0 };
            sum += front * is.mm() * sd.powi(-2);
            weights += sd.powi(-2);
        }
    }
    if weights > 0.0 {
        cut.fall = Length::mm(sum / weights);
        cut.fall_read = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn tie(upper: usize, lower: usize, is: f64, sd: f64) -> Tie {
        Tie {
            upper,
            lower,
            is,
            sd,
        }
    }

    #[test]
    fn a_misclosure_is_shared_out_by_weight() {
        // Levelling between two bench marks, textbook rule: the misclosure of 3 is shared in the
        // ratio of the variances, 1 : 2.
        let network = Network {
            fixed: vec![Some(0.0), None, Some(203.0)],
            ties: vec![tie(1, 0, 100.0, 1.0), tie(2, 1, 100.0, 2f64.sqrt())],
        };
        let solved = network.solve().expect("it hangs together");
        assert_relative_eq!(solved[1].0, 101.0, epsilon = 1e-9);
        // Weights 1 and 1/2 add up.
        assert_relative_eq!(solved[1].1, (1.0f64 / 1.5).sqrt(), epsilon = 1e-9);
    }

    #[test]
    fn what_nothing_ties_is_as_meant_from_below() {
        let fixed = vec![Some(0.0), None, None, Some(600.0)];
        let meant = [
            tie(1, 0, 190.0, 6.0),
            tie(2, 1, 190.0, 6.0),
            tie(3, 2, 190.0, 6.0),
        ];
        let cuts = solved(fixed, vec![tie(2, 1, 205.0, 1.0)], &meant, 1..3);
        assert_relative_eq!(cuts[0].at.as_mm(), 190.0, epsilon = 1e-9);
        assert_relative_eq!(cuts[1].at.as_mm(), 395.0, epsilon = 1e-9);
        assert!(cuts.iter().all(|cut| cut.read));
    }
}
