//! What timbers look like: a colour each, and how much its grain shows.
//!
//! Planed and under a clear finish, in daylight. Our own estimates, from memory; no source: boards of
//! one tree differ by more.

use super::species::same;

/// How a timber looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timber {
    /// Its name, as the table of shrinkage has it where that has it.
    pub name: &'static str,
    /// Its colour, sRGB.
    pub colour: [u8; 3],
    /// How much its grain shows, 0 to 1.
    pub grain: f32,
}

const fn looks(name: &'static str, colour: [u8; 3], grain: f32) -> Timber {
    Timber {
        name,
        colour,
        grain,
    }
}

/// The timbers that a finish may name.
pub const TIMBERS: [Timber; 28] = [
    looks("white oak", [190, 153, 107], 1.0),
    looks("red oak", [196, 143, 103], 1.0),
    looks("sugar maple", [219, 187, 146], 0.35),
    looks("red maple", [208, 172, 131], 0.4),
    looks("black cherry", [170, 100, 62], 0.55),
    looks("black walnut", [96, 66, 46], 0.75),
    looks("white ash", [212, 184, 146], 0.95),
    looks("American beech", [206, 163, 122], 0.35),
    looks("yellow birch", [214, 179, 134], 0.4),
    looks("paper birch", [220, 191, 151], 0.35),
    looks("red alder", [196, 142, 100], 0.35),
    looks("basswood", [222, 199, 163], 0.2),
    looks("American elm", [184, 146, 106], 0.9),
    looks("sweetgum", [178, 128, 94], 0.4),
    looks("pecan hickory", [193, 150, 107], 0.8),
    looks("American sycamore", [199, 155, 119], 0.6),
    looks("yellow-poplar", [198, 181, 130], 0.35),
    looks("Douglas-fir", [202, 144, 98], 0.9),
    looks("white fir", [222, 197, 155], 0.6),
    looks("western redcedar", [158, 96, 66], 0.7),
    looks("Port-Orford cedar", [219, 190, 144], 0.5),
    looks("chestnut", [181, 142, 100], 0.9),
    looks("butternut", [186, 150, 110], 0.7),
    looks("white pine", [224, 193, 143], 0.6),
    looks("southern pine", [216, 170, 110], 0.9),
    looks("mahogany", [138, 73, 45], 0.5),
    looks("sapele", [132, 70, 46], 0.6),
    looks("iroko", [156, 106, 58], 0.6),
];

/// The timber of this name, whatever its capitals and hyphens.
#[must_use]
pub fn timber(name: &str) -> Option<&'static Timber> {
    TIMBERS.iter().find(|one| same(one.name, name))
}

#[cfg(test)]
mod tests {
    use super::super::species::SPECIES;
    use super::*;

    #[test]
    fn every_wood_whose_shrinkage_is_known_has_a_look() {
        for one in SPECIES {
            assert!(timber(one.name).is_some(), "{}", one.name);
        }
        assert_eq!(timber("White-Oak").map(|one| one.name), Some("white oak"));
        assert!(timber("oak").is_none());
    }
}
