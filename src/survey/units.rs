//! Slips of the unit: a value that would fit if it had been written in another one.

use super::rows::Read;

/// A factor by which a value is off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSlip {
    /// Millimetres stand where inches are meant.
    MillimetresForInches,
    /// Inches stand where millimetres are meant.
    InchesForMillimetres,
    /// Inches stand where feet are meant.
    InchesForFeet,
    /// Feet stand where inches are meant.
    FeetForInches,
}

impl UnitSlip {
    /// What the value was multiplied by.
    #[must_use]
    pub const fn factor(self) -> f64 {
        match self {
            Self::MillimetresForInches => 25.4,
            Self::InchesForMillimetres => 1.0 / 25.4,
            Self::InchesForFeet => 1.0 / 12.0,
            Self::FeetForInches => 12.0,
        }
    }

    /// What to ask the one who wrote it.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::MillimetresForInches => "millimetres written as inches?",
            Self::InchesForMillimetres => "inches written as millimetres?",
            Self::InchesForFeet => "feet written as inches?",
            Self::FeetForInches => "inches written as feet?",
        }
    }
}

/// So many standard deviations may the value still be off when its unit is put right: the same
/// limit as for any reading.
const NEAR: f64 = super::judged::CRITICAL;
/// A length so short is near anything when it is divided: no unit can be told from it, mm.
const LEAST: f64 = 6.0;

/// The slip of the unit that explains a value where another one is predicted, if one does.
pub(super) fn unit_slip(read: Read, value: f64, predicted: f64, sd: f64) -> Option<UnitSlip> {
    if read == Read::Angle || predicted.abs() < LEAST {
        return None;
    }
    [
        UnitSlip::MillimetresForInches,
        UnitSlip::InchesForMillimetres,
        UnitSlip::InchesForFeet,
        UnitSlip::FeetForInches,
    ]
    .into_iter()
    .find(|slip| {
        // The right value is near what is predicted, and the written one is not.
        let right = value / slip.factor();
        (right - predicted).abs() < NEAR * sd && (value - predicted).abs() > NEAR * sd
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_factor_is_recognised_and_an_honest_misfit_is_not() {
        let meant = 190.5;
        for slip in [
            UnitSlip::MillimetresForInches,
            UnitSlip::InchesForMillimetres,
            UnitSlip::InchesForFeet,
            UnitSlip::FeetForInches,
        ] {
            let written = (meant + 0.6) * slip.factor();
            assert_eq!(unit_slip(Read::Length, written, meant, 1.0), Some(slip));
        }
        assert_eq!(unit_slip(Read::Length, 201.0, meant, 1.0), None);
        assert_eq!(unit_slip(Read::Angle, 12.0, 1.0, 0.01), None);
    }
}
