//! The look: paper, pencil, timber, chalk line. Every colour, width and finish stands here.
//!
//! Two moods: `work` is a measured drawing washed with colour; `show` is the finished stair.

use bevy::color::{Color, ColorToComponents, ColorToPacked as _, LinearRgba, Mix, Oklaba};
use bevy_egui::egui::Color32;

use crate::inspect::Severity;
use crate::solids::PartKind;

use super::Mood;

/// A colour as red, green, blue of 0 to 255, sRGB.
pub(super) type Rgb = [u8; 3];

/// The paper of the background.
pub(super) const PAPER: Rgb = [243, 236, 223];
/// The paper of the panels, a little deeper.
pub(super) const SHEET: Rgb = [236, 227, 210];
/// Paper to write on.
pub(super) const CARD: Rgb = [250, 246, 238];
/// A soft pencil.
pub(super) const PENCIL: Rgb = [56, 53, 50];
/// A pencil held lightly.
pub(super) const PENCIL_SOFT: Rgb = [92, 87, 80];
/// The same pencil with less weight.
pub(super) const PENCIL_LIGHT: Rgb = [126, 118, 107];
/// A line barely there.
pub(super) const PENCIL_FAINT: Rgb = [201, 190, 171];
/// Blue of a chalk line: what was meant, and what is picked.
pub(super) const CHALK: Rgb = [38, 92, 143];
/// Red of a carpenter's crayon.
pub(super) const CRAYON: Rgb = [172, 50, 34];
/// Ochre.
pub(super) const OCHRE: Rgb = [176, 112, 18];
/// Violet of an indelible pencil: what something is because of.
pub(super) const INDELIBLE: Rgb = [118, 42, 131];
/// Madder, a red near violet: how far up or down a rail may come to lie.
pub(super) const MADDER: Rgb = [156, 24, 110];
/// Verdigris: how far in or out.
pub(super) const VERDIGRIS: Rgb = [0, 116, 130];
/// The grey-green of a slate.
pub(super) const SLATE: Rgb = [88, 104, 98];

/// The colour for Bevy.
pub(super) fn colour([red, green, blue]: Rgb) -> Color {
    Color::srgb_u8(red, green, blue)
}

/// The colour for egui.
pub(super) const fn ink([red, green, blue]: Rgb) -> Color32 {
    Color32::from_rgb(red, green, blue)
}

/// A wash of a colour on a card, so much of it, for egui.
pub(super) fn tint(wash: Rgb, share: f32) -> Color32 {
    let mix = Mix::mix(&colour(CARD).to_linear(), &colour(wash).to_linear(), share);
    let [red, green, blue, _] = Color::from(mix).to_srgba().to_u8_array();
    Color32::from_rgb(red, green, blue)
}

/// The ink of a severity; its shape and word say the same without colour.
pub(super) const fn severity_ink(severity: Severity) -> Rgb {
    match severity {
        Severity::Stop => CRAYON,
        Severity::Fix => OCHRE,
        Severity::Remark => SLATE,
    }
}

/// What is seen of a part: what its kind is made of, or what was chosen for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stuff {
    /// As its kind is made.
    Of(PartKind),
    /// Iron, blacked.
    Metal,
    /// Glass.
    Glass,
}

/// How a part is finished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Finish {
    /// Its colour.
    pub(super) colour: Rgb,
    /// How much the grain of the timber shows, 0 to 1.
    pub(super) grain: f32,
    /// 0 polished, 1 chalky.
    pub(super) rough: f32,
    /// How much of what stands behind it is hidden, 0 to 1.
    pub(super) cover: f32,
}

/// The finish of a part in a mood.
pub(super) fn finish(stuff: Stuff, mood: Mood) -> Finish {
    let (work, show, grain, rough) = match stuff {
        Stuff::Metal => ([96, 94, 92], [44, 43, 42], 0.0, 0.45),
        Stuff::Glass => ([196, 216, 212], [190, 212, 210], 0.0, 0.08),
        Stuff::Of(kind) => of_kind(kind),
    };
    let cover = if stuff == Stuff::Glass { 0.38 } else { 1.0 };
    match mood {
        Mood::Work => Finish {
            colour: work,
            grain: grain * 0.55,
            rough: 0.9,
            cover,
        },
        Mood::Show => Finish {
            colour: show,
            grain,
            rough,
            cover,
        },
    }
}

/// Colours of a kind at work and on show, its grain, its roughness on show.
const fn of_kind(kind: PartKind) -> (Rgb, Rgb, f32, f32) {
    match kind {
        PartKind::Tread => ([222, 186, 138], [186, 128, 76], 1.0, 0.42),
        PartKind::Rail | PartKind::BottomRail | PartKind::Rosette => {
            ([190, 137, 88], [128, 74, 40], 1.0, 0.34)
        }
        PartKind::Newel | PartKind::Shoe => ([203, 152, 102], [142, 86, 48], 1.0, 0.36),
        PartKind::Baluster => ([241, 227, 203], [238, 232, 220], 0.25, 0.5),
        PartKind::Kick => ([237, 226, 206], [236, 230, 217], 0.15, 0.55),
        PartKind::Skirt | PartKind::Panel => ([231, 222, 205], [233, 227, 214], 0.15, 0.55),
        PartKind::Stringer => ([228, 205, 158], [214, 190, 146], 0.7, 0.7),
        PartKind::Floor => ([226, 211, 186], [196, 160, 118], 0.8, 0.55),
        PartKind::HalfWall => ([238, 230, 215], [236, 230, 219], 0.0, 0.9),
        PartKind::Wall => ([240, 233, 219], [238, 232, 221], 0.0, 0.95),
    }
}

/// A small lightening or darkening of one piece of timber among its like, 0.93 to 1.03: the same
/// name gives the same tone in every run.
pub(super) fn tone(name: &str) -> f32 {
    // FNV-1a, so that the tone does not hang on a hasher that may change.
    let hash = name.bytes().fold(0x811c_9dc5_u32, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    });
    0.93 + 0.10 * super::convert::single((hash >> 8) & 0xff) / 255.0
}

/// Lightness at both ends of the departure scale and in its middle (Oklab L).
const RAMP_END: f32 = 0.58;
const RAMP_MIDDLE: f32 = 0.93;

/// The colour of a departure: -1 away from the room (blue-grey), 0 true (plaster), +1 into the room
/// (ochre). Evenly spaced in Oklab on each side, and apart in lightness too, so that red-green
/// blindness leaves it readable.
pub(super) fn departure(share: f32) -> Color {
    let end = if share < 0.0 {
        Oklaba::new(RAMP_END, -0.025, -0.075, 1.0)
    } else {
        Oklaba::new(RAMP_END, 0.045, 0.105, 1.0)
    };
    let middle = Oklaba::new(RAMP_MIDDLE, 0.0, 0.015, 1.0);
    Color::from(middle.mix(&end, share.abs().min(1.0)))
}

/// The departure colour for egui.
pub(super) fn departure_ink(share: f32) -> Color32 {
    let [red, green, blue, _] = departure(share).to_srgba().to_u8_array();
    Color32::from_rgb(red, green, blue)
}

/// The departure colour as a mesh carries it.
pub(super) fn departure_vertex(share: f32) -> [f32; 4] {
    LinearRgba::from(departure(share)).to_f32_array()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn apart(a: f32, b: f32) -> f32 {
        let (a, b) = (Oklaba::from(departure(a)), Oklaba::from(departure(b)));
        ((a.lightness - b.lightness).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)).sqrt()
    }

    #[test]
    fn equal_departures_look_equally_far_apart() {
        for side in [-1.0, 1.0] {
            let steps: Vec<f32> = (0..10_i16)
                .map(|i| apart(side * f32::from(i) / 10.0, side * f32::from(i + 1) / 10.0))
                .collect();
            for step in &steps {
                approx::assert_relative_eq!(*step, steps[0], max_relative = 1e-3);
            }
        }
    }

    #[test]
    fn the_ends_differ_for_the_colour_blind() {
        // Machado, Oliveira and Fernandes 2009, full deuteranomaly and protanomaly, linear RGB.
        let matrices = [
            [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
            [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
        ];
        for matrix in matrices {
            let seen = |share| {
                let [r, g, b, _] = departure_vertex(share);
                let row = |m: [f32; 3]| m[0] * r + m[1] * g + m[2] * b;
                Oklaba::from(LinearRgba::rgb(
                    row(matrix[0]),
                    row(matrix[1]),
                    row(matrix[2]),
                ))
            };
            let (low, high) = (seen(-1.0), seen(1.0));
            // Blue against yellow is what remains to them.
            assert!(high.b - low.b > 0.1, "{low:?} {high:?}");
        }
    }
}
