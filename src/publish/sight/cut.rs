//! A plumb cut through a stair: where it is, and where the middle one is.

use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::measure::{Length, Tape};
use crate::solids::Plane;

use super::lookout::around_stair;
use super::viewpoint::{Cut, Way};

/// A plumb cut in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plumb {
    /// Which way it cuts.
    pub way: Way,
    /// Its distance ([`Way`]), mm.
    pub at: f64,
    /// +1 where the open side is on the left going up, -1 where it is on the right.
    outward: f64,
}

impl Plumb {
    /// The cut that is asked for on a stair. `None` where its distance is no length.
    pub fn of(cut: &Cut, chain: &Chain) -> Option<Self> {
        let first = chain.first();
        Some(Self {
            way: cut.way,
            at: cut.distance(first.run.job.units)?.as_mm(),
            outward: first.site.outward,
        })
    }

    /// The plane; its outward side is what is cut away, where the eye is. Never `None` in truth, for
    /// its normal has a length.
    pub fn plane(&self) -> Option<Plane> {
        match self.way {
            Way::Across => Plane::through(Point3::new(self.at, 0.0, 0.0), -Vector3::x()),
            Way::Along => {
                let out = Vector3::y() * self.outward;
                Plane::through(Point3::new(0.0, self.at, 0.0), out)
            }
        }
    }

    /// The same cut, slid: `at` as its own, mm.
    pub fn slid_to(self, at: f64) -> Self {
        Self { at, ..self }
    }

    /// Where it is, in words.
    pub fn says(&self, tape: Tape) -> String {
        let print = |mm: f64| tape.print_feet(Length::mm(mm));
        match self.way {
            Way::Across if self.at < 0.0 => {
                format!(
                    "section across, {} before the face of the first kick",
                    print(-self.at)
                )
            }
            Way::Across => format!(
                "section across, {} up the flight from the face of the first kick",
                print(self.at)
            ),
            Way::Along => {
                let inward = -self.at * self.outward;
                let side = if inward < 0.0 {
                    "out, to the open side"
                } else {
                    "in, to the wall side"
                };
                format!(
                    "section along, {} {side} of the baluster line",
                    print(inward.abs())
                )
            }
        }
    }
}

/// How far a cut may be slid, mm: over the stair's own length or width.
pub fn range(chain: &Chain, way: Way) -> Option<(f64, f64)> {
    let bounds = around_stair(&chain.solids)?;
    let axis = match way {
        Way::Across => 0,
        Way::Along => 1,
    };
    Some((bounds.low[axis].ceil(), bounds.high[axis].floor()))
}

/// The cut through the middle of the first flight: in the middle of a tread's going, so that it meets
/// no kick on its flat.
pub fn middle(chain: &Chain, way: Way) -> Option<Cut> {
    let site = &chain.first().site;
    let at = match way {
        Way::Across => match site.steps.get(site.steps.len().saturating_sub(1) / 2) {
            Some(step) => step.kick_x + step.going / 2.0,
            None => range(chain, way).map(|(low, high)| f64::midpoint(low, high))?,
        },
        Way::Along => {
            let (wall, open) = site.across()?;
            site.outward * f64::midpoint(wall, open)
        }
    };
    Some(Cut::new(way, Length::mm(at.round())))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> Chain {
        let text = include_str!("../../../scenes/straight.ron");
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        crate::chain::run(document.job()).unwrap()
    }

    #[test]
    fn what_is_cut_away_lies_where_the_eye_is() {
        // A stair open on the left going up: it is seen from the left, and up the flight.
        let chain = chain();
        let cut = |way, at| Plumb::of(&Cut::new(way, Length::mm(at)), &chain).unwrap();
        let across = cut(Way::Across, 500.0).plane().unwrap();
        assert!(across.distance(&Point3::new(400.0, 0.0, 0.0)) > 0.0);
        let along = cut(Way::Along, -300.0).plane().unwrap();
        assert!(along.distance(&Point3::new(0.0, -200.0, 0.0)) > 0.0);
        approx::assert_relative_eq!(
            along.distance(&Point3::new(0.0, -350.0, 0.0)),
            -50.0,
            epsilon = 1e-9
        );
    }

    #[test]
    fn its_place_is_told_on_the_tape() {
        let chain = chain();
        let says = |way, inches: f64| {
            let cut = Cut::new(way, Length::inches(inches));
            Plumb::of(&cut, &chain).unwrap().says(Tape::Sixteenths)
        };
        assert_eq!(
            says(Way::Across, 62.5),
            "section across, 5' 2 1/2\" up the flight from the face of the first kick"
        );
        assert!(says(Way::Across, -3.0).contains("before"));
        assert!(says(Way::Along, -12.0).contains("to the wall side"));
        assert!(says(Way::Along, 2.0).contains("to the open side"));
    }
}
