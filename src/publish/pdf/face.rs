//! The shipped faces, and text as their glyphs: kerned, with digits of one width and true
//! fractions. Widths and advances are in ems, parts of the size.

use std::ops::Range;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use harfrust::{
    Feature, FontRef, ShapePlan, ShapePlanKey, Shaper, ShaperData, Tag, UnicodeBuffer, script,
};

/// A face of the shipped family.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// For reading.
    Regular,
    /// For headings.
    SemiBold,
}

impl Face {
    /// The bytes of the font.
    #[must_use]
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../../assets/fonts/IBMPlexSans-Regular.ttf"),
            Self::SemiBold => include_bytes!("../../../assets/fonts/IBMPlexSans-SemiBold.ttf"),
        }
    }

    fn cut(self) -> &'static Cut {
        static REGULAR: LazyLock<Cut> = LazyLock::new(|| Cut::new(Face::Regular));
        static SEMIBOLD: LazyLock<Cut> = LazyLock::new(|| Cut::new(Face::SemiBold));
        match self {
            Self::Regular => &REGULAR,
            Self::SemiBold => &SEMIBOLD,
        }
    }
}

/// A face made ready to shape with.
struct Cut {
    font: FontRef<'static>,
    data: ShaperData,
    /// How texts of one script with so many fractions are shaped: to work that out takes longer than to
    /// shape a line.
    plans: Mutex<Vec<Arc<ShapePlan>>>,
}

/// Plans that are kept; texts that need still others work theirs out each time.
const MOST_PLANS: usize = 64;

impl Cut {
    fn new(face: Face) -> Self {
        let font = FontRef::new(face.bytes()).expect("the shipped font reads");
        let data = ShaperData::new(&font);
        Self {
            font,
            data,
            plans: Mutex::default(),
        }
    }

    /// The plan that [`Shaper::shape`] would make.
    fn plan(
        &self,
        shaper: &Shaper<'_>,
        buffer: &UnicodeBuffer,
        features: &[Feature],
    ) -> Arc<ShapePlan> {
        let script = Some(buffer.script()).filter(|script| *script != script::UNKNOWN);
        let (direction, language) = (buffer.direction(), buffer.language());
        let key = ShapePlanKey::new(script, direction)
            .language(language.as_ref())
            .features(features);
        // A plan is whole before it is put there, so a panic elsewhere spoils none.
        let mut plans = self.plans.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = plans.iter().find(|plan| key.matches(plan)) {
            return known.clone();
        }
        let made = ShapePlan::new(shaper, direction, script, language.as_ref(), features);
        let made = Arc::new(made);
        if plans.len() < MOST_PLANS {
            plans.push(made.clone());
        }
        made
    }
}

/// One glyph of a line of text. Advance and offsets in ems.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// Its number in the font; 0 stands for a character that the font lacks.
    pub id: u32,
    /// The bytes of the text that it stands for.
    pub text: Range<usize>,
    /// How far the pen goes on after it.
    pub advance: f64,
    /// Its offset to the right.
    pub right: f64,
    /// Its offset upwards.
    pub up: f64,
}

/// A line of text as glyphs.
#[derive(Clone, Debug, PartialEq)]
pub struct Shaped {
    /// The glyphs, from left to right.
    pub glyphs: Vec<Glyph>,
}

impl Shaped {
    /// The width in ems.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.glyphs.iter().map(|glyph| glyph.advance).sum()
    }
}

/// The width of a text in ems.
#[must_use]
pub fn width(text: &str, face: Face) -> f64 {
    shape(text, face).width()
}

/// A text as the glyphs of a face.
#[must_use]
pub fn shape(text: &str, face: Face) -> Shaped {
    let cut = face.cut();
    let shaper = cut.data.shaper(&cut.font).build();
    let em = f64::from(shaper.units_per_em());
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.guess_segment_properties();
    let features = features(text);
    let plan = cut.plan(&shaper, &buffer, &features);
    let shaped = shaper.shape_with_plan(&plan, buffer, &features);
    let infos = shaped.glyph_infos();
    let glyphs = infos
        .iter()
        .zip(shaped.glyph_positions())
        .map(|(info, position)| {
            let start = info.cluster as usize;
            let next = infos.iter().map(|other| other.cluster as usize);
            let end = next.filter(|other| *other > start).min();
            Glyph {
                id: info.glyph_id,
                text: start..end.unwrap_or(text.len()),
                advance: f64::from(position.x_advance) / em,
                right: f64::from(position.x_offset) / em,
                up: f64::from(position.y_offset) / em,
            }
        })
        .collect();
    Shaped { glyphs }
}

/// Digits of one width, and true fractions where they stand.
fn features(text: &str) -> Vec<Feature> {
    let mut features = vec![Feature::new(Tag::new(b"tnum"), 1, ..)];
    features.extend(
        fractions(text)
            .into_iter()
            // The shaper takes one off an end that is not itself in the range, and then leaves out
            // the one at the end all the same; so the end is named as if it were in it.
            .map(|range| Feature::new(Tag::new(b"frac"), 1, range.start..=range.end)),
    );
    features
}

/// The byte ranges of fractions: digits, a slash, digits.
fn fractions(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let digits_from = |from: usize| {
        let digits = bytes[from..].iter().take_while(|b| b.is_ascii_digit());
        digits.count()
    };
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let over = digits_from(at);
        if over == 0 {
            at += 1;
            continue;
        }
        let slash = at + over;
        let under = match bytes.get(slash) {
            Some(b'/') => digits_from(slash + 1),
            _ => 0,
        };
        if under > 0 {
            let end = slash + 1 + under;
            found.push(at..end);
            at = end;
        } else {
            at = slash;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::{Face, UnicodeBuffer, features, fractions, shape, width};

    #[test]
    fn fractions_are_found_where_they_stand() {
        assert_eq!(fractions("10 1/4\" of 3 11/16"), [3..6, 13..18]);
        assert_eq!(
            fractions("and/or 3/ /4 1//2"),
            Vec::<std::ops::Range<_>>::new()
        );
    }

    #[test]
    fn a_fraction_is_set_smaller_than_its_digits() {
        for face in [Face::Regular, Face::SemiBold] {
            let plain = shape("1116", face).width();
            let slash = width("/", face);
            assert!(width("11/16", face) < 0.9 * (plain + slash));
            let ids = |text: &str| -> Vec<u32> {
                shape(text, face).glyphs.iter().map(|g| g.id).collect()
            };
            let plain = ids("8")[0];
            let set = ids("8/8 8/88");
            let above = set[0];
            let below = set[2];
            assert!(above != plain && below != plain && above != below);
            // The bar is not the slash, and every digit is above or below it.
            assert_ne!(set[1], ids("/")[0]);
            assert_eq!(set[4..], [above, set[1], below, below]);
            assert_eq!(ids("8/8+8").last(), Some(&plain), "what follows is as ever");
        }
    }

    /// The shaper's own way, without plans that are kept, gives the same glyphs.
    #[test]
    fn kept_plans_shape_as_fresh_ones() {
        let texts = [
            "",
            "10 1/4\"",
            "rise 7 9/16\" of 3/4",
            "1/2 1/4 1/8",
            "plain",
            "12",
            "\u{3bc} and \u{434}",
        ];
        for text in texts.iter().chain(&texts) {
            for face in [Face::Regular, Face::SemiBold] {
                let cut = face.cut();
                let mut buffer = UnicodeBuffer::new();
                buffer.push_str(text);
                buffer.guess_segment_properties();
                let shaper = cut.data.shaper(&cut.font).build();
                let fresh = shaper.shape(buffer, &features(text));
                let fresh: Vec<(u32, i32)> = fresh
                    .glyph_infos()
                    .iter()
                    .zip(fresh.glyph_positions())
                    .map(|(info, at)| (info.glyph_id, at.x_advance))
                    .collect();
                let em = f64::from(shaper.units_per_em());
                let kept = shape(text, face).glyphs.into_iter();
                let kept: Vec<(u32, i32)> = kept
                    .map(|one| (one.id, (one.advance * em).round() as i32))
                    .collect();
                assert_eq!(kept, fresh, "{text}");
            }
        }
    }

    #[test]
    fn digits_are_all_of_one_width() {
        for face in [Face::Regular, Face::SemiBold] {
            let one = width("1", face);
            for digit in ["0", "2", "3", "4", "5", "6", "7", "8", "9"] {
                assert!((width(digit, face) - one).abs() < 1e-9, "{digit}");
            }
        }
    }

    #[test]
    fn every_glyph_stands_for_text_and_none_is_lost() {
        let text = "rise 7 9/16\" \u{2013} \u{b0}\u{2032}\u{2033} ffi";
        let shaped = shape(text, Face::Regular);
        assert_eq!(shaped.glyphs.first().unwrap().text.start, 0);
        assert_eq!(shaped.glyphs.last().unwrap().text.end, text.len());
        for pair in shaped.glyphs.windows(2) {
            assert!(pair[0].text.end == pair[1].text.start || pair[0].text == pair[1].text);
        }
    }
}
