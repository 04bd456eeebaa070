//! The linear programmes of bedding: boards laid on points, with steps between them.
//!
//! A board is a plane over the points that it can bear on; between its face and each point there is
//! filling, or the point is relieved. The differences between neighbouring boards (rises, or goings)
//! keep limits. Three programmes, one after the other, each holding what the former reached: the
//! least cost, which is the filling with relieving and tilting dearer; the least tilts; the evenest
//! steps. Where nothing keeps the
//! limits, the least by which one of them would have to give is a programme of its own. The simplex
//! is microlp's; its answers are checked here against every limit. mm; unit-free in truth.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

use Limit::{Least, Most, Neighbours, Range, Relieve, Tilt};

/// How far an answer of the simplex may break a limit, mm.
pub(super) const SIMPLEX_MM: f64 = 1e-5;
/// What a later programme may give up of what a former one reached, as a share (and mm).
const HELD: f64 = 1e-7;

/// A point that a board can bear on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Across the flight: -1 at the wall end of the boards, 1 at the open end.
    pub across: f64,
    /// From front to back: -1 at the front of a board's bearing, 1 at its back.
    pub along: f64,
    /// Where the board's face is, measured upwards, when it bears here with nothing between.
    pub at: f64,
    /// The share of this point in the filling.
    pub weight: f64,
}

/// A board: a tread, or a kick.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// The points under it.
    pub points: Vec<Point>,
    /// Half its bearing from front to back where it may fall that way; else it may not.
    pub half_depth: Option<f64>,
    /// Where its stepping edge lies, from front to back as for a point.
    pub edge: f64,
}

/// Limits on the steps, each at both ends of the boards; `None` where there is none.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StepLimits {
    /// The greatest step less the least.
    pub range: Option<f64>,
    /// A step less its neighbour.
    pub neighbours: Option<f64>,
    /// A step at most.
    pub most: Option<f64>,
    /// A step at least.
    pub least: Option<f64>,
    /// Climb of a board in any direction, no unit.
    pub tilt: Option<f64>,
}

/// All boards of a flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Boards {
    /// The boards, from the bottom.
    pub boards: Vec<Board>,
    /// Half their length across the flight.
    pub half_width: f64,
    /// What the first board steps up from, at the wall end and at the open end.
    pub below: Option<[f64; 2]>,
    /// What is stepped up to from the last one.
    pub above: Option<[f64; 2]>,
    /// The limits on the steps.
    pub limits: StepLimits,
    /// No point is relieved by more.
    pub relieve_most: f64,
    /// So many times as dear as filling.
    pub relieve_cost: f64,
    /// What a board costs that is out of level by so much from end to end, or from front to back, as
    /// against filling as much.
    pub level_cost: f64,
}

/// A board as laid: its face is `level + tilt * across - fall * along`, mm; `across` runs from -1 at
/// the wall end to 1 at the open end, `along` likewise.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Laid {
    /// At its middle.
    pub level: f64,
    /// How much its open end stands above its middle.
    pub tilt: f64,
    /// How much its front stands above its middle.
    pub fall: f64,
}

impl Laid {
    /// The face at a place, mm.
    #[must_use]
    pub fn at(&self, across: f64, along: f64) -> f64 {
        self.level + self.tilt * across - self.fall * along
    }

    /// What is between its face and a point, mm; negative where the point is relieved.
    #[must_use]
    pub fn gap(&self, point: &Point) -> f64 {
        self.at(point.across, point.along) - point.at
    }
}

/// A kind of limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The greatest step less the least.
    Range,
    /// A step less its neighbour.
    Neighbours,
    /// The greatest step.
    Most,
    /// The least step.
    Least,
    /// The climb of a board.
    Tilt,
    /// How much a point is relieved.
    Relieve,
}

impl Limit {
    const ALL: [Self; 6] = [Range, Neighbours, Most, Least, Tilt, Relieve];
}

/// A variable of a programme, or a sum of them, and a number.
#[derive(Clone, Debug, Default)]
struct Sum {
    terms: Vec<(Variable, f64)>,
    constant: f64,
}

impl Sum {
    fn plus(mut self, factor: f64, other: &Self) -> Self {
        let scaled = other.terms.iter().map(|&(v, f)| (v, f * factor));
        for (variable, by) in scaled {
            match self.terms.iter_mut().find(|term| term.0 == variable) {
                Some(term) => term.1 += by,
                None => self.terms.push((variable, by)),
            }
        }
        self.constant += factor * other.constant;
        self
    }
}

/// What a programme asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Goal {
    Cost,
    /// The cost held at so much.
    Tilts(f64),
    /// Cost and tilts held.
    Even(f64, f64),
    /// The limit gives least.
    Give(Option<Limit>),
}

struct Build<'a> {
    of: &'a Boards,
    problem: Problem,
    goal: Goal,
    laid: Vec<[Option<Variable>; 3]>,
    bases: Vec<f64>,
    give: Option<Variable>,
}

const FREE: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);
const UP: (f64, f64) = (0.0, f64::INFINITY);

impl<'a> Build<'a> {
    fn new(of: &'a Boards, goal: Goal) -> Self {
        let mut build = Self {
            of,
            problem: Problem::new(OptimizationDirection::Minimize),
            goal,
            laid: Vec::new(),
            bases: Vec::new(),
            give: None,
        };
        if matches!(goal, Goal::Give(_)) {
            build.give = Some(build.problem.add_var(1.0, UP));
        }
        for board in &of.boards {
            let mut one = |there: bool| there.then(|| build.problem.add_var(0.0, FREE));
            let laid = [one(true), one(true), one(board.half_depth.is_some())];
            build.laid.push(laid);
            // Numbers near zero are the simplex's best.
            let count = board.points.len().max(1) as f64;
            let sum: f64 = board.points.iter().map(|point| point.at).sum();
            build.bases.push(sum / count);
        }
        let filling = build.bear();
        let tilts = build.tilt();
        build.step();
        if let Goal::Tilts(most) | Goal::Even(most, _) = goal {
            let cost = filling.plus(2.0 * of.level_cost, &tilts);
            build.add(&cost, ComparisonOp::Le, most);
        }
        if let Goal::Even(_, most) = goal {
            build.add(&tilts, ComparisonOp::Le, most);
        }
        build
    }

    fn add(&mut self, sum: &Sum, is: ComparisonOp, than: f64) {
        let row = sum.terms.clone();
        self.problem.add_constraint(row, is, than - sum.constant);
    }

    fn variable(&mut self, cost: f64, bounds: (f64, f64)) -> Sum {
        Sum {
            terms: vec![(self.problem.add_var(cost, bounds), 1.0)],
            constant: 0.0,
        }
    }

    /// How much a limit gives, in mm.
    fn gives(&self, limit: Limit) -> Sum {
        let gives = match self.goal {
            Goal::Give(None) => true,
            Goal::Give(Some(one)) => one == limit,
            _ => false,
        };
        Sum {
            terms: self
                .give
                .filter(|_| gives)
                .map(|v| (v, 1.0))
                .into_iter()
                .collect(),
            constant: 0.0,
        }
    }

    fn face(&self, board: usize, across: f64, along: f64) -> Sum {
        let [level, tilt, fall] = self.laid[board];
        let terms = [(level, 1.0), (tilt, across), (fall, -along)];
        Sum {
            terms: terms
                .into_iter()
                .filter_map(|(v, f)| Some((v?, f)))
                .collect(),
            constant: self.bases[board],
        }
    }

    /// Filling and relieving under every board; their cost.
    fn bear(&mut self) -> Sum {
        let of = self.of;
        let mut filling = Sum::default();
        for (number, board) in of.boards.iter().enumerate() {
            for point in &board.points {
                let cost = if self.goal == Goal::Cost {
                    point.weight
                } else {
                    0.0
                };
                let fill = self.variable(cost, UP);
                let relieve = self.variable(cost * of.relieve_cost, UP);
                let gap = self
                    .face(number, point.across, point.along)
                    .plus(-1.0, &fill)
                    .plus(1.0, &relieve);
                self.add(&gap, ComparisonOp::Eq, point.at);
                let most = relieve.clone().plus(-1.0, &self.gives(Relieve));
                self.add(&most, ComparisonOp::Le, of.relieve_most);
                filling = filling
                    .plus(point.weight, &fill)
                    .plus(point.weight * of.relieve_cost, &relieve);
            }
        }
        filling
    }

    /// The steps at one end of the boards, from the bottom.
    fn steps(&self, end: usize) -> Vec<Sum> {
        let across = [-1.0, 1.0][end];
        let fixed = |at: Option<[f64; 2]>| {
            at.map(|at| Sum {
                terms: Vec::new(),
                constant: at[end],
            })
        };
        let boards = self.of.boards.iter().enumerate();
        let edges: Vec<Sum> = fixed(self.of.below)
            .into_iter()
            .chain(boards.map(|(number, board)| self.face(number, across, board.edge)))
            .chain(fixed(self.of.above))
            .collect();
        let step = |pair: &[Sum]| pair[1].clone().plus(-1.0, &pair[0]);
        edges.windows(2).map(step).collect()
    }

    fn step(&mut self) {
        let limits = self.of.limits;
        for end in [0, 1] {
            let steps = self.steps(end);
            if steps.is_empty() {
                continue;
            }
            let count = steps.len() as f64;
            let mean = steps.iter().map(|step| step.constant).sum::<f64>() / count;
            if let Some(range) = limits.range {
                // The least step, off the mean.
                let least = self.variable(0.0, FREE);
                for step in &steps {
                    let above = step.clone().plus(-1.0, &least);
                    self.add(&above, ComparisonOp::Ge, mean);
                    let above = above.plus(-1.0, &self.gives(Range));
                    self.add(&above, ComparisonOp::Le, mean + range);
                }
            }
            for (limit, sign) in [(limits.most, 1.0), (limits.least, -1.0)] {
                let Some(limit) = limit else { continue };
                let kind = if sign > 0.0 { Most } else { Least };
                for step in &steps {
                    let sum = Sum::default()
                        .plus(sign, step)
                        .plus(-1.0, &self.gives(kind));
                    self.add(&sum, ComparisonOp::Le, sign * limit);
                }
            }
            if let Some(limit) = limits.neighbours {
                for pair in steps.windows(2) {
                    for sign in [1.0, -1.0] {
                        let apart = Sum::default().plus(sign, &pair[1]).plus(-sign, &pair[0]);
                        let apart = apart.plus(-1.0, &self.gives(Neighbours));
                        self.add(&apart, ComparisonOp::Le, limit);
                    }
                }
            }
            if let Goal::Even(..) = self.goal {
                let even = even(self.of, end).unwrap_or(mean);
                for step in &steps {
                    let off = self.variable(1.0, UP);
                    let over = step.clone().plus(-1.0, &off);
                    self.add(&over, ComparisonOp::Le, even);
                    let under = step.clone().plus(1.0, &off);
                    self.add(&under, ComparisonOp::Ge, even);
                }
            }
        }
    }

    /// Tilts of every board; their sizes added up.
    fn tilt(&mut self) -> Sum {
        let mut tilts = Sum::default();
        for (number, board) in self.of.boards.iter().enumerate() {
            let [_, tilt, fall] = self.laid[number];
            let one = |variable: Option<Variable>| Sum {
                terms: variable.map(|v| (v, 1.0)).into_iter().collect(),
                constant: 0.0,
            };
            let (tilt, fall) = (one(tilt), one(fall));
            if let Some(most) = self.of.limits.tilt {
                self.climb(&tilt, &fall, board.half_depth, most);
            }
            let cost = match self.goal {
                Goal::Cost => 2.0 * self.of.level_cost,
                Goal::Tilts(_) => 1.0,
                Goal::Even(..) | Goal::Give(_) => 0.0,
            };
            for slope in [tilt, fall].iter().filter(|slope| !slope.terms.is_empty()) {
                let size = self.variable(cost, UP);
                for sign in [1.0, -1.0] {
                    let off = size.clone().plus(sign, slope);
                    self.add(&off, ComparisonOp::Ge, 0.0);
                }
                tilts = tilts.plus(1.0, &size);
            }
        }
        tilts
    }

    /// The climb in any direction is at most so much: eight straight limits inside the circle, so
    /// that a climb straight across or straight up the flight may take all of it.
    fn climb(&mut self, tilt: &Sum, fall: &Sum, half_depth: Option<f64>, most: f64) {
        let (wide, give) = (self.of.half_width, self.gives(Tilt));
        for (a, b, c) in octagon() {
            let deep = half_depth.map_or(0.0, |deep| wide / deep);
            let climb = Sum::default()
                .plus(a, tilt)
                .plus(b * deep, fall)
                .plus(-c, &give);
            if climb.terms.is_empty() {
                continue;
            }
            self.add(&climb, ComparisonOp::Le, most * wide * c);
        }
    }

    fn solve(&self) -> Option<(Vec<Laid>, f64)> {
        let solution = self.problem.solve().ok()?.into_solution().ok()?;
        let value = |variable: Option<Variable>| variable.map_or(0.0, |v| solution.var_value(v));
        let laid = |(ids, base): (&[Option<Variable>; 3], &f64)| Laid {
            level: base + value(ids[0]),
            tilt: value(ids[1]),
            fall: value(ids[2]),
        };
        let all: Vec<Laid> = self.laid.iter().zip(&self.bases).map(laid).collect();
        let finite = |one: &Laid| (one.level + one.tilt + one.fall).is_finite();
        all.iter().all(finite).then(|| (all, value(self.give)))
    }
}

/// Normals of the eight sides of an octagon with corners on the axes, and their distance from the
/// middle, of a circle of 1.
fn octagon() -> impl Iterator<Item = (f64, f64, f64)> {
    let eighth = std::f64::consts::FRAC_PI_8;
    (0..8_u8).map(move |side| {
        let angle = eighth * (2.0 * f64::from(side) + 1.0);
        (angle.cos(), angle.sin(), eighth.cos())
    })
}

/// How far boards are out of level, from middle to end and from middle to front, added up.
fn tilts(laid: &[Laid]) -> f64 {
    laid.iter().map(|one| one.tilt.abs() + one.fall.abs()).sum()
}

/// The even step from floor to floor, where both floors are there.
fn even(of: &Boards, end: usize) -> Option<f64> {
    let (below, above) = (of.below?, of.above?);
    Some((above[end] - below[end]) / (of.boards.len() as f64 + 1.0))
}

impl Boards {
    /// The steps of laid boards at the wall end (0) or the open end (1), from the bottom, mm.
    #[must_use]
    pub fn steps(&self, laid: &[Laid], end: usize) -> Vec<f64> {
        let across = [-1.0, 1.0][end];
        let boards = self.boards.iter().zip(laid);
        let edges: Vec<f64> = (self.below.map(|at| at[end]).into_iter())
            .chain(boards.map(|(board, laid)| laid.at(across, board.edge)))
            .chain(self.above.map(|at| at[end]))
            .collect();
        edges.windows(2).map(|pair| pair[1] - pair[0]).collect()
    }

    /// Filling, and relieving without its dearness, mm times the points' weights.
    #[must_use]
    pub fn filling(&self, laid: &[Laid]) -> (f64, f64) {
        let (mut fill, mut relieve) = (0.0, 0.0);
        for (board, laid) in self.boards.iter().zip(laid) {
            for point in &board.points {
                let gap = laid.gap(point);
                fill += point.weight * gap.max(0.0);
                relieve += point.weight * (-gap).max(0.0);
            }
        }
        (fill, relieve)
    }

    /// What laid boards cost: the filling, with relieving and tilting at their prices; mm times the
    /// points' weights.
    #[must_use]
    pub fn cost(&self, laid: &[Laid]) -> f64 {
        let (fill, relieve) = self.filling(laid);
        fill + self.relieve_cost * relieve + 2.0 * self.level_cost * tilts(laid)
    }

    /// How far each thing that a limit holds goes past it, mm: the number of the step or board (from
    /// 0 at the bottom) with it.
    #[must_use]
    pub fn breaches(&self, laid: &[Laid], limit: Limit) -> Vec<(usize, f64)> {
        let limits = &self.limits;
        let mut found = Vec::new();
        for end in [0, 1] {
            let steps = self.steps(laid, end);
            let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
            let most = steps.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for (number, step) in steps.iter().enumerate() {
                let past = match limit {
                    Range => limits
                        .range
                        .map(|range| (step - least).max(most - step) - range),
                    Most => limits.most.map(|most| step - most),
                    Least => limits.least.map(|least| least - step),
                    Neighbours => limits.neighbours.and_then(|limit| {
                        let before = steps.get(number.checked_sub(1)?)?;
                        Some((step - before).abs() - limit)
                    }),
                    Tilt | Relieve => None,
                };
                found.extend(past.map(|past| (number, past)));
            }
        }
        for (number, (board, laid)) in self.boards.iter().zip(laid).enumerate() {
            match limit {
                Tilt => found.extend(limits.tilt.map(|most| {
                    let deep = board.half_depth.map_or(0.0, |deep| self.half_width / deep);
                    let climb = laid.tilt.hypot(laid.fall * deep);
                    (number, climb - most * self.half_width)
                })),
                Relieve => found.extend(
                    (board.points.iter())
                        .map(|point| (number, -laid.gap(point) - self.relieve_most)),
                ),
                _ => {}
            }
        }
        found
    }

    fn keeps(&self, laid: &[Laid]) -> bool {
        Limit::ALL.iter().all(|&limit| {
            let breaches = self.breaches(laid, limit);
            breaches.iter().all(|&(_, past)| past <= SIMPLEX_MM)
        })
    }

    /// The boards laid at the least cost; among equals with least tilt; among those with the
    /// evenest steps. `None` where nothing keeps the limits.
    #[must_use]
    pub fn lay(&self) -> Option<Vec<Laid>> {
        let kept = |goal: Goal| {
            let (laid, _) = Build::new(self, goal).solve()?;
            self.keeps(&laid).then_some(laid)
        };
        let first = kept(Goal::Cost)?;
        let held = |value: f64| value + HELD * (1.0 + value);
        let cost = held(self.cost(&first));
        let Some(second) = kept(Goal::Tilts(cost)) else {
            return Some(first);
        };
        let tilts = held(tilts(&second));
        Some(kept(Goal::Even(cost, tilts)).unwrap_or(second))
    }

    /// The least by which one limit (or, for `None`, every one) has to give so that something keeps
    /// all of them, mm. `None` where no giving of that limit helps.
    #[must_use]
    pub fn least_give(&self, limit: Option<Limit>) -> Option<f64> {
        let (laid, give) = Build::new(self, Goal::Give(limit)).solve()?;
        self.given(limit, give + SIMPLEX_MM)
            .keeps(&laid)
            .then_some(give)
    }

    /// The same with one limit, or every one, wider by so much, mm.
    #[must_use]
    pub fn given(&self, limit: Option<Limit>, by: f64) -> Self {
        let mut given = self.clone();
        let wide = |one: Limit| limit.is_none_or(|limit| limit == one);
        let add = |to: &mut Option<f64>, by: f64| {
            if let Some(value) = to {
                *value += by;
            }
        };
        let limits = &mut given.limits;
        if wide(Range) {
            add(&mut limits.range, by);
        }
        if wide(Neighbours) {
            add(&mut limits.neighbours, by);
        }
        if wide(Most) {
            add(&mut limits.most, by);
        }
        if wide(Least) {
            add(&mut limits.least, -by);
        }
        if wide(Tilt) {
            add(&mut limits.tilt, by / self.half_width);
        }
        if wide(Relieve) {
            given.relieve_most += by;
        }
        given
    }

    /// The limits that are set, in the order in which they are offered.
    pub(super) fn set_limits(&self) -> impl Iterator<Item = Limit> {
        let limits = self.limits;
        Limit::ALL.into_iter().filter(move |limit| match limit {
            Range => limits.range.is_some(),
            Neighbours => limits.neighbours.is_some(),
            Most => limits.most.is_some(),
            Least => limits.least.is_some(),
            Tilt => limits.tilt.is_some(),
            Relieve => true,
        })
    }
}
