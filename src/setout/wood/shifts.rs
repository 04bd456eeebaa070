//! What the movement of wood does to gaps, seats and reveals, as numbers.

use nalgebra::Point3;

use crate::job::{Held, Job};
use crate::measure::Length;
use crate::site::{Site, Step};

use super::super::SetOut;
use super::{Moved, Strains};

/// A kind of quantity that the movement of wood changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShiftKind {
    /// A clear gap between uprights, level, at their feet.
    Gap,
    /// What shows between a baluster and the end of its tread.
    Reveal,
    /// How deep the balusters' heads sit in the rail.
    Seat,
    /// How deep their pegs sit in the treads or the bottom rail.
    Peg,
    /// The rail over the nosing where it is lowest.
    RailHeight,
    /// The rail's end and the newel: positive where the joint opens.
    Joint,
    /// A newel in its notch, both sides together: positive where it is slack.
    Notch,
    /// A nosing beyond the face of its kick.
    Nosing,
    /// Behind a tread, under the kick: positive where a gap opens.
    BehindTread,
    /// Under the first kick: positive where a gap opens on the floor.
    UnderKick,
    /// A skirt's upper edge above the line of the nosings, plumb.
    Skirt,
}

impl ShiftKind {
    /// The word for it in machine answers.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gap => "gap",
            Self::Reveal => "reveal",
            Self::Seat => "seat",
            Self::Peg => "peg",
            Self::RailHeight => "rail-height",
            Self::Joint => "joint",
            Self::Notch => "notch",
            Self::Nosing => "nosing",
            Self::BehindTread => "behind-tread",
            Self::UnderKick => "under-kick",
            Self::Skirt => "skirt",
        }
    }
}

/// A quantity as fitted and at another moisture content: of the parts where it changes most.
#[derive(Clone, Debug, PartialEq)]
pub struct Shift {
    /// What it is.
    pub kind: ShiftKind,
    /// The parts concerned.
    pub parts: Vec<String>,
    /// As fitted.
    pub fitted: Length,
    /// At the other moisture content.
    pub then: Length,
    /// Of what sits in something: whether it still does.
    pub holds: Option<bool>,
    /// Where to point at, mm in the run's frame.
    pub at: Point3<f64>,
}

impl Shift {
    /// What it is, in a few words.
    #[must_use]
    pub fn says(&self) -> String {
        let one = self.parts.first().map_or("", String::as_str);
        let other = self.parts.get(1).map_or("", String::as_str);
        match self.kind {
            ShiftKind::Gap => format!("gap between {one} and {other}"),
            ShiftKind::Reveal => format!("reveal beside {one}"),
            ShiftKind::Seat => format!("head of {one} in {other}"),
            ShiftKind::Peg => format!("peg of {one} in {other}"),
            ShiftKind::RailHeight => format!("lowest of {one} over the nosings"),
            ShiftKind::Joint => format!("joint of {one} and {other}, open"),
            ShiftKind::Notch => format!("newel {one} in its notch, slack"),
            ShiftKind::Nosing => format!("nosing of {one}"),
            ShiftKind::BehindTread => format!("behind {one}, open"),
            ShiftKind::UnderKick => format!("under {one}, open"),
            ShiftKind::Skirt => format!("skirt {one} over the nosings"),
        }
    }

    /// How much it changes.
    #[must_use]
    pub fn by(&self) -> Length {
        self.then - self.fitted
    }
}

/// Changes smaller than this are none: a hundredth of what a feeler gauge shows, mm.
const NOTHING: f64 = 1e-4;

/// What the movement of a run changes at a moisture content (per cent), where it changes most; nothing
/// where its wood is not given.
#[must_use]
pub fn shifts(job: &Job, site: &Site, setout: &SetOut, moved: &Moved, moisture: f64) -> Vec<Shift> {
    let Some(wood) = &job.design.wood else {
        return Vec::new();
    };
    let told = Told {
        job,
        site,
        setout,
        moved,
        strains: Strains::of(wood, moisture),
        held: wood.treads_held,
    };
    let mut all = Vec::new();
    all.extend(told.gap());
    all.extend(told.reveal());
    all.extend(told.seat());
    all.extend(told.peg());
    all.push(told.rail_height());
    all.extend(told.joints());
    all.extend(told.notches());
    all.extend(told.tread());
    all.extend(told.first_kick());
    all.extend(told.skirts());
    all.retain(|shift| shift.by().as_mm().abs() > NOTHING);
    all
}

struct Told<'a> {
    job: &'a Job,
    site: &'a Site,
    setout: &'a SetOut,
    moved: &'a Moved,
    strains: Strains,
    held: Held,
}

/// The one that changes most; of equals the first.
fn most(shifts: impl Iterator<Item = Shift>) -> Option<Shift> {
    shifts.reduce(|most, one| {
        if one.by().abs() > most.by().abs() + Length::mm(NOTHING) {
            one
        } else {
            most
        }
    })
}

fn shift(
    kind: ShiftKind,
    parts: Vec<String>,
    (fitted, then): (Length, Length),
    at: Point3<f64>,
) -> Shift {
    Shift {
        kind,
        parts,
        fitted,
        then,
        holds: None,
        at,
    }
}

impl Told<'_> {
    fn gap(&self) -> Option<Shift> {
        let pairs = self.setout.gaps.iter().zip(&self.moved.setout.gaps);
        most(pairs.map(|(gap, then)| {
            let beside = |name: &String| self.setout.balusters.iter().find(|one| &one.name == name);
            let at = beside(&gap.below).or_else(|| beside(&gap.above));
            let at = at.map_or(self.setout.rail.lower, |one| one.foot);
            let parts = vec![gap.below.clone(), gap.above.clone()];
            shift(ShiftKind::Gap, parts, (gap.clear, then.clear), at)
        }))
    }

    fn reveal(&self) -> Option<Shift> {
        if !self.setout.on_treads() {
            return None;
        }
        let pairs = self.setout.reveals.iter().zip(&self.moved.setout.reveals);
        most(pairs.map(|(one, then)| {
            let parts = vec![one.part.clone()];
            shift(ShiftKind::Reveal, parts, (one.value, then.value), one.at)
        }))
    }

    /// The heads' seats, in the plough where there is one: it stays as deep as its bottom is held.
    fn seat(&self) -> Option<Shift> {
        let plough = self.job.design.rail.plough.as_ref();
        let plough = plough.map_or(Length::ZERO, |plough| plough.depth.value);
        let pairs = self.setout.balusters.iter();
        let pairs = pairs.zip(&self.moved.setout.balusters);
        let told = most(pairs.map(|(one, then)| {
            let parts = vec![one.name.clone(), self.setout.rail.name.clone()];
            let depths = (one.seat + plough, then.seat + plough);
            shift(ShiftKind::Seat, parts, depths, one.top)
        }))?;
        let holds = told.then > Length::ZERO;
        Some(Shift {
            // A head that only butts against the rail has no seat to come out of; it comes away.
            holds: Some(holds),
            ..told
        })
    }

    /// A peg does not change its length; what it is bored into does.
    fn peg(&self) -> Option<Shift> {
        let one = self.setout.balusters.first()?;
        let (strain, ground) = if let Some(rail) = &self.setout.bottom_rail {
            (self.strains.bottom_rail.second, rail.name.clone())
        } else {
            let name = self.site.named(format_args!("T{}", one.step));
            (self.strains.treads.second, name)
        };
        let (deep, _) = one.peg;
        let then = deep * (1.0 + strain);
        (deep > Length::ZERO && one.step > 0).then(|| Shift {
            holds: Some(then > Length::ZERO),
            ..shift(
                ShiftKind::Peg,
                vec![one.name.clone(), ground],
                (deep, then),
                one.foot,
            )
        })
    }

    fn rail_height(&self) -> Shift {
        let (rail, then) = (&self.setout.rail, &self.moved.setout.rail);
        let (fitted, step) = rail.window.lowest;
        let stations = self.site.stations();
        let station = stations.iter().find(|station| station.step == step);
        let at = station.and_then(|station| rail.top(station.x));
        shift(
            ShiftKind::RailHeight,
            vec![rail.name.clone()],
            (fitted, then.window.lowest.0),
            at.unwrap_or(rail.lower),
        )
    }

    /// The rail keeps its length, so what a newel loses beside its end is a gap there.
    fn joints(&self) -> Vec<Shift> {
        let rail = &self.setout.rail;
        let ends = [
            (&self.job.design.rail.lower, rail.lower),
            (&self.job.design.rail.upper, rail.upper),
        ];
        let joints = ends.into_iter().filter_map(|(end, at)| {
            let crate::job::RailEnd::Newel(name) = end else {
                return None;
            };
            if rail.over.iter().any(|over| &over.newel == name) {
                return None;
            }
            let (before, after) = (self.setout.newel(name)?, self.moved.setout.newel(name)?);
            let opens = (before.along - after.along) / 2.0;
            let parts = vec![rail.name.clone(), name.clone()];
            Some(shift(ShiftKind::Joint, parts, (Length::ZERO, opens), at))
        });
        joints.collect()
    }

    fn notches(&self) -> Vec<Shift> {
        let pairs = self.setout.newels.iter().zip(&self.moved.setout.newels);
        pairs
            .filter(|(newel, _)| !newel.notches.is_empty())
            .map(|(newel, then)| {
                let parts = vec![newel.name.clone()];
                let slack = (Length::ZERO, newel.across - then.across);
                shift(ShiftKind::Notch, parts, slack, newel.foot)
            })
            .collect()
    }

    fn treads(&self) -> &[Step] {
        self.site
            .steps
            .split_last()
            .map_or(&[], |(_, treads)| treads)
    }

    fn on_nosing(&self, step: &Step) -> Point3<f64> {
        let x = step.nosing_x();
        self.site.at(x, 0.0, step.top(x, 0.0))
    }

    fn tread(&self) -> Vec<Shift> {
        let name = |step: &Step| vec![self.site.named(format_args!("T{}", step.number))];
        let nosings = self.treads().iter().filter_map(|step| {
            let then = self.moved.site.step(step.number)?;
            let pair = (Length::mm(step.overhang), Length::mm(then.overhang));
            Some(shift(
                ShiftKind::Nosing,
                name(step),
                pair,
                self.on_nosing(step),
            ))
        });
        let backs = self.treads().iter().map(|step| {
            let opens = match self.held {
                Held::Back => 0.0,
                Held::Front => -step.going * self.strains.treads.first,
            };
            let x = step.back_x();
            let at = self.site.at(x, 0.0, step.top(x, 0.0));
            let pair = (Length::ZERO, Length::mm(opens));
            shift(ShiftKind::BehindTread, name(step), pair, at)
        });
        [most(nosings), most(backs)].into_iter().flatten().collect()
    }

    /// The other kicks reach down behind the tread below them, so nothing is seen under them.
    fn first_kick(&self) -> Option<Shift> {
        let first = self.site.steps.first()?;
        let high = first.rise - first.thickness;
        let opens = -high * self.strains.kicks.first;
        let at = self
            .site
            .at(first.kick_x, 0.0, self.site.lower_floor(first.kick_x, 0.0));
        let parts = vec![self.site.named("K1")];
        let pair = (Length::ZERO, Length::mm(opens));
        Some(shift(ShiftKind::UnderKick, parts, pair, at))
    }

    fn skirts(&self) -> Vec<Shift> {
        let pairs = self.job.skirts.iter().zip(&self.moved.job.skirts);
        let first = self.site.steps.first();
        let at = first.map_or_else(Point3::origin, |step| {
            let x = step.nosing_x();
            self.site.at(x, step.wall_q, step.top(x, step.wall_q))
        });
        pairs
            .map(|(skirt, then)| {
                let pair = (skirt.above.value, then.above.value);
                shift(ShiftKind::Skirt, vec![skirt.name.clone()], pair, at)
            })
            .collect()
    }
}
