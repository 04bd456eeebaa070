//! A wall as found, seen from the room: how far its face stands off the plumb plane that was meant,
//! as figures on a grid and as lines of equal departure.

use nalgebra::{Point3, Vector3};

use super::draft::{Draft, FINE, NAME, SEEN, Side, TEXT};
use super::plan::own_name;
use super::row::Place;
use super::shown::Shown;
use super::{Measured, fit};
use crate::chain::{Chain, RunChain};
use crate::job::WallReading;
use crate::measure::{Length, Tape};
use crate::publish::drawing::{At, Eye};
use crate::publish::pdf::{Pen, Shade};
use crate::setout::landings;
use crate::site::WallFace;

/// Room that a figure of the grid takes, mm on the paper.
const CELL: (f64, f64) = (17.0, 9.0);
/// No more columns and rows of figures than these.
const MOST: (usize, usize) = (16, 12);
/// Cells along and up for the lines of equal departure.
const FINE_GRID: (usize, usize) = (48, 36);
/// Lines of equal departure: no more than these to either side of zero.
const LINES: f64 = 6.0;

/// The chart of a wall that was read with a run.
pub(super) fn wall(
    chain: &Chain,
    (name, number): (&str, usize),
    room: (f64, f64),
    tape: Tape,
) -> Option<Measured> {
    let run = chain.runs.get(number)?;
    let mut own = run.site.walls.iter().take(run.site.own_walls);
    let face = own.find(|wall| wall.name == name)?;
    let chart = Chart { run, face };
    let eye = chart.eye()?;
    let corner = |along: f64, up: f64| {
        let p = eye.point(&chart.at(along, up));
        (p.x, p.y)
    };
    let (long, foot, head) = (face.length(), face.foot, face.head);
    let ring = [
        corner(0.0, foot),
        corner(long, foot),
        corner(long, head),
        corner(0.0, head),
    ];
    let seen = (0..4).map(|i| (ring[i], ring[(i + 1) % 4])).collect();
    let shown = Shown {
        seen,
        ..Shown::default()
    };
    let title = format!("Wall {}, seen from the room", own_name(name));
    fit(tape.unit(), ((long, head - foot), room), &title, |by| {
        let mut draft = Draft::new(eye, by, tape, &shown);
        let every = chart.contours(&mut draft);
        chart.readings(&mut draft);
        chart.figures(&mut draft);
        chart.sizes(&mut draft);
        draft.note(format!(
            "Departure from the plumb plane that was meant: + into the room, - away from it. Lines \
             every {}; heavy: none; dashed: away.",
            tape.print(Length::mm(every))
        ));
        draft
    })
}

struct Chart<'a> {
    run: &'a RunChain,
    face: &'a WallFace,
}

impl Chart<'_> {
    /// From the room: the wall's end on the left, for the room lies to the left hand of its way.
    fn eye(&self) -> Option<Eye> {
        let way = self.face.to - self.face.from;
        let way = Vector3::new(way.x, way.y, 0.0).try_normalize(1e-9)?;
        Some(Eye::new(-self.run.frame.way_to_first(&way), Vector3::z()))
    }

    /// A place of the meant plane in the first run's frame.
    fn at(&self, along: f64, up: f64) -> Point3<f64> {
        let way = (self.face.to - self.face.from) / self.face.length();
        let plan = self.face.from + way * along;
        self.run.frame.to_first(&Point3::new(plan.x, plan.y, up))
    }

    /// Lines of equal departure; gives how far apart they are, mm.
    fn contours(&self, draft: &mut Draft) -> f64 {
        let (across, up) = FINE_GRID;
        let (long, tall) = (self.face.length(), self.face.head - self.face.foot);
        let place = |i: usize, j: usize| {
            (
                long * i as f64 / across as f64,
                self.face.foot + tall * j as f64 / up as f64,
            )
        };
        let mut off = vec![vec![0.0; up + 1]; across + 1];
        let mut most = 0.0_f64;
        for (i, column) in off.iter_mut().enumerate() {
            for (j, value) in column.iter_mut().enumerate() {
                let (along, height) = place(i, j);
                *value = self.face.off(along, height);
                most = most.max(value.abs());
            }
        }
        let mark = draft.tape.mark().as_mm();
        let steps = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0];
        let every = steps.iter().find(|many| most / (*many * mark) <= LINES);
        let every = every.copied().unwrap_or(256.0) * mark;
        let count = (most / every).floor() as i32;
        for level in -count..=count {
            let value = every * f64::from(level);
            let pen = match level {
                0 => Pen::new(Shade::BLACK, 0.4),
                1.. => Pen::new(Shade::BLACK, FINE),
                _ => Pen::new(Shade::BLACK, FINE).dashed(1.4, 0.9),
            };
            for i in 0..across {
                for j in 0..up {
                    let cell = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
                    let values = cell.map(|(i, j)| off[i][j] - value);
                    let places = cell.map(|(i, j)| place(i, j));
                    for [a, b] in level_lines(places, values) {
                        let ends = [a, b].map(|(along, up)| draft.at(&self.at(along, up)));
                        draft.part.line(&ends, pen);
                    }
                }
            }
        }
        every
    }

    /// The places that were read, as small crosses; rings where a rail lands.
    fn readings(&self, draft: &mut Draft) {
        let pen = Pen::new(Shade::BLACK, SEEN);
        let job = &self.run.run.job;
        let found = job.walls.iter().find(|one| one.name == self.face.name);
        for reading in found.into_iter().flat_map(|one| &one.readings) {
            if let WallReading::Offset { along, up, .. } = reading {
                let up = up.mm() + self.face.lift;
                let (x, y) = draft.at(&self.at(along.mm(), up));
                draft.part.line(&[(x - 1.2, y), (x + 1.2, y)], pen);
                draft.part.line(&[(x, y - 1.2), (x, y + 1.2)], pen);
                draft.note("Crosses: where it was read.");
            }
        }
        let setout = &self.run.setout;
        for landing in landings(job, &self.run.site, &setout.rail) {
            if landing.wall != self.face.name {
                continue;
            }
            let at = draft.at(&self.at(landing.along, landing.point.z));
            draft.part.round(at, 1.6, Some(pen), None);
            let off = self.face.off(landing.along, landing.point.z);
            let words = format!(
                "{} {}",
                own_name(&setout.rail.name),
                signed(draft.tape, off)
            );
            draft.set((at.0, at.1 + 3.6), &words, NAME, false);
            draft.note("Ring: where the rail lands.");
        }
    }

    /// Figures on a grid.
    fn figures(&self, draft: &mut Draft) {
        let (long, tall) = (self.face.length(), self.face.head - self.face.foot);
        let count = |size: f64, cell: f64, most: usize| {
            let fits = (size / draft.by / cell).floor().max(1.0) as usize;
            fits.min(most)
        };
        let (across, up) = (count(long, CELL.0, MOST.0), count(tall, CELL.1, MOST.1));
        for i in 0..across {
            for j in 0..up {
                let along = long * (i as f64 + 0.5) / across as f64;
                let height = self.face.foot + tall * (j as f64 + 0.5) / up as f64;
                let text = signed(draft.tape, self.face.off(along, height));
                let at = draft.at(&self.at(along, height));
                draft.set(at, &text, TEXT, false);
            }
        }
    }

    fn sizes(&self, draft: &mut Draft) {
        let (long, foot, head) = (self.face.length(), self.face.foot, self.face.head);
        let place = |along: f64, up: f64| Place::new(self.at(along, up), "");
        draft.overall(
            Side::Below,
            "length",
            &[place(0.0, foot), place(long, foot)],
        );
        draft.overall(
            Side::Left,
            "height",
            &[place(long, foot), place(long, head)],
        );
    }
}

/// A departure with its sign.
fn signed(tape: Tape, off: f64) -> String {
    let print = tape.print(Length::mm(off.abs()));
    if tape.round(Length::mm(off)).abs() < tape.mark() / 2.0 {
        "0".to_owned()
    } else if off < 0.0 {
        format!("\u{2212}{print}")
    } else {
        format!("+{print}")
    }
}

/// Where a value crosses zero within a cell whose corners run round it (marching squares; a saddle
/// is parted as its mean says).
fn level_lines(places: [At; 4], values: [f64; 4]) -> Vec<[At; 2]> {
    let mut met: Vec<At> = Vec::with_capacity(4);
    for i in 0..4 {
        let j = (i + 1) % 4;
        let (a, b) = (values[i], values[j]);
        if (a < 0.0) != (b < 0.0) {
            let share = a / (a - b);
            met.push((
                places[i].0 + (places[j].0 - places[i].0) * share,
                places[i].1 + (places[j].1 - places[i].1) * share,
            ));
        }
    }
    match met.as_slice() {
        [a, b] => vec![[*a, *b]],
        [a, b, c, d] => {
            let mean: f64 = values.iter().sum();
            if (mean < 0.0) == (values[0] < 0.0) {
                vec![[*a, *b], [*c, *d]]
            } else {
                vec![[*d, *a], [*b, *c]]
            }
        }
        _ => Vec::new(),
    }
}
