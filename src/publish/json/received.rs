//! The shape of `received` in `setout --json`.

use serde::Serialize;

use crate::measure::{Length, Tape};
use crate::publish::fits::verdict_word;
use crate::setout::received::{
    BalusterWeighed, Fit, NewelEffects, RailEffects, RailWeighed, ReceivedSet,
};

#[derive(Serialize)]
pub(super) struct ReceivedShape<'a> {
    newels: Vec<NewelShape<'a>>,
    balusters: Vec<BalusterShape<'a>>,
    rails: Vec<RailShape<'a>>,
    unfilled: &'a [String],
    disturbance_mm: f64,
    disturbance: String,
}

#[derive(Serialize)]
struct NewelShape<'a> {
    id: &'a str,
    verdict: &'static str,
    quarter_turns: u8,
    as_marked: NewelEffectsShape,
    turned: NewelEffectsShape,
}

#[derive(Serialize)]
struct NewelEffectsShape {
    gap_at_foot_mm: f64,
    gap_at_foot: String,
    gap_at_rail_mm: f64,
    gap_at_rail: String,
    reveal_above_mm: Option<f64>,
    reveal_below_mm: Option<f64>,
    lean_uphill_mm: f64,
    lean_uphill: String,
    lean_outward_mm: f64,
    lean_outward: String,
    cap_mm: f64,
    cap: String,
    trim_mm: f64,
    trim: String,
}

#[derive(Serialize)]
struct BalusterShape<'a> {
    mark: &'a str,
    verdict: &'static str,
    place: Option<&'a str>,
    quarter_turns: Option<u8>,
    gap_mm: Option<f64>,
    over_mm: Option<f64>,
    reveal_mm: Option<f64>,
    lean_mm: Option<f64>,
    seat_mm: Option<f64>,
    total_mm: Option<f64>,
}

#[derive(Serialize)]
struct RailShape<'a> {
    id: &'a str,
    verdict: &'static str,
    end_for_end: bool,
    as_marked: RailEffectsShape<'a>,
    turned: RailEffectsShape<'a>,
}

#[derive(Serialize)]
struct RailEffectsShape<'a> {
    lean_mm: Option<f64>,
    lean_of: Option<&'a str>,
    length_mm: Option<f64>,
    length_of: Option<&'a str>,
    height_mm: Option<f64>,
    height_over: Option<u32>,
    in_window: bool,
}

pub(super) fn shape(received: &ReceivedSet, tape: Tape) -> ReceivedShape<'_> {
    let newels = received.newels.iter().map(|one| NewelShape {
        id: &one.name,
        verdict: verdict_word(one.verdict),
        quarter_turns: one.quarter_turns,
        as_marked: newel(&one.as_marked, tape),
        turned: newel(&one.turned, tape),
    });
    ReceivedShape {
        newels: newels.collect(),
        balusters: received.balusters.iter().map(baluster).collect(),
        rails: received.rails.iter().map(rail).collect(),
        unfilled: &received.unfilled,
        disturbance_mm: received.disturbance.as_mm(),
        disturbance: tape.print(received.disturbance),
    }
}

fn newel(effects: &NewelEffects, tape: Tape) -> NewelEffectsShape {
    NewelEffectsShape {
        gap_at_foot_mm: effects.gap_at_foot.as_mm(),
        gap_at_foot: tape.print(effects.gap_at_foot),
        gap_at_rail_mm: effects.gap_at_rail.as_mm(),
        gap_at_rail: tape.print(effects.gap_at_rail),
        reveal_above_mm: effects.block_reveals.map(|(above, _)| above.as_mm()),
        reveal_below_mm: effects.block_reveals.map(|(_, below)| below.as_mm()),
        lean_uphill_mm: effects.lean_uphill.as_mm(),
        lean_uphill: tape.print(effects.lean_uphill),
        lean_outward_mm: effects.lean_outward.as_mm(),
        lean_outward: tape.print(effects.lean_outward),
        cap_mm: effects.cap.as_mm(),
        cap: tape.print(effects.cap),
        trim_mm: effects.trim.as_mm(),
        trim: tape.print(effects.trim),
    }
}

fn baluster(one: &BalusterWeighed) -> BalusterShape<'_> {
    let at = one.at.as_ref();
    let mm = |of: fn(&Fit) -> Length| at.map(|at| of(&at.fit).as_mm());
    BalusterShape {
        mark: &one.mark,
        verdict: verdict_word(one.verdict),
        place: at.map(|at| at.place.as_str()),
        quarter_turns: at.map(|at| at.fit.quarter_turns),
        gap_mm: mm(|fit| fit.gap),
        over_mm: mm(|fit| fit.over),
        reveal_mm: mm(|fit| fit.reveal),
        lean_mm: mm(|fit| fit.lean),
        seat_mm: mm(|fit| fit.seat),
        total_mm: mm(|fit| fit.total),
    }
}

fn rail(one: &RailWeighed) -> RailShape<'_> {
    RailShape {
        id: &one.name,
        verdict: verdict_word(one.verdict),
        end_for_end: one.end_for_end,
        as_marked: rail_effects(&one.as_marked),
        turned: rail_effects(&one.turned),
    }
}

fn rail_effects(effects: &RailEffects) -> RailEffectsShape<'_> {
    let (lean, length) = (effects.lean.as_ref(), effects.length.as_ref());
    RailEffectsShape {
        lean_mm: lean.map(|one| one.0.as_mm()),
        lean_of: lean.map(|one| one.1.as_str()),
        length_mm: length.map(|one| one.0.as_mm()),
        length_of: length.map(|one| one.1.as_str()),
        height_mm: effects.height.map(|one| one.0.as_mm()),
        height_over: effects.height.map(|one| one.1),
        in_window: effects.in_window,
    }
}
