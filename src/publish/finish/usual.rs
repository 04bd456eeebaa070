//! The looks of a job that states none, and what a look does not name. Our own choice.

use crate::job::{Colour, Finish, FinishOf, Finished, Light, Look, Sheen};

/// White paint, a little warm.
const WHITE: Colour = Colour([240, 235, 224]);
/// A stain like old chestnut.
const CHESTNUT: Colour = Colour([104, 56, 28]);
/// A stain nearly black.
const EBONY: Colour = Colour([48, 38, 32]);

/// Plaster without paint.
const BARE_PLASTER: Colour = Colour([206, 202, 195]);

const fn timber(stain: Option<Colour>) -> Finish {
    Finish::Timber {
        species: None,
        stain,
        sheen: Sheen::Satin,
    }
}

const fn white() -> Finish {
    Finish::Paint {
        colour: WHITE,
        sheen: Sheen::Satin,
    }
}

/// The finish of what a look does not name.
pub(super) fn of(part: Finished) -> Finish {
    match part {
        Finished::Treads
        | Finished::Newels
        | Finished::Rails
        | Finished::BottomRails
        | Finished::Shoes => timber(None),
        Finished::Kicks
        | Finished::Skirts
        | Finished::Balusters
        | Finished::Panels
        | Finished::HalfWalls => white(),
        Finished::Stringers => Finish::Timber {
            species: Some("white pine".to_owned()),
            stain: None,
            sheen: Sheen::Matt,
        },
    }
}

/// The floor that a look does not name.
pub(super) fn floor() -> Finish {
    Finish::Timber {
        species: Some("white ash".to_owned()),
        stain: Some(Colour([190, 150, 104])),
        sheen: Sheen::Satin,
    }
}

fn look(name: &str, note: &str, finishes: Vec<FinishOf>) -> Look {
    Look {
        name: name.to_owned(),
        note: note.to_owned(),
        finishes,
        wall: None,
        floor: None,
        light: Light::Day,
    }
}

/// What the carpenter finds: raw timber, bare plaster, a floor of boards that is covered later.
#[must_use]
pub fn framing_look() -> Look {
    let raw = Finish::Timber {
        species: Some("white pine".to_owned()),
        stain: None,
        sheen: Sheen::Matt,
    };
    Look {
        wall: Some(BARE_PLASTER),
        floor: Some(raw.clone()),
        ..look(
            "framing",
            "",
            vec![FinishOf {
                of: Finished::ALL.to_vec(),
                is: raw,
            }],
        )
    }
}

/// Three looks of a stair of which the job states none.
#[must_use]
pub fn usual_looks() -> Vec<Look> {
    let of = |of: &[Finished], is: Finish| FinishOf {
        of: of.to_vec(),
        is,
    };
    vec![
        look(
            "clear timber and white",
            "What is walked on and held is timber under a clear finish; the rest is painted.",
            Vec::new(),
        ),
        look(
            "chestnut and white",
            "Treads stay light; newels and rails are stained.",
            vec![of(
                &[
                    Finished::Newels,
                    Finished::Rails,
                    Finished::BottomRails,
                    Finished::Shoes,
                ],
                timber(Some(CHESTNUT)),
            )],
        ),
        look(
            "all dark timber",
            "Every part of the stair is stained dark, kicks and balusters too.",
            vec![of(
                &Finished::ALL[..Finished::ALL.len() - 1],
                timber(Some(EBONY)),
            )],
        ),
    ]
}
