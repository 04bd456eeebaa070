//! The look: paper, pencil, timber, chalk line. Every colour, width and finish stands here.
//!
//! Every colour has two tones, one for each [`Ground`]: what is dark on paper is light on slate.
//! Two moods: `work` is a measured drawing washed with colour; `show` is the finished stair.

use bevy::color::{Color, ColorToComponents, ColorToPacked as _, LinearRgba, Mix, Oklaba};
use bevy_egui::egui::Color32;

use crate::inspect::Severity;
use crate::publish::finish::{self, Surface};
use crate::solids::PartKind;

use super::Mood;
use super::dress::Dressed;
use super::ground::{self, Ground};

/// A colour as red, green, blue of 0 to 255, sRGB.
type Rgb = [u8; 3];

/// A colour by what the drawing lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Tone {
    /// On paper.
    paper: Rgb,
    /// On slate.
    slate: Rgb,
}

impl Tone {
    /// The same on both.
    pub(super) const fn same(both: Rgb) -> Self {
        Self {
            paper: both,
            slate: both,
        }
    }

    /// One for each ground.
    pub(super) const fn new(paper: Rgb, slate: Rgb) -> Self {
        Self { paper, slate }
    }

    /// The colour on a ground.
    const fn on(self, ground: Ground) -> Rgb {
        match ground {
            Ground::Paper => self.paper,
            Ground::Slate => self.slate,
        }
    }
}

/// The paper (or slate) of the background.
pub(super) const PAPER: Tone = Tone::new([243, 236, 223], [40, 45, 47]);
/// A room in the evening, behind what its lamps shine on.
pub(super) const DUSK: Tone = Tone::new([118, 99, 78], [30, 28, 26]);
/// That of the panels, a little deeper.
pub(super) const SHEET: Tone = Tone::new([236, 227, 210], [48, 54, 56]);
/// Paper to write on.
pub(super) const CARD: Tone = Tone::new([250, 246, 238], [31, 35, 37]);
/// The yellow of a tape.
pub(super) const TAPE: Tone = Tone::new([246, 222, 150], [92, 76, 28]);
/// A soft pencil; on slate, its white one.
pub(super) const PENCIL: Tone = Tone::new([56, 53, 50], [233, 228, 217]);
/// A pencil held lightly.
pub(super) const PENCIL_SOFT: Tone = Tone::new([92, 87, 80], [199, 195, 186]);
/// The same pencil with less weight: the lightest that text is written with.
pub(super) const PENCIL_LIGHT: Tone = Tone::new([105, 98, 88], [164, 163, 157]);
/// A line barely there: it parts what is apart anyway.
pub(super) const PENCIL_FAINT: Tone = Tone::new([201, 190, 171], [78, 85, 87]);
/// What stands open and dark, on either.
pub(super) const SHADOW: Tone = Tone::same([18, 16, 15]);
/// Blue of a chalk line: what was meant, and what is picked.
pub(super) const CHALK: Tone = Tone::new([38, 92, 143], [134, 184, 230]);
/// Red of a carpenter's crayon.
pub(super) const CRAYON: Tone = Tone::new([172, 50, 34], [246, 142, 122]);
/// Ochre.
pub(super) const OCHRE: Tone = Tone::new([135, 82, 6], [228, 176, 92]);
/// Violet of an indelible pencil: what something is because of.
pub(super) const INDELIBLE: Tone = Tone::new([118, 42, 131], [214, 158, 226]);
/// Madder, a red near violet: how far up or down a rail may come to lie.
pub(super) const MADDER: Tone = Tone::new([156, 24, 110], [240, 140, 200]);
/// Verdigris: how far in or out.
pub(super) const VERDIGRIS: Tone = Tone::new([0, 104, 117], [92, 196, 200]);
/// Brass of a plumb bob.
pub(super) const BRASS: Tone = Tone::new([178, 138, 64], [196, 158, 84]);
/// The grey-green of a slate.
pub(super) const SLATE: Tone = Tone::new([78, 94, 88], [158, 182, 173]);

/// The colour for Bevy.
pub(super) fn colour(tone: Tone) -> Color {
    let [red, green, blue] = tone.on(ground::now());
    Color::srgb_u8(red, green, blue)
}

/// The colour for egui.
pub(super) fn ink(tone: Tone) -> Color32 {
    let [red, green, blue] = tone.on(ground::now());
    Color32::from_rgb(red, green, blue)
}

/// A wash of a colour on a card, so much of it, for egui.
pub(super) fn tint(wash: Tone, share: f32) -> Color32 {
    let mix = Mix::mix(&colour(CARD).to_linear(), &colour(wash).to_linear(), share);
    let [red, green, blue, _] = Color::from(mix).to_srgba().to_u8_array();
    Color32::from_rgb(red, green, blue)
}

/// What a floor of paper is painted with, so that the light that makes white the tone of paper makes
/// it the tone of the ground.
pub(super) fn floor_paint() -> Color {
    let [red, green, blue, _] = colour(PAPER).to_linear().to_f32_array();
    let white = Color::srgb_u8(PAPER.paper[0], PAPER.paper[1], PAPER.paper[2]);
    let [full_red, full_green, full_blue, _] = white.to_linear().to_f32_array();
    Color::linear_rgb(red / full_red, green / full_green, blue / full_blue)
}

/// The ink of a severity; its shape and word say the same without colour.
pub(super) const fn severity_ink(severity: Severity) -> Tone {
    match severity {
        Severity::Stop => CRAYON,
        Severity::Fix => OCHRE,
        Severity::Remark => SLATE,
    }
}

/// What is seen of a part: what its kind is made of, or what was chosen for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Stuff {
    /// As its kind is made.
    Of(PartKind),
    /// Iron, blacked.
    Metal,
    /// Glass.
    Glass,
    /// A board that is seen through, so that the framing behind it shows.
    Thin(PartKind),
}

impl Stuff {
    /// What is no matter of a part's kind.
    pub(super) const fn of_finished(stuff: finish::Stuff) -> Option<Self> {
        match stuff {
            finish::Stuff::MetalBalusters => Some(Self::Metal),
            finish::Stuff::Glass => Some(Self::Glass),
            finish::Stuff::Of(_) | finish::Stuff::Wall | finish::Stuff::Floor => None,
        }
    }

    /// What a look finishes it as.
    const fn finished(self) -> finish::Stuff {
        match self {
            Self::Metal => finish::Stuff::MetalBalusters,
            Self::Glass => finish::Stuff::Glass,
            Self::Of(kind) | Self::Thin(kind) => finish::Stuff::of_kind(kind),
        }
    }
}

/// How a part is finished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Finish {
    /// Its colour.
    pub(super) colour: Tone,
    /// How much the grain of the timber shows, 0 to 1.
    pub(super) grain: f32,
    /// 0 polished, 1 chalky.
    pub(super) rough: f32,
    /// 0 no metal, 1 bare metal.
    pub(super) metal: f32,
    /// How much of what stands behind it is hidden, 0 to 1.
    pub(super) cover: f32,
}

/// The finish of a part in a mood: measured, in the washes of a drawing; finished, as the look has it.
pub(super) fn finish(stuff: Stuff, mood: Mood, dressed: &Dressed) -> Finish {
    if mood == Mood::Show {
        return shown(&dressed.surface(stuff.finished()));
    }
    let (work, grain) = match stuff {
        Stuff::Metal => ([96, 94, 92], 0.0),
        Stuff::Glass => ([196, 216, 212], 0.0),
        Stuff::Of(kind) | Stuff::Thin(kind) => of_kind(kind),
    };
    let cover = match stuff {
        Stuff::Glass => 0.38,
        Stuff::Thin(_) => 0.5,
        Stuff::Metal | Stuff::Of(_) => 1.0,
    };
    Finish {
        colour: Tone::new(work, dimmed(work, 0.28)),
        grain: grain * 0.55,
        rough: 0.9,
        metal: 0.0,
        cover,
    }
}

fn shown(surface: &Surface) -> Finish {
    let colour = surface.colour.0;
    Finish {
        colour: Tone::new(colour, dimmed(colour, 0.62)),
        grain: surface.grain,
        rough: surface.rough,
        // Nothing of the room is mirrored here, so what is all metal would be black.
        metal: surface.metal * 0.4,
        cover: surface.cover,
    }
}

/// A colour with so much of its light, as washes look on slate.
fn dimmed([red, green, blue]: Rgb, share: f32) -> Rgb {
    let dim = Color::from(Color::srgb_u8(red, green, blue).to_linear() * share);
    let [red, green, blue, _] = dim.to_srgba().to_u8_array();
    [red, green, blue]
}

/// The wash of a kind at work, and its grain.
const fn of_kind(kind: PartKind) -> (Rgb, f32) {
    match kind {
        PartKind::Tread => ([222, 186, 138], 1.0),
        PartKind::Rail | PartKind::BottomRail | PartKind::Rosette => ([190, 137, 88], 1.0),
        PartKind::Newel | PartKind::Shoe => ([203, 152, 102], 1.0),
        PartKind::Baluster => ([241, 227, 203], 0.25),
        PartKind::Kick => ([237, 226, 206], 0.15),
        PartKind::Skirt | PartKind::Panel => ([231, 222, 205], 0.15),
        PartKind::Stringer => ([228, 205, 158], 0.7),
        PartKind::Floor => ([226, 211, 186], 0.8),
        PartKind::HalfWall => ([238, 230, 215], 0.0),
        PartKind::Wall => ([240, 233, 219], 0.0),
    }
}

/// Lightness at both ends of the departure scale and in its middle (Oklab L), on a ground.
const fn ramp(ground: Ground) -> (f32, f32) {
    match ground {
        Ground::Paper => (0.58, 0.93),
        Ground::Slate => (0.76, 0.40),
    }
}

/// The colour of a departure: -1 away from the room (blue-grey), 0 true (plaster), +1 into the room
/// (ochre). Evenly spaced in Oklab on each side, and apart in lightness too, so that red-green
/// blindness leaves it readable.
pub(super) fn departure(share: f32) -> Color {
    departure_on(ground::now(), share)
}

fn departure_on(ground: Ground, share: f32) -> Color {
    let (end, middle) = ramp(ground);
    let end = if share < 0.0 {
        Oklaba::new(end, -0.025, -0.075, 1.0)
    } else {
        Oklaba::new(end, 0.045, 0.105, 1.0)
    };
    let middle = Oklaba::new(middle, 0.0, 0.015, 1.0);
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

    const BOTH: [Ground; 2] = [Ground::Paper, Ground::Slate];

    fn apart(ground: Ground, a: f32, b: f32) -> f32 {
        let [a, b] = [a, b].map(|share| Oklaba::from(departure_on(ground, share)));
        ((a.lightness - b.lightness).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)).sqrt()
    }

    #[test]
    fn equal_departures_look_equally_far_apart() {
        let sides = |ground| [-1.0, 1.0].map(|side| (ground, side));
        for (ground, side) in BOTH.into_iter().flat_map(sides) {
            let tenth = |i: i16| side * f32::from(i) / 10.0;
            let steps: Vec<f32> = (0..10_i16)
                .map(|i| apart(ground, tenth(i), tenth(i + 1)))
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
        let cases = |matrix| BOTH.map(|ground| (matrix, ground));
        for (matrix, ground) in matrices.into_iter().flat_map(cases) {
            let seen = |share| {
                let [r, g, b, _] = LinearRgba::from(departure_on(ground, share)).to_f32_array();
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

    /// Relative luminance, W3C's WCAG 2.2: 0.2126 R + 0.7152 G + 0.0722 B of the linear channels.
    fn luminance(rgb: Rgb) -> f64 {
        let linear = rgb.map(|channel| {
            let share = f64::from(channel) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    }

    /// Contrast ratio, WCAG 2.2: (L1 + 0.05) / (L2 + 0.05), the lighter first.
    fn contrast(a: Rgb, b: Rgb) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_is_that_of_the_standard() {
        // W3C: black on white is 21:1; #767676 is the lightest grey that passes on white.
        approx::assert_relative_eq!(contrast([0; 3], [255; 3]), 21.0, epsilon = 1e-9);
        assert!(contrast([0x76; 3], [255; 3]) >= 4.5);
        assert!(contrast([0x77; 3], [255; 3]) < 4.5);
    }

    #[test]
    fn what_is_written_can_be_read_on_all_that_it_is_written_on() {
        let written = [
            ("pencil", PENCIL),
            ("soft pencil", PENCIL_SOFT),
            ("light pencil", PENCIL_LIGHT),
            ("chalk", CHALK),
            ("crayon", CRAYON),
            ("ochre", OCHRE),
            ("indelible", INDELIBLE),
            ("madder", MADDER),
            ("verdigris", VERDIGRIS),
            ("slate", SLATE),
        ];
        let papers = [("paper", PAPER), ("sheet", SHEET), ("card", CARD)];
        for ground in BOTH {
            for (ink, tone) in written {
                for (on, paper) in papers {
                    let ratio = contrast(tone.on(ground), paper.on(ground));
                    // Success criterion 1.4.3, level AA; marks alone would do with 3 (1.4.11).
                    assert!(ratio >= 4.5, "{ink} on {on}, {ground:?}: {ratio:.2}");
                }
            }
        }
    }

    #[test]
    fn the_tape_can_be_read() {
        for ground in BOTH {
            let on_tape = |tone: Tone| contrast(tone.on(ground), TAPE.on(ground));
            assert!(on_tape(PENCIL) >= 4.5);
            // The mark that it is read at is a line.
            assert!(on_tape(CRAYON) >= 3.0);
        }
    }

    #[test]
    fn a_part_stands_out_from_the_lines_around_it() {
        let kinds = [
            PartKind::Tread,
            PartKind::Rail,
            PartKind::Newel,
            PartKind::Baluster,
        ];
        for ground in BOTH {
            for kind in kinds {
                let wash = finish(Stuff::Of(kind), Mood::Work, &Dressed::default())
                    .colour
                    .on(ground);
                // Graphical objects, criterion 1.4.11.
                let ratio = contrast(wash, PENCIL.on(ground));
                assert!(ratio >= 3.0, "{kind:?}, {ground:?}: {ratio:.2}");
            }
        }
    }
}
