//! What can be done by keys going up the flight.

use super::super::acts::chord::{Stroke, plain, typed};
use super::super::acts::{Act, Knows};
use super::super::session::Action;
use super::Ask;

/// Gives what is asked, where the strip is open.
fn open(knows: &Knows, ask: Ask) -> Option<Action> {
    knows.climbing.on.then_some(Action::Climb(ask))
}

/// The acts.
pub(in crate::viewer) const CLIMB: &[Act] = &[
    Act::new(
        typed('s'),
        "go up the flight step by step, or stop that",
        "strip chart climb drift build up departure scrub",
        |knows| {
            let flights = knows.solved.as_ref()?.climbs.len();
            (flights > 0).then_some(Action::Climb(Ask::Open(!knows.climbing.on)))
        },
    ),
    Act::new(
        plain(Stroke::PageUp),
        "one step up the flight",
        "climb strip",
        |knows| open(knows, Ask::Up),
    )
    .repeating(),
    Act::new(
        plain(Stroke::PageDown),
        "one step down the flight",
        "climb strip",
        |knows| open(knows, Ask::Down),
    )
    .repeating(),
    Act::new(
        plain(Stroke::PageUp).control(),
        "to the top of the flight",
        "climb strip end last",
        |knows| open(knows, Ask::Top),
    ),
    Act::new(
        plain(Stroke::PageDown).control(),
        "to the foot of the flight",
        "climb strip start first",
        |knows| open(knows, Ask::Foot),
    ),
    Act::new(
        plain(Stroke::PageDown).shift(),
        "the next quantity on the strip",
        "heights rises goings level reveals rail wall",
        |knows| open(knows, Ask::Next { backwards: false }),
    ),
    Act::new(
        plain(Stroke::PageUp).shift(),
        "the quantity before on the strip",
        "heights rises goings level reveals rail wall",
        |knows| open(knows, Ask::Next { backwards: true }),
    ),
    Act {
        key: None,
        ..Act::new(
            typed(' '),
            "draw a bar for what shows on every tread end, or not",
            "reveal bars",
            |knows| {
                let drawn = knows.climbing.draws_bars(&knows.showing);
                Some(Action::Climb(Ask::Bars(!drawn)))
            },
        )
    },
    Act {
        key: None,
        ..Act::new(
            typed(' '),
            "lay a level on every tread and floor, or not",
            "level lines out of level",
            |knows| {
                let drawn = knows.climbing.draws_levels(&knows.showing);
                Some(Action::Climb(Ask::Levels(!drawn)))
            },
        )
    },
];
