//! What a block of the sheet asks.

/// One thing that the sheet asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// What is read with.
    Instruments,
    /// A laser line that readings are taken from.
    Lines,
    /// The whole flight: total rise, total run, pitch.
    Whole,
    /// A floor or landing, by what the sheet calls it.
    Floor(String),
    /// A step by its number; 0 is the lower floor under the laser line.
    Step(u32),
    /// Thickness of the boards and build-up of the floors.
    Boards,
    /// A place on a wall: the wall's number in the job, and the letter of the place.
    Place(usize, String),
    /// The straightedge, the widths and the corners of a wall.
    WallMore(usize),
    /// Anything else.
    Notes,
}
