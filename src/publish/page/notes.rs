//! What a client is told in plain words: where walls lean and what is done about it, how the stair
//! comes out, what is let stand.
//!
//! In: a job with its chain. Out: [`ClientNote`]s, few and short. Figures are on the job's tape. The
//! carpenter's own words are in the report; these are for somebody who never held a level.

use nalgebra::Point3;

use crate::chain::{Chain, RunChain};
use crate::inspect::walls::{Behind, WallTold, walls};
use crate::inspect::{Opening, Severity, let_stand};
use crate::job::Job;
use crate::measure::{Length, Tape};
use crate::publish::{heading, kind_word, listed, sentence};
use crate::site::WallFace;
use crate::survey::LEVEL;

/// A ball this far over a baluster's foot passes higher up, mm.
const HIGHER_MM: f64 = 250.0;

/// What a note is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoteKind {
    /// A wall as found.
    Wall,
    /// How the stair comes out.
    Built,
    /// What will be seen, or is still open.
    Mind,
}

impl NoteKind {
    /// The word for it in the page's data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Built => "built",
            Self::Mind => "mind",
        }
    }
}

/// One note.
#[derive(Clone, Debug, PartialEq)]
pub struct ClientNote {
    /// What it is about.
    pub kind: NoteKind,
    /// In a few words.
    pub title: String,
    /// In a sentence or two.
    pub text: String,
    /// The place that it is about, mm in the first run's frame.
    pub at: Option<Point3<f64>>,
}

/// The notes of a stair.
#[must_use]
pub fn notes(job: &Job, chain: &Chain) -> Vec<ClientNote> {
    let mut all = Vec::new();
    for run in &chain.runs {
        all.extend(of_walls(job.tape, run));
    }
    all.extend(balusters(job.tape, chain));
    all.extend(stands(job, chain));
    all.extend(open(job, chain));
    all
}

fn of_walls(tape: Tape, run: &RunChain) -> Vec<ClientNote> {
    let Some(survey) = &run.survey else {
        return Vec::new();
    };
    let told = walls(&run.run.job, &run.site, &run.setout, &survey.adjustment);
    told.iter()
        .filter_map(|wall| Some(of_wall(tape, wall, run, run.site.wall(&wall.name)?)))
        .collect()
}

/// Half a mark of the tape: less is not seen by it.
fn shows(tape: Tape, length: Length) -> bool {
    length.abs() > tape.mark() / 2.0
}

fn of_wall(tape: Tape, wall: &WallTold, run: &RunChain, face: &WallFace) -> ClientNote {
    // A hair over or under a mark is the carpenter's own sign.
    let print = |length: Length| tape.print(tape.round(length.abs()));
    let way = |length: Length| {
        if length < Length::ZERO {
            "away from the stair"
        } else {
            "towards the stair"
        }
    };
    let mut found = Vec::new();
    if shows(tape, wall.lean) {
        found.push(format!(
            "leans {} by {} in {} of height",
            way(wall.lean),
            print(wall.lean),
            tape.print_feet(LEVEL)
        ));
    }
    if shows(tape, wall.splay) {
        found.push(format!(
            "runs {} {} over its length",
            print(wall.splay),
            way(wall.splay)
        ));
    }
    if shows(tape, wall.flat.value) {
        let bow = if wall.hump { "stands out" } else { "is hollow" };
        found.push(format!("{bow} by up to {}", print(wall.flat.value)));
    }
    let title = if shows(tape, wall.lean) {
        format!("Wall {} leans by {}", wall.name, print(wall.lean))
    } else if found.is_empty() {
        format!("Wall {} stands plumb and straight", wall.name)
    } else {
        format!("Wall {} is not straight", wall.name)
    };
    let mut text = if found.is_empty() {
        "As near as we can measure it.".to_owned()
    } else {
        sentence(&format!("it {}", listed(&found)))
    };
    for done in done_about(tape, wall) {
        text.push(' ');
        text.push_str(&done);
    }
    let middle = face.point(face.length() / 2.0, f64::midpoint(face.foot, face.head));
    ClientNote {
        kind: NoteKind::Wall,
        title,
        text,
        at: Some(run.frame.to_first(&middle)),
    }
}

/// What is done about a wall.
fn done_about(tape: Tape, wall: &WallTold) -> Vec<String> {
    let mut says = Vec::new();
    let scribed = wall.skirts.iter().map(Behind::scribe);
    let most = scribed.fold(Length::ZERO, Length::max);
    if shows(tape, most) {
        says.push(format!(
            "The board along it is cut to the wall, by up to {}, so that no gap shows.",
            tape.print(tape.round(most))
        ));
    }
    if !wall.rail.is_empty() {
        says.push("The end of the rail is cut to the wall as it stands.".to_owned());
    }
    if says.is_empty() && shows(tape, wall.lean) {
        says.push("The railing is set plumb, not to the wall.".to_owned());
    }
    says
}

/// How many balusters there are, and between which gaps. A gap is between their feet, level; where a ball
/// greater than the widest of them passes, that is told apart, for the two are not in one place.
fn balusters(tape: Tape, chain: &Chain) -> Option<ClientNote> {
    let setouts = || chain.runs.iter().map(|run| &run.setout);
    let count: usize = setouts().map(|setout| setout.balusters.len()).sum();
    let gaps = || setouts().flat_map(|setout| setout.gaps.iter().map(|gap| gap.clear));
    let least = gaps().reduce(Length::min)?;
    let most = gaps().reduce(Length::max)?;
    let print = |length: Length| tape.print(tape.round(length));
    let ball = passes(tape, chain, most);
    let at = ball.map(|ball| ball.at);
    let ball = ball.map_or_else(String::new, |ball| ball_says(tape, chain, ball));
    let [least, most] = [least, most].map(print);
    let text = if least == most {
        format!("At their feet all gaps between them come to {least}.{ball}")
    } else {
        format!(
            "At their feet the gaps between them come to {least} at the narrowest and {most} at the \
             widest.{ball}"
        )
    };
    Some(ClientNote {
        kind: NoteKind::Built,
        title: format!("{count} balusters, the uprights under the rail"),
        text,
        at,
    })
}

/// Every baluster, and how high its foot is, mm in the first run's frame.
fn feet(chain: &Chain) -> impl Iterator<Item = (&String, f64)> {
    chain.runs.iter().flat_map(|run| {
        let balusters = run.setout.balusters.iter();
        balusters.map(move |one| (&one.name, run.frame.to_first(&one.foot).z))
    })
}

/// The opening beside a baluster that the greatest ball passes, where that is greater on the tape than a
/// gap.
fn passes(tape: Tape, chain: &Chain, gap: Length) -> Option<&Opening> {
    let openings = chain.inspection.openings.iter();
    let beside = openings.filter(|one| feet(chain).any(|(name, _)| one.between.contains(name)));
    let most = beside.max_by(|a, b| a.ball.total_cmp(&b.ball))?;
    (tape.round(most.ball) > tape.round(gap)).then_some(most)
}

/// Where that ball passes, and what it is to stay under where it does not.
fn ball_says(tape: Tape, chain: &Chain, opening: &Opening) -> String {
    let print = |length: Length| tape.print(tape.round(length));
    let mut beside = feet(chain).filter(|(name, _)| opening.between.contains(name));
    let higher = beside.any(|(_, foot)| opening.at.z - foot > HIGHER_MM);
    let place = if higher { " higher up," } else { "" };
    let asked = if opening.ball < opening.limit {
        String::new()
    } else {
        format!(": it is to be less than {}", print(opening.limit))
    };
    format!(
        " A ball of {} passes{place} between {}{asked}.",
        print(opening.ball),
        listed(&opening.between)
    )
}

/// What is let stand, with its reason.
fn stands(job: &Job, chain: &Chain) -> Vec<ClientNote> {
    let troubles = chain.inspection.troubles();
    troubles
        .into_iter()
        .filter_map(|finding| {
            let why = let_stand(job, finding)?.why;
            Some(ClientNote {
                kind: NoteKind::Mind,
                title: heading(kind_word(finding.key.kind)),
                text: format!(
                    "{} We let it stand: {}",
                    sentence(&finding.says),
                    sentence(&why.because)
                ),
                at: Some(finding.at),
            })
        })
        .collect()
}

/// What still has to be settled, without its figures: those are the carpenter's.
fn open(job: &Job, chain: &Chain) -> Option<ClientNote> {
    let troubles = chain.inspection.troubles();
    let unsettled = troubles
        .iter()
        .filter(|one| one.severity != Severity::Remark && let_stand(job, one).is_none());
    let count = unsettled.count();
    let (what, come, they) = match count {
        0 => return None,
        1 => (
            "One thing is",
            "one thing that we checked does not yet come out as it should",
            "It is",
        ),
        _ => (
            "Some things are",
            "some things that we checked do not yet come out as they should",
            "They are",
        ),
    };
    Some(ClientNote {
        kind: NoteKind::Mind,
        title: format!("{what} still to be settled"),
        text: format!(
            "As it is drawn here, {come}. {they} settled before anything is cut, and may move a part \
             a little."
        ),
        at: None,
    })
}
