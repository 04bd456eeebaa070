//! The readings: what was measured, where, with what. `is` is the value read.
//!
//! Every reading can say the surface it was read on, the side, the instrument, an uncertainty of
//! its own, the time, and a remark; all of these are kept as they are.

use serde::{Deserialize, Serialize};

use super::instruments::Ang;
use super::{Len, Side, Surface};

/// Makes an enum whose every variant has the same further fields, and a way to read them.
///
/// It takes one variant at a time (`@each`), so that the variant's own fields and the common ones
/// can stand side by side.
macro_rules! readings {
    (
        $(#[$meta:meta])*
        pub enum $name:ident { $($variants:tt)* }
        with { $($common:tt)* }
    ) => {
        readings!(@each [$(#[$meta])*] $name { $($common)* } [] [] $($variants)*);
    };
    (
        @each $meta:tt $name:ident
        { $($(#[$common_meta:meta])* $common:ident: $common_kind:ty,)* }
        [$($done:tt)*] [$($names:ident)*]
        $(#[$doc:meta])* $variant:ident { $($(#[$field_meta:meta])* $field:ident: $kind:ty,)* }
        $($rest:tt)*
    ) => {
        readings!(@each $meta $name
            { $($(#[$common_meta])* $common: $common_kind,)* }
            [$($done)* $(#[$doc])* $variant {
                $($(#[$field_meta])* $field: $kind,)*
                $($(#[$common_meta])* #[serde(default)] $common: $common_kind,)*
            },]
            [$($names)* $variant]
            $($rest)*);
    };
    (
        @each [$(#[$meta:meta])*] $name:ident
        { $($(#[$common_meta:meta])* $common:ident: $common_kind:ty,)* }
        [$($done:tt)*] $names:tt
    ) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub enum $name { $($done)* }

        impl $name {
            readings!(@kinds $names);
            $(readings!(@getter $names $(#[$common_meta])* $common: $common_kind);)*
        }
    };
    (@kinds [$($variant:ident)*]) => {
        /// The names of the kinds, as the file writes them.
        pub const KINDS: &'static [&'static str] = &[$(stringify!($variant)),*];

        /// The name of its kind, as the file writes it.
        #[must_use]
        pub const fn kind(&self) -> &'static str {
            match self {
                $(Self::$variant { .. } => stringify!($variant),)*
            }
        }
    };
    (@getter [$($variant:ident)*] $(#[$meta:meta])* $common:ident: $kind:ty) => {
        $(#[$meta])*
        #[must_use]
        pub const fn $common(&self) -> &$kind {
            match self {
                $(Self::$variant { $common, .. } => $common,)*
            }
        }
    };
}

pub(super) use readings;

/// Where across the flight a reading was taken.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Across {
    /// On the baluster line.
    #[default]
    Line,
    /// At the open end of the treads.
    Open,
    /// At the wall end of the treads.
    Wall,
    /// On the cut of a stringer, by its name.
    Stringer(String),
}

/// An edge of a tread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum TreadEdge {
    /// The nosing.
    Front,
    /// The edge at the next kick.
    Back,
}

/// A corner at a nosing: the end of the nosing of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NosingEnd {
    /// The step.
    pub step: u32,
    /// The end of its nosing.
    pub end: Side,
}

readings! {
    /// One reading of the steps.
    pub enum StepReading {
        /// The rise up to tread `step` from the tread or floor below it.
        Rise {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// The going of tread `step`: its kick's face to the next kick's face.
        Going {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// The length of tread `step`, open end to wall end.
        Width {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// The nosing of tread `step` beyond its kick's face.
        Overhang {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// The thickness of tread `step`.
        TreadThickness {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// The thickness of kick `step`.
        KickThickness {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// How far tread `step` is out of level from side to side, over its length.
        Level {
            /// Step number.
            step: u32,
            /// How much one end stands above the other.
            is: Len,
            /// The end that stands higher.
            high: Side,
        }
        /// How far tread `step` is out of level from front to back, over its depth.
        Fall {
            /// Step number.
            step: u32,
            /// How much one edge stands below the other.
            is: Len,
            /// The edge that stands lower.
            low: TreadEdge,
        }
        /// From the baluster line (a string at y = 0) out to the open end of tread `step`.
        Edge {
            /// Step number.
            step: u32,
            /// The reading.
            is: Len,
        }
        /// How far tread `step` stands above another one, or above the lower floor (0).
        Height {
            /// Step number.
            step: u32,
            /// The step that it is read from; 0 is the lower floor.
            above: u32,
            /// The reading.
            is: Len,
        }
        /// How far tread `step` lies under a level laser line; negative above it.
        Under {
            /// Step number; 0 is the lower floor.
            step: u32,
            /// The laser line.
            line: String,
            /// The reading.
            is: Len,
        }
        /// The level distance from the face of one kick to the face of kick `step`.
        Run {
            /// Step number.
            step: u32,
            /// The kick that it is read from.
            beyond: u32,
            /// The reading.
            is: Len,
        }
        /// How far the face of kick `step` stands past a plumb laser line across the flight, going
        /// up; negative short of it.
        Past {
            /// Step number.
            step: u32,
            /// The laser line.
            line: String,
            /// The reading.
            is: Len,
        }
        /// Lower floor to upper floor.
        TotalRise {
            /// The reading.
            is: Len,
        }
        /// The face of the first kick to the face of the last one, level.
        TotalRun {
            /// The reading.
            is: Len,
        }
        /// The pitch of a level laid on the nosings of two steps.
        Pitch {
            /// The lower step.
            from: u32,
            /// The upper step.
            to: u32,
            /// The angle above level.
            is: Ang,
        }
        /// The straight distance from one end of a nosing to an end of another.
        Diagonal {
            /// Where the tape is hooked.
            from: NosingEnd,
            /// Where it is read.
            to: NosingEnd,
            /// The reading.
            is: Len,
        }
    }
    with {
        /// The surface it was read on.
        on: Surface,
        /// Where across the flight it was read.
        side: Across,
        /// The instrument, by its name in the job.
        by: Option<String>,
        /// The standard uncertainty of this reading, where it is not the instrument's.
        sd: Option<Len>,
        /// When it was taken, as written.
        taken: String,
        /// A remark.
        note: String,
    }
}

impl StepReading {
    /// The step it was read on; `None` for a reading of the whole flight.
    #[must_use]
    pub const fn step(&self) -> Option<u32> {
        match self {
            Self::Rise { step, .. }
            | Self::Going { step, .. }
            | Self::Width { step, .. }
            | Self::Overhang { step, .. }
            | Self::TreadThickness { step, .. }
            | Self::KickThickness { step, .. }
            | Self::Level { step, .. }
            | Self::Fall { step, .. }
            | Self::Edge { step, .. }
            | Self::Height { step, .. }
            | Self::Under { step, .. }
            | Self::Run { step, .. }
            | Self::Past { step, .. } => Some(*step),
            Self::Pitch { from, .. } => Some(*from),
            Self::Diagonal { from, .. } => Some(from.step),
            Self::TotalRise { .. } | Self::TotalRun { .. } => None,
        }
    }

    /// What was read, where it is a length.
    #[must_use]
    pub const fn is(&self) -> Option<&Len> {
        match self {
            Self::Rise { is, .. }
            | Self::Going { is, .. }
            | Self::Width { is, .. }
            | Self::Overhang { is, .. }
            | Self::TreadThickness { is, .. }
            | Self::KickThickness { is, .. }
            | Self::Level { is, .. }
            | Self::Fall { is, .. }
            | Self::Edge { is, .. }
            | Self::Height { is, .. }
            | Self::Under { is, .. }
            | Self::Run { is, .. }
            | Self::Past { is, .. }
            | Self::TotalRise { is, .. }
            | Self::TotalRun { is, .. }
            | Self::Diagonal { is, .. } => Some(is),
            Self::Pitch { .. } => None,
        }
    }
}

/// An end of a level held upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum LevelEnd {
    /// The upper end.
    Top,
    /// The lower end.
    Bottom,
}

/// How a straightedge lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lies {
    /// Level along the wall.
    #[default]
    Level,
    /// Upright.
    Upright,
}

readings! {
    /// One reading of a wall's face. Positive is towards the room.
    pub enum WallReading {
        /// The face's offset from the meant plumb plane at one point; with a laser line the level
        /// distance from the laser's plane to the face.
        Offset {
            /// Level distance from the wall's `from` end.
            along: Len,
            /// Height above the datum.
            up: Len,
            /// The offset, positive towards the room; from a laser line the distance to the face.
            is: Len,
            /// The laser line it is read from, if it is.
            #[serde(default)]
            line: Option<String>,
        }
        /// A level held plumb against the wall, touching and standing off at one end.
        Plumb {
            /// Level distance from the wall's `from` end.
            along: Len,
            /// Height above the datum of the level's lower end.
            up: Len,
            /// The length of the level.
            level: Len,
            /// The gap between level and wall at the end that stands off.
            gap: Len,
            /// The end with the gap.
            at: LevelEnd,
            /// How far from its lower end the level touches; where it is not given, somewhere near
            /// the other end, and the bow's own uncertainty is added.
            #[serde(default)]
            touch: Option<Len>,
        }
        /// A straightedge resting on both its ends: the gap at its middle.
        Straight {
            /// Level distance of its nearer end from the wall's `from` end.
            along: Len,
            /// Height above the datum of its lower end.
            up: Len,
            /// The length of the straightedge.
            length: Len,
            /// How it lies.
            #[serde(default)]
            lies: Lies,
            /// The gap at its middle; negative where the wall stands out between its ends.
            is: Len,
        }
        /// The level distance square off this wall to another one.
        Between {
            /// Level distance from the wall's `from` end.
            along: Len,
            /// Height above the datum.
            up: Len,
            /// The other wall.
            wall: String,
            /// The reading.
            is: Len,
        }
        /// The corner with another wall: a leg is marked along each, and the diagonal read.
        Corner {
            /// The other wall.
            wall: String,
            /// Height above the datum.
            up: Len,
            /// The leg along this wall.
            leg: Len,
            /// The leg along the other wall.
            other_leg: Len,
            /// The diagonal between the two marks.
            is: Len,
        }
    }
    with {
        /// The instrument, by its name in the job.
        by: Option<String>,
        /// The standard uncertainty of this reading, where it is not the instrument's.
        sd: Option<Len>,
        /// When it was taken, as written.
        taken: String,
        /// A remark.
        note: String,
    }
}

impl WallReading {
    /// What was read.
    #[must_use]
    pub const fn is(&self) -> &Len {
        match self {
            Self::Offset { is, .. }
            | Self::Straight { is, .. }
            | Self::Between { is, .. }
            | Self::Corner { is, .. } => is,
            Self::Plumb { gap, .. } => gap,
        }
    }

    /// Its height above the datum.
    #[must_use]
    pub const fn up(&self) -> &Len {
        match self {
            Self::Offset { up, .. }
            | Self::Straight { up, .. }
            | Self::Between { up, .. }
            | Self::Corner { up, .. }
            | Self::Plumb { up, .. } => up,
        }
    }
}

/// A direction over a floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Way {
    /// Up the flight.
    Uphill,
    /// Down the flight.
    Downhill,
    /// Towards the open side.
    Open,
    /// Towards the wall side.
    Wall,
}

readings! {
    /// One reading of a floor or landing.
    pub enum FloorReading {
        /// A level laid on it: how much one end stands above the other.
        Level {
            /// The length of the level, or of what it stands on.
            over: Len,
            /// The reading.
            is: Len,
            /// The way to the end that stands higher.
            high: Way,
        }
        /// How far the floor lies under a level laser line at a place.
        Under {
            /// Level distance up the flight from the face of the first kick.
            x: Len,
            /// Level distance to the left of the baluster line.
            y: Len,
            /// The laser line.
            line: String,
            /// The reading.
            is: Len,
        }
        /// The length of a landing's edge.
        Edge {
            /// The edge.
            edge: Way,
            /// The reading.
            is: Len,
        }
        /// A diagonal of a landing, from its downhill corner at one end to its uphill corner at
        /// the other.
        Diagonal {
            /// The end that the downhill corner lies at.
            from: Side,
            /// The reading.
            is: Len,
        }
    }
    with {
        /// The surface it was read on.
        on: Surface,
        /// The instrument, by its name in the job.
        by: Option<String>,
        /// The standard uncertainty of this reading, where it is not the instrument's.
        sd: Option<Len>,
        /// When it was taken, as written.
        taken: String,
        /// A remark.
        note: String,
    }
}

impl FloorReading {
    /// What was read.
    #[must_use]
    pub const fn is(&self) -> &Len {
        match self {
            Self::Level { is, .. }
            | Self::Under { is, .. }
            | Self::Edge { is, .. }
            | Self::Diagonal { is, .. } => is,
        }
    }
}
