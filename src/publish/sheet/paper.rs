//! The paper, its margins, and the grid that lines of text stand on. Millimetres.

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in (ANSI/ASME Y14.1, size A).
    #[default]
    Letter,
    /// 210 by 297 mm (ISO 216).
    A4,
}

/// No mark stands nearer than this to an edge. Office printers leave 4 to 6 mm white (common
/// practice, no source).
pub const MARGIN: f64 = 12.0;
/// The distance between lines of text; heights of blocks are whole numbers of it.
pub const GRID: f64 = 4.5;
/// The height of a row to write in by hand.
pub const ROW: f64 = 2.0 * GRID;
/// What the foot of the page takes: a hairline, the job's name, the page number.
const FOOT: f64 = 7.0;

impl Paper {
    /// Width and height, mm.
    #[must_use]
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (8.5 * 25.4, 11.0 * 25.4),
            Self::A4 => (210.0, 297.0),
        }
    }

    /// The width between the margins.
    pub(super) fn width(self) -> f64 {
        self.size().0 - 2.0 * MARGIN
    }

    /// The height for blocks: whole lines of the grid.
    pub(super) fn height(self) -> f64 {
        let room = self.size().1 - 2.0 * MARGIN - FOOT;
        (room / GRID).floor() * GRID
    }
}
