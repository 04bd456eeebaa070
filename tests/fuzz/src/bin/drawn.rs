//! The same subjects on inputs drawn at random from seeds, without a fuzzer that watches: for machines
//! that have none, and as many at a time as there are cores.
//!
//!     drawn SUBJECT SECONDS SEED OUT FILE...
//!
//! An input that fails is written into OUT with what was said; the count stands on the last line.

use std::path::Path;
use std::time::{Duration, Instant};

use rakewell_fuzz::subjects::named;

/// Numbers by splitmix64 (Steele, Lea and Flood, 2014).
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most.max(1) as u64).unwrap_or(0)
    }
}

/// A seed with some of its bytes changed, doubled, moved or gone, or pieces of another in it.
fn drawn(draws: &mut Draws, seeds: &[Vec<u8>]) -> Vec<u8> {
    const PIECES: [&str; 14] = [
        "-", "1e999", "NaN", "inf", "\"", "(", "]", ",", "0", "999999", "\u{bd}", "//", "\n",
        " 1/0",
    ];
    let mut bytes = seeds[draws.below(seeds.len())].clone();
    for _change in 0..1 + draws.below(6) {
        let at = draws.below(bytes.len() + 1);
        let to = (at + draws.below(24)).min(bytes.len());
        match draws.below(6) {
            0 if at < bytes.len() => bytes[at] = (draws.next() & 0xff) as u8,
            1 => drop(bytes.drain(at..to)),
            2 => {
                let piece = bytes[at..to].to_vec();
                bytes.splice(at..at, piece);
            }
            3 => {
                let other = &seeds[draws.below(seeds.len())];
                let from = draws.below(other.len());
                let end = (from + draws.below(40)).min(other.len());
                bytes.splice(at..to, other[from..end].iter().copied());
            }
            4 => {
                let piece = PIECES[draws.below(PIECES.len())].bytes();
                bytes.splice(at..at, piece);
            }
            _ => {
                // A digit is another one.
                if let Some(digit) = bytes[at..].iter_mut().find(|byte| byte.is_ascii_digit()) {
                    *digit = b'0' + (draws.next() % 10) as u8;
                }
            }
        }
    }
    bytes
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let [_, target, seconds, seed, out, files @ ..] = args.as_slice() else {
        panic!("drawn SUBJECT SECONDS SEED OUT FILE...");
    };
    let subject = named(target).expect("a subject");
    let end = Duration::from_secs(seconds.parse().expect("seconds"));
    let mut draws = Draws(seed.parse().expect("a seed"));
    let seeds: Vec<Vec<u8>> = files
        .iter()
        .filter_map(|file| std::fs::read(file).ok())
        .collect();
    let began = Instant::now();
    let (mut count, mut failed) = (0_u64, 0_u64);
    while began.elapsed() < end {
        let bytes = if seeds.is_empty() {
            let length = 8 + draws.below(120);
            (0..length).map(|_| (draws.next() & 0xff) as u8).collect()
        } else {
            drawn(&mut draws, &seeds)
        };
        count += 1;
        if std::panic::catch_unwind(|| subject(&bytes)).is_err() {
            failed += 1;
            let name = format!("{target}-{seed}-{count}");
            std::fs::write(Path::new(out).join(name), &bytes).expect("OUT can be written");
        }
    }
    println!(
        "{target} {count} inputs, {failed} failed, {} s",
        began.elapsed().as_secs()
    );
}
