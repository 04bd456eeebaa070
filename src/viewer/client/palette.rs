//! Tones to choose among: paints, stains, timbers. Our own choice; any other is typed in the job.

use crate::job::Colour;
use crate::job::timber::TIMBERS;

/// A tone with its name.
pub(in crate::viewer) type Toned = (&'static str, Colour);

/// Paints, light to dark.
pub(in crate::viewer) const PAINTS: [Toned; 14] = [
    ("white", Colour([240, 235, 224])),
    ("cool white", Colour([236, 238, 238])),
    ("linen", Colour([226, 214, 192])),
    ("stone", Colour([196, 188, 174])),
    ("putty", Colour([170, 158, 138])),
    ("sage", Colour([148, 158, 134])),
    ("olive", Colour([98, 100, 72])),
    ("mist blue", Colour([158, 176, 186])),
    ("slate blue", Colour([86, 104, 120])),
    ("deep blue", Colour([38, 56, 80])),
    ("brick", Colour([142, 74, 58])),
    ("ochre", Colour([196, 152, 76])),
    ("graphite", Colour([66, 68, 70])),
    ("soft black", Colour([34, 34, 36])),
];

/// Stains under a clear finish.
pub(in crate::viewer) const STAINS: [Toned; 6] = [
    ("honey", Colour([196, 140, 74])),
    ("chestnut", Colour([104, 56, 28])),
    ("walnut", Colour([88, 60, 42])),
    ("smoke", Colour([120, 104, 88])),
    ("pickled", Colour([222, 210, 192])),
    ("ebony", Colour([48, 38, 32])),
];

/// The timbers that are offered, by name.
pub(in crate::viewer) fn timbers() -> impl Iterator<Item = &'static str> {
    TIMBERS.iter().map(|timber| timber.name)
}

/// The name of a tone among some, or the tone as the file writes it.
pub(in crate::viewer) fn tone_name(tones: &[Toned], colour: Colour) -> String {
    let known = tones.iter().find(|(_, one)| *one == colour);
    known.map_or_else(|| colour.to_string(), |(name, _)| (*name).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_tones_are_alike_or_of_one_name() {
        for tones in [&PAINTS[..], &STAINS[..]] {
            for (at, one) in tones.iter().enumerate() {
                for other in &tones[at + 1..] {
                    assert_ne!(one.0, other.0);
                    let [a, b] = [one.1.0, other.1.0].map(|part| part.map(i32::from));
                    let off: i32 = (0..3).map(|part| (a[part] - b[part]).abs()).sum();
                    assert!(off > 15, "{} and {}", one.0, other.0);
                }
            }
        }
    }
}
