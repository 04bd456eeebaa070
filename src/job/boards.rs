//! The shapes of a job file: how treads, kicks and skirts are scribed, cut and mitred.
//!
//! Every default here is common practice, without a source.

use serde::{Deserialize, Serialize};

use super::instruments::Ang;
use super::schema::{Hand, Len};

/// How the boards are cut, and what was read of them with a template. All of it may be left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boards {
    /// What treads and kicks meet on the open side. If not said: a return nosing; where balusters
    /// stand in a shoe, the closed string or half wall, straight and plumb as a skirt.
    #[serde(default)]
    pub open_end: Option<Meets>,
    /// What they meet on the wall side: if not said a skirt, where the job has one there, a return
    /// nosing where a railing stands there, or else the wall.
    #[serde(default)]
    pub wall_end: Option<Meets>,
    /// Treads that were read with a template between what they meet.
    #[serde(default)]
    pub treads: Vec<TreadRead>,
    /// Kicks that stand out of plumb.
    #[serde(default)]
    pub kick_leans: Vec<KickLean>,
    /// How much is cut from under the show faces.
    #[serde(default)]
    pub undercut: Undercut,
    /// The return nosing.
    #[serde(default)]
    pub returns: ReturnNosing,
    /// What a blank is larger than the finished board.
    #[serde(default)]
    pub blank: BlankOver,
    /// The mitred skirt on the open side.
    #[serde(default)]
    pub mitred: MitredSkirt,
    /// The level base that the wall-side skirts meet; absent: one of the skirt's own width.
    #[serde(default)]
    pub base: Option<LevelBase>,
}

/// What the end of a tread or kick meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Meets {
    /// The face of a skirt: a straight, plumb board that the end is scribed to.
    Skirt,
    /// The wall itself, as it leans and bows.
    Wall,
    /// Nothing: a tread ends in a return nosing, a kick is mitred to the skirt.
    Return,
}

/// One tread as read with a template: net, on the show face, nothing taken off. What is not read
/// is worked out from the stair as found. Left and right are those of one going up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreadRead {
    /// The tread.
    pub step: u32,
    /// Width at the nosing, end to end.
    #[serde(default)]
    pub front: Option<Len>,
    /// Width at the kick behind it.
    #[serde(default)]
    pub back: Option<Len>,
    /// Inside angle between the nosing and the left end; 90 is square.
    #[serde(default)]
    pub left: Option<Ang>,
    /// Inside angle between the nosing and the right end.
    #[serde(default)]
    pub right: Option<Ang>,
}

/// A kick that is out of plumb, as a level held upright against its face reads it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KickLean {
    /// The kick.
    pub step: u32,
    /// The height over which it was read.
    pub over: Len,
    /// Its head stands this far up the flight of its foot; negative: over the tread below it.
    pub by: Len,
}

/// How much is cut from under the show faces, so that these alone touch: the saw's tilt from
/// square. The show face is always the long one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Undercut {
    /// Back edge of a tread, against the kick.
    #[serde(default = "five")]
    pub tread_back: Ang,
    /// Both ends of a tread.
    #[serde(default = "one_and_a_half")]
    pub tread_ends: Ang,
    /// One end of a tread is relieved to this, so that it tilts in.
    #[serde(default = "five")]
    pub relief: Ang,
    /// The end that is relieved, and goes down last.
    #[serde(default = "right")]
    pub relieved: Hand,
    /// The relief stops this far short of the nosing, where it would show.
    #[serde(default = "inch_and_a_half")]
    pub relief_short: Len,
    /// Both ends of a kick.
    #[serde(default = "five")]
    pub kick_ends: Ang,
    /// Upper edge of a kick, under the tread.
    #[serde(default = "five")]
    pub kick_top: Ang,
}

impl Default for Undercut {
    fn default() -> Self {
        Self {
            tread_back: five(),
            tread_ends: one_and_a_half(),
            relief: five(),
            relieved: right(),
            relief_short: inch_and_a_half(),
            kick_ends: five(),
            kick_top: five(),
        }
    }
}

/// The return nosing on the open end of a tread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReturnNosing {
    /// Width of the piece; zero where the end is worked in the solid.
    #[serde(default = "inch_and_a_quarter")]
    pub width: Len,
    /// How far it runs on past the face of the kick behind; the tread's overhang if not given.
    #[serde(default)]
    pub past: Option<Len>,
}

impl Default for ReturnNosing {
    fn default() -> Self {
        Self {
            width: inch_and_a_quarter(),
            past: None,
        }
    }
}

/// What a blank is larger than the finished board.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlankOver {
    /// Over the length, both ends together.
    #[serde(default = "one")]
    pub length: Len,
    /// Over the depth of a tread or the height of a kick.
    #[serde(default = "quarter")]
    pub depth: Len,
}

impl Default for BlankOver {
    fn default() -> Self {
        Self {
            length: one(),
            depth: quarter(),
        }
    }
}

/// How a mitre meets a kick that leans.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Leaning {
    /// The mitre stands plumb on the kick's foot, whatever the kick does.
    #[default]
    Plumb,
    /// The mitre leans as the kick does.
    Follow,
    /// The mitre leans half as much.
    Split,
}

/// The skirt on the open side, mitred to every kick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MitredSkirt {
    /// What is done where a kick leans.
    #[serde(default)]
    pub kicks: Leaning,
    /// Its level cuts stand this far above the points of the stringer's cuts: what lies between
    /// stringer and tread. 9/16 to 5/8 in is usual.
    #[serde(default = "nine_sixteenths")]
    pub level_cut: Len,
}

impl Default for MitredSkirt {
    fn default() -> Self {
        Self {
            kicks: Leaning::default(),
            level_cut: nine_sixteenths(),
        }
    }
}

/// What is done where base and skirt are not equally thick.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unequal {
    /// The thinner one is stepped back.
    #[default]
    StepBack,
    /// The thicker one is ripped to the thinner.
    Rip,
}

/// The level base that meets the wall-side skirts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelBase {
    /// Height of its cap above the lower floor.
    pub height: Len,
    /// Height of its cap above the upper floor, where that is another.
    #[serde(default)]
    pub upper_height: Option<Len>,
    /// Its thickness.
    pub thickness: Len,
    /// Skirt and base must meet this far before the face of the first kick, as in a corner there;
    /// absent: wherever the cap comes down to the base's, before the first nosing.
    #[serde(default)]
    pub bottom_at: Option<Len>,
    /// Skirt and base must meet this far beyond the face of the last kick; absent: wherever the
    /// cap comes up to the base's, beyond the last kick.
    #[serde(default)]
    pub top_at: Option<Len>,
    /// What is done where the two are not equally thick.
    #[serde(default)]
    pub unequal: Unequal,
}

fn five() -> Ang {
    Ang::degrees(5.0)
}

fn one_and_a_half() -> Ang {
    Ang::degrees(1.5)
}

const fn right() -> Hand {
    Hand::Right
}

fn inch_and_a_half() -> Len {
    Len::inches(1.5)
}

fn inch_and_a_quarter() -> Len {
    Len::inches(1.25)
}

fn one() -> Len {
    Len::inches(1.0)
}

fn quarter() -> Len {
    Len::inches(0.25)
}

fn nine_sixteenths() -> Len {
    Len::inches(9.0 / 16.0)
}
