//! Is there something to draw with, and somewhere to draw? Asked before Bevy starts, because Bevy
//! can only panic about it.

use std::sync::{Arc, Mutex, PoisonError};

use bevy::app::AppExit;
use bevy::prelude::{Resource, World};
use bevy::render::error_handler::{ErrorType, RenderError, RenderErrorPolicy};
use bevy::tasks::block_on;

use super::files;

/// Why nothing can be drawn here.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeviceError {
    /// No driver that can draw.
    #[error(
        "no Vulkan driver was found, so nothing can be drawn here. On Debian or Ubuntu \
         `apt-get install mesa-vulkan-drivers` brings one that needs no graphics card. Every \
         command that draws nothing works without it."
    )]
    NoDriver,
    /// No display to open a window on.
    #[error(
        "no display was found to open a window on ({0}). `rakewell inspect` and \
         `rakewell picture` work without one."
    )]
    NoDisplay(String),
}

/// Finds out whether a driver can draw here.
///
/// # Errors
/// [`DeviceError::NoDriver`] where none can.
pub(super) fn driver() -> Result<(), DeviceError> {
    let backends = wgpu::Backends::from_env().unwrap_or(wgpu::Backends::all());
    let mut about = wgpu::InstanceDescriptor::new_without_display_handle();
    about.backends = backends;
    let instance = wgpu::Instance::new(about);
    let found = block_on(instance.enumerate_adapters(backends));
    if found.is_empty() {
        Err(DeviceError::NoDriver)
    } else {
        Ok(())
    }
}

/// Why the window had to end, for whoever opened it.
#[derive(Resource, Clone, Default)]
pub(super) struct Ending(Arc<Mutex<Option<String>>>);

impl Ending {
    /// What there is to say.
    pub(super) fn said(&self) -> Option<String> {
        let said = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        said.clone()
    }
}

/// What a drawing device that failed means, in words.
fn failed(error: ErrorType, description: &str) -> String {
    let what = match error {
        ErrorType::DeviceLost => "the graphics device was lost",
        ErrorType::OutOfMemory => "the graphics device has no memory left",
        ErrorType::Validation | ErrorType::Internal => "the graphics driver failed",
    };
    let first = description.lines().next().unwrap_or_default().trim();
    if first.is_empty() {
        what.to_owned()
    } else {
        format!("{what} ({first})")
    }
}

/// Ends the window where nothing can be drawn any more: what is not saved is kept aside first, and
/// then said how to go on. Drawing on after such an error only repeats it.
pub(super) fn lost(
    error: &RenderError,
    window: &mut World,
    _drawing: &mut World,
) -> RenderErrorPolicy {
    let ending = window.get_resource_or_init::<Ending>().clone();
    let mut said = ending.0.lock().unwrap_or_else(PoisonError::into_inner);
    // It is asked again in every frame until the window is gone.
    if said.is_none() {
        let kept = files::rescue(window).unwrap_or_else(|| "nothing was unsaved".to_owned());
        let what = failed(error.ty, &error.description);
        *said = Some(format!("{what}, so the window had to close; {kept}"));
        window.write_message(AppExit::error());
    }
    RenderErrorPolicy::StopRendering
}

/// A display that a window can be opened on, held until the window is gone: a server that only we
/// call on starts anew when its last caller leaves, and who asks it meanwhile gets no answer.
#[derive(Debug)]
pub(super) struct Display(
    #[cfg(all(unix, not(target_os = "macos")))]
    #[expect(dead_code, reason = "held, and not asked anything")]
    Option<x11rb::rust_connection::RustConnection>,
);

/// Finds out whether a window can be opened.
///
/// # Errors
/// [`DeviceError::NoDisplay`] where not.
#[cfg(all(unix, not(target_os = "macos")))]
pub(super) fn display() -> Result<Display, DeviceError> {
    let set = |name| {
        std::env::var(name)
            .ok()
            .filter(|value: &String| !value.is_empty())
    };
    if cfg!(feature = "wayland") && set("WAYLAND_DISPLAY").is_some() {
        return Ok(Display(None));
    }
    let Some(name) = set("DISPLAY") else {
        return Err(DeviceError::NoDisplay("DISPLAY is not set".to_owned()));
    };
    let why = match patiently(&name) {
        Ok(held) => return Ok(Display(Some(held))),
        Err(why) => why,
    };
    Err(DeviceError::NoDisplay(format!("DISPLAY is {name}: {why}")))
}

/// Other systems always have one.
#[cfg(not(all(unix, not(target_os = "macos"))))]
pub(super) fn display() -> Result<Display, DeviceError> {
    Ok(Display())
}

/// Calls on an X server. One that is there and does not answer may be starting anew: it is asked
/// again for a little while.
#[cfg(all(unix, not(target_os = "macos")))]
fn patiently(
    name: &str,
) -> Result<x11rb::rust_connection::RustConnection, x11rb::errors::ConnectError> {
    use std::io::ErrorKind;
    use std::time::{Duration, Instant};
    use x11rb::errors::ConnectError;
    const PATIENCE: Duration = Duration::from_secs(3);
    const BETWEEN: Duration = Duration::from_millis(100);
    let began = Instant::now();
    loop {
        let why = match x11rb::rust_connection::RustConnection::connect(Some(name)) {
            Ok((held, _)) => return Ok(held),
            Err(why) => why,
        };
        let there = match &why {
            ConnectError::IoError(error) => !matches!(
                error.kind(),
                ErrorKind::NotFound | ErrorKind::ConnectionRefused | ErrorKind::InvalidInput
            ),
            ConnectError::Incomplete { .. } | ConnectError::SetupFailed(_) => true,
            _ => false,
        };
        if !there || began.elapsed() > PATIENCE {
            return Err(why);
        }
        std::thread::sleep(BETWEEN);
    }
}

#[cfg(all(test, unix, not(target_os = "macos")))]
mod tests {
    use super::*;

    #[test]
    fn a_display_that_is_not_there_is_an_error_and_no_panic() {
        for name in ["", "nonsense", ":", ":99999999", ":6553", "localhost:x"] {
            assert!(patiently(name).is_err(), "{name}");
        }
    }

    #[test]
    fn a_lost_device_keeps_the_work_and_says_how_to_go_on() {
        use crate::job::{Document, STARTERS};
        use crate::viewer::session::{Change, Session};
        use bevy::prelude::Messages;
        let folder = tempfile::tempdir().unwrap();
        let document = Document::parse(STARTERS[0].text, "straight").unwrap();
        let mut session = Session::new(document, Some(folder.path().join("stair.ron")));
        let height = ("design.rail.height".to_owned(), "\"35 1/2\"".to_owned());
        session.edit(&Change::Set(vec![height]), None);
        let text = session.document.text().to_owned();
        let mut window = World::new();
        window.insert_resource(files::kept_in(folder.path(), &mut session));
        window.insert_resource(session);
        window.init_resource::<Messages<AppExit>>();
        let error = RenderError {
            ty: ErrorType::DeviceLost,
            description: "reset\nby the driver".to_owned(),
            source: None,
        };
        for _frame in 0..2 {
            let policy = lost(&error, &mut window, &mut World::new());
            assert!(matches!(policy, RenderErrorPolicy::StopRendering));
        }
        let said = window.resource::<Ending>().said().unwrap();
        assert!(said.contains("lost (reset)") && said.contains("stair.ron` offers it again"));
        assert_eq!(window.resource::<Messages<AppExit>>().len(), 1);
        assert_eq!(files::texts_left(folder.path()), [text]);
    }

    #[test]
    fn the_message_says_what_to_install() {
        assert!(
            DeviceError::NoDriver
                .to_string()
                .contains("apt-get install mesa-vulkan-drivers")
        );
    }
}
