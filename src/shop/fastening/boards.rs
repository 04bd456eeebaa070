//! Treads, kicks and skirts on their stringers and walls.

use crate::job::{Fastened, Kicks, Side, Skirt, Stringer};
use crate::measure::Length;
use crate::setout::boards::{BoardsSet, WallSkirtSet, winders};
use crate::setout::open_skirt_face;
use crate::site::Step;

use super::usual::{SHIM, Wood};
use super::{Joiner, JointFault, JointLine};

/// The joints of a run's boards.
pub(super) fn all(joiner: &Joiner<'_>) -> Vec<JointLine> {
    if !joiner.run.run.has_stair() {
        return Vec::new();
    }
    let boards = joiner.run.boards();
    let mut lines = treads(joiner, &boards);
    lines.extend(kicks(joiner, &boards));
    lines.extend(winders_of(joiner));
    lines.extend(skirts(joiner, &boards));
    lines
}

/// The treads and kicks of the turns on winders that lead to a run. What carries them is told of in no
/// job: they lie on something, and nothing says on what.
fn winders_of(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let mut lines = Vec::new();
    let bare = |joint: Fastened, part: &str, wood: &Wood| {
        let mut line = joiner.usual(joint, (part.to_owned(), None), wood);
        line.faults
            .insert(0, JointFault::NothingBehind { nearest: None });
        line
    };
    for turn in &joiner.run.turns {
        let set = winders(turn, joiner.job().boards.as_ref());
        for tread in &set.treads {
            let [_, deep] = tread.bounds();
            let wood = Wood {
                held: tread.blank.thickness,
                face: deep,
                room: None,
                runs: deep,
            };
            lines.push(bare(Fastened::TreadToStringer, &tread.name, &wood));
        }
        for kick in &set.kicks {
            let name = turn.kick_name(kick.step);
            let face = kick.height.0.min(kick.height.1);
            let wood = Wood {
                held: kick.blank.thickness,
                face,
                room: None,
                runs: face,
            };
            lines.push(bare(Fastened::KickToStringer, &name, &wood));
            let below = set.treads.iter().find(|one| one.number + 1 == kick.step);
            let Some(below) = below else { continue };
            let wood = Wood {
                room: Some(below.bounds()[1]),
                runs: kick.bottom,
                ..wood
            };
            let parts = (name, Some(below.name.clone()));
            lines.push(joiner.usual(Fastened::KickToTread, parts, &wood));
        }
    }
    lines
}

/// One joint on each stringer, or on nothing where none is told of.
fn on_stringers(
    joiner: &Joiner<'_>,
    joint: Fastened,
    part: &str,
    wood: &dyn Fn(Option<&Stringer>) -> Wood,
) -> Vec<JointLine> {
    let stringers = &joiner.job().stringers;
    if stringers.is_empty() {
        let mut line = joiner.usual(joint, (part.to_owned(), None), &wood(None));
        line.faults
            .insert(0, JointFault::NothingBehind { nearest: None });
        return vec![line];
    }
    stringers
        .iter()
        .map(|stringer| {
            let parts = (part.to_owned(), Some(stringer.name.clone()));
            joiner.usual(joint, parts, &wood(Some(stringer)))
        })
        .collect()
}

fn treads(joiner: &Joiner<'_>, boards: &BoardsSet) -> Vec<JointLine> {
    let mut lines = Vec::new();
    for tread in &boards.treads {
        let name = joiner.run.site.tread_name(tread.step);
        let face = tread.depth.0.min(tread.depth.1);
        let wood = |stringer: Option<&Stringer>| Wood {
            held: tread.blank.thickness,
            face,
            // Down into the edge of the stringer, over its throat.
            room: stringer.map(|one| one.throat.value),
            runs: face,
        };
        lines.extend(on_stringers(
            joiner,
            Fastened::TreadToStringer,
            &name,
            &wood,
        ));
        for end in [&tread.left, &tread.right] {
            let Some(returned) = end.returned.as_ref() else {
                continue;
            };
            if returned.width <= Length::ZERO {
                continue;
            }
            let wood = Wood {
                held: returned.width,
                face: tread.blank.thickness,
                room: Some(tread.front.min(tread.back)),
                runs: returned.length,
            };
            let parts = (name.clone(), Some(name.clone()));
            lines.push(joiner.usual(Fastened::ReturnNosing, parts, &wood));
        }
    }
    lines
}

fn kicks(joiner: &Joiner<'_>, boards: &BoardsSet) -> Vec<JointLine> {
    let site = &joiner.run.site;
    if joiner.job().flight.kicks == Kicks::Open {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for kick in &boards.kicks {
        let name = site.kick_name(kick.step);
        let going = site
            .step(kick.step)
            .map_or(Length::ZERO, |step| Length::mm(step.going));
        let face = kick.height.0.min(kick.height.1);
        let wood = |stringer: Option<&Stringer>| Wood {
            held: kick.blank.thickness,
            face,
            // Level into the stringer under the tread.
            room: stringer.map(|_| going),
            runs: face,
        };
        lines.extend(on_stringers(joiner, Fastened::KickToStringer, &name, &wood));
        let before: Option<&Step> = kick.step.checked_sub(1).and_then(|at| site.step(at));
        let Some(tread) = before else { continue };
        let wood = Wood {
            held: kick.blank.thickness,
            face,
            room: Some(Length::mm(tread.going)),
            runs: kick.bottom,
        };
        let tread = site.tread_name(tread.number);
        lines.push(joiner.usual(Fastened::KickToTread, (name, Some(tread)), &wood));
    }
    lines
}

fn skirts(joiner: &Joiner<'_>, boards: &BoardsSet) -> Vec<JointLine> {
    let skirts = joiner.job().skirts.iter();
    let mut lines = Vec::new();
    for skirt in skirts {
        let along = joiner.run.setout.skirts.iter();
        let mut along = along.filter(|one| one.name == skirt.name);
        let runs = along.next().map_or(Length::ZERO, |one| one.along_rake);
        match skirt.side {
            Side::Open => lines.push(open_skirt(joiner, skirt, runs)),
            Side::Wall => {
                let set = boards.wall_skirts.iter().find(|one| one.name == skirt.name);
                lines.extend(
                    set.into_iter()
                        .flat_map(|set| wall_skirt(joiner, skirt, set)),
                );
            }
        }
    }
    lines
}

/// Against the stringer that stands furthest out, if it stands behind it at all.
fn open_skirt(joiner: &Joiner<'_>, skirt: &Skirt, runs: Length) -> JointLine {
    let inner = open_skirt_face(&joiner.run.site) - skirt.thickness.value;
    let stringers = joiner.job().stringers.iter();
    let outermost = stringers.min_by(|a, b| a.inset.value.total_cmp(&b.inset.value));
    let gap = outermost.map(|stringer| inner + stringer.inset.value);
    let behind = outermost.filter(|_| gap.is_some_and(|gap| gap.abs() < SHIM));
    let wood = Wood {
        held: skirt.thickness.value,
        face: skirt.width.value,
        room: behind.map(|stringer| stringer.thickness.value),
        runs,
    };
    let parts = (skirt.name.clone(), behind.map(|one| one.name.clone()));
    let mut line = joiner.usual(Fastened::OpenSkirt, parts, &wood);
    if behind.is_none() {
        let nearest = outermost.zip(gap).map(|(one, gap)| (one.name.clone(), gap));
        line.faults.insert(0, JointFault::NothingBehind { nearest });
    }
    line
}

/// Through the plaster into what nobody has told of, and its strips on its cap.
fn wall_skirt(joiner: &Joiner<'_>, skirt: &Skirt, set: &WallSkirtSet) -> Vec<JointLine> {
    let wood = Wood {
        held: skirt.thickness.value,
        face: set.width,
        room: None,
        runs: set.length,
    };
    let walls: Vec<String> = set.strips.iter().map(|strip| strip.wall.clone()).collect();
    let wall = walls.first().cloned();
    let parts = (skirt.name.clone(), wall.clone());
    let mut line = joiner.usual(Fastened::WallSkirt, parts, &wood);
    line.faults.insert(
        0,
        wall.map_or(JointFault::NothingBehind { nearest: None }, |wall| {
            JointFault::Unseen { wall }
        }),
    );
    let strips = set.strips.iter().map(|strip| {
        let wood = Wood {
            held: strip.greatest.0.min(skirt.thickness.value),
            face: skirt.thickness.value,
            room: Some(set.width),
            runs: set.pitch.rake_over(strip.to - strip.from),
        };
        let parts = (skirt.name.clone(), Some(skirt.name.clone()));
        joiner.usual(Fastened::ScribeStrip, parts, &wood)
    });
    std::iter::once(line).chain(strips).collect()
}
