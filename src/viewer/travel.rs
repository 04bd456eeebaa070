//! The way of the eye from where it is to where it goes: not through a floor or a landing.
//!
//! Pure, in the frame of the first run, mm. Where the straight way would go through a floor, the eye
//! goes by way of a place from which both are seen.

use nalgebra::Point3;

use crate::solids::{Convex, PartKind, Solids};

use super::camera::{Eye, Free, Lens};

/// Places of a way that are looked at.
const PLACES: u32 = 48;
/// An eye is as good as at a place that it only passes through from this near: a share of the
/// distance that it looks over, and radians, together.
const NEAR: f64 = 0.12;

/// The floors and landings of a stair.
pub(super) fn floors(solids: &Solids) -> Vec<Convex> {
    let floors = solids
        .parts
        .iter()
        .filter(|part| part.kind == PartKind::Floor);
    floors.flat_map(|part| &part.pieces).cloned().collect()
}

/// Where the eye goes by way of; `None` where the straight way is free, and where none of the places
/// helps.
pub(super) fn by_way_of(
    from: &Eye,
    to: &Eye,
    places: impl IntoIterator<Item = Eye>,
    floors: &[Convex],
    free: &Free,
) -> Option<Eye> {
    if is_free(from, to, floors, free) {
        return None;
    }
    let mut places = places.into_iter();
    places.find(|place| {
        is_free(from, place, floors, free) && is_free(&nearly(from, place), to, floors, free)
    })
}

/// True where an eye that passes through a place may turn to what comes after it.
pub(super) fn passes(eye: &Eye, place: &Eye) -> bool {
    eye.off(place) < NEAR
}

/// The eye where it leaves the way to a place for what comes after it.
fn nearly(from: &Eye, place: &Eye) -> Eye {
    let share = (NEAR / from.off(place).max(NEAR)).min(1.0);
    from.towards(place, 1.0 - share)
}

/// Whether the straight way goes through no floor. A level eye stands nowhere.
fn is_free(from: &Eye, to: &Eye, floors: &[Convex], free: &Free) -> bool {
    let at = |i: u32| {
        let eye = from.towards(to, f64::from(i) / f64::from(PLACES));
        let far = eye.stand_off() > FAR_MM || eye.lens == Lens::Level;
        (!far).then(|| eye.stands(free))
    };
    let stands: Vec<Option<Point3<f64>>> = (0..=PLACES).map(at).collect();
    stands.windows(2).all(|pair| match pair {
        [Some(from), Some(to)] => !floors.iter().any(|floor| meets(floor, from, to)),
        _ => true,
    })
}

/// An eye that has drawn back farther than this is outside any house, mm.
const FAR_MM: f64 = 15_000.0;

/// Whether a bit of the way goes through a solid.
fn meets(solid: &Convex, from: &Point3<f64>, to: &Point3<f64>) -> bool {
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for plane in solid.planes() {
        let (start, end) = (plane.distance(from), plane.distance(to));
        if start > 0.0 && end > 0.0 {
            return false;
        }
        if start > 0.0 {
            enters = enters.max(start / (start - end));
        } else if end > 0.0 {
            leaves = leaves.min(start / (start - end));
        }
    }
    enters < leaves
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::viewer::lookout::eye;
    use crate::viewer::{Viewpoint, viewpoints};

    #[test]
    fn a_bit_of_way_meets_a_slab_that_it_goes_through_and_no_other() {
        let slab = Convex::cuboid(Point3::origin(), Point3::new(1000.0, 900.0, 25.0)).unwrap();
        let at = |x: f64, z: f64| Point3::new(x, 450.0, z);
        assert!(meets(&slab, &at(300.0, 500.0), &at(400.0, -500.0)));
        assert!(meets(&slab, &at(300.0, 10.0), &at(310.0, 12.0)));
        assert!(!meets(&slab, &at(300.0, 500.0), &at(400.0, 30.0)));
        assert!(!meets(&slab, &at(1100.0, 500.0), &at(1100.0, -500.0)));
        // Over the edge and under, past the corner: x + z = 1100 misses the edge at (1000, 25).
        assert!(!meets(&slab, &at(700.0, 400.0), &at(1400.0, -300.0)));
    }

    #[test]
    fn between_the_viewpoints_of_a_half_turn_no_way_goes_through_a_landing() {
        let text = include_str!("../../scenes/half-turn.ron");
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        let chain = crate::chain::run(document.job()).unwrap();
        let free = Free::whole(1.6);
        let floors = floors(&chain.solids);
        let all: Vec<(Viewpoint, Eye)> = viewpoints(&chain)
            .into_iter()
            .filter_map(|one| Some((one.clone(), eye(&one, &chain, &chain.solids, &free)?)))
            .collect();
        let places = [Viewpoint::Front, Viewpoint::Above];
        let places = places.map(|one| eye(&one, &chain, &chain.solids, &free).unwrap());
        let mut turned_aside = 0;
        for (name, from) in &all {
            for (goal, to) in &all {
                if is_free(from, to, &floors, &free) {
                    continue;
                }
                turned_aside += 1;
                let by = by_way_of(from, to, places, &floors, &free);
                assert!(by.is_some(), "{name} to {goal}");
            }
        }
        assert!(turned_aside > 0, "a landing is in some way");
    }
}
