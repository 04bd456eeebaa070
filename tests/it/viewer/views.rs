//! What shows from each named viewpoint: masks of part numbers, against those kept in `masks/` and
//! against rays of another library. Colours and lines hang on the driver; which part shows does not.
//!
//! Kept anew by `RAKEWELL_KEEP_MASKS=1 cargo test --test it viewer::views`; look at the pictures of
//! `rakewell picture` before these are committed.

use std::collections::BTreeMap;
use std::path::PathBuf;

use rakewell::job::{Document, Job};
use rakewell::viewer::{Mask, PictureRequest, Viewpoint, masks, viewpoints};

const WIDTH: u32 = 240;
const HEIGHT: u32 = 160;

fn job(text: &str) -> Job {
    Document::parse(text, "views.ron").unwrap().job().clone()
}

fn demo() -> Job {
    job(include_str!("../../../demo-scenes/quarry-lane.ron"))
}

fn half_turn() -> Job {
    job(include_str!("../../../scenes/half-turn.ron"))
}

fn request(job: &Job) -> PictureRequest {
    PictureRequest::plain(job.clone(), Viewpoint::Front, (WIDTH, HEIGHT))
}

/// A mask as it is kept: a PNG of numbers with the names beside them.
fn packed(mask: &Mask) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, mask.width, mask.height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Sixteen);
    encoder
        .add_text_chunk("parts".to_owned(), mask.names.join("\n"))
        .unwrap();
    let bytes: Vec<u8> = mask
        .numbers
        .iter()
        .flat_map(|number| number.to_be_bytes())
        .collect();
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&bytes).unwrap();
    writer.finish().unwrap();
    out
}

fn unpacked(bytes: &[u8]) -> Mask {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut data = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut data).unwrap();
    let info = reader.info();
    let names = info.uncompressed_latin1_text[0].text.lines();
    Mask {
        width: info.width,
        height: info.height,
        names: names.map(str::to_owned).collect(),
        numbers: data
            .chunks_exact(2)
            .map(|pair| u16::from_be_bytes([pair[0], pair[1]]))
            .collect(),
    }
}

/// What of a pixel's neighbourhood shows the same part: at the edges of parts drivers differ.
fn inside(mask: &Mask, x: u32, y: u32) -> bool {
    let own = mask.at(x, y);
    let near = |at: u32, most: u32| at.saturating_sub(1)..=(at + 1).min(most - 1);
    near(x, mask.width).all(|x| near(y, mask.height).all(|y| mask.at(x, y) == own))
}

/// How two masks differ, in words; none where they are alike: within the edges one pixel in two
/// hundred may differ, and no part that shows may be gone, come or have changed by half.
fn unlike(kept: &Mask, now: &Mask) -> Vec<String> {
    let mut told = Vec::new();
    if (kept.width, kept.height) != (now.width, now.height) {
        return vec!["another size".to_owned()];
    }
    let (mut inner, mut wrong) = (0, 0);
    for y in 0..kept.height {
        for x in 0..kept.width {
            if inside(kept, x, y) && inside(now, x, y) {
                inner += 1;
                wrong += u32::from(kept.at(x, y) != now.at(x, y));
            }
        }
    }
    if wrong * 200 > inner {
        told.push(format!("{wrong} of {inner} pixels show another part"));
    }
    let names: Vec<&String> = kept.names.iter().chain(&now.names).collect();
    for name in names {
        let (then, here) = (kept.area(name), now.area(name));
        // What is a few pixels in all may be lost to rounding.
        if then.max(here) >= 10 && (then * 2 < here || here * 2 < then) {
            told.push(format!("{name} shows in {here} pixels, was {then}"));
        }
    }
    told.sort();
    told.dedup();
    told
}

fn kept_at(name: &str, viewpoint: &Viewpoint) -> PathBuf {
    let file: String = viewpoint
        .to_string()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/it/viewer/masks");
    folder.join(format!("{name}-{file}.png"))
}

/// The viewpoints of a job: those that a trouble has of its own left out, for troubles come and go.
fn named(job: &Job) -> Vec<Viewpoint> {
    let chain = rakewell::chain::run(job).unwrap();
    let all = viewpoints(&chain).into_iter();
    all.filter(|one| !matches!(one, Viewpoint::Trouble(_)))
        .collect()
}

fn as_kept(name: &str, job: &Job) {
    let all = named(job);
    let drawn = masks(&request(job), &all, &[]).unwrap();
    let keep = std::env::var_os("RAKEWELL_KEEP_MASKS").is_some();
    let mut told = BTreeMap::new();
    for (viewpoint, mask) in all.iter().zip(&drawn) {
        let file = kept_at(name, viewpoint);
        // Something of the stair fills a fair part of every picture.
        let shown = mask.numbers.iter().filter(|number| **number > 0).count();
        assert!(shown * 25 > mask.numbers.len(), "{viewpoint}: {shown}");
        if keep {
            std::fs::write(&file, packed(mask)).unwrap();
        }
        let kept = std::fs::read(&file);
        let kept = kept.unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        let differs = unlike(&unpacked(&kept), mask);
        if !differs.is_empty() {
            told.insert(viewpoint.to_string(), differs);
        }
    }
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn every_named_viewpoint_of_the_demo_shows_what_it_showed() {
    as_kept("quarry-lane", &demo());
}

#[test]
fn every_named_viewpoint_of_a_half_turn_shows_what_it_showed() {
    as_kept("half-turn", &half_turn());
}

#[test]
fn a_missing_baluster_is_seen_from_wherever_it_shows() {
    let job = demo();
    let all = [Viewpoint::Front, Viewpoint::Above, Viewpoint::Side];
    let whole = masks(&request(&job), &all, &[]).unwrap();
    let lacking = masks(&request(&job), &all, &["B10".to_owned()]).unwrap();
    for ((viewpoint, whole), lacking) in all.iter().zip(&whole).zip(&lacking) {
        assert!(whole.area("B10") > 20, "{viewpoint}");
        let told = unlike(whole, lacking);
        assert!(
            told.iter().any(|line| line.starts_with("B10 ")),
            "{viewpoint}: {told:?}"
        );
        assert!(unlike(whole, whole).is_empty());
    }
}
