//! The shape of `parts --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of, xyz};
use crate::chain::Chain;
use crate::job::Job;
use crate::publish::parts::{kind_sums, part_word, run_of};
use crate::shop::parts::PartLine;

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    kinds: Vec<KindShape>,
    parts: Vec<PartShape<'a>>,
}

#[derive(Serialize)]
struct KindShape {
    kind: &'static str,
    count: usize,
    volume_mm3: f64,
}

#[derive(Serialize)]
struct PartShape<'a> {
    id: &'a str,
    kind: &'static str,
    run: &'a str,
    made_of: Option<&'a str>,
    pieces: usize,
    length_mm: f64,
    length: String,
    volume_mm3: f64,
    shared_mm3: f64,
    centre_mm: [f64; 3],
    low_mm: [f64; 3],
    high_mm: [f64; 3],
    cut_lines: &'a [usize],
    received: Option<&'a str>,
}

/// The parts of a stair as JSON.
#[must_use]
pub fn parts(job: &Job, chain: &Chain, lines: &[PartLine]) -> String {
    let kinds = kind_sums(lines).into_iter().map(|sum| KindShape {
        kind: sum.kind,
        count: sum.count,
        volume_mm3: sum.volume,
    });
    let parts = lines.iter().map(|part| PartShape {
        id: &part.name,
        kind: part_word(part.kind, part.string),
        run: run_of(chain, part),
        made_of: part.stuff.as_deref(),
        pieces: part.pieces.len(),
        length_mm: part.length.as_mm(),
        length: job.tape.print(part.length),
        volume_mm3: part.volume,
        shared_mm3: part.shared,
        centre_mm: xyz(&part.centre),
        low_mm: xyz(&part.bounds.low),
        high_mm: xyz(&part.bounds.high),
        cut_lines: &part.cut,
        received: part.received.as_deref(),
    });
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        kinds: kinds.collect(),
        parts: parts.collect(),
    })
}
