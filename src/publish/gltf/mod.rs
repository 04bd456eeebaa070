//! The finished stair as binary glTF 2.0 (ISO/IEC 12113:2022): one file that the client's page shows
//! and that other programs open.
//!
//! In: a job, its chain, looks. Out: bytes of a GLB: a node for each part, called as it is in the
//! picture; metres, y up; a material for each surface, and every look as a variant
//! (`KHR_materials_variants`); what is told of a part as extras. Same job, same bytes. Does not:
//! compute anything about the stair.

mod file;
mod mesh;
mod paint;

use std::collections::BTreeMap;

use gltf_json::extensions;
use gltf_json::mesh::{Mode, Primitive, Semantic};
use gltf_json::validation::Checked::Valid;
use gltf_json::{Asset, Index, Material, Mesh, Node, Root, Scene};
use nalgebra::Vector3;
use serde_json::{Map, Value, json};

use crate::chain::Chain;
use crate::job::{Job, Look};
use crate::shop::parts::PartLine;
use crate::solids::{Part, PartKind};

use super::finish::{Stuff, of_other, surface};
use super::parts::{part_word, run_of};
use file::{Arrays, whole};
use mesh::Surfaces;
use paint::Paints;

pub use mesh::metres;

/// How fine a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fine {
    /// For any program that reads glTF 2.0.
    Whole,
    /// Smaller, for a page of ours: normals in bytes (`KHR_mesh_quantization`).
    Small,
}

/// The extension that lets normals be told in bytes.
const QUANTIZED: &str = "KHR_mesh_quantization";
/// The extension that switches looks.
const VARIANTS: &str = "KHR_materials_variants";
/// What the faces of a wall that look away from the room are painted with: a page may leave them out,
/// so that no wall hides the stair.
pub const BEHIND: &str = "behind the wall";

/// The stair in each of some looks, as the bytes of a GLB. `parts` are those of the chain.
///
/// A look's variant is called as the look is. The first is what a program shows that knows of no
/// variants.
#[must_use]
pub fn binary(
    job: &Job,
    chain: &Chain,
    parts: &[PartLine],
    (looks, fine): (&[Look], Fine),
) -> Vec<u8> {
    let mut writer = Writer {
        job,
        chain,
        looks,
        fine,
        other: of_other(chain),
        arrays: Arrays::default(),
        paints: Paints::default(),
        meshes: Vec::new(),
        nodes: Vec::new(),
    };
    for part in parts {
        writer.part(part);
    }
    writer.finish()
}

struct Writer<'a> {
    job: &'a Job,
    chain: &'a Chain,
    looks: &'a [Look],
    fine: Fine,
    other: BTreeMap<String, Stuff>,
    arrays: Arrays,
    paints: Paints,
    meshes: Vec<Mesh>,
    nodes: Vec<Node>,
}

impl Writer<'_> {
    fn part(&mut self, part: &PartLine) {
        let other = self.other.get(&part.name).copied();
        let stuff = other.unwrap_or(Stuff::of_kind(part.kind));
        let shape = Part {
            name: part.name.clone(),
            kind: part.kind,
            pieces: part.pieces.clone(),
        };
        let into = self.room_of(part);
        let faces = |normal: &Vector3<f64>| into.is_none_or(|into| into.dot(normal) > 0.5);
        let mut primitives = Vec::new();
        let shown = Surfaces::of(&shape, faces);
        primitives.extend(self.primitive(&shown, stuff, run_wood(self.chain, part)));
        if into.is_some() {
            let behind = Surfaces::of(&shape, |normal| !faces(normal));
            primitives.extend(self.behind(&behind));
        }
        if primitives.is_empty() {
            return;
        }
        self.meshes.push(Mesh {
            name: Some(part.name.clone()),
            primitives,
            weights: None,
            extensions: None,
            extras: None,
        });
        self.nodes.push(Node {
            mesh: Some(Index::new(self.meshes.len() as u32 - 1)),
            name: Some(part.name.clone()),
            extras: extras(&self.told(part)),
            ..Node::default()
        });
    }

    /// Which way the room lies of a wall.
    fn room_of(&self, part: &PartLine) -> Option<Vector3<f64>> {
        if part.kind != PartKind::Wall {
            return None;
        }
        Some(self.chain.first().site.wall(&part.name)?.into_room())
    }

    /// What is told of a part beside its shape. Lengths mm, volumes mm^3.
    fn told(&self, part: &PartLine) -> Value {
        let tape = self.job.tape;
        let word = part_word(part.kind, part.string);
        let says = match part.kind {
            PartKind::Wall | PartKind::Floor => word.to_owned(),
            _ => format!("{word}, {} long", tape.print(part.length)),
        };
        json!({
            "kind": word,
            "says": says,
            "run": run_of(self.chain, part),
            "length_mm": part.length.as_mm(),
            "volume_mm3": part.volume,
            "stuff": part.stuff,
            "cut": part.cut,
            "received": part.received,
        })
    }

    fn primitive(
        &mut self,
        shape: &Surfaces,
        stuff: Stuff,
        wood: Option<&crate::job::Wood>,
    ) -> Option<Primitive> {
        let looks = self.looks;
        let materials: Vec<Index<Material>> = looks
            .iter()
            .map(|look| {
                let surface = surface(look, stuff, wood);
                let name = format!("{}, {}", stuff_word(stuff), look.name);
                let plaster = stuff == Stuff::Wall;
                self.paints.of(&mut self.arrays, &name, surface, plaster)
            })
            .collect();
        let mut made = self.triangles(shape, *materials.first()?)?;
        if looks.len() > 1 {
            made.extensions = Some(extensions::mesh::Primitive {
                others: one(VARIANTS, json!({ "mappings": mappings(&materials) })),
            });
        }
        Some(made)
    }

    /// What of a wall looks away from the room.
    fn behind(&mut self, shape: &Surfaces) -> Option<Primitive> {
        let look = self.looks.first()?;
        let surface = surface(look, Stuff::Wall, None);
        let paint = self.paints.of(&mut self.arrays, BEHIND, surface, false);
        self.triangles(shape, paint)
    }

    fn triangles(&mut self, shape: &Surfaces, material: Index<Material>) -> Option<Primitive> {
        if shape.triangles.is_empty() {
            return None;
        }
        let arrays = &mut self.arrays;
        let normals = match self.fine {
            Fine::Whole => arrays.floats(&shape.normals, false),
            Fine::Small => arrays.directions(&shape.normals),
        };
        let attributes = BTreeMap::from([
            (
                Valid(Semantic::Positions),
                arrays.floats(&shape.places, true),
            ),
            (Valid(Semantic::Normals), normals),
            (
                Valid(Semantic::TexCoords(0)),
                arrays.floats(&shape.tile, false),
            ),
        ]);
        Some(Primitive {
            attributes,
            indices: Some(arrays.corners(&shape.triangles)),
            material: Some(material),
            mode: Valid(Mode::Triangles),
            targets: None,
            extensions: None,
            extras: None,
        })
    }

    fn finish(mut self) -> Vec<u8> {
        let children = (0..self.nodes.len() as u32).map(Index::new).collect();
        let name = if self.job.name.is_empty() {
            "stair"
        } else {
            &self.job.name
        };
        self.nodes.push(Node {
            children: Some(children),
            name: Some(name.to_owned()),
            ..Node::default()
        });
        let top = Index::new(self.nodes.len() as u32 - 1);
        let samplers = self.paints.samplers();
        let mut root = Root {
            asset: Asset {
                generator: Some(concat!("rakewell ", env!("CARGO_PKG_VERSION")).to_owned()),
                ..Asset::default()
            },
            scene: Some(Index::new(0)),
            scenes: vec![Scene {
                name: Some(name.to_owned()),
                nodes: vec![top],
                extensions: None,
                extras: None,
            }],
            nodes: self.nodes,
            meshes: self.meshes,
            materials: self.paints.materials,
            images: self.paints.images,
            textures: self.paints.textures,
            samplers,
            ..Root::default()
        };
        if self.fine == Fine::Small {
            root.extensions_used.push(QUANTIZED.to_owned());
            root.extensions_required.push(QUANTIZED.to_owned());
        }
        if self.looks.len() > 1 {
            let names: Vec<Value> = self
                .looks
                .iter()
                .map(|look| json!({ "name": look.name }))
                .collect();
            root.extensions_used.push(VARIANTS.to_owned());
            // It has other fields where Bevy asks for them.
            let mut known = extensions::root::Root::default();
            known
                .others
                .extend(one(VARIANTS, json!({ "variants": names })));
            root.extensions = Some(known);
        }
        whole(root, self.arrays)
    }
}

/// Which material stands for which looks.
fn mappings(materials: &[Index<Material>]) -> Vec<Value> {
    let mut by: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (look, material) in materials.iter().enumerate() {
        by.entry(material.value() as u32).or_default().push(look);
    }
    by.iter()
        .map(|(material, variants)| json!({ "material": material, "variants": variants }))
        .collect()
}

fn one(key: &str, value: Value) -> Map<String, Value> {
    Map::from_iter([(key.to_owned(), value)])
}

fn extras(told: &Value) -> gltf_json::Extras {
    serde_json::value::to_raw_value(told).ok()
}

/// The wood of the run that a part belongs to.
fn run_wood<'a>(chain: &'a Chain, part: &PartLine) -> Option<&'a crate::job::Wood> {
    chain.runs[part.run].run.job.design.wood.as_ref()
}

const fn stuff_word(stuff: Stuff) -> &'static str {
    match stuff {
        Stuff::Of(part) => part.words(),
        Stuff::MetalBalusters => "balusters of metal",
        Stuff::Glass => "glass",
        Stuff::Wall => "walls",
        Stuff::Floor => "floors",
    }
}
