//! Rule packs: limits as data, each with its clause and edition.
//!
//! In: the name of a pack, as a job's `design.rules` gives it. Out: a [`Pack`] of [`Rule`]s, each
//! a limit on one [`Quantity`] that the inspection reports. The packs are embedded from
//! `assets/rules/`. A job's local text amends one with its own citations ([`Pack::amended`]).
//! Does not: know geometry, or judge anything but a single number ([`Sense::holds`]).

mod amend;
pub mod as_built;
mod pack;
mod quantity;
mod shown;

use std::sync::{Arc, LazyLock};

pub use pack::{Dropped, GripSizes, Limit, Pack, Recess, Rule, Sense};
pub use quantity::Quantity;

/// Why there is no such pack.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RuleError {
    /// Nobody knows a pack of this name.
    #[error(
        "there is no rule pack {name:?}; did you mean {nearest:?}? The packs are: {}",
        known.join(", ")
    )]
    Unknown {
        /// The name asked for.
        name: String,
        /// The known name most like it.
        nearest: String,
        /// Every known name.
        known: Vec<String>,
    },
    /// The pack's own text is wrong.
    #[error("the rule pack {pack:?} cannot be used: {problem}")]
    Faulty {
        /// The pack.
        pack: String,
        /// What is wrong with it.
        problem: String,
    },
    /// A job's local amendment cannot be.
    #[error("{problem}; {help}")]
    Amendment {
        /// The field at fault, under `design.local`.
        field: String,
        /// What is wrong.
        problem: String,
        /// What would do.
        help: String,
    },
}

/// Name and text of every pack that ships with the program, in the order in which they are listed.
const SHIPPED: [(&str, &str); 10] = [
    (
        "us-residential-2021",
        include_str!("../../assets/rules/us-residential-2021.ron"),
    ),
    (
        "us-residential-2024",
        include_str!("../../assets/rules/us-residential-2024.ron"),
    ),
    (
        "us-commercial-2021",
        include_str!("../../assets/rules/us-commercial-2021.ron"),
    ),
    (
        "us-accessible-2010",
        include_str!("../../assets/rules/us-accessible-2010.ron"),
    ),
    (
        "uk-private-2013",
        include_str!("../../assets/rules/uk-private-2013.ron"),
    ),
    (
        "uk-common-2013",
        include_str!("../../assets/rules/uk-common-2013.ron"),
    ),
    (
        "canada-housing-2020",
        include_str!("../../assets/rules/canada-housing-2020.ron"),
    ),
    (
        "australia-housing-2022",
        include_str!("../../assets/rules/australia-housing-2022.ron"),
    ),
    (
        "australia-public-2022",
        include_str!("../../assets/rules/australia-public-2022.ron"),
    ),
    (
        "germany-dwelling-2020",
        include_str!("../../assets/rules/germany-dwelling-2020.ron"),
    ),
];

static SHELF: LazyLock<Result<Vec<Arc<Pack>>, RuleError>> = LazyLock::new(|| {
    SHIPPED
        .iter()
        .map(|(name, text)| Pack::read(name, text).map(Arc::new))
        .collect()
});

/// The names of the packs that ship with the program.
#[must_use]
pub fn names() -> Vec<&'static str> {
    SHIPPED.iter().map(|(name, _)| *name).collect()
}

/// The pack of this name.
///
/// # Errors
/// [`RuleError::Unknown`] lists the known names and the nearest of them.
pub fn pack(name: &str) -> Result<Arc<Pack>, RuleError> {
    let shelf = SHELF.as_ref().map_err(Clone::clone)?;
    shelf
        .iter()
        .find(|pack| pack.name == name)
        .cloned()
        .ok_or_else(|| unknown(name))
}

fn unknown(name: &str) -> RuleError {
    let likeness = |known: &&str| strsim::normalized_damerau_levenshtein(known, name);
    let nearest = names()
        .into_iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)))
        .unwrap_or_default();
    RuleError::Unknown {
        name: name.to_owned(),
        nearest: nearest.to_owned(),
        known: names().into_iter().map(str::to_owned).collect(),
    }
}
