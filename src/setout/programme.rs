//! Small linear programmes: the best straight line under limits.
//!
//! Lines have few unknowns, so they are solved by a method for few; where that finds nothing, or
//! what it finds does not keep the limits, microlp's simplex has the last word. Its answers are
//! checked for feasibility here, since its authors do not promise optimality. Unit-free: callers
//! put in mm.

use microlp::{ComparisonOp, OptimizationDirection, Problem};

use super::small::{self, MOST_UNKNOWNS, Row};

/// A bound on a straight line at one place: `low <= value(s) <= high`, where `s` runs from 0 at
/// the lower end to 1 at the upper end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// Where, 0 at the lower end and 1 at the upper.
    pub s: f64,
    /// Least value; `-inf` for none.
    pub low: f64,
    /// Greatest value; `inf` for none.
    pub high: f64,
}

/// A straight line by its values at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Value at s = 0.
    pub lower: f64,
    /// Value at s = 1.
    pub upper: f64,
}

impl Line {
    /// The value at a place.
    #[must_use]
    pub fn at(&self, s: f64) -> f64 {
        self.lower + (self.upper - self.lower) * s
    }

    /// The same line raised.
    #[must_use]
    pub fn raised(&self, by: f64) -> Self {
        Self {
            lower: self.lower + by,
            upper: self.upper + by,
        }
    }

    /// How far a bound is broken; negative where it is kept with something to spare.
    #[must_use]
    pub fn breach(&self, bound: &Bound) -> f64 {
        let value = self.at(bound.s);
        (bound.low - value).max(value - bound.high)
    }

    /// The greatest breach of several bounds.
    #[must_use]
    pub fn worst_breach(&self, bounds: &[Bound]) -> f64 {
        bounds
            .iter()
            .map(|bound| self.breach(bound))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Least-squares line through `(s, value)` points. `None` for fewer than two places.
    #[must_use]
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let count = points.len() as f64;
        let mean_s = points.iter().map(|point| point.0).sum::<f64>() / count;
        let mean_value = points.iter().map(|point| point.1).sum::<f64>() / count;
        let spread: f64 = points.iter().map(|point| (point.0 - mean_s).powi(2)).sum();
        let slope = points
            .iter()
            .map(|p| (p.0 - mean_s) * (p.1 - mean_value))
            .sum::<f64>()
            / spread;
        let lower = mean_value - slope * mean_s;
        slope.is_finite().then_some(Self {
            lower,
            upper: lower + slope,
        })
    }
}

/// How far two answers of the simplex may differ from its own constraints, mm. Its tolerance is
/// 1e-8 relative on numbers up to some metres.
const SIMPLEX_MM: f64 = 1e-5;

/// An unknown of a programme, by its number: a line's two end values come first.
type Unknown = usize;
const LOWER: Unknown = 0;
const UPPER: Unknown = 1;

/// One minimisation over a line's two end values and further unknowns.
struct Lines {
    cost: [f64; MOST_UNKNOWNS],
    unknowns: usize,
    rows: Vec<Row>,
}

impl Lines {
    const fn new() -> Self {
        Self {
            cost: [0.0; MOST_UNKNOWNS],
            unknowns: 2,
            rows: Vec::new(),
        }
    }

    fn cost(&mut self, weight: f64) -> Unknown {
        let unknown = self.unknowns;
        self.unknowns += 1;
        self.cost[unknown] = weight;
        unknown
    }

    /// `value(s) + sum(terms) <= most`.
    fn at_most(&mut self, s: f64, terms: &[(Unknown, f64)], most: f64) {
        let value = [(LOWER, 1.0 - s), (UPPER, s)];
        self.row(value.iter().chain(terms), 1.0, most);
    }

    /// `value(s) + sum(terms) >= least`.
    fn at_least(&mut self, s: f64, terms: &[(Unknown, f64)], least: f64) {
        let value = [(LOWER, 1.0 - s), (UPPER, s)];
        self.row(value.iter().chain(terms), -1.0, -least);
    }

    /// `sign * sum(terms) <= most`.
    fn row<'t>(&mut self, terms: impl Iterator<Item = &'t (Unknown, f64)>, sign: f64, most: f64) {
        if !most.is_finite() {
            return;
        }
        let mut row = Row {
            terms: [0.0; MOST_UNKNOWNS],
            most,
        };
        for &(unknown, term) in terms {
            row.terms[unknown] += sign * term;
        }
        self.rows.push(row);
    }

    fn keep(&mut self, bounds: &[Bound]) {
        for bound in bounds {
            self.at_most(bound.s, &[], bound.high);
            self.at_least(bound.s, &[], bound.low);
        }
    }

    fn solve(&self) -> Option<Line> {
        let found = small::minimise(self.cost, self.unknowns, &self.rows)
            .filter(|point| self.kept_by(point))
            .or_else(|| self.simplex())?;
        let line = Line {
            lower: found[LOWER],
            upper: found[UPPER],
        };
        (line.lower.is_finite() && line.upper.is_finite()).then_some(line)
    }

    fn kept_by(&self, point: &[f64; MOST_UNKNOWNS]) -> bool {
        self.rows.iter().all(|row| {
            let value: f64 = row.terms.iter().zip(point).map(|(a, b)| a * b).sum();
            value <= row.most + SIMPLEX_MM
        })
    }

    fn simplex(&self) -> Option<[f64; MOST_UNKNOWNS]> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let free = (f64::NEG_INFINITY, f64::INFINITY);
        let variables: Vec<_> = self.cost[..self.unknowns]
            .iter()
            .map(|&weight| problem.add_var(weight, free))
            .collect();
        for row in &self.rows {
            let terms: Vec<_> = variables.iter().copied().zip(row.terms).collect();
            problem.add_constraint(terms, ComparisonOp::Le, row.most);
        }
        let solution = problem.solve().ok()?.into_solution().ok()?;
        let mut point = [0.0; MOST_UNKNOWNS];
        for (value, &variable) in point.iter_mut().zip(&variables) {
            *value = solution.var_value(variable);
        }
        Some(point)
    }
}

/// The line inside the bounds that moves least from a wanted one: the greater of its two end
/// movements is least, and among those it is nearest to parallel. `None` where no line is inside.
#[must_use]
pub fn nearest(bounds: &[Bound], wanted: Line) -> Option<Line> {
    if wanted.worst_breach(bounds) <= 0.0 {
        return Some(wanted);
    }
    let movement = |line: &Line| {
        (line.lower - wanted.lower)
            .abs()
            .max((line.upper - wanted.upper).abs())
    };
    let mut lines = Lines::new();
    lines.keep(bounds);
    let most = lines.cost(1.0);
    keep_within(&mut lines, wanted, Some(most), 0.0);
    let first = lines
        .solve()
        .filter(|line| line.worst_breach(bounds) <= SIMPLEX_MM)?;

    let mut lines = Lines::new();
    lines.keep(bounds);
    keep_within(&mut lines, wanted, None, movement(&first) + SIMPLEX_MM);
    let turn = lines.cost(1.0);
    let parallel = wanted.upper - wanted.lower;
    let turned = |sign: f64| [(UPPER, 1.0), (LOWER, -1.0), (turn, sign)];
    lines.row(turned(-1.0).iter(), 1.0, parallel);
    lines.row(turned(1.0).iter(), -1.0, -parallel);
    let second = lines
        .solve()
        .filter(|line| line.worst_breach(bounds) <= SIMPLEX_MM);
    Some(second.unwrap_or(first))
}

fn keep_within(lines: &mut Lines, wanted: Line, most: Option<Unknown>, fixed: f64) {
    let terms = |sign: f64| {
        most.map(|variable| (variable, sign))
            .into_iter()
            .collect::<Vec<_>>()
    };
    for (s, value) in [(0.0, wanted.lower), (1.0, wanted.upper)] {
        lines.at_most(s, &terms(-1.0), value + fixed);
        lines.at_least(s, &terms(1.0), value - fixed);
    }
}

/// The line with the greatest margin inside the bounds, and that margin; negative where no line is
/// inside, and then the least by which every bound would have to give. Among equals, the nearest
/// to a wanted line.
#[must_use]
pub fn greatest_margin(bounds: &[Bound], wanted: Line) -> Option<(Line, f64)> {
    let mut lines = Lines::new();
    // Bounds on one side only could be left without end.
    let slack = lines.cost(1.0);
    lines.row([(slack, 1.0)].iter(), 1.0, MARGIN_MOST);
    lines.row([(slack, 1.0)].iter(), -1.0, MARGIN_MOST);
    for bound in bounds {
        lines.at_most(bound.s, &[(slack, -1.0)], bound.high);
        lines.at_least(bound.s, &[(slack, 1.0)], bound.low);
    }
    let first = lines.solve()?;
    let margin = -first.worst_breach(bounds);
    let shrunk: Vec<Bound> = bounds
        .iter()
        .map(|bound| Bound {
            low: bound.low + margin - SIMPLEX_MM,
            high: bound.high - margin + SIMPLEX_MM,
            ..*bound
        })
        .collect();
    let line = nearest(&shrunk, wanted).unwrap_or(first);
    Some((line, -line.worst_breach(bounds)))
}

/// No margin is greater than a storey.
const MARGIN_MOST: f64 = 1e4;

/// The line whose greatest departure from given values is least, inside bounds; returns the line
/// and that departure. With `shift_free` the values need only be met up to a common shift: then half
/// the range of the departures is least. Among equals, the line nearest to `wanted`.
#[must_use]
pub fn evenest(
    values: &[(f64, f64)],
    shift_free: bool,
    bounds: &[Bound],
    wanted: Line,
) -> Option<(Line, f64)> {
    if values.len() < 2 {
        // One value is met by every line through it, and two at least make a slope.
        let aim = values.first().filter(|_| !shift_free);
        let through = aim.map_or(wanted, |&(s, value)| wanted.raised(value - wanted.at(s)));
        let line = nearest(bounds, through)?;
        return Some((line, worst_departure(values, shift_free, &line)));
    }
    let mut lines = Lines::new();
    lines.keep(bounds);
    let worst = lines.cost(1.0);
    let shift = shift_free.then(|| lines.cost(0.0));
    for &(s, value) in values {
        let shifted = |sign: f64| {
            let mut terms = vec![(worst, sign)];
            terms.extend(shift.map(|variable| (variable, 1.0)));
            terms
        };
        lines.at_most(s, &shifted(-1.0), value);
        lines.at_least(s, &shifted(1.0), value);
    }
    let first = lines
        .solve()
        .filter(|line| line.worst_breach(bounds) <= SIMPLEX_MM)?;
    let departure = |line: &Line| worst_departure(values, shift_free, line);
    let least = departure(&first);
    let line = if shift_free {
        settle(&first, bounds, wanted)
    } else {
        // Hold the departure and come nearest to the wanted line.
        let held = values.iter().map(|&(s, value)| Bound {
            s,
            low: value - least - SIMPLEX_MM,
            high: value + least + SIMPLEX_MM,
        });
        let all: Vec<Bound> = bounds.iter().copied().chain(held).collect();
        nearest(&all, wanted).unwrap_or(first)
    };
    Some((line, departure(&line)))
}

/// The line shifted without turning, inside bounds, so that its middle comes nearest to the wanted
/// line's.
fn settle(line: &Line, bounds: &[Bound], wanted: Line) -> Line {
    let mut low = f64::NEG_INFINITY;
    let mut high = f64::INFINITY;
    for bound in bounds {
        low = low.max(bound.low - line.at(bound.s));
        high = high.min(bound.high - line.at(bound.s));
    }
    let asked = wanted.at(0.5) - line.at(0.5);
    let shift = asked.min(high).max(low);
    line.raised(shift)
}

/// The greatest departure of a line from values, or half their range where a shift is free.
#[must_use]
pub fn worst_departure(values: &[(f64, f64)], shift_free: bool, line: &Line) -> f64 {
    let departures = values.iter().map(|&(s, value)| line.at(s) - value);
    let (low, high) = departures.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| {
        (low.min(d), high.max(d))
    });
    if values.is_empty() {
        0.0
    } else if shift_free {
        (high - low) / 2.0
    } else {
        high.max(-low)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn bound(s: f64, low: f64, high: f64) -> Bound {
        Bound { s, low, high }
    }

    #[test]
    fn a_wanted_line_inside_is_kept() {
        let wanted = Line {
            lower: 1.0,
            upper: 2.0,
        };
        assert_eq!(
            nearest(&[bound(0.0, 0.0, 3.0), bound(1.0, 0.0, 3.0)], wanted),
            Some(wanted)
        );
    }

    #[test]
    fn a_line_under_the_window_moves_least_and_stays_parallel() {
        let wanted = Line {
            lower: 0.0,
            upper: 10.0,
        };
        let line = nearest(&[bound(0.5, 6.0, 9.0)], wanted).unwrap();
        assert_relative_eq!(line.lower, 1.0, epsilon = 1e-4);
        assert_relative_eq!(line.upper, 11.0, epsilon = 1e-4);
    }

    #[test]
    fn no_line_passes_a_low_step_between_two_high_ones() {
        let bounds = [
            bound(0.0, 5.0, 6.0),
            bound(0.5, 0.0, 1.0),
            bound(1.0, 5.0, 6.0),
        ];
        let wanted = Line {
            lower: 5.0,
            upper: 5.0,
        };
        assert_eq!(nearest(&bounds, wanted), None);
        let (_, margin) = greatest_margin(&bounds, wanted).unwrap();
        assert_relative_eq!(margin, -2.0, epsilon = 1e-4);
    }

    #[test]
    fn the_evenest_line_splits_the_departures() {
        let values = [(0.0, 0.0), (0.5, 1.0), (1.0, 0.0)];
        let level = Line {
            lower: 0.0,
            upper: 0.0,
        };
        let (line, worst) = evenest(&values, false, &[], level).unwrap();
        assert_relative_eq!(worst, 0.5, epsilon = 1e-4);
        assert_relative_eq!(line.at(0.5), 0.5, epsilon = 1e-4);
        let (line, worst) = evenest(&values, true, &[], level).unwrap();
        assert_relative_eq!(worst, 0.5, epsilon = 1e-4);
        assert_relative_eq!(line.at(0.5), 0.0, epsilon = 1e-4);
    }
}
