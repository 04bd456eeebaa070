//! What can be done by keys about the client.

use super::super::Place;
use super::super::acts::chord::{Stroke, plain};
use super::super::acts::table::to;
use super::super::acts::{Act, Knows, keyless};
use super::super::files;
use super::super::session::Action;
use super::Ask;

/// The rows of the table.
pub(in crate::viewer) const ACTS: &[Act] = &[
    Act::new(
        plain(Stroke::F(7)),
        "look at what the client decides, or go back",
        "finish look answers questions page",
        |knows: &Knows| Some(to(Place::Client, knows)),
    ),
    keyless(
        "make the client's page, beside the job",
        "html show send finish",
        |_| Some(Action::Client(Ask::Page)),
    ),
    keyless(
        "read what the client answered, from a file",
        "client answers page decisions json",
        |_| Some(Action::File(files::Ask::List(files::Want::Answers))),
    ),
    keyless(
        "read what the client answered, from what was copied",
        "client answers paste mail clipboard decisions",
        |_| Some(Action::Client(Ask::Paste)),
    ),
];
