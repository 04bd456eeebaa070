//! What is expected before anything is read: standard deviations about what was meant.
//!
//! Framing is built to a drawing and left rough, so a quantity that nobody read is taken as meant,
//! give or take these. They are wide against any tape, so that readings decide; they are stated
//! here, and every interval that the program gives rests on them. All are common practice, no
//! source. Millimetres, or millimetres per millimetre for slopes.

/// A rise: a quarter of an inch.
pub(super) const RISE: f64 = 6.0;
/// A going: a quarter of an inch.
pub(super) const GOING: f64 = 6.0;
/// A nosing beyond its kick.
pub(super) const OVERHANG: f64 = 2.0;
/// Thickness of a delivered board.
pub(super) const THICKNESS: f64 = 0.8;
/// The adhesive and shims between a tread or kick and its cut.
pub(super) const BED: f64 = 0.8;
/// Build-up of a finished floor over its subfloor.
pub(super) const FLOOR: f64 = 1.0;
/// Length of a tread.
pub(super) const WIDTH: f64 = 10.0;
/// A tread's open end from the baluster line.
pub(super) const EDGE: f64 = 8.0;
/// One end of a tread above the other.
pub(super) const LEVEL: f64 = 4.0;
/// Front of a tread above its back.
pub(super) const FALL: f64 = 2.0;
/// One end of a kick ahead of the other, over the tread's length.
pub(super) const SKEW: f64 = 4.0;

/// A wall off its meant line as a whole.
pub(super) const WALL_OFFSET: f64 = 100.0;
/// A wall's lean and splay: 10 mm in a metre.
pub(super) const WALL_SLOPE: f64 = 0.010;
/// A wall's bow: an eighth of an inch.
pub(super) const BOW: f64 = 3.0;
/// The distance over which a bow changes: about two stud bays.
pub(super) const BOW_LENGTH: f64 = 800.0;

/// A landing off its meant height.
pub(super) const LANDING_HEIGHT: f64 = 20.0;
/// A landing out of level: 5 mm in a metre.
pub(super) const LANDING_SLOPE: f64 = 0.005;
/// A landing's edge off its meant length.
pub(super) const LANDING_EDGE: f64 = 15.0;

/// A laser line whose place is not given: anywhere in a storey.
pub(super) const LINE_ANYWHERE: f64 = 3000.0;

/// Covariance of a wall's bow at two of its places, mm^2.
pub(super) fn bow(a: (f64, f64), b: (f64, f64)) -> f64 {
    let squared = ((a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)) / BOW_LENGTH.powi(2);
    BOW.powi(2) * (-0.5 * squared).exp()
}
