//! A dry fit in words: the marks in the order in which one makes them, what would stand open, what
//! lies behind, what stands beside. The window and the command line say it alike.

use nalgebra::Point3;

use crate::measure::{Length, Tape};
use crate::setout::NewelSide;
use crate::setout::dry_fit::{
    Beside, Board, DryFit, Edge, FitGap, FitSide, GapWhy, KnifeFace, KnifeLine, Standing, Strip,
};

/// What is to be borne in mind before anything is cut: common practice, no source.
pub const DRY_FIT_CAUTION: &str = "Fit it dry, with the glue off. Check every dimension on the stair \
                                   before you cut. A stringer is an engineer's to cut.";

/// A mark to make with a knife.
#[derive(Clone, Debug, PartialEq)]
pub struct FitMark {
    /// The face that it is made on.
    pub on: Board,
    /// Both ends of the line, or twice the centre of a round, in the frame of the fit.
    pub ends: [Point3<f64>; 2],
    /// The distance that finds it, at both ends, each with the side of the edge that it is read on
    /// where that is not the part's.
    pub figures: [String; 2],
    /// The face that it is made on, such as `top of T1`.
    pub place: String,
    /// The side of the newel that it is the mark of.
    pub side: String,
    /// How far from the edge that it runs along, at both ends where they differ.
    pub off: String,
    /// From where to where it runs.
    pub along: String,
    /// How far out of square it is, where that shows on the tape.
    pub out: Option<String>,
}

/// What lies behind, or is still needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitBehind {
    /// What is said.
    pub says: String,
    /// True where a piece that carries load is cut.
    pub engineer: bool,
}

/// A dry fit in words.
#[derive(Clone, Debug, PartialEq)]
pub struct FitTold {
    /// What is to be done for it.
    pub stands: String,
    /// The marks on treads, kicks and skirts, in order.
    pub marks: Vec<FitMark>,
    /// The outline of its foot.
    pub foot: Vec<FitMark>,
    /// What lies behind, iron, bearings and blocks.
    pub behind: Vec<FitBehind>,
    /// What would show, the widest first.
    pub shows: Vec<String>,
    /// What would stand open unseen.
    pub unseen: Vec<String>,
    /// What would be left too narrow.
    pub strips: Vec<String>,
    /// What stands beside.
    pub beside: Vec<String>,
    /// How it stands.
    pub cap: String,
    /// How true the notch is cut.
    pub allowance: String,
}

/// A dry fit in words, lengths on the job's tape.
#[must_use]
pub fn dry_fit_told(fit: &DryFit, tape: Tape) -> FitTold {
    let marks = fit
        .faces
        .iter()
        .flat_map(|face| face_marks(fit, face, tape));
    let foot = fit.foot.iter().flat_map(|face| face_marks(fit, face, tape));
    let least = seen_least(tape);
    let says = |gaps: Vec<&FitGap>| gaps.iter().map(|gap| gap_says(fit, gap, tape)).collect();
    let unseen = fit
        .gaps
        .iter()
        .filter(|gap| !gap.shows && gap.greatest >= least);
    FitTold {
        stands: stands(fit),
        marks: marks.collect(),
        foot: foot.collect(),
        behind: behind(fit, tape),
        shows: says(fit.widest(least)),
        unseen: says(unseen.collect()),
        strips: fit.strips.iter().map(|one| strip(one, tape)).collect(),
        beside: fit.beside.iter().map(|one| beside(one, tape)).collect(),
        cap: cap(fit, tape),
        allowance: format!(
            "cut and fitted to within {} either way",
            tape.print(fit.allowance)
        ),
    }
}

/// What the tape reads: half a mark of it.
#[must_use]
pub fn seen_least(tape: Tape) -> Length {
    tape.mark() / 2.0
}

/// A side of a newel.
#[must_use]
pub const fn newel_side(side: NewelSide) -> &'static str {
    match side {
        NewelSide::Uphill => "uphill side",
        NewelSide::Inward => "inward side",
        NewelSide::Under => "foot",
    }
}

/// A side of a newel as it stands on boards.
#[must_use]
pub const fn side_word(side: FitSide) -> &'static str {
    match side {
        FitSide::Downhill => "downhill side",
        FitSide::Uphill => "uphill side",
        FitSide::Outward => "outward side",
        FitSide::Inward => "inward side",
        FitSide::Round => "round side",
        FitSide::Foot => "foot",
    }
}

/// An edge to hook a tape on.
#[must_use]
pub const fn edge_word(edge: Edge) -> &'static str {
    match edge {
        Edge::Nosing => "the nosing",
        Edge::OpenEnd => "the open end",
        Edge::KickEnd => "the kick's open end",
        Edge::KickFace => "the kick's face",
        Edge::Underside => "the underside of the tread above",
        Edge::TopEdge => "the upper edge",
        Edge::FloorEdge => "the landing's edge",
        Edge::RunStart => "where the level run starts",
        Edge::NarrowEnd => "the narrow end",
        Edge::NextKick => "the face of the next kick",
        Edge::LowerEnd => "the lower end",
        Edge::OpenEdge => "the edge towards the open side",
        Edge::InnerEdge => "the edge away from the open side",
    }
}

/// A face of a board.
#[must_use]
pub fn face_words(part: &str, on: Board) -> String {
    match on {
        Board::Top => format!("top of {part}"),
        Board::Nose => format!("front of {part}"),
        Board::End => format!("open end of {part}"),
        Board::Kick => format!("face of {part}"),
        Board::Skirt => format!("outside of {part}"),
    }
}

fn stands(fit: &DryFit) -> String {
    let on = |step: u32| match (&fit.foot, step) {
        (Some(foot), _) => foot.part.clone(),
        (None, 0) => "the lower floor".to_owned(),
        (None, step) => format!("step {step}"),
    };
    match fit.stands {
        Standing::Notched => {
            let mut parts: Vec<&str> = Vec::new();
            for face in &fit.faces {
                if !parts.contains(&face.part.as_str()) {
                    parts.push(&face.part);
                }
            }
            format!("It is notched into {}.", parts.join(", "))
        }
        Standing::OnTop(step) => format!(
            "It stands on top of {}, as the job says: nothing is notched. Mark its foot there.",
            on(step)
        ),
        Standing::Clear(step) => format!(
            "It stands on {} and meets no tread, kick or skirt: nothing is notched. Mark its foot \
             there.",
            on(step)
        ),
        Standing::Elsewhere => {
            "It stands on the floor of another run and meets no board of this one: \
                                nothing is notched here."
                .to_owned()
        }
    }
}

/// The lines of a face, those along its first edge first.
fn ordered(face: &KnifeFace) -> Vec<&KnifeLine> {
    let mut lines: Vec<&KnifeLine> = face.lines.iter().collect();
    let first = match face.on {
        Board::Top | Board::End => Edge::Nosing,
        Board::Nose => Edge::OpenEnd,
        Board::Kick => Edge::KickEnd,
        Board::Skirt => Edge::KickFace,
    };
    lines.sort_by(|a, b| {
        let rank = |line: &KnifeLine| line.off.0 != first;
        let near = |line: &KnifeLine| line.off.1[0];
        rank(a)
            .cmp(&rank(b))
            .then(near(a).total_cmp(&near(b)))
            .then(a.side.cmp(&b.side))
    });
    lines
}

fn face_marks(fit: &DryFit, face: &KnifeFace, tape: Tape) -> Vec<FitMark> {
    let place = face_words(&face.part, face.on);
    if !fit.round {
        let lines = ordered(face).into_iter();
        return lines
            .map(|line| mark(face.on, &place, line, tape))
            .collect();
    }
    let across = || fit_across(face, tape);
    let round = face.centre.as_ref().map(|(at, [a, b])| FitMark {
        on: face.on,
        ends: [*at, *at],
        figures: [from_edge(a.1, a.0, tape), from_edge(a.1, a.0, tape)],
        place: place.clone(),
        side: "centre".to_owned(),
        off: from_edge(a.1, a.0, tape),
        along: format!("{}; {}", from_edge(b.1, b.0, tape), across()),
        out: None,
    });
    round.into_iter().collect()
}

/// How wide the waste of a round newel is on a face.
fn fit_across(face: &KnifeFace, tape: Tape) -> String {
    let spans = face.ring.iter().flat_map(|a| {
        let ring = face.ring.iter();
        ring.map(move |b| (b - a).xy().norm())
    });
    let most = spans.fold(0.0, f64::max);
    format!("a round, {} across at most", tape.print(Length::mm(most)))
}

/// A distance from an edge, or out past it.
fn from_edge(at: Length, edge: Edge, tape: Tape) -> String {
    let print = tape.print(at.abs());
    if at <= -seen_least(tape) {
        format!("{print} out past {}", edge_word(edge))
    } else {
        format!("{print} from {}", edge_word(edge))
    }
}

fn mark(on: Board, place: &str, line: &KnifeLine, tape: Tape) -> FitMark {
    let (edge, off) = line.off;
    let (away, along) = line.along;
    // An edge is read off on either side of it: what lies past it is said in words, not by a sign.
    let [near, far] = off.map(|at| tape.print(at.abs()));
    let past = off.map(|at| at <= -seen_least(tape));
    let both = past == [true, true];
    let off = if near == far && past[0] == past[1] {
        from_edge(off[0], edge, tape)
    } else {
        let side = |past: bool| if past && !both { " out past it" } else { "" };
        format!(
            "{} {}: {near}{} near {}, {far}{} at its far end",
            if both { "out past" } else { "from" },
            edge_word(edge),
            side(past[0]),
            edge_word(away),
            side(past[1])
        )
    };
    let least = seen_least(tape);
    let long = tape.print(line.length());
    let along = if along[0] <= -least {
        let past = tape.print(along[0].abs());
        format!(
            "from {past} out past {} inwards, {long} long",
            edge_word(away)
        )
    } else if along[0] < least {
        format!("from {} on, {long} long", edge_word(away))
    } else {
        let [from, to] = along.map(|at| tape.print(at));
        format!("from {from} to {to} in from {}", edge_word(away))
    };
    let out = line.out_of_square();
    FitMark {
        on,
        ends: [line.from, line.to],
        figures: line.off.1.map(|at| from_edge(at, edge, tape)),
        place: place.to_owned(),
        side: side_word(line.side).to_owned(),
        off,
        along,
        out: (out >= seen_least(tape)).then(|| format!("{} out of square", tape.print(out))),
    }
}

fn behind(fit: &DryFit, tape: Tape) -> Vec<FitBehind> {
    let plain = |says: String| FitBehind {
        says,
        engineer: false,
    };
    let cut = fit.behind.iter().map(|one| FitBehind {
        says: format!(
            "{}: {} into it, {} of it remains{}",
            one.part,
            tape.print(one.depth),
            tape.print(one.remains),
            if one.carries {
                "; it carries load: ask an engineer before it is cut"
            } else {
                ""
            }
        ),
        engineer: one.carries,
    });
    let iron = fit.fasteners.iter().map(|one| {
        plain(if one.clear < Length::ZERO {
            format!(
                "{}: the saw meets it by {}",
                one.name,
                tape.print(one.clear.abs())
            )
        } else {
            format!("{}: {} clear of the cut", one.name, tape.print(one.clear))
        })
    });
    let bears = fit
        .bears_on
        .iter()
        .map(|(side, part)| plain(format!("its {} bears on {part}", newel_side(*side))));
    let needs = fit.needs.iter().map(|one| {
        plain(format!(
            "put a block against its {}: {} up the flight, {} across, {} high",
            newel_side(one.need.side),
            tape.print(one.need.along),
            tape.print(one.need.across),
            tape.print(one.need.height)
        ))
    });
    cut.chain(iron).chain(bears).chain(needs).collect()
}

/// Where along its line a gap is widest: near the edge that the line runs away from, or at its far
/// end.
fn end_of(fit: &DryFit, gap: &FitGap) -> String {
    let lines = fit
        .faces
        .iter()
        .filter(|face| face.part == gap.part)
        .flat_map(|face| &face.lines);
    let loose = gap.wedge.get(1).copied().unwrap_or(gap.at);
    let reach = |line: &KnifeLine| (line.from - loose).norm().min((line.to - loose).norm());
    let line = lines
        .filter(|line| line.side == gap.side)
        .min_by(|a, b| reach(a).total_cmp(&reach(b)));
    match line {
        Some(line) if (line.from - loose).norm() <= (line.to - loose).norm() => {
            format!("near {}", edge_word(line.along.0))
        }
        _ => "at its far end".to_owned(),
    }
}

fn gap_says(fit: &DryFit, gap: &FitGap, tape: Tape) -> String {
    let (part, side, open) = (&gap.part, side_word(gap.side), tape.print(gap.greatest));
    match gap.why {
        GapWhy::SquareToEdge(edge) => format!(
            "{side}, {part}: laid out square to {}, it is open {open} {}",
            edge_word(edge),
            end_of(fit, gap)
        ),
        GapWhy::SquareToFace if gap.shows => {
            format!("{side}, {part}: sawn square to the face, it must be opened {open}, and shows")
        }
        GapWhy::SquareToFace => {
            format!("{side}, {part}: sawn square to the face, open {open} at the back, unseen")
        }
        GapWhy::SquareFoot => {
            format!("under its {side} on {part}: the foot cut square, open {open}")
        }
        GapWhy::AgainstKick => {
            let up = gap.wedge.windows(2).next();
            let head = up.is_some_and(|pair| pair[1].z > pair[0].z);
            let end = if head { "head" } else { "foot" };
            format!("{side} against {part}: open {open} at the kick's {end}")
        }
    }
}

fn strip(one: &Strip, tape: Tape) -> String {
    format!(
        "{}: a strip {} wide and {} long is left at {}: it breaks easily; take it off, or stay it",
        one.part,
        tape.print(one.width),
        tape.print(one.length),
        edge_word(one.edge)
    )
}

fn beside(one: &Beside, tape: Tape) -> String {
    let rail = one.at_rail.map_or_else(String::new, |rail| {
        format!(" at its foot, {} at the rail", tape.print(rail))
    });
    let next = one.next.as_ref().map_or_else(String::new, |(next, gap)| {
        format!("; beyond it {} to {next}", tape.print(*gap))
    });
    format!(
        "gap to {}: {}{rail}{next}",
        one.other,
        tape.print(one.at_foot)
    )
}

fn cap(fit: &DryFit, tape: Tape) -> String {
    let least = seen_least(tape);
    let cap = &fit.cap;
    let towards = |by: Length, plus: &str, minus: &str| {
        let word = if by < Length::ZERO { minus } else { plus };
        (by.abs() >= least).then(|| format!("{} {word}", tape.print(by.abs())))
    };
    let parts: Vec<String> = [
        towards(cap.up_flight, "up the flight", "down the flight"),
        towards(cap.outward, "outward", "inward"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        "It stands plumb.".to_owned()
    } else {
        format!(
            "It leans by {}: its cap stands {} of its foot.",
            cap.lean.print_degrees(1),
            parts.join(" and ")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;

    /// The shipped demo's first newel as a carpenter would be told of it; its numbers are those of
    /// plane geometry on the demo's own readings: going 10, overhang 3/4, baluster 1 1/4, gap 3 3/4.
    #[test]
    fn the_demo_is_told_in_the_order_of_the_marks() {
        let text = include_str!("../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(text, "test.ron").unwrap();
        let chain = crate::chain::run(document.job()).unwrap();
        let (_, fit) = crate::chain::dry_fits(&chain, "N1").remove(0);
        let told = dry_fit_told(&fit, document.job().tape);
        assert_eq!(told.stands, "It is notched into T1, K1, Q1.");
        let first = &told.marks[0];
        assert_eq!(
            (first.place.as_str(), first.side.as_str()),
            ("top of T1", "uphill side")
        );
        assert_eq!(first.off, "2\" from the nosing");
        let engineer: Vec<_> = told.behind.iter().filter(|one| one.engineer).collect();
        assert_eq!(engineer.len(), 1);
        assert!(
            engineer[0].says.starts_with("S1: 1/2\" into it"),
            "{}",
            engineer[0].says
        );
        assert!(told.beside[0].starts_with("gap to B01: 3 3/4\" at its foot"));
        assert_eq!(told.cap, "It stands plumb.");
    }
}
