//! How joints are usually fastened, and how that is checked against the wood that is there.
//!
//! Every size and margin here is common practice, without a source; the job changes the sizes under
//! `fastening`. A job in millimetres has screws as they are sold there: the diameters 3.5, 4, 5 and 6 mm
//! are those of the wood screws of DIN 97 (from memory), lengths by 5 mm.

use crate::job::{Driven, Fastened, Fastening, Len, Plug};
use crate::measure::{Length, Unit, tolerance};

use super::{DrivenKind, DrivenSet, JointFault};

/// Wood left before a point on the far side.
pub(super) const COVER: Length = Length::inches(0.125);
/// What the noise of arithmetic may put on a length that is just as asked.
const HAIR: Length = Length::mm(tolerance::SAME_POINT_MM);
/// Wood left beside a plug on either side.
const BESIDE_PLUG: Length = Length::inches(0.125);
/// Wood left under the head at the bottom of a plug.
const UNDER_HEAD: Length = Length::inches(0.25);
/// A screw holds with at least so many shanks of its length in the wood behind.
const BITE_SHANKS: f64 = 4.0;
/// A bore that a shank goes through is wider than it by so much.
const CLEAR_BY: Length = Length::inches(1.0 / 64.0);
/// The same of a job in millimetres.
const CLEAR_BY_MM: Length = Length::mm(0.5);
/// Bits are sold by so many millimetres.
const BIT_MM: f64 = 0.5;
/// The pilot in hardwood is so much of the shank.
const PILOT_SHARE: f64 = 0.75;

/// What is driven into a kind of joint.
pub(super) const fn what(joint: Fastened) -> DrivenKind {
    match joint {
        Fastened::ReturnNosing | Fastened::Fillet | Fastened::ScribeStrip => DrivenKind::Brad,
        Fastened::RailJoint => DrivenKind::RailBolt,
        _ => DrivenKind::Screw,
    }
}

/// As is usual, in inches or in millimetres.
fn usual(joint: Fastened, unit: Unit) -> Driven {
    match unit {
        Unit::Inches => by_the_inch(joint),
        Unit::Millimetres => by_the_millimetre(joint),
    }
}

/// What is driven, as it is bought: diameter, length, plug, least number, spacing.
type Sizes = (f64, f64, Option<(f64, f64)>, u32, Option<f64>);

fn sized((diameter, length, plug, number, every): Sizes, len: fn(f64) -> Len) -> Driven {
    Driven {
        diameter: len(diameter),
        length: len(length),
        clear: None,
        pilot: None,
        plug: plug.map(|(diameter, depth)| Plug {
            diameter: len(diameter),
            depth: len(depth),
        }),
        number: Some(number),
        every: every.map(len),
    }
}

fn by_the_millimetre(joint: Fastened) -> Driven {
    let plug = Some((10.0, 10.0));
    let sizes = match joint {
        Fastened::TreadToStringer => (4.0, 60.0, plug, 2, None),
        Fastened::KickToStringer => (4.0, 50.0, plug, 2, None),
        Fastened::KickToTread => (4.0, 45.0, None, 2, Some(200.0)),
        Fastened::OpenSkirt => (3.5, 40.0, plug, 2, Some(400.0)),
        Fastened::WallSkirt => (4.0, 60.0, plug, 2, Some(400.0)),
        Fastened::ReturnNosing => (1.6, 50.0, None, 2, None),
        Fastened::Shoe => (4.0, 50.0, None, 2, Some(300.0)),
        Fastened::BaseCap => (4.0, 50.0, None, 2, Some(400.0)),
        Fastened::Fillet => (1.2, 15.0, None, 2, None),
        Fastened::ScribeStrip => (1.2, 30.0, None, 2, Some(200.0)),
        Fastened::RailJoint => (8.0, 90.0, Some((25.0, 40.0)), 1, None),
    };
    sized(sizes, Len::millimetres)
}

fn by_the_inch(joint: Fastened) -> Driven {
    let no_6 = 0.138;
    let no_8 = 0.164;
    let plug = Some((0.375, 0.375));
    let sizes = match joint {
        Fastened::TreadToStringer => (no_8, 2.5, plug, 2, None),
        Fastened::KickToStringer => (no_8, 2.0, plug, 2, None),
        Fastened::KickToTread => (no_8, 1.75, None, 2, Some(8.0)),
        Fastened::OpenSkirt => (no_6, 1.625, plug, 2, Some(16.0)),
        Fastened::WallSkirt => (no_6, 2.5, plug, 2, Some(16.0)),
        Fastened::ReturnNosing => (0.065, 2.0, None, 2, None),
        Fastened::Shoe => (no_8, 2.0, None, 2, Some(12.0)),
        Fastened::BaseCap => (no_8, 2.0, None, 2, Some(16.0)),
        Fastened::Fillet => (0.05, 0.625, None, 2, None),
        Fastened::ScribeStrip => (0.05, 1.25, None, 2, Some(8.0)),
        Fastened::RailJoint => (0.3125, 3.5, Some((1.0, 1.5)), 1, None),
    };
    sized(sizes, Len::inches)
}

/// The bore in what is held, and the pilot in what holds it: of a job in millimetres as bits are sold,
/// by the half millimetre.
fn bores(shank: Length, unit: Unit) -> [Length; 2] {
    match unit {
        Unit::Inches => [shank + CLEAR_BY, shank * PILOT_SHARE],
        Unit::Millimetres => [shank + CLEAR_BY_MM, shank * PILOT_SHARE]
            .map(|bore| Length::mm(((bore.as_mm() / BIT_MM).round() * BIT_MM).max(BIT_MM))),
    }
}

/// The wood of one joint.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wood {
    /// Thickness of what is held, along what is driven.
    pub(super) held: Length,
    /// The face of what is held is so narrow.
    pub(super) face: Length,
    /// The wood behind, along it; `None` where nothing tells.
    pub(super) room: Option<Length>,
    /// How far the joint runs on.
    pub(super) runs: Length,
}

/// What holds a joint, and what of it will not do.
pub(super) fn driven(
    stated: &Fastening,
    (joint, unit): (Fastened, Unit),
    wood: &Wood,
) -> (DrivenSet, Vec<JointFault>) {
    let own = stated.stated(joint);
    let driven = own.cloned().unwrap_or_else(|| usual(joint, unit));
    let what = what(joint);
    let shank = driven.diameter.value;
    let bored = (what != DrivenKind::Brad).then(|| bores(shank, unit));
    let value = |stated: &Option<Len>| stated.as_ref().map(|length| length.value);
    let plug = driven
        .plug
        .as_ref()
        .map(|plug| (plug.diameter.value, plug.depth.value));
    let length = driven.length.value;
    let through = match what {
        DrivenKind::RailBolt => length * 0.5,
        _ => wood.held - plug.map_or(Length::ZERO, |plug| plug.1),
    };
    let least = driven.number.unwrap_or(1);
    let every = value(&driven.every);
    let each = every.map_or(least, |every| least.max(along(wood.runs, every)));
    let set = DrivenSet {
        what,
        diameter: shank,
        length,
        clear: value(&driven.clear).or_else(|| bored.map(|[clear, _]| clear)),
        pilot: value(&driven.pilot).or_else(|| bored.map(|[_, pilot]| pilot)),
        plug,
        each,
        total: each,
        every,
        usual: own.is_none(),
        through,
        bite: length - through,
        room: wood.room,
    };
    let faults = faults(&set, wood);
    (set, faults)
}

/// How many stand along a joint no further apart than so much, one near each end.
fn along(runs: Length, every: Length) -> u32 {
    let spaces = (runs / every).ceil().max(1.0);
    // The job's bounds keep it to a few thousand.
    spaces.min(1e6) as u32 + 1
}

fn faults(set: &DrivenSet, wood: &Wood) -> Vec<JointFault> {
    let mut faults = Vec::new();
    if let Some(room) = wood.room {
        let past = set.bite - room;
        if past > HAIR - COVER {
            let most = match set.what {
                // Half of a bolt is in each piece.
                DrivenKind::RailBolt => (room - COVER) * 2.0,
                _ => set.through + room - COVER,
            };
            let does = most - set.through >= set.diameter * BITE_SHANKS;
            faults.push(JointFault::TooLong {
                past,
                at_most: does.then_some(most),
            });
        }
    }
    let asked = set.diameter * BITE_SHANKS;
    if set.bite + HAIR < asked {
        faults.push(JointFault::TooShort {
            bite: set.bite,
            at_least: set.through + asked,
        });
    }
    if let Some((wide, deep)) = set.plug {
        faults.extend(plug_faults((wide, deep), wood.face, wood.held));
    }
    faults
}

/// A plug wider or deeper than its piece takes.
pub(super) fn plug_faults(
    (wide, deep): (Length, Length),
    face: Length,
    held: Length,
) -> Vec<JointFault> {
    let positive = |length: Length| (length > Length::ZERO).then_some(length);
    let mut faults = Vec::new();
    let widest = face - BESIDE_PLUG * 2.0;
    if wide > widest + HAIR {
        faults.push(JointFault::PlugTooWide {
            piece: face,
            at_most: positive(widest),
        });
    }
    let deepest = held - UNDER_HEAD;
    if deep > deepest + HAIR {
        faults.push(JointFault::PlugTooDeep {
            piece: held,
            at_most: positive(deepest),
        });
    }
    faults
}

/// What the top of a framed half wall is thick: a plate of 1 1/2 in.
pub(super) const PLATE: Length = Length::inches(1.5);
/// A part further off than this is not behind a joint: what a shim makes up.
pub(super) const SHIM: Length = Length::inches(0.125);
