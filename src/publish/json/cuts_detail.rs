//! What more there is to know of a piece, in `cuts --json`: numbers by what they are.

use serde::Serialize;

use crate::measure::{Angle, Length, Tape};
use crate::publish::newel_side;
use crate::setout::NewelSide;
use crate::setout::boards::SkirtStep;
use crate::shop::cuts::Detail;

/// One more number of a piece: what it is, and the number.
#[derive(Clone, Serialize)]
pub(super) struct DetailShape {
    what: String,
    mm: Option<f64>,
    deg: Option<f64>,
    tape: Option<String>,
}

/// Words and numbers on a tape.
struct Numbers {
    tape: Tape,
}

impl Numbers {
    fn length(&self, what: &str, length: Length) -> DetailShape {
        DetailShape {
            what: what.to_owned(),
            mm: Some(length.as_mm()),
            deg: None,
            tape: Some(self.tape.print(length)),
        }
    }

    fn angle(what: &str, angle: Angle) -> DetailShape {
        DetailShape {
            what: what.to_owned(),
            mm: None,
            deg: Some(angle.as_degrees()),
            tape: None,
        }
    }

    fn lengths<const N: usize>(&self, all: [(&str, Length); N]) -> Vec<DetailShape> {
        all.map(|(what, length)| self.length(what, length)).into()
    }

    /// Where ends of a tread are relieved, and by how much.
    fn relief(&self, ends: [Option<(Length, Angle)>; 2]) -> Vec<DetailShape> {
        let named = ["left", "right"].into_iter().zip(ends);
        let all = named.filter_map(|(end, one)| {
            let (from, angle) = one?;
            Some([
                self.length(&format!("relief-{end}-from"), from),
                Self::angle(&format!("relief-{end}"), angle),
            ])
        });
        all.flatten().collect()
    }

    fn newel(
        &self,
        (cap, rails): (Length, &[(String, [Length; 2])]),
        block: [Option<Length>; 2],
    ) -> Vec<DetailShape> {
        let mut all = vec![self.length("cap", cap)];
        for (rail, [top, under]) in rails {
            all.push(self.length(&format!("top-of-{rail}"), *top));
            all.push(self.length(&format!("underside-of-{rail}"), *under));
        }
        let shows = ["block-above", "block-below"].into_iter().zip(block);
        all.extend(shows.filter_map(|(what, length)| Some(self.length(what, length?))));
        all
    }

    fn skirt(&self, step: &SkirtStep) -> Vec<DetailShape> {
        let name = |what: &str| format!("{what}-{}", step.step);
        let mut all = vec![
            self.length(&name("mark"), step.mark),
            self.length(&name("plumb"), step.plumb),
            Self::angle(&name("lean"), step.lean),
            Self::angle(&name("tilt"), step.tilt),
        ];
        all.extend(step.level.map(|level| self.length(&name("level"), level)));
        all
    }
}

/// What a block stands against: no number.
fn backs(side: NewelSide) -> DetailShape {
    DetailShape {
        what: format!("against {}", newel_side(side)),
        mm: None,
        deg: None,
        tape: None,
    }
}

/// The numbers of a piece's detail.
pub(super) fn detail(detail: &Detail, tape: Tape) -> Vec<DetailShape> {
    let to = Numbers { tape };
    match detail {
        Detail::Plain | Detail::AtEnd(_) => Vec::new(),
        Detail::Tread { .. } | Detail::Winder { .. } | Detail::Kick { .. } => board(&to, detail),
        Detail::Baluster { peg, seat, lean } => to.lengths([
            ("peg", peg[0]),
            ("peg-diameter", peg[1]),
            ("seat", *seat),
            ("lean", *lean),
        ]),
        Detail::Newel {
            cap,
            rails,
            above,
            below,
        } => to.newel((*cap, rails), [*above, *below]),
        Detail::OpenSkirt(steps) => steps.iter().flat_map(|step| to.skirt(step)).collect(),
        Detail::Strip {
            ends,
            most_least,
            taper,
        } => {
            let mut all = to.lengths([
                ("bottom", ends[0]),
                ("top", ends[1]),
                ("greatest", most_least[0]),
                ("least", most_least[1]),
            ]);
            all.push(Numbers::angle("taper", *taper));
            all
        }
        Detail::Bend {
            radius,
            turn,
            tangent,
        } => {
            let mut all = to.lengths([("radius", *radius), ("tangent", *tangent)]);
            all.push(Numbers::angle("turn", *turn));
            all
        }
        Detail::Panel { ends, edges } => to.lengths([
            ("lower-end", ends[0]),
            ("upper-end", ends[1]),
            ("lower-edge", edges[0]),
            ("upper-edge", edges[1]),
        ]),
        Detail::Scribe([least, most]) => {
            to.lengths([("scribe-least", *least), ("scribe-most", *most)])
        }
        Detail::Returned { roll, .. } => vec![Numbers::angle("roll", *roll)],
        Detail::Backs(side, _) => vec![backs(*side)],
    }
}

/// The numbers of a tread, a winder or a kick.
fn board(to: &Numbers, detail: &Detail) -> Vec<DetailShape> {
    match detail {
        Detail::Tread {
            widths,
            depths,
            overhang,
            rough_depth,
            relief,
        } => {
            let sizes = to.lengths([
                ("front", widths[0]),
                ("back", widths[1]),
                ("depth-left", depths[0]),
                ("depth-right", depths[1]),
                ("overhang", *overhang),
                ("rough-depth", *rough_depth),
            ]);
            [sizes, to.relief(*relief)].concat()
        }
        Detail::Winder {
            bounds,
            begins,
            overhang,
            rough_depth,
            ..
        } => to.lengths([
            ("along-nosing", bounds[0]),
            ("deep", bounds[1]),
            ("begins", *begins),
            ("overhang", *overhang),
            ("rough-depth", *rough_depth),
        ]),
        Detail::Kick {
            widths,
            heights,
            rough_height,
        } => to.lengths([
            ("bottom", widths[0]),
            ("top", widths[1]),
            ("height-left", heights[0]),
            ("height-right", heights[1]),
            ("rough-height", *rough_height),
        ]),
        _ => Vec::new(),
    }
}
