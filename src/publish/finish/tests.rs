//! Surfaces held against the published encoding of sRGB, and looks against what they state.

use super::*;
use crate::job::{FinishOf, Light};

fn look(finishes: Vec<FinishOf>) -> Look {
    Look {
        name: "a".to_owned(),
        note: String::new(),
        finishes,
        wall: None,
        floor: None,
        light: Light::Day,
    }
}

#[test]
fn light_and_values_of_srgb_are_those_of_the_standard() {
    // IEC 61966-2-1:1999: 0.5 of the scale is 0.2140 of the light; the linear part ends at 0.04045.
    approx::assert_abs_diff_eq!(linear(255), 1.0, epsilon = 1e-12);
    approx::assert_abs_diff_eq!(linear(0), 0.0, epsilon = 1e-12);
    approx::assert_abs_diff_eq!(linear(188), 0.502_886, epsilon = 1e-6);
    approx::assert_abs_diff_eq!(linear(10), 10.0 / 255.0 / 12.92, epsilon = 1e-12);
    for value in 0..=255 {
        assert_eq!(encoded(linear(value)), value);
    }
}

#[test]
fn the_later_of_two_finishes_counts_and_what_is_not_named_is_as_usual() {
    let paint = |colour| Finish::Paint {
        colour: Colour(colour),
        sheen: Sheen::Matt,
    };
    let of = |of: &[Finished], is| FinishOf {
        of: of.to_vec(),
        is,
    };
    let stated = look(vec![
        of(&[Finished::Treads, Finished::Newels], paint([1, 2, 3])),
        of(&[Finished::Newels], Finish::Metal(Metal::Brass)),
    ]);
    let at = |part| surface(&stated, Stuff::Of(part), None);
    assert_eq!(at(Finished::Treads).colour, Colour([1, 2, 3]));
    assert!(at(Finished::Newels).metal > 0.5);
    let oak = timber("white oak").unwrap();
    assert_eq!(at(Finished::Rails).colour, Colour(oak.colour));
}

#[test]
fn timber_without_a_species_is_of_the_wood_that_the_job_states() {
    let wood: Wood = ron::from_str(
        r#"(species: "black walnut", but: [(of: Treads, species: Some("sugar maple"))],
            fitted: 8.0, driest: 6.0, wettest: 10.0)"#,
    )
    .unwrap();
    let plain = look(Vec::new());
    let colour = |part| surface(&plain, Stuff::Of(part), Some(&wood)).colour;
    let of = |name: &str| Colour(timber(name).unwrap().colour);
    assert_eq!(colour(Finished::Rails), of("black walnut"));
    assert_eq!(colour(Finished::Treads), of("sugar maple"));
}

#[test]
fn metal_and_glass_stay_so_whatever_balusters_are_finished_with() {
    let oak = Finish::Timber {
        species: None,
        stain: None,
        sheen: Sheen::Satin,
    };
    let stated = look(vec![FinishOf {
        of: vec![Finished::Balusters, Finished::Panels],
        is: oak,
    }]);
    assert!(surface(&stated, Stuff::Glass, None).cover < 1.0);
    let metal = surface(&stated, Stuff::MetalBalusters, None);
    assert_eq!(metal, of_metal(Metal::Blacked));
}

#[test]
fn a_stain_lies_between_the_timber_and_itself() {
    let (under, over) = (Colour([200, 160, 100]), Colour([60, 40, 20]));
    assert_eq!(mixed(under, over, 0.0), under);
    assert_eq!(mixed(under, over, 1.0), over);
    for (at, one) in mixed(under, over, STAIN).0.into_iter().enumerate() {
        assert!(over.0[at] < one && one < under.0[at]);
    }
}

#[test]
fn a_look_says_what_the_stair_has() {
    let [first, ..] = &usual_looks()[..] else {
        panic!("there are usual looks")
    };
    let says = look_says(
        first,
        &[Finished::Treads, Finished::Rails, Finished::Balusters],
    );
    assert_eq!(
        says,
        "Treads and rails of timber, clear, satin; balusters painted, satin."
    );
}
