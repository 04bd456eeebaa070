//! A received rail: how its bow moves the heads of the balusters, and its own height.

use crate::job::{ReceivedLimits, ReceivedRail};
use crate::measure::Length;
use crate::measure::tolerance::SAME_POINT_MM;
use crate::setout::{RailSet, SetOut};
use crate::site::Site;

use super::{RailEffects, RailWeighed, Verdict};

/// Weighs one rail; `None` where the set-out has none of that name.
pub(super) fn weigh(
    site: &Site,
    setout: &SetOut,
    received: &ReceivedRail,
    limits: &ReceivedLimits,
) -> Option<RailWeighed> {
    let rail = (received.name == setout.rail.name).then_some(&setout.rail)?;
    let bow = Bow::of(rail, received);
    let as_marked = effects(site, setout, rail, |along| bow.at(along));
    // Turned about its own plumb, left is right; what stood up still does.
    let turned = effects(site, setout, rail, |along| {
        let [up, outward] = bow.at(bow.length - along);
        [up, -outward]
    });
    let (verdict, end_for_end) = if within(&as_marked, limits) {
        (Verdict::Accept, false)
    } else if within(&turned, limits) {
        (Verdict::Shuffle, true)
    } else {
        (Verdict::SendBack, false)
    };
    Some(RailWeighed {
        name: rail.name.clone(),
        verdict,
        end_for_end,
        as_marked,
        turned,
    })
}

fn within(effects: &RailEffects, limits: &ReceivedLimits) -> bool {
    let under = |value: Option<Length>, limit: Length| {
        value.is_none_or(|value| (value.abs() - limit).as_mm() <= SAME_POINT_MM)
    };
    effects.in_window
        && under(effects.lean.as_ref().map(|one| one.0), limits.lean.value)
        && under(effects.height.map(|one| one.0), limits.height.value)
}

/// Off a string from end to end, straight between readings: up and outward, mm.
struct Bow {
    length: f64,
    /// Place along, up, outward.
    read: Vec<[f64; 3]>,
}

impl Bow {
    fn of(rail: &RailSet, received: &ReceivedRail) -> Self {
        let length = (rail.upper - rail.lower).norm();
        let mut read = vec![[0.0; 3]];
        // A reading at an end, or past it, says nothing: the string is held there.
        let inside = received
            .bows
            .iter()
            .filter(|bow| (SAME_POINT_MM..length - SAME_POINT_MM).contains(&bow.along.mm()));
        read.extend(inside.map(|bow| [bow.along.mm(), bow.up.mm(), bow.outward.mm()]));
        read.push([length, 0.0, 0.0]);
        Self { length, read }
    }

    fn at(&self, along: f64) -> [f64; 2] {
        let between = |pair: &[[f64; 3]]| {
            let ([from, up, out], [to, up_to, out_to]) = (pair[0], pair[1]);
            let share = (along - from) / (to - from);
            (0.0..=1.0)
                .contains(&share)
                .then_some([up + share * (up_to - up), out + share * (out_to - out)])
        };
        self.read.windows(2).find_map(between).unwrap_or([0.0; 2])
    }
}

fn effects(
    site: &Site,
    setout: &SetOut,
    rail: &RailSet,
    bow: impl Fn(f64) -> [f64; 2],
) -> RailEffects {
    let way = (rail.upper - rail.lower).normalize();
    let plumb = 1.0 / rail.pitch.angle().as_radians().cos();
    let run = (rail.upper.x - rail.lower.x).max(SAME_POINT_MM);
    let long = (rail.upper - rail.lower).norm();
    let heads = setout.balusters.iter().map(|one| {
        let [up, outward] = bow((one.top - rail.lower).dot(&way));
        (one, up * plumb, outward)
    });
    let heads: Vec<_> = heads.collect();
    let greatest = |value: &dyn Fn(&(&crate::setout::BalusterSet, f64, f64)) -> f64| {
        heads
            .iter()
            .max_by(|a, b| value(a).abs().total_cmp(&value(b).abs()))
            .map(|head| (Length::mm(value(head)), head.0.name.clone()))
    };
    // Over every nosing that the rail passes: the change, and the heights over its higher and its
    // lower side.
    let mut height: Option<(Length, u32)> = None;
    let mut in_window = true;
    for step in &site.steps {
        let share = (step.nosing_x() - rail.lower.x) / run;
        if !(0.0..=1.0).contains(&share) {
            continue;
        }
        let raised = bow(share * long)[0] * plumb;
        if height.is_none_or(|(most, _)| raised.abs() > most.abs().as_mm()) {
            height = Some((Length::mm(raised), step.number));
        }
        let top = rail.lower.z + share * (rail.upper.z - rail.lower.z);
        let sides = [step.open_q, step.wall_q].map(|q| top - step.nosing_top(q));
        let (least, most) = (sides[0].min(sides[1]), sides[0].max(sides[1]));
        let (low, high) = rail.window.asked;
        let short = |height: f64| low.map_or(0.0, |low| (low.as_mm() - height).max(0.0));
        let past = |height: f64| high.map_or(0.0, |high| (height - high.as_mm()).max(0.0));
        in_window &= short(least + raised) <= short(least) + SAME_POINT_MM;
        in_window &= past(most + raised) <= past(most) + SAME_POINT_MM;
    }
    RailEffects {
        lean: greatest(&|head| head.2),
        length: greatest(&|head| head.1),
        height,
        in_window,
    }
}
