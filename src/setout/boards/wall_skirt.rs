//! The skirt on the wall side: a raked board between the level bases of two floors.
//!
//! Its upper edge is the cap; heights above the kick tips are plumb. A kick tip is the upper edge of
//! a kick's face, under its tread. The ends are where the board is cut plumb against the bases and
//! level on the floors.

use crate::job::{LevelBase, Side, Skirt, Unequal};
use crate::measure::{Angle, Length, Pitch};
use crate::setout::rail_window::{RakeLine, nosing_line};

use super::scribe::{Board, StripSet, strips};
use super::seam::{SeamSet, Section, base_to_rake};
use super::sides::{Sides, Straight};

/// A skirt on the wall side.
#[derive(Clone, Debug, PartialEq)]
pub struct WallSkirtSet {
    /// Its name.
    pub name: String,
    /// Its steepness.
    pub pitch: Pitch,
    /// Its width, square to its length.
    pub width: Length,
    /// Its cap above the kick tips, plumb: on average.
    pub above_tips: Length,
    /// The least and the greatest height of its cap above a kick tip, and whose.
    pub tips: ((Length, u32), (Length, u32)),
    /// The tread end read farthest off its straight face, and how far towards the open side;
    /// `None` where no width was read.
    pub wander: Option<(Length, u32)>,
    /// Between its farthest corners, along the rake.
    pub length: Length,
    /// The end at the lower floor.
    pub bottom: SkirtEnd,
    /// The end at the upper floor.
    pub top: SkirtEnd,
    /// The height at which caps are flush at both ends, or as near as one height comes.
    pub best: Option<BestHeight>,
    /// The strips along the walls behind it.
    pub strips: Vec<StripSet>,
}

/// One end of a wall-side skirt.
#[derive(Clone, Debug, PartialEq)]
pub struct SkirtEnd {
    /// Level distance from the face of the first or the last kick, away from the flight.
    pub at: Length,
    /// The plumb cut, from square.
    pub plumb: Angle,
    /// The level cut, from square.
    pub level: Angle,
    /// Length of the plumb cut at the end.
    pub plumb_cut: Length,
    /// Length of the level cut on the floor.
    pub level_cut: Length,
    /// At the upper floor: what goes down behind the last kick, plumb, below the level cut.
    pub heel: Length,
    /// The seam that would join base and skirt instead.
    pub seam: SeamSet,
    /// How the caps meet, where the job has a base.
    pub caps: Option<CapsMeet>,
}

/// How a skirt's cap meets the cap of the level base at one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CapsMeet {
    /// Height of the base's cap above its floor.
    pub base: Length,
    /// True where the job says where they must meet.
    pub fixed: bool,
    /// The skirt's height above the kick tips at which they would meet flush at this place. Where
    /// the place is free: the least that does at the bottom, the greatest that does at the top.
    pub flush: Length,
    /// The skirt's cap above the base's where they meet, at the height that the skirt has.
    pub left: Length,
}

/// A height of the skirt, by its cap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestHeight {
    /// Above the kick tips.
    pub above_tips: Length,
    /// Above the nosing line, as the job's `above`.
    pub above_nosings: Length,
    /// What is left at each end: the skirt's cap is too high by so much at one and too low at the
    /// other. Zero where one height serves both.
    pub left: Length,
}

/// Every wall-side skirt of a flight, in the order of the job.
pub(super) fn all(sides: &Sides<'_>) -> Vec<WallSkirtSet> {
    let skirts = sides.job.skirts.iter();
    skirts
        .filter(|skirt| skirt.side == Side::Wall)
        .filter_map(|skirt| one(sides, skirt))
        .collect()
}

/// A raked board in elevation, at its face, mm.
struct Rake {
    cap: RakeLine,
    /// Plumb from the cap down to its lower edge.
    drop: f64,
    lower: Straight,
    upper: Straight,
    /// x of the first nosing, and of the first and last kick's face.
    nosing: f64,
    first: f64,
    last: f64,
    /// Where it ends with no base to meet: before the first nosing by its height above it, and
    /// behind the last kick.
    alone: (f64, f64),
}

impl Rake {
    fn of(sides: &Sides<'_>, skirt: &Skirt) -> Option<Self> {
        let (site, face) = (sides.site, sides.wall.line);
        let (first, last) = (site.steps.first()?, site.steps.last()?);
        let on_face = |step: &crate::site::Step| {
            (step.kick_x + step.skew * face.at_zero) / (1.0 - step.skew * face.slope)
        };
        let floor = |height: &dyn Fn(f64, f64) -> f64| {
            let at = |x: f64| height(x, face.at(x));
            Straight::by(at(1.0) - at(0.0), (0.0, at(0.0)))
        };
        Some(Self {
            cap: nosing_line(site).raised(skirt.above.mm()),
            drop: skirt.width.mm(),
            lower: floor(&|x, q| site.lower_floor(x, q)),
            upper: floor(&|x, q| last.top(x, q)),
            nosing: on_face(first) - first.overhang,
            first: on_face(first),
            last: on_face(last),
            alone: (
                on_face(first) - first.overhang - skirt.above.mm(),
                on_face(last) + last.kick_thickness,
            ),
        })
    }

    fn under(&self, x: f64) -> f64 {
        self.cap.at(x) - self.drop
    }
}

/// x at which the cap stands so far above a floor; `None` where it runs along it.
fn meets_floor(cap: RakeLine, floor: &Straight, above: f64) -> Option<f64> {
    let x = (floor.at_zero + above - cap.at_foot) / (cap.slope - floor.slope);
    x.is_finite().then_some(x)
}

fn one(sides: &Sides<'_>, skirt: &Skirt) -> Option<WallSkirtSet> {
    let rake = Rake::of(sides, skirt)?;
    let pitch = Pitch::from_slope(rake.cap.slope);
    let tips = tips(sides, &rake)?;
    let base = sides.boards.base.as_ref();
    let bottom = bottom(&rake, base, tips.average);
    let top = top(&rake, base, tips.average);
    let section = Section {
        width: Length::mm(rake.drop * pitch.angle().as_radians().cos()),
        thickness: skirt.thickness.value,
    };
    let strips = strips(
        sides.site,
        &Board {
            back: sides.wall.line.moved(-skirt.thickness.mm()),
            cap: &|x| rake.cap.at(x),
            foot: &|x| rake.under(x).max(rake.lower.at(x)),
            from: bottom.x,
            to: top.x,
        },
    );
    Some(WallSkirtSet {
        name: skirt.name.clone(),
        pitch,
        width: section.width,
        above_tips: Length::mm(tips.average),
        tips: (tips.least, tips.greatest),
        wander: sides
            .wall
            .wander()
            .map(|(off, step)| (Length::mm(off), step)),
        length: long(&rake, bottom.x, top.x),
        best: best(skirt, tips.average, &bottom, &top),
        bottom: lower_end(
            &rake,
            &bottom,
            seam(section, base, false, pitch, &rake.lower),
        ),
        top: upper_end(&rake, &top, seam(section, base, true, pitch, &rake.upper)),
        strips,
    })
}

/// Heights of the cap above the kick tips, mm.
struct Tips {
    average: f64,
    least: (Length, u32),
    greatest: (Length, u32),
}

fn tips(sides: &Sides<'_>, rake: &Rake) -> Option<Tips> {
    let face = sides.wall.line;
    let above: Vec<(f64, u32)> = sides
        .site
        .steps
        .iter()
        .map(|step| {
            let x = (step.kick_x + step.skew * face.at_zero) / (1.0 - step.skew * face.slope);
            let tip = step.top(x, face.at(x)) - step.thickness;
            (rake.cap.at(x) - tip, step.number)
        })
        .collect();
    let length = |(mm, step): (f64, u32)| (Length::mm(mm), step);
    let by_height = |a: &(f64, u32), b: &(f64, u32)| a.0.total_cmp(&b.0);
    let sum: f64 = above.iter().map(|one| one.0).sum();
    Some(Tips {
        average: sum / above.len() as f64,
        least: above.iter().copied().min_by(by_height).map(length)?,
        greatest: above.iter().copied().max_by(by_height).map(length)?,
    })
}

/// Where an end stands, and how far the cap would have to be raised to be flush there.
struct Place {
    x: f64,
    caps: Option<CapsMeet>,
    /// The least and the greatest that the cap may be raised so that it meets flush at this end.
    raise: (f64, f64),
}

fn bottom(rake: &Rake, base: Option<&LevelBase>, above_tips: f64) -> Place {
    let Some(base) = base else {
        return Place {
            x: rake.alone.0,
            caps: None,
            raise: (f64::NEG_INFINITY, f64::INFINITY),
        };
    };
    let height = base.height.mm();
    let raise = |x: f64| rake.lower.at(x) + height - rake.cap.at(x);
    let fixed = base.bottom_at.as_ref().map(|at| rake.first - at.mm());
    let free =
        meets_floor(rake.cap, &rake.lower, height).map_or(rake.nosing, |x| x.min(rake.nosing));
    let nearest = fixed.unwrap_or(rake.nosing);
    let x = fixed.unwrap_or(free);
    Place {
        x,
        caps: Some(CapsMeet {
            base: base.height.value,
            fixed: fixed.is_some(),
            flush: Length::mm(above_tips + raise(nearest)),
            left: Length::mm(-raise(x)),
        }),
        raise: (
            raise(nearest),
            if fixed.is_some() {
                raise(nearest)
            } else {
                f64::INFINITY
            },
        ),
    }
}

fn top(rake: &Rake, base: Option<&LevelBase>, above_tips: f64) -> Place {
    let Some(base) = base else {
        return Place {
            x: rake.alone.1,
            caps: None,
            raise: (f64::NEG_INFINITY, f64::INFINITY),
        };
    };
    let typed = base.upper_height.as_ref().unwrap_or(&base.height);
    let height = typed.mm();
    let raise = |x: f64| rake.upper.at(x) + height - rake.cap.at(x);
    let fixed = base.top_at.as_ref().map(|at| rake.last + at.mm());
    let free = meets_floor(rake.cap, &rake.upper, height).map_or(rake.last, |x| x.max(rake.last));
    let nearest = fixed.unwrap_or(rake.last);
    let x = fixed.unwrap_or(free);
    Place {
        x,
        caps: Some(CapsMeet {
            base: typed.value,
            fixed: fixed.is_some(),
            flush: Length::mm(above_tips + raise(nearest)),
            left: Length::mm(-raise(x)),
        }),
        raise: (
            if fixed.is_some() {
                raise(nearest)
            } else {
                f64::NEG_INFINITY
            },
            raise(nearest),
        ),
    }
}

/// The height nearest to the skirt's own at which both caps meet flush; where none does, the one
/// that is off by as much at both ends.
fn best(skirt: &Skirt, above_tips: f64, bottom: &Place, top: &Place) -> Option<BestHeight> {
    bottom.caps.and(top.caps)?;
    let low = bottom.raise.0.max(top.raise.0);
    let high = bottom.raise.1.min(top.raise.1);
    let (by, left) = if low <= high {
        (0.0_f64.clamp(low, high), 0.0)
    } else {
        (f64::midpoint(low, high), (low - high) / 2.0)
    };
    Some(BestHeight {
        above_tips: Length::mm(above_tips + by),
        above_nosings: skirt.above.value + Length::mm(by),
        left: Length::mm(left),
    })
}

/// The seam at one end: against the job's base, or against one of the skirt's own section.
fn seam(
    skirt: Section,
    base: Option<&LevelBase>,
    upper: bool,
    pitch: Pitch,
    floor: &Straight,
) -> SeamSet {
    let turn = pitch.angle() - Angle::radians(floor.slope.atan());
    let Some(base) = base else {
        return base_to_rake(skirt, skirt, turn, Unequal::default());
    };
    let height = base.upper_height.as_ref().filter(|_| upper);
    let section = Section {
        width: height.unwrap_or(&base.height).value,
        thickness: base.thickness.value,
    };
    base_to_rake(section, skirt, turn, base.unequal)
}

fn lower_end(rake: &Rake, place: &Place, seam: SeamSet) -> SkirtEnd {
    let floor = rake.lower.at(place.x);
    let low = rake.under(place.x).max(floor);
    // The lower edge comes up through the floor where the cap stands its own drop above it.
    let leaves = meets_floor(rake.cap, &rake.lower, rake.drop).unwrap_or(place.x);
    let on_floor = (leaves - place.x).max(0.0) * rake.lower.slope.hypot(1.0);
    SkirtEnd {
        at: Length::mm(rake.first - place.x),
        plumb_cut: Length::mm((rake.cap.at(place.x) - low).max(0.0)),
        level_cut: Length::mm(on_floor),
        heel: Length::ZERO,
        ..end(rake, &rake.lower, seam, place.caps)
    }
}

fn upper_end(rake: &Rake, place: &Place, seam: SeamSet) -> SkirtEnd {
    let low = rake.under(place.x).max(rake.upper.at(place.x));
    let leaves = meets_floor(rake.cap, &rake.upper, rake.drop).unwrap_or(place.x);
    let on_floor = (place.x.min(leaves) - rake.last).max(0.0) * rake.upper.slope.hypot(1.0);
    SkirtEnd {
        at: Length::mm(place.x - rake.last),
        plumb_cut: Length::mm((rake.cap.at(place.x) - low).max(0.0)),
        level_cut: Length::mm(on_floor),
        heel: Length::mm((rake.upper.at(rake.last) - rake.under(rake.last)).max(0.0)),
        ..end(rake, &rake.upper, seam, place.caps)
    }
}

fn end(rake: &Rake, floor: &Straight, seam: SeamSet, caps: Option<CapsMeet>) -> SkirtEnd {
    let pitch = rake.cap.slope.atan();
    SkirtEnd {
        at: Length::ZERO,
        plumb: Angle::radians(pitch),
        // The angle of the floor to the board's length, from square.
        level: Angle::degrees(90.0) - Angle::radians(pitch - floor.slope.atan()),
        plumb_cut: Length::ZERO,
        level_cut: Length::ZERO,
        heel: Length::ZERO,
        seam,
        caps,
    }
}

/// Between the farthest corners of the outline, along the rake.
fn long(rake: &Rake, from: f64, to: f64) -> Length {
    let pitch = rake.cap.slope.atan();
    let (sin, cos) = pitch.sin_cos();
    let along = |(x, z): (f64, f64)| x * cos + z * sin;
    let low = [
        (from, rake.cap.at(from)),
        (from, rake.under(from).max(rake.lower.at(from))),
    ];
    let high = [
        (to, rake.cap.at(to)),
        (to, rake.under(to).max(rake.upper.at(to))),
        (
            rake.last,
            rake.under(rake.last).max(rake.lower.at(rake.last)),
        ),
    ];
    let first = low.map(along).into_iter().fold(f64::INFINITY, f64::min);
    let last = high
        .map(along)
        .into_iter()
        .fold(f64::NEG_INFINITY, f64::max);
    Length::mm(last - first)
}
