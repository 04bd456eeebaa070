//! What more there is to know of a piece, in `cuts --json`: numbers by what they are.

use serde::Serialize;

use crate::measure::{Angle, Length, Tape};
use crate::publish::newel_side;
use crate::setout::NewelSide;
use crate::setout::boards::SkirtStep;
use crate::shop::cuts::{Detail, DetailNumber};

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

    fn number(&self, what: &str, number: DetailNumber) -> DetailShape {
        match number {
            DetailNumber::Length(length) => self.length(what, length),
            DetailNumber::Angle(angle) => Self::angle(what, angle),
        }
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
        Detail::Newel {
            cap,
            rails,
            above,
            below,
        } => to.newel((*cap, rails), [*above, *below]),
        Detail::OpenSkirt(steps) => steps.iter().flat_map(|step| to.skirt(step)).collect(),
        Detail::Backs(side, _) => vec![backs(*side)],
        _ => {
            let numbers = detail.numbers().into_iter();
            numbers.map(|(what, one)| to.number(what, one)).collect()
        }
    }
}
