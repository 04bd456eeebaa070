//! What can be done in the place of the ways.

use super::super::divide::{self, Ask, STEP};
use super::super::session::Action;
use super::super::{Place, ways};
use super::chord::{Stroke, plain, typed};
use super::{Act, Knows};

/// The alternatives where they are looked at, once they are set out.
fn there<'a>(knows: &'a Knows) -> Option<&'a [ways::Way]> {
    let here = knows.showing.place == Place::Ways;
    knows.ways.of(knows.work.stood).filter(|_| here)
}

/// The next way to do it; what is shown there need not be the job as it stands. In a picture of two
/// ways that of the other half is passed over.
fn step(knows: &Knows, backwards: bool) -> Option<Action> {
    let there = there(knows)?;
    let next = |from| ways::next(there, from, backwards);
    let first = next(knows.showing.way);
    let taken = knows.divide.on && first == knows.divide.left;
    Some(Action::Way(if taken { next(first) } else { first }))
}

/// The same for what stands left of the line.
fn step_left(knows: &Knows, backwards: bool) -> Option<Action> {
    let there = there(knows).filter(|_| knows.divide.on)?;
    let next = |from| ways::next(there, from, backwards);
    let first = next(knows.divide.left);
    let taken = first == knows.showing.way;
    let left = if taken { next(first) } else { first };
    Some(Action::Divide(Ask::Left(left)))
}

/// Moves the line by a step of its own.
fn pull(knows: &Knows, by: f64) -> Option<Action> {
    let hangs = knows.showing.place == Place::Ways && knows.divide.on;
    hangs.then_some(Action::Divide(Ask::By(by)))
}

/// In the order in which a key that has several meanings is asked.
pub(super) const ACTS: &[Act] = &[
    Act::new(typed('.'), "show the next way", "alternative", |knows| {
        step(knows, false)
    }),
    Act::new(typed(','), "show the way before", "alternative", |knows| {
        step(knows, true)
    }),
    Act::new(
        typed('/'),
        "two ways in one picture, or one again",
        "alternative divide line compare beside half",
        |knows| {
            let there = there(knows)?;
            Some(divide::turn(&knows.divide, knows.showing.way, Some(there)))
        },
    ),
    Act::new(
        plain(Stroke::Left).control(),
        "move the dividing line to the left",
        "alternative compare",
        |knows| pull(knows, -STEP),
    )
    .repeating(),
    Act::new(
        plain(Stroke::Right).control(),
        "move the dividing line to the right",
        "alternative compare",
        |knows| pull(knows, STEP),
    )
    .repeating(),
    Act::new(
        typed('>'),
        "put the next way left of the line",
        "alternative compare",
        |knows| step_left(knows, false),
    ),
    Act::new(
        typed('<'),
        "put the way before left of the line",
        "alternative compare",
        |knows| step_left(knows, true),
    ),
    Act::new(
        plain(Stroke::Enter),
        "take the way that is shown into the job",
        "alternative choose",
        |knows| {
            let way = there(knows)?.get(knows.showing.way?)?;
            Some(Action::Ways(ways::Ask::Take(way.name.clone())))
        },
    ),
];
