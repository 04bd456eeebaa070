//! Large stairs in few meshes: the parts of some neighbouring runs that are of one stuff are drawn as
//! one, until something of those runs moves.
//!
//! What a frame costs goes by how many things are drawn, not by how many corners they have: a house of
//! forty storeys has thousands of parts, of which a hand moves a handful.

use std::collections::BTreeSet;

use bevy::prelude::{Component, Resource};
use nalgebra::Point3;

use crate::solids::{Part, Solids};

use super::super::look::Stuff;
use super::Shown;

/// Neighbouring runs that are drawn together.
const RUNS: usize = 4;
/// Where more groups than this move at once, all is gathered anew: it is another stair, or drawn to
/// another stretch.
const MANY: usize = 6;
/// Nor are more groups than this kept apart.
const MOST_APART: usize = 12;

/// Whether large stairs are gathered: in the window they are, where frames count.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub(in crate::viewer) struct Gathers(pub(in crate::viewer) bool);

/// Parts that are drawn as one.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::viewer) struct Gathered {
    /// The group of runs that they belong to.
    pub(super) group: usize,
    /// What they are of.
    pub(super) stuff: Stuff,
}

impl Gathered {
    /// The name of the part of it that a place lies on, or nearest to.
    pub(in crate::viewer) fn at<'a>(&self, shown: &'a Shown, at: &Point3<f64>) -> Option<&'a str> {
        let solids = &shown.solids;
        let parts = solids.parts.iter().enumerate();
        let own = parts.filter(|(place, part)| {
            group(solids, *place) == self.group && shown.stuff(part) == self.stuff
        });
        let off = |part: &Part| {
            let pieces = part.pieces.iter().map(|piece| {
                let planes = piece.planes().iter().map(|plane| plane.distance(at));
                planes.fold(f64::NEG_INFINITY, f64::max).abs()
            });
            pieces.fold(f64::INFINITY, f64::min)
        };
        let nearest = own.min_by(|(_, a), (_, b)| off(a).total_cmp(&off(b)));
        nearest.map(|(_, part)| part.name.as_str())
    }
}

/// The group of runs that a part belongs to, by its place.
pub(super) fn group(solids: &Solids, place: usize) -> usize {
    solids.runs.get(place).map_or(0, |run| run / RUNS)
}

/// The groups in which a part came, went, moved or is of something else now. For each part that is
/// there, `was` tells where it was before and whether it has kept its shape.
pub(super) fn changed(
    (from, to): (&Solids, &Solids),
    was: &[Option<(usize, bool)>],
) -> BTreeSet<usize> {
    let mut left = vec![true; from.parts.len()];
    let mut changed = BTreeSet::new();
    for (place, was) in was.iter().enumerate() {
        let here = group(to, place);
        match was {
            Some((was, same)) => {
                left[*was] = false;
                if !same || group(from, *was) != here {
                    changed.extend([here, group(from, *was)]);
                }
            }
            None => {
                changed.insert(here);
            }
        }
    }
    let gone = (0..left.len()).filter(|place| left[*place]);
    changed.extend(gone.map(|place| group(from, place)));
    changed
}

/// What is to be done about what is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Follow {
    /// All of it is put up anew.
    Anew,
    /// Groups that moved are taken apart, and the rest stays.
    Apart,
}

/// Which groups are drawn as one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Gathering {
    on: bool,
    apart: BTreeSet<usize>,
}

impl Gathering {
    /// Whether a group is drawn as one.
    pub(super) fn gathered(&self, group: usize) -> bool {
        self.on && !self.apart.contains(&group)
    }

    /// Follows a change in some groups.
    pub(super) fn follow(&mut self, wanted: bool, changed: &BTreeSet<usize>) -> Follow {
        if self.on != wanted {
            *self = Self {
                on: wanted,
                apart: BTreeSet::new(),
            };
            return Follow::Anew;
        }
        if !self.on {
            return Follow::Apart;
        }
        let moved = changed.difference(&self.apart).count();
        if moved > MANY || self.apart.len() + moved > MOST_APART {
            self.apart.clear();
            return Follow::Anew;
        }
        self.apart.extend(changed);
        Follow::Apart
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solids::{Convex, PartKind};

    fn part(name: &str, at: f64) -> Part {
        let low = Point3::new(at, 0.0, 0.0);
        let high = Point3::new(at + 40.0, 40.0, 900.0);
        Part {
            name: name.to_owned(),
            kind: PartKind::Baluster,
            pieces: vec![Convex::cuboid(low, high).unwrap()],
        }
    }

    /// One baluster a run, 100 mm apart.
    fn solids(count: usize) -> Solids {
        Solids {
            parts: (0..count)
                .map(|at| part(&format!("B{at}"), 100.0 * at as f64))
                .collect(),
            runs: (0..count).collect(),
            joints: Vec::new(),
        }
    }

    fn same(count: usize) -> Vec<Option<(usize, bool)>> {
        (0..count).map(|at| Some((at, true))).collect()
    }

    #[test]
    fn groups_change_where_a_part_moves_comes_or_goes() {
        let (from, to) = (solids(12), solids(12));
        assert_eq!(changed((&from, &to), &same(12)), BTreeSet::new());
        let mut moved = same(12);
        moved[5] = Some((5, false));
        assert_eq!(changed((&from, &to), &moved), BTreeSet::from([1]));
        let mut new = same(12);
        new[9] = None;
        // The one that was there in its place is gone, from the same group.
        assert_eq!(changed((&from, &to), &new), BTreeSet::from([2]));
        let fewer = solids(8);
        assert_eq!(changed((&from, &fewer), &same(8)), BTreeSet::from([2]));
    }

    #[test]
    fn what_moves_is_taken_apart_and_another_stair_is_gathered_anew() {
        let mut gathering = Gathering::default();
        assert_eq!(gathering.follow(true, &BTreeSet::new()), Follow::Anew);
        assert!(gathering.gathered(0) && gathering.gathered(7));
        assert_eq!(gathering.follow(true, &BTreeSet::from([7])), Follow::Apart);
        assert!(gathering.gathered(0) && !gathering.gathered(7));
        let all: BTreeSet<usize> = (0..20).collect();
        assert_eq!(gathering.follow(true, &all), Follow::Anew);
        assert!(gathering.gathered(7));
        // A small stair is never gathered.
        assert_eq!(gathering.follow(false, &BTreeSet::new()), Follow::Anew);
        assert!(!gathering.gathered(0));
        assert_eq!(gathering.follow(false, &all), Follow::Apart);
    }

    #[test]
    fn a_hand_that_is_kept_busy_in_one_place_gathers_nothing_anew() {
        let mut gathering = Gathering::default();
        let _begun = gathering.follow(true, &BTreeSet::new());
        for _ in 0..100 {
            assert_eq!(
                gathering.follow(true, &BTreeSet::from([3, 4])),
                Follow::Apart
            );
        }
        for at in 0..100 {
            let _followed = gathering.follow(true, &BTreeSet::from([at]));
            assert!(gathering.apart.len() <= MOST_APART);
        }
    }

    #[test]
    fn what_is_clicked_is_the_part_that_the_place_lies_on() {
        let mut shown = Shown::nothing();
        shown.solids = std::sync::Arc::new(solids(12));
        let of = Gathered {
            group: 1,
            stuff: Stuff::Of(PartKind::Baluster),
        };
        for at in 4..8 {
            let face = Point3::new(100.0 * f64::from(at) + 40.0, 20.0, 450.0);
            assert_eq!(of.at(&shown, &face), Some(format!("B{at}").as_str()));
        }
        let other = Gathered { group: 9, ..of };
        assert_eq!(other.at(&shown, &Point3::origin()), None);
    }
}
