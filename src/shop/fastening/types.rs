//! What the fastening schedule gives: plain data.

use crate::job::{AnchorAt, Fastened};
use crate::measure::{Force, Length};

/// How every joint of a stair is held.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Schedule {
    /// Joints that are held alike, in one line each: what makes the guard safe first.
    pub lines: Vec<JointLine>,
}

/// Joints that are held alike.
#[derive(Clone, Debug, PartialEq)]
pub struct JointLine {
    /// The run, by its number.
    pub run: usize,
    /// What kind of joint.
    pub kind: JointKind,
    /// The joints: what is held, and what holds it; `None` where nothing is told of that could.
    pub joints: Vec<(String, Option<String>)>,
    /// How they are held.
    pub held_by: HeldBy,
    /// The bores for it, or for the pegs and seats of balusters, with what they leave.
    pub bores: Vec<BoreLeft>,
    /// What will not do.
    pub faults: Vec<JointFault>,
}

/// A kind of joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum JointKind {
    /// One that makes the guard safe: it has no default.
    Anchor(AnchorAt),
    /// A screw or bolt that the job tells of.
    Fixing,
    /// One that is fastened as is usual, unless the job says how.
    Usual(Fastened),
}

/// How a joint is held.
#[derive(Clone, Debug, PartialEq)]
pub enum HeldBy {
    /// As somebody states who answers for it.
    Anchors(Vec<AnchorTold>),
    /// Nobody states it: it is not shown.
    NotShown,
    /// By screws, brads or a bolt.
    Driven(DrivenSet),
    /// By the bore that the job tells of.
    Bored,
}

/// An anchor detail as the job states it.
#[derive(Clone, Debug, PartialEq)]
pub struct AnchorTold {
    /// The detail, in words.
    pub detail: String,
    /// Who states it.
    pub source: String,
    /// What it carries, as the source states.
    pub carries: Force,
    /// The same as it was typed.
    pub as_typed: String,
    /// True where the job says that it is drawn for this joint, false where it is stated for the
    /// railing as a whole.
    pub for_this: bool,
}

/// What is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DrivenKind {
    /// A wood screw.
    Screw,
    /// A brad, without a pilot.
    Brad,
    /// A rail bolt, half in each piece.
    RailBolt,
}

/// Screws, brads or bolts of a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct DrivenSet {
    /// What it is.
    pub what: DrivenKind,
    /// Diameter of its shank.
    pub diameter: Length,
    /// Its length.
    pub length: Length,
    /// The bore in what is held.
    pub clear: Option<Length>,
    /// The pilot in what holds it.
    pub pilot: Option<Length>,
    /// The wider bore for a plug: diameter and depth.
    pub plug: Option<(Length, Length)>,
    /// How many in the first of the joints.
    pub each: u32,
    /// How many in all of them.
    pub total: u32,
    /// From one to the next at most, where the joint runs on.
    pub every: Option<Length>,
    /// True where it is as is usual, false where the job says so.
    pub usual: bool,
    /// The wood that it goes through, under its head.
    pub through: Length,
    /// What of it is in the wood behind.
    pub bite: Length,
    /// The wood behind, along it, the least of all the joints; `None` where nothing tells.
    pub room: Option<Length>,
}

/// A bore and what it leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreLeft {
    /// The part that it is in.
    pub part: String,
    /// The fixing's name, where it is one that the job tells of; else empty.
    pub name: String,
    /// How many.
    pub number: u32,
    /// Diameter, or the size up the flight of what goes in.
    pub diameter: Length,
    /// Depth from the face.
    pub deep: Length,
    /// What it leaves of the wood there; negative where it comes out.
    pub left: Length,
}

/// What will not do about a joint, with what would.
#[derive(Clone, Debug, PartialEq)]
pub enum JointFault {
    /// Nothing is behind to hold it; a part may stand so far off.
    NothingBehind {
        /// The nearest part.
        nearest: Option<(String, Length)>,
    },
    /// What is behind a wall's face is not told.
    Unseen {
        /// The wall.
        wall: String,
    },
    /// It comes out on the far side, or nearly.
    TooLong {
        /// Past the far side by so much; negative: short of it by too little.
        past: Length,
        /// What would do at most; `None` where nothing does.
        at_most: Option<Length>,
    },
    /// Too little of it is in the wood behind.
    TooShort {
        /// What is.
        bite: Length,
        /// What would do at least.
        at_least: Length,
    },
    /// Its plug is wider than the piece takes.
    PlugTooWide {
        /// The piece's own size there.
        piece: Length,
        /// What would do at most; `None` where nothing does.
        at_most: Option<Length>,
    },
    /// Its plug leaves no wood under the head.
    PlugTooDeep {
        /// The piece's thickness.
        piece: Length,
        /// What would do at most; `None` where nothing does.
        at_most: Option<Length>,
    },
    /// A bore comes out of its part.
    Through {
        /// By so much.
        by: Length,
        /// What would do at most.
        at_most: Length,
    },
}

/// Plugs to cut for one part.
#[derive(Clone, Debug, PartialEq)]
pub struct PlugSet {
    /// The part that they go into.
    pub part: String,
    /// Their diameter.
    pub diameter: Length,
    /// Their depth.
    pub depth: Length,
    /// How many.
    pub number: u32,
}
