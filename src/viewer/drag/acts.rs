//! What keys do with the grips.

use super::super::Place;
use super::super::acts::chord::{Stroke, plain, typed};
use super::super::acts::{Act, Knows};
use super::super::panels::nudge;
use super::super::session::Action;
use super::{Ask, leapt as leapt_by, nudged};

/// While something is held, before all else.
pub(in crate::viewer) const HELD: &[Act] = &[Act::new(
    plain(Stroke::Escape),
    "take back what is held",
    "drag pull as it was",
    |knows| knows.hand.holds().then_some(Action::Try(None)),
)];

fn moved(knows: &Knows, marks: f64) -> Option<Action> {
    // What is shown in the ways need not be the job as it stands, so nothing is moved there.
    if knows.showing.place == Place::Ways {
        return None;
    }
    let document = &knows.session.document;
    let hand = nudged(&knows.hand, document, marks, !knows.work.stale());
    hand.or_else(|| {
        let none = knows.hand.handles().is_empty();
        none.then(|| nudge(document, knows.showing.picked.as_ref(), marks))?
    })
}

fn leapt(knows: &Knows, up: bool) -> Option<Action> {
    leapt_by(&knows.hand, &knows.session.document, up)
}

/// Moving what is picked by keys.
pub(in crate::viewer) const HAND: &[Act] = &[
    Act::new(
        typed('.'),
        "move what is picked by a mark: up, higher, more",
        "nudge step newel rail baluster",
        |knows| moved(knows, 1.0),
    )
    .repeating(),
    Act::new(
        typed(','),
        "move what is picked by a mark: down, lower, fewer",
        "nudge step newel rail baluster",
        |knows| moved(knows, -1.0),
    )
    .repeating(),
    Act::new(
        typed('>'),
        "move what is picked on to the next stop",
        "snap gap kick quarter newel rail",
        |knows| leapt(knows, true),
    )
    .repeating(),
    Act::new(
        typed('<'),
        "move what is picked back to the stop before",
        "snap gap kick quarter newel rail",
        |knows| leapt(knows, false),
    )
    .repeating(),
    Act::new(
        typed('h'),
        "go to the next grip of what is picked",
        "hand drag move hold",
        |knows| {
            let some = !knows.hand.handles().is_empty();
            some.then_some(Action::Hand(Ask::Next))
        },
    ),
    Act::new(
        plain(Stroke::Enter),
        "type where the grip is to stand",
        "exact value length",
        |knows| knows.hand.lit().then_some(Action::Hand(Ask::Type)),
    ),
    Act::new(
        plain(Stroke::Escape),
        "let go of the grip",
        "back hand",
        |knows| {
            let past = Ask::Light(usize::MAX);
            knows.hand.lit().then_some(Action::Hand(past))
        },
    ),
];
