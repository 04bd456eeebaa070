//! Which reading to take next: the one that takes most off the doubt of the results that decide.

use nalgebra::DMatrix;

use crate::chain::RunChain;
use crate::survey::{Linear, Survey, candidates};

use super::outcome::{Tangent, spots};

/// So many readings are advised.
const ADVISED: usize = 6;
/// A reading that takes less than this off all results together is not worth the walk, mm.
const WORTH: f64 = 0.2;

/// A reading worth taking.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// What to read, in trade words.
    pub what: String,
    /// Where to hold which tool.
    pub how: String,
    /// What it does to the results, the most shrunk first.
    pub shrinks: Vec<Shrink>,
    /// What it takes off the standard deviations of all results together, mm.
    pub takes: f64,
}

/// How the doubt of a result shrinks.
#[derive(Clone, Debug, PartialEq)]
pub struct Shrink {
    /// The result.
    pub what: String,
    /// Its standard deviation before, mm.
    pub before: f64,
    /// And after, mm.
    pub after: f64,
}

/// Ranks the readings that could be taken. Each is chosen as if those before it had been taken, so
/// that two that tell the same are not both advised.
pub(super) fn rank(run: &RunChain, survey: &Survey, results: &[Tangent]) -> Vec<Advice> {
    let offered = candidates(&run.run.job, &survey.adjustment, &spots(run));
    let functions: Vec<&Linear> = results
        .iter()
        .map(|result| &result.function)
        .chain(offered.iter().map(|one| &one.function))
        .collect();
    let mut covariance = survey.adjustment.joint_covariance(&functions);
    let first = results.len();
    let mut advice: Vec<Advice> = Vec::new();
    let mut chosen: Vec<usize> = Vec::new();
    while advice.len() < ADVISED {
        let taken = |at: usize| {
            let column = first + at;
            let noise = covariance[(column, column)].max(0.0) + offered[at].sd.powi(2);
            let off = |result: usize| {
                let before = covariance[(result, result)].max(0.0);
                let after = before - covariance[(result, column)].powi(2) / noise;
                (before.sqrt(), after.max(0.0).sqrt())
            };
            (0..first).map(off).collect::<Vec<_>>()
        };
        let sum = |shrinks: &[(f64, f64)]| shrinks.iter().map(|(a, b)| a - b).sum::<f64>();
        // Of equals the first stands, so that the order is the same every time.
        let mut best = (0.0, 0, Vec::new());
        for at in (0..offered.len()).filter(|at| !chosen.contains(at)) {
            let shrinks = taken(at);
            let takes = sum(&shrinks);
            if takes > best.0 {
                best = (takes, at, shrinks);
            }
        }
        let (takes, at, shrinks) = best;
        if takes < WORTH {
            break;
        }
        let mut shrinks: Vec<Shrink> = results
            .iter()
            .zip(shrinks)
            .map(|(result, (before, after))| Shrink {
                what: result.what.clone(),
                before,
                after,
            })
            .collect();
        shrinks.sort_by(|a, b| (b.before - b.after).total_cmp(&(a.before - a.after)));
        advice.push(Advice {
            what: offered[at].what.clone(),
            how: offered[at].how.clone(),
            shrinks,
            takes,
        });
        chosen.push(at);
        condition(&mut covariance, first + at, offered[at].sd);
    }
    advice
}

/// What is left of a covariance when one of its members has been read.
fn condition(covariance: &mut DMatrix<f64>, at: usize, sd: f64) {
    let column = covariance.column(at).clone_owned();
    let noise = column[at].max(0.0) + sd * sd;
    covariance.ger(-1.0 / noise, &column, &column, 1.0);
}
