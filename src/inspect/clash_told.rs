//! Clashes told: each with its class, the places where the parts meet, what gives way and how far.
//!
//! In: the whole stair, mm in the first run's frame. Out: [`ClashFound`]s and findings in the same
//! frame.

use crate::measure::{Length, tolerance};
use crate::solids::{Convex, Part, PartKind};

use super::clash::{self, Clash, Looked};
use super::heading::travel_words;
use super::whole::Stair;
use super::{ClashClass, ClashFound, Finding, Key, Kind, Sense, Severity, Verdict, judge};

/// Every clash, and what is found of them, as well as of what could not be looked at.
pub(super) fn clashes(stair: &Stair<'_>) -> (Vec<ClashFound>, Vec<Finding>) {
    let looked = clash::look(stair.solids);
    let told: Vec<ClashFound> = looked.clashes.iter().map(|one| found(stair, one)).collect();
    let findings = looked.clashes.iter().zip(&told);
    let mut findings: Vec<Finding> = findings
        .filter_map(|(clash, told)| finding(stair, clash, told))
        .collect();
    findings.extend(unfinished(stair, &looked));
    findings.extend(looked.bodiless.iter().map(|&part| bodiless(stair, part)));
    (told, findings)
}

/// What a clash is called by.
fn kind_of(stair: &Stair<'_>, clash: &Clash) -> Kind {
    let kinds = [clash.a, clash.b].map(|place| stair.kind(place));
    let is = |wanted: PartKind| kinds.contains(&Some(wanted));
    if clash.joint.is_some() {
        Kind::SeatDeep
    } else if is(PartKind::Rail) && is(PartKind::Wall) {
        Kind::RailInWall
    } else {
        Kind::Clash
    }
}

/// What stands gives no way: the later a part is fitted, the sooner it is moved.
fn rank(kind: Option<PartKind>) -> u8 {
    use PartKind::{
        Baluster, BottomRail, Floor, HalfWall, Kick, Newel, Panel, Rail, Rosette, Shoe, Skirt,
        Stringer, Tread, Wall,
    };
    match kind {
        None | Some(Floor | Wall | Stringer) => 0,
        Some(Tread | Kick | Skirt | HalfWall) => 1,
        Some(Newel) => 2,
        Some(Rail | BottomRail | Shoe | Rosette) => 3,
        Some(Baluster | Panel) => 4,
    }
}

/// The part that gives way, and 1 where that is the second, -1 where it is the first: of two alike
/// the later one.
fn giving_way(stair: &Stair<'_>, clash: &Clash) -> (usize, f64) {
    if rank(stair.kind(clash.a)) > rank(stair.kind(clash.b)) {
        (clash.a, -1.0)
    } else {
        (clash.b, 1.0)
    }
}

fn found(stair: &Stair<'_>, clash: &Clash) -> ClashFound {
    let kind = kind_of(stair, clash);
    ClashFound {
        parts: [clash.a, clash.b].map(|place| stair.name(place).to_owned()),
        class: ClashClass::of(kind).unwrap_or(ClashClass::PartInPart),
        depth: Length::mm(clash.depth),
        clear_by: clash.direction,
        to_clear: format!(
            "move {} {}",
            stair.name(giving_way(stair, clash).0),
            travel(stair, clash)
        ),
        at: clash.at,
        points: clash.points.clone(),
    }
}

/// How far and which way the part that gives way is moved.
fn travel(stair: &Stair<'_>, clash: &Clash) -> String {
    let (part, sign) = giving_way(stair, clash);
    let travel = clash.direction * (clash.depth * sign);
    match stair.runs.get(stair.run_of(part)) {
        Some(run) => {
            // A railing on the wall side is told by the sides of the stair that it stands on.
            let stair_run = run
                .solid
                .beside
                .and_then(|stair_of| stair.runs.get(stair_of));
            let run = stair_run.unwrap_or(run);
            let own = run.frame.way_from_first(&travel);
            travel_words(run.solid.site, stair.tape(), &own)
        }
        None => stair.tape().print(Length::mm(clash.depth)),
    }
}

/// A clash as a finding. A newel in a stringer is told by how deep it cuts, not here again.
fn finding(stair: &Stair<'_>, clash: &Clash, told: &ClashFound) -> Option<Finding> {
    let kinds = [clash.a, clash.b].map(|place| stair.kind(place));
    let is = |wanted: PartKind| kinds.contains(&Some(wanted));
    if is(PartKind::Newel) && is(PartKind::Stringer) {
        return None;
    }
    let kind = kind_of(stair, clash);
    let crossing = kinds.iter().all(|kind| kind.is_some_and(of_stair))
        && stair.run_of(clash.a) != stair.run_of(clash.b);
    let limit = Length::ZERO;
    let sense = Sense::AtMost;
    Some(Finding {
        key: Key {
            kind,
            parts: told.parts.to_vec(),
        },
        run: stair.run_of(giving_way(stair, clash).0),
        lower: told.depth,
        upper: told.depth,
        limit,
        sense,
        doubt: None,
        verdict: judge(told.depth, told.depth, sense, limit, None),
        severity: if crossing {
            Severity::Stop
        } else {
            Severity::Fix
        },
        source: match kind {
            Kind::SeatDeep => "the seat that the joint allows".to_owned(),
            _ => "two parts cannot stand in one place".to_owned(),
        },
        at: told.at,
        says: says(stair, clash, told, (kind, crossing)),
    })
}

fn says(
    stair: &Stair<'_>,
    clash: &Clash,
    told: &ClashFound,
    (kind, crossing): (Kind, bool),
) -> String {
    let tape = stair.tape();
    let [a, b] = &told.parts;
    let depth = tape.print(told.depth);
    let what = match kind {
        Kind::SeatDeep if clash.seat < tolerance::SAME_POINT_MM => {
            format!("{b} goes {depth} into {a}, where their joint has no seat")
        }
        Kind::SeatDeep => format!(
            "{b} goes {depth} deeper into {a} than their joint allows, which is {}",
            tape.print(Length::mm(clash.seat))
        ),
        Kind::RailInWall => {
            let (rail, wall) = if stair.kind(clash.a) == Some(PartKind::Rail) {
                (a, b)
            } else {
                (b, a)
            };
            format!("rail {rail} runs {depth} into wall {wall}, at which it does not end")
        }
        _ => match inside(stair, clash) {
            Some((within, around)) => {
                format!("{within} stands wholly inside {around}, {depth} from the nearest way out")
            }
            None => format!("{a} and {b} stand {depth} in each other"),
        },
    };
    let places = match told.points.len() {
        0 | 1 => String::new(),
        places if places < clash::MOST_POINTS => format!(", in {places} places"),
        places => format!(", in {places} places or more"),
    };
    if crossing {
        let travel = travel(stair, clash);
        return format!(
            "{what}{places}: the runs cross; the upper one clears if its start is moved {travel}"
        );
    }
    format!("{what}{places}: {}", told.to_clear)
}

/// Of two parts the one that lies wholly inside one piece of the other, and that other.
fn inside<'a>(stair: &Stair<'a>, clash: &Clash) -> Option<(&'a str, &'a str)> {
    let (a, b) = (stair.part(clash.a)?, stair.part(clash.b)?);
    [(a, b), (b, a)]
        .into_iter()
        .find(|(within, around)| lies_in(within, around))
        .map(|(within, around)| (within.name.as_str(), around.name.as_str()))
}

fn lies_in(within: &Part, around: &Part) -> bool {
    around.pieces.iter().any(|piece| {
        let mut corners = within.pieces.iter().flat_map(Convex::corners);
        corners.all(|corner| {
            let mut planes = piece.planes().iter();
            planes.all(|plane| plane.distance(corner) <= tolerance::SAME_POINT_MM)
        })
    })
}

fn of_stair(kind: PartKind) -> bool {
    use PartKind::{Kick, Skirt, Stringer, Tread};
    matches!(kind, Tread | Kick | Skirt | Stringer)
}

/// Where the search ended before all was looked at.
fn unfinished(stair: &Stair<'_>, looked: &Looked) -> Option<Finding> {
    if looked.whole {
        return None;
    }
    let deepest = looked
        .clashes
        .iter()
        .max_by(|a, b| a.depth.total_cmp(&b.depth));
    let depth = Length::mm(deepest.map_or(0.0, |one| one.depth));
    let at = deepest.map_or_else(nalgebra::Point3::origin, |one| one.at);
    let (sense, limit) = (Sense::AtMost, Length::ZERO);
    let clashing = !looked.clashes.is_empty();
    Some(Finding {
        key: Key {
            kind: Kind::Clash,
            parts: vec!["parts not looked at".to_owned()],
        },
        run: 0,
        lower: depth,
        upper: depth,
        limit,
        sense,
        // What was not looked at is never met.
        doubt: None,
        verdict: if clashing {
            judge(depth, depth, sense, limit, None)
        } else {
            Verdict::TooClose
        },
        severity: Severity::Stop,
        source: "two parts cannot stand in one place".to_owned(),
        at,
        says: format!(
            "{} pairs of parts stand in each other, and the search ended there: {} and the parts \
             listed after it were not looked at against all others; clear these first",
            looked.clashes.len(),
            stair.name(looked.ended_at)
        ),
    })
}

/// A part that has no body: nothing can be said about it.
fn bodiless(stair: &Stair<'_>, part: usize) -> Finding {
    let name = stair.name(part);
    Finding {
        key: Key {
            kind: Kind::Clash,
            parts: vec![name.to_owned()],
        },
        run: stair.run_of(part),
        lower: Length::ZERO,
        upper: Length::ZERO,
        limit: Length::ZERO,
        sense: Sense::AtMost,
        doubt: None,
        verdict: Verdict::NotShown,
        severity: Severity::Fix,
        source: "two parts cannot stand in one place".to_owned(),
        at: nalgebra::Point3::origin(),
        says: format!(
            "{name} comes out without a body (nothing is left of it, or it has no thickness): \
             whether it clashes with anything is not shown"
        ),
    }
}
