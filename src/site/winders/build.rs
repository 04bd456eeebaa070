//! From a job's winders to their places.

use nalgebra::{Point2, Vector2};

use crate::job::{
    Hand, Len, Outer, TreadEdge, Well, WinderEnd, WinderKind, WinderReading, Winders,
};
use crate::measure::Length;

use super::path::{Path, Turn, walk_line};
use super::{EdgeAcross, Winder, WinderSite};

/// How far the straight flights' sides are drawn on: past any nosing or kick.
const REACH: f64 = 1000.0;
/// From the narrow side to where heights are given, unless the job says: 12 in.
const USUAL_WALK_LINE: f64 = 304.8;

/// Places the winders as found: as meant, and where they were read as read.
#[must_use]
pub fn build(winders: &Winders) -> WinderSite {
    let turn = Turn {
        hand: match winders.turns {
            Hand::Left => 1.0,
            Hand::Right => -1.0,
        },
        angle: winders.angle.value.as_radians(),
    };
    let (narrow, round_narrow, round_wide) = sides(&winders.kind);
    let width = winders.width.mm();
    let side = |round: bool, off: f64| {
        if round {
            Path::round(turn, off, REACH)
        } else {
            Path::cornered(turn, off, REACH)
        }
    };
    let mut site = WinderSite {
        turn,
        narrow,
        width,
        walk_line: winders.walk_line.as_ref().map(|line| line.value),
        handrail: winders.handrail.value,
        kick_thickness: winders.kick_thickness.mm(),
        kicks: Vec::new(),
        nosings: Vec::new(),
        treads: Vec::new(),
        narrow_side: side(round_narrow, narrow),
        wide_side: side(round_wide, narrow + width),
    };
    site.kicks = (0..=winders.count)
        .map(|kick| {
            kick_edge(winders, &site, kick)
                .or_else(|| meant_edge(winders, &site, kick))
                .unwrap_or_else(|| by_share(&site, kick, winders.count))
        })
        .collect();
    let overhang = winders.overhang.mm();
    site.nosings = site
        .kicks
        .iter()
        .map(|kick| site.parallel(kick, -overhang).unwrap_or(*kick))
        .collect();
    site.treads = treads(winders, &site);
    site
}

/// From the centre to the narrow side, and whether the narrow side and the wide one are round.
fn sides(kind: &WinderKind) -> (f64, bool, bool) {
    match kind {
        WinderKind::Kite { newel } => (newel.mm() / 2.0, false, false),
        WinderKind::Tapered { well, outer } => {
            let wide = *outer == Outer::Round;
            match well {
                Well::Round(radius) => (radius.mm(), true, wide),
                Well::Square(side) => (side.mm() / 2.0, false, wide),
            }
        }
    }
}

/// The edge through a point between the sides, along a way from the narrow side to the wide.
pub(super) fn across(
    narrow_side: &Path,
    wide_side: &Path,
    through: Point2<f64>,
    way: Vector2<f64>,
) -> Option<EdgeAcross> {
    let nearest = |a: f64, b: f64| a.total_cmp(&b);
    // The narrow side may be the centre itself, which the line only touches.
    let narrow = narrow_side
        .meets(through, way)
        .into_iter()
        .filter(|meet| meet.reach <= 0.0)
        .max_by(|a, b| nearest(a.reach, b.reach))?;
    let wide = wide_side
        .meets(through, way)
        .into_iter()
        .filter(|meet| meet.reach >= 0.0)
        .min_by(|a, b| nearest(a.reach, b.reach))?;
    Some(EdgeAcross {
        narrow: through + way * narrow.reach,
        wide: through + way * wide.reach,
        narrow_at: narrow.station,
        wide_at: wide.station,
    })
}

/// The face of a kick, counted from 0, as found: placed by its two ends, or by one end and its
/// angle. What is not read is as meant.
fn kick_edge(winders: &Winders, site: &WinderSite, kick: u32) -> Option<EdgeAcross> {
    let number = kick + 1;
    let meant = meant_edge(winders, site, kick)?;
    let read = |wanted: fn(&WinderReading) -> Option<f64>| {
        mean(
            winders
                .readings
                .iter()
                .filter(|reading| reading.step() == number)
                .filter_map(wanted),
        )
    };
    let narrow = read(|reading| match reading {
        WinderReading::Narrow { is, .. } => Some(is.mm()),
        _ => None,
    });
    let wide = read(|reading| match reading {
        WinderReading::Wide { is, .. } => Some(is.mm()),
        _ => None,
    });
    let angle = read(|reading| match reading {
        WinderReading::Turn { is, .. } => Some(is.value.as_radians()),
        _ => None,
    });
    match (angle, narrow, wide) {
        (Some(angle), narrow, None) => {
            let at = narrow.map_or(meant.narrow, |at| site.narrow_side.point(at));
            turned(site, at, angle)
        }
        (Some(angle), None, Some(wide)) => turned(site, site.wide_side.point(wide), angle),
        _ => Some(ends(
            site,
            narrow.unwrap_or(meant.narrow_at),
            wide.unwrap_or(meant.wide_at),
        )),
    }
}

/// The edge at an angle from the first kick through a point of either side.
fn turned(site: &WinderSite, through: Point2<f64>, angle: f64) -> Option<EdgeAcross> {
    let way = site.turn.out(angle);
    // From half way across it meets both sides, whichever it was placed by.
    let out = through.coords.norm();
    let middle = site.narrow + site.width / 2.0;
    across(
        &site.narrow_side,
        &site.wide_side,
        through + way * (middle - out),
        way,
    )
}

/// An edge as far round on either side as its number has it: for kicks so far off their place that
/// no line joins the sides there.
fn by_share(site: &WinderSite, kick: u32, count: u32) -> EdgeAcross {
    let share = f64::from(kick) / f64::from(count.max(1));
    let part = |side: &Path| share * side.turn_ends();
    ends(site, part(&site.narrow_side), part(&site.wide_side))
}

fn ends(site: &WinderSite, narrow_at: f64, wide_at: f64) -> EdgeAcross {
    EdgeAcross {
        narrow: site.narrow_side.point(narrow_at),
        wide: site.wide_side.point(wide_at),
        narrow_at,
        wide_at,
    }
}

/// Where a kick is meant to stand: at the place that the job gives it, or from the centre at even
/// angles.
fn meant_edge(winders: &Winders, site: &WinderSite, kick: u32) -> Option<EdgeAcross> {
    let place = winders.kicks.iter().find(|place| place.step == kick + 1);
    if let Some(place) = place {
        return Some(ends(site, place.narrow.mm(), place.wide.mm()));
    }
    let angle = site.turn.angle * f64::from(kick) / f64::from(winders.count);
    let way = site.turn.out(angle);
    let middle = Point2::from(way * (site.narrow + site.width / 2.0));
    across(&site.narrow_side, &site.wide_side, middle, way)
}

fn treads(winders: &Winders, site: &WinderSite) -> Vec<Winder> {
    let line = site.walk_path(site.walk_line.unwrap_or(Length::mm(USUAL_WALK_LINE)));
    let edges: Vec<_> = site.nosings.iter().map(EdgeAcross::ends).collect();
    let crossings = walk_line(&edges, &line);
    let mut height = 0.0;
    let mut treads = Vec::new();
    for (number, pair) in (1..).zip(site.kicks.windows(2)) {
        let at = number as usize - 1;
        let nosing = &site.nosings[at];
        let rise = read_on(winders, number, |reading| match reading {
            WinderReading::Rise { is, .. } => Some(is.mm()),
            _ => None,
        });
        let rise = rise.unwrap_or_else(|| winders.rise.mm());
        height += rise;
        let middle = nalgebra::center(&nosing.narrow, &nosing.wide);
        let crossing = |at: usize| crossings.get(at).copied().flatten();
        let depth = match (crossing(at), crossing(at + 1)) {
            (Some(here), Some(next)) => next.station - here.station,
            _ => site.width,
        };
        let out = (nosing.way() + pair[1].way()).normalize();
        let on = Vector2::new(-out.y, out.x) * site.turn.hand;
        treads.push(Winder {
            number,
            outline: site.outline(nosing, &pair[1]),
            rise,
            height,
            about: crossing(at).map_or(middle, |crossing| crossing.at),
            climb: out * (level(winders, number) / site.width)
                + on * (fall(winders, number) / depth),
            thickness: winders.tread_thickness.mm(),
        });
    }
    treads
}

/// How much the wide end of a tread stands above its narrow end.
fn level(winders: &Winders, number: u32) -> f64 {
    let signed = |is: &Len, high: WinderEnd| match high {
        WinderEnd::Wide => is.mm(),
        WinderEnd::Narrow => -is.mm(),
    };
    read_on(winders, number, |reading| match reading {
        WinderReading::Level { is, high, .. } => Some(signed(is, *high)),
        _ => None,
    })
    .unwrap_or(0.0)
}

/// How much the back of a tread stands above its front.
fn fall(winders: &Winders, number: u32) -> f64 {
    let signed = |is: &Len, low: TreadEdge| match low {
        TreadEdge::Front => is.mm(),
        TreadEdge::Back => -is.mm(),
    };
    read_on(winders, number, |reading| match reading {
        WinderReading::Fall { is, low, .. } => Some(signed(is, *low)),
        _ => None,
    })
    .unwrap_or(0.0)
}

fn read_on(
    winders: &Winders,
    number: u32,
    wanted: impl Fn(&WinderReading) -> Option<f64>,
) -> Option<f64> {
    let of_step = winders.readings.iter().filter(|one| one.step() == number);
    mean(of_step.filter_map(wanted))
}

/// The mean of some numbers; `None` of none.
fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (count, sum) = values.fold((0_u32, 0.0), |(count, sum), value| (count + 1, sum + value));
    (count > 0).then(|| sum / f64::from(count))
}
