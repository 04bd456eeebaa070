//! The model as binary glTF 2.0, read back here by its published layout (Khronos, ISO/IEC 12113:2022,
//! sections 3.6 and 4.4), and held against the parts of the core. The Khronos validator and trimesh
//! read the same files among the reference checks.

use std::collections::BTreeSet;

use rakewell::publish::finish::{looks, usual_looks};
use rakewell::publish::gltf::{Fine, binary};
use rakewell::shop::parts::parts;
use serde_json::Value;

use super::{all, worked};

/// The two chunks of a GLB: what is told, and the arrays.
fn chunks(glb: &[u8]) -> (Value, &[u8]) {
    let word = |at: usize| u32::from_le_bytes(glb[at..at + 4].try_into().unwrap()) as usize;
    assert_eq!(&glb[..4], b"glTF");
    assert_eq!(word(4), 2, "the version of the container");
    assert_eq!(word(8), glb.len(), "the length of the whole");
    let told = word(12);
    assert_eq!(&glb[16..20], b"JSON");
    assert_eq!(told % 4, 0);
    let arrays = 20 + told;
    assert_eq!(&glb[arrays + 4..arrays + 8], b"BIN\0");
    assert_eq!(word(arrays) + arrays + 8, glb.len());
    let root = serde_json::from_slice(&glb[20..arrays]).unwrap();
    (root, &glb[arrays + 8..])
}

fn number(of: &Value) -> usize {
    usize::try_from(of.as_u64().unwrap()).unwrap()
}

/// The bytes that an accessor reads.
fn bytes<'a>(root: &Value, arrays: &'a [u8], accessor: &Value) -> (&'a [u8], usize, usize) {
    let accessor = &root["accessors"][number(accessor)];
    let view = &root["bufferViews"][number(&accessor["bufferView"])];
    let from = view["byteOffset"]
        .as_u64()
        .map_or(0, |at| usize::try_from(at).unwrap());
    let long = number(&view["byteLength"]);
    (
        &arrays[from..from + long],
        number(&accessor["count"]),
        number(&accessor["componentType"]),
    )
}

fn places(root: &Value, arrays: &[u8], accessor: &Value) -> Vec<[f64; 3]> {
    let (bytes, count, component) = bytes(root, arrays, accessor);
    assert_eq!(component, 5126, "floats");
    let all: Vec<f64> = bytes
        .chunks_exact(4)
        .map(|four| f64::from(f32::from_le_bytes(four.try_into().unwrap())))
        .collect();
    let all: Vec<[f64; 3]> = all
        .chunks_exact(3)
        .map(|at| at.try_into().unwrap())
        .collect();
    assert_eq!(all.len(), count);
    all
}

fn corners(root: &Value, arrays: &[u8], accessor: &Value) -> Vec<usize> {
    let (bytes, count, component) = bytes(root, arrays, accessor);
    let all: Vec<usize> = match component {
        5123 => bytes
            .chunks_exact(2)
            .map(|two| usize::from(u16::from_le_bytes(two.try_into().unwrap())))
            .collect(),
        5125 => bytes
            .chunks_exact(4)
            .map(|four| u32::from_le_bytes(four.try_into().unwrap()) as usize)
            .collect(),
        other => panic!("corners of sort {other}"),
    };
    assert!(all.len() >= count);
    all[..count].to_vec()
}

/// The volume that the triangles of a mesh enclose, cubic metres (divergence theorem).
fn volume(root: &Value, arrays: &[u8], mesh: &Value) -> f64 {
    let mut sum = 0.0;
    for primitive in mesh["primitives"].as_array().unwrap() {
        let places = places(root, arrays, &primitive["attributes"]["POSITION"]);
        let corners = corners(root, arrays, &primitive["indices"]);
        for three in corners.chunks_exact(3) {
            let [a, b, c] = [0, 1, 2].map(|at| nalgebra::Vector3::from(places[three[at]]));
            sum += a.dot(&b.cross(&c)) / 6.0;
        }
    }
    sum
}

#[test]
fn every_part_is_a_node_of_its_name_with_its_volume_and_box() {
    for (name, document) in all() {
        let job = document.job();
        let chain = worked(job);
        let parts = parts(&chain);
        let glb = binary(job, &chain, &parts, (&looks(job), Fine::Whole));
        let (root, arrays) = chunks(&glb);
        let nodes = root["nodes"].as_array().unwrap();
        // One more holds them all.
        assert_eq!(nodes.len(), parts.len() + 1, "{name}");
        for (node, part) in nodes.iter().zip(&parts) {
            assert_eq!(node["name"], part.name, "{name}");
            let mesh = &root["meshes"][number(&node["mesh"])];
            let litres = volume(&root, arrays, mesh) * 1e9;
            // Floats of a house of some metres: a micron on faces of a square metre.
            let give = 1e-4 * part.volume + 2000.0;
            assert!(
                (litres - part.volume).abs() < give,
                "{name}: {}: {litres} for {}",
                part.name,
                part.volume
            );
            let all: Vec<[f64; 3]> = mesh["primitives"]
                .as_array()
                .unwrap()
                .iter()
                .flat_map(|one| places(&root, arrays, &one["attributes"]["POSITION"]))
                .collect();
            // y up: x stays, z is the height, and y to the left is -z.
            let most = |axis: usize| all.iter().map(|at| at[axis]).fold(f64::MIN, f64::max);
            let high = [most(0), most(1)].map(|metres| metres * 1000.0);
            assert!(
                (high[0] - part.bounds.high.x).abs() < 0.01,
                "{name}: {}",
                part.name
            );
            assert!(
                (high[1] - part.bounds.high.z).abs() < 0.01,
                "{name}: {}",
                part.name
            );
            let left = -most(2) * 1000.0;
            assert!(
                (left - part.bounds.low.y).abs() < 0.01,
                "{name}: {}",
                part.name
            );
        }
    }
}

#[test]
fn every_look_is_a_variant_and_every_variant_has_a_material_for_every_part() {
    let (_, document) = all().swap_remove(0);
    let job = document.job();
    let chain = worked(job);
    let looks = usual_looks();
    let glb = binary(job, &chain, &parts(&chain), (&looks, Fine::Whole));
    let (root, _) = chunks(&glb);
    assert_eq!(root["extensionsUsed"][0], "KHR_materials_variants");
    let variants = root["extensions"]["KHR_materials_variants"]["variants"]
        .as_array()
        .unwrap();
    let names: Vec<&str> = variants
        .iter()
        .map(|one| one["name"].as_str().unwrap())
        .collect();
    let asked: Vec<&str> = looks.iter().map(|look| look.name.as_str()).collect();
    assert_eq!(names, asked);
    let materials = root["materials"].as_array().unwrap().len();
    let mut differ = 0;
    for mesh in root["meshes"].as_array().unwrap() {
        let first = &mesh["primitives"][0];
        let mappings = first["extensions"]["KHR_materials_variants"]["mappings"]
            .as_array()
            .unwrap();
        let mut told = BTreeSet::new();
        for mapping in mappings {
            assert!(number(&mapping["material"]) < materials);
            for variant in mapping["variants"].as_array().unwrap() {
                assert!(
                    told.insert(number(variant)),
                    "a look has one material for a part"
                );
            }
        }
        assert_eq!(told.len(), looks.len());
        differ += usize::from(mappings.len() > 1);
    }
    assert!(differ > 10, "looks differ in what is seen");
}

#[test]
fn one_job_gives_the_same_bytes_twice_and_names_stay_text() {
    let (_, document) = all().swap_remove(1);
    let job = document.job();
    let chain = worked(job);
    let parts = parts(&chain);
    let looks = looks(job);
    assert_eq!(
        binary(job, &chain, &parts, (&looks, Fine::Small)),
        binary(job, &chain, &parts, (&looks, Fine::Small))
    );
    let mut odd = job.clone();
    odd.name = "\"</script>\u{2028}\\ Ω".to_owned();
    let glb = binary(&odd, &chain, &parts, (&looks, Fine::Small));
    let (root, _) = chunks(&glb);
    assert_eq!(root["scenes"][0]["name"], odd.name.as_str());
}
