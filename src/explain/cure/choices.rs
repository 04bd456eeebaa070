//! Choices that can be taken otherwise: how many balusters, whether they lean, what their spacing
//! holds to, how a handrail ends.

use crate::chain::Chain;
use crate::inspect::{Finding, Kind};
use crate::job::limits::{MOST_ALONG_RAIL, MOST_PER_TREAD};
use crate::job::{Align, Hold, Job, Spacing, TreadCount, WallRailEnd};
use crate::setout::spacing::count_on;

use super::candidate::{Candidate, Change};

/// The choices to try for a trouble, each kind by itself, the least change first.
pub(super) fn of(chain: &Chain, trouble: &Finding) -> Vec<Vec<Candidate>> {
    let Some(one) = chain.runs.get(trouble.run) else {
        return Vec::new();
    };
    let about = About {
        run: trouble.run,
        job: &one.run.job,
    };
    use Kind as K;
    let mut all = Vec::new();
    if matches!(trouble.key.kind, K::Opening | K::EdgeDistance) {
        match &about.job.design.balusters.spacing {
            Spacing::PerTread { count, .. } => {
                let step = one.site.surface_under(one.frame.from_first(&trouble.at).x);
                let is_tread = step > 0 && (step as usize) < one.site.steps.len();
                if is_tread {
                    all.push(about.per_tread(step));
                    if trouble.key.kind == K::Opening {
                        all.push(about.every_tread(*count));
                    }
                }
            }
            Spacing::AlongRail { .. } => {
                let now = one.setout.choices.along_rail.unwrap_or(0);
                all.push(about.along_rail(now));
            }
            Spacing::Panels { .. } => {}
        }
    }
    if matches!(trouble.key.kind, K::Opening) {
        all.push(about.holds());
    }
    let leaning = [
        K::RevealDrift,
        K::RevealStep,
        K::RevealSlope,
        K::Lean,
        K::EdgeDistance,
        K::PastEdge,
        K::PloughMiss,
    ];
    if leaning.contains(&trouble.key.kind) && one.setout.on_treads() {
        all.push(about.aligns());
    }
    if trouble.key.kind == K::RailOpenEnd {
        all.extend([false, true].map(|upper| about.returned(upper)));
    }
    all
}

/// The treads with a count of their own once one of them has this count, and the text of that list;
/// `None` where balusters are not counted by tread.
pub(in crate::explain) fn own_count(
    spacing: &Spacing,
    step: u32,
    count: u32,
) -> Option<(Vec<TreadCount>, String)> {
    let Spacing::PerTread {
        count: common, but, ..
    } = spacing
    else {
        return None;
    };
    let kept = but.iter().filter(|one| one.step != step);
    let mut list: Vec<TreadCount> = kept.cloned().collect();
    if count != *common {
        list.push(TreadCount { step, count });
    }
    list.sort_by_key(|one| one.step);
    let text: Vec<String> = list
        .iter()
        .map(|one| format!("(step: {}, count: {})", one.step, one.count))
        .collect();
    Some((list, format!("[{}]", text.join(", "))))
}

struct About<'a> {
    run: usize,
    job: &'a Job,
}

impl About<'_> {
    fn candidate(
        &self,
        what: String,
        (field, value): (&str, String),
        change: impl FnOnce(&mut Job),
    ) -> Candidate {
        let mut job = self.job.clone();
        change(&mut job);
        Candidate {
            what,
            edits: vec![(field.to_owned(), value)],
            change: Change { run: self.run, job },
            opens_wall: false,
        }
    }

    /// A baluster more or less on one tread.
    fn per_tread(&self, step: u32) -> Vec<Candidate> {
        let now = count_on(&self.job.design.balusters.spacing, step);
        let others = [now + 1, now.saturating_sub(1)].into_iter();
        let wanted = others.filter(|&other| other > 0 && other != now && other <= MOST_PER_TREAD);
        wanted
            .filter_map(|other| {
                let (list, text) = own_count(&self.job.design.balusters.spacing, step, other)?;
                let what = match other {
                    1 => format!("put one baluster on tread {step}"),
                    other => format!("put {other} balusters on tread {step}"),
                };
                let field = "design.balusters.spacing.PerTread.but";
                Some(self.candidate(what, (field, text), |job| {
                    if let Spacing::PerTread { but, .. } = &mut job.design.balusters.spacing {
                        *but = list;
                    }
                }))
            })
            .collect()
    }

    /// A baluster more or less along the rail.
    fn along_rail(&self, now: u32) -> Vec<Candidate> {
        let others = [now + 1, now.saturating_sub(1)].into_iter();
        let wanted = others.filter(|&other| other != now && other <= MOST_ALONG_RAIL);
        wanted
            .map(|other| {
                let what = format!("space {other} balusters along the rail instead of {now}");
                let value = format!("AlongRail(count: Some({other}))");
                let spacing = Spacing::AlongRail { count: Some(other) };
                self.candidate(what, ("design.balusters.spacing", value), |job| {
                    job.design.balusters.spacing = spacing;
                })
            })
            .chain([self.least_along_rail()])
            .collect()
    }

    /// As many along the rail as the limit asks for.
    fn least_along_rail(&self) -> Candidate {
        let what = "let the spacing choose how many balusters stand along the rail".to_owned();
        let value = "AlongRail()".to_owned();
        self.candidate(what, ("design.balusters.spacing", value), |job| {
            job.design.balusters.spacing = Spacing::AlongRail { count: None };
        })
    }

    /// A baluster or two more on every tread that has no number of its own.
    fn every_tread(&self, count: u32) -> Vec<Candidate> {
        let more = (count + 1..=count + 2).filter(|&more| more <= MOST_PER_TREAD);
        more.map(|more| {
            let what = format!("put {more} balusters on every tread instead of {count}");
            let field = "design.balusters.spacing.PerTread.count";
            self.candidate(what, (field, more.to_string()), |job| {
                if let Spacing::PerTread { count, .. } = &mut job.design.balusters.spacing {
                    *count = more;
                }
            })
        })
        .collect()
    }

    /// The spacing held more to equal gaps, a quarter of the way at a time.
    fn holds(&self) -> Vec<Candidate> {
        let Spacing::PerTread { hold, .. } = &self.job.design.balusters.spacing else {
            return Vec::new();
        };
        let shares = [0.25, 0.5, 0.75, 1.0].into_iter();
        let beyond = shares.filter(|share| *share > hold.share());
        let hold = |share: f64| match share {
            share if share >= 1.0 => (Hold::EqualGaps, "EqualGaps".to_owned()),
            share => (Hold::Share(share), format!("Share({share})")),
        };
        beyond
            .map(|share| {
                let (held, text) = hold(share);
                let what = match held {
                    Hold::EqualGaps => "make all gaps alike, off the kick line".to_owned(),
                    _ => format!(
                        "let the gaps go {} of the way to alike, off the kick line",
                        part(share)
                    ),
                };
                let field = "design.balusters.spacing.PerTread.hold";
                self.candidate(what, (field, text), |job| {
                    if let Spacing::PerTread { hold, .. } = &mut job.design.balusters.spacing {
                        *hold = held;
                    }
                })
            })
            .collect()
    }

    /// The balusters plumber, or more along the tread ends: nearest to what they are first.
    fn aligns(&self) -> Vec<Candidate> {
        let share_of = |align: Align| match align {
            Align::Plumb => 0.0,
            Align::EvenReveal => 1.0,
            Align::Share(share) => share,
        };
        let now = share_of(self.job.design.balusters.align);
        let mut shares = vec![0.0, 0.25, 0.5, 0.75, 1.0];
        shares.retain(|share: &f64| (share - now).abs() > 1e-9);
        shares.sort_by(|a, b| (a - now).abs().total_cmp(&(b - now).abs()));
        shares
            .into_iter()
            .map(|share| {
                let (align, text, what) = match share {
                    share if share <= 0.0 => (
                        Align::Plumb,
                        "Plumb".to_owned(),
                        "stand the balusters plumb".to_owned(),
                    ),
                    share if share >= 1.0 => (
                        Align::EvenReveal,
                        "EvenReveal".to_owned(),
                        "let the balusters' feet follow the tread ends".to_owned(),
                    ),
                    share => (
                        Align::Share(share),
                        format!("Share({share})"),
                        format!(
                            "let the balusters' feet follow the tread ends {} of the way",
                            part(share)
                        ),
                    ),
                };
                self.candidate(what, ("design.balusters.align", text), |job| {
                    job.design.balusters.align = align;
                })
            })
            .collect()
    }

    /// An end of the handrail on the wall side returned to its wall.
    fn returned(&self, upper: bool) -> Vec<Candidate> {
        let Some(rail) = &self.job.design.wall_rail else {
            return Vec::new();
        };
        let (end, word, field) = if upper {
            (rail.upper, "upper", "design.wall_rail.upper")
        } else {
            (rail.lower, "lower", "design.wall_rail.lower")
        };
        if end == WallRailEnd::Return {
            return Vec::new();
        }
        let what = format!(
            "return the {word} end of handrail {} to its wall",
            rail.name
        );
        vec![self.candidate(what, (field, "Return".to_owned()), |job| {
            if let Some(rail) = &mut job.design.wall_rail {
                *(if upper {
                    &mut rail.upper
                } else {
                    &mut rail.lower
                }) = WallRailEnd::Return;
            }
        })]
    }
}

/// A quarter, a half or three quarters in words.
fn part(share: f64) -> &'static str {
    match share {
        share if share < 0.375 => "a quarter",
        share if share < 0.625 => "half",
        _ => "three quarters",
    }
}
