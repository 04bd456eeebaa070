//! What can be done by keys with the site sheets.

use super::super::Place;
use super::super::acts::chord::{Stroke, plain, typed};
use super::super::acts::{Act, Knows};
use super::super::session::Action;
use super::Ask;

/// What is asked where the sheets are looked at.
fn there(knows: &Knows, ask: Ask) -> Option<Action> {
    (knows.showing.place == Place::Sheets).then_some(Action::Sheets(ask))
}

/// The keys of the sheets.
pub(in crate::viewer) const ACTS: &[Act] = &[
    Act::new(
        plain(Stroke::PageDown),
        "show the next sheet",
        "page print paper",
        |knows| there(knows, Ask::Step { backwards: false }),
    )
    .repeating(),
    Act::new(
        plain(Stroke::PageUp),
        "show the sheet before",
        "page print paper",
        |knows| there(knows, Ask::Step { backwards: true }),
    )
    .repeating(),
    Act::new(
        typed('='),
        "read the sheet close, or see it whole",
        "page large zoom",
        |knows| there(knows, Ask::Near(!knows.sheets.near)),
    ),
    Act::new(
        plain(Stroke::Enter),
        "write the sheets into a folder beside the job",
        "print pdf csv export folder",
        |knows| there(knows, Ask::Write),
    ),
];
