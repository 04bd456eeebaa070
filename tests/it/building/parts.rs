//! Volumes, centres and lengths of parts against closed forms; what is the same in a mirror.

use std::collections::BTreeSet;

use approx::assert_relative_eq;
use rakewell::publish::json as publish_json;
use rakewell::publish::parts::{PART_COLUMNS, kind_sums, parts_csv};
use rakewell::shop::cuts::cut_list;
use rakewell::shop::parts::parts;
use rakewell::solids::PartKind;
use serde_json::Value;

use super::{CHAINS, chain_of, job_of, part, plumb};
use crate::cli::json::{documented, paths};

#[test]
fn boxes_have_the_volume_of_boxes() {
    // Elementary geometry. A tread runs from its nosing to the face of the kick behind, so it is a
    // going and an overhang deep; a kick stands from the tread below to under its own, and ends an
    // overhang in from the treads' ends.
    let chain = chain_of(&job_of(plumb("Left")));
    let all = parts(&chain);
    let tread = part(&all, "T2");
    assert_relative_eq!(
        tread.volume,
        (254.0 + 19.0) * 900.0 * 27.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(tread.length.as_mm(), 900.0, epsilon = 1e-9);
    // The second tread: nosing at x = 254 - 19, open end 57 outward (y up on the left), top at 360.
    let (x, y, z) = (235.0 + 273.0 / 2.0, 57.0 - 450.0, 360.0 - 13.5);
    assert_relative_eq!(tread.centre, nalgebra::Point3::new(x, y, z), epsilon = 1e-9);
    let kick = part(&all, "K2");
    assert_relative_eq!(
        kick.volume,
        (900.0 - 19.0) * 180.0 * 19.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(kick.length.as_mm(), 881.0, epsilon = 1e-9);
    let newel = part(&all, "N1");
    assert_relative_eq!(newel.length.as_mm(), 1200.0, epsilon = 1e-9);
    assert_relative_eq!(newel.volume, 89.0 * 89.0 * 1200.0, max_relative = 1e-12);
    assert!(all.iter().all(|part| part.shared <= f64::EPSILON));
}

#[test]
fn a_rail_between_plumb_newels_is_a_sheared_box() {
    // Between two plumb cuts a bar of width w and depth d on a pitch p is a parallelepiped: its volume
    // is the level distance, the width, and the plumb depth d / cos p.
    let chain = chain_of(&job_of(plumb("Left")));
    let all = parts(&chain);
    let slope = (180.0_f64 / 254.0).atan();
    let level = 1100.0 - -200.0 - 89.0;
    let rail = part(&all, "R1");
    assert_relative_eq!(
        rail.volume,
        level * 57.0 * 60.0 / slope.cos(),
        max_relative = 1e-9
    );
    // Between its long points, as the cut list has it.
    let cut = cut_list(&chain);
    let line = cut.of("R1").next().unwrap();
    assert_relative_eq!(
        rail.length.as_mm(),
        line.long_points.as_mm(),
        epsilon = 1e-6
    );
    assert_relative_eq!(
        rail.length.as_mm(),
        level / slope.cos() + 60.0 * slope.tan(),
        epsilon = 1e-6
    );
}

#[test]
fn a_mirrored_stair_has_mirrored_parts() {
    let [left, right] = ["Left", "Right"].map(|side| parts(&chain_of(&job_of(plumb(side)))));
    assert_eq!(left.len(), right.len());
    for one in &left {
        let other = part(&right, &one.name);
        assert_relative_eq!(one.volume, other.volume, max_relative = 1e-9);
        assert_relative_eq!(one.length.as_mm(), other.length.as_mm(), epsilon = 1e-6);
        assert_relative_eq!(one.centre.x, other.centre.x, epsilon = 1e-6);
        assert_relative_eq!(one.centre.y, -other.centre.y, epsilon = 1e-6);
        assert_relative_eq!(one.centre.z, other.centre.z, epsilon = 1e-6);
    }
}

#[test]
fn parts_have_a_centre_within_them_and_a_place_in_the_cut_list() {
    for (scene, chain) in CHAINS.iter() {
        let all = parts(chain);
        assert_eq!(all.len(), chain.solids.parts.len(), "{scene}");
        let lines = cut_list(chain).pieces;
        for part in &all {
            assert!(part.volume > 0.0, "{scene}: {}", part.name);
            for axis in 0..3 {
                let (low, high) = (part.bounds.low[axis], part.bounds.high[axis]);
                assert!(
                    (low..=high).contains(&part.centre[axis]),
                    "{scene}: {}",
                    part.name
                );
            }
            for line in &part.cut {
                assert!(lines[line - 1].members.contains(&part.name), "{scene}");
            }
            // What is cut in the shop is in the cut list.
            let shop = matches!(
                part.kind,
                PartKind::Newel | PartKind::Rail | PartKind::Baluster
            );
            assert!(!shop || !part.cut.is_empty(), "{scene}: {}", part.name);
        }
        let sums = kind_sums(&all);
        let count: usize = sums.iter().map(|sum| sum.count).sum();
        assert_eq!(count, all.len());
    }
}

#[test]
fn what_was_received_and_the_wood_stand_beside_the_parts() {
    let text = include_str!("../setout/fitted.ron");
    let chain = crate::shop::chain_of(text);
    let all = parts(&chain);
    let weighed = rakewell::chain::weigh(chain.first(), &chain.pack).unwrap();
    let placed: BTreeSet<(String, String)> = weighed
        .balusters
        .iter()
        .filter_map(|one| Some((one.at.as_ref()?.place.clone(), one.mark.clone())))
        .collect();
    let told: BTreeSet<(String, String)> = all
        .iter()
        .filter(|part| part.kind == PartKind::Baluster)
        .filter_map(|part| Some((part.name.clone(), part.received.clone()?)))
        .collect();
    assert!(!placed.is_empty());
    assert_eq!(told, placed);

    let mut job = plumb("Left");
    job["design"]["wood"] = serde_json::json!({
        "species": "red oak", "fitted": 8.0, "driest": 6.0, "wettest": 11.0,
        "but": [{ "of": "Rail", "species": "black walnut" }],
    });
    let all = parts(&chain_of(&job_of(job)));
    assert_eq!(part(&all, "R1").stuff.as_deref(), Some("black walnut"));
    assert_eq!(part(&all, "T1").stuff.as_deref(), Some("red oak"));
    assert_eq!(part(&all, "F0").stuff, None);
}

#[test]
fn the_table_has_a_cell_for_every_documented_column() {
    let text = include_str!("../../../DEVELOPERS.md");
    let (_, section) = text.split_once("### parts\n").unwrap();
    let section = section.split("\n#").next().unwrap();
    for column in PART_COLUMNS {
        assert!(section.contains(&format!("`{column}`")), "{column}");
    }
    let job = job_of(plumb("Left"));
    let chain = chain_of(&job);
    let all = parts(&chain);
    let table = parts_csv(&chain, &all, job.tape);
    assert_eq!(table.rows.len(), all.len());
    assert!(table.rows.iter().all(|row| row.len() == PART_COLUMNS.len()));
    let column = |name: &str| PART_COLUMNS.iter().position(|one| *one == name).unwrap();
    for (row, part) in table.rows.iter().zip(&all) {
        let volume: f64 = row[column("volume_mm3")].parse().unwrap();
        assert_relative_eq!(volume, part.volume, epsilon = 5e-5 + 1e-12 * part.volume);
        let y: f64 = row[column("high_y_mm")].parse().unwrap();
        assert_relative_eq!(y, part.bounds.high.y, epsilon = 5.1e-5);
        assert!(row.iter().all(|cell| !cell.starts_with("-0.0000")));
    }
}

#[test]
fn every_field_is_documented_and_every_documented_field_is_there() {
    let mut found = BTreeSet::new();
    let fitted = include_str!("../setout/fitted.ron");
    for text in [fitted, include_str!("../../../scenes/winders.ron")] {
        let chain = crate::shop::chain_of(text);
        let job = &chain.first().run.job;
        let told = publish_json::parts(job, &chain, &parts(&chain));
        let answer: Value = serde_json::from_str(&told).unwrap();
        assert_eq!(answer["format"], 1);
        paths(&answer, "", &mut found);
    }
    let plain = |all: &BTreeSet<String>| -> BTreeSet<String> {
        all.iter().map(|path| path.replace("[]", "")).collect()
    };
    assert_eq!(plain(&found), plain(&documented("parts")));
}
