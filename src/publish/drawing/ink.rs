//! [`Ink`]: the colours of report and drawings: paper, pencil, timber, chalk line. The same as the
//! window's.

use crate::inspect::{Severity, Verdict};
use crate::publish::pdf::Shade;
use crate::solids::PartKind;

/// The colours of what is printed about a stair. Each that text is set in stands out from the paper
/// by 4.5 to 1 or more (WCAG 2.1, 1.4.3), on white and on [`Ink::CARD`] alike.
pub struct Ink;

impl Ink {
    /// Text and outlines.
    pub const PENCIL: Shade = Shade(56, 53, 50);
    /// Lesser text.
    pub const SOFT: Shade = Shade(92, 87, 80);
    /// Lines barely there.
    pub const FAINT: Shade = Shade(201, 190, 171);
    /// Paper to write on.
    pub const CARD: Shade = Shade(250, 246, 238);
    /// A deeper paper, for heads of tables.
    pub const SHEET: Shade = Shade(236, 227, 210);
    /// The blue of a chalk line: headings, balls, what is pointed at.
    pub const CHALK: Shade = Shade(38, 92, 143);
    /// A wash of it.
    pub const CHALK_WASH: Shade = Shade(196, 214, 232);
    /// Red of a carpenter's crayon: to stop for.
    pub const CRAYON: Shade = Shade(172, 50, 34);
    /// Ochre: to fix.
    pub const OCHRE: Shade = Shade(138, 86, 10);
    /// A wash of it.
    pub const OCHRE_WASH: Shade = Shade(240, 208, 150);
    /// The grey-green of a slate: to remark on.
    pub const SLATE: Shade = Shade(76, 90, 85);

    /// The ink of a severity. Its shape and word say the same without colour.
    #[must_use]
    pub const fn severity(severity: Severity) -> Shade {
        match severity {
            Severity::Stop => Self::CRAYON,
            Severity::Fix => Self::OCHRE,
            Severity::Remark => Self::SLATE,
        }
    }

    /// The ink of a verdict. Its shape and word say the same without colour.
    #[must_use]
    pub const fn verdict(verdict: Verdict) -> Shade {
        match verdict {
            Verdict::Met => Self::CHALK,
            Verdict::Broken => Self::CRAYON,
            Verdict::TooClose => Self::OCHRE,
            Verdict::NotShown => Self::SOFT,
        }
    }

    /// The wash of a part: its timber, light enough for pencil over it.
    pub(crate) const fn wash(kind: PartKind) -> Shade {
        match kind {
            PartKind::Tread => Shade(236, 212, 176),
            PartKind::Rail | PartKind::BottomRail | PartKind::Rosette => Shade(217, 177, 138),
            PartKind::Newel | PartKind::Shoe => Shade(226, 190, 152),
            PartKind::Baluster => Shade(250, 242, 228),
            PartKind::Kick => Shade(244, 237, 223),
            PartKind::Skirt | PartKind::Panel => Shade(240, 234, 222),
            PartKind::Stringer => Shade(238, 223, 190),
            PartKind::Floor => Shade(238, 229, 212),
            PartKind::HalfWall | PartKind::Wall => Shade(244, 240, 230),
        }
    }
}
