//! What of a drawing lies within a window: lines cut at its edges, nothing moved.

use crate::publish::pdf::{Mark, Pen, Shade, Spot};

/// An upright rectangle, millimetres right and down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Window {
    /// Its left edge.
    pub left: f64,
    /// Its upper edge.
    pub top: f64,
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
}

impl Window {
    /// Its right edge, mm.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.left + self.width
    }

    /// Its lower edge, mm.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// True where a place lies in it or on its edge.
    #[must_use]
    pub fn holds(&self, spot: Spot) -> bool {
        (self.left..=self.right()).contains(&spot.x) && (self.top..=self.bottom()).contains(&spot.y)
    }

    /// The part of a line within it (Liang and Barsky, A new concept and method for line clipping,
    /// 1984).
    #[must_use]
    pub fn part(&self, from: Spot, to: Spot) -> Option<(Spot, Spot)> {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        let sides = [
            (-dx, from.x - self.left),
            (dx, self.right() - from.x),
            (-dy, from.y - self.top),
            (dy, self.bottom() - from.y),
        ];
        for (way, room) in sides {
            if way == 0.0 {
                if room < 0.0 {
                    return None;
                }
                continue;
            }
            let share = room / way;
            if way < 0.0 {
                enters = enters.max(share);
            } else {
                leaves = leaves.min(share);
            }
        }
        let at = |share: f64| Spot::new(from.x + dx * share, from.y + dy * share);
        (enters < leaves).then(|| (at(enters), at(leaves)))
    }
}

/// Sides that stand for a circle which a window's edge cuts: within a hundredth of a millimetre of
/// any circle that fits on a page.
const SIDES: u32 = 360;

/// What of some marks lies within a window. Text and pictures are kept whole or not at all.
#[must_use]
pub fn clip(marks: &[Mark], window: &Window) -> Vec<Mark> {
    marks.iter().flat_map(|mark| one(mark, window)).collect()
}

fn one(mark: &Mark, window: &Window) -> Vec<Mark> {
    let (least, most) = mark.bounds();
    if window.holds(least) && window.holds(most) {
        return vec![mark.clone()];
    }
    match mark {
        Mark::Line {
            spots,
            closed,
            pen,
            fill,
        } => lines(spots, *closed, (*pen, *fill), window),
        Mark::Round {
            centre,
            radius,
            pen,
            fill,
        } => {
            let at = |side: u32| {
                let turn = f64::from(side) / f64::from(SIDES) * std::f64::consts::TAU;
                centre.moved(radius * turn.cos(), radius * turn.sin())
            };
            let spots: Vec<Spot> = (0..SIDES).map(at).collect();
            lines(&spots, true, (*pen, *fill), window)
        }
        Mark::Text { .. } | Mark::Rising { .. } | Mark::Picture { .. } => Vec::new(),
    }
}

fn lines(
    spots: &[Spot],
    closed: bool,
    (pen, fill): (Option<Pen>, Option<Shade>),
    window: &Window,
) -> Vec<Mark> {
    let mut marks = Vec::new();
    if closed && fill.is_some() {
        let area = within(spots, window);
        if area.len() > 2 {
            marks.push(Mark::Line {
                spots: area,
                closed: true,
                pen: None,
                fill,
            });
        }
    }
    let Some(pen) = pen else {
        return marks;
    };
    let back = spots.first().filter(|_| closed);
    let ends = spots.iter().chain(back);
    let next = ends.clone().skip(1);
    let mut runs: Vec<Vec<Spot>> = Vec::new();
    for (from, to) in ends.zip(next) {
        let Some((a, b)) = window.part(*from, *to) else {
            continue;
        };
        match runs.last_mut() {
            Some(run) if run.last() == Some(&a) => run.push(b),
            _ => runs.push(vec![a, b]),
        }
    }
    marks.extend(runs.into_iter().map(|spots| Mark::Line {
        spots,
        closed: false,
        pen: Some(pen),
        fill: None,
    }));
    marks
}

/// The part of an area within a window (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
fn within(spots: &[Spot], window: &Window) -> Vec<Spot> {
    let sides: [&dyn Fn(&Spot) -> f64; 4] = [
        &|at| at.x - window.left,
        &|at| window.right() - at.x,
        &|at| at.y - window.top,
        &|at| window.bottom() - at.y,
    ];
    let mut ring = spots.to_vec();
    for inside in sides {
        let mut kept = Vec::with_capacity(ring.len() + 1);
        for i in 0..ring.len() {
            let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
            let (here, there) = (inside(&a), inside(&b));
            if here >= 0.0 {
                kept.push(a);
            }
            if here * there < 0.0 {
                let share = here / (here - there);
                kept.push(Spot::new(
                    a.x + (b.x - a.x) * share,
                    a.y + (b.y - a.y) * share,
                ));
            }
        }
        ring = kept;
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Window = Window {
        left: 0.0,
        top: 0.0,
        width: 10.0,
        height: 10.0,
    };

    #[test]
    fn a_line_is_cut_where_it_crosses_an_edge() {
        // By hand: from (-5, 5) to (15, 25) the line x + 10 = y leaves at the edge; from (-5, -5) to
        // (15, 15) it runs corner to corner.
        assert_eq!(
            WINDOW.part(Spot::new(-5.0, 5.0), Spot::new(15.0, 25.0)),
            None
        );
        let (a, b) = WINDOW
            .part(Spot::new(-5.0, -5.0), Spot::new(15.0, 15.0))
            .unwrap();
        assert!((a.x.abs() + a.y.abs() + (b.x - 10.0).abs() + (b.y - 10.0).abs()) < 1e-12);
    }

    #[test]
    fn an_area_and_its_outline_are_cut_apart() {
        let mark = Mark::Line {
            spots: [(5.0, 5.0), (15.0, 5.0), (15.0, 8.0), (5.0, 8.0)]
                .map(|(x, y)| Spot::new(x, y))
                .to_vec(),
            closed: true,
            pen: Some(Pen::new(Shade::INK, 0.2)),
            fill: Some(Shade::TONE),
        };
        let kept = clip(&[mark], &WINDOW);
        let lengths: f64 = kept
            .iter()
            .filter_map(|mark| match mark {
                Mark::Line {
                    spots,
                    pen: Some(_),
                    ..
                } => Some(
                    spots
                        .windows(2)
                        .map(|pair| (pair[1].x - pair[0].x).hypot(pair[1].y - pair[0].y))
                        .sum::<f64>(),
                ),
                _ => None,
            })
            .sum();
        // Two level sides of 5 and one plumb one of 3 are left of it; the cut edge is not drawn.
        assert!((lengths - 13.0).abs() < 1e-12, "{kept:?}");
        assert!(kept.iter().all(|mark| {
            let (least, most) = mark.bounds();
            WINDOW.holds(least) && WINDOW.holds(most)
        }));
    }
}
