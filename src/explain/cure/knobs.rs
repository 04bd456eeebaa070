//! Lengths of the design that can be moved along the tape: newels and rails here, what fills the
//! way between them in [`super::knobs_infill`].

use std::sync::Arc;

use crate::chain::{Chain, RunChain};
use crate::inspect::Finding;
use crate::job::limits::{
    BLOCKING, BOTTOM_RAIL_ABOVE, Bounds, CLEARANCE, ELEVATION, HEAD_BLOCK, MOVE, NEWEL_HEIGHT,
    PLAN, RAIL_HEIGHT, ROSETTE, RUN_ON,
};
use crate::job::{Job, Len, OneRun, RailEnd, Stands};
use crate::measure::Length;

use super::candidate::{Candidate, Change, quoted, read, typed};
use super::knobs_infill;

/// Puts a length in its place in a job; nothing where the job has no such place.
pub(super) type Putter = Box<dyn Fn(&mut Job, Len) -> Option<()> + Send + Sync>;
/// What to do, for a length by which it is done and whether it is more or less.
pub(super) type Says = Box<dyn Fn(&str, bool) -> String + Send + Sync>;

/// A length as it was put in its place.
pub(super) struct Put {
    pub(super) what: String,
    pub(super) is: Length,
    /// Its field in the run by itself, and the text there.
    pub(super) field: String,
    pub(super) text: String,
}

/// A length of a run's design that can be moved.
pub(super) struct Knob {
    pub(super) run: usize,
    pub(super) of: Arc<OneRun>,
    /// Its field in the run by itself.
    pub(super) field: String,
    pub(super) now: Length,
    pub(super) bounds: Bounds,
    pub(super) opens_wall: bool,
    pub(super) putter: Putter,
    pub(super) says: Says,
}

impl Knob {
    /// A mark of the tape that it moves along.
    pub(super) fn mark(&self) -> Length {
        self.of.job.tape.mark()
    }

    /// The run with it moved by so many marks; `None` past what a job may hold.
    pub(super) fn moved(&self, marks: i32) -> Option<Candidate> {
        let mut job = self.of.job.clone();
        let Put {
            what, field, text, ..
        } = self.put_in(&mut job, marks)?;
        Some(Candidate {
            what,
            edits: vec![(field, text)],
            change: Change { run: self.run, job },
            opens_wall: self.opens_wall,
        })
    }

    /// Moves it by so many marks in a job of its run, of which other fields may be changed already;
    /// `None` past what a job may hold.
    pub(super) fn put_in(&self, changed: &mut Job, marks: i32) -> Option<Put> {
        let text = typed(&self.of.job, self.now + self.mark() * f64::from(marks));
        self.put_text(changed, &text)
    }

    /// Puts it to what a text says, likewise.
    pub(super) fn put_text(&self, changed: &mut Job, text: &str) -> Option<Put> {
        let job = &self.of.job;
        let value = read(job, text)?;
        let is = value.value;
        let by = is - self.now;
        if !self.bounds.hold(is) {
            return None;
        }
        (self.putter)(changed, value)?;
        Some(Put {
            what: (self.says)(&job.tape.print(by.abs()), by > Length::ZERO),
            is,
            field: self.field.clone(),
            text: quoted(text),
        })
    }
}

/// A run with its number, to make knobs of.
pub(super) struct Maker<'a> {
    run: usize,
    of: &'a Arc<OneRun>,
}

impl Maker<'_> {
    pub(super) fn job(&self) -> &Job {
        &self.of.job
    }

    pub(super) fn knob(
        &self,
        (field, now, bounds): (impl Into<String>, Length, Bounds),
        says: impl Fn(&str, bool) -> String + Send + Sync + 'static,
        put: impl Fn(&mut Job, Len) -> Option<()> + Send + Sync + 'static,
    ) -> Knob {
        Knob {
            run: self.run,
            of: self.of.clone(),
            field: field.into(),
            now,
            bounds,
            opens_wall: false,
            putter: Box::new(put),
            says: Box::new(says),
        }
    }
}

/// The word that fits.
pub(super) fn way(more: bool, up: &'static str, down: &'static str) -> &'static str {
    if more { up } else { down }
}

/// The lengths to try for a trouble: of its run, and of the runs that own newels it names.
pub(super) fn of(chain: &Chain, trouble: &Finding) -> Vec<Knob> {
    let named = |run: &OneRun| {
        let newels = &run.job.design.newels;
        newels
            .iter()
            .any(|newel| trouble.key.parts.contains(&newel.name))
    };
    let runs = chain.runs.iter().enumerate();
    let near = runs.filter(|(number, run)| *number == trouble.run || named(&run.run));
    near.flat_map(|(run, one)| of_run(run, one)).collect()
}

/// The lengths of one run.
pub(super) fn of_run(run: usize, one: &RunChain) -> Vec<Knob> {
    let maker = Maker { run, of: &one.run };
    let mut all = newels(&maker);
    all.extend(rail(&maker));
    all.extend(wall_rail(&maker));
    all.extend(knobs_infill::of(&maker, one));
    all
}

/// Where newels that stand at a point stand across the flight. The gaps do not hang on it, so no cure
/// is looked for there; a hand may move them all the same.
pub(super) fn across(run: usize, one: &RunChain) -> Vec<Knob> {
    let maker = Maker { run, of: &one.run };
    let newels = maker.job().design.newels.iter().enumerate();
    let placed = newels.filter_map(|(at, newel)| match &newel.stands {
        Stands::At { y, .. } => Some((at, newel.name.clone(), y.value)),
        Stands::Displaces { .. } => None,
    });
    let knobs = placed.map(|(at, name, now)| {
        maker.knob(
            (format!("design.newels[{at}].stands.At.y"), now, PLAN),
            move |by, left| {
                let side = way(left, "to the left", "to the right");
                format!("move newel {name} {by} {side}")
            },
            move |job, len| match &mut job.design.newels.get_mut(at)?.stands {
                Stands::At { y, .. } => {
                    *y = len;
                    Some(())
                }
                Stands::Displaces { .. } => None,
            },
        )
    });
    knobs.collect()
}

fn newels(maker: &Maker<'_>) -> Vec<Knob> {
    let mut all = Vec::new();
    for (at, newel) in maker.job().design.newels.iter().enumerate() {
        let path = format!("design.newels[{at}]");
        let name = newel.name.clone();
        let (field, now, bounds) = match &newel.stands {
            Stands::Displaces { move_by, .. } => ("Displaces.move_by", move_by.value, MOVE),
            Stands::At { x, .. } => ("At.x", x.value, PLAN),
        };
        all.push(maker.knob(
            (format!("{path}.stands.{field}"), now, bounds),
            move |by, up| {
                format!(
                    "move newel {name} {by} {} the flight",
                    way(up, "up", "down")
                )
            },
            move |job, len| {
                match &mut job.design.newels.get_mut(at)?.stands {
                    Stands::Displaces { move_by, .. } => *move_by = len,
                    Stands::At { x, .. } => *x = len,
                }
                Some(())
            },
        ));
        if let Some(height) = &newel.height {
            let name = newel.name.clone();
            all.push(maker.knob(
                (format!("{path}.height"), height.value, NEWEL_HEIGHT),
                move |by, more| {
                    format!("make newel {name} {by} {}", way(more, "taller", "shorter"))
                },
                move |job, len| {
                    job.design.newels.get_mut(at)?.height = Some(len);
                    Some(())
                },
            ));
        }
        if let Some(top) = newel.blocks.as_ref().and_then(|blocks| blocks.top.as_ref()) {
            let name = newel.name.clone();
            all.push(maker.knob(
                (format!("{path}.blocks.top"), top.value, HEAD_BLOCK),
                move |by, more| {
                    format!(
                        "make the head block of newel {name} {by} {}",
                        way(more, "longer", "shorter")
                    )
                },
                move |job, len| {
                    job.design.newels.get_mut(at)?.blocks.as_mut()?.top = Some(len);
                    Some(())
                },
            ));
        }
    }
    all
}

fn rail(maker: &Maker<'_>) -> Vec<Knob> {
    let design = &maker.job().design;
    let name = design.rail.name.clone();
    let mut all = vec![maker.knob(
        ("design.rail.height", design.rail.height.value, RAIL_HEIGHT),
        move |by, more| format!("{} the rail {name} by {by}", way(more, "raise", "lower")),
        |job, len| {
            job.design.rail.height = len;
            Some(())
        },
    )];
    if let Some(bottom) = &design.bottom_rail {
        let name = bottom.name.clone();
        all.push(maker.knob(
            (
                "design.bottom_rail.above",
                bottom.above.value,
                BOTTOM_RAIL_ABOVE,
            ),
            move |by, more| {
                format!(
                    "{} the bottom rail {name} by {by}",
                    way(more, "raise", "lower")
                )
            },
            |job, len| {
                job.design.bottom_rail.as_mut()?.above = len;
                Some(())
            },
        ));
    }
    all.extend(landing(maker, false));
    all.extend(landing(maker, true));
    all
}

fn end_of(job: &mut Job, upper: bool) -> &mut RailEnd {
    let rail = &mut job.design.rail;
    if upper {
        &mut rail.upper
    } else {
        &mut rail.lower
    }
}

/// The rosette on a wall.
fn rosette(maker: &Maker<'_>, end: &RailEnd, field: &str, upper: bool) -> Option<Knob> {
    let RailEnd::Wall { rosette, wall, .. } = end else {
        return None;
    };
    let wall = wall.clone();
    Some(maker.knob(
        (format!("{field}.Wall.rosette"), rosette.value, ROSETTE),
        move |by, more| {
            let size = way(more, "larger", "smaller");
            format!("make the rosette on wall {wall} {by} {size}")
        },
        move |job, len| match end_of(job, upper) {
            RailEnd::Wall { rosette, .. } => {
                *rosette = len;
                Some(())
            }
            _ => None,
        },
    ))
}

/// What the rail lands on at a wall: its rosette, and the blocking behind the plaster.
fn landing(maker: &Maker<'_>, upper: bool) -> Vec<Knob> {
    let rail = &maker.job().design.rail;
    let (end, field) = if upper {
        (&rail.upper, "design.rail.upper")
    } else {
        (&rail.lower, "design.rail.lower")
    };
    let (wall, blocking, variant) = match end {
        RailEnd::Newel(_) => return Vec::new(),
        RailEnd::Wall { wall, blocking, .. } => (wall, blocking, "Wall"),
        RailEnd::HalfNewel { wall, blocking, .. } => (wall, blocking, "HalfNewel"),
    };
    let mut all: Vec<Knob> = rosette(maker, end, field, upper).into_iter().collect();
    let size = Bounds {
        least: BLOCKING.least.max(blocking.height.value),
        most: BLOCKING.most,
    };
    let fields: [(&str, Length, Bounds, [&'static str; 3]); 3] = [
        (
            "up",
            blocking.up.value,
            ELEVATION,
            ["move", "higher", "lower"],
        ),
        (
            "along",
            blocking.along.value,
            PLAN,
            ["move", "further along the wall", "back along the wall"],
        ),
        (
            "height",
            blocking.height.value,
            size,
            ["make", "taller", "shorter"],
        ),
    ];
    for (name, now, bounds, [verb, more_word, less_word]) in fields {
        let wall = wall.clone();
        let mut knob = maker.knob(
            (format!("{field}.{variant}.blocking.{name}"), now, bounds),
            move |by, more| {
                let word = way(more, more_word, less_word);
                format!("open wall {wall} and {verb} its blocking {by} {word}")
            },
            move |job, len| {
                let (RailEnd::Wall { blocking, .. } | RailEnd::HalfNewel { blocking, .. }) =
                    end_of(job, upper)
                else {
                    return None;
                };
                match name {
                    "up" => blocking.up = len,
                    "along" => blocking.along = len,
                    _ => blocking.height = len,
                }
                Some(())
            },
        );
        knob.opens_wall = true;
        all.push(knob);
    }
    all
}

fn wall_rail(maker: &Maker<'_>) -> Vec<Knob> {
    let Some(rail) = &maker.job().design.wall_rail else {
        return Vec::new();
    };
    let fields: [(&str, Length, Bounds, [&'static str; 2]); 4] = [
        (
            "clear",
            rail.clear.value,
            CLEARANCE,
            ["away from its wall", "towards its wall"],
        ),
        ("height", rail.height.value, RAIL_HEIGHT, ["up", "down"]),
        (
            "extend_lower",
            rail.extend_lower.value,
            RUN_ON,
            ["further at its foot", "shorter at its foot"],
        ),
        (
            "extend_upper",
            rail.extend_upper.value,
            RUN_ON,
            ["further at its head", "shorter at its head"],
        ),
    ];
    let knobs = fields.into_iter().map(|(field, now, bounds, words)| {
        let name = rail.name.clone();
        let verb = if field.starts_with("extend") {
            "run"
        } else {
            "move"
        };
        maker.knob(
            (format!("design.wall_rail.{field}"), now, bounds),
            move |by, more| {
                let word = way(more, words[0], words[1]);
                format!("{verb} handrail {name} {by} {word}")
            },
            move |job, len| {
                let rail = job.design.wall_rail.as_mut()?;
                match field {
                    "clear" => rail.clear = len,
                    "height" => rail.height = len,
                    "extend_lower" => rail.extend_lower = len,
                    _ => rail.extend_upper = len,
                }
                Some(())
            },
        )
    });
    knobs.collect()
}
