//! Which entity of the standard each sort of part is.
//!
//! In: a part. Out: its entity, the standard's word for its sort, and the set that its quantities go
//! into. Enumerations are those of ISO 16739-1:2018; where they have no word for a sort it is
//! `USERDEFINED`, and the trade's word says the rest.

use crate::shop::parts::PartLine;
use crate::solids::PartKind;

/// What a part is in the standard's words.
#[derive(Clone, Copy, Debug)]
pub(super) struct Product {
    /// Its entity.
    pub(super) entity: &'static str,
    /// The word of its enumeration.
    pub(super) predefined: &'static str,
    /// Where its quantities go, and whether its length has a place there.
    pub(super) quantities: (&'static str, bool),
}

const MEMBER: (&str, bool) = ("Qto_MemberBaseQuantities", true);
const PLATE: (&str, bool) = ("Qto_PlateBaseQuantities", false);
const WALL: (&str, bool) = ("Qto_WallBaseQuantities", false);
const SLAB: (&str, bool) = ("Qto_SlabBaseQuantities", false);
/// The standard has no volume for coverings and none at all for accessories: a set of our own.
const OURS: (&str, bool) = ("Rakewell_Quantities", true);

/// What a part is.
pub(super) fn product(part: &PartLine) -> Product {
    let (entity, predefined, quantities) = match part.kind {
        PartKind::Floor => ("IFCSLAB", "FLOOR", SLAB),
        PartKind::Wall => ("IFCWALL", "NOTDEFINED", WALL),
        PartKind::HalfWall if !part.string => ("IFCWALL", "PARAPET", WALL),
        PartKind::Stringer | PartKind::HalfWall => ("IFCMEMBER", "STRINGER", MEMBER),
        PartKind::Skirt => ("IFCCOVERING", "SKIRTINGBOARD", OURS),
        PartKind::Tread | PartKind::Kick => ("IFCPLATE", "USERDEFINED", PLATE),
        PartKind::Panel => ("IFCPLATE", "SHEET", PLATE),
        PartKind::Newel => ("IFCMEMBER", "POST", MEMBER),
        PartKind::Rail | PartKind::BottomRail | PartKind::Baluster | PartKind::Shoe => {
            ("IFCMEMBER", "USERDEFINED", MEMBER)
        }
        PartKind::Rosette => ("IFCDISCRETEACCESSORY", "USERDEFINED", OURS),
    };
    Product {
        entity,
        predefined,
        quantities,
    }
}
