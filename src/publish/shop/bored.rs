//! What is notched out of a piece and bored into it, in words.

use crate::job::FixingFace;
use crate::measure::{Angle, Length, Tape};
use crate::shop::cuts::{BoreFor, BoreWork, NotchWork, Work};

use super::words::{degrees, drill, edge_of, work_word};

/// A notch, in a sentence.
pub(super) fn notch_told(notch: &NotchWork, tape: Tape) -> String {
    let reaches: Vec<String> = notch
        .reaches
        .iter()
        .map(|(edge, length)| format!("{} in from the {}", tape.print(*length), edge_of(*edge)))
        .collect();
    if notch.only_shorter() {
        let short = notch.reaches.first().map_or(Length::ZERO, |one| one.1);
        return format!(
            "no notch: {} takes its whole height, so it ends {} short of its open end",
            notch.newel,
            tape.print(short)
        );
    }
    let left = if notch.remains > Length::ZERO {
        format!(
            "{} deep, {} left{}",
            tape.print(notch.deep),
            tape.print(notch.remains),
            thin(notch.remains)
        )
    } else {
        "right through".to_owned()
    };
    let left = if notch.whole {
        format!("{left}, over its whole height")
    } else {
        left
    };
    let corners = corners_told(&notch.sides, &notch.angles, tape);
    format!(
        "{} for {}: {}, {left}; {corners}",
        work_word(Work::Notched),
        notch.newel,
        reaches.join(" and "),
    )
}

/// The sides of a notch round it.
#[must_use]
pub fn corners_told(sides: &[Length], angles: &[Angle], tape: Tape) -> String {
    let corners = sides.iter().zip(angles);
    let corners =
        corners.map(|(side, angle)| format!("{} ({})", tape.print(*side), degrees(*angle)));
    let corners: Vec<String> = corners.collect();
    format!(
        "sides, each with the corner at its start, {}",
        corners.join(", ")
    )
}

/// The bores of a piece; those for pegs in one line, whatever railings they are of.
pub(super) fn bores_told(bores: &[BoreWork], tape: Tape) -> Vec<String> {
    let (pegs, others): (Vec<_>, Vec<_>) = bores.iter().partition(|bore| bore.what == BoreFor::Peg);
    let mut told = Vec::new();
    match pegs.as_slice() {
        [] => {}
        [one] => told.push(bore_told(one, tape)),
        several => told.push(pegs_told(several, tape)),
    }
    told.extend(others.into_iter().map(|bore| bore_told(bore, tape)));
    told
}

/// The bores for the pegs of several railings in one piece.
fn pegs_told(pegs: &[&BoreWork], tape: Tape) -> String {
    let size = |bore: &BoreWork| {
        format!(
            "{} and {} deep",
            drill(bore.diameter, tape),
            tape.print(bore.deep)
        )
    };
    let all: u32 = pegs.iter().map(|bore| bore.number).sum();
    let sizes: Vec<String> = pegs.iter().map(|bore| size(bore)).collect();
    let alike = sizes.windows(2).all(|two| two[0] == two[1]);
    let each = pegs.iter().zip(&sizes).map(|(bore, size)| {
        let size = if alike {
            String::new()
        } else {
            format!(", {size}")
        };
        format!("{} of {}{size}", bore.number, bore.railing)
    });
    let each: Vec<String> = each.collect();
    let size = if alike {
        format!(", {}", sizes[0])
    } else {
        String::new()
    };
    format!(
        "{all} bores for pegs{size}, at their marks: {}",
        each.join(", ")
    )
}

/// So little left behind a notch breaks out under the saw: 1/8 in, common practice, no source.
const BREAKS_OUT: Length = Length::inches(0.125);

/// A warning where next to nothing is left.
fn thin(left: Length) -> &'static str {
    if left < BREAKS_OUT {
        " (too little: it breaks out. Cut it right through, or move the newel)"
    } else {
        ""
    }
}

fn bore_told(bore: &BoreWork, tape: Tape) -> String {
    let deep = tape.print(bore.deep);
    let several = |word: &str| {
        if bore.number == 1 {
            format!("1 {word}")
        } else {
            format!("{} {word}s", bore.number)
        }
    };
    match bore.what {
        BoreFor::Peg => format!(
            "{} for pegs, {} and {deep} deep, at their marks",
            several("bore"),
            drill(bore.diameter, tape)
        ),
        BoreFor::Seat => format!(
            "{} for balusters, {} along and {deep} deep plumb, at their marks",
            several("seat"),
            tape.print(bore.diameter)
        ),
        BoreFor::Fixing => {
            let plug = bore.plug.map_or_else(String::new, |(wide, depth)| {
                format!(
                    ", plugged {} and {} deep",
                    drill(wide, tape),
                    tape.print(depth)
                )
            });
            let place = bore.place.map_or_else(String::new, |(face, up, off)| {
                let off = if off.abs() < tape.mark() / 2.0 {
                    "in the middle".to_owned()
                } else {
                    format!("{} off the middle", tape.print(off))
                };
                format!(
                    " from its {}, {} up, {off}",
                    face_word(face),
                    tape.print(up)
                )
            });
            format!(
                "bore for {}{place}: {} and {deep} deep{plug}",
                bore.name,
                drill(bore.diameter, tape)
            )
        }
    }
}

const fn face_word(face: FixingFace) -> &'static str {
    match face {
        FixingFace::Downhill => "downhill face",
        FixingFace::Uphill => "uphill face",
        FixingFace::Open => "open side",
        FixingFace::Wall => "wall side",
        FixingFace::Top => "top",
        FixingFace::Under => "underside",
    }
}
