//! The words of cuts, marks and fastenings.

use std::collections::BTreeSet;

use crate::job::{AnchorAt, Fastened};
use crate::measure::{Angle, Length, Tape, Unit};
use crate::shop::cuts::{Edge, FaceUp, PieceKind, Square, Work};
use crate::shop::fastening::{DrivenKind, JointKind};

/// What a piece is, of one and of several.
#[must_use]
pub const fn piece_word(kind: PieceKind) -> (&'static str, &'static str) {
    match kind {
        PieceKind::Newel => ("newel", "newels"),
        PieceKind::HalfNewel => ("half newel", "half newels"),
        PieceKind::Block => ("block for a newel", "blocks for newels"),
        PieceKind::Rail => ("rail", "rails"),
        PieceKind::Easing => ("easing", "easings"),
        PieceKind::LevelRail => ("level rail", "level rails"),
        PieceKind::RakedCap => ("raked cap piece", "raked cap pieces"),
        PieceKind::Gooseneck => ("plumb piece of a gooseneck", "plumb pieces of goosenecks"),
        PieceKind::WallRail => ("rail on the wall", "rails on the wall"),
        PieceKind::RailReturn => ("return of a rail", "returns of rails"),
        PieceKind::Rosette => ("rosette", "rosettes"),
        PieceKind::BottomRail => ("bottom rail", "bottom rails"),
        PieceKind::String => ("closed string", "closed strings"),
        PieceKind::BaseCap => ("cap", "caps"),
        PieceKind::Shoe => ("shoe", "shoes"),
        PieceKind::Baluster => ("baluster", "balusters"),
        PieceKind::Panel => ("panel", "panels"),
        PieceKind::Fillet => ("fillet", "fillets"),
        PieceKind::Tread => ("tread", "treads"),
        PieceKind::Winder => ("winder", "winders"),
        PieceKind::ReturnNosing => ("return nosing", "return nosings"),
        PieceKind::Kick => ("kick", "kicks"),
        PieceKind::OpenSkirt => ("open-side skirt", "open-side skirts"),
        PieceKind::WallSkirt => ("wall-side skirt", "wall-side skirts"),
        PieceKind::ScribeStrip => ("scribe strip", "scribe strips"),
        PieceKind::Plug => ("plug", "plugs"),
    }
}

/// A kind of work.
#[must_use]
pub const fn work_word(work: Work) -> &'static str {
    match work {
        Work::Square => "square",
        Work::Mitred => "mitred",
        Work::Bevelled => "bevelled",
        Work::Compound => "compound",
        Work::Notched => "notched",
        Work::Scribed => "scribed",
        Work::Bored => "bored",
    }
}

/// The face that lies up on the saw.
#[must_use]
pub const fn face_up(face: FaceUp) -> &'static str {
    match face {
        FaceUp::Show => "show face",
        FaceUp::OpenSide => "open side",
        FaceUp::Downhill => "downhill face",
        FaceUp::Top => "top",
        FaceUp::Any => "either face",
    }
}

/// An edge or side of a piece.
#[must_use]
pub const fn edge_of(edge: Edge) -> &'static str {
    match edge {
        Edge::Top => "top",
        Edge::Under => "underside",
        Edge::Left => "left side",
        Edge::Right => "right side",
        Edge::Uphill => "uphill side",
        Edge::Downhill => "downhill side",
        Edge::Nosing => "nosing",
        Edge::Back => "back",
        Edge::OpenEnd => "open end",
        Edge::Show => "show face",
        Edge::Hidden => "hidden face",
        Edge::Outer => "outer edge",
        Edge::KickFace => "kick's face",
        Edge::Narrow => "narrow end",
        Edge::Wide => "wide end",
    }
}

/// A kind of joint.
#[must_use]
pub const fn joint_word(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Anchor(AnchorAt::NewelBase) => "newel base",
        JointKind::Anchor(AnchorAt::RailToNewel) => "rail to newel",
        JointKind::Anchor(AnchorAt::RailToWall) => "rail to wall",
        JointKind::Anchor(AnchorAt::BalusterEnds) => "baluster ends",
        JointKind::Fixing => "screw or bolt told of in the job",
        JointKind::Usual(joint) => match joint {
            Fastened::TreadToStringer => "tread to stringer",
            Fastened::KickToStringer => "kick to stringer",
            Fastened::KickToTread => "kick to the tread before it",
            Fastened::OpenSkirt => "open-side skirt to stringer",
            Fastened::WallSkirt => "wall-side skirt to wall",
            Fastened::ReturnNosing => "return nosing to tread",
            Fastened::Shoe => "shoe to what it lies on",
            Fastened::BaseCap => "cap to half wall or string",
            Fastened::Fillet => "fillet in its plough",
            Fastened::ScribeStrip => "scribe strip to skirt",
            Fastened::RailJoint => "rail to its fitting",
        },
    }
}

/// What is driven, of one and of several.
#[must_use]
pub const fn driven_word(what: DrivenKind) -> (&'static str, &'static str) {
    match what {
        DrivenKind::Screw => ("screw", "screws"),
        DrivenKind::Brad => ("brad", "brads"),
        DrivenKind::RailBolt => ("rail bolt", "rail bolts"),
    }
}

/// An angle as a framing square is set: `9 1/16" in 12"`.
#[must_use]
pub fn square(angle: Angle, tape: Tape) -> String {
    let Square { rise, run } = Square::of(angle, tape);
    // What is less than half a mark has no mark of its own.
    let rise = match tape.print(rise).trim_end_matches('+') {
        "0\"" | "0" | "0 mm" => "a hair".to_owned(),
        _ => tape.print(rise),
    };
    format!("{rise} in {}", tape.print(run))
}

/// A bore as a drill is marked: the nearest 1/64 in, or tenth of a millimetre.
#[must_use]
pub fn drill(diameter: Length, tape: Tape) -> String {
    if tape.unit() == Unit::Millimetres {
        return format!("{:.1} mm", diameter.as_mm());
    }
    let parts = (diameter.as_inches() * 64.0).round();
    if !(1.0..1e6).contains(&parts) {
        return tape.print_exact(diameter);
    }
    let parts = parts as u64;
    let (whole, over) = (parts / 64, parts % 64);
    let twos = over.trailing_zeros().min(6);
    match (whole, over) {
        (whole, 0) => format!("{whole}\""),
        (0, over) => format!("{}/{}\"", over >> twos, 64 >> twos),
        (whole, over) => format!("{whole} {}/{}\"", over >> twos, 64 >> twos),
    }
}

/// The number by which a wood screw of this shank is sold in inches, where there is one: the shank is
/// 0.060 in and 0.013 in more for each number (ASME B18.6.1: No. 6 is 0.138 in, No. 8 0.164 in,
/// No. 10 0.190 in).
fn screw_number(diameter: Length) -> Option<u32> {
    // Brads and pins are thinner than No. 4 and are sold by gauge; thicker than No. 14 by the inch.
    (4..=14).find(|number| {
        let shank = 0.060 + 0.013 * f64::from(*number);
        (diameter.as_inches() - shank).abs() < 0.0005
    })
}

/// A shank in thousandths of an inch, with the number of a wood screw, or in tenths of a millimetre: no
/// tape reads it.
#[must_use]
pub fn shank(diameter: Length, tape: Tape) -> String {
    match tape.unit() {
        Unit::Inches => match screw_number(diameter) {
            Some(number) => format!("No. {number} ({:.3}\")", diameter.as_inches()),
            None => format!("{:.3}\"", diameter.as_inches()),
        },
        Unit::Millimetres => format!("{:.1} mm", diameter.as_mm()),
    }
}

/// Names in their order, runs of numbers told by their ends: `B02 to B05, B07`.
#[must_use]
pub fn names(names: &[String]) -> String {
    let mut told: Vec<String> = Vec::new();
    for run in names.chunk_by(|a, b| follows(a, b)) {
        match run {
            [] => {}
            [one] => told.push(one.clone()),
            [first, second] => told.extend([first.clone(), second.clone()]),
            [first, .., last] => told.push(format!("{first} to {last}")),
        }
    }
    told.join(", ")
}

/// Names with those that differ by number alone in its order, each sort where its first one stands.
pub(super) fn by_number(mut names: Vec<String>) -> Vec<String> {
    let head = |name: &str| headed(name).map_or(name.to_owned(), |(head, _)| head.to_owned());
    let mut heads: Vec<String> = names.iter().map(|name| head(name)).collect();
    let mut seen = BTreeSet::new();
    heads.retain(|one| seen.insert(one.clone()));
    let place = |name: &str| heads.iter().position(|one| *one == head(name));
    names.sort_by_cached_key(|name| (place(name), headed(name).map(|(_, number)| number)));
    names
}

/// A name without its number, and the number.
fn headed(name: &str) -> Option<(&str, u64)> {
    let digits = name.chars().rev().take_while(char::is_ascii_digit).count();
    let (head, number) = name.split_at(name.len() - digits);
    Some((head, number.parse().ok()?))
}

/// True where the second name is the first with its number one higher.
fn follows(a: &str, b: &str) -> bool {
    match (headed(a), headed(b)) {
        (Some((head, first)), Some((other, second))) => head == other && second == first + 1,
        _ => false,
    }
}

/// An angle to a tenth of a degree, as a saw is set.
pub(super) fn degrees(angle: Angle) -> String {
    angle.print_degrees(1)
}

/// Whether an angle is another than nought so told.
pub(super) fn shows(angle: Angle) -> bool {
    degrees(angle.abs()) != degrees(Angle::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_told_by_their_ends() {
        let all = ["B01", "B02", "B03", "B05", "2.T9", "2.T10", "N1"].map(str::to_owned);
        assert_eq!(names(&all), "B01 to B03, B05, 2.T9, 2.T10, N1");
        assert_eq!(names(&[]), "");
        let mixed = ["N1", "T2", "T8", "K4", "T1", "2.T1", "T3", "Q"].map(str::to_owned);
        assert_eq!(
            by_number(mixed.to_vec()),
            ["N1", "T1", "T2", "T3", "T8", "K4", "2.T1", "Q"]
        );
    }

    /// ASME B18.6.1 as wood screws are listed by it: No. 4 0.112 in, No. 6 0.138 in, No. 8 0.164 in,
    /// No. 10 0.190 in, No. 12 0.216 in, No. 14 0.242 in (from memory).
    #[test]
    fn wood_screws_are_told_by_their_number() {
        let told = |inches: f64| shank(Length::inches(inches), Tape::Sixteenths);
        for (number, inches) in [(4, 0.112), (6, 0.138), (8, 0.164), (10, 0.19), (14, 0.242)] {
            let thousandths = format!("{inches:.3}");
            assert_eq!(told(inches), format!("No. {number} ({thousandths}\")"));
        }
        // Brads and rail bolts have none.
        for inches in [0.05, 0.065, 0.3125] {
            assert!(!told(inches).contains("No."));
        }
    }

    #[test]
    fn bores_are_told_as_drills_are_marked() {
        let told = |inches: f64| drill(Length::inches(inches), Tape::Sixteenths);
        assert_eq!(told(0.125), "1/8\"");
        assert_eq!(told(11.0 / 64.0), "11/64\"");
        assert_eq!(told(1.0), "1\"");
        assert_eq!(told(1.375), "1 3/8\"");
        assert_eq!(drill(Length::mm(4.17), Tape::Millimetres), "4.2 mm");
    }
}
