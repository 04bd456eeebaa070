//! What the readings leave open, in trade words: a quantity that no reading ties to the rest is
//! taken as meant, and that must be said.

use crate::job::{Job, Runs};
use crate::measure::Length;

use super::Adjustment;
use super::unknowns::StepIds;

/// A scalar is loose where reading has taken less than this share off its variance.
const TIED: f64 = 0.1;

/// Something that no reading ties to the rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Loose {
    /// What, in one sentence.
    pub says: String,
    /// What it is taken to be within, a standard deviation.
    pub give: Length,
}

/// Lists what is loose, steps first.
pub(super) fn loose(job: &Job, adjustment: &Adjustment, variances: &[f64]) -> Vec<Loose> {
    let from = Seeker {
        job,
        adjustment,
        variances,
    };
    let mut found = from.steps();
    found.extend(from.walls());
    found.extend(from.landings());
    found.extend(from.lines());
    found
}

struct Seeker<'a> {
    job: &'a Job,
    adjustment: &'a Adjustment,
    variances: &'a [f64],
}

impl Seeker<'_> {
    fn is_loose(&self, number: usize) -> bool {
        let prior = self.adjustment.unknowns().scalars[number].sd.powi(2);
        self.variances[number] > (1.0 - TIED) * prior
    }

    fn sd(&self, number: usize) -> f64 {
        self.variances[number].sqrt()
    }

    fn steps(&self) -> Vec<Loose> {
        let steps = &self.adjustment.unknowns().steps;
        let treads = steps.len().saturating_sub(1);
        // How many steps it can be loose on, whether it is, what is said of which steps.
        type Tell = fn(&str) -> String;
        type Which = fn(&StepIds) -> Vec<usize>;
        let kinds: [(usize, Which, Tell); 4] = [
            (
                steps.len(),
                |ids| vec![ids.rise],
                |which| format!("nothing ties the height of {which} to what is below"),
            ),
            (
                treads,
                |ids| vec![ids.going],
                |which| format!("nothing ties the next kick to that of {which}"),
            ),
            (
                treads,
                |ids| vec![ids.edge],
                |which| format!("nothing ties the open end of {which} to the string"),
            ),
            (
                treads,
                |ids| vec![ids.width, ids.level, ids.skew],
                |which| format!("nothing ties the wall side of {which} to the rest"),
            ),
        ];
        let mut found = Vec::new();
        for (count, scalars, tell) in kinds {
            let loose: Vec<usize> = (0..count)
                .filter(|&at| scalars(&steps[at]).iter().all(|&one| self.is_loose(one)))
                .collect();
            if let Some(&first) = loose.first() {
                let give = self.sd(scalars(&steps[first])[0]);
                found.push(Loose {
                    says: tell(&which(&loose)),
                    give: Length::mm(give),
                });
            }
        }
        found
    }

    fn walls(&self) -> Vec<Loose> {
        let mut found = Vec::new();
        for (wall, ids) in self.job.walls.iter().zip(&self.adjustment.unknowns().walls) {
            let name = &wall.name;
            let height = wall.head.mm() - wall.foot.mm();
            let kinds = [
                (
                    ids.offset,
                    1.0,
                    format!("nothing tells how far wall {name} stands off its line"),
                ),
                (
                    ids.lean,
                    height,
                    format!("nothing tells wall {name}'s lean: read it high and low"),
                ),
                (
                    ids.splay,
                    2.0 * ids.middle,
                    format!("nothing tells wall {name}'s splay: read it at both ends"),
                ),
            ];
            for (number, over, says) in kinds {
                if self.is_loose(number) {
                    let give = Length::mm(self.sd(number) * over);
                    found.push(Loose { says, give });
                }
            }
        }
        found
    }

    fn landings(&self) -> Vec<Loose> {
        let mut found = Vec::new();
        let all = self
            .job
            .floors
            .iter()
            .zip(&self.adjustment.unknowns().landings);
        for (floor, ids) in all {
            let Some(ids) = ids else { continue };
            let name = &floor.name;
            let (long, wide) = (
                self.adjustment.scalar_mean(ids.open),
                self.adjustment.scalar_mean(ids.across),
            );
            let kinds = [
                (ids.height, 1.0, "height"),
                (ids.uphill, long, "level along the flight"),
                (ids.outward, wide, "level across the flight"),
                (ids.open, 1.0, "open edge"),
                (ids.wall, 1.0, "wall edge"),
                (ids.across, 1.0, "width"),
                (ids.shift, 1.0, "squareness"),
            ];
            for (number, over, what) in kinds {
                if self.is_loose(number) {
                    found.push(Loose {
                        says: format!("nothing tells the {what} of landing {name}"),
                        give: Length::mm(self.sd(number) * over),
                    });
                }
            }
        }
        found
    }

    fn lines(&self) -> Vec<Loose> {
        let mut found = Vec::new();
        for (line, ids) in self.job.lines.iter().zip(&self.adjustment.unknowns().lines) {
            let given = match &line.runs {
                Runs::Level { height } => height.is_some(),
                Runs::Across { x } => x.is_some(),
                Runs::Beside { off, .. } => off.is_some(),
            };
            if !given && self.is_loose(ids.place) {
                found.push(Loose {
                    says: format!("nothing ties laser line {} to the stair", line.name),
                    give: Length::mm(self.sd(ids.place)),
                });
            }
        }
        found
    }
}

/// `step 7`, `steps 3 to 5 and 9`.
fn which(places: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &at in places {
        match runs.last_mut() {
            Some((_, last)) if *last == at => *last = at + 1,
            _ => runs.push((at + 1, at + 1)),
        }
    }
    let words: Vec<String> = runs
        .iter()
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first} and {last}"),
            _ => format!("{first} to {last}"),
        })
        .collect();
    let noun = if places.len() == 1 { "step" } else { "steps" };
    format!("{noun} {}", words.join(", "))
}

#[cfg(test)]
mod tests {
    use super::which;

    #[test]
    fn steps_are_told_in_runs() {
        assert_eq!(which(&[6]), "step 7");
        assert_eq!(which(&[2, 3]), "steps 3 and 4");
        assert_eq!(which(&[2, 3, 4, 8]), "steps 3 to 5, 9");
    }
}
