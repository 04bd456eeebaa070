//! Walls by their faces, seen from the room only, coloured by how far they stand off plumb.
//!
//! A face is drawn on its room side and not from behind, so a wall never hides the stair, and it
//! fades into the paper away from it. Its footprint shows its thickness in a plan.

use bevy::asset::RenderAssetUsages;
use bevy::light::NotShadowCaster;
use bevy::mesh::{Indices, Mesh, Mesh3d, PrimitiveTopology};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    AlphaMode, App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Local, Name, Query, Res, ResMut, Resource, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::measure::{Length, Tape};
use crate::publish::finish::grain::PLASTER_MM;
use crate::site::WallFace;
use crate::solids::Bounds;

use super::super::dress::Dressed;
use super::super::edges::Segment;
use super::super::ground::{self, Ground};
use super::super::lookout::around_stair;
use super::super::{Mood, Showing, Solved, ViewerSystems, convert, look};
use super::grain::Plaster;
use super::{PartRef, pencil, ready};

/// Cells of a face's grid, along and up.
const CELLS: (usize, usize) = (44, 52);
/// How thick the footprint of a wall is drawn, mm: plaster and stud, common practice, no source.
const THICK_MM: f64 = 110.0;
/// A face is drawn in full this far around the stair, mm, and fades over so much more.
const FULL_MM: f64 = 420.0;
const FADE_MM: f64 = 900.0;
/// What is fainter than this has no outline.
const FAINT: f32 = 0.45;

/// The scale that the colours of the walls follow.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub(in crate::viewer) struct Departures {
    /// The departure of the full colours; none where every wall is true to half a mark.
    pub(in crate::viewer) most: Option<Length>,
}

/// Departure of a face at a place of its grid, mm, as the core has it; below its foot, that of the
/// foot.
fn off(wall: &WallFace, (along, up): (f64, f64)) -> f64 {
    wall.off(along, up.max(wall.foot))
}

/// Where walls are drawn down to, mm: a wall that is read from a landing on stands on the floor
/// below all the same.
fn ground(walls: &[WallFace]) -> f64 {
    walls
        .iter()
        .map(|wall| wall.foot)
        .fold(f64::INFINITY, f64::min)
}

/// Places of the grid of a face from a level up: along and up, mm.
fn grid(wall: &WallFace, from: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
    let (length, rise) = (wall.length(), wall.head - from);
    let share = |i: usize, count: usize| i as f64 / count as f64;
    (0..=CELLS.1).flat_map(move |j| {
        (0..=CELLS.0).map(move |i| (length * share(i, CELLS.0), from + rise * share(j, CELLS.1)))
    })
}

/// The scale for some walls: the greatest departure that shows, up to the next eighth of an inch
/// (or 5 mm).
fn departures(walls: &[WallFace], stair: &Bounds, tape: Tape) -> Departures {
    let seen =
        |wall: &WallFace, place: (f64, f64)| shows(&drawn_at(wall, place, 1.0), stair) > FAINT;
    let most = walls
        .iter()
        .flat_map(|wall| {
            let places = grid(wall, wall.foot).filter(|&place| seen(wall, place));
            places.map(|place| off(wall, place).abs())
        })
        .fold(0.0, f64::max);
    let step = match tape {
        Tape::Millimetres => Length::mm(5.0),
        Tape::Sixteenths | Tape::ThirtySeconds => Length::inches(0.125),
    };
    let worth_saying = Length::mm(most) > tape.mark() / 2.0;
    Departures {
        most: worth_saying.then(|| step * (Length::mm(most) / step).ceil()),
    }
}

/// A point of a face with its departure drawn so many times as large.
pub(super) fn drawn_at(wall: &WallFace, (along, up): (f64, f64), stretch: f64) -> Point3<f64> {
    let mut found = wall.point(along, up.max(wall.foot));
    found.z = found.z.min(up);
    found + wall.into_room() * (off(wall, (along, up)) * (stretch - 1.0))
}

/// How much of a face shows at a place: 1 beside the stair, 0 far from it.
fn shows(at: &Point3<f64>, stair: &Bounds) -> f32 {
    let outside = |axis: usize| {
        (stair.low[axis] - at[axis])
            .max(at[axis] - stair.high[axis])
            .max(0.0)
    };
    let far = Vector3::new(outside(0), outside(1), outside(2)).norm();
    let part = convert::single(((far - FULL_MM) / FADE_MM).clamp(0.0, 1.0));
    1.0 - part * part * (3.0 - 2.0 * part)
}

/// How a wall is drawn.
#[derive(Clone, Copy)]
struct Drawing {
    mood: Mood,
    stretch: f64,
    /// The departure of the full colours.
    most: Option<Length>,
    /// The box around the stair.
    stair: Bounds,
    /// Where it is drawn down to, mm.
    ground: f64,
}

fn mesh_of(wall: &WallFace, drawing: &Drawing) -> Mesh {
    let share = |place: (f64, f64)| match (drawing.mood, drawing.most) {
        // What lies below its foot is not known.
        (Mood::Work, Some(most)) if place.1 >= wall.foot => {
            convert::single(off(wall, place) / most.as_mm())
        }
        _ => 0.0,
    };
    let (mut points, mut colours, mut tile) = (Vec::new(), Vec::new(), Vec::new());
    for place in grid(wall, drawing.ground) {
        let at = drawn_at(wall, place, drawing.stretch);
        tile.push([place.0, place.1].map(|mm| convert::single(mm / PLASTER_MM)));
        points.push(convert::point(&at).to_array());
        let [red, green, blue, _] = match drawing.mood {
            Mood::Work => look::departure_vertex(share(place)),
            Mood::Show => [1.0; 4],
        };
        colours.push([red, green, blue, shows(&at, &drawing.stair)]);
    }
    let normals = vec![convert::direction(&wall.into_room()).to_array(); points.len()];
    let wide = CELLS.0 as u32 + 1;
    let cells = (0..CELLS.1 as u32).flat_map(|j| (0..CELLS.0 as u32).map(move |i| j * wide + i));
    let triangles = cells
        .flat_map(|at| [at, at + wide, at + 1, at + 1, at + wide, at + wide + 1])
        .collect();
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
        .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, tile)
        .with_inserted_indices(Indices::U32(triangles))
}

/// The footprint of a wall: a strip behind its lower edge.
fn footprint_of(wall: &WallFace, drawing: &Drawing) -> Mesh {
    let along = |i: usize| wall.length() * i as f64 / CELLS.0 as f64;
    let (mut points, mut colours) = (Vec::new(), Vec::new());
    for i in 0..=CELLS.0 {
        let at = wall.from + (wall.to - wall.from) * (along(i) / wall.length());
        let meant = Point3::new(at.x, at.y, drawing.ground);
        for at in [
            drawn_at(wall, (along(i), drawing.ground), drawing.stretch),
            meant - wall.into_room() * THICK_MM,
        ] {
            points.push(convert::point(&at).to_array());
            colours.push([1.0, 1.0, 1.0, shows(&at, &drawing.stair)]);
        }
    }
    let normals = vec![[0.0_f32, 1.0, 0.0]; points.len()];
    let triangles = (0..CELLS.0 as u32).flat_map(|i| {
        let at = 2 * i;
        [at, at + 2, at + 1, at + 1, at + 2, at + 3]
    });
    Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::all())
        .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
        .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
        .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours)
        .with_inserted_indices(Indices::U32(triangles.collect()))
}

/// The outline of a face, where it shows.
fn outline(wall: &WallFace, drawing: &Drawing) -> Vec<Segment> {
    let stretch = drawing.stretch;
    let (length, foot, head) = (wall.length(), drawing.ground, wall.head);
    let side = |from: (f64, f64), to: (f64, f64)| {
        let at = move |i: usize| {
            let share = i as f64 / CELLS.0 as f64;
            (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            )
        };
        (0..CELLS.0).map(move |i| {
            (
                drawn_at(wall, at(i), stretch),
                drawn_at(wall, at(i + 1), stretch),
            )
        })
    };
    let corners = [(0.0, foot), (length, foot), (length, head), (0.0, head)];
    let seen = |(from, _): &Segment| shows(from, &drawing.stair) > FAINT;
    (0..4)
        .flat_map(|i| side(corners[i], corners[(i + 1) % 4]).collect::<Vec<_>>())
        .filter(seen)
        .collect()
}

/// Everything that shows a wall.
#[derive(Component)]
pub(in crate::viewer) struct OfWall;

/// What a wall's entities are made with.
#[derive(bevy::ecs::system::SystemParam)]
pub(super) struct Makers<'w> {
    pub(super) meshes: ResMut<'w, Assets<Mesh>>,
    materials: ResMut<'w, Assets<StandardMaterial>>,
    pub(super) gizmos: ResMut<'w, Assets<GizmoAsset>>,
    tooth: Res<'w, Plaster>,
    dressed: Res<'w, Dressed>,
}

fn plaster(mood: Mood, tooth: &Plaster, dressed: &Dressed) -> StandardMaterial {
    let finish = of_wall(mood, dressed);
    StandardMaterial {
        base_color: match mood {
            Mood::Work => bevy::color::Color::WHITE,
            Mood::Show => look::colour(finish.colour),
        },
        // What is measured has no tooth: its tone is a number.
        base_color_texture: (mood == Mood::Show).then(|| tooth.0.clone()),
        perceptual_roughness: finish.rough,
        reflectance: 0.1,
        alpha_mode: AlphaMode::Blend,
        // A measured wall has the very colours of the legend, whatever the light; so it is also
        // drawn twice as fast where no graphics card is.
        unlit: mood == Mood::Work,
        ..StandardMaterial::default()
    }
}

/// The finish of walls.
fn of_wall(mood: Mood, dressed: &Dressed) -> look::Finish {
    look::finish(
        look::Stuff::Of(crate::solids::PartKind::Wall),
        mood,
        dressed,
    )
}

/// Puts up a wall, its footprint and its outline.
fn spawn(
    commands: &mut Commands,
    makers: &mut Makers,
    wall: &WallFace,
    drawing: &Drawing,
) -> Vec<Entity> {
    let face = makers.meshes.add(mesh_of(wall, drawing));
    let foot = makers.meshes.add(footprint_of(wall, drawing));
    let paint = makers
        .materials
        .add(plaster(drawing.mood, &makers.tooth, &makers.dressed));
    let cut = makers.materials.add(StandardMaterial {
        base_color: look::colour(look::PENCIL_LIGHT),
        unlit: true,
        double_sided: true,
        cull_mode: None,
        alpha_mode: AlphaMode::Blend,
        ..StandardMaterial::default()
    });
    let about = (PartRef(wall.name.clone()), Name::new(wall.name.clone()));
    let face = (Mesh3d(face), MeshMaterial3d(paint), NotShadowCaster, about);
    let mut all = vec![commands.spawn(face).id()];
    if drawing.mood == Mood::Work {
        let foot = (Mesh3d(foot), MeshMaterial3d(cut), NotShadowCaster);
        let ink = look::colour(look::PENCIL_LIGHT);
        let lines = pencil::lines(&mut makers.gizmos, outline(wall, drawing), ink, 1.2);
        all.extend([commands.spawn(foot).id(), commands.spawn(lines).id()]);
    }
    all
}

/// Puts up all walls of a stair in the colours of a scale.
pub(super) fn put_up(
    commands: &mut Commands,
    makers: &mut Makers,
    solved: &Solved,
    (mood, stretch, scale): (Mood, f64, &Departures),
) -> Vec<Entity> {
    // The first run sees every wall, in its own frame.
    let walls = &solved.found.first().site.walls;
    let Some(stair) = around_stair(&solved.found.solids).map(|exact| about(&exact)) else {
        return Vec::new();
    };
    let drawing = Drawing {
        mood,
        stretch,
        most: scale.most,
        stair,
        ground: ground(walls),
    };
    let put = walls.iter();
    put.flat_map(|wall| spawn(commands, makers, wall, &drawing))
        .collect()
}

/// What the walls were last painted for.
#[derive(PartialEq)]
pub(super) struct Painted {
    /// Numbers that tell these walls from others.
    walls: Vec<f64>,
    around: [Point3<f64>; 2],
    tape: Tape,
    look: (Mood, f64, Ground),
    paint: look::Tone,
}

/// Numbers that tell a wall from another one: where it is, and how it stands in nine places.
fn told_apart(wall: &WallFace) -> Vec<f64> {
    let (length, rise) = (wall.length(), wall.head - wall.foot);
    let ends = [wall.from.x, wall.from.y, wall.to.x, wall.to.y];
    let heights = [wall.foot, wall.head];
    let thirds = (0..9).map(|at| {
        let (along, up) = (f64::from(at % 3) / 2.0, f64::from(at / 3) / 2.0);
        off(wall, (length * along, wall.foot + rise * up))
    });
    ends.into_iter().chain(heights).chain(thirds).collect()
}

/// A box in whole steps around another, so that walls do not fade anew with every mark that a newel
/// is moved by.
fn about(exact: &Bounds) -> Bounds {
    const STEP_MM: f64 = 100.0;
    Bounds {
        low: exact.low.map(|at| (at / STEP_MM).floor() * STEP_MM),
        high: exact.high.map(|at| (at / STEP_MM).ceil() * STEP_MM),
    }
}

/// Draws the walls anew where they or their look changed.
pub(super) fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    showing: Res<Showing>,
    mut makers: Makers,
    mut from: Local<Option<Painted>>,
    before: Query<Entity, With<OfWall>>,
) {
    let Some(solved) = solved else { return };
    if !solved.is_changed() && !showing.is_changed() && !makers.dressed.is_changed() {
        return;
    }
    // The first run sees every wall, in its own frame.
    let walls = &solved.found.first().site.walls;
    let Some(stair) = around_stair(&solved.found.solids).map(|exact| about(&exact)) else {
        return;
    };
    let now = Painted {
        walls: walls.iter().flat_map(told_apart).collect(),
        around: [stair.low, stair.high],
        tape: solved.job.tape,
        look: (showing.mood, showing.stretch, ground::now()),
        paint: of_wall(showing.mood, &makers.dressed).colour,
    };
    if from.as_ref() == Some(&now) {
        return;
    }
    *from = Some(now);
    for old in &before {
        commands.entity(old).despawn();
    }
    // What is made true for a moment is told by its colour only where the scale stays as it was.
    let scale = departures(
        &solved.as_found().first().site.walls,
        &stair,
        solved.job.tape,
    );
    let how = (showing.mood, showing.stretch, &scale);
    for one in put_up(&mut commands, &mut makers, &solved, how) {
        commands.entity(one).insert(OfWall);
    }
    commands.insert_resource(scale);
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::explain::{groups, made_true};
    use crate::viewer::Cause;
    use crate::viewer::drive::{DEMO, Driven};

    #[test]
    fn the_scale_of_the_colours_stays_while_a_wall_is_made_true() {
        let mut window = Driven::open(DEMO);
        let before = *window.get::<Departures>();
        // One of which the scale would be another if it were true all along.
        let (found, job) = (window.solved().found.clone(), window.solved().job.clone());
        let stair = around_stair(&found.solids)
            .map(|exact| about(&exact))
            .unwrap();
        let wall = groups(&found)
            .into_iter()
            .filter(|group| group.what.contains("wall"))
            .find(|group| {
                let true_so = made_true(&found, &group.makes).unwrap();
                departures(&true_so.first().site.walls, &stair, job.tape) != before
            })
            .unwrap();
        {
            let mut showing = window.world().resource_mut::<Showing>();
            showing.cause = Some(Cause {
                what: wall.what,
                parts: wall.parts,
                makes: wall.makes,
            });
            showing.moment = true;
        }
        window.until("it is made true", |window| window.solved().base.is_some());
        window.settle();
        assert_eq!(*window.get::<Departures>(), before);
    }
}
