//! Pieces that the job's tape cannot tell apart, as one line; and the order of the work.

use std::collections::BTreeMap;

use crate::measure::{Angle, Length, Tape};

use super::{BoreWork, CutPiece, Detail, DetailNumber, EndWork, NotchWork, SawCut, Standing};

/// Angles are told apart by a tenth of a degree, as they are printed.
const DECIMALS: usize = 1;

/// The pieces in the order of the work, those with the same printed values together. The exact values
/// of a line are those of its first piece: the others' are printed alike.
pub(super) fn grouped(pieces: Vec<CutPiece>, tape: Tape) -> Vec<CutPiece> {
    let mut lines: Vec<CutPiece> = Vec::new();
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for piece in pieces {
        let piece = piece.worked();
        let key = Told { tape }.piece(&piece);
        if let Some(line) = known.get(&key).and_then(|&at| lines.get_mut(at)) {
            line.quantity += piece.quantity;
            line.own.extend(piece.own);
            if let (Standing::Received(all), Standing::Received(more)) =
                (&mut line.there, piece.there)
            {
                all.extend(more);
            }
            for name in piece.members {
                if !line.members.contains(&name) {
                    line.members.push(name);
                }
            }
        } else {
            known.insert(key, lines.len());
            lines.push(piece);
        }
    }
    // The sort is stable: within a kind of work and of piece they stay from the bottom up.
    lines.sort_by(|a, b| (&a.work, a.kind).cmp(&(&b.work, b.kind)));
    lines
}

/// What of a piece is printed, as one text.
struct Told {
    tape: Tape,
}

impl Told {
    fn length(&self, length: Length) -> String {
        self.tape.print(length)
    }

    fn lengths<'a>(&self, lengths: impl IntoIterator<Item = &'a Length>) -> String {
        let lengths = lengths.into_iter().map(|length| self.length(*length));
        lengths.collect::<Vec<_>>().join(",")
    }

    fn angle(angle: Angle) -> String {
        angle.print_degrees(DECIMALS)
    }

    fn piece(&self, piece: &CutPiece) -> String {
        let sizes = [
            piece.section[0],
            piece.section[1],
            piece.rough,
            piece.finished,
            piece.long_points,
            piece.short_points,
        ];
        let rips = piece.rips.iter();
        let rips: Vec<String> = rips
            .map(|(edge, angle)| format!("{edge:?}{}", Self::angle(*angle)))
            .collect();
        let notches = piece.notches.iter().map(|one| self.notch(one));
        // Which railing a bore is of is told where one piece has bores of several.
        let several = piece
            .bores
            .windows(2)
            .any(|two| two[0].railing != two[1].railing);
        let bores = piece.bores.iter().map(|one| {
            let railing = if several { one.railing.as_str() } else { "" };
            format!("{railing}{}", self.bore(one))
        });
        let ends = piece.ends.iter().map(|end| self.end(end));
        [
            format!(
                "{:?}{:?}{:?}{:?}{}",
                piece.kind,
                piece.work,
                piece.up,
                piece.hand,
                matches!(piece.there, Standing::Received(_))
            ),
            self.lengths(sizes.iter().chain(piece.edges.iter().flatten())),
            rips.join(","),
            notches.collect::<Vec<_>>().join(";"),
            bores.collect::<Vec<_>>().join(";"),
            ends.collect::<Vec<_>>().join(";"),
            self.detail(&piece.detail),
        ]
        .join("|")
    }

    /// Ends that are cut alike are alike, whatever they meet.
    fn end(&self, end: &EndWork) -> String {
        let cuts = end.cuts.iter().map(|cut| self.cut(cut));
        format!(
            "{:?}{}{}",
            end.end,
            end.scribed,
            cuts.collect::<Vec<_>>().join(",")
        )
    }

    fn cut(&self, cut: &SawCut) -> String {
        let edge = |angle: Angle, edge| {
            let angle = Self::angle(angle);
            // Too little to print has no direction either.
            if angle == Self::angle(Angle::ZERO) {
                angle
            } else {
                format!("{angle}{edge:?}")
            }
        };
        format!(
            "{:?}{}{}{}",
            cut.what,
            edge(cut.mitre, cut.mitre_long),
            edge(cut.bevel, cut.bevel_long),
            self.lengths(&cut.line)
        )
    }

    fn notch(&self, notch: &NotchWork) -> String {
        let reaches = notch.reaches.iter();
        let reaches: Vec<String> = reaches
            .map(|(edge, length)| format!("{edge:?}{}", self.length(*length)))
            .collect();
        let angles = notch.angles.iter().map(|angle| Self::angle(*angle));
        format!(
            "{}{}{}{}{}{}",
            notch.newel,
            notch.whole,
            reaches.join(","),
            self.lengths(&[notch.deep, notch.remains]),
            self.lengths(&notch.sides),
            angles.collect::<String>(),
        )
    }

    fn bore(&self, bore: &BoreWork) -> String {
        let plug = bore.plug.map(|(wide, deep)| self.lengths(&[wide, deep]));
        let place = bore
            .place
            .map(|(face, up, off)| format!("{face:?}{}", self.lengths(&[up, off])));
        format!(
            "{:?}{}{}{}{plug:?}{place:?}",
            bore.what,
            bore.name,
            bore.number,
            self.lengths(&[bore.diameter, bore.deep]),
        )
    }

    fn detail(&self, detail: &Detail) -> String {
        match detail {
            // What holds many numbers is one of its kind: never told together by chance.
            Detail::Newel { .. }
            | Detail::OpenSkirt(_)
            | Detail::AtEnd(_)
            | Detail::Winder { .. }
            | Detail::Backs(..) => format!("{detail:?}"),
            _ => {
                let numbers = detail.numbers().into_iter();
                let told = numbers.map(|(what, one)| match one {
                    DetailNumber::Length(length) => format!("{what}{}", self.length(length)),
                    DetailNumber::Angle(angle) => format!("{what}{}", Self::angle(angle)),
                });
                told.collect::<Vec<_>>().join(",")
            }
        }
    }
}
