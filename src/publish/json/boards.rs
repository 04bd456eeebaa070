//! The shape of `boards` in `setout --json`: treads, kicks and skirts.

use serde::Serialize;

use crate::job::{Hand, Leaning, Meets, Unequal};
use crate::measure::{Length, Tape};
use crate::setout::boards::{
    Blank, BoardsSet, CapsMeet, KickEnd, KickSet, OpenSkirtSet, ReturnSet, SeamSet, SkirtEnd,
    SkirtStep, StripSet, TiltIn, TiltStrip, TreadEnd, TreadSet, WallSkirtSet,
};

#[derive(Serialize)]
pub(super) struct BoardsShape {
    treads: Vec<TreadShape>,
    kicks: Vec<KickShape>,
    wall_skirts: Vec<WallSkirtShape>,
    open_skirts: Vec<OpenSkirtShape>,
}

#[derive(Serialize)]
struct BlankShape {
    length_mm: f64,
    length: String,
    depth_mm: f64,
    depth: String,
    thickness_mm: f64,
}

#[derive(Serialize)]
struct TreadShape {
    step: u32,
    read: bool,
    disagree_mm: Option<f64>,
    front_mm: f64,
    front: String,
    back_mm: f64,
    back: String,
    under_front_mm: f64,
    under_back_mm: f64,
    depth_left_mm: f64,
    depth_left: String,
    depth_right_mm: f64,
    depth_right: String,
    overhang_mm: f64,
    overhang: String,
    back_undercut_deg: f64,
    ends: [TreadEndShape; 2],
    blank: BlankShape,
    tilt: Option<TiltShape>,
}

#[derive(Serialize)]
struct TreadEndShape {
    meets: &'static str,
    angle_deg: f64,
    undercut_deg: f64,
    relief_deg: Option<f64>,
    relief_from_mm: Option<f64>,
    returned: Option<ReturnShape>,
}

#[derive(Serialize)]
struct ReturnShape {
    width_mm: f64,
    length_mm: f64,
    length: String,
    mitre_deg: f64,
    body_back_mm: f64,
    body_back: String,
    beyond_skirt_mm: f64,
    beyond_skirt: String,
}

#[derive(Serialize)]
struct TiltShape {
    last: &'static str,
    passes: bool,
    front: TiltStripShape,
    rest: TiltStripShape,
}

#[derive(Serialize)]
struct TiltStripShape {
    gap_mm: f64,
    passes: bool,
    undercut_deg: f64,
    greatest_mm: f64,
    greatest: String,
    least_undercut_deg: f64,
}

#[derive(Serialize)]
struct KickShape {
    step: u32,
    bottom_mm: f64,
    bottom: String,
    top_mm: f64,
    top: String,
    short_bottom_mm: f64,
    short_top_mm: f64,
    height_left_mm: f64,
    height_left: String,
    height_right_mm: f64,
    height_right: String,
    shows_left_mm: f64,
    shows_right_mm: f64,
    top_undercut_deg: f64,
    lean_deg: f64,
    ends: [KickEndShape; 2],
    blank: BlankShape,
}

#[derive(Serialize)]
struct KickEndShape {
    meets: &'static str,
    angle_deg: f64,
    tilt_deg: f64,
    mitred: bool,
}

#[derive(Serialize)]
struct WallSkirtShape {
    id: String,
    pitch_deg: f64,
    width_mm: f64,
    width: String,
    length_mm: f64,
    length: String,
    above_tips_mm: f64,
    above_tips: String,
    least_above_mm: f64,
    least_above_kick: u32,
    greatest_above_mm: f64,
    greatest_above_kick: u32,
    wander_mm: Option<f64>,
    wander_tread: Option<u32>,
    bottom: SkirtEndShape,
    top: SkirtEndShape,
    best: Option<BestShape>,
    strips: Vec<StripShape>,
}

#[derive(Serialize)]
struct SkirtEndShape {
    at_mm: f64,
    at: String,
    plumb_deg: f64,
    level_deg: f64,
    plumb_cut_mm: f64,
    plumb_cut: String,
    level_cut_mm: f64,
    level_cut: String,
    heel_mm: f64,
    seam: SeamShape,
    caps: Option<CapsShape>,
}

#[derive(Serialize)]
struct SeamShape {
    base_mitre_deg: f64,
    skirt_mitre_deg: f64,
    cap_mitre_deg: f64,
    length_mm: f64,
    thicker_mm: f64,
    unequal: &'static str,
}

#[derive(Serialize)]
struct CapsShape {
    base_mm: f64,
    fixed: bool,
    flush_mm: f64,
    flush: String,
    left_mm: f64,
    left: String,
}

#[derive(Serialize)]
struct BestShape {
    above_tips_mm: f64,
    above_tips: String,
    above_nosings_mm: f64,
    above_nosings: String,
    left_mm: f64,
    left: String,
}

#[derive(Serialize)]
struct StripShape {
    wall: String,
    from_mm: f64,
    to_mm: f64,
    bottom_mm: f64,
    bottom: String,
    top_mm: f64,
    top: String,
    greatest_mm: f64,
    greatest: String,
    greatest_at_mm: f64,
    least_mm: f64,
    least_at_mm: f64,
    taper_deg: f64,
    touches_mm: [f64; 2],
    clear_mm: f64,
}

#[derive(Serialize)]
struct OpenSkirtShape {
    id: String,
    hand: &'static str,
    thickness_mm: f64,
    kicks: &'static str,
    above_points_mm: f64,
    steps: Vec<SkirtStepShape>,
}

#[derive(Serialize)]
struct SkirtStepShape {
    step: u32,
    mark_mm: f64,
    mark: String,
    from_mm: f64,
    plumb_mm: f64,
    plumb: String,
    lean_deg: f64,
    kick_lean_deg: f64,
    open_by_mm: f64,
    open_by: String,
    tilt_deg: f64,
    inside_mm: f64,
    level_mm: Option<f64>,
    level: Option<String>,
    climb_deg: f64,
    point_mm: f64,
}

const fn meets_word(meets: Meets) -> &'static str {
    match meets {
        Meets::Skirt => "skirt",
        Meets::Wall => "wall",
        Meets::Return => "return",
    }
}

const fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

pub(super) fn boards(set: &BoardsSet, tape: Tape) -> BoardsShape {
    BoardsShape {
        treads: set.treads.iter().map(|one| tread(one, tape)).collect(),
        kicks: set.kicks.iter().map(|one| kick(one, tape)).collect(),
        wall_skirts: set
            .wall_skirts
            .iter()
            .map(|one| wall_skirt(one, tape))
            .collect(),
        open_skirts: set
            .open_skirts
            .iter()
            .map(|one| open_skirt(one, tape))
            .collect(),
    }
}

fn blank(blank: &Blank, tape: Tape) -> BlankShape {
    BlankShape {
        length_mm: blank.length.as_mm(),
        length: tape.print(blank.length),
        depth_mm: blank.depth.as_mm(),
        depth: tape.print(blank.depth),
        thickness_mm: blank.thickness.as_mm(),
    }
}

fn tread(tread: &TreadSet, tape: Tape) -> TreadShape {
    TreadShape {
        step: tread.step,
        read: tread.read,
        disagree_mm: tread.disagree.map(Length::as_mm),
        front_mm: tread.front.as_mm(),
        front: tape.print(tread.front),
        back_mm: tread.back.as_mm(),
        back: tape.print(tread.back),
        under_front_mm: tread.under.0.as_mm(),
        under_back_mm: tread.under.1.as_mm(),
        depth_left_mm: tread.depth.0.as_mm(),
        depth_left: tape.print(tread.depth.0),
        depth_right_mm: tread.depth.1.as_mm(),
        depth_right: tape.print(tread.depth.1),
        overhang_mm: tread.overhang.as_mm(),
        overhang: tape.print(tread.overhang),
        back_undercut_deg: tread.back_undercut.as_degrees(),
        ends: [&tread.left, &tread.right].map(|end| tread_end(end, tape)),
        blank: blank(&tread.blank, tape),
        tilt: tread.tilt.as_ref().map(|one| tilt(one, tape)),
    }
}

fn tread_end(end: &TreadEnd, tape: Tape) -> TreadEndShape {
    TreadEndShape {
        meets: meets_word(end.meets),
        angle_deg: end.angle.as_degrees(),
        undercut_deg: end.undercut.as_degrees(),
        relief_deg: end.relief.map(|(_, angle)| angle.as_degrees()),
        relief_from_mm: end.relief.map(|(from, _)| from.as_mm()),
        returned: end.returned.as_ref().map(|one| returned(one, tape)),
    }
}

fn returned(one: &ReturnSet, tape: Tape) -> ReturnShape {
    ReturnShape {
        width_mm: one.width.as_mm(),
        length_mm: one.length.as_mm(),
        length: tape.print(one.length),
        mitre_deg: one.mitre.as_degrees(),
        body_back_mm: one.body_back.as_mm(),
        body_back: tape.print(one.body_back),
        beyond_skirt_mm: one.beyond_skirt.as_mm(),
        beyond_skirt: tape.print(one.beyond_skirt),
    }
}

fn tilt(tilt: &TiltIn, tape: Tape) -> TiltShape {
    let strip = |one: &TiltStrip| TiltStripShape {
        gap_mm: one.gap.as_mm(),
        passes: one.passes,
        undercut_deg: one.undercut.as_degrees(),
        greatest_mm: one.greatest.as_mm(),
        greatest: tape.print(one.greatest),
        least_undercut_deg: one.least_undercut.as_degrees(),
    };
    TiltShape {
        last: hand_word(tilt.last),
        passes: tilt.passes(),
        front: strip(&tilt.front),
        rest: strip(&tilt.rest),
    }
}

fn kick(kick: &KickSet, tape: Tape) -> KickShape {
    let end = |end: &KickEnd| KickEndShape {
        meets: meets_word(end.meets),
        angle_deg: end.angle.as_degrees(),
        tilt_deg: end.tilt.as_degrees(),
        mitred: end.mitred,
    };
    KickShape {
        step: kick.step,
        bottom_mm: kick.bottom.as_mm(),
        bottom: tape.print(kick.bottom),
        top_mm: kick.top.as_mm(),
        top: tape.print(kick.top),
        short_bottom_mm: kick.short.0.as_mm(),
        short_top_mm: kick.short.1.as_mm(),
        height_left_mm: kick.height.0.as_mm(),
        height_left: tape.print(kick.height.0),
        height_right_mm: kick.height.1.as_mm(),
        height_right: tape.print(kick.height.1),
        shows_left_mm: kick.shows.0.as_mm(),
        shows_right_mm: kick.shows.1.as_mm(),
        top_undercut_deg: kick.top_undercut.as_degrees(),
        lean_deg: kick.lean.as_degrees(),
        ends: [&kick.left, &kick.right].map(end),
        blank: blank(&kick.blank, tape),
    }
}

fn wall_skirt(skirt: &WallSkirtSet, tape: Tape) -> WallSkirtShape {
    let ((least, least_kick), (greatest, greatest_kick)) = skirt.tips;
    WallSkirtShape {
        id: skirt.name.clone(),
        pitch_deg: skirt.pitch.angle().as_degrees(),
        width_mm: skirt.width.as_mm(),
        width: tape.print(skirt.width),
        length_mm: skirt.length.as_mm(),
        length: tape.print(skirt.length),
        above_tips_mm: skirt.above_tips.as_mm(),
        above_tips: tape.print(skirt.above_tips),
        least_above_mm: least.as_mm(),
        least_above_kick: least_kick,
        greatest_above_mm: greatest.as_mm(),
        greatest_above_kick: greatest_kick,
        wander_mm: skirt.wander.map(|(off, _)| off.as_mm()),
        wander_tread: skirt.wander.map(|(_, step)| step),
        bottom: skirt_end(&skirt.bottom, tape),
        top: skirt_end(&skirt.top, tape),
        best: skirt.best.as_ref().map(|best| BestShape {
            above_tips_mm: best.above_tips.as_mm(),
            above_tips: tape.print(best.above_tips),
            above_nosings_mm: best.above_nosings.as_mm(),
            above_nosings: tape.print(best.above_nosings),
            left_mm: best.left.as_mm(),
            left: tape.print(best.left),
        }),
        strips: skirt.strips.iter().map(|one| strip(one, tape)).collect(),
    }
}

fn skirt_end(end: &SkirtEnd, tape: Tape) -> SkirtEndShape {
    SkirtEndShape {
        at_mm: end.at.as_mm(),
        at: tape.print(end.at),
        plumb_deg: end.plumb.as_degrees(),
        level_deg: end.level.as_degrees(),
        plumb_cut_mm: end.plumb_cut.as_mm(),
        plumb_cut: tape.print(end.plumb_cut),
        level_cut_mm: end.level_cut.as_mm(),
        level_cut: tape.print(end.level_cut),
        heel_mm: end.heel.as_mm(),
        seam: seam(&end.seam),
        caps: end.caps.as_ref().map(|one| caps(one, tape)),
    }
}

fn seam(seam: &SeamSet) -> SeamShape {
    SeamShape {
        base_mitre_deg: seam.base_mitre.as_degrees(),
        skirt_mitre_deg: seam.skirt_mitre.as_degrees(),
        cap_mitre_deg: seam.cap_mitre.as_degrees(),
        length_mm: seam.length.as_mm(),
        thicker_mm: seam.thicker.as_mm(),
        unequal: match seam.unequal {
            Unequal::StepBack => "step-back",
            Unequal::Rip => "rip",
        },
    }
}

fn caps(caps: &CapsMeet, tape: Tape) -> CapsShape {
    CapsShape {
        base_mm: caps.base.as_mm(),
        fixed: caps.fixed,
        flush_mm: caps.flush.as_mm(),
        flush: tape.print(caps.flush),
        left_mm: caps.left.as_mm(),
        left: tape.print(caps.left),
    }
}

fn strip(strip: &StripSet, tape: Tape) -> StripShape {
    StripShape {
        wall: strip.wall.clone(),
        from_mm: strip.from.as_mm(),
        to_mm: strip.to.as_mm(),
        bottom_mm: strip.bottom.as_mm(),
        bottom: tape.print(strip.bottom),
        top_mm: strip.top.as_mm(),
        top: tape.print(strip.top),
        greatest_mm: strip.greatest.0.as_mm(),
        greatest: tape.print(strip.greatest.0),
        greatest_at_mm: strip.greatest.1.as_mm(),
        least_mm: strip.least.0.as_mm(),
        least_at_mm: strip.least.1.as_mm(),
        taper_deg: strip.taper.as_degrees(),
        touches_mm: [strip.touches.0.as_mm(), strip.touches.1.as_mm()],
        clear_mm: strip.clear.as_mm(),
    }
}

fn open_skirt(skirt: &OpenSkirtSet, tape: Tape) -> OpenSkirtShape {
    OpenSkirtShape {
        id: skirt.name.clone(),
        hand: hand_word(skirt.hand),
        thickness_mm: skirt.thickness.as_mm(),
        kicks: match skirt.kicks {
            Leaning::Plumb => "plumb",
            Leaning::Follow => "follow",
            Leaning::Split => "split",
        },
        above_points_mm: skirt.above_points.as_mm(),
        steps: skirt
            .steps
            .iter()
            .map(|one| skirt_step(one, tape))
            .collect(),
    }
}

fn skirt_step(step: &SkirtStep, tape: Tape) -> SkirtStepShape {
    SkirtStepShape {
        step: step.step,
        mark_mm: step.mark.as_mm(),
        mark: tape.print(step.mark),
        from_mm: step.from.as_mm(),
        plumb_mm: step.plumb.as_mm(),
        plumb: tape.print(step.plumb),
        lean_deg: step.lean.as_degrees(),
        kick_lean_deg: step.kick_lean.as_degrees(),
        open_by_mm: step.open_by.as_mm(),
        open_by: tape.print(step.open_by),
        tilt_deg: step.tilt.as_degrees(),
        inside_mm: step.inside.as_mm(),
        level_mm: step.level.map(Length::as_mm),
        level: step.level.map(|level| tape.print(level)),
        climb_deg: step.climb.as_degrees(),
        point_mm: step.point.as_mm(),
    }
}
