//! The joints that make a guard safe: as the job states them with a source, or not shown.

use crate::job::{Anchor, AnchorAt, Anchored, RailEnd};
use crate::measure::Length;
use crate::setout::{BalusterSet, RailSet};
use crate::shop::cuts::{rosette_on, stands_at};

use super::{AnchorTold, BoreLeft, HeldBy, Joiner, JointFault, JointKind, JointLine};

/// The anchored joints of a run.
pub(super) fn all(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let mut lines = newel_bases(joiner);
    lines.extend(rail_ends(joiner));
    lines.extend(wall_rail(joiner));
    lines.extend(baluster_ends(joiner));
    lines
}

/// What the job states for a joint: what is drawn for it, or else what is stated for the railing as a
/// whole.
fn stated(joiner: &Joiner<'_>, at: AnchorAt) -> HeldBy {
    // Anchor details are those of the whole job, which its first run has.
    let all = &joiner.chain.first().run.job.anchors;
    let told = |anchor: &Anchor, for_this: bool| AnchorTold {
        detail: anchor.detail.clone(),
        source: anchor.source.clone(),
        carries: anchor.carries.value,
        as_typed: anchor.carries.text.clone(),
        for_this,
    };
    let drawn = all.iter().filter(|anchor| anchor.at.contains(&at));
    let mut found: Vec<AnchorTold> = drawn.map(|anchor| told(anchor, true)).collect();
    if found.is_empty() {
        let infill = at == AnchorAt::BalusterEnds;
        let whole = all.iter().filter(|anchor| anchor.at.is_empty());
        let whole = whole.filter(|anchor| (anchor.what == Anchored::Infill) == infill);
        found = whole.map(|anchor| told(anchor, false)).collect();
    }
    if found.is_empty() {
        HeldBy::NotShown
    } else {
        HeldBy::Anchors(found)
    }
}

fn anchored(joiner: &Joiner<'_>, at: AnchorAt, held: String, by: Option<String>) -> JointLine {
    joiner.line(JointKind::Anchor(at), (held, by), stated(joiner, at))
}

/// A newel's base, with the blocks that are not there yet.
fn newel_bases(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let run = joiner.run;
    let newels = run.setout.newels.iter().map(|newel| {
        let on = run.site.surface_name(stands_at(&run.site, newel));
        let mut line = anchored(joiner, AnchorAt::NewelBase, newel.name.clone(), Some(on));
        // Where it stands in a later run's stair too, what it needs there is not there either.
        let runs = joiner.chain.runs.iter();
        let mut same = runs.flat_map(|run| run.setout.all_newels());
        let needs = same.any(|one| one.name == newel.name && !one.needs.is_empty());
        line.faults
            .extend(needs.then_some(JointFault::NothingBehind { nearest: None }));
        line
    });
    newels.collect()
}

fn rail_ends(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let setout = &joiner.run.setout;
    let design = &joiner.job().design.rail;
    let mut lines = Vec::new();
    let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
    for (place, rail) in rails.enumerate() {
        for end in [&design.lower, &design.upper] {
            lines.extend(rail_end(joiner, rail, end, place == 0));
        }
    }
    lines
}

/// One end of a rail; of the rail itself with what stands between it and a wall.
fn rail_end(joiner: &Joiner<'_>, rail: &RailSet, end: &RailEnd, main: bool) -> Vec<JointLine> {
    let to_wall = |held: String, wall: &str| {
        anchored(joiner, AnchorAt::RailToWall, held, Some(wall.to_owned()))
    };
    match end {
        RailEnd::Newel(newel) => vec![anchored(
            joiner,
            AnchorAt::RailToNewel,
            rail.name.clone(),
            Some(newel.clone()),
        )],
        RailEnd::Wall { wall, .. } if main => {
            let rosette = rosette_on(wall);
            vec![to_wall(rail.name.clone(), &rosette), to_wall(rosette, wall)]
        }
        RailEnd::Wall { wall, .. } => vec![to_wall(rail.name.clone(), wall)],
        RailEnd::HalfNewel { wall, .. } => {
            let mut halves = joiner.run.setout.half_newels.iter();
            let Some(half) = halves.find(|half| half.wall == *wall) else {
                return Vec::new();
            };
            let rail = to_wall(rail.name.clone(), &half.name);
            let post = main.then(|| to_wall(half.name.clone(), wall));
            std::iter::once(rail).chain(post).collect()
        }
    }
}

/// The brackets of the handrail on the wall side.
fn wall_rail(joiner: &Joiner<'_>) -> Option<JointLine> {
    let rail = joiner.run.setout.wall_rail.as_ref()?;
    let bracket = (rail.name.clone(), Some(rail.wall.clone()));
    let mut line = anchored(
        joiner,
        AnchorAt::RailToWall,
        rail.name.clone(),
        Some(rail.wall.clone()),
    );
    line.joints = vec![bracket; rail.brackets.len().max(1)];
    line.faults.push(JointFault::Unseen {
        wall: rail.wall.clone(),
    });
    Some(line)
}

/// Both ends of balusters, with the bores for pegs and seats; panels likewise.
fn baluster_ends(joiner: &Joiner<'_>) -> Vec<JointLine> {
    let setout = &joiner.run.setout;
    let rail = &setout.rail;
    let mut lines = Vec::new();
    for one in &setout.balusters {
        let on = under(joiner, one);
        let mut foot = anchored(
            joiner,
            AnchorAt::BalusterEnds,
            one.name.clone(),
            Some(on.clone()),
        );
        foot.bores.extend(peg(joiner, one, &on));
        foot.faults = out(&foot.bores);
        let mut head = anchored(
            joiner,
            AnchorAt::BalusterEnds,
            one.name.clone(),
            Some(rail.name.clone()),
        );
        head.bores.extend(seat(rail, one));
        head.faults = out(&head.bores);
        lines.extend([foot, head]);
    }
    let panels = setout.panels.iter().flat_map(|run| &run.panels);
    lines.extend(panels.map(|panel| {
        anchored(
            joiner,
            AnchorAt::BalusterEnds,
            panel.name.clone(),
            Some(rail.name.clone()),
        )
    }));
    lines
}

fn under(joiner: &Joiner<'_>, one: &BalusterSet) -> String {
    let run = joiner.run;
    if let Some(sill) = run.setout.sill() {
        return sill.name.clone();
    }
    run.site.surface_name(one.step)
}

/// The bore for a peg, and what it leaves of the tread or bottom rail; a floor is as thick as it is.
fn peg(joiner: &Joiner<'_>, one: &BalusterSet, on: &str) -> Option<BoreLeft> {
    let (deep, diameter) = one.peg;
    let run = joiner.run;
    let thick = match (&run.setout.bottom_rail, run.site.step(one.step)) {
        (Some(rail), _) => rail.depth,
        (None, Some(step)) => Length::mm(step.thickness),
        (None, None) => Length::mm(run.site.level?.thickness),
    };
    (deep > Length::ZERO).then(|| BoreLeft {
        part: on.to_owned(),
        name: String::new(),
        number: 1,
        diameter,
        deep,
        left: thick - deep,
    })
}

/// The seat in the rail, plumb as the rail's depth is there.
fn seat(rail: &RailSet, one: &BalusterSet) -> Option<BoreLeft> {
    let plumb = rail.pitch.rake_over(rail.depth);
    (one.seat > Length::ZERO).then(|| BoreLeft {
        part: rail.name.clone(),
        name: String::new(),
        number: 1,
        diameter: one.seat_size(),
        deep: one.seat,
        left: plumb - one.seat,
    })
}

fn out(bores: &[BoreLeft]) -> Vec<JointFault> {
    let through = bores.iter().filter(|bore| bore.left <= Length::ZERO);
    through
        .map(|bore| JointFault::Through {
            by: bore.left.abs(),
            at_most: bore.deep + bore.left - super::usual::COVER,
        })
        .collect()
}
