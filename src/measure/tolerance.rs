//! Every numeric tolerance of the program, each with its reason. All lengths in millimetres.
//!
//! Order: arithmetic noise < same point < certified ball < a clash worth saying < a tape's mark.

/// Two points closer than this are one point: far above f64 noise at the size of a house (1e-9 mm)
/// and far below anything a tool can cut.
pub const SAME_POINT_MM: f64 = 1e-6;

/// The upper and lower bound on the ball through an opening stand no further apart than this.
pub const BALL_MM: f64 = 0.1;

/// Where a limit lies between the bounds on a ball, they are brought this close before a verdict.
pub const BALL_AT_LIMIT_MM: f64 = 1e-4;

/// Pieces that meet at a joint may overlap this much before it is called a clash: the arithmetic
/// of clipped faces leaves less, and paint is thicker.
pub const CONTACT_MM: f64 = 0.05;

/// Two pieces of one part overlap where they share more than this, mm^3: a seam of a square metre is
/// that much thick by rounding alone (1e-9 mm), and no shaving is as small.
pub const OVERLAP_MM3: f64 = 1e-2;

/// Two directions whose sine is under this count as parallel.
pub const PARALLEL: f64 = 1e-9;

/// The two ends of a nearest distance prove it when the slab between them is this share of the
/// distance short at most: twice where the search stops (square root of ten roundings, 4.7e-8).
pub const DISTANCE_SHARE: f64 = 1e-7;

/// A remainder of a tape's mark is told from a quarter of it only past this share of a mark: what
/// stands exactly on a quarter must not turn strong by the noise of its last digit.
pub const MARK_NOISE: f64 = 1e-6;

/// What rounding in f64 can put on a distance inside one cell: both bounds on a ball are moved
/// outward by this, so that they stay bounds.
pub const BALL_ROUNDING_MM: f64 = 1e-9;

/// A face narrower than this is a sliver left by a cut: its plane is too uncertain to measure
/// from, and its neighbours' edges already bound the solid there.
pub const SLIVER_MM: f64 = 1e-5;

/// A fault's share in a trouble smaller than this is left out: a tenth of the finest mark that
/// anyone reads, and above the width of the bounds that a ball is found to.
pub const SHARE_MM: f64 = 0.1;

/// A quantity that departs from what was meant by less than this is as meant: total readings share
/// out misfits over many steps, and such a crumb is no fault that anyone could point at.
pub const DEPARTS_MM: f64 = 0.02;

/// No point of a scan is taken to be surer than this: below what any instrument in a house
/// resolves, and above zero, which numbers rounded to whole millimetres would otherwise show.
pub const POINT_NOISE_MM: f64 = 0.05;

/// Two places of one part nearer than this are told as one: half a thirty-second, which no mark of a
/// pencil parts.
pub const TOLD_APART_MM: f64 = 0.4;
