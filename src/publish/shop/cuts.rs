//! The cut list in words: one table for each setting of the saw, pieces cut alike in it together.

use crate::job::Hand;
use crate::measure::{Angle, Length, Tape};
use crate::publish::newel_side;
use crate::setout::boards::SkirtStep;
use crate::shop::cuts::{
    CutFor, CutList, CutPiece, Detail, EndWork, PieceKind, SawCut, Standing, Work,
};

use super::bored::{bores_told, notch_told};
use super::winder::{OutlineTold, outline_told, winder_told};
use super::words::{by_number, degrees, edge_of, face_up, names, piece_word, shows, square};

/// The pieces of one kind of saw work.
#[derive(Clone, Debug, PartialEq)]
pub struct CutTable {
    /// The saw work.
    pub work: Work,
    /// The pieces, kind by kind.
    pub sets: Vec<CutSet>,
}

/// Pieces of one kind whose ends are cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSet {
    /// What they are, with their section and hand.
    pub title: String,
    /// How they lie on the saw, and the cut of each end, as sentences.
    pub ends: Vec<String>,
    /// The columns, the first being the quantity and the last the names.
    pub heads: Vec<&'static str>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
    /// What more is done, each with the names that it is about.
    pub then: Vec<(String, String)>,
    /// The outlines of winders.
    pub outlines: Vec<OutlineTold>,
}

impl CutSet {
    /// What more is done, told once of all that it is alike of.
    #[must_use]
    pub fn then_alike(&self) -> Vec<(Vec<&str>, &str)> {
        let mut told: Vec<(Vec<&str>, &str)> = Vec::new();
        for (who, says) in &self.then {
            match told.iter_mut().find(|(_, known)| known == says) {
                Some((all, _)) => all.push(who.as_str()),
                None => told.push((vec![who.as_str()], says.as_str())),
            }
        }
        told
    }
}

/// The whole list.
#[must_use]
pub fn cut_tables(list: &CutList, tape: Tape) -> Vec<CutTable> {
    let saw = |piece: &CutPiece| piece.work.first().copied().unwrap_or(Work::Square);
    let mut tables: Vec<CutTable> = Vec::new();
    let mut works: Vec<Work> = list.pieces.iter().map(saw).collect();
    works.sort();
    works.dedup();
    for work in works {
        let mut sets: Vec<(String, Vec<&CutPiece>)> = Vec::new();
        let mut here: Vec<&CutPiece> = list.pieces.iter().filter(|one| saw(one) == work).collect();
        here.sort_by_key(|piece| piece.kind);
        for piece in here {
            let key = format!("{}{:?}", title(piece, 2, tape), ends(piece, tape));
            match sets.iter_mut().find(|(known, _)| *known == key) {
                Some((_, set)) => set.push(piece),
                None => sets.push((key, vec![piece])),
            }
        }
        tables.push(CutTable {
            work,
            sets: sets.iter().filter_map(|(_, set)| told(set, tape)).collect(),
        });
    }
    tables
}

/// What goes on from the saw to each further kind of work, by name.
#[must_use]
pub fn stations(list: &CutList) -> Vec<(Work, String)> {
    let all = [Work::Notched, Work::Scribed, Work::Bored];
    let of = |work: Work| {
        let pieces = list
            .pieces
            .iter()
            .filter(|piece| piece.work.contains(&work));
        let mut members: Vec<String> = Vec::new();
        for name in pieces.flat_map(CutPiece::called) {
            if !members.contains(name) {
                members.push(name.clone());
            }
        }
        (!members.is_empty()).then(|| (work, names(&by_number(members))))
    };
    all.into_iter().filter_map(of).collect()
}

fn told(set: &[&CutPiece], tape: Tape) -> Option<CutSet> {
    let first = set.first()?;
    let count: u32 = set.iter().map(|piece| piece.quantity).sum();
    Some(CutSet {
        title: title(first, count, tape),
        ends: ends(first, tape),
        heads: heads(first),
        rows: set.iter().map(|piece| row(piece, tape)).collect(),
        then: set.iter().flat_map(|piece| then(piece, tape)).collect(),
        outlines: set
            .iter()
            .filter_map(|piece| outline_told(piece, tape))
            .collect(),
    })
}

fn title(piece: &CutPiece, count: u32, tape: Tape) -> String {
    let (one, several) = piece_word(piece.kind);
    let word = if count == 1 { one } else { several };
    let [wide, thick] = piece.section.map(|size| tape.print(size));
    let hand = match piece.hand {
        Some(Hand::Left) => ", left hand",
        Some(Hand::Right) => ", right hand",
        None => "",
    };
    let came = if matches!(piece.there, Standing::Received(_)) {
        ", delivered"
    } else {
        ""
    };
    // A kick's or tread's own width stands in the table, for it is not the same from one to the next.
    let size = match piece.kind {
        PieceKind::Tread | PieceKind::Winder | PieceKind::Kick => format!("{thick} thick"),
        PieceKind::Plug => format!("{wide} round"),
        _ => format!("{wide} by {thick}"),
    };
    format!("{word}{came}, {size}{hand}")
}

/// How the piece lies, and what is cut at its ends; nothing where all is square.
fn ends(piece: &CutPiece, tape: Tape) -> Vec<String> {
    let mut told = Vec::new();
    let square =
        |end: &EndWork| !end.scribed && end.cuts.iter().all(|cut| cut.work() == Work::Square);
    if !piece.ends.iter().all(square) {
        told.push(format!("{} up", face_up(piece.up)));
        told.extend(piece.ends.iter().map(|end| end_told(end, tape)));
    }
    let rips = piece.rips.iter().filter(|(_, angle)| shows(*angle));
    told.extend(rips.map(|(edge, angle)| {
        format!(
            "{}: rip at {} ({})",
            edge_of(*edge),
            degrees(*angle),
            self::square(*angle, tape)
        )
    }));
    told
}

/// A tenth of a degree is what is printed of an angle.
fn end_told(end: &EndWork, tape: Tape) -> String {
    let cuts: Vec<String> = end.cuts.iter().map(|cut| cut_told(cut, tape)).collect();
    let scribed = if end.scribed {
        ", then scribed to what it meets"
    } else {
        ""
    };
    format!("{}: {}{scribed}", end.end.word(), cuts.join("; "))
}

fn cut_told(cut: &SawCut, tape: Tape) -> String {
    let mut words = Vec::new();
    let turn = |word: &str, angle: Angle, long| {
        let long: Option<_> = long;
        let long = long.map_or_else(String::new, |edge| format!(", {} long", edge_of(edge)));
        format!("{word} {} ({}){long}", degrees(angle), square(angle, tape))
    };
    if shows(cut.mitre) {
        words.push(turn("mitre", cut.mitre, cut.mitre_long));
    }
    if shows(cut.bevel) {
        words.push(turn("bevel", cut.bevel, cut.bevel_long));
    }
    if words.is_empty() {
        words.push("square".to_owned());
    }
    let lead = match cut.what {
        CutFor::End => "",
        CutFor::Plumb => "plumb cut ",
        CutFor::Level => "level cut ",
        CutFor::Return => "at the nosing's corner, for its return, ",
        CutFor::Seam => "or, to a level base of its own thickness, seam ",
    };
    let line = cut
        .line
        .map(|line| format!(", {} long on the face", tape.print(line)));
    format!("{lead}{}{}", words.join(" and "), line.unwrap_or_default())
}

fn heads(piece: &CutPiece) -> Vec<&'static str> {
    match piece.detail {
        Detail::Baluster { .. } => vec![
            "pcs",
            "long point",
            "short point",
            "over all",
            "cut from",
            "names",
        ],
        Detail::Tread { .. } => vec!["pcs", "front", "back", "deep left", "right", "names"],
        Detail::Winder { .. } => vec!["pcs", "along nosing", "deep", "names"],
        Detail::Kick { .. } => vec!["pcs", "bottom", "top", "high left", "right", "names"],
        _ if piece.edges.is_some() => vec![
            "pcs",
            "long point",
            "short point",
            "top edge",
            "underside",
            "cut from",
            "names",
        ],
        _ => vec!["pcs", "long point", "short point", "cut from", "names"],
    }
}

fn row(piece: &CutPiece, tape: Tape) -> Vec<String> {
    let ends = [piece.long_points, piece.short_points];
    let lengths: Vec<Length> = match piece.detail {
        Detail::Baluster { .. } => vec![
            piece.long_points,
            piece.short_points,
            piece.finished,
            piece.rough,
        ],
        Detail::Tread { widths, depths, .. } => [widths, depths].concat(),
        Detail::Winder { bounds, .. } => bounds.to_vec(),
        Detail::Kick {
            widths, heights, ..
        } => [widths, heights].concat(),
        _ => {
            let edges = piece.edges.iter().flatten();
            let ends = ends.iter().chain(edges).copied();
            ends.chain([piece.rough]).collect()
        }
    };
    let mut row = vec![piece.quantity.to_string()];
    row.extend(lengths.into_iter().map(|length| tape.print(length)));
    // The rough length is the last of all but treads and kicks, which are never delivered.
    if matches!(piece.there, Standing::Received(_))
        && let Some(rough) = row.last_mut()
    {
        *rough = "what came".to_owned();
    }
    row.push(names(piece.called()));
    row
}

/// What a delivered piece is cut from, where it came under a mark of its own.
fn came_as(piece: &CutPiece) -> Option<String> {
    let Standing::Received(marks) = &piece.there else {
        return None;
    };
    let marked = piece.members.iter().zip(marks);
    let told: Vec<(&String, &String)> = marked.filter(|(name, mark)| name != mark).collect();
    match told.as_slice() {
        [] => None,
        [(_, mark)] => Some(format!("cut it from the one marked {mark}")),
        several => {
            let each = several
                .iter()
                .map(|(name, mark)| format!("{name} from {mark}"));
            let each: Vec<String> = each.collect();
            Some(format!("cut each from the one marked: {}", each.join(", ")))
        }
    }
}

/// What is done after the saw, and what else there is to know.
fn then(piece: &CutPiece, tape: Tape) -> Vec<(String, String)> {
    let mut told: Vec<String> = Vec::new();
    let meets = piece.ends.iter().filter_map(|end| {
        let meets = end.meets.as_ref()?;
        (piece.called().len() == 1 && *meets != piece.called()[0])
            .then(|| format!("{} to {meets}", end.end.word()))
    });
    let meets: Vec<String> = meets.collect();
    if !meets.is_empty() && matches!(piece.kind, PieceKind::Rail | PieceKind::Newel) {
        told.push(meets.join(", "));
    }
    told.extend(came_as(piece));
    told.extend(detail(piece, tape));
    told.extend(piece.notches.iter().map(|notch| notch_told(notch, tape)));
    told.extend(bores_told(&piece.bores, tape));
    let who = names(piece.called());
    told.into_iter().map(|says| (who.clone(), says)).collect()
}

fn detail(piece: &CutPiece, tape: Tape) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    match &piece.detail {
        Detail::Baluster { peg, seat, lean } => baluster(peg[0], *seat, *lean, tape),
        Detail::Newel {
            cap,
            rails,
            above,
            below,
        } => newel(piece, (*cap, rails), [*above, *below], tape),
        Detail::OpenSkirt(steps) => steps.iter().map(|step| skirt_step(step, tape)).collect(),
        Detail::Strip {
            ends,
            most_least,
            taper,
        } => vec![format!(
            "{} wide at its lower end, {} at its upper, {} at most, {} at least; tapers {}",
            print(ends[0]),
            print(ends[1]),
            print(most_least[0]),
            print(most_least[1]),
            degrees(*taper)
        )],
        Detail::Bend {
            radius,
            turn,
            tangent,
        } => vec![format!(
            "bent to {} along the middle of its top, through {}; from either end to the corner of \
             the straight lines {}",
            print(*radius),
            degrees(*turn),
            print(*tangent)
        )],
        Detail::Panel { ends, edges } => vec![format!(
            "lower end {} high, upper end {}; lower edge {} long, upper edge {}",
            print(ends[0]),
            print(ends[1]),
            print(edges[0]),
            print(edges[1])
        )],
        Detail::Scribe([least, most]) => vec![format!(
            "scribe {} to {} off its back",
            print(*least),
            print(*most)
        )],
        Detail::Returned { roll, .. } if shows(*roll) => vec![format!(
            "its section is rolled {} out of level to meet the raked rail",
            degrees(*roll)
        )],
        Detail::Tread {
            rough_depth,
            relief,
            ..
        } => {
            let mut says = vec![cut_from(piece, *rough_depth, tape)];
            for (end, relieved) in ["left", "right"].into_iter().zip(relief) {
                says.extend(relieved.map(|(from, angle)| {
                    format!(
                        "{end} end: from {} behind the nosing on undercut it {} ({}), so that it can \
                         be tilted in",
                        print(from),
                        degrees(angle),
                        square(angle, tape)
                    )
                }));
            }
            says
        }
        Detail::Winder { .. } => winder_told(piece.rough, &piece.detail, tape),
        Detail::Kick { rough_height, .. } => vec![cut_from(piece, *rough_height, tape)],
        Detail::Backs(side, run) => {
            let run = run
                .as_ref()
                .map_or_else(String::new, |run| format!(", in run {run}"));
            vec![format!("against the newel's {}{run}", newel_side(*side))]
        }
        Detail::Plain | Detail::Returned { .. } | Detail::AtEnd(_) => Vec::new(),
    }
}

fn cut_from(piece: &CutPiece, deep: Length, tape: Tape) -> String {
    format!(
        "cut from {} by {}",
        tape.print(piece.rough),
        tape.print(deep)
    )
}

fn baluster(peg: Length, seat: Length, lean: Length, tape: Tape) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    let mut told = Vec::new();
    if peg > Length::ZERO || seat > Length::ZERO {
        told.push(format!(
            "of the length over all {} is peg and {} goes into the rail",
            print(peg),
            print(seat)
        ));
    }
    if lean.abs() >= tape.mark() / 2.0 {
        told.push(format!(
            "its head stands {} outward of its foot",
            print(lean)
        ));
    }
    told
}

fn skirt_step(step: &SkirtStep, tape: Tape) -> String {
    let print = |length: Length| tape.print(length);
    let level = step.level.map_or_else(String::new, |level| {
        let climb = if shows(step.climb) {
            format!(", {} out of level", degrees(step.climb))
        } else {
            String::new()
        };
        format!(", then level {}{climb}", print(level))
    });
    let lean = if shows(step.lean) {
        format!(", leaning {}", degrees(step.lean))
    } else {
        String::new()
    };
    format!(
        "kick {}: at {} along the face, plumb {}{lean}, mitre tilted {} ({}){level}",
        step.step,
        print(step.mark),
        print(step.plumb),
        degrees(step.tilt),
        square(step.tilt, tape)
    )
}

fn newel(
    piece: &CutPiece,
    (cap, rails): (Length, &[(String, [Length; 2])]),
    [above, below]: [Option<Length>; 2],
    tape: Tape,
) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    let mut told = Vec::new();
    if cap > Length::ZERO {
        told.push(format!(
            "its cap adds {} to these, {} over all",
            print(cap),
            print(piece.finished + cap)
        ));
    }
    told.extend(rails.iter().map(|(rail, [top, under])| {
        format!(
            "{rail} meets it {} to {} up from its foot",
            print(*under),
            print(*top)
        )
    }));
    let shows = [
        (above, "above the highest rail"),
        (below, "below the lowest"),
    ];
    let shows: Vec<String> = shows
        .into_iter()
        .filter_map(|(length, where_)| Some(format!("{} {where_}", print(length?))))
        .collect();
    if !shows.is_empty() {
        told.push(format!("of its block shows {}", shows.join(", ")));
    }
    told
}
