//! Readings of walls as equations.

use nalgebra::{Point2, Vector2};

use crate::job::{LevelEnd, Lies, Wall, WallReading};

use super::{Maker, Read, Row, Shape};
use crate::survey::linear::Linear;
use crate::survey::prior;
use crate::survey::uncertainty::Way;
use crate::survey::unknowns::length;

/// A wall's meant face in plan: where it begins, its way along, its way into the room.
struct Plan {
    from: Point2<f64>,
    run: Vector2<f64>,
    room: Vector2<f64>,
    length: f64,
}

impl Plan {
    fn of(wall: &Wall) -> Self {
        let length = length(wall);
        let from = Point2::new(wall.from.x.mm(), wall.from.y.mm());
        let run = (Point2::new(wall.to.x.mm(), wall.to.y.mm()) - from) / length;
        Self {
            from,
            run,
            // The room lies to the left hand of from -> to.
            room: Vector2::new(-run.y, run.x),
            length,
        }
    }
}

impl Maker<'_> {
    /// The equation of a reading of a wall.
    pub(in crate::survey) fn wall(
        &self,
        wall: usize,
        reading: &WallReading,
        path: &str,
    ) -> Option<Row> {
        let (shape, way, more) = self.wall_shape(wall, reading)?;
        let value = reading.is().mm();
        let sd = self.tools.sd(
            reading.by().as_ref(),
            reading.sd().as_ref(),
            way,
            value,
            false,
        );
        Some(Row {
            path: path.to_owned(),
            what: self.wall_words(wall, reading),
            value,
            sd: sd.hypot(more),
            read: Read::Length,
            shape,
        })
    }

    /// The function, the way it is read, and what the way of holding adds to its uncertainty.
    fn wall_shape(&self, wall: usize, reading: &WallReading) -> Option<(Shape, Way, f64)> {
        let unknowns = self.unknowns;
        let face = |along: f64, up: f64| unknowns.wall(wall, along, up);
        let plain = |linear, way| Some((Shape::Linear(linear), way, 0.0));
        match reading {
            WallReading::Offset {
                along, up, line, ..
            } => {
                let (along, up) = (along.mm(), up.mm());
                match line {
                    Some(name) => {
                        let line = unknowns.line(self.line_number(name)?, along, up);
                        plain(line.less(&face(along, up)), Way::FromLine(0.0))
                    }
                    None => {
                        let above = (up - unknowns.walls[wall].foot).abs();
                        plain(face(along, up), Way::FromLine(above))
                    }
                }
            }
            WallReading::Plumb {
                along,
                up,
                level,
                at,
                touch,
                ..
            } => {
                let (along, low, long) = (along.mm(), up.mm(), level.mm());
                let (off, other) = match at {
                    LevelEnd::Top => (low + long, low),
                    LevelEnd::Bottom => (low, low + long),
                };
                let touching = touch.as_ref().map_or(other, |from| low + from.mm());
                let linear = face(along, touching).less(&face(along, off));
                // Where it touches was not stated: somewhere on that half, and the bow decides.
                let more = if touch.is_some() {
                    0.0
                } else {
                    let near = prior::bow((0.0, 0.0), (0.0, long / 2.0));
                    (prior::BOW.powi(2) - near).max(0.0).sqrt()
                };
                Some((Shape::Linear(linear), Way::Levelled(long), more))
            }
            WallReading::Straight {
                along,
                up,
                length,
                lies,
                ..
            } => {
                let (along, up, long) = (along.mm(), up.mm(), length.mm());
                let at = |share: f64| match lies {
                    Lies::Level => face(along + share * long, up),
                    Lies::Upright => face(along, up + share * long),
                };
                let ends = at(0.0).add(&at(1.0)).times(0.5);
                plain(ends.less(&at(0.5)), Way::Under)
            }
            WallReading::Between {
                along,
                up,
                wall: other,
                ..
            } => plain(self.between(wall, along.mm(), up.mm(), other)?, Way::Taped),
            WallReading::Corner {
                wall: other,
                up,
                leg,
                other_leg,
                ..
            } => {
                let legs = (leg.mm(), other_leg.mm());
                let shape = self.corner(wall, up.mm(), legs, other)?;
                // The two marks are taped as well as the diagonal.
                let marks = self
                    .tools
                    .sd(None, None, Way::Taped, legs.0.max(legs.1), false);
                Some((shape, Way::Taped, marks))
            }
        }
    }

    fn wall_named(&self, name: &str) -> Option<usize> {
        self.job.walls.iter().position(|wall| wall.name == name)
    }

    /// The distance square off a wall's meant face to another wall's face.
    fn between(&self, wall: usize, along: f64, up: f64, other: &str) -> Option<Linear> {
        let far = self.wall_named(other)?;
        let (here, there) = (
            Plan::of(&self.job.walls[wall]),
            Plan::of(&self.job.walls[far]),
        );
        let facing = there.room.dot(&here.room);
        if facing.abs() < crate::measure::tolerance::PARALLEL {
            return None;
        }
        let from = here.from + here.run * along;
        let meant = there.room.dot(&(there.from - from)) / facing;
        let met = from + here.room * meant;
        let far_along = (met - there.from).dot(&there.run);
        let there = self.unknowns.wall(far, far_along, up);
        Some(
            Linear::constant(meant)
                .less(&self.unknowns.wall(wall, along, up))
                .plus(1.0 / facing, &there),
        )
    }

    /// The diagonal over a corner: legs along both walls from where their meant faces meet.
    fn corner(&self, wall: usize, up: f64, legs: (f64, f64), other: &str) -> Option<Shape> {
        let far = self.wall_named(other)?;
        let (here, there) = (
            Plan::of(&self.job.walls[wall]),
            Plan::of(&self.job.walls[far]),
        );
        let facing = there.room.dot(&here.run);
        if facing.abs() < crate::measure::tolerance::PARALLEL {
            return None;
        }
        let reach = there.room.dot(&(there.from - here.from)) / facing;
        let met = here.from + here.run * reach;
        // From the corner into each wall, whichever end of it the corner is at, and how much the
        // face turns about the corner, anticlockwise seen from above.
        let side = |plan: &Plan, number: usize, leg: f64| {
            let at = (met - plan.from).dot(&plan.run);
            let into = if at < plan.length / 2.0 { 1.0 } else { -1.0 };
            let turned = self
                .unknowns
                .wall(number, at + into * leg, up)
                .less(&self.unknowns.wall(number, at, up))
                .times(into / leg);
            (plan.run * into, turned)
        };
        let (one, one_turns) = side(&here, wall, legs.0);
        let (two, two_turns) = side(&there, far, legs.1);
        let signed = one.perp(&two).atan2(one.dot(&two));
        Some(Shape::Corner {
            legs,
            angle: signed.abs(),
            turn: two_turns.less(&one_turns).times(signed.signum()),
        })
    }

    fn wall_words(&self, wall: usize, reading: &WallReading) -> String {
        let name = &self.job.walls[wall].name;
        let up = self.print(reading.up());
        let place = |along| format!("{} along, {up} up", self.print(along));
        match reading {
            WallReading::Offset { along, line, .. } => {
                let from = line
                    .as_ref()
                    .map_or_else(String::new, |line| format!(" from laser line {line}"));
                format!("wall {name}{from} at {}", place(along))
            }
            WallReading::Plumb { along, level, .. } => format!(
                "wall {name} under a {} level at {}",
                self.print(level),
                place(along)
            ),
            WallReading::Straight { along, length, .. } => format!(
                "wall {name} under a {} straightedge at {}",
                self.print(length),
                place(along)
            ),
            WallReading::Between { along, wall, .. } => {
                format!("wall {name} to wall {wall} at {}", place(along))
            }
            WallReading::Corner { wall, .. } => {
                format!("corner of walls {name} and {wall}, {up} up")
            }
        }
    }
}
