//! What can be done about files, the tape and the size of the text.

use super::super::acts::chord::{Stroke, plain, typed};
use super::super::acts::{Act, keyless};
use super::super::session::Action;
use super::{Ask, Text, Then, Want};

#[expect(
    clippy::unnecessary_wraps,
    reason = "the table asks what it gives, if anything"
)]
const fn ask(ask: Ask) -> Option<Action> {
    Some(Action::File(ask))
}

/// The rows of the table.
pub(in crate::viewer) const ACTS: &[Act] = &[
    Act::new(
        typed('o').control(),
        "open a job, or begin one",
        "file recent starter new load",
        |_| ask(Ask::List(Want::Open)),
    ),
    Act::new(
        typed('s').control().shift(),
        "save under another name",
        "file copy as",
        |_| ask(Ask::List(Want::SaveAs(None))),
    ),
    keyless("close the window", "quit leave end", |_| {
        ask(Ask::Go(Then::Close))
    }),
    Act::new(
        plain(Stroke::Enter),
        "take up the work that was not saved",
        "recover kept aside",
        |knows| {
            let (place, offer) = knows.files.offer()?;
            let can = offer.broken().is_none() && !knows.hand.lit() && !knows.laying.out;
            can.then_some(Action::File(Ask::TakeUp(place)))
        },
    ),
    Act::new(
        plain(Stroke::Delete),
        "leave the work that was not saved",
        "recover kept aside",
        |knows| {
            knows.files.offer()?;
            ask(Ask::Leave)
        },
    ),
    keyless(
        "take what the file holds now",
        "reload theirs changed disk",
        |knows| {
            knows.files.theirs.as_ref()?;
            ask(Ask::TakeTheirs)
        },
    ),
    keyless(
        "keep my work, whatever the file holds",
        "mine changed disk",
        |knows| {
            knows.files.theirs.as_ref()?;
            ask(Ask::KeepMine)
        },
    ),
    Act::new(
        typed('u'),
        "show lengths on the next tape: 1/16 in, 1/32 in, mm",
        "units inches millimetres metric imperial",
        |_| Some(Action::NextTape),
    ),
    Act::new(
        typed('+').control(),
        "make the text larger",
        "size zoom scale",
        |_| ask(Ask::Text(Text::Larger)),
    ),
    Act {
        name: "make the text larger, by its other key",
        ..Act::new(typed('=').control(), "", "size zoom scale", |_| {
            ask(Ask::Text(Text::Larger))
        })
    },
    Act::new(
        typed('-').control(),
        "make the text smaller",
        "size zoom scale",
        |_| ask(Ask::Text(Text::Smaller)),
    ),
    Act::new(
        typed('0').control(),
        "text of the usual size",
        "size zoom scale",
        |_| ask(Ask::Text(Text::Plain)),
    ),
];
