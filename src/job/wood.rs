//! The shapes of a job file: what the parts are made of, how that is sawn, and how damp and how dry
//! it gets. Field names are the file's words.

use serde::{Deserialize, Serialize};

use super::species::{same, species};

/// The wood, and the moisture contents between which it moves: per cent of its dry weight.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wood {
    /// The species of all parts.
    pub species: String,
    /// How all parts are sawn.
    #[serde(default)]
    pub sawn: Sawn,
    /// Parts of another wood, or sawn otherwise.
    #[serde(default)]
    pub but: Vec<WoodOf>,
    /// Woods that the program has no coefficients for.
    #[serde(default)]
    pub own: Vec<OwnSpecies>,
    /// Moisture content of the parts as they are fitted.
    pub fitted: f64,
    /// The driest that they get: heated rooms at the end of winter.
    pub driest: f64,
    /// The wettest that they get: summer.
    pub wettest: f64,
    /// Which edge of a tread is held.
    #[serde(default)]
    pub treads_held: Held,
}

/// The wood of some parts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WoodOf {
    /// Which parts.
    pub of: PartGroup,
    /// Their species; that of all if not given.
    #[serde(default)]
    pub species: Option<String>,
    /// How they are sawn; as all if not given.
    #[serde(default)]
    pub sawn: Option<Sawn>,
}

/// Parts of one wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PartGroup {
    /// The rail, and the handrail on the wall side.
    Rail,
    /// Newels and half newels.
    Newels,
    /// Balusters, and panels of board.
    Balusters,
    /// Treads and their return nosings.
    Treads,
    /// Kicks.
    Kicks,
    /// Skirts.
    Skirts,
    /// The bottom rail.
    BottomRail,
}

impl PartGroup {
    /// What they are called in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rail => "rail",
            Self::Newels => "newels",
            Self::Balusters => "balusters",
            Self::Treads => "treads",
            Self::Kicks => "kicks",
            Self::Skirts => "skirts",
            Self::BottomRail => "bottom rail",
        }
    }
}

/// How a part is sawn: which way the growth rings run in its first dimension, and so which of the
/// two coefficients that takes; its second dimension takes the other one.
///
/// The first dimension is the wide face of a board (a tread's depth, a kick's height, a skirt's
/// width, a rail's width), and of an upright part the side up the flight, beside the gaps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sawn {
    /// The rings run along the first dimension: it takes the tangential coefficient, the greater.
    #[default]
    Flat,
    /// The rings stand square to the first dimension: it takes the radial one.
    Quartered,
    /// The rings run askew: both dimensions take the mean of the two (our own choice).
    Between,
}

/// Which edge of a tread is held; it moves at the other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Held {
    /// Over the face of its own kick, by blocks or screws there: its back edge moves, and a gap
    /// opens at the kick behind.
    #[default]
    Front,
    /// The back edge, by the kick behind, which is screwed to it: the nosing moves.
    Back,
}

/// A wood with coefficients from elsewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnSpecies {
    /// Its name, as `species` says it.
    pub name: String,
    /// Its change square to the growth rings per cent of moisture content, as a share of its size.
    pub radial: f64,
    /// The same share along the growth rings.
    pub tangential: f64,
    /// Where these were read.
    pub source: String,
}

/// The coefficients of a part: of its first dimension and of its second, as a share of its size per
/// one per cent of moisture content.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficients {
    /// Of its first dimension.
    pub first: f64,
    /// Of its second dimension.
    pub second: f64,
}

impl Wood {
    /// The species and the sawing of some parts, as the job says.
    #[must_use]
    pub fn of(&self, group: PartGroup) -> (&str, Sawn) {
        let but = self.but.iter().find(|but| but.of == group);
        let name = but.and_then(|but| but.species.as_deref());
        (
            name.unwrap_or(&self.species),
            but.and_then(|but| but.sawn).unwrap_or(self.sawn),
        )
    }

    /// A species' radial and tangential coefficients, as [`OwnSpecies::radial`] has them; `None` for
    /// a name that nobody knows.
    #[must_use]
    pub fn known(&self, name: &str) -> Option<(f64, f64)> {
        let own = self.own.iter().find(|own| same(&own.name, name));
        own.map(|own| (own.radial, own.tangential))
            .or_else(|| species(name).map(|known| (known.radial, known.tangential)))
    }

    /// The coefficients of some parts; `None` where their species is not known.
    #[must_use]
    pub fn coefficients(&self, group: PartGroup) -> Option<Coefficients> {
        let (name, sawn) = self.of(group);
        let (radial, tangential) = self.known(name)?;
        let (first, second) = match sawn {
            Sawn::Flat => (tangential, radial),
            Sawn::Quartered => (radial, tangential),
            Sawn::Between => {
                let mean = f64::midpoint(radial, tangential);
                (mean, mean)
            }
        };
        Some(Coefficients { first, second })
    }
}
