//! Screws, bolts and their plugs in newels and rails: wood beside the bore, the far side, what is
//! left of the plug, and bores that run into each other.
//!
//! In: the whole stair, mm in the first run's frame. Out: findings in the same frame.

use nalgebra::{Point3, Vector3};

use crate::job::Fixing;
use crate::measure::{Length, tolerance};
use crate::rules::Sense;
use crate::solids::Part;

use super::bore::{Bore, holds, intervals};
use super::railing::{Limit, PRACTICE, exact};
use super::start::{Start, start};
use super::whole::Stair;
use super::{Finding, Key, Kind, Run, Severity};

/// Least wood beside a bore where the job does not say: two diameters, common practice, no source.
const DIAMETERS: f64 = 2.0;
/// Bores of which one passes the other further off than this are no concern of each other, mm.
const NEAR_MM: f64 = 25.4;
/// A plug's rim is looked at along this many lines: between two the rim is 0.9 % of the radius off.
const LINES: u32 = 24;
/// A step from a mouth that is sure to land in what lies against it.
const STEP_MM: f64 = 0.5;

/// Every fixing of every run, and every two that come near each other.
pub(super) fn findings(stair: &Stair<'_>) -> Vec<Finding> {
    let mut placed = Vec::new();
    for run in stair.runs {
        let fixings = run.solid.job.design.fixings.iter();
        placed.extend(fixings.filter_map(|fixing| Placed::of(stair, run, fixing)));
    }
    let mut found = Vec::new();
    for one in &placed {
        found.push(one.edge());
        found.extend(one.far_side());
        found.extend(one.plug());
    }
    for (at, one) in placed.iter().enumerate() {
        found.extend(placed[at + 1..].iter().filter_map(|other| one.meets(other)));
        found.extend(one.hidden());
    }
    found
}

/// A fixing in its place.
struct Placed<'a> {
    stair: &'a Stair<'a>,
    run: &'a Run<'a>,
    fixing: &'a Fixing,
    part: &'a Part,
    /// Where it starts and goes; from where its face is meant to be, if nothing of the part is
    /// there.
    start: Start,
    bore: Bore,
}

impl<'a> Placed<'a> {
    fn of(stair: &'a Stair<'a>, run: &'a Run<'a>, fixing: &'a Fixing) -> Option<Self> {
        let part = stair.part(stair.place(&fixing.part)?)?;
        let start = start(stair, fixing, part)?;
        let bore = Bore {
            from: start.from,
            way: start.way,
            deep: fixing.deep.mm(),
            radius: fixing.diameter.mm() / 2.0,
        };
        Some(Self {
            stair,
            run,
            fixing,
            part,
            start,
            bore,
        })
    }

    fn print(&self, length: Length) -> String {
        self.stair.tape().print(length)
    }

    fn told(
        &self,
        (kind, parts): (Kind, Vec<String>),
        value: Length,
        limit: Limit<'_>,
        at: Point3<f64>,
        says: String,
    ) -> Finding {
        let key = Key { kind, parts };
        let mut found = exact(key, value, limit, Severity::Fix, at, says);
        found.run = self.run.solid.number;
        found
    }

    fn parts(&self) -> Vec<String> {
        vec![self.part.name.clone(), self.fixing.name.clone()]
    }

    /// The least wood beside the bore. Where nothing of the part is at its mouth, what is missing.
    fn edge(&self) -> Finding {
        let (fixing, part) = (self.fixing, &self.part.name);
        let (wood, at) = self
            .bore
            .wood_beside(self.part)
            .unwrap_or((-self.bore.radius, self.bore.from));
        let wood = if self.start.in_part {
            wood
        } else {
            // Its line passes the part by.
            -(wood.abs() + 2.0 * self.bore.radius)
        };
        let (asked, source) = match &fixing.edge {
            Some(edge) => (edge.value, "the job's edge distance"),
            None => (fixing.diameter.value * DIAMETERS, PRACTICE),
        };
        let (wood, name) = (Length::mm(wood), &fixing.name);
        let says = if self.start.in_part && wood >= Length::ZERO {
            format!(
                "{name} keeps {} of wood to the edge of {part}; at least {} is asked",
                self.print(wood),
                self.print(asked)
            )
        } else if self.start.in_part {
            format!("{name} comes out through the side of {part}")
        } else {
            format!("{name} misses {part}: nothing of it is where the bore is to start")
        };
        let limit = Limit {
            limit: asked,
            sense: Sense::AtLeast,
            source,
        };
        self.told((Kind::BoreEdge, self.parts()), wood, limit, at, says)
    }

    /// A bore that comes out of the far side of its part, and not into what stands there.
    fn far_side(&self) -> Option<Finding> {
        if !self.start.in_part {
            return None;
        }
        let inside = intervals(self.part, &self.bore.from, &self.bore.way);
        let (_, end) = inside
            .into_iter()
            .find(|(begin, end)| *begin < STEP_MM && *end > 0.0)?;
        let left = end - self.bore.deep;
        let out = self.bore.from + self.bore.way * (end + STEP_MM);
        let on = left < 0.0 && self.others().any(|part| holds(part, &out));
        if on {
            return None;
        }
        let (value, name) = (Length::mm(left), &self.fixing.name);
        let part = &self.part.name;
        let says = if left < 0.0 {
            format!(
                "{name} comes {} out on the far side of {part}, where nothing stands",
                self.print(value.abs())
            )
        } else {
            format!(
                "{name} stops {} short of the far side of {part}",
                self.print(value)
            )
        };
        let mut parts = self.parts();
        parts.push("far side".to_owned());
        let limit = Limit {
            limit: Length::ZERO,
            sense: Sense::AtLeast,
            source: PRACTICE,
        };
        let at = self.bore.from + self.bore.way * end;
        Some(self.told((Kind::BoreEdge, parts), value, limit, at, says))
    }

    fn others(&self) -> impl Iterator<Item = &'a Part> {
        let own = self.part;
        let parts = self.stair.solids.parts.iter();
        parts.filter(move |part| !std::ptr::eq(*part, own))
    }

    /// What is left of a plug's depth all round it.
    fn plug(&self) -> Option<Finding> {
        let plug = self.fixing.plug.as_ref()?;
        let (depth, name) = (plug.depth.value, &self.fixing.name);
        let mouth = self.bore.from - self.bore.way * STEP_MM;
        let behind = self.others().find(|part| holds(part, &mouth));
        let left = match behind {
            Some(_) => Length::ZERO,
            None => Length::mm(self.cover(plug.diameter.mm() / 2.0, depth.as_mm())),
        };
        let part = &self.part.name;
        let says = match behind {
            Some(other) => format!(
                "the plug of {name} in {part} lies behind {}, where it cannot be set",
                other.name
            ),
            None => format!(
                "the plug of {name} in {part} keeps {} of its {} all round",
                self.print(left),
                self.print(depth)
            ),
        };
        let limit = Limit {
            limit: depth,
            sense: Sense::AtLeast,
            source: "the job's plug",
        };
        Some(self.told(
            (Kind::PlugCover, self.parts()),
            left,
            limit,
            self.bore.from,
            says,
        ))
    }

    /// The least depth of wood along the rim and the middle of a plug, from the plane of its face.
    fn cover(&self, radius: f64, depth: f64) -> f64 {
        let way = self.bore.way;
        let across = way
            .cross(&any_square_to(&way))
            .try_normalize(f64::MIN_POSITIVE)
            .unwrap_or_else(Vector3::z);
        let other = way.cross(&across);
        let rim = (0..LINES).map(|line| {
            let turn = std::f64::consts::TAU * f64::from(line) / f64::from(LINES);
            (across * turn.cos() + other * turn.sin()) * radius
        });
        rim.chain([Vector3::zeros()])
            .map(|off| {
                let point = self.bore.from + off;
                // A face that is not square to the bore begins elsewhere on the rim.
                let begins = self.start.face_along(&point);
                let wood = intervals(self.part, &point, &way).into_iter();
                wood.map(|(from, to)| (to.min(begins + depth) - from.max(begins)).max(0.0))
                    .sum::<f64>()
            })
            .fold(f64::INFINITY, f64::min)
            .min(depth)
    }

    /// Two bores near each other.
    fn meets(&self, other: &Self) -> Option<Finding> {
        let (clear, at) = self.bore.between(&other.bore);
        (clear < NEAR_MM).then(|| {
            let limit = Limit {
                limit: Length::ZERO,
                sense: Sense::AtLeast,
                source: "two bores cannot be in one place",
            };
            let (a, b) = (&self.fixing.name, &other.fixing.name);
            let value = Length::mm(clear);
            let says = between_words(&self.print(value.abs()), clear, a, b);
            let mut parts = self.parts();
            parts.push(b.clone());
            self.told((Kind::BoreEdge, parts), value, limit, at, says)
        })
    }

    /// Hidden screws and bolts in the treads near the bore, which go plumb through their tread.
    fn hidden(&self) -> Vec<Finding> {
        let site = self.run.solid.site;
        let fasteners = self.run.solid.job.fasteners.iter();
        fasteners
            .filter_map(|one| {
                let step = site.step(one.step)?;
                let (x, q) = (step.kick_x + one.from.mm(), -one.inset.mm());
                let top = self.run.frame.to_first(&site.at(x, q, step.top(x, q)));
                let hidden = Bore {
                    from: top,
                    way: -Vector3::z(),
                    deep: step.thickness,
                    radius: one.diameter.mm() / 2.0,
                };
                let (clear, at) = self.bore.between(&hidden);
                (clear < NEAR_MM).then(|| {
                    let limit = Limit {
                        limit: Length::ZERO,
                        sense: Sense::AtLeast,
                        source: "two bores cannot be in one place",
                    };
                    let value = Length::mm(clear);
                    let name = &self.fixing.name;
                    let says = between_words(&self.print(value.abs()), clear, name, &one.name);
                    let mut parts = self.parts();
                    parts.push(one.name.clone());
                    self.told((Kind::BoreEdge, parts), value, limit, at, says)
                })
            })
            .collect()
    }
}

fn between_words(printed: &str, clear: f64, a: &str, b: &str) -> String {
    if clear < -tolerance::SAME_POINT_MM {
        format!("{a} runs {printed} into {b}")
    } else {
        format!("{a} passes {b} by {printed}")
    }
}

/// Some vector that is not along this one.
fn any_square_to(way: &Vector3<f64>) -> Vector3<f64> {
    if way.z.abs() < 0.9 {
        Vector3::z()
    } else {
        Vector3::x()
    }
}
