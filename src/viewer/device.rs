//! Is there something to draw with, and somewhere to draw? Asked before Bevy starts, because Bevy
//! can only panic about it.

use bevy::tasks::block_on;

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

/// Finds out whether a window can be opened.
///
/// # Errors
/// [`DeviceError::NoDisplay`] where not.
pub(super) fn display() -> Result<(), DeviceError> {
    if !cfg!(all(unix, not(target_os = "macos"))) {
        return Ok(());
    }
    let set = |name| {
        std::env::var(name)
            .ok()
            .filter(|value: &String| !value.is_empty())
    };
    if cfg!(feature = "wayland") && set("WAYLAND_DISPLAY").is_some() {
        return Ok(());
    }
    let Some(name) = set("DISPLAY") else {
        return Err(DeviceError::NoDisplay("DISPLAY is not set".to_owned()));
    };
    reach(&name).map_err(|why| DeviceError::NoDisplay(format!("DISPLAY is {name}: {why}")))
}

/// Knocks at an X server's door.
#[cfg(unix)]
fn reach(name: &str) -> std::io::Result<()> {
    use std::net::TcpStream;
    use std::os::unix::net::UnixStream;
    let wrong = || std::io::Error::other("it names no display");
    let (host, rest) = name.rsplit_once(':').ok_or_else(wrong)?;
    let number: u16 = rest
        .split('.')
        .next()
        .unwrap_or(rest)
        .parse()
        .map_err(|_ignored| wrong())?;
    if host.is_empty() || host == "unix" {
        UnixStream::connect(format!("/tmp/.X11-unix/X{number}")).map(drop)
    } else {
        TcpStream::connect((host, 6000 + number)).map(drop)
    }
}

#[cfg(not(unix))]
fn reach(_name: &str) -> std::io::Result<()> {
    Ok(())
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_display_that_is_not_there_is_an_error_and_no_panic() {
        for name in ["", "nonsense", ":", ":99999999", ":6553", "localhost:x"] {
            assert!(reach(name).is_err(), "{name}");
        }
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
