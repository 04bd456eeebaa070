//! Where a rail may come to lie: two ribbons along the middle of its top, one plumb for up and down,
//! one level for in and out. The inner band of each, within solid edges, holds the rail half of the
//! time; the outer one, within dashed edges, 19 times in 20. They are drawn as many times as large as
//! departures are, about the rail as it is drawn, and show through the rail itself.

use bevy::asset::RenderAssetUsages;
use bevy::color::Alpha as _;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::picking::Pickable;
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, DetectChangesMut as _, Entity,
    GizmoAsset, IntoScheduleConfigs as _, Query, Res, ResMut, Resource, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::doubt::{Fan, Spot};
use crate::measure::Length;

use super::super::edges::Segment;
use super::super::{Mood, Showing, Solved, ViewerSystems, convert, look};
use super::{Shown, pencil, ready};

/// The share of the draws that each band holds, and how much it covers.
const BANDS: [(f64, f32); 2] = [(OUTER, 0.24), (INNER, 0.34)];
const OUTER: f64 = 0.95;
const INNER: f64 = 0.5;
/// Dashes and the gaps between them, mm.
const DASH_MM: f64 = 46.0;
const GAP_MM: f64 = 26.0;
/// Widths of the edges of the inner and the outer band.
const SOLID: f32 = 1.3;
const DASHED: f32 = 1.1;
/// A band that is nowhere wider than this is none, mm.
const NONE_MM: f64 = 0.02;
/// A ribbon shows through so much of what it lies in: about a fiftieth of its distance.
const THROUGH: f32 = 200_000.0;
const LINES_THROUGH: f32 = -0.0045;

/// The fans of the stair that is on show, where it was drawn.
#[derive(Resource, Clone, Debug, Default)]
pub(in crate::viewer) struct Fans(pub(in crate::viewer) Vec<Fan>);

/// The top end of a fan, for its label.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) struct Tip {
    /// Where the rail is drawn there, mm.
    pub(in crate::viewer) at: Point3<f64>,
    /// Its outer band: up and down, then outward; least and most.
    pub(in crate::viewer) bands: [(Length, Length); 2],
}

/// The fans that are drawn now.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub(in crate::viewer) struct Tips(pub(in crate::viewer) Vec<Tip>);

/// The two ways in which a rail may be off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Plumb,
    Out,
}

impl Way {
    const BOTH: [Self; 2] = [Self::Plumb, Self::Out];

    /// Its place in [`Spot::band`].
    const fn place(self) -> usize {
        self as usize
    }

    const fn ink(self) -> look::Tone {
        match self {
            Self::Plumb => look::MADDER,
            Self::Out => look::VERDIGRIS,
        }
    }
}

/// How a rail is drawn: which way is out, how far its ends are moved, and how many times as large
/// what it is off by is drawn.
struct Drawing {
    out: Vector3<f64>,
    moved: [Vector3<f64>; 2],
    stretch: f64,
}

impl Drawing {
    fn of(fan: &Fan, chain: &Chain, shown: &Shown, stretch: f64) -> Option<Self> {
        let run = chain.runs.get(fan.run)?;
        let outward = Vector3::new(0.0, run.site.outward, 0.0);
        let (first, last) = (fan.places.first()?, fan.places.last()?);
        let names = [fan.rail.clone()];
        let moved = [first, last].map(|spot| shown.place(&spot.at, &names) - spot.at);
        Some(Self {
            out: run.frame.way_to_first(&outward),
            moved,
            stretch,
        })
    }

    /// Where a place of the rail is drawn.
    fn at(&self, spot: &Spot) -> Point3<f64> {
        spot.at + self.moved[0].lerp(&self.moved[1], spot.share)
    }

    fn direction(&self, way: Way) -> Vector3<f64> {
        match way {
            Way::Plumb => Vector3::new(0.0, 0.0, 1.0),
            Way::Out => self.out,
        }
    }
}

/// A band along a rail: the places of its two edges.
#[derive(Clone, Debug, PartialEq)]
struct Ribbon {
    low: Vec<Point3<f64>>,
    high: Vec<Point3<f64>>,
}

/// The band that holds a share of the draws, as it is drawn; `None` where there is none.
fn ribbon(fan: &Fan, drawing: &Drawing, way: Way, share: f64) -> Option<Ribbon> {
    let along = drawing.direction(way);
    let mut ribbon = Ribbon {
        low: Vec::new(),
        high: Vec::new(),
    };
    let mut widest = 0.0_f64;
    for spot in &fan.places {
        let (low, high) = spot.band(share)?[way.place()];
        widest = widest.max((high - low).as_mm());
        let edge = |by: Length| drawing.at(spot) + along * (by.as_mm() * drawing.stretch);
        ribbon.low.push(edge(low));
        ribbon.high.push(edge(high));
    }
    (widest > NONE_MM).then_some(ribbon)
}

fn tip(fan: &Fan, drawing: &Drawing) -> Option<Tip> {
    let last = fan.places.last()?;
    Some(Tip {
        at: drawing.at(last),
        bands: last.band(OUTER)?,
    })
}

/// The lines along its edges and across its ends.
fn edges(ribbon: &Ribbon) -> Vec<Segment> {
    let along = |edge: &[Point3<f64>]| -> Vec<Segment> {
        edge.windows(2).map(|pair| (pair[0], pair[1])).collect()
    };
    let mut lines = along(&ribbon.low);
    lines.extend(along(&ribbon.high));
    lines
}

fn ends(ribbon: &Ribbon) -> Vec<Segment> {
    let pairs: Vec<Segment> = ribbon
        .low
        .iter()
        .copied()
        .zip(ribbon.high.iter().copied())
        .collect();
    let ends = [pairs.first(), pairs.last()];
    ends.into_iter().flatten().copied().collect()
}

/// Lines as dashes, each line from its own start.
pub(super) fn dashed(lines: &[Segment]) -> Vec<Segment> {
    lines
        .iter()
        .flat_map(|(from, to)| {
            let length = (to - from).norm();
            let count = (length / (DASH_MM + GAP_MM)).ceil().max(1.0);
            // Whole dashes, so that lines that meet go on evenly.
            let step = length / count;
            let dash = step * DASH_MM / (DASH_MM + GAP_MM);
            let along = (to - from) / length.max(f64::MIN_POSITIVE);
            let at = move |far: f64| from + along * far;
            (0..count as usize).map(move |one| {
                let start = one as f64 * step;
                (at(start), at(start + dash))
            })
        })
        .collect()
}

fn mesh_of(ribbon: &Ribbon) -> Mesh {
    let pairs = ribbon.low.iter().zip(&ribbon.high);
    let places: Vec<[f32; 3]> = pairs
        .flat_map(|(low, high)| [low, high].map(|at| convert::point(at).to_array()))
        .collect();
    let normals = vec![[0.0_f32, 1.0, 0.0]; places.len()];
    let steps = ribbon.low.len().saturating_sub(1) as u32;
    let triangles = (0..steps).flat_map(|step| {
        let at = 2 * step;
        [at, at + 2, at + 1, at + 1, at + 2, at + 3]
    });
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, places)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_indices(Indices::U32(triangles.collect()))
}

#[derive(Component)]
struct OfFan;

/// What it is drawn with.
#[derive(bevy::ecs::system::SystemParam)]
struct Makers<'w, 's> {
    commands: Commands<'w, 's>,
    meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    lines: ResMut<'w, Assets<GizmoAsset>>,
}

impl Makers<'_, '_> {
    fn spawn(&mut self, ribbon: &Ribbon, way: Way, (share, cover): (f64, f32)) {
        let ink = look::colour(way.ink());
        let wash = self.materials.add(StandardMaterial {
            base_color: ink.with_alpha(cover),
            alpha_mode: AlphaMode::Blend,
            unlit: true,
            double_sided: true,
            cull_mode: None,
            depth_bias: THROUGH,
            ..StandardMaterial::default()
        });
        self.commands.spawn((
            Mesh3d(self.meshes.add(mesh_of(ribbon))),
            MeshMaterial3d(wash),
            NotShadowCaster,
            Pickable::IGNORE,
            OfFan,
        ));
        let inner = share <= INNER;
        let (lines, width) = if inner {
            (edges(ribbon), SOLID)
        } else {
            let mut lines = dashed(&edges(ribbon));
            lines.extend(ends(ribbon));
            (lines, DASHED)
        };
        let mut gizmo = pencil::lines(&mut self.lines, lines, ink, width);
        gizmo.depth_bias = LINES_THROUGH;
        self.commands.spawn((gizmo, OfFan));
    }
}

fn sync(
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    showing: Res<Showing>,
    fans: Res<Fans>,
    mut tips: ResMut<Tips>,
    mut makers: Makers,
    before: Query<Entity, With<OfFan>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() && !fans.is_changed() {
        return;
    }
    for old in &before {
        makers.commands.entity(old).despawn();
    }
    let mut now = Vec::new();
    let drawn = showing.mood == Mood::Work && showing.fan;
    for fan in fans.0.iter().filter(|_| drawn) {
        let Some(drawing) = Drawing::of(fan, &solved.found, &shown, showing.stretch) else {
            continue;
        };
        for way in Way::BOTH {
            for band in BANDS {
                if let Some(ribbon) = ribbon(fan, &drawing, way, band.0) {
                    makers.spawn(&ribbon, way, band);
                }
            }
        }
        now.extend(tip(fan, &drawing));
    }
    tips.set_if_neq(Tips(now));
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Fans>()
        .init_resource::<Tips>()
        .add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doubt::Spread;
    use approx::assert_relative_eq;

    /// Evenly spread from minus to plus so much: the middle half lies within half of it, the middle
    /// 95 in 100 within 0.95 of it.
    fn even(within: f64) -> Spread {
        let mut spread = Spread::about(0.0, 0.001, 100_000);
        for step in -2_000..=2_000_i32 {
            spread.add(within * f64::from(step) / 2_000.0);
        }
        spread
    }

    /// A rail that rises 3 in 4 over a metre and a half, surer at its foot than at its head.
    fn fan() -> Fan {
        let place = |share: f64| Spot {
            at: Point3::new(1_200.0 * share, 0.0, 900.0 + 900.0 * share),
            share,
            up: even(4.0 + 4.0 * share),
            out: even(2.0 + 8.0 * share),
        };
        Fan {
            run: 0,
            rail: "R1".to_owned(),
            places: [0.0, 0.5, 1.0].map(place).into(),
        }
    }

    fn drawing(stretch: f64) -> Drawing {
        Drawing {
            out: -Vector3::y(),
            moved: [Vector3::zeros(), Vector3::new(0.0, 0.0, 6.0)],
            stretch,
        }
    }

    #[test]
    fn the_bands_lie_plumb_and_level_of_the_rail_as_it_is_drawn() {
        let plumb = ribbon(&fan(), &drawing(1.0), Way::Plumb, OUTER).unwrap();
        assert_relative_eq!(plumb.high[0], Point3::new(0.0, 0.0, 903.8), epsilon = 0.01);
        assert_relative_eq!(plumb.low[0], Point3::new(0.0, 0.0, 896.2), epsilon = 0.01);
        // Half-way up the rail is moved half as far as its upper end.
        let high = 1_350.0 + 3.0 + 0.95 * 6.0;
        assert_relative_eq!(plumb.high[1], Point3::new(600.0, 0.0, high), epsilon = 0.01);
        let level = ribbon(&fan(), &drawing(1.0), Way::Out, INNER).unwrap();
        // The open side is to the right here: outward is less y.
        assert_relative_eq!(
            level.high[2],
            Point3::new(1_200.0, -5.0, 1_806.0),
            epsilon = 0.02
        );
        assert_relative_eq!(
            level.low[2],
            Point3::new(1_200.0, 5.0, 1_806.0),
            epsilon = 0.02
        );
    }

    #[test]
    fn they_are_drawn_as_many_times_as_large_as_departures_are() {
        let wide = |stretch| {
            let ribbon = ribbon(&fan(), &drawing(stretch), Way::Plumb, OUTER).unwrap();
            (ribbon.high[2] - ribbon.low[2]).norm()
        };
        assert_relative_eq!(wide(1.0), 2.0 * 0.95 * 8.0, epsilon = 0.02);
        assert_relative_eq!(wide(10.0), 10.0 * wide(1.0), epsilon = 1e-9);
        // The label says what it is, not what is drawn.
        let tip = tip(&fan(), &drawing(10.0)).unwrap();
        assert_relative_eq!(tip.bands[0].1.as_mm(), 7.6, epsilon = 0.01);
        assert_relative_eq!(tip.bands[1].0.as_mm(), -9.5, epsilon = 0.01);
    }

    #[test]
    fn a_rail_that_cannot_be_off_has_no_band() {
        let mut still = fan();
        for place in &mut still.places {
            place.out = even(0.0);
        }
        assert!(ribbon(&still, &drawing(10.0), Way::Out, OUTER).is_none());
        assert!(ribbon(&still, &drawing(10.0), Way::Plumb, OUTER).is_some());
    }

    #[test]
    fn the_mesh_covers_the_band_and_dashes_leave_their_share_open() {
        let ribbon = ribbon(&fan(), &drawing(1.0), Way::Plumb, OUTER).unwrap();
        let mesh = mesh_of(&ribbon);
        let places = mesh.attribute(Mesh::ATTRIBUTE_POSITION).unwrap();
        let places = places.as_float3().unwrap();
        let indices: Vec<usize> = mesh.indices().unwrap().iter().collect();
        let area: f32 = indices
            .chunks(3)
            .map(|t| {
                let [a, b, c] = [t[0], t[1], t[2]].map(|i| bevy::math::Vec3::from(places[i]));
                (b - a).cross(c - a).length() / 2.0
            })
            .sum();
        // A plumb band over 1.2 m level, 7.6 mm wide at its foot and 15.2 at its head: a trapezium.
        assert_relative_eq!(area, 1.2 * (0.0076 + 0.0152) / 2.0, max_relative = 2e-3);
        let total = |lines: &[Segment]| lines.iter().map(|(a, b)| (b - a).norm()).sum::<f64>();
        let whole = edges(&ribbon);
        let share = total(&dashed(&whole)) / total(&whole);
        assert_relative_eq!(share, DASH_MM / (DASH_MM + GAP_MM), epsilon = 1e-9);
    }
}
