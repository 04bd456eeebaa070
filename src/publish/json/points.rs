//! The shape of `points --json`.

use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::job::Job;
use crate::survey::points::read::Points;
use crate::survey::points::{Cell, Fitted, Group};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    wall: &'a str,
    columns: &'a [String; 3],
    counts: CountsShape,
    plane: PlaneShape,
    bow_mm: f64,
    bow: String,
    bow_at_mm: [f64; 2],
    bow_spread_mm: f64,
    noise_mm: f64,
    cell_size_mm: f64,
    patch_size_mm: f64,
    cells: Vec<CellShape>,
    groups: Vec<GroupShape>,
    warnings: &'a [String],
}

#[derive(Serialize)]
struct CountsShape {
    read: usize,
    not_numbers: usize,
    beyond_ends: usize,
    above_or_below: usize,
    off_the_face: usize,
    left_out: usize,
    astray: usize,
    used: usize,
}

#[derive(Serialize)]
struct PlaneShape {
    offset_mm: f64,
    splay: f64,
    lean: f64,
    offset_sd_mm: f64,
    splay_sd: f64,
    lean_sd: f64,
}

#[derive(Serialize)]
struct CellShape {
    along_mm: f64,
    up_mm: f64,
    off_mm: f64,
    sd_mm: f64,
    points: usize,
}

#[derive(Serialize)]
struct GroupShape {
    points: usize,
    along_mm: [f64; 2],
    up_mm: [f64; 2],
    off_mm: f64,
    says: String,
}

/// Writes a wall fitted to points as JSON.
#[must_use]
pub fn points(job: &Job, wall: &str, read: &Points, fitted: &Fitted) -> String {
    let (counts, plane, sd, bow) = (fitted.counts, fitted.plane, fitted.plane_sd, fitted.bow);
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        wall,
        columns: &read.columns,
        counts: CountsShape {
            read: counts.given + read.not_numbers,
            not_numbers: read.not_numbers,
            beyond_ends: counts.beyond_ends,
            above_or_below: counts.above_or_below,
            off_the_face: counts.off_the_face,
            left_out: counts.left_out,
            astray: fitted.strays,
            used: counts.used,
        },
        plane: PlaneShape {
            offset_mm: plane.offset,
            splay: plane.splay,
            lean: plane.lean,
            offset_sd_mm: sd.offset,
            splay_sd: sd.splay,
            lean_sd: sd.lean,
        },
        bow_mm: bow.off.as_mm(),
        bow: job.tape.print(bow.off),
        bow_at_mm: [bow.along.as_mm(), bow.up.as_mm()],
        bow_spread_mm: fitted.bow_spread.as_mm(),
        noise_mm: fitted.noise.as_mm(),
        cell_size_mm: fitted.cell_size.as_mm(),
        patch_size_mm: fitted.patch_size.as_mm(),
        cells: fitted.cells.iter().map(cell).collect(),
        groups: fitted.groups.iter().map(|g| group(g, job)).collect(),
        warnings: &read.warnings,
    })
}

fn cell(cell: &Cell) -> CellShape {
    CellShape {
        along_mm: cell.along.as_mm(),
        up_mm: cell.up.as_mm(),
        off_mm: cell.off.as_mm(),
        sd_mm: cell.sd.as_mm(),
        points: cell.points,
    }
}

fn group(group: &Group, job: &Job) -> GroupShape {
    GroupShape {
        points: group.points,
        along_mm: [group.along.0.as_mm(), group.along.1.as_mm()],
        up_mm: [group.up.0.as_mm(), group.up.1.as_mm()],
        off_mm: group.off.as_mm(),
        says: group.says(job.tape),
    }
}
