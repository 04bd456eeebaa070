//! The shapes of the safe settings and the loosest tolerances in `doubt --json`.

use serde::Serialize;

use super::doubt::ChanceShape;
use crate::doubt::{Allowed, Loosest, Safe, Trial};
use crate::inspect::Sense;
use crate::measure::{Length, Tape};

#[derive(Serialize)]
pub(super) struct SafeShape<'a> {
    wanted: f64,
    planned: ChanceShape,
    keep: Vec<KeepShape>,
    settings: Vec<SettingShape<'a>>,
    foretold: ChanceShape,
    verified: bool,
    drawn: Option<ChanceShape>,
    not_drawn: Option<&'a str>,
    stepped_on: usize,
    edits: Vec<EditShape<'a>>,
    unmoved: ChanceShape,
    beyond: Vec<BeyondShape<'a>>,
}

#[derive(Serialize)]
struct KeepShape {
    kind: &'static str,
    side: &'static str,
    of: usize,
    #[serde(flatten)]
    chance: ChanceShape,
    limit_mm: f64,
    worst_mm: f64,
    alone_mm: Option<f64>,
    moves_mm: f64,
    keep_mm: f64,
    keep: String,
}

#[derive(Serialize)]
struct SettingShape<'a> {
    what: &'a str,
    field: Option<&'a str>,
    now_mm: f64,
    now: String,
    to_mm: f64,
    to: String,
    from_mm: Option<f64>,
    up_to_mm: Option<f64>,
}

#[derive(Serialize)]
struct EditShape<'a> {
    field: &'a str,
    value: &'a str,
}

#[derive(Serialize)]
struct BeyondShape<'a> {
    kind: &'static str,
    says: &'a str,
    #[serde(flatten)]
    chance: ChanceShape,
}

impl<'a> SafeShape<'a> {
    pub(super) fn of(safe: &'a Safe, tape: Tape) -> Self {
        let (drawn, not_drawn, stepped_on, edits) = match &safe.trial {
            Trial::Drawn {
                tally,
                edits,
                tries,
            } => (Some(tally), None, *tries, edits.as_slice()),
            Trial::NotMade(why) => (None, Some(why.as_str()), 0, [].as_slice()),
        };
        let edits = edits.iter();
        Self {
            wanted: safe.chance,
            planned: ChanceShape::of(&safe.planned),
            keep: keeps(safe, tape),
            settings: settings(safe, tape),
            foretold: ChanceShape::of(&safe.foretold),
            verified: safe.is_verified(),
            drawn: drawn.map(ChanceShape::of),
            not_drawn,
            stepped_on,
            edits: edits
                .map(|(field, value)| EditShape { field, value })
                .collect(),
            unmoved: ChanceShape::of(&safe.unmoved),
            beyond: safe
                .beyond
                .iter()
                .map(|one| BeyondShape {
                    kind: one.kind.word(),
                    says: &one.says,
                    chance: ChanceShape::of(&one.tally),
                })
                .collect(),
        }
    }
}

fn keeps(safe: &Safe, tape: Tape) -> Vec<KeepShape> {
    let keeps = safe.needs.iter().map(|need| KeepShape {
        kind: need.kind.word(),
        side: match need.sense {
            Sense::AtLeast => "at least",
            Sense::AtMost => "at most",
            Sense::Under => "under",
        },
        of: need.of,
        chance: ChanceShape::of(&need.planned),
        limit_mm: need.limit.as_mm(),
        worst_mm: need.worst.as_mm(),
        alone_mm: need.alone.map(Length::as_mm),
        moves_mm: need.moves.as_mm(),
        keep_mm: need.keep.as_mm(),
        keep: tape.print(need.keep),
    });
    keeps.collect()
}

fn settings(safe: &Safe, tape: Tape) -> Vec<SettingShape<'_>> {
    let settings = safe.settings.iter().map(|one| SettingShape {
        what: &one.what,
        field: Some(one.field.as_str()).filter(|field| !field.is_empty()),
        now_mm: one.now.as_mm(),
        now: tape.print(one.now),
        to_mm: one.to.as_mm(),
        to: tape.print(one.to),
        from_mm: one.room.map(|(from, _)| from.as_mm()),
        up_to_mm: one.room.map(|(_, to)| to.as_mm()),
    });
    settings.collect()
}

#[derive(Serialize)]
pub(super) struct LoosestShape<'a> {
    wanted: f64,
    reveal_mm: Option<f64>,
    left_out: usize,
    stated: ChanceShape,
    without: ChanceShape,
    alone: Vec<AllowedShape>,
    together: Option<TogetherShape>,
    in_the_way: Option<WayShape<'a>>,
}

#[derive(Serialize)]
struct AllowedShape {
    operation: &'static str,
    stated_mm: Option<f64>,
    loosest: &'static str,
    loosest_mm: Option<f64>,
    text: Option<String>,
    drawn: Option<ChanceShape>,
}

#[derive(Serialize)]
struct TogetherShape {
    set: Vec<AllowedShape>,
    drawn: ChanceShape,
    holds: bool,
    is_loosest: bool,
}

#[derive(Serialize)]
struct WayShape<'a> {
    says: &'a str,
    id: Option<String>,
    #[serde(flatten)]
    chance: ChanceShape,
    source: Option<&'a str>,
    field: Option<&'a str>,
    share: Option<f64>,
}

impl<'a> LoosestShape<'a> {
    pub(super) fn of(loosest: &'a Loosest, tape: Tape) -> Self {
        let alone = loosest.alone.iter().map(|one| AllowedShape {
            stated_mm: Some(one.stated.as_mm()),
            drawn: one.drawn.as_ref().map(ChanceShape::of),
            ..allowed(one.operation.field(), one.loosest, tape)
        });
        Self {
            wanted: loosest.purpose.chance,
            reveal_mm: loosest.purpose.reveal.map(Length::as_mm),
            left_out: loosest.left_out,
            stated: ChanceShape::of(&loosest.stated),
            without: ChanceShape::of(&loosest.without),
            alone: alone.collect(),
            together: loosest.together.as_ref().map(|all| TogetherShape {
                set: all
                    .set
                    .iter()
                    .map(|(operation, one)| allowed(operation.field(), *one, tape))
                    .collect(),
                drawn: ChanceShape::of(&all.drawn),
                holds: all.holds,
                is_loosest: all.is_loosest,
            }),
            in_the_way: loosest.way.as_ref().map(|way| WayShape {
                says: &way.says,
                id: way.key.as_ref().map(crate::inspect::Key::id),
                chance: ChanceShape::of(&way.tally),
                source: way.source.as_ref().map(|source| source.0.as_str()),
                field: way.source.as_ref().and_then(|source| source.1.as_deref()),
                share: way.source.as_ref().map(|source| source.2),
            }),
        }
    }
}

fn allowed(operation: &'static str, one: Allowed, tape: Tape) -> AllowedShape {
    let (loosest, length) = match one {
        Allowed::NoPart => ("no part", None),
        Allowed::Any => ("any", None),
        Allowed::UpTo(length) => ("up to", Some(length)),
        Allowed::Never => ("never", None),
    };
    AllowedShape {
        operation,
        stated_mm: None,
        loosest,
        loosest_mm: length.map(Length::as_mm),
        text: length.map(|length| tape.print(length)),
        drawn: None,
    }
}
