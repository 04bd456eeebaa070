//! [`WallField`]: how a wall's face departs from its meant plumb plane.

/// Offset of a wall's face from the meant plumb plane, positive towards the room, as a smooth
/// field over (along, up).
#[derive(Clone, Debug, Default)]
pub struct WallField {}

impl WallField {
    /// The offset at a place, mm.
    #[must_use]
    pub fn offset(&self, along: f64, up: f64) -> f64 {
        let _unused = (along, up);
        0.0
    }
}
