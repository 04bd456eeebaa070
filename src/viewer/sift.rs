//! Which troubles the list shows, in which order, and where one is in it.
//!
//! In: what was found and what is asked of the list. Out: the lines of the list, pure; a system that
//! carries [`Ask`]s out. Keys go through the list as it is shown.

use bevy::prelude::{App, IntoScheduleConfigs as _, MessageReader, Res, ResMut, Resource, Update};

use crate::chain::Chain;
use crate::inspect::{self, Finding, Key, Kind, Severity, Stands};
use crate::job::Job;

use super::eye::{Look, View};
use super::session::Action;
use super::{Mood, Pick, Place, Showing, Solved, ViewerSystems};

/// So many alike in a row stand under one line.
const ALIKE: usize = 3;

/// What a trouble is about, as one sifts by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Topic {
    /// A ball that passes.
    Opening,
    /// Parts in each other's way, joints, bores.
    Clash,
    /// What shows beside a part.
    Reveal,
    /// Parts out of plumb.
    Lean,
    /// Height, reach and hold of the rails.
    Rail,
    /// Rises, goings and nosings.
    Step,
    /// Headroom, width, landings.
    Room,
    /// What carries it: stringers, blocking, anchors.
    Hold,
}

impl Topic {
    /// In the order in which they are offered.
    pub(super) const ALL: [Self; 8] = [
        Self::Opening,
        Self::Clash,
        Self::Reveal,
        Self::Lean,
        Self::Rail,
        Self::Step,
        Self::Room,
        Self::Hold,
    ];

    /// What a kind is about.
    pub(super) const fn of(kind: Kind) -> Self {
        match kind {
            Kind::Opening | Kind::Triangle | Kind::OpenKick => Self::Opening,
            Kind::Clash
            | Kind::SeatDeep
            | Kind::SeatShallow
            | Kind::BoreEdge
            | Kind::PlugCover
            | Kind::PloughMiss
            | Kind::PastEdge
            | Kind::RailInWall
            | Kind::EdgeDistance
            | Kind::Knuckle => Self::Clash,
            Kind::RevealDrift | Kind::RevealStep | Kind::RevealSlope | Kind::BlockReveal => {
                Self::Reveal
            }
            Kind::Lean => Self::Lean,
            Kind::RailHeight
            | Kind::WallClearance
            | Kind::RailReach
            | Kind::RailOpenEnd
            | Kind::Projection
            | Kind::Grip
            | Kind::Extension
            | Kind::Missing => Self::Rail,
            Kind::Rise
            | Kind::RiseVariation
            | Kind::RiseAdjacent
            | Kind::FlightRise
            | Kind::TreadDepth
            | Kind::TreadVariation
            | Kind::GoingAdjacent
            | Kind::TwoRisesAndGoing
            | Kind::Pitch
            | Kind::WinderWalkDepth
            | Kind::WinderLeastDepth
            | Kind::WinderVariation
            | Kind::Nosing
            | Kind::NosingVariation
            | Kind::NosingShape
            | Kind::TreadSlope
            | Kind::KickSlope
            | Kind::Risers => Self::Step,
            Kind::Headroom | Kind::Width | Kind::LandingDepth | Kind::LandingWidth => Self::Room,
            Kind::StringerCut
            | Kind::Landing
            | Kind::NewelFoot
            | Kind::FastenerCut
            | Kind::Load => Self::Hold,
        }
    }

    /// Its word.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Clash => "clash",
            Self::Reveal => "reveal",
            Self::Lean => "lean",
            Self::Rail => "rail",
            Self::Step => "step",
            Self::Room => "room",
            Self::Hold => "hold",
        }
    }
}

/// A kind in plain words.
pub(super) fn plain(kind: Kind) -> String {
    match kind {
        Kind::Clash => "part in part".to_owned(),
        Kind::RevealDrift => "reveals wander".to_owned(),
        Kind::RevealStep => "reveal changes from step to step".to_owned(),
        Kind::Lean => "out of plumb".to_owned(),
        Kind::EdgeDistance => "peg near the tread's end".to_owned(),
        Kind::Risers => "number of rises".to_owned(),
        Kind::PastEdge => "past the tread's edge".to_owned(),
        other => other.word().replace('-', " "),
    }
}

/// The order of the list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Order {
    /// By severity.
    #[default]
    Worst,
    /// By how far past its limit, on the tape; what is no length comes last.
    Size,
    /// The way up the stair, run by run.
    Up,
}

impl Order {
    /// All, with their words.
    pub(super) const ALL: [(Self, &'static str); 3] = [
        (Self::Worst, "worst first"),
        (Self::Size, "farthest past"),
        (Self::Up, "up the stair"),
    ];
}

/// What is asked of the list.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Ask {
    /// Lets the keys go into the list.
    Find,
    /// Shows, or leaves out again, what is about this.
    Topic(Topic),
    /// And what is so bad.
    Severity(Severity),
    /// And what is on this run.
    Run(usize),
    /// Shows only what has these words.
    Words(String),
    /// Orders it otherwise.
    Order(Order),
    /// Shows everything again.
    All,
    /// Opens or closes the line over troubles alike, by the first of them.
    Open(Key),
    /// Goes a line down the list, or up.
    Step {
        /// Up.
        backwards: bool,
    },
    /// Opens the line that one is at: goes to its trouble.
    Enter,
    /// Begins to write why the picked trouble is let stand, or leaves that.
    Reason(bool),
}

/// What is asked of the list now, and where one is in it.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(super) struct Sift {
    /// Only these topics; all where none is named.
    pub(super) topics: Vec<Topic>,
    /// Only these severities.
    pub(super) severities: Vec<Severity>,
    /// Only these runs.
    pub(super) runs: Vec<usize>,
    /// Only with these words.
    pub(super) words: String,
    /// The order.
    pub(super) order: Order,
    /// Lines that are open, by the first of the troubles alike.
    opened: Vec<Key>,
    /// The line that one is at: by its trouble, or by the first of several alike and true.
    pub(super) at: Option<(Key, bool)>,
    /// Counts up when the keys are to go into the list.
    pub(super) finds: u32,
    /// Why the picked trouble is let stand is being written.
    pub(super) reasoning: bool,
}

/// One line of the list.
#[derive(Clone, Debug)]
pub(super) enum Line<'a> {
    /// Troubles alike in a row.
    Alike {
        /// They, in order.
        all: Vec<&'a Finding>,
        /// They follow one by one.
        open: bool,
    },
    /// One trouble.
    One {
        /// It.
        finding: &'a Finding,
        /// It stands under a line of troubles alike.
        inside: bool,
        /// The job lets it stand.
        stands: Option<Stands<'a>>,
    },
}

impl<'a> Line<'a> {
    /// What tells it from the others.
    pub(super) fn key(&self) -> &'a Key {
        match self {
            Self::Alike { all, .. } => &all[0].key,
            Self::One { finding, .. } => &finding.key,
        }
    }

    /// The same, with whether it stands over several.
    fn id(&self) -> (&'a Key, bool) {
        (self.key(), matches!(self, Self::Alike { .. }))
    }

    /// Whether one is at it.
    pub(super) fn is_at(&self, sift: &Sift) -> bool {
        let at = sift.at.as_ref();
        at.is_some_and(|(key, alike)| self.id() == (key, *alike))
    }
}

impl Sift {
    /// True where something is left out.
    pub(super) fn sifts(&self) -> bool {
        !(self.topics.is_empty()
            && self.severities.is_empty()
            && self.runs.is_empty()
            && self.words.trim().is_empty())
    }

    /// Whether a trouble is shown. `run` is the name of its run.
    fn shows(&self, finding: &Finding, run: &str) -> bool {
        let topic = Topic::of(finding.key.kind);
        let any = |none: bool, there: bool| none || there;
        any(self.topics.is_empty(), self.topics.contains(&topic))
            && any(
                self.severities.is_empty(),
                self.severities.contains(&finding.severity),
            )
            && any(self.runs.is_empty(), self.runs.contains(&finding.run))
            && self.has_words(finding, topic, run)
    }

    fn has_words(&self, finding: &Finding, topic: Topic, run: &str) -> bool {
        if self.words.trim().is_empty() {
            return true;
        }
        let text = format!(
            "{} {} {} {} {:?} run {run}",
            finding.says,
            finding.key.id(),
            plain(finding.key.kind),
            topic.word(),
            finding.severity
        )
        .to_lowercase();
        let wanted = self.words.to_lowercase();
        wanted.split_whitespace().all(|word| text.contains(word))
    }

    /// The troubles that are shown, in their order: those that are not let stand, then those that are.
    pub(super) fn shown<'a>(&self, chain: &'a Chain, job: &Job) -> [Vec<&'a Finding>; 2] {
        let run = |finding: &Finding| chain.runs.get(finding.run).map_or("", |run| &run.run.name);
        let mut all: Vec<&Finding> = chain.inspection.troubles();
        all.retain(|finding| self.shows(finding, run(finding)));
        match self.order {
            Order::Worst => {}
            Order::Size => all.sort_by(|a, b| {
                let past = |one: &Finding| (one.is_length(), one.past());
                let (a, b) = (past(a), past(b));
                b.0.cmp(&a.0).then(b.1.total_cmp(&a.1))
            }),
            Order::Up => all.sort_by(|a, b| {
                a.run
                    .cmp(&b.run)
                    .then(up(chain, a).total_cmp(&up(chain, b)))
            }),
        }
        let (stand, others) = all
            .into_iter()
            .partition(|one| inspect::let_stand(job, one).is_some());
        [others, stand]
    }

    /// The lines of the list: what is to be seen to, and what is let stand. A line over troubles
    /// alike is open where one of them is picked.
    pub(super) fn lines<'a>(
        &self,
        chain: &'a Chain,
        job: &'a Job,
        picked: Option<&Key>,
    ) -> [Vec<Line<'a>>; 2] {
        self.shown(chain, job)
            .map(|all| self.merged(&all, job, picked))
    }

    fn merged<'a>(&self, all: &[&'a Finding], job: &'a Job, picked: Option<&Key>) -> Vec<Line<'a>> {
        let alike = |a: &&Finding, b: &&Finding| {
            (a.key.kind, a.severity, a.run) == (b.key.kind, b.severity, b.run)
        };
        let one = |finding: &'a Finding, inside| Line::One {
            finding,
            inside,
            stands: inspect::let_stand(job, finding),
        };
        let mut lines = Vec::new();
        for row in all.chunk_by(alike) {
            let several = row.len() >= ALIKE;
            let open = several
                && (self.opened.contains(&row[0].key)
                    || row.iter().any(|finding| Some(&finding.key) == picked));
            if several {
                lines.push(Line::Alike {
                    all: row.to_vec(),
                    open,
                });
            }
            if open || !several {
                lines.extend(row.iter().map(|finding| one(finding, several)));
            }
        }
        lines
    }

    /// The line before or after the one that one is at.
    fn step(&mut self, lines: &[Line], picked: Option<&Key>, backwards: bool) {
        let keys: Vec<(&Key, bool)> = lines.iter().map(Line::id).collect();
        let at = match (&self.at, picked) {
            (Some((key, alike)), _) => keys.iter().position(|one| *one == (key, *alike)),
            (None, Some(key)) => keys.iter().position(|one| *one == (key, false)),
            (None, None) => None,
        };
        let last = keys.len().saturating_sub(1);
        let next = match (at, backwards) {
            (None, false) => 0,
            (None, true) => last,
            (Some(at), false) => (at + 1).min(last),
            (Some(at), true) => at.saturating_sub(1),
        };
        self.at = keys.get(next).map(|(key, alike)| ((*key).clone(), *alike));
    }

    /// What is asked of what is shown and in which order.
    fn ask(&mut self, ask: &Ask) {
        match ask {
            Ask::Find => self.finds += 1,
            Ask::Topic(topic) => toggle(&mut self.topics, topic),
            Ask::Severity(severity) => toggle(&mut self.severities, severity),
            Ask::Run(run) => toggle(&mut self.runs, run),
            Ask::Words(words) => words.clone_into(&mut self.words),
            Ask::Order(order) => self.order = *order,
            Ask::All => {
                self.topics.clear();
                self.severities.clear();
                self.runs.clear();
                self.words.clear();
            }
            Ask::Open(key) => toggle(&mut self.opened, key),
            Ask::Reason(on) => self.reasoning = *on,
            Ask::Step { .. } | Ask::Enter => {}
        }
    }
}

/// Takes something into a list, or out where it is in.
fn toggle<T: Clone + PartialEq>(list: &mut Vec<T>, one: &T) {
    match list.iter().position(|there| there == one) {
        Some(at) => {
            list.remove(at);
        }
        None => list.push(one.clone()),
    }
}

/// How far up its run a trouble is, mm.
fn up(chain: &Chain, finding: &Finding) -> f64 {
    let frame = chain.runs.get(finding.run).map(|run| &run.frame);
    frame.map_or(finding.at.x, |frame| frame.from_first(&finding.at).x)
}

/// Which trouble comes after the picked one, round the list as it is shown.
fn next_trouble(shown: &[&Finding], picked: Option<&Key>, backwards: bool) -> Option<Key> {
    let count = shown.len();
    let at = picked.and_then(|key| shown.iter().position(|found| &found.key == key));
    let next = match (at, backwards) {
        (None, false) => 0,
        (None, true) => count.checked_sub(1)?,
        (Some(at), false) => (at + 1) % count,
        (Some(at), true) => (at + count - 1) % count,
    };
    shown.get(next).map(|found| found.key.clone())
}

/// The trouble that is picked.
pub(super) const fn picked(showing: &Showing) -> Option<&Key> {
    match &showing.picked {
        Some(Pick::Trouble(key)) => Some(key),
        _ => None,
    }
}

/// Carries out what is asked of the list.
fn apply(
    mut actions: MessageReader<Action>,
    solved: Option<Res<Solved>>,
    mut sift: ResMut<Sift>,
    mut showing: ResMut<Showing>,
    mut view: ResMut<View>,
) {
    for action in actions.read() {
        let chain = solved
            .as_ref()
            .map(|solved| (solved.as_found(), &*solved.job));
        let mut go = None;
        match (action, chain) {
            (Action::NextTrouble { backwards }, Some((chain, job))) => {
                let shown = sift.shown(chain, job).concat();
                go = next_trouble(&shown, picked(&showing), *backwards);
            }
            (Action::Sift(Ask::Step { backwards }), Some((chain, job))) => {
                let lines = sift.lines(chain, job, picked(&showing)).concat();
                let at = picked(&showing).cloned();
                sift.step(&lines, at.as_ref(), *backwards);
            }
            (Action::Sift(Ask::Enter), Some((chain, job))) => {
                let lines = sift.lines(chain, job, picked(&showing)).concat();
                match lines.iter().find(|line| line.is_at(&sift)) {
                    Some(Line::Alike { all, .. }) => sift.ask(&Ask::Open(all[0].key.clone())),
                    Some(Line::One { finding, .. }) => go = Some(finding.key.clone()),
                    None => {}
                }
            }
            (Action::Sift(ask), _) => {
                sift.ask(ask);
                if *ask == Ask::Find {
                    showing.place = Place::SetOut;
                    showing.way = None;
                    showing.mood = Mood::Work;
                }
            }
            (Action::Pick(_) | Action::Frame(_), _) if sift.reasoning => sift.reasoning = false,
            _ => {}
        }
        if let Some(key) = go {
            sift.at = Some((key.clone(), false));
            let pick = Pick::Trouble(key);
            showing.picked = Some(pick.clone());
            view.look = Some(Look::At(pick));
            sift.reasoning = false;
        }
    }
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Sift>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit));
}

#[cfg(test)]
mod tests;
