//! How many balusters there are, as something to take hold of: the second face of a tread, or the
//! first along the rail, goes to where it would stand with more of them or fewer.

use std::collections::BTreeMap;

use nalgebra::{Point3, Vector3};

use crate::chain::RunChain;
use crate::job::Spacing;
use crate::job::limits::{MOST_ALONG_RAIL, MOST_PER_TREAD};
use crate::setout::BalusterSet;
use crate::setout::spacing::{count_on, even_gap};

use super::super::cure::own_count;
use super::{Handle, Takes};

/// Fewer and more than now that one can pull to along a rail.
const REACH: u32 = 12;

/// A number of balusters.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// The run, by its number.
    pub run: usize,
    /// The field of the file.
    pub field: String,
    /// How many there are.
    pub now: u32,
    /// Where the baluster that is held stands with each number of them, mm up the flight of where
    /// it stands now, and the text of the field then.
    places: BTreeMap<u32, (f64, String)>,
}

impl Count {
    /// The number whose place is nearest to one so far up the flight, mm.
    pub(super) fn nearest(&self, along: f64) -> u32 {
        let off = |place: f64| (place - along).abs();
        let all = self.places.iter();
        let nearest = all.min_by(|a, b| off(a.1.0).total_cmp(&off(b.1.0)));
        nearest.map_or(self.now, |(number, _)| *number)
    }

    /// How far up the flight the baluster that is held stands with so many.
    pub(super) fn place(&self, number: u32) -> f64 {
        self.places.get(&number).map_or(0.0, |(place, _)| *place)
    }

    pub(super) fn edit(&self, number: u32) -> Option<(String, String)> {
        let (_, text) = self.places.get(&number)?;
        Some((self.field.clone(), text.clone()))
    }

    /// The number before or after, where it can be had.
    #[must_use]
    pub fn beside(&self, more: bool) -> Option<u32> {
        let next = if more {
            self.now.checked_add(1)
        } else {
            self.now.checked_sub(1)
        };
        next.filter(|number| self.places.contains_key(number))
    }
}

/// The count that a baluster is one of: of its tread, or of its whole run.
pub(super) fn of(number: usize, run: &RunChain, one: &BalusterSet) -> Option<Handle> {
    match &run.run.job.design.balusters.spacing {
        Spacing::PerTread { .. } => per_tread(number, run, one),
        Spacing::AlongRail { .. } => along_rail(number, run, one),
        Spacing::Panels { .. } => None,
    }
}

fn handle(run: &RunChain, one: &BalusterSet, (x, what): (f64, String), count: Count) -> Handle {
    let middle = nalgebra::center(&one.foot, &one.top);
    let low = one.foot.z + (middle.z - one.foot.z) * 0.45;
    let at = Point3::new(x, middle.y, low);
    Handle {
        part: one.name.clone(),
        what,
        ways: ["more of them", "fewer of them"],
        at: run.frame.to_first(&at),
        way: run.frame.way_to_first(&Vector3::x()),
        takes: Takes::Count(count),
    }
}

fn per_tread(number: usize, run: &RunChain, one: &BalusterSet) -> Option<Handle> {
    let spacing = &run.run.job.design.balusters.spacing;
    let Spacing::PerTread { set_back, .. } = spacing else {
        return None;
    };
    let step = run.site.step(one.step)?;
    let now = count_on(spacing, one.step);
    let along = one.along.as_mm();
    // Going and width give the second's place: with one alone it is the next tread's first.
    let second = |count: u32| {
        let first = step.kick_x + set_back.mm() + along / 2.0;
        first + step.going / f64::from(count)
    };
    let fits = |count: &u32| f64::from(*count) * along < step.going;
    let counts = (1..=MOST_PER_TREAD).take_while(fits);
    let places = counts.filter_map(|count| {
        let (_, text) = own_count(spacing, one.step, count)?;
        Some((count, (second(count) - second(now), text)))
    });
    let count = Count {
        run: number,
        field: run.run.path("design.balusters.spacing.PerTread.but"),
        now,
        places: places.collect(),
    };
    let tread = run.site.named(format_args!("T{}", one.step));
    let what = format!("how many balusters stand on {tread}");
    Some(handle(run, one, (second(now), what), count))
}

fn along_rail(number: usize, run: &RunChain, one: &BalusterSet) -> Option<Handle> {
    let setout = &run.setout;
    let now = setout.choices.along_rail?;
    let first = setout.balusters.first()?;
    let width = first.along.as_mm();
    let gaps: f64 = setout.gaps.iter().map(|gap| gap.clear.as_mm()).sum();
    let widths: f64 = setout.balusters.iter().map(|one| one.along.as_mm()).sum();
    let clear = gaps + widths;
    let counts = now.saturating_sub(REACH).max(1)..=now.saturating_add(REACH);
    let held = |count: u32| even_gap(clear, width, count);
    let fit = counts.filter(|count| *count <= MOST_ALONG_RAIL && held(*count) > 0.0);
    // The one that is held goes with its own number of gaps and widths before it.
    let before = setout
        .balusters
        .iter()
        .position(|other| other.name == one.name)?;
    let before = before as f64;
    let place = |count: u32| (before + 1.0) * held(count) + before * width;
    let places = fit.map(|count| {
        let text = format!("AlongRail(count: Some({count}))");
        (count, (place(count) - place(now), text))
    });
    let count = Count {
        run: number,
        field: run.run.path("design.balusters.spacing"),
        now,
        places: places.collect(),
    };
    let what = "how many balusters stand along the rail".to_owned();
    Some(handle(run, one, (one.foot.x, what), count))
}
