//! Five million points from a binary PLY file to a fitted, thinned wall.
//!
//! `cargo bench --no-default-features --bench points`; it also prints the most memory that the
//! process has held.

#![expect(clippy::print_stdout, reason = "a bench tells what it measured")]

use std::fs::File;
use std::io::{BufWriter, Write as _};

use divan::Bencher;
use rakewell::job::{Document, Job};
use rakewell::measure::{Angle, Length};
use rakewell::survey::points::read::{HowToRead, read};
use rakewell::survey::points::{Choices, Frame, MeantFace, Placement, fit};

const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");
const COUNT: u32 = 5_000_000;

fn main() {
    divan::main();
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    for line in status.lines().filter(|line| line.starts_with("VmHWM")) {
        println!("most memory held: {line}");
    }
}

fn job() -> Job {
    let document = Document::parse(DEMO, "demo").expect("the demo is a valid job");
    document.job().clone()
}

/// A scan of the demo's wall W1, doubles with colours, as scanners write it.
fn scan(face: &MeantFace) -> tempfile::NamedTempFile {
    let file = tempfile::NamedTempFile::new().expect("a temporary file can be made");
    let mut out = BufWriter::new(File::create(file.path()).expect("it can be opened"));
    let head = format!(
        "ply\nformat binary_little_endian 1.0\nelement vertex {COUNT}\nproperty double along\n\
         property double up\nproperty double off\nproperty uchar red\nproperty uchar green\n\
         property uchar blue\nend_header\n"
    );
    out.write_all(head.as_bytes()).expect("it can be written");
    // A multiplicative generator is noise enough for timing.
    let mut state = 1_u64;
    let mut draw = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        f64::from((state >> 32) as u32) / f64::from(u32::MAX)
    };
    for _point in 0..COUNT {
        let (along, up) = (draw() * face.length(), draw() * face.height());
        let noise = draw() + draw() + draw() - 1.5;
        let board = along < 90.0 && up < 2000.0;
        let off = 0.004 * up + 3.0 * (along / 900.0).sin() + noise + f64::from(board) * 18.0;
        for number in [along, up, off] {
            out.write_all(&(number / 1000.0).to_le_bytes())
                .expect("it can be written");
        }
        out.write_all(&[128; 3]).expect("it can be written");
    }
    out.flush().expect("it can be written");
    file
}

fn placement() -> Placement {
    Placement {
        frame: Frame::Wall,
        origin: [Length::ZERO; 3],
        turn: Angle::radians(0.0),
    }
}

#[divan::bench(sample_count = 3)]
fn read_only(bencher: Bencher<'_, '_>) {
    let face = MeantFace::of(&job().walls[0]).expect("the demo's wall has an extent");
    let file = scan(&face);
    bencher.bench_local(|| {
        let file = File::open(file.path()).expect("it was just written");
        read(file, &HowToRead::default()).expect("it is well formed")
    });
}

#[divan::bench(sample_count = 3)]
fn file_to_wall(bencher: Bencher<'_, '_>) {
    let face = MeantFace::of(&job().walls[0]).expect("the demo's wall has an extent");
    let file = scan(&face);
    bencher.bench_local(|| {
        let file = File::open(file.path()).expect("it was just written");
        let points = read(file, &HowToRead::default()).expect("it is well formed");
        let fitted = fit(&points.points, &face, &placement(), &Choices::default());
        fitted.expect("the points lie on the wall").cells.len()
    });
}
