//! Treads: what each is cut to between what its ends meet.

use nalgebra::Point3;

use crate::job::{Hand, Len, Meets, Side};
use crate::measure::{Angle, Length};
use crate::site::Step;

use super::shape::{Read, Shape};
use super::sides::{Sides, treads};
use super::tilt;

/// A rectangular board to cut from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blank {
    /// Along the nosing, or along the kick.
    pub length: Length,
    /// From nosing to back, or the kick's height.
    pub depth: Length,
    /// Thickness.
    pub thickness: Length,
}

/// One tread as it is cut. Lengths lie in its own plane, on its show face, which is the long one
/// everywhere; left and right are those of one going up.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadSet {
    /// The tread.
    pub step: u32,
    /// True where it was read with a template.
    pub read: bool,
    /// The back as read, less what the angles read make of it, where all of them were read.
    pub disagree: Option<Length>,
    /// Width at the nosing.
    pub front: Length,
    /// Width at the back.
    pub back: Length,
    /// The same two on the hidden face, which the undercuts make shorter.
    pub under: (Length, Length),
    /// The left end.
    pub left: TreadEnd,
    /// The right end.
    pub right: TreadEnd,
    /// From nosing to back, square to the nosing, at the left and the right end.
    pub depth: (Length, Length),
    /// Nosing beyond the kick's face.
    pub overhang: Length,
    /// Undercut of the back edge.
    pub back_undercut: Angle,
    /// What to cut it from.
    pub blank: Blank,
    /// Whether it tilts in; `None` where an end is open and it slides in.
    pub tilt: Option<TiltIn>,
}

/// One end of a tread.
#[derive(Clone, Debug, PartialEq)]
pub struct TreadEnd {
    /// What it meets.
    pub meets: Meets,
    /// Inside angle between the nosing and this end; 90 is square.
    pub angle: Angle,
    /// The saw's tilt from square, under the show face.
    pub undercut: Angle,
    /// From so far short of the nosing on back, undercut by this instead.
    pub relief: Option<(Length, Angle)>,
    /// The return nosing, where the end is open.
    pub returned: Option<ReturnSet>,
}

/// A return nosing, mitred to the nosing at the front corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReturnSet {
    /// Its width; zero where the end is worked in the solid.
    pub width: Length,
    /// From its long point to where it stops past the kick behind.
    pub length: Length,
    /// The saw's turn from square for the mitre, on both pieces.
    pub mitre: Angle,
    /// Width of the tread's own back, the return taken off, and the other end's too if it has one.
    pub body_back: Length,
    /// The finished end beyond the face of the skirt below it, at the middle.
    pub beyond_skirt: Length,
}

/// Whether a tread of the net size tilts in between what its ends meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TiltIn {
    /// The end that goes down last.
    pub last: Hand,
    /// The strip at the nosing, short of the relief.
    pub front: TiltStrip,
    /// The rest, relieved.
    pub rest: TiltStrip,
}

impl TiltIn {
    /// True where all of it passes.
    #[must_use]
    pub fn passes(&self) -> bool {
        self.front.passes && self.rest.passes
    }

    /// The strip that decides: the one with the least undercut to spare.
    #[must_use]
    pub fn tight(&self) -> TiltStrip {
        if self.front.spare() <= self.rest.spare() {
            self.front
        } else {
            self.rest
        }
    }
}

impl TiltStrip {
    /// What the undercut is more than the least that would do.
    #[must_use]
    pub fn spare(&self) -> Angle {
        self.undercut - self.least_undercut
    }
}

/// One strip of a tread that is tilted in, at its narrowest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TiltStrip {
    /// Between what the ends meet.
    pub gap: Length,
    /// True where a board of just that length passes.
    pub passes: bool,
    /// The undercut of the last end there.
    pub undercut: Angle,
    /// The greatest length that passes with the undercut that it has.
    pub greatest: Length,
    /// The least undercut of the last end with which the net length passes.
    pub least_undercut: Angle,
}

/// Every tread of a flight, from the bottom.
pub(super) fn all(sides: &Sides<'_>) -> Vec<TreadSet> {
    treads(sides.site)
        .iter()
        .map(|step| one(sides, step))
        .collect()
}

/// The outline of a tread as found, or as a template read it, and by how much that disagrees.
fn shaped(sides: &Sides<'_>, step: &Step, found: &[Point3<f64>; 4]) -> (Shape, Option<Length>) {
    let derived = Shape::of(*found);
    let mut read = sides.boards.treads.iter();
    let read = read.find(|one| one.step == step.number);
    read.map_or((derived, None), |read| {
        derived.read(&Read {
            front: read.front.as_ref().map(Len::mm),
            back: read.back.as_ref().map(Len::mm),
            angles: [&read.left, &read.right].map(|angle| angle.as_ref().map(|one| one.value)),
        })
    })
}

/// The corners of a tread's show face as it is cut, anticlockwise from above from the left end of its
/// nosing, which stands where it was found.
pub(super) fn corners(sides: &Sides<'_>, step: &Step) -> [Point3<f64>; 4] {
    let found = found(sides, step);
    let (shape, _) = shaped(sides, step, &found);
    let [left, right, back, _] = found;
    let along = (right - left).normalize();
    let away = back - left;
    let away = (away - along * away.dot(&along)).normalize();
    shape.ring().map(|at| left + along * at.x + away * at.y)
}

fn one(sides: &Sides<'_>, step: &Step) -> TreadSet {
    let read = sides.boards.treads.iter();
    let read = read.filter(|one| one.step == step.number).count() > 0;
    let (shape, disagree) = shaped(sides, step, &found(sides, step));
    let thickness = Length::mm(step.thickness);
    let ends = [Hand::Left, Hand::Right].map(|hand| end(sides, step, &shape, hand));
    let blank = &sides.boards.blank;
    let (long, deep) = shape.bounds();
    let tilt = sides.closed().then(|| tilt_in(sides, &shape, thickness));
    let under = under(&shape, thickness, &ends);
    let [left, right] = ends;
    TreadSet {
        step: step.number,
        read,
        disagree,
        front: Length::mm(shape.front),
        back: Length::mm(shape.back()),
        under,
        left,
        right,
        depth: (Length::mm(shape.depth[0]), Length::mm(shape.depth[1])),
        overhang: Length::mm(step.overhang),
        back_undercut: sides.boards.undercut.tread_back.value,
        blank: Blank {
            length: Length::mm(long) + blank.length.value,
            depth: Length::mm(deep) + blank.depth.value,
            thickness,
        },
        tilt,
    }
}

/// The corners between what the ends meet, from the stair as found: front left, front right, back
/// left, back right.
fn found(sides: &Sides<'_>, step: &Step) -> [Point3<f64>; 4] {
    let corner = |hand: Hand, front: bool| {
        let end = sides.tread_end(step, sides.on(hand));
        // Nosing and back are lines x = x0 + skew q; the end is q over x.
        let (x0, skew) = if front {
            (step.kick_x - step.overhang, step.skew)
        } else {
            (step.back_x(), step.back_skew)
        };
        let x = (x0 + skew * end.at_zero) / (1.0 - skew * end.slope);
        let q = end.at(x);
        sides.site.at(x, q, step.top(x, q))
    };
    [
        corner(Hand::Left, true),
        corner(Hand::Right, true),
        corner(Hand::Left, false),
        corner(Hand::Right, false),
    ]
}

fn end(sides: &Sides<'_>, step: &Step, shape: &Shape, hand: Hand) -> TreadEnd {
    let at = place(hand);
    let side = sides.on(hand);
    let meets = sides.of(side).meets;
    let undercut = &sides.boards.undercut;
    let open = meets == Meets::Return;
    // A rounded end has no return nosing mitred to it.
    let shaped = sides.job.flight.shaped(step.number);
    let round = side == Side::Open && shaped.is_some_and(|one| one.round.is_some());
    let relieved = sides.closed() && undercut.relieved == hand;
    TreadEnd {
        meets,
        angle: shape.angles()[at],
        undercut: if open {
            Angle::ZERO
        } else {
            undercut.tread_ends.value
        },
        relief: relieved.then_some((undercut.relief_short.value, undercut.relief.value)),
        returned: (open && !round).then(|| returned(sides, step, shape, (side, at))),
    }
}

fn returned(sides: &Sides<'_>, step: &Step, shape: &Shape, (side, at): (Side, usize)) -> ReturnSet {
    let returns = &sides.boards.returns;
    let width = returns.width.value;
    let overhang = Length::mm(step.overhang);
    let past = returns.past.as_ref().map_or(overhang, |past| past.value);
    // Both returns are off the back where both ends are open.
    let off: Length = [Hand::Left, Hand::Right]
        .into_iter()
        .filter(|hand| sides.of(sides.on(*hand)).meets == Meets::Return)
        .map(|hand| width / shape.back_angles()[place(hand)].as_radians().sin())
        .sum();
    let end = sides.tread_end(step, side);
    let middle = f64::midpoint(step.nosing_at(end.at(step.kick_x)), step.back_x());
    let skirt = match side {
        Side::Open if sides.job.flight.reaches_beyond(step.number) => step.overhang,
        Side::Open => end.at(middle) - sides.skirt_face.at(middle),
        Side::Wall => step.overhang,
    };
    ReturnSet {
        width,
        length: Length::mm(shape.ends()[at]) + past,
        mitre: Angle::degrees(90.0) - Angle::radians(shape.angles()[at].as_radians() / 2.0),
        body_back: Length::mm(shape.back()) - off,
        beyond_skirt: Length::mm(skirt),
    }
}

const fn place(hand: Hand) -> usize {
    match hand {
        Hand::Left => 0,
        Hand::Right => 1,
    }
}

/// The hidden face's widths at nosing and back.
fn under(shape: &Shape, thickness: Length, ends: &[TreadEnd; 2]) -> (Length, Length) {
    let off = |undercut: Angle, angle: Angle| {
        thickness * (undercut.as_radians().tan() / angle.as_radians().sin())
    };
    let sum = |undercut: fn(&TreadEnd) -> Angle, angles: [Angle; 2]| {
        off(undercut(&ends[0]), angles[0]) + off(undercut(&ends[1]), angles[1])
    };
    let deepest = |end: &TreadEnd| end.relief.map_or(end.undercut, |(_, angle)| angle);
    (
        Length::mm(shape.front) - sum(|end| end.undercut, shape.angles()),
        Length::mm(shape.back()) - sum(deepest, shape.back_angles()),
    )
}

/// The strips are taken each for itself: that they turn together costs less than a thousandth of an
/// inch, for the tilt at which a tread binds is a degree or two.
fn tilt_in(sides: &Sides<'_>, shape: &Shape, thickness: Length) -> TiltIn {
    let undercut = &sides.boards.undercut;
    let last = undercut.relieved;
    let angle = shape.angles()[place(last)];
    let deep = shape.depth[0].min(shape.depth[1]);
    let relief_from = undercut.relief_short.mm().clamp(0.0, deep);
    let strip = |from: f64, to: f64, tilt: Angle| {
        let gap = Length::mm(shape.width_at(from).min(shape.width_at(to)));
        // The undercut is measured square to the end, the board turns square to its length.
        let seen = Angle::radians((tilt.as_radians().tan() / angle.as_radians().sin()).atan());
        let least = tilt::least_undercut(gap, thickness, gap).unwrap_or(Angle::degrees(90.0));
        let square = (least.as_radians().tan() * angle.as_radians().sin()).atan();
        TiltStrip {
            gap,
            passes: tilt::tilts_in(gap, thickness, gap, seen),
            undercut: tilt,
            greatest: tilt::greatest(gap, thickness, seen),
            least_undercut: Angle::radians(square),
        }
    };
    TiltIn {
        last,
        front: strip(0.0, relief_from, undercut.tread_ends.value),
        rest: strip(relief_from, deep, undercut.relief.value),
    }
}
