//! Why a number is what it is: the chain run again with departures from true made true, one by one
//! and in sets, discrete choices held.

use std::sync::OnceLock;

use crate::chain::Chain;
use crate::inspect::{Finding, Key};
use crate::measure::Length;
use crate::measure::tolerance::{SAME_POINT_MM, SHARE_MM};

use super::again::{Again, State, absent};
use super::game::{Column, MOST_PLAYERS, shapley};
use super::groups::{Group, groups, together};
use super::{Asked, Because, Explanation, Method, cores, cure};

/// So many set-outs are spent on the additive column of a number that the set-out gives by itself;
/// a number, not a time, so that every machine gives the same answer. All sets of seven groups are
/// fewer.
const SET_OUTS: usize = 128;
/// And of one that solids are asked for: all sets of six groups are fewer.
const INSPECTIONS: usize = 64;
/// Up to so many departures are set out once and kept for every number; more would take much room.
const KEPT: usize = 64;

/// The chain's answers with each departure from true made true alone, kept from one number to the
/// next.
#[derive(Clone, Debug)]
pub struct Reasons {
    again: Again,
    groups: Vec<Group>,
    alone: Vec<OnceLock<Option<State>>>,
}

/// One number under explanation.
struct Number<'a> {
    asked: &'a Asked,
    /// As found, where it is held against a limit.
    finding: Option<&'a Finding>,
    found: Length,
}

/// A group and the value with it made true alone.
struct Alone<'a> {
    group: &'a Group,
    share: Length,
}

impl Reasons {
    /// Gathers the departures from true; the chain is run when a number is asked about.
    #[must_use]
    pub fn of(chain: &Chain) -> Self {
        let groups = groups(chain);
        let alone = groups.iter().map(|_| OnceLock::new()).collect();
        Self {
            again: Again::of(chain),
            groups,
            alone,
        }
    }

    /// Why one quantity is what it is, and what would cure it.
    #[must_use]
    pub fn explain(&self, chain: &Chain, key: &Key) -> Explanation {
        let mut explanation = self.because(chain, &Asked::Finding(key.clone()));
        if let Some(finding) = chain.inspection.find(key).filter(|one| one.is_trouble()) {
            explanation.cures = cure::cures(chain, finding);
        }
        explanation
    }

    /// Why any number is what it is, cures left out. Nothing is told of a number that the stair has
    /// not.
    #[must_use]
    pub fn because(&self, chain: &Chain, asked: &Asked) -> Explanation {
        let evaluations = match asked {
            // What shows along a run is told by its set-out alone.
            Asked::Finding(key) if key.kind.is_drift() => SET_OUTS,
            Asked::Finding(_) => INSPECTIONS,
            _ => SET_OUTS,
        };
        self.because_within(chain, asked, evaluations)
    }

    /// The same with so many runs of the chain spent on the additive column, beside one for each
    /// departure.
    #[must_use]
    pub fn because_within(&self, chain: &Chain, asked: &Asked, evaluations: usize) -> Explanation {
        let finding = match asked {
            Asked::Finding(key) => chain.inspection.find(key),
            _ => None,
        };
        let Some(found) = asked.value(chain) else {
            return Explanation::default();
        };
        let number = Number {
            asked,
            finding,
            found,
        };
        let (mut alone, rest, unknown) = self.sorted(&number);
        // The twelfth place is the rest's, where there is one.
        let room = MOST_PLAYERS - usize::from(!rest.is_empty());
        let over = if alone.len() > room {
            alone.split_off(MOST_PLAYERS - 1)
        } else {
            Vec::new()
        };
        let rest: Vec<&Group> = over.iter().map(|one| one.group).chain(rest).collect();
        let rest = (!rest.is_empty()).then(|| together(&rest));
        self.told(&number, &alone, rest, unknown, evaluations)
    }

    /// The departures that have a share by themselves, largest first; all others; and the names of
    /// those whose share cannot be told.
    fn sorted(&self, number: &Number<'_>) -> (Vec<Alone<'_>>, Vec<&Group>, Vec<String>) {
        let near = self.near(number);
        let values = cores::each(&near, |at| self.alone_value(number, *at));
        let mut alone = Vec::new();
        let mut told = vec![false; self.groups.len()];
        let mut unknown = Vec::new();
        for (&at, value) in near.iter().zip(values) {
            let group = &self.groups[at];
            match value.map(|value| number.found - value) {
                Some(share) if share.abs().as_mm() > SHARE_MM => {
                    told[at] = true;
                    alone.push(Alone { group, share });
                }
                Some(_) => {}
                None => unknown.push(group.what.clone()),
            }
        }
        // A stable sort keeps the order up the flight among equals.
        alone.sort_by(|a, b| b.share.abs().total_cmp(&a.share.abs()));
        let rest = self.groups.iter().zip(told).filter(|(_, told)| !told);
        (alone, rest.map(|(group, _)| group).collect(), unknown)
    }

    /// The departures to look at one by one: all, or where a stair has very many those of the runs
    /// that move the number at all when everything about them is made true.
    fn near(&self, number: &Number<'_>) -> Vec<usize> {
        let all = 0..self.groups.len();
        if self.groups.len() <= KEPT {
            return all.collect();
        }
        let run_of = |group: &Group| {
            let fault = group.makes.faults.first().map(|(run, _)| *run);
            fault
                .or_else(|| group.makes.turns.first().copied())
                .unwrap_or_default()
        };
        let mut runs: Vec<usize> = self.groups.iter().map(run_of).collect();
        runs.dedup();
        let moves = cores::each(&runs, |run| {
            let own: Vec<&Group> = self
                .groups
                .iter()
                .filter(|one| run_of(one) == *run)
                .collect();
            let value = self.value(number, &together(&own));
            value.is_none_or(|value| (value - number.found).abs().as_mm() > SHARE_MM)
        });
        let moving: Vec<usize> = runs
            .into_iter()
            .zip(moves)
            .filter_map(|(run, moves)| moves.then_some(run))
            .collect();
        all.filter(|&at| moving.contains(&run_of(&self.groups[at])))
            .collect()
    }

    fn alone_value(&self, number: &Number<'_>, at: usize) -> Option<Length> {
        let lay = || self.again.lay(&self.groups[at].makes);
        if self.groups.len() > KEPT {
            return number.of(&self.again, &lay()?);
        }
        let state = self.alone[at].get_or_init(lay);
        number.of(&self.again, state.as_ref()?)
    }

    fn value(&self, number: &Number<'_>, group: &Group) -> Option<Length> {
        number.of(&self.again, &self.again.lay(&group.makes)?)
    }

    fn told(
        &self,
        number: &Number<'_>,
        alone: &[Alone<'_>],
        rest: Option<Group>,
        mut unknown: Vec<String>,
        evaluations: usize,
    ) -> Explanation {
        let found = number.found;
        let has_rest = rest.is_some();
        let mut players: Vec<(Group, Option<Length>)> = alone
            .iter()
            .map(|one| (one.group.clone(), Some(one.share)))
            .collect();
        players.extend(rest.map(|rest| {
            let value = self.value(number, &rest);
            if value.is_none() && !unknown.contains(&rest.what) {
                unknown.push(rest.what.clone());
            }
            (rest, value.map(|value| found - value))
        }));
        let worth = |set: u32| {
            let members = players.iter().enumerate();
            let members = members.filter(|(at, _)| set & (1 << at) != 0);
            let members: Vec<&Group> = members.map(|(_, (group, _))| group).collect();
            let value = self.value(number, &together(&members))?;
            Some((found - value).as_mm())
        };
        let singles = players.iter().enumerate();
        let mut known: Vec<(u32, f64)> = singles
            .filter_map(|(at, (_, share))| Some((1 << at, share.as_ref()?.as_mm())))
            .collect();
        known.push((0, 0.0));
        let all = (1_u32 << players.len()) - 1;
        let whole = known
            .iter()
            .find(|(set, _)| *set == all)
            .map(|(_, worth)| *worth);
        let whole = whole.or_else(|| worth(all));
        if let Some(whole) = whole.filter(|_| players.len() > 1) {
            known.push((all, whole));
        }
        let column = shapley(players.len(), evaluations, &known, &worth);
        let because = listed(players, &column, has_rest);
        let shares: Length = because.iter().map(|one| one.share).sum();
        let whole = whole.map(Length::mm);
        Explanation {
            value: found,
            remainder: whole.unwrap_or(shares) - shares,
            when_true: whole.map(|whole| found - whole),
            method: Method::of(&column),
            because,
            unknown,
            cures: Vec::new(),
        }
    }
}

impl Number<'_> {
    /// Its value on a stair set out again.
    fn of(&self, again: &Again, state: &State) -> Option<Length> {
        let Some(like) = self.finding else {
            return self.asked.laid(&state.laid);
        };
        let finding = state.finding(again.pack(), like);
        finding.map(|one| one.value()).or_else(|| absent(like))
    }
}

/// The groups with both columns, the largest share of the whole first and the small ones together
/// last; those that have a share in neither are left out.
fn listed(players: Vec<(Group, Option<Length>)>, column: &Column, has_rest: bool) -> Vec<Because> {
    let errors = match column {
        Column::Sampled { errors, .. } => errors.as_slice(),
        _ => &[],
    };
    let count = players.len();
    let told = players.into_iter().enumerate().map(|(at, (group, share))| {
        let of = |column: &[f64]| column.get(at).copied().map(Length::mm);
        Because {
            what: group.what,
            parts: group.parts,
            readings: group.readings,
            makes: group.makes,
            share: share.unwrap_or_default(),
            shapley: column.shares().and_then(of),
            error: of(errors),
        }
    });
    let mut told: Vec<Because> = told.collect();
    let size = |one: &Because| one.shapley.unwrap_or(one.share).abs();
    let own = count - usize::from(has_rest);
    // A stable sort keeps the order of the shares alone among equals.
    told[..own].sort_by(|a, b| size(b).total_cmp(&size(a)));
    let counts = |length: Length| length.abs().as_mm() > SAME_POINT_MM;
    told.into_iter()
        .filter(|one| counts(one.share) || one.shapley.is_some_and(counts))
        .collect()
}

impl Method {
    fn of(column: &Column) -> Self {
        match column {
            Column::Exact { .. } => Self::Exact,
            Column::Sampled { errors, draws, .. } => Self::Sampled {
                draws: *draws,
                error: errors
                    .iter()
                    .copied()
                    .map(Length::mm)
                    .fold(Length::ZERO, Length::max),
            },
            Column::Missing { without, of } => Self::LeftOut {
                without: *without,
                of: *of,
            },
        }
    }
}
