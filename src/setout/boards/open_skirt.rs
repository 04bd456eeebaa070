//! The skirt on the open side, mitred to every kick.
//!
//! All lengths lie on its outside face, where the long points of the mitres are: the jig's marks.

use crate::job::{Hand, Kicks, Leaning, Meets, Side, Skirt};
use crate::measure::{Angle, Length};
use crate::site::Step;

use super::kick::{foot, lean, mitre};
use super::sides::{Sides, open_hand};

/// A skirt on the open side.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenSkirtSet {
    /// Its name.
    pub name: String,
    /// The hand that it is for, of one going up: seen from outside, a left-hand one climbs to the
    /// left. A jig for one hand does not do for the other.
    pub hand: Hand,
    /// Its thickness.
    pub thickness: Length,
    /// What is done where a kick leans.
    pub kicks: Leaning,
    /// Its level cuts stand this far above the points of the stringer's cuts.
    pub above_points: Length,
    /// Step by step, from the bottom.
    pub steps: Vec<SkirtStep>,
}

/// The two cuts of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct SkirtStep {
    /// The kick.
    pub step: u32,
    /// The mark: the outside of the mitre at its foot, level along the skirt from the one of the
    /// first kick.
    pub mark: Length,
    /// Height of the mitre's foot above the datum.
    pub from: Length,
    /// Length of the mitre line, measured plumb.
    pub plumb: Length,
    /// The mitre line out of plumb, its head up the flight of its foot.
    pub lean: Angle,
    /// The kick itself out of plumb.
    pub kick_lean: Angle,
    /// How far the kick's face stands up the flight of the mitre line at the head: what the lean
    /// leaves open.
    pub open_by: Length,
    /// The saw's tilt from square for the mitre, on the skirt.
    pub tilt: Angle,
    /// The inside of the mitre, level along the skirt behind the mark.
    pub inside: Length,
    /// The level cut, from this mitre's head to the next one's foot; none at the upper floor.
    pub level: Option<Length>,
    /// The level cut out of level, climbing up the flight.
    pub climb: Angle,
    /// Height of the stringer's point that the level cut is marked from, above the datum.
    pub point: Length,
}

/// Every mitred skirt of a flight, in the order of the job.
pub(super) fn all(sides: &Sides<'_>) -> Vec<OpenSkirtSet> {
    let kicks = sides.job.flight.kicks == Kicks::Closed;
    if sides.open.meets != Meets::Return || sides.site.steps.is_empty() || !kicks {
        return Vec::new();
    }
    let skirts = sides.job.skirts.iter();
    skirts
        .filter(|skirt| skirt.side == Side::Open)
        .map(|skirt| one(sides, skirt))
        .collect()
}

fn one(sides: &Sides<'_>, skirt: &Skirt) -> OpenSkirtSet {
    let mitred = &sides.boards.mitred;
    let steps = &sides.site.steps;
    let lines: Vec<MitreLine> = steps.iter().map(|step| mitre_line(sides, step)).collect();
    // Along the skirt's face, which may splay from the flight.
    let stretch = sides.skirt_face.slope.hypot(1.0);
    let first = lines.first().map_or(0.0, |line| line.foot.0);
    let step_set = |at: usize| {
        let (line, next) = (&lines[at], lines.get(at + 1));
        let step = &steps[at];
        let (tilt, _) = mitre(sides, step, lean(sides, step.number));
        let run = next.map(|next| (next.foot.0 - line.head.0) * stretch);
        let climb = next.map_or(0.0, |next| next.foot.1 - line.head.1);
        SkirtStep {
            step: step.number,
            mark: Length::mm((line.foot.0 - first) * stretch),
            from: Length::mm(line.foot.1),
            plumb: Length::mm(line.head.1 - line.foot.1),
            lean: Angle::radians((line.head.0 - line.foot.0).atan2(line.head.1 - line.foot.1)),
            kick_lean: Angle::radians(lean(sides, step.number).atan()),
            open_by: Length::mm((line.kick_head - line.head.0) * stretch),
            tilt,
            inside: skirt.thickness.value * tilt.as_radians().tan(),
            level: run.map(|run| Length::mm(run.hypot(climb))),
            climb: Angle::radians(run.map_or(0.0, |run| climb.atan2(run))),
            point: Length::mm(line.head.1) - mitred.level_cut.value,
        }
    };
    OpenSkirtSet {
        name: skirt.name.clone(),
        hand: open_hand(sides.site),
        thickness: skirt.thickness.value,
        kicks: mitred.kicks,
        above_points: mitred.level_cut.value,
        steps: (0..lines.len()).map(step_set).collect(),
    }
}

/// A mitre line in elevation: x and height of its ends, and x of the kick's face at its head, mm.
struct MitreLine {
    foot: (f64, f64),
    head: (f64, f64),
    kick_head: f64,
}

fn mitre_line(sides: &Sides<'_>, step: &Step) -> MitreLine {
    // Where the kick's face crosses the skirt's: x = kick + skew q, q = q0 + slope x.
    let face = sides.skirt_face;
    let x = (step.kick_x + step.skew * face.at_zero) / (1.0 - step.skew * face.slope);
    let q = face.at(x);
    let low = foot(sides, step, x, q).0;
    let leans = lean(sides, step.number);
    let share = match sides.boards.mitred.kicks {
        Leaning::Plumb => 0.0,
        Leaning::Follow => 1.0,
        Leaning::Split => 0.5,
    };
    // The level cut bears the tread's underside, and climbs as it does.
    let climb = step.climb + step.tilt * face.slope;
    let level = step.top(x, q) - step.thickness - low;
    let plumb = level / (1.0 - climb * leans * share);
    let head = (x + leans * share * plumb, low + plumb);
    MitreLine {
        foot: (x, low),
        head,
        kick_head: x + leans * plumb,
    }
}
