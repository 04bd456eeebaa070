//! The bytes of a binary glTF file (GLB): arrays with their accessors, then the file about them.
//!
//! Source: Khronos glTF 2.0 specification (ISO/IEC 12113:2022), sections 3.6 and 4.4.

use gltf_json::accessor::{ComponentType, GenericComponentType, Type};
use gltf_json::buffer::{Stride, Target, View};
use gltf_json::validation::Checked::Valid;
use gltf_json::validation::USize64;
use gltf_json::{Accessor, Buffer, Index, Root};

/// The arrays of a file, and what tells of them.
#[derive(Debug, Default)]
pub(super) struct Arrays {
    bytes: Vec<u8>,
    pub(super) views: Vec<View>,
    pub(super) accessors: Vec<Accessor>,
}

/// What is pointed at within one file.
const ONLY: u32 = 0;

impl Arrays {
    /// Bytes that something else than an accessor reads.
    pub(super) fn view(&mut self, bytes: &[u8], target: Option<Target>) -> Index<View> {
        // Every array begins on a whole word, as floats must.
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
        let from = self.bytes.len();
        self.bytes.extend_from_slice(bytes);
        self.views.push(View {
            buffer: Index::new(ONLY),
            byte_length: USize64::from(bytes.len()),
            byte_offset: Some(USize64::from(from)),
            byte_stride: None,
            name: None,
            target: target.map(Valid),
            extensions: None,
            extras: None,
        });
        Index::new(self.views.len() as u32 - 1)
    }

    fn accessor(
        &mut self,
        view: Index<View>,
        (component, type_): (ComponentType, Type),
        count: usize,
        ends: Option<[Vec<f32>; 2]>,
    ) -> Index<Accessor> {
        let [min, max] = ends.map_or([None, None], |ends| {
            ends.map(|end| Some(end.into_iter().collect()))
        });
        self.accessors.push(Accessor {
            buffer_view: Some(view),
            byte_offset: None,
            count: USize64::from(count),
            component_type: Valid(GenericComponentType(component)),
            type_: Valid(type_),
            min,
            max,
            name: None,
            normalized: false,
            sparse: None,
            extensions: None,
            extras: None,
        });
        Index::new(self.accessors.len() as u32 - 1)
    }

    /// Numbers of corners: two bytes each where that is enough.
    pub(super) fn corners(&mut self, corners: &[u32]) -> Index<Accessor> {
        let most = corners.iter().copied().max().unwrap_or(0);
        let (bytes, component): (Vec<u8>, _) = if most < u32::from(u16::MAX) {
            let short = corners.iter().flat_map(|one| (*one as u16).to_le_bytes());
            (short.collect(), ComponentType::U16)
        } else {
            let long = corners.iter().flat_map(|one| one.to_le_bytes());
            (long.collect(), ComponentType::U32)
        };
        let view = self.view(&bytes, Some(Target::ElementArrayBuffer));
        self.accessor(view, (component, Type::Scalar), corners.len(), None)
    }

    /// Directions, a byte for each axis (`KHR_mesh_quantization`): a degree, which no eye sees on a flat
    /// face, for a third of the bytes.
    pub(super) fn directions(&mut self, of: &[[f32; 3]]) -> Index<Accessor> {
        let coarse = |one: &f32| ((one * 127.0).round() as i8).to_le_bytes();
        // Every one begins on a whole word.
        let bytes: Vec<u8> = of
            .iter()
            .flat_map(|one| one.iter().flat_map(coarse).chain([0]))
            .collect();
        let view = self.view(&bytes, Some(Target::ArrayBuffer));
        self.views[view.value()].byte_stride = Some(Stride(4));
        let made = self.accessor(view, (ComponentType::I8, Type::Vec3), of.len(), None);
        self.accessors[made.value()].normalized = true;
        made
    }

    /// An array of two or three floats each; `ends` with the least and the most of each.
    pub(super) fn floats<const N: usize>(
        &mut self,
        of: &[[f32; N]],
        ends: bool,
    ) -> Index<Accessor> {
        let bytes: Vec<u8> = of
            .iter()
            .flatten()
            .flat_map(|one| one.to_le_bytes())
            .collect();
        let view = self.view(&bytes, Some(Target::ArrayBuffer));
        let type_ = if N == 2 { Type::Vec2 } else { Type::Vec3 };
        let fold = |from: f32, pick: fn(f32, f32) -> f32| {
            (0..N)
                .map(|axis| of.iter().fold(from, |end, one| pick(end, one[axis])))
                .collect()
        };
        let ends = ends.then(|| {
            [
                fold(f32::INFINITY, f32::min),
                fold(f32::NEG_INFINITY, f32::max),
            ]
        });
        self.accessor(view, (ComponentType::F32, type_), of.len(), ends)
    }
}

/// The file: header, what it tells, arrays.
pub(super) fn whole(mut root: Root, arrays: Arrays) -> Vec<u8> {
    const MAGIC: &[u8; 4] = b"glTF";
    const VERSION: u32 = 2;
    let mut bytes = arrays.bytes;
    bytes.resize(bytes.len().next_multiple_of(4), 0);
    root.buffers = vec![Buffer {
        byte_length: USize64::from(bytes.len()),
        name: None,
        uri: None,
        extensions: None,
        extras: None,
    }];
    root.buffer_views = arrays.views;
    root.accessors = arrays.accessors;
    let mut text = serde_json::to_vec(&root).expect("what is told has names for keys, and no more");
    text.resize(text.len().next_multiple_of(4), b' ');
    let length = 12 + 8 + text.len() + 8 + bytes.len();
    let mut file = Vec::with_capacity(length);
    file.extend_from_slice(MAGIC);
    file.extend_from_slice(&VERSION.to_le_bytes());
    file.extend_from_slice(&(length as u32).to_le_bytes());
    for (kind, chunk) in [(b"JSON", &text), (b"BIN\0", &bytes)] {
        file.extend_from_slice(&(chunk.len() as u32).to_le_bytes());
        file.extend_from_slice(kind);
        file.extend_from_slice(chunk);
    }
    file
}
