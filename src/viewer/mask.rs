//! Which part shows in each pixel of a picture: the picture without its looks, to hold pictures
//! against each other on whatever driver drew them.
//!
//! In: what a picture is of, and viewpoints. Out: a [`Mask`] for each. The scene's own meshes are
//! drawn, each in the colour of its number, without light, lines, walls or words.

use bevy::app::PostUpdate;
use bevy::camera::visibility::Visibility;
use bevy::camera::visibility::VisibilitySystems;
use bevy::camera::{Camera, Camera3d, ClearColorConfig};
use bevy::mesh::{Mesh, Mesh3d};
use bevy::pbr::{MeshMaterial3d, StandardMaterial};
use bevy::prelude::{
    AssetId, Assets, Color, Commands, Component, Entity, IntoScheduleConfigs as _, Msaa, Query,
    Res, ResMut, Resource, With, Without,
};

use crate::solids::PartKind;

use super::recompute::Computed;
use super::scene::PartRef;
use super::{Mood, PictureError, PictureRequest, Viewpoint, device, picture};

/// Levels of each colour that numbers are written in.
const LEVELS: u16 = 16;

/// Which part shows in each pixel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mask {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// The number of the part in each pixel, row by row from the top: 1 for the first of `names`,
    /// 0 where there is none.
    pub numbers: Vec<u16>,
    /// The names of all parts, in alphabetical order.
    pub names: Vec<String>,
}

impl Mask {
    /// The name of the part in a pixel, from the upper left corner.
    pub fn at(&self, x: u32, y: u32) -> Option<&str> {
        let number = *self.numbers.get((y * self.width + x) as usize)?;
        let name = self.names.get(usize::from(number.checked_sub(1)?))?;
        Some(name)
    }

    /// In how many pixels a part shows.
    pub fn area(&self, name: &str) -> usize {
        let Some(place) = self.names.iter().position(|one| one == name) else {
            return 0;
        };
        let own = |number: &&u16| usize::from(**number) == place + 1;
        self.numbers.iter().filter(own).count()
    }
}

/// Draws the masks of a job from several viewpoints. Mood, ghost, lit parts and fans of the request
/// do not count; parts named in `without` are left out.
///
/// # Errors
/// [`PictureError`], as for [`super::picture`].
pub fn masks(
    request: &PictureRequest,
    viewpoints: &[Viewpoint],
    without: &[String],
) -> Result<Vec<Mask>, PictureError> {
    let size = (request.width, request.height);
    let request = PictureRequest {
        mood: Mood::Show,
        ground: request.ground,
        stretch: request.stretch,
        ..PictureRequest::plain(request.job.clone(), request.viewpoint.clone(), size)
    };
    let computed = Computed::of(&request.job)?;
    let solids = &computed.found().solids;
    let drawn = solids
        .parts
        .iter()
        .filter(|part| part.kind != PartKind::Wall);
    let mut names: Vec<String> = drawn.map(|part| part.name.clone()).collect();
    names.sort();
    names.dedup();
    let most = usize::from(LEVELS * LEVELS * LEVELS - 1);
    if names.len() > most {
        let says = format!("{} parts are more than {most} colours", names.len());
        return Err(PictureError::Request(says));
    }
    device::driver()?;
    let solved = computed.solved(1, (1, None));
    let (_alone, mut app) = picture::begun(&request, &solved);
    let found = solved.found.clone();
    app.insert_resource(solved)
        .insert_resource(Numbers {
            names: names.clone(),
            without: without.to_vec(),
        })
        .add_systems(
            PostUpdate,
            (number, hide, plainly).before(VisibilitySystems::VisibilityPropagate),
        );
    app.finish();
    app.cleanup();
    let mut all = Vec::new();
    for viewpoint in viewpoints {
        picture::look_from(&mut app, viewpoint, &found);
        let pixels = picture::shown(&mut app)?;
        let numbers = pixels
            .chunks_exact(4)
            .map(|at| decoded([at[0], at[1], at[2]]));
        all.push(Mask {
            width: request.width,
            height: request.height,
            numbers: numbers.collect(),
            names: names.clone(),
        });
    }
    Ok(all)
}

/// The colour of a number; 0 is black.
fn coded(number: u16) -> [u8; 3] {
    let level = |of: u16| (of % LEVELS) as u8 * 17;
    [
        level(number),
        level(number / LEVELS),
        level(number / LEVELS / LEVELS),
    ]
}

/// The number of a colour, which a driver may have rounded.
fn decoded(colour: [u8; 3]) -> u16 {
    let [low, middle, high] = colour.map(|level| (u16::from(level) + 8) / 17);
    low + LEVELS * (middle + LEVELS * high)
}

#[derive(Resource)]
struct Numbers {
    names: Vec<String>,
    without: Vec<String>,
}

impl Numbers {
    fn of(&self, name: &str) -> Option<u16> {
        let left_out = self.without.iter().any(|one| one == name);
        let place = self.names.iter().position(|one| one == name)?;
        u16::try_from(place + 1).ok().filter(|_| !left_out)
    }
}

/// A part that has its number's colour, and the mesh that it has it on.
#[derive(Component)]
struct Numbered(AssetId<Mesh>);

/// Gives each part that comes into the scene, or comes with another mesh, the colour of its number.
fn number(
    mut commands: Commands,
    numbers: Res<Numbers>,
    mut parts: Query<(
        Entity,
        &PartRef,
        &Mesh3d,
        &mut Visibility,
        Option<&Numbered>,
    )>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    for (entity, part, mesh, mut shown, numbered) in &mut parts {
        let Some(number) = numbers.of(&part.0) else {
            *shown = Visibility::Hidden;
            continue;
        };
        if numbered.is_some_and(|own| own.0 == mesh.0.id()) {
            continue;
        }
        let Some(mut plain) = meshes.get(&mesh.0).cloned() else {
            continue;
        };
        // The shade of its corners would change the colour.
        plain.remove_attribute(Mesh::ATTRIBUTE_COLOR);
        let plain = meshes.add(plain);
        let [red, green, blue] = coded(number);
        let material = StandardMaterial {
            base_color: Color::srgb_u8(red, green, blue),
            unlit: true,
            ..StandardMaterial::default()
        };
        commands.entity(entity).insert((
            Numbered(plain.id()),
            Mesh3d(plain),
            MeshMaterial3d(materials.add(material)),
        ));
    }
}

/// A pixel shows one part, and where there is none it is black.
fn plainly(mut cameras: Query<(&mut Camera, &mut Msaa), With<Camera3d>>) {
    for (mut camera, mut edges) in &mut cameras {
        camera.clear_color = ClearColorConfig::Custom(Color::BLACK);
        *edges = Msaa::Off;
    }
}

/// What is no part is not drawn.
fn hide(mut others: Query<&mut Visibility, (With<Mesh3d>, Without<PartRef>)>) {
    for mut shown in &mut others {
        if *shown != Visibility::Hidden {
            *shown = Visibility::Hidden;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_comes_back_from_its_colour_even_where_it_was_rounded() {
        for number in 0..4096 {
            assert_eq!(decoded(coded(number)), number);
            let off = coded(number).map(|level| level.saturating_add(3));
            assert_eq!(decoded(off), number);
        }
    }
}
