//! Rows of dimensions along a side of a drawing, outward one after the other, and single ones in it.

use nalgebra::{Point3, Vector3};

use super::DimKind;
use super::draft::{Draft, FINE, NAME, OVER, Side, TEXT, between, room_of};
use crate::measure::Length;
use crate::publish::drawing::At;
use crate::publish::pdf::{Pen, Shade};

/// From one row to the next, mm.
const APART: f64 = 2.8;
/// The height that a line of text takes, mm.
const LINE: f64 = 3.3;
/// Levels on which the texts of a chain may be staggered.
const LEVELS: usize = 2;
/// Between two texts on one level, mm.
const BETWEEN: f64 = 0.9;
/// How many are left out between those told, at first and at last.
const EVERY: [usize; 7] = [1, 2, 3, 4, 6, 10, 20];

/// A place that a row measures to.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) at: Point3<f64>,
    /// What is there, beside its figure in a running row.
    pub(super) name: String,
}

impl Place {
    pub(super) fn new(at: Point3<f64>, name: impl Into<String>) -> Self {
        Self {
            at,
            name: name.into(),
        }
    }
}

/// What is said where a crowd leaves no room.
const CROWDED: &str = "Figures without room here stand in the table of marks.";

impl Draft {
    /// A running row: every place from the first, which is its zero.
    pub(super) fn running(&mut self, side: Side, row: &str, places: &[Place]) {
        let [zero, others @ ..] = places else { return };
        if others.is_empty() {
            return;
        }
        let spots: Vec<f64> = places
            .iter()
            .map(|p| side.split(self.at(&p.at)).0)
            .collect();
        let figures: Vec<String> = others
            .iter()
            .map(|place| self.tape.print(self.along(side, zero, place).abs()))
            .collect();
        let first = if zero.name.is_empty() {
            "0".to_owned()
        } else {
            format!("0 {}", zero.name)
        };
        let wide = |figure: &str, name: &str| {
            let gap = if name.is_empty() { 0.0 } else { 1.0 };
            TEXT.width(figure) + gap + NAME.width(name)
        };
        let widths = figures.iter().zip(others).map(|(f, p)| wide(f, &p.name));
        let deep = widths.fold(TEXT.width(&first), f64::max);
        let line = self.reach(side) + side.outward() * APART;
        let stands = spread(&spots);
        let moved = |place: usize| stands[place].is_some_and(|at| (at - spots[place]).abs() > 0.1);
        let aside = (0..spots.len()).any(moved);
        for (place, along) in spots.iter().enumerate() {
            self.lead(side, *along, line);
            let at = side.page(*along, line);
            if place == 0 {
                let pen = Pen::new(Shade::BLACK, FINE);
                self.lines.round(at, 0.7, Some(pen), Some(Shade::PAPER));
            } else {
                self.tick(at);
            }
        }
        self.rule(side, &spots, line);
        let away = line + side.outward() * if aside { 3.6 } else { 1.5 };
        if aside {
            self.leaders(side, &spots, &stands, (line, away));
        }
        self.perpendicular(side, (stands[0].unwrap_or(spots[0]), away), &first, "");
        for (number, place) in others.iter().enumerate() {
            let here = spots[number + 1];
            let figure = &figures[number];
            let shown = stands[number + 1]
                .is_some_and(|at| self.perpendicular(side, (at, away), figure, &place.name));
            if !shown {
                self.note(CROWDED);
            }
            let text = if shown { figure.as_str() } else { "" };
            let paper = [side.page(spots[0], line), side.page(here, line)];
            let way = self.towards(side, here - spots[0]);
            let kind = (row, DimKind::Running, text);
            self.keep(kind, [zero.at, place.at], way, paper);
        }
        self.take(side, away + side.outward() * (deep + 0.6));
    }

    /// From the places of a row to the figures that stand aside of them.
    fn leaders(&mut self, side: Side, spots: &[f64], stands: &[Option<f64>], (line, away): At) {
        let out = side.outward();
        for (here, stands) in spots.iter().zip(stands) {
            if let Some(stands) = stands {
                let ends = [
                    side.page(*here, line + out * 0.9),
                    side.page(*stands, away - out * 0.3),
                ];
                self.lines.line(&ends, Pen::new(Shade::BLACK, FINE));
            }
        }
    }

    /// A figure square to its row, and what is there beyond it. False where something stands there.
    fn perpendicular(&mut self, side: Side, (along, off): At, figure: &str, name: &str) -> bool {
        let gap = if name.is_empty() { 0.0 } else { 1.0 };
        let (a, b) = (TEXT.width(figure), NAME.width(name));
        let out = side.outward();
        let rising = side.level();
        let middle = |from: f64, wide: f64| side.page(along, off + out * (from + wide / 2.0));
        let rooms = [
            room_of(middle(0.0, a), figure, TEXT, rising),
            room_of(middle(a + gap, b), name, NAME, rising),
        ];
        if !rooms.iter().all(|room| self.free(room)) {
            return false;
        }
        self.put(middle(0.0, a), figure, TEXT, rising);
        if !name.is_empty() {
            self.put(middle(a + gap, b), name, NAME, rising);
        }
        true
    }

    /// A chain: every place from the one before it.
    pub(super) fn chain(&mut self, side: Side, row: &str, places: &[Place]) {
        self.chained(side, (row, DimKind::Chain), places);
    }

    /// One dimension from the first to the last of some places.
    pub(super) fn overall(&mut self, side: Side, row: &str, places: &[Place]) {
        if let [first, .., last] = places {
            let ends = [first.clone(), last.clone()];
            self.chained(side, (row, DimKind::Overall), &ends);
        }
    }

    fn chained(&mut self, side: Side, row: (&str, DimKind), places: &[Place]) {
        if places.len() < 2 {
            return;
        }
        let spots: Vec<f64> = places
            .iter()
            .map(|p| side.split(self.at(&p.at)).0)
            .collect();
        let links: Vec<Link> = spots
            .windows(2)
            .zip(places.windows(2))
            .map(|(ends, pair)| {
                let text = self.tape.print(self.along(side, &pair[0], &pair[1]).abs());
                let half = TEXT.width(&text) / 2.0;
                let middle = f64::midpoint(ends[0], ends[1]);
                Link { text, middle, half }
            })
            .collect();
        let levels = staggered(&links);
        let highest = levels.iter().flatten().copied().max().unwrap_or(0);
        let deep = OVER + LINE * (highest + 1) as f64;
        let out = side.outward();
        // Text stands over its line on the page, or to the left of it.
        let (line, end) = if out > 0.0 {
            let line = self.reach(side) + 0.6 + deep;
            (line, line + 0.6)
        } else {
            let line = self.reach(side) - APART;
            (line, line - deep)
        };
        for along in &spots {
            self.lead(side, *along, line);
            self.tick(side.page(*along, line));
        }
        self.rule(side, &spots, line);
        for (number, link) in links.iter().enumerate() {
            let up = |level: usize| OVER + LINE * (level as f64 + 0.5) - 0.2;
            let shown = levels[number].is_some_and(|level| {
                let middle = side.page(link.middle, line - up(level));
                self.set(middle, &link.text, TEXT, !side.level())
            });
            if !shown {
                self.note(CROWDED);
            }
            let text = if shown { link.text.as_str() } else { "" };
            let ends = [spots[number], spots[number + 1]];
            let paper = ends.map(|along| side.page(along, line));
            let pair = [places[number].at, places[number + 1].at];
            let way = self.towards(side, ends[1] - ends[0]);
            self.keep((row.0, row.1, text), pair, way, paper);
        }
        self.take(side, end);
    }

    /// The line of a row, from its first to its last place.
    fn rule(&mut self, side: Side, spots: &[f64], line: f64) {
        let low = spots.iter().copied().fold(f64::INFINITY, f64::min);
        let high = spots.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ends = [side.page(low, line), side.page(high, line)];
        self.lines.line(&ends, Pen::new(Shade::BLACK, FINE));
    }

    /// How far two places stand apart along a side.
    fn along(&self, side: Side, from: &Place, to: &Place) -> Length {
        between(&[from.at, to.at], &self.towards(side, 1.0))
    }

    /// The way of the model along a side: towards more on the page, or less.
    fn towards(&self, side: Side, by: f64) -> Vector3<f64> {
        self.way(side.page(1.0_f64.copysign(by), 0.0))
    }

    /// A dimension by itself, drawn this far beside the two places (mm on the paper, to the right of
    /// the way from the first to the second as the page shows it).
    pub(super) fn single(&mut self, row: &str, [a, b]: [Point3<f64>; 2], beside: f64) {
        let (from, to) = (self.at(&a), self.at(&b));
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = dx.hypot(dy);
        if long < 1e-6 {
            return;
        }
        let off = (-dy / long * beside, dx / long * beside);
        let ends = [from, to].map(|at| (at.0 + off.0, at.1 + off.1));
        let pen = Pen::new(Shade::BLACK, FINE);
        if beside.abs() > 1.5 {
            // From a gap beside the place to a little past the line.
            let (near, far) = (1.0 / beside.abs(), 1.0 + 1.0 / beside.abs());
            for (x, y) in [from, to] {
                let at = |share: f64| (x + off.0 * share, y + off.1 * share);
                self.lines.line(&[at(near), at(far)], pen);
            }
        }
        self.lines.line(&ends, pen);
        for end in ends {
            self.tick(end);
            self.clear(end);
        }
        let way = self.way((dx / long, dy / long));
        let figure = self.tape.print(between(&[a, b], &way));
        let rising = dy.abs() > dx.abs();
        let middle = (
            f64::midpoint(ends[0].0, ends[1].0),
            f64::midpoint(ends[0].1, ends[1].1),
        );
        let off = OVER + LINE / 2.0;
        let shown = self.beside(middle, off, &figure, rising);
        if !shown {
            self.note(CROWDED);
        }
        let printed = if shown { figure.as_str() } else { "" };
        self.keep((row, DimKind::Single, printed), [a, b], way, ends);
    }

    /// Text over a line's middle, or moved along it or to its other side where that is taken.
    fn beside(&mut self, middle: At, off: f64, text: &str, rising: bool) -> bool {
        let half = TEXT.width(text) / 2.0;
        let shifts = [0.0, 1.0, -1.0, 2.0, -2.0].map(|part| part * (half + 1.5));
        let places = [off, -off].into_iter().flat_map(|off| {
            shifts.map(|shift| {
                if rising {
                    (middle.0 - off, middle.1 + shift)
                } else {
                    (middle.0 + shift, middle.1 - off)
                }
            })
        });
        let places: Vec<At> = places.collect();
        self.set_at(&places, text, TEXT, rising)
    }

    /// A name with its middle so far beside a place of the model, where it crosses no line if it can.
    pub(super) fn named(&mut self, at: &Point3<f64>, beside: &[At], name: &str) -> bool {
        let at = self.at(at);
        let places = beside.iter().map(|by| (at.0 + by.0, at.1 + by.1));
        let places: Vec<At> = places.collect();
        self.set_at(&places, name, NAME, false)
    }
}

/// One dimension of a chain.
struct Link {
    text: String,
    middle: f64,
    half: f64,
}

/// Where the figures of a running row stand along it: at their places, or moved a little aside so
/// that none meets another; none where there is no room for one. The zero and the last are told.
fn spread(spots: &[f64]) -> Vec<Option<f64>> {
    let last = spots.len() - 1;
    for every in EVERY {
        let mut chosen: Vec<usize> = (0..=last)
            .filter(|at| at % every == 0 || *at == last)
            .collect();
        chosen.sort_by(|a, b| spots[*a].total_cmp(&spots[*b]));
        let wanted: Vec<f64> = chosen.iter().map(|at| spots[*at]).collect();
        let stands = parted(&wanted);
        let mut pairs = stands.iter().zip(&wanted);
        if pairs.all(|(at, wanted)| (at - wanted).abs() <= ASIDE) {
            let mut all = vec![None; spots.len()];
            for (at, stands) in chosen.into_iter().zip(stands) {
                all[at] = Some(stands);
            }
            return all;
        }
    }
    // Whatever has room is told where it is set.
    spots.iter().copied().map(Some).collect()
}

/// How far a figure may be moved aside, mm.
const ASIDE: f64 = 7.0;

/// Places in order, moved as little as will do (by least squares) to stand a line apart: what each
/// exceeds its turn by may never fall, so that neighbours which would take their common mean (the
/// pool of adjacent violators).
fn parted(wanted: &[f64]) -> Vec<f64> {
    let turn = |at: usize| LINE * at as f64;
    let mut pools: Vec<(f64, usize)> = Vec::with_capacity(wanted.len());
    for (at, wanted) in wanted.iter().enumerate() {
        let mut pool = (wanted - turn(at), 1);
        while let Some((mean, count)) = pools.last().copied() {
            if mean <= pool.0 {
                break;
            }
            let both = count + pool.1;
            let sum = mean * count as f64 + pool.0 * pool.1 as f64;
            pool = (sum / both as f64, both);
            pools.pop();
        }
        pools.push(pool);
    }
    pools
        .into_iter()
        .flat_map(|(mean, count)| vec![mean; count])
        .enumerate()
        .map(|(at, exceeds)| exceeds + turn(at))
        .collect()
}

/// The level on which each text of a chain stands, so that none meets another; none where it is left
/// out.
fn staggered(links: &[Link]) -> Vec<Option<usize>> {
    let mut best: Vec<Option<usize>> = vec![None; links.len()];
    for every in EVERY {
        let mut ends: Vec<Vec<(f64, f64)>> = vec![Vec::new(); LEVELS];
        let levels: Vec<Option<usize>> = links
            .iter()
            .enumerate()
            .map(|(number, link)| {
                if number % every != 0 {
                    return None;
                }
                let (low, high) = (
                    link.middle - link.half - BETWEEN / 2.0,
                    link.middle + link.half + BETWEEN / 2.0,
                );
                let clear = |level: &Vec<(f64, f64)>| {
                    level.iter().all(|(from, to)| high <= *from || low >= *to)
                };
                let level = ends.iter().position(clear)?;
                ends[level].push((low, high));
                Some(level)
            })
            .collect();
        let count = |levels: &[Option<usize>]| levels.iter().flatten().count();
        let asked = links.len().div_ceil(every);
        if count(&levels) == asked {
            return levels;
        }
        if count(&levels) > count(&best) {
            best = levels;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_part_by_as_little_as_will_do() {
        // Two at one place step aside by half a line each; one far off stays.
        let stands = parted(&[10.0, 10.0, 40.0]);
        let wanted = [10.0 - LINE / 2.0, 10.0 + LINE / 2.0, 40.0];
        for (stands, wanted) in stands.iter().zip(wanted) {
            assert!((stands - wanted).abs() < 1e-12, "{stands} for {wanted}");
        }
    }

    #[test]
    fn a_crowd_tells_every_so_many_with_its_zero_and_its_last() {
        let spots: Vec<f64> = (0..50).map(f64::from).collect();
        let stands = spread(&spots);
        let told: Vec<f64> = stands.iter().flatten().copied().collect();
        assert!(stands[0].is_some() && stands[49].is_some());
        assert!(told.len() > 9, "{told:?}");
        assert!(told.windows(2).all(|pair| pair[1] - pair[0] > LINE - 1e-9));
    }

    #[test]
    fn texts_of_a_chain_stand_on_levels_where_they_do_not_meet() {
        let links: Vec<Link> = (0..30)
            .map(|at| Link {
                text: String::new(),
                middle: 5.0 * f64::from(at),
                half: 3.4,
            })
            .collect();
        let levels = staggered(&links);
        assert!(levels.iter().all(Option::is_some));
        for level in 0..LEVELS {
            let on: Vec<f64> = (links.iter().zip(&levels))
                .filter(|(_, on)| **on == Some(level))
                .map(|(link, _)| link.middle)
                .collect();
            let apart = 6.8 + BETWEEN - 1e-9;
            assert!(on.windows(2).all(|pair| pair[1] - pair[0] > apart));
        }
    }
}
