//! The numbers of a piece by what they are: what tells its line from others, and what machines read.

use crate::measure::{Angle, Length};

use super::Detail;

/// A number of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DetailNumber {
    /// A length.
    Length(Length),
    /// An angle.
    Angle(Angle),
}

/// Lengths by what they are.
fn lengths<const N: usize>(all: [(&'static str, Length); N]) -> Vec<(&'static str, DetailNumber)> {
    all.map(|(what, length)| (what, DetailNumber::Length(length)))
        .into()
}

impl Detail {
    /// Its numbers by what they are, in the order in which they are told; of newels, skirts and winders'
    /// sides, which have as many as there are, none.
    #[must_use]
    pub fn numbers(&self) -> Vec<(&'static str, DetailNumber)> {
        let angle = |what: &'static str, is: &Angle| (what, DetailNumber::Angle(*is));
        match self {
            Self::Tread { .. } | Self::Kick { .. } | Self::Winder { .. } => self.board(),
            Self::Baluster { peg, seat, lean } => lengths([
                ("peg", peg[0]),
                ("peg-diameter", peg[1]),
                ("seat", *seat),
                ("lean", *lean),
            ]),
            Self::Strip {
                ends,
                most_least,
                taper,
            } => {
                let mut all = lengths([
                    ("bottom", ends[0]),
                    ("top", ends[1]),
                    ("greatest", most_least[0]),
                    ("least", most_least[1]),
                ]);
                all.push(angle("taper", taper));
                all
            }
            Self::Bend {
                radius,
                turn,
                tangent,
            } => {
                let mut all = lengths([("radius", *radius), ("tangent", *tangent)]);
                all.push(angle("turn", turn));
                all
            }
            Self::Panel { ends, edges } => lengths([
                ("lower-end", ends[0]),
                ("upper-end", ends[1]),
                ("lower-edge", edges[0]),
                ("upper-edge", edges[1]),
            ]),
            Self::Scribe([least, most]) => {
                lengths([("scribe-least", *least), ("scribe-most", *most)])
            }
            Self::Returned { roll, .. } => vec![angle("roll", roll)],
            Self::Plain
            | Self::Newel { .. }
            | Self::OpenSkirt(_)
            | Self::AtEnd(_)
            | Self::Backs(..) => Vec::new(),
        }
    }

    /// The numbers of a tread, a winder or a kick.
    fn board(&self) -> Vec<(&'static str, DetailNumber)> {
        match self {
            Self::Tread {
                widths,
                depths,
                overhang,
                rough_depth,
                relief,
            } => {
                let mut all = lengths([
                    ("front", widths[0]),
                    ("back", widths[1]),
                    ("depth-left", depths[0]),
                    ("depth-right", depths[1]),
                    ("overhang", *overhang),
                    ("rough-depth", *rough_depth),
                ]);
                let ends = [
                    ("relief-left-from", "relief-left"),
                    ("relief-right-from", "relief-right"),
                ];
                for ((from_word, word), (from, angle)) in ends
                    .into_iter()
                    .zip(relief)
                    .filter_map(|(words, one)| Some((words, (*one)?)))
                {
                    all.push((from_word, DetailNumber::Length(from)));
                    all.push((word, DetailNumber::Angle(angle)));
                }
                all
            }
            Self::Winder {
                bounds,
                begins,
                overhang,
                rough_depth,
                ..
            } => lengths([
                ("along-nosing", bounds[0]),
                ("deep", bounds[1]),
                ("begins", *begins),
                ("overhang", *overhang),
                ("rough-depth", *rough_depth),
            ]),
            Self::Kick {
                widths,
                heights,
                rough_height,
            } => lengths([
                ("bottom", widths[0]),
                ("top", widths[1]),
                ("height-left", heights[0]),
                ("height-right", heights[1]),
                ("rough-height", *rough_height),
            ]),
            _ => Vec::new(),
        }
    }
}
