//! The size of the text: everything that is drawn in points is drawn so much larger. The scale of
//! the screen counts as well, so that both go together when the window moves to another screen.

use bevy::prelude::{
    App, Entity, IntoScheduleConfigs as _, MessageWriter, Res, Single, Update, With,
};
use bevy::window::{PrimaryWindow, Window, WindowScaleFactorChanged};

use super::ViewerSystems;
use super::files::Files;

/// The scale of points for a size of the text in percent, on a screen of such a scale; `None` where
/// the screen's own does.
fn scale(percent: u32, screen: f32) -> Option<f32> {
    let percent = u16::try_from(percent).unwrap_or(100);
    (percent != 100).then(|| screen * f32::from(percent) / 100.0)
}

fn follow(
    files: Res<Files>,
    window: Single<(Entity, &mut Window), With<PrimaryWindow>>,
    mut told: MessageWriter<WindowScaleFactorChanged>,
) {
    let (entity, mut window) = window.into_inner();
    let wanted = scale(files.prefs.text, window.resolution.base_scale_factor());
    if window.resolution.scale_factor_override() == wanted {
        return;
    }
    window.resolution.set_scale_factor_override(wanted);
    // The system sends no word of what we set ourselves, and cameras measure anew on such a word.
    told.write(WindowScaleFactorChanged {
        window: entity,
        scale_factor: f64::from(window.resolution.scale_factor()),
    });
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, follow.in_set(ViewerSystems::Sync));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_screen_go_together() {
        assert_eq!(scale(100, 2.0), None);
        assert_eq!(scale(150, 2.0), Some(3.0));
        assert_eq!(scale(75, 1.0), Some(0.75));
    }
}
