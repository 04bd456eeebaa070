//! The boards of turns on winders that a newel may go into, and the winder that it stands on, as flat
//! faces with the edges that a tape can be hooked on.

use nalgebra::{Point2, Point3, Vector3};

use crate::setout::boards::{Stood, TreadPlane, WinderSide, WinderTread, winders};
use crate::setout::{NewelSet, plan};
use crate::site::winders::{EdgeAcross, SideOf};
use crate::site::{Frame, PlacedTurn};

use super::boards::{Face, Hook};
use super::{Board, Edge};

/// The turns on winders of a stair, as a run meets them.
#[derive(Clone, Debug, Default)]
pub struct Turns<'a> {
    /// The run's frame in the first run's.
    pub frame: Frame,
    /// The turns.
    pub turns: Vec<&'a PlacedTurn>,
}

/// One winder as a run meets it.
struct Here<'a> {
    frame: &'a Frame,
    turn: &'a PlacedTurn,
    tread: &'a WinderTread,
}

impl Turns<'_> {
    fn each<T>(&self, mut of: impl FnMut(&Here<'_>) -> Vec<T>) -> Vec<T> {
        let mut all = Vec::new();
        for turn in &self.turns {
            for tread in &winders(turn, None).treads {
                all.extend(of(&Here {
                    frame: &self.frame,
                    turn,
                    tread,
                }));
            }
        }
        all
    }

    /// The faces that a newel goes into, each with how deep it goes in behind it: of every winder that it
    /// comes up through its top, its front and the kick under it.
    pub(super) fn faces(&self, newel: &NewelSet) -> Vec<(Face, f64)> {
        self.each(|here| {
            let stood = Stood {
                newel,
                frame: here.frame,
            };
            let mut faces = Vec::new();
            if stood.in_tread(here.turn, here.tread).is_some() {
                let thick = here.tread.blank.thickness.as_mm();
                faces.extend(here.top().map(|face| (face, thick)));
                faces.extend(here.nose().map(|face| (face, 0.0)));
            }
            if let Some(ring) = stood.in_kick(here.turn, here.tread) {
                let deep = here.kick_deep(&ring);
                faces.extend(here.kick().map(|face| (face, deep)));
            }
            faces
        })
    }

    /// The top of the winder that a newel's foot stands on, if it stands on one.
    pub(super) fn ground(&self, newel: &NewelSet) -> Option<Face> {
        let mut found = self.each(|here| {
            let stood = Stood {
                newel,
                frame: here.frame,
            };
            let on = stood.stands_on(here.turn, here.tread);
            on.then(|| here.top()).flatten().into_iter().collect()
        });
        found.pop()
    }
}

impl Here<'_> {
    fn put(&self, at: &Point3<f64>) -> Point3<f64> {
        self.frame.from_first(&self.turn.frame.to_first(at))
    }

    fn way(&self, way: &Vector3<f64>) -> Vector3<f64> {
        self.frame
            .way_from_first(&self.turn.frame.way_to_first(way))
    }

    fn plane(&self) -> &TreadPlane {
        &self.tread.plane
    }

    /// A side as an edge to hook a tape on, read into the wood.
    fn hook(&self, edge: Edge, side: &WinderSide) -> Hook {
        let [from, to] = side.ends();
        // Anticlockwise the wood lies to the left.
        let inward = self.plane().along * (from.y - to.y) + self.plane().back * (to.x - from.x);
        let [from, to] = [from, to].map(|at| self.put(&self.plane().place(&at)));
        Hook {
            edge,
            from,
            to,
            plus: Some(self.way(&inward)),
        }
    }

    /// The nosing, and the narrow end; where that is round, or the tread ends in a point, its back.
    fn hooks(&self) -> Option<[Hook; 2]> {
        let sides = || self.tread.sides.iter();
        let front = sides().find(|side| side.of == SideOf::Front)?;
        let narrow = self.tread.narrow_end();
        let straight = narrow.filter(|side| side.radius.is_none());
        let other = straight.or_else(|| sides().find(|side| side.of == SideOf::Back))?;
        let edge = if other.of == SideOf::Narrow {
            Edge::NarrowEnd
        } else {
            Edge::NextKick
        };
        Some([self.hook(Edge::Nosing, front), self.hook(edge, other)])
    }

    fn top(&self) -> Option<Face> {
        let plane = self.plane();
        let place = |at: &Point2<f64>| self.put(&plane.place(at));
        Some(Face {
            part: self.tread.name.clone(),
            step: self.tread.number,
            on: Board::Top,
            corners: self.tread.outline().iter().map(place).collect(),
            normal: self.way(&plane.up),
            hooks: self.hooks()?,
            thick: self.tread.blank.thickness.as_mm(),
            kick: Some(self.tread.kick.map(|at| place(&at))),
        })
    }

    /// Both ends of the nosing on the top, the wide one first.
    fn nosing(&self) -> Option<[Point3<f64>; 2]> {
        let [left, right] = self.tread.sides.first()?.ends();
        let ends = [left, right].map(|at| self.plane().place(&at));
        // Turning to the left the narrow ends lie to the left.
        Some(if self.turn.site.turn.hand > 0.0 {
            [ends[1], ends[0]]
        } else {
            ends
        })
    }

    fn nose(&self) -> Option<Face> {
        let [wide, narrow] = self.nosing()?;
        let down = Vector3::z() * self.tread.blank.thickness.as_mm();
        let back = self.plane().back;
        let out = Vector3::new(-back.x, -back.y, 0.0).try_normalize(f64::MIN_POSITIVE)?;
        Some(self.upright(
            Board::Nose,
            self.tread.name.clone(),
            [wide - down, narrow - down, narrow, wide],
            (out, Edge::TopEdge, 0.0),
        ))
    }

    fn kick_edge(&self) -> Option<&EdgeAcross> {
        let at = (self.tread.number as usize).checked_sub(1)?;
        self.turn.site.kicks.get(at)
    }

    /// The face of the kick under the tread, from the top of what is below it; `None` where the flight
    /// before has that kick.
    fn kick(&self) -> Option<Face> {
        let site = &self.turn.site;
        let number = self.tread.number;
        if number == 1 && !self.turn.has_first_kick {
            return None;
        }
        let edge = self.kick_edge()?;
        let (above, below) = (
            site.treads.get(number as usize - 1)?,
            (number as usize)
                .checked_sub(2)
                .and_then(|at| site.treads.get(at)),
        );
        let low = |at: Point2<f64>| {
            let z = below.map_or(0.0, |tread| tread.top(&at));
            Point3::new(at.x, at.y, z)
        };
        let high = |at: Point2<f64>| Point3::new(at.x, at.y, above.top(&at) - above.thickness);
        let up = site.uphill(edge);
        let corners = [
            low(edge.wide),
            low(edge.narrow),
            high(edge.narrow),
            high(edge.wide),
        ];
        Some(self.upright(
            Board::Kick,
            self.turn.kick_name(number),
            corners,
            (
                Vector3::new(-up.x, -up.y, 0.0),
                Edge::Underside,
                site.kick_thickness,
            ),
        ))
    }

    /// How deep a newel's ring goes in behind the face of the kick, mm.
    fn kick_deep(&self, ring: &[Point2<f64>]) -> f64 {
        let Some(edge) = self.kick_edge() else {
            return 0.0;
        };
        let up = self.turn.site.uphill(edge);
        plan::extent(ring, |at| (at - edge.narrow).dot(&up)).1
    }

    /// An upright face from its lower corner at the wide end on: the lower one at the narrow end, and
    /// those over both.
    fn upright(
        &self,
        on: Board,
        part: String,
        corners: [Point3<f64>; 4],
        (out, upper, thick): (Vector3<f64>, Edge, f64),
    ) -> Face {
        let corners = corners.map(|at| self.put(&at));
        let hook = |edge: Edge, from: usize, to: usize| Hook {
            edge,
            from: corners[from],
            to: corners[to],
            plus: None,
        };
        Face {
            part,
            step: self.tread.number,
            on,
            normal: self.way(&out),
            hooks: [hook(Edge::NarrowEnd, 1, 2), hook(upper, 2, 3)],
            corners: corners.to_vec(),
            thick,
            kick: None,
        }
    }
}
