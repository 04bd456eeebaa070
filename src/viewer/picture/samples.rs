//! Several looks through each pixel, averaged: edges without steps and shadows with soft rims.
//!
//! Each look goes through another place of the pixel, and its sun stands in another place of the
//! sun's disc. The renderer itself takes four places in one look.

use std::ops::ControlFlow;

use bevy::camera::{Camera, Camera3d, SubCameraView};
use bevy::math::{Quat, UVec2, Vec2};
use bevy::prelude::{App, Entity, Transform, With};

use super::super::{convert, scene};
use super::pixels::Mean;
use super::{PictureError, PictureRequest, Pixels, shown};

/// Places that the renderer takes in one look.
const AT_ONCE: u32 = 4;
/// Half the angle that the light comes from, radians: a sun in haze, wider than the half degree of a
/// clear one, so that shadows are soft at the size of a room.
const SUN: f64 = 0.012;

/// The part of a number's digits behind the point, mirrored: nought to one, spread evenly however
/// many are taken (van der Corput's sequence; Halton 1960).
fn spread(number: u32, base: u32) -> f64 {
    let (mut left, mut share, mut sum) = (number, 1.0, 0.0);
    while left > 0 {
        share /= f64::from(base);
        sum += share * f64::from(left % base);
        left /= base;
    }
    sum
}

/// How far a look goes off the middle of each pixel, pixels right and down: evenly spread, and about the
/// middle as a whole where there are as many as a power of two (Hammersley's points).
fn off_middle(look: u32, of: u32) -> Vec2 {
    let step = 1.0 / f64::from(of);
    let off = |share: f64| convert::single(share + step / 2.0 - 0.5);
    Vec2::new(off(f64::from(look) * step), off(spread(look, 2)))
}

/// Where the sun stands in its disc, radians across and up.
fn in_disc(look: u32) -> (f64, f64) {
    let far = spread(look + 1, 5).sqrt() * SUN;
    let (up, across) = (spread(look + 1, 7) * std::f64::consts::TAU).sin_cos();
    (far * across, far * up)
}

/// Has every camera look a little off the middle of its pixels.
fn look_off(app: &mut App, size: UVec2, offset: Vec2) {
    let world = app.world_mut();
    let mut cameras = world.query_filtered::<&mut Camera, With<Camera3d>>();
    for mut camera in cameras.iter_mut(world) {
        camera.sub_camera_view = Some(SubCameraView {
            full_size: size,
            offset,
            size,
        });
    }
}

/// The suns and where they stand.
fn suns(app: &mut App) -> Vec<(Entity, Transform)> {
    let world = app.world_mut();
    let mut suns = world.query_filtered::<(Entity, &Transform), With<scene::Sun>>();
    suns.iter(world).map(|(sun, at)| (sun, *at)).collect()
}

/// Draws the request's places within a pixel, and averages them.
pub(super) fn sampled(
    app: &mut App,
    request: &PictureRequest,
    told: &mut dyn FnMut(u32, u32) -> ControlFlow<()>,
) -> Result<Pixels, PictureError> {
    let size = (request.width, request.height);
    let first = shown(app)?;
    let looks = request.samples / AT_ONCE;
    if looks <= 1 {
        return Ok(Pixels::new(size, first));
    }
    let mut mean = Mean::new(size);
    let suns = suns(app);
    for look in 0..looks {
        look_off(app, UVec2::new(size.0, size.1), off_middle(look, looks));
        let (across, up) = in_disc(look);
        for (sun, at) in &suns {
            let turn = Quat::from_rotation_y(convert::single(across))
                * Quat::from_rotation_x(convert::single(up));
            if let Some(mut place) = app.world_mut().get_mut::<Transform>(*sun) {
                place.rotation = at.rotation * turn;
            }
        }
        mean.add(&super::again(app)?);
        if told(look + 1, looks).is_break() {
            return Err(PictureError::Ended);
        }
    }
    // The next picture looks straight again, from under the same sun.
    let world = app.world_mut();
    let mut cameras = world.query_filtered::<&mut Camera, With<Camera3d>>();
    for mut camera in cameras.iter_mut(world) {
        camera.sub_camera_view = None;
    }
    for (sun, at) in suns {
        if let Some(mut place) = world.get_mut::<Transform>(sun) {
            *place = at;
        }
    }
    Ok(mean.pixels(size))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn looks_are_spread_over_the_whole_pixel_and_about_its_middle() {
        for looks in [4, 16] {
            let all: Vec<Vec2> = (0..looks).map(|look| off_middle(look, looks)).collect();
            let mean = all.iter().sum::<Vec2>() / convert::single(looks);
            assert!(mean.length() < 1e-6, "{mean}");
            // One in each quarter, at the least.
            for quarter in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)] {
                let within = |at: &&Vec2| at.x * quarter.0 >= 0.0 && at.y * quarter.1 >= 0.0;
                assert!(all.iter().find(within).is_some(), "{quarter:?} of {looks}");
            }
        }
    }

    #[test]
    fn the_sun_stays_in_its_disc() {
        for look in 0..16 {
            let (across, up) = in_disc(look);
            assert!(across.hypot(up) <= SUN);
        }
    }
}
