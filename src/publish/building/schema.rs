//! The entities of ISO 16739-1:2018 (IFC 4) that a model is made of, each written with the arguments
//! that the standard gives it.
//!
//! In: names, numbers in mm, solids. Out: instances in a [`StepFile`]. The order of attributes and the
//! words of enumerations are the standard's, from memory, and held by ifcopenshell against the schema
//! in tests/reference/building.py.

use std::collections::BTreeMap;

use nalgebra::Point3;

use super::guid::{OUR_SPACE, compressed, named_uuid};
use super::step::{Arg, Header, Id, StepFile};
use crate::publish::pdf::Shade;
use crate::solids::Convex;

/// Coordinates are written to so many parts of a millimetre: two points nearer than that are one
/// anyway ([`crate::measure::tolerance::SAME_POINT_MM`]).
const GRID: f64 = 1e6;
/// The precision that readers are told to take points as one by, mm.
const PRECISION_MM: f64 = 1e-3;
/// The longest text that `IfcLabel` and `IfcIdentifier` hold.
const LONGEST_LABEL: usize = 255;

/// A thing of the model that others may belong to or be told of.
#[derive(Clone, Debug)]
pub(super) struct Thing {
    /// Its instance.
    pub(super) id: Id,
    /// What it is called among all things of the model.
    pub(super) key: String,
    /// Where it stands.
    pub(super) placement: Id,
}

/// An element of the building, before it is written.
#[derive(Clone, Debug)]
pub(super) struct Element<'a> {
    /// Its entity.
    pub(super) entity: &'static str,
    /// What it is called among all things of the model.
    pub(super) key: String,
    /// Its name.
    pub(super) name: &'a str,
    /// What is to be known of it.
    pub(super) description: Option<&'a str>,
    /// What it is, in our words; readers ask for it where `predefined` is `USERDEFINED`.
    pub(super) what: Option<&'static str>,
    /// What it is, in the standard's words.
    pub(super) predefined: &'static str,
    /// What it stands in.
    pub(super) within: &'a Thing,
    /// Its solids and colour, with the corner that its own coordinates are counted from.
    pub(super) body: Option<(&'a [Convex], Id, Point3<f64>)>,
}

/// A model under construction.
#[derive(Debug)]
pub(super) struct Model {
    file: StepFile,
    job: String,
    used: BTreeMap<String, u32>,
    body: Id,
    axes: Id,
}

impl Model {
    /// A model with its project, in millimetres with z up.
    pub(super) fn new(job: &str, name: &str, description: &str) -> (Self, Id) {
        let mut file = StepFile::default();
        let origin = file.add("IFCCARTESIANPOINT", &[Arg::reals([0.0; 3])]);
        let axes = file.add(
            "IFCAXIS2PLACEMENT3D",
            &[Arg::Ref(origin), Arg::Null, Arg::Null],
        );
        let context = file.add(
            "IFCGEOMETRICREPRESENTATIONCONTEXT",
            &[
                Arg::Null,
                Arg::text("Model"),
                Arg::Whole(3),
                Arg::Real(PRECISION_MM),
                Arg::Ref(axes),
                Arg::Null,
            ],
        );
        let body = file.add(
            "IFCGEOMETRICREPRESENTATIONSUBCONTEXT",
            &[
                Arg::text("Body"),
                Arg::text("Model"),
                Arg::Derived,
                Arg::Derived,
                Arg::Derived,
                Arg::Derived,
                Arg::Ref(context),
                Arg::Null,
                Arg::Word("MODEL_VIEW"),
                Arg::Null,
            ],
        );
        let units = units(&mut file);
        let mut model = Self {
            file,
            job: job.to_owned(),
            used: BTreeMap::new(),
            body,
            axes,
        };
        let guid = model.guid("project");
        let project = model.file.add(
            "IFCPROJECT",
            &[
                guid,
                Arg::Null,
                label(name),
                Arg::text(description),
                Arg::Null,
                Arg::Null,
                Arg::Null,
                Arg::refs(&[context]),
                Arg::Ref(units),
            ],
        );
        (model, project)
    }

    /// The whole file.
    pub(super) fn text(self, header: &Header<'_>) -> String {
        self.file.text(header)
    }

    /// The identifier of a thing. Things that are called alike are told apart by how many of them came
    /// before.
    fn guid(&mut self, key: &str) -> Arg {
        let count = self.used.entry(key.to_owned()).or_insert(0);
        *count += 1;
        let again = if *count > 1 {
            format!("#{count}")
        } else {
            String::new()
        };
        let name = format!("{}\n{key}{again}", self.job);
        Arg::Text(compressed(named_uuid(OUR_SPACE, &name)))
    }

    /// A place in another, with axes that run as those of the other.
    fn placement(&mut self, within: Option<Id>, at: Option<Point3<f64>>) -> Id {
        let axes = at.map_or(self.axes, |at| {
            let point = self
                .file
                .add("IFCCARTESIANPOINT", &[Arg::reals(at.iter().copied())]);
            self.file.add(
                "IFCAXIS2PLACEMENT3D",
                &[Arg::Ref(point), Arg::Null, Arg::Null],
            )
        });
        self.file.add(
            "IFCLOCALPLACEMENT",
            &[within.map_or(Arg::Null, Arg::Ref), Arg::Ref(axes)],
        )
    }

    /// A site, building or storey; `more` are the attributes after its composition.
    pub(super) fn place(
        &mut self,
        entity: &str,
        name: &str,
        within: Option<&Thing>,
        more: &[Arg],
    ) -> Thing {
        let placement = self.placement(within.map(|one| one.placement), None);
        let key = name.to_lowercase();
        let mut args = vec![
            self.guid(&key),
            Arg::Null,
            label(name),
            Arg::Null,
            Arg::Null,
            Arg::Ref(placement),
            Arg::Null,
            Arg::Null,
            Arg::Word("ELEMENT"),
        ];
        args.extend(more.iter().cloned());
        let id = self.file.add(entity, &args);
        Thing { id, key, placement }
    }

    /// An element, with its shape where it has one.
    pub(super) fn element(&mut self, element: &Element<'_>) -> Thing {
        let at = element.body.map(|(.., at)| snapped(at));
        let placement = self.placement(Some(element.within.placement), at);
        let shape = element
            .body
            .zip(at)
            .map_or(Arg::Null, |((pieces, style, _), at)| {
                Arg::Ref(self.shape(pieces, style, at))
            });
        let mut args = vec![
            self.guid(&element.key),
            Arg::Null,
            label(element.name),
            element.description.map_or(Arg::Null, Arg::text),
            element.what.map_or(Arg::Null, label),
            Arg::Ref(placement),
            shape,
            label(element.name),
        ];
        if element.entity == "IFCSTAIRFLIGHT" {
            // Risers, treads and their sizes: the standard wants them in the property set.
            args.extend([Arg::Null, Arg::Null, Arg::Null, Arg::Null]);
        }
        args.push(Arg::Word(element.predefined));
        Thing {
            id: self.file.add(element.entity, &args),
            key: element.key.clone(),
            placement,
        }
    }

    /// The shape of a part: each convex piece a closed set of flat faces.
    fn shape(&mut self, pieces: &[Convex], style: Id, at: Point3<f64>) -> Id {
        let mut items = Vec::with_capacity(pieces.len());
        for piece in pieces {
            let Some(item) = self.face_set(piece, at) else {
                continue;
            };
            self.file.add(
                "IFCSTYLEDITEM",
                &[Arg::Ref(item), Arg::refs(&[style]), Arg::Null],
            );
            items.push(item);
        }
        let representation = self.file.add(
            "IFCSHAPEREPRESENTATION",
            &[
                Arg::Ref(self.body),
                Arg::text("Body"),
                Arg::text("Tessellation"),
                Arg::refs(&items),
            ],
        );
        self.file.add(
            "IFCPRODUCTDEFINITIONSHAPE",
            &[Arg::Null, Arg::Null, Arg::refs(&[representation])],
        )
    }

    fn face_set(&mut self, piece: &Convex, at: Point3<f64>) -> Option<Id> {
        let (corners, faces) = faceted(piece, at);
        if faces.len() < 4 {
            return None;
        }
        let points = corners
            .iter()
            .map(|corner| Arg::reals(corner.iter().copied()));
        let points = self
            .file
            .add("IFCCARTESIANPOINTLIST3D", &[Arg::List(points.collect())]);
        let faces: Vec<Id> = faces
            .iter()
            .map(|face| {
                let ring = face.iter().map(|corner| Arg::Whole(*corner as u64));
                self.file
                    .add("IFCINDEXEDPOLYGONALFACE", &[Arg::List(ring.collect())])
            })
            .collect();
        Some(self.file.add(
            "IFCPOLYGONALFACESET",
            &[
                Arg::Ref(points),
                Arg::Word("T"),
                Arg::refs(&faces),
                Arg::Null,
            ],
        ))
    }

    /// A colour to draw parts in.
    pub(super) fn style(&mut self, name: &str, Shade(red, green, blue): Shade) -> Id {
        let share = |part: u8| Arg::Real((f64::from(part) / 255.0 * 1e3).round() / 1e3);
        let colour = self.file.add(
            "IFCCOLOURRGB",
            &[Arg::Null, share(red), share(green), share(blue)],
        );
        let shading = self.file.add(
            "IFCSURFACESTYLESHADING",
            &[Arg::Ref(colour), Arg::Real(0.0)],
        );
        self.file.add(
            "IFCSURFACESTYLE",
            &[label(name), Arg::Word("BOTH"), Arg::refs(&[shading])],
        )
    }

    /// Says of what a whole is made up.
    pub(super) fn aggregate(&mut self, whole: Id, key: &str, parts: &[Id]) {
        if parts.is_empty() {
            return;
        }
        let guid = self.guid(&format!("parts of {key}"));
        self.file.add(
            "IFCRELAGGREGATES",
            &[
                guid,
                Arg::Null,
                Arg::Null,
                Arg::Null,
                Arg::Ref(whole),
                Arg::refs(parts),
            ],
        );
    }

    /// Says what stands in a storey.
    pub(super) fn contain(&mut self, storey: &Thing, elements: &[Id]) {
        if elements.is_empty() {
            return;
        }
        let guid = self.guid(&format!("what stands in {}", storey.key));
        self.file.add(
            "IFCRELCONTAINEDINSPATIALSTRUCTURE",
            &[
                guid,
                Arg::Null,
                Arg::Null,
                Arg::Null,
                Arg::refs(elements),
                Arg::Ref(storey.id),
            ],
        );
    }

    /// Says what elements are made of.
    pub(super) fn material(&mut self, name: &str, elements: &[Id]) {
        let material = self
            .file
            .add("IFCMATERIAL", &[label(name), Arg::Null, Arg::Null]);
        let guid = self.guid(&format!("made of {name}"));
        self.file.add(
            "IFCRELASSOCIATESMATERIAL",
            &[
                guid,
                Arg::Null,
                Arg::Null,
                Arg::Null,
                Arg::refs(elements),
                Arg::Ref(material),
            ],
        );
    }

    /// Tells properties of a thing; nothing where there are none.
    pub(super) fn properties(
        &mut self,
        of: &Thing,
        set: &str,
        description: Option<&str>,
        properties: Vec<(&str, Arg)>,
    ) {
        let ids: Vec<Id> = properties
            .into_iter()
            .map(|(name, value)| {
                self.file.add(
                    "IFCPROPERTYSINGLEVALUE",
                    &[Arg::text(name), Arg::Null, value, Arg::Null],
                )
            })
            .collect();
        self.define(of, "IFCPROPERTYSET", set, description, &[], &ids);
    }

    /// Tells quantities of a thing: a volume, mm^3, and a length, mm, where it has one.
    pub(super) fn quantities(&mut self, of: &Thing, set: &str, volume: f64, length: Option<f64>) {
        let mut ids = Vec::new();
        let mut add = |entity: &str, name: &str, value: f64| {
            let args = [
                Arg::text(name),
                Arg::Null,
                Arg::Null,
                Arg::Real(value),
                Arg::Null,
            ];
            ids.push(self.file.add(entity, &args));
        };
        if let Some(length) = length {
            add("IFCQUANTITYLENGTH", "Length", length);
        }
        // Volumes are in cubic metres: a prefix on that unit is read in two ways.
        add("IFCQUANTITYVOLUME", "NetVolume", volume / 1e9);
        let how = [Arg::text("of the solids as drawn")];
        self.define(of, "IFCELEMENTQUANTITY", set, None, &how, &ids);
    }

    fn define(
        &mut self,
        of: &Thing,
        entity: &str,
        set: &str,
        description: Option<&str>,
        before: &[Arg],
        members: &[Id],
    ) {
        if members.is_empty() {
            return;
        }
        let mut args = vec![
            self.guid(&format!("{set} of {}", of.key)),
            Arg::Null,
            label(set),
            description.map_or(Arg::Null, Arg::text),
        ];
        args.extend(before.iter().cloned());
        args.push(Arg::refs(members));
        let defined = self.file.add(entity, &args);
        let guid = self.guid(&format!("{set} told of {}", of.key));
        self.file.add(
            "IFCRELDEFINESBYPROPERTIES",
            &[
                guid,
                Arg::Null,
                Arg::Null,
                Arg::Null,
                Arg::refs(&[of.id]),
                Arg::Ref(defined),
            ],
        );
    }
}

/// Millimetres; areas and volumes in metres; angles in radians.
fn units(file: &mut StepFile) -> Id {
    let mut unit = |kind, prefix: Option<&'static str>, name| {
        let prefix = prefix.map_or(Arg::Null, Arg::Word);
        file.add(
            "IFCSIUNIT",
            &[Arg::Derived, Arg::Word(kind), prefix, Arg::Word(name)],
        )
    };
    let all = [
        unit("LENGTHUNIT", Some("MILLI"), "METRE"),
        unit("AREAUNIT", None, "SQUARE_METRE"),
        unit("VOLUMEUNIT", None, "CUBIC_METRE"),
        unit("PLANEANGLEUNIT", None, "RADIAN"),
    ];
    file.add("IFCUNITASSIGNMENT", &[Arg::refs(&all)])
}

/// Text that the standard gives so many characters.
pub(super) fn label(text: &str) -> Arg {
    Arg::Text(text.chars().take(LONGEST_LABEL).collect())
}

/// A point on the grid that coordinates are written to.
fn snapped(point: Point3<f64>) -> Point3<f64> {
    // Nought is added so that none is a negative zero.
    point.map(|number| (number * GRID).round() / GRID + 0.0)
}

/// The corners of a piece that its faces use, counted from a point, and its faces as their numbers
/// from 1. Corners that fall together on the grid are one, and a face that they close is left out.
fn faceted(piece: &Convex, at: Point3<f64>) -> (Vec<Point3<f64>>, Vec<Vec<usize>>) {
    let mut corners: Vec<Point3<f64>> = Vec::new();
    let mut numbers: Vec<Option<usize>> = vec![None; piece.corners().len()];
    let mut faces = Vec::with_capacity(piece.faces().len());
    for face in piece.faces() {
        let mut ring: Vec<usize> = Vec::with_capacity(face.len());
        for &index in face {
            let number = *numbers[index].get_or_insert_with(|| {
                let corner = snapped(Point3::from(piece.corners()[index] - at));
                let known = corners.iter().position(|one| *one == corner);
                known.unwrap_or_else(|| {
                    corners.push(corner);
                    corners.len() - 1
                }) + 1
            });
            if ring.last() != Some(&number) {
                ring.push(number);
            }
        }
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() > 2 {
            faces.push(ring);
        }
    }
    (corners, faces)
}
