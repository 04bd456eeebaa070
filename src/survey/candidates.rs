//! What could be read next: readings that a carpenter can take with what he carries, each with
//! where to hold which tool.

use crate::job::{
    Across, Job, LevelEnd, Runs, Side, StepReading, Surface, TreadEdge, Wall, WallReading,
};
use crate::measure::{Length, Typed};

use super::further::Further;
use super::linear::Linear;
use super::rows::{Maker, Row};
use super::uncertainty::Instruments;
use super::unknowns::length;
use super::{Adjustment, prior};

/// The level that most carpenters carry: four feet.
pub const LEVEL: Length = Length::inches(48.0);

/// A reading that could be taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What it reads, in trade words.
    pub what: String,
    /// Where to hold which tool.
    pub how: String,
    /// The linear function that it reads, at the tangent of what is known.
    pub function: Linear,
    /// Its standard uncertainty, mm or radians.
    pub sd: f64,
    /// The place on a wall, where it is a wall that it reads.
    pub wall: Option<String>,
    /// The reading itself, to be put into the job.
    pub reading: Further,
}

/// A place on a wall that matters: its name, along and up, mm.
pub type Spot = (String, f64, f64);

/// Lists what could be read: the steps and the walls, and each of the spots on a wall that a result
/// hangs on.
#[must_use]
pub fn candidates(job: &Job, adjustment: &Adjustment, spots: &[Spot]) -> Vec<Candidate> {
    let tools = Instruments::of(job);
    let maker = Maker {
        job,
        unknowns: adjustment.unknowns(),
        tools: &tools,
    };
    let lister = Lister {
        job,
        adjustment,
        maker,
    };
    let mut all = lister.steps();
    for (index, wall) in job.walls.iter().enumerate() {
        all.extend(lister.wall(index, wall, spots));
    }
    all
}

struct Lister<'a> {
    job: &'a Job,
    adjustment: &'a Adjustment,
    maker: Maker<'a>,
}

fn len(mm: f64) -> Typed<Length> {
    Typed::millimetres(mm)
}

/// The common fields of a step's reading that is yet to be taken.
macro_rules! step_reading {
    ($kind:ident { $($field:ident: $value:expr),* $(,)? }) => {
        StepReading::$kind {
            $($field: $value,)*
            on: Surface::Finished,
            side: Across::Line,
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        }
    };
}

impl Lister<'_> {
    fn candidate(&self, row: &Row, how: String, reading: Further) -> Candidate {
        Candidate::of(self.job, self.adjustment, row, how, reading)
    }

    fn step(&self, reading: &StepReading, how: String) -> Option<Candidate> {
        let row = self.maker.step(reading, "")?;
        Some(self.candidate(&row, how, Further::Step(reading.clone())))
    }

    fn steps(&self) -> Vec<Candidate> {
        let flight = &self.job.flight;
        let count = flight.count;
        let (rise, going) = (flight.rise.mm(), flight.going.mm());
        let mut all = Vec::new();
        for step in 1..=count {
            let below = match step - 1 {
                0 => "the lower floor".to_owned(),
                tread => format!("tread {tread}"),
            };
            all.extend(self.step(
                &step_reading!(Rise {
                    step: step,
                    is: len(rise)
                }),
                format!("tape, plumb, from {below} up to the next nosing, on the string"),
            ));
            all.extend(self.step(
                &step_reading!(Height {
                    step: step,
                    above: 0,
                    is: len(rise * f64::from(step)),
                }),
                format!("tape, or laser and rule, from the lower floor up to step {step}"),
            ));
            if step == count {
                break;
            }
            all.extend(self.step(
                &step_reading!(Going {
                    step: step,
                    is: len(going)
                }),
                format!("tape, level, from the face of kick {step} to the next one, on the string"),
            ));
            all.extend(self.step(
                &step_reading!(Run {
                    step: step + 1,
                    beyond: 1,
                    is: len(going * f64::from(step)),
                }),
                format!(
                    "laser square across, or plumb bob: kick 1 to kick {}, level",
                    step + 1
                ),
            ));
            all.extend(self.step(
                &step_reading!(Edge {
                    step: step,
                    is: len(flight.edge_of(step).as_mm())
                }),
                format!("rule, square off the string, out to the end of tread {step}"),
            ));
            all.extend(self.step(
                &step_reading!(Overhang {
                    step: step,
                    is: flight.overhang.clone()
                }),
                format!("square on kick {step}, rule out to the nosing"),
            ));
            all.extend(self.step(
                &step_reading!(Level {
                    step: step,
                    is: len(0.0),
                    high: Side::Open
                }),
                format!("level along tread {step}, wedge under the low end, rule the gap"),
            ));
            all.extend(self.step(
                &step_reading!(Fall {
                    step: step,
                    is: len(0.0),
                    low: TreadEdge::Front
                }),
                format!("short level front to back on tread {step}, rule the gap"),
            ));
        }
        all.extend(self.lines());
        all
    }

    /// Down from level laser lines that are set up anyway.
    fn lines(&self) -> Vec<Candidate> {
        let level = |line: &&crate::job::LaserLine| matches!(line.runs, Runs::Level { .. });
        let mut all = Vec::new();
        for line in self.job.lines.iter().filter(level) {
            for step in 0..=self.job.flight.count {
                let reading = step_reading!(Under {
                    step: step,
                    line: line.name.clone(),
                    is: len(0.0),
                });
                let how = format!("rule, plumb, from step {step} to laser line {}", line.name);
                all.extend(self.step(&reading, how));
            }
        }
        all
    }

    fn wall(&self, index: usize, wall: &Wall, spots: &[Spot]) -> Vec<Candidate> {
        let (long, foot, head) = (length(wall), wall.foot.mm(), wall.head.mm());
        let shares = |from: f64, to: f64| [0.1, 0.5, 0.9].map(|share| from + (to - from) * share);
        let mut places: Vec<(f64, f64)> = shares(0.0, long)
            .into_iter()
            .flat_map(|along| shares(foot, head).map(|up| (along, up)))
            .collect();
        let mine = spots.iter().filter(|(name, ..)| *name == wall.name);
        places.extend(mine.map(|(_, along, up)| (*along, *up)));
        let mut all = Vec::new();
        for (along, up) in places {
            all.extend(self.offset(index, wall, along, up));
            let level = LEVEL.as_mm();
            // Held so that its middle is at the place, as far as the wall goes.
            let low = (up - level / 2.0).clamp(foot, (head - level).max(foot));
            if head - foot >= level {
                all.extend(self.plumb(index, along, low));
            }
        }
        all
    }

    fn offset(&self, index: usize, wall: &Wall, along: f64, up: f64) -> Option<Candidate> {
        let reading = WallReading::Offset {
            along: self.marked(along),
            up: self.marked(up),
            is: len(0.0),
            line: None,
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        };
        let tape = self.job.tape;
        let how = format!(
            "laser plane along wall {}, rule from it to the face {} along and {} up",
            wall.name,
            tape.print(tape.round(Length::mm(along))),
            tape.print(tape.round(Length::mm(up))),
        );
        let row = self.maker.wall(index, &reading, "")?;
        Some(self.candidate(&row, how, Further::Wall(index, reading)))
    }

    fn plumb(&self, index: usize, along: f64, low: f64) -> Option<Candidate> {
        let reading = WallReading::Plumb {
            along: self.marked(along),
            up: self.marked(low),
            level: len(LEVEL.as_mm()),
            gap: len(0.0),
            at: LevelEnd::Top,
            // Blocks under both ends state where it touches.
            touch: Some(len(0.0)),
            by: None,
            sd: None,
            taken: String::new(),
            note: String::new(),
        };
        let tape = self.job.tape;
        let how = format!(
            "{} level on two blocks, plumb, {} along, its foot {} up; rule the gap at its head",
            tape.print(LEVEL),
            tape.print(tape.round(Length::mm(along))),
            tape.print(tape.round(Length::mm(low))),
        );
        let row = self.maker.wall(index, &reading, "")?;
        Some(self.candidate(&row, how, Further::Wall(index, reading)))
    }

    /// A place to the nearest mark, as it would be written down.
    fn marked(&self, mm: f64) -> Typed<Length> {
        len(self.job.tape.round(Length::mm(mm)).as_mm())
    }
}

impl Adjustment {
    /// The linear function that a quantity of a step is, by the trade word for it.
    #[must_use]
    pub fn of_step(&self, step: u32, word: &str) -> Option<Linear> {
        let ids = self.unknowns().steps.get((step as usize).checked_sub(1)?)?;
        let number = match word {
            "rise" => ids.rise,
            "going" => ids.going,
            "overhang" => ids.overhang,
            "tread thickness" => ids.thickness,
            "kick thickness" => ids.kick_thickness,
            "width" => ids.width,
            "level" => ids.level,
            "fall" => ids.fall,
            "skew" => ids.skew,
            "tread end" => ids.edge,
            _ => return None,
        };
        Some(Linear::scalar(number, 1.0))
    }

    /// The linear function that a wall's offset at a place is, by the wall's number in the job.
    #[must_use]
    pub fn of_wall(&self, wall: usize, along: f64, up: f64) -> Option<Linear> {
        (wall < self.unknowns().walls.len()).then(|| self.unknowns().wall(wall, along, up))
    }

    /// The linear function that a wall's plane is at a place, its bow left out.
    #[must_use]
    pub fn of_wall_plane(&self, wall: usize, along: f64, up: f64) -> Option<Linear> {
        (wall < self.unknowns().walls.len()).then(|| self.unknowns().wall_plane(wall, along, up))
    }

    /// Slope of a wall's face at a place, along it and up it, over a base of a hand's breadth.
    #[must_use]
    pub fn wall_slopes(&self, wall: usize, along: f64, up: f64) -> Option<[Linear; 2]> {
        let base = prior::BOW_LENGTH / 8.0;
        let over = |a: Linear, b: Linear| a.less(&b).times(0.5 / base);
        Some([
            over(
                self.of_wall(wall, along + base, up)?,
                self.of_wall(wall, along - base, up)?,
            ),
            over(
                self.of_wall(wall, along, up + base)?,
                self.of_wall(wall, along, up - base)?,
            ),
        ])
    }
}
