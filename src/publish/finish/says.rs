//! A look in plain words, for whoever decides and for whoever cannot see it.

use crate::job::{Finish, Finished, Light, Look};
use crate::publish::{listed, sentence};
use crate::solids::PartKind;

use super::{Stuff, finish_of, usual};

/// A look in one sentence: what is finished how, parts that are finished alike together. Only parts
/// that the stair has are told.
#[must_use]
pub fn look_says(look: &Look, has: &[Finished]) -> String {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for part in has {
        let finish = finish_of(look, *part).cloned();
        let says = finish_says(&finish.unwrap_or_else(|| usual::of(*part)));
        match told.iter_mut().find(|(said, _)| *said == says) {
            Some((_, parts)) => parts.push(part.words()),
            None => told.push((says, vec![part.words()])),
        }
    }
    let mut says: Vec<String> = told
        .iter()
        .map(|(how, parts)| format!("{} {how}", listed(parts)))
        .collect();
    if look.light == Light::Evening {
        says.push("seen by lamps in the evening".to_owned());
    }
    sentence(&says.join("; "))
}

/// The sorts of parts that a stair of these kinds has, in the order in which they are told.
#[must_use]
pub fn sorts(kinds: impl IntoIterator<Item = PartKind>) -> Vec<Finished> {
    let there: Vec<Stuff> = kinds.into_iter().map(Stuff::of_kind).collect();
    let own = |sort: &Finished| {
        // Stringers are the house's own.
        *sort != Finished::Stringers && there.contains(&Stuff::Of(*sort))
    };
    Finished::ALL.into_iter().filter(own).collect()
}

/// A look in its own word and then in [`look_says`].
#[must_use]
pub fn look_words(look: &Look, has: &[Finished]) -> String {
    let says = look_says(look, has);
    if look.note.is_empty() {
        says
    } else {
        format!("{} {says}", sentence(&look.note))
    }
}

fn finish_says(finish: &Finish) -> String {
    match finish {
        Finish::Timber {
            species,
            stain,
            sheen,
        } => {
            let wood = species.as_deref().unwrap_or("timber");
            let stained = if stain.is_some() { "stained" } else { "clear" };
            format!("of {wood}, {stained}, {}", sheen.word())
        }
        Finish::Paint { sheen, .. } => format!("painted, {}", sheen.word()),
        Finish::Metal(metal) => format!("of {}", metal.words()),
    }
}
