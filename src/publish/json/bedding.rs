//! The shape of `bedding` in `setout --json`.

use serde::Serialize;

use crate::measure::{Length, Tape};
use crate::publish::fits::{fills_word, limit_word};
use crate::setout::bedding::{Bed, Bedded, BothEnds, Give, KickBed, SetBack, Shortfall, TreadBed};

#[derive(Serialize)]
pub(super) struct BeddingShape<'a> {
    treads: Vec<TreadShape<'a>>,
    kicks: Vec<KickShape<'a>>,
    rises: Vec<EndsShape>,
    goings: Vec<EndsShape>,
    filling_mm: f64,
    filling: String,
    relieving_mm: f64,
    relieving: String,
    set_back_mm: f64,
    set_back: String,
    set_back_relieving_mm: f64,
    set_back_relieving: String,
    treads_short: Option<ShortShape>,
    kicks_short: Option<ShortShape>,
    left_out: &'a [String],
}

#[derive(Serialize)]
struct TreadShape<'a> {
    step: u32,
    height_mm: f64,
    height: String,
    across_mm: f64,
    across: String,
    fall_mm: f64,
    fall: String,
    beds: Vec<BedShape<'a>>,
}

#[derive(Serialize)]
struct BedShape<'a> {
    stringer: &'a str,
    front_mm: f64,
    front: String,
    back_mm: f64,
    back: String,
    fills: &'static str,
    sd_mm: f64,
    read: bool,
}

#[derive(Serialize)]
struct KickShape<'a> {
    step: u32,
    face_mm: f64,
    face: String,
    skew_mm: f64,
    skew: String,
    beds: Vec<SetBackShape<'a>>,
}

#[derive(Serialize)]
struct SetBackShape<'a> {
    stringer: &'a str,
    set_back_mm: f64,
    set_back: String,
    fills: &'static str,
    sd_mm: f64,
    read: bool,
}

#[derive(Serialize)]
struct EndsShape {
    step: u32,
    open_mm: f64,
    open: String,
    wall_mm: f64,
    wall: String,
}

#[derive(Serialize)]
struct ShortShape {
    steps: Vec<u32>,
    gives: Vec<GiveShape>,
}

#[derive(Serialize)]
struct GiveShape {
    limit: &'static str,
    asked_mm: Option<f64>,
    needed_mm: Option<f64>,
    by_mm: f64,
    by: String,
}

pub(super) fn shape(bedded: &Bedded, tape: Tape) -> BeddingShape<'_> {
    let ends = |of: &[BothEnds]| of.iter().map(|one| ends(one, tape)).collect();
    BeddingShape {
        treads: bedded.treads.iter().map(|one| tread(one, tape)).collect(),
        kicks: bedded.kicks.iter().map(|one| kick(one, tape)).collect(),
        rises: ends(&bedded.rises),
        goings: ends(&bedded.goings),
        filling_mm: bedded.filling.as_mm(),
        filling: tape.print(bedded.filling),
        relieving_mm: bedded.relieving.as_mm(),
        relieving: tape.print(bedded.relieving),
        set_back_mm: bedded.set_back.as_mm(),
        set_back: tape.print(bedded.set_back),
        set_back_relieving_mm: bedded.set_back_relieving.as_mm(),
        set_back_relieving: tape.print(bedded.set_back_relieving),
        treads_short: bedded.treads_short.as_ref().map(|one| short(one, tape)),
        kicks_short: bedded.kicks_short.as_ref().map(|one| short(one, tape)),
        left_out: &bedded.left_out,
    }
}

fn tread(tread: &TreadBed, tape: Tape) -> TreadShape<'_> {
    TreadShape {
        step: tread.step,
        height_mm: tread.height.as_mm(),
        height: tape.print(tread.height),
        across_mm: tread.across.as_mm(),
        across: tape.print(tread.across),
        fall_mm: tread.fall.as_mm(),
        fall: tape.print(tread.fall),
        beds: tread.beds.iter().map(|one| bed(one, tape)).collect(),
    }
}

fn bed(bed: &Bed, tape: Tape) -> BedShape<'_> {
    BedShape {
        stringer: &bed.stringer,
        front_mm: bed.front.as_mm(),
        front: tape.print(bed.front),
        back_mm: bed.back.as_mm(),
        back: tape.print(bed.back),
        fills: fills_word(bed.fills),
        sd_mm: bed.sd.as_mm(),
        read: bed.read,
    }
}

fn kick(kick: &KickBed, tape: Tape) -> KickShape<'_> {
    KickShape {
        step: kick.step,
        face_mm: kick.face.as_mm(),
        face: tape.print(kick.face),
        skew_mm: kick.skew.as_mm(),
        skew: tape.print(kick.skew),
        beds: kick.beds.iter().map(|one| set_back(one, tape)).collect(),
    }
}

fn set_back(bed: &SetBack, tape: Tape) -> SetBackShape<'_> {
    SetBackShape {
        stringer: &bed.stringer,
        set_back_mm: bed.set_back.as_mm(),
        set_back: tape.print(bed.set_back),
        fills: fills_word(bed.fills),
        sd_mm: bed.sd.as_mm(),
        read: bed.read,
    }
}

fn ends(ends: &BothEnds, tape: Tape) -> EndsShape {
    EndsShape {
        step: ends.step,
        open_mm: ends.open.as_mm(),
        open: tape.print(ends.open),
        wall_mm: ends.wall.as_mm(),
        wall: tape.print(ends.wall),
    }
}

fn short(short: &Shortfall, tape: Tape) -> ShortShape {
    let give = |give: &Give| GiveShape {
        limit: limit_word(give.limit),
        asked_mm: give.asked.map(Length::as_mm),
        needed_mm: give.needed.map(Length::as_mm),
        by_mm: give.by.as_mm(),
        by: tape.print(give.by),
    };
    ShortShape {
        steps: short.steps.clone(),
        gives: short.gives.iter().map(give).collect(),
    }
}
