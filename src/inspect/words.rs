//! What kinds of findings and their keys are called in machine answers.

use super::{Key, Kind};

impl Key {
    /// A name that stays the same from run to run, as `opening:B02+N1`.
    #[must_use]
    pub fn id(&self) -> String {
        let kind = self.kind.word();
        match self.parts.join("+").replace(' ', "-") {
            // A quantity of the whole flight belongs to no part.
            parts if parts.is_empty() => kind.to_owned(),
            parts => format!("{kind}:{parts}"),
        }
    }
}

impl Kind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clash => "clash",
            Self::StringerCut => "stringer-cut",
            Self::Opening => "opening",
            Self::Triangle => "triangle",
            Self::RailHeight => "rail-height",
            Self::Landing => "landing",
            Self::WallClearance => "wall-clearance",
            Self::Rise => "rise",
            Self::RiseVariation => "rise-variation",
            Self::RiseAdjacent => "rise-adjacent",
            Self::FlightRise => "flight-rise",
            Self::TreadDepth => "tread-depth",
            Self::TreadVariation => "tread-variation",
            Self::GoingAdjacent => "going-adjacent",
            Self::TwoRisesAndGoing => "two-rises-and-going",
            Self::Pitch => "pitch",
            Self::WinderWalkDepth => "winder-walk-depth",
            Self::WinderLeastDepth => "winder-least-depth",
            Self::WinderVariation => "winder-variation",
            Self::Nosing => "nosing",
            Self::NosingVariation => "nosing-variation",
            Self::TreadSlope => "tread-slope",
            Self::EdgeDistance => "edge-distance",
            Self::RevealDrift => "reveal-drift",
            Self::Lean => "lean",
            Self::BlockReveal => "block-reveal",
            Self::NewelFoot => "newel-foot",
            Self::FastenerCut => "fastener-cut",
            Self::RailReach => "rail-reach",
            Self::RailOpenEnd => "rail-open-end",
            Self::Projection => "projection",
            Self::SeatDeep => "seat-deep",
            Self::SeatShallow => "seat-shallow",
            Self::BoreEdge => "bore-edge",
            Self::PlugCover => "plug-cover",
            Self::PloughMiss => "plough-miss",
            Self::PastEdge => "past-edge",
            Self::RailInWall => "rail-in-wall",
            Self::Knuckle => "knuckle",
            Self::KickSlope => "kick-slope",
            Self::OpenKick => "open-kick",
            Self::Risers => "risers",
            Self::Headroom => "headroom",
            Self::Width => "width",
            Self::NosingShape => "nosing-shape",
            Self::LandingDepth => "landing-depth",
            Self::LandingWidth => "landing-width",
            Self::Grip => "grip",
            Self::Extension => "extension",
            Self::Missing => "missing",
            Self::Load => "load",
            Self::RevealStep => "reveal-step",
            Self::RevealSlope => "reveal-slope",
        }
    }
}
