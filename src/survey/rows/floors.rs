//! Readings of floors and landings as equations.

use crate::job::{Floor, FloorKind, FloorReading, Side, Surface, Way as Toward};

use super::{Maker, Read, Row, Shape};
use crate::survey::linear::Linear;
use crate::survey::uncertainty::Way;
use crate::survey::unknowns::LandingIds;

impl Maker<'_> {
    /// The equation of a reading of a floor.
    pub(in crate::survey) fn floor(
        &self,
        index: usize,
        reading: &FloorReading,
        path: &str,
    ) -> Option<Row> {
        let floor = self.job.floors.get(index)?;
        let (shape, way) = self.floor_shape(index, floor, reading)?;
        let value = reading.is().mm();
        let rough = *reading.on() == Surface::Rough;
        Some(Row {
            path: path.to_owned(),
            what: format!("{}{}", floor_words(floor, reading), rough_words(rough)),
            value,
            sd: self.tools.sd(
                reading.by().as_ref(),
                reading.sd().as_ref(),
                way,
                value,
                rough,
            ),
            read: Read::Length,
            shape,
        })
    }

    fn floor_shape(
        &self,
        index: usize,
        floor: &Floor,
        reading: &FloorReading,
    ) -> Option<(Shape, Way)> {
        let landing = self.unknowns.landings.get(index).copied().flatten();
        match reading {
            FloorReading::Level { over, high, .. } => {
                let (uphill, outward) = self.slopes(floor, landing)?;
                let slope = match high {
                    Toward::Uphill => uphill,
                    Toward::Downhill => uphill.times(-1.0),
                    Toward::Open => outward,
                    Toward::Wall => outward.times(-1.0),
                };
                let long = over.mm();
                Some((Shape::Linear(slope.times(long)), Way::Levelled(long)))
            }
            FloorReading::Under { x, y, line, .. } => {
                let (x, q) = (x.mm(), self.unknowns.outward_of(y.mm()));
                let line = self.unknowns.line(self.line_number(line)?, x, q);
                let height = self.floor_height(floor, landing, x, q, *reading.on())?;
                Some((Shape::Linear(line.less(&height)), Way::FromLine(0.0)))
            }
            FloorReading::Edge { edge, .. } => {
                let ids = landing?;
                let scalar = |number| Linear::scalar(number, 1.0);
                let shape = match edge {
                    Toward::Open => Shape::Linear(scalar(ids.open)),
                    Toward::Wall => Shape::Linear(scalar(ids.wall)),
                    Toward::Downhill => {
                        Shape::Distance(vec![scalar(ids.shift), scalar(ids.across)])
                    }
                    Toward::Uphill => Shape::Distance(vec![
                        scalar(ids.shift)
                            .add(&scalar(ids.wall))
                            .less(&scalar(ids.open)),
                        scalar(ids.across),
                    ]),
                };
                Some((shape, Way::Taped))
            }
            FloorReading::Diagonal { from, .. } => {
                let ids = landing?;
                let scalar = |number| Linear::scalar(number, 1.0);
                // Corners, from the downhill open one: (0, 0), (open, 0), (shift, -across),
                // (shift + wall, -across).
                let along = match from {
                    Side::Open => scalar(ids.shift).add(&scalar(ids.wall)),
                    Side::Wall => scalar(ids.open).less(&scalar(ids.shift)),
                };
                Some((
                    Shape::Distance(vec![along, scalar(ids.across)]),
                    Way::Cornered,
                ))
            }
        }
    }

    /// How a floor climbs uphill and outward, mm per mm.
    fn slopes(&self, floor: &Floor, landing: Option<LandingIds>) -> Option<(Linear, Linear)> {
        let unknowns = self.unknowns;
        // Level and fall of steps are over the width and the depth of a tread; fall is the front
        // above the back.
        let of_step = |level: usize, fall: usize| {
            let wide = self.job.flight.width.mm();
            (
                Linear::scalar(fall, -1.0 / unknowns.meant_depth()),
                Linear::scalar(level, 1.0 / wide),
            )
        };
        match floor.is {
            FloorKind::Lower => Some(of_step(unknowns.lower.0, unknowns.lower.1)),
            FloorKind::Upper => {
                let ids = unknowns.steps.last()?;
                Some(of_step(ids.level, ids.fall))
            }
            FloorKind::Landing { .. } => {
                let ids = landing?;
                Some((
                    Linear::scalar(ids.uphill, 1.0),
                    Linear::scalar(ids.outward, 1.0),
                ))
            }
        }
    }

    fn floor_height(
        &self,
        floor: &Floor,
        landing: Option<LandingIds>,
        x: f64,
        q: f64,
        on: Surface,
    ) -> Option<Linear> {
        let unknowns = self.unknowns;
        let (uphill, outward) = self.slopes(floor, landing)?;
        match floor.is {
            FloorKind::Lower => Some(unknowns.height(0, q, on).plus(x, &uphill)),
            FloorKind::Upper => {
                let last = self.job.flight.count;
                let beyond = x - unknowns.meant_kick(last);
                Some(unknowns.height(last, q, on).plus(beyond, &uphill))
            }
            FloorKind::Landing { .. } => {
                let ids = landing?;
                Some(
                    Linear::scalar(ids.height, 1.0)
                        .plus(x - ids.middle.0, &uphill)
                        .plus(q - ids.middle.1, &outward),
                )
            }
        }
    }
}

fn rough_words(rough: bool) -> &'static str {
    if rough { ", rough" } else { "" }
}

fn floor_words(floor: &Floor, reading: &FloorReading) -> String {
    let name = &floor.name;
    let toward = |way: &Toward| match way {
        Toward::Uphill => "uphill",
        Toward::Downhill => "downhill",
        Toward::Open => "open",
        Toward::Wall => "wall",
    };
    match reading {
        FloorReading::Level { high, .. } => match high {
            Toward::Uphill | Toward::Downhill => format!("level of floor {name} along the flight"),
            Toward::Open | Toward::Wall => format!("level of floor {name} across the flight"),
        },
        FloorReading::Under { line, .. } => format!("floor {name} under laser line {line}"),
        FloorReading::Edge { edge, .. } => format!("{} edge of landing {name}", toward(edge)),
        FloorReading::Diagonal { from, .. } => {
            let end = match from {
                Side::Open => "open",
                Side::Wall => "wall",
            };
            format!("diagonal of landing {name} from its downhill {end} corner")
        }
    }
}
