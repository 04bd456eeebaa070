//! [`Pitch`]: how steep a rake is.

use super::{Angle, Length};

const FOOT: Length = Length::inches(12.0);

/// The steepness of a rake: rise over level run.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Pitch(f64);

impl Pitch {
    /// The pitch of a rise over a level run. `None` where the run is zero or either is not finite.
    #[must_use]
    pub fn from_rise_run(rise: Length, run: Length) -> Option<Self> {
        let slope = rise / run;
        slope.is_finite().then_some(Self(slope))
    }

    /// The pitch whose slope (rise over run, no unit) is given.
    #[must_use]
    pub const fn from_slope(slope: f64) -> Self {
        Self(slope)
    }

    /// Rise over run, no unit.
    #[must_use]
    pub const fn slope(self) -> f64 {
        self.0
    }

    /// The angle above level.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::radians(self.0.atan())
    }

    /// The length along the rake above a level run.
    #[must_use]
    pub fn rake_over(self, run: Length) -> Length {
        run * self.0.hypot(1.0)
    }
    /// The rise over a foot of level run: the figure a framing square is set to.
    #[must_use]
    pub fn per_foot(self) -> Length {
        FOOT * self.0
    }

    /// The length along the rake over a foot of level run: what a framing square's table gives as
    /// length per foot of run.
    #[must_use]
    pub fn rake_per_foot(self) -> Length {
        self.rake_over(FOOT)
    }
}
