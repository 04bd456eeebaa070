//! The shapes of a job file: what is left on a piece before it is cut, and how boards and strips are
//! fastened. Every default is common practice, without a source.
//!
//! What makes a guard safe (a newel's base, a rail at a newel or wall, the ends of balusters) is not
//! here: that is an anchor, which has no default and is stated with its source.

use serde::{Deserialize, Serialize};

use crate::measure::Length;

use super::fixing::Plug;
use super::schema::Len;

/// What a rough piece is longer than the finished one, both ends together. Treads and kicks have
/// theirs in `boards.blank`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Cutting {
    /// Rails, shoes and whatever else runs along the slope; absent: 2 in.
    pub rail: Option<Len>,
    /// Newels; absent: 1 in.
    pub newel: Option<Len>,
    /// Balusters; absent: 1/2 in.
    pub baluster: Option<Len>,
    /// Skirts and scribe strips; absent: 3 in.
    pub skirt: Option<Len>,
    /// Return nosings, fillets, blocks and other short pieces; absent: 1/2 in.
    pub small: Option<Len>,
}

/// What a rough piece is longer by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoughOf {
    /// A rail, shoe or cap.
    Rail,
    /// A newel.
    Newel,
    /// A baluster.
    Baluster,
    /// A skirt or scribe strip.
    Skirt,
    /// A short piece.
    Small,
}

impl Cutting {
    /// What a rough piece is longer by: as stated, or as is usual.
    #[must_use]
    pub fn over(&self, of: RoughOf) -> Length {
        let (stated, usual) = match of {
            RoughOf::Rail => (&self.rail, 2.0),
            RoughOf::Newel => (&self.newel, 1.0),
            RoughOf::Baluster => (&self.baluster, 0.5),
            RoughOf::Skirt => (&self.skirt, 3.0),
            RoughOf::Small => (&self.small, 0.5),
        };
        stated
            .as_ref()
            .map_or(Length::inches(usual), |stated| stated.value)
    }

    /// What the job states, by its field.
    #[must_use]
    pub const fn stated(&self) -> [(&'static str, Option<&Len>); 5] {
        [
            ("rail", self.rail.as_ref()),
            ("newel", self.newel.as_ref()),
            ("baluster", self.baluster.as_ref()),
            ("skirt", self.skirt.as_ref()),
            ("small", self.small.as_ref()),
        ]
    }
}

/// A joint that is fastened as is usual, unless the job says how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fastened {
    /// A tread down into a stringer.
    TreadToStringer,
    /// A kick against a stringer.
    KickToStringer,
    /// A kick into the back edge of the tread before it.
    KickToTread,
    /// The skirt on the open side against its stringer.
    OpenSkirt,
    /// The skirt on the wall side through the plaster.
    WallSkirt,
    /// A return nosing on the end of its tread.
    ReturnNosing,
    /// A shoe on its cap, wall or string.
    Shoe,
    /// A cap on its half wall.
    BaseCap,
    /// A fillet in a plough.
    Fillet,
    /// A scribe strip on a skirt's cap.
    ScribeStrip,
    /// Two pieces of one rail, end to end.
    RailJoint,
}

impl Fastened {
    /// Every one of them, in the order of the work.
    pub const ALL: [Self; 11] = [
        Self::TreadToStringer,
        Self::KickToStringer,
        Self::KickToTread,
        Self::OpenSkirt,
        Self::WallSkirt,
        Self::ReturnNosing,
        Self::Shoe,
        Self::BaseCap,
        Self::Fillet,
        Self::ScribeStrip,
        Self::RailJoint,
    ];

    /// The field of `fastening` that states it.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::TreadToStringer => "tread_to_stringer",
            Self::KickToStringer => "kick_to_stringer",
            Self::KickToTread => "kick_to_tread",
            Self::OpenSkirt => "open_skirt",
            Self::WallSkirt => "wall_skirt",
            Self::ReturnNosing => "return_nosing",
            Self::Shoe => "shoe",
            Self::BaseCap => "base_cap",
            Self::Fillet => "fillet",
            Self::ScribeStrip => "scribe_strip",
            Self::RailJoint => "rail_joint",
        }
    }
}

/// Screws, brads or a bolt of one joint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Driven {
    /// Diameter of the shank.
    pub diameter: Len,
    /// Its length.
    pub length: Len,
    /// The bore in the piece that is held; absent: the shank and 1/64 in.
    #[serde(default)]
    pub clear: Option<Len>,
    /// The pilot in what holds it; absent: three quarters of the shank.
    #[serde(default)]
    pub pilot: Option<Len>,
    /// The wider bore for a plug.
    #[serde(default)]
    pub plug: Option<Plug>,
    /// How many in each joint; in a joint that runs on, the least.
    #[serde(default)]
    pub number: Option<u32>,
    /// In a joint that runs on, from one to the next at most.
    #[serde(default)]
    pub every: Option<Len>,
}

/// How boards and strips are fastened, joint by joint; what is absent is as is usual.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Fastening {
    /// A tread down into a stringer; absent: two 2 1/2 in screws of 0.164 in (No. 8), plugged 3/8 in.
    pub tread_to_stringer: Option<Driven>,
    /// A kick against a stringer; absent: two 2 in screws of 0.164 in, plugged 3/8 in.
    pub kick_to_stringer: Option<Driven>,
    /// A kick into the back of the tread before it; absent: 1 3/4 in screws of 0.164 in every 8 in.
    pub kick_to_tread: Option<Driven>,
    /// The skirt on the open side against its stringer; absent: 1 5/8 in screws of 0.138 in (No. 6)
    /// every 16 in, plugged 3/8 in.
    pub open_skirt: Option<Driven>,
    /// The skirt on the wall side; absent: 2 1/2 in screws of 0.138 in every 16 in, plugged 3/8 in.
    pub wall_skirt: Option<Driven>,
    /// A return nosing; absent: two brads of 0.065 in, 2 in long, and glue on the mitre only.
    pub return_nosing: Option<Driven>,
    /// A shoe; absent: 2 in screws of 0.164 in every 12 in in its plough, under the fillets.
    pub shoe: Option<Driven>,
    /// A cap; absent: 2 in screws of 0.164 in every 16 in, under the shoe.
    pub base_cap: Option<Driven>,
    /// A fillet; absent: two brads of 0.05 in, 5/8 in long.
    pub fillet: Option<Driven>,
    /// A scribe strip; absent: brads of 0.05 in, 1 1/4 in long, every 8 in.
    pub scribe_strip: Option<Driven>,
    /// Two pieces of one rail; absent: one rail bolt of 5/16 in, 3 1/2 in long, with a 1 in plug 1 1/2
    /// in deep over its nut.
    pub rail_joint: Option<Driven>,
}

impl Fastening {
    /// What the job states.
    #[must_use]
    pub const fn stated(&self, joint: Fastened) -> Option<&Driven> {
        match joint {
            Fastened::TreadToStringer => self.tread_to_stringer.as_ref(),
            Fastened::KickToStringer => self.kick_to_stringer.as_ref(),
            Fastened::KickToTread => self.kick_to_tread.as_ref(),
            Fastened::OpenSkirt => self.open_skirt.as_ref(),
            Fastened::WallSkirt => self.wall_skirt.as_ref(),
            Fastened::ReturnNosing => self.return_nosing.as_ref(),
            Fastened::Shoe => self.shoe.as_ref(),
            Fastened::BaseCap => self.base_cap.as_ref(),
            Fastened::Fillet => self.fillet.as_ref(),
            Fastened::ScribeStrip => self.scribe_strip.as_ref(),
            Fastened::RailJoint => self.rail_joint.as_ref(),
        }
    }
}
