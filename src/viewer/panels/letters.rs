//! Every letter that we print, and every one that a length may be typed with, is in the fonts that
//! come with the program. Lengths are printed with plain digits, `1/16`, so no font is needed that
//! has fractions; those that people type are shown as typed.

use std::collections::BTreeSet;
use std::path::Path;

use bevy_egui::egui::{Context, FontFamily, FontId, RawInput};

/// What the sources name and no one reads in the window: ends of lines and of the alphabet that the
/// reader of job files looks out for, the mark that a terminal gets for what is no letter, two
/// modifier letters that are taken for primes where a text with them was pasted in, and a wide quote
/// that the reader knows for one.
const NEVER_DRAWN: [char; 7] = [
    '\u{2028}',
    '\u{2029}',
    '\u{10ffff}',
    '\u{fffd}',
    '\u{2b9}',
    '\u{2ba}',
    '\u{ff02}',
];

/// The letters of a source text: as they stand, and those written by their numbers.
fn letters(text: &str, into: &mut BTreeSet<char>) {
    into.extend(text.chars().filter(|letter| !letter.is_control()));
    for rest in text.split("\\u{").skip(1) {
        let number = rest.split('}').next().unwrap_or_default();
        let letter = u32::from_str_radix(number, 16)
            .ok()
            .and_then(char::from_u32);
        into.extend(letter.filter(|letter| !letter.is_control()));
    }
}

fn gather(folder: &Path, into: &mut BTreeSet<char>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && name != "tests" {
            gather(&path, into);
        } else if name.ends_with(".ron") || (name.ends_with(".rs") && !name.starts_with("tests")) {
            let text = std::fs::read_to_string(&path).unwrap();
            let own = text.split("#[cfg(test)]").next().unwrap_or_default();
            letters(own, into);
        }
    }
}

#[test]
fn every_letter_that_we_print_is_in_the_fonts() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut wanted = BTreeSet::new();
    // What the core and the window say; the command line has the terminal's fonts.
    for folder in [
        "measure", "job", "survey", "setout", "rules", "inspect", "explain", "doubt", "viewer",
    ] {
        gather(&root.join("src").join(folder), &mut wanted);
    }
    for folder in ["assets", "scenes", "demo-scenes"] {
        gather(&root.join(folder), &mut wanted);
    }
    wanted.extend((' '..='~').chain("\u{bd}\u{bc}\u{be}\u{215b}\u{215c}\u{215d}\u{215e}".chars()));
    assert!(wanted.contains(&'\u{b1}'), "the sources were read");
    wanted.retain(|letter| !NEVER_DRAWN.contains(letter));
    let ctx = Context::default();
    super::dress(&ctx);
    let mut drawn = ctx.run_ui(RawInput::default(), |_| {});
    drawn.textures_delta.clear();
    // All that is written is of this family.
    let font = FontId::new(13.0, FontFamily::Proportional);
    let missing: Vec<char> = ctx.fonts_mut(|fonts| {
        let lacks = |letter: &&char| !fonts.has_glyph(&font, **letter);
        wanted.iter().filter(lacks).copied().collect()
    });
    assert!(missing.is_empty(), "lacks {missing:?}");
}
