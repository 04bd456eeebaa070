//! [`Estimates`]: each quantity as found beside as meant, and the readings behind it.
//!
//! Rough readings are carried to the finished surfaces here: a tread adds its thickness to the
//! stringer cut it lies on, a kick its thickness to the riser cut it is fixed to, a floor its
//! build-up to the subfloor.

use crate::job::{Flight, Job, Side, StepReading, Surface, Wall, WallReading};

use super::{WallField, WallObservation};

/// One quantity: what was found, what was meant, and where its reading stands in the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// As found, mm (or mm per mm for a tilt).
    pub found: f64,
    /// As meant, in the same unit.
    pub meant: f64,
    /// The field of the job that the reading stands in; `None` where nobody read it.
    pub reading: Option<String>,
}

impl Estimate {
    fn meant(value: f64) -> Self {
        Self {
            found: value,
            meant: value,
            reading: None,
        }
    }

    /// True where what was found is not what was meant.
    #[must_use]
    pub fn departs(&self) -> bool {
        (self.found - self.meant).abs() > crate::measure::tolerance::SAME_POINT_MM
    }

    pub(super) fn make_true(&mut self) {
        self.found = self.meant;
    }
}

/// The quantities of one step, mm.
#[derive(Clone, Debug, PartialEq)]
pub struct StepEstimates {
    /// Finished rise from the tread or floor below, at the baluster line.
    pub rise: Estimate,
    /// Finished going to the next kick's face; of no use on the last step.
    pub going: Estimate,
    /// Nosing beyond the kick's face.
    pub overhang: Estimate,
    /// Tread thickness.
    pub thickness: Estimate,
    /// Kick thickness.
    pub kick_thickness: Estimate,
    /// Tread length, open end to wall end.
    pub width: Estimate,
    /// How much higher the open end stands than the wall end, over the tread's length.
    pub level: Estimate,
    /// From y = 0 out to the open end.
    pub edge: Estimate,
}

impl StepEstimates {
    /// Each quantity with the trade word for it.
    pub(super) fn each_mut(&mut self) -> [(&'static str, &mut Estimate); 8] {
        [
            ("rise", &mut self.rise),
            ("going", &mut self.going),
            ("overhang", &mut self.overhang),
            ("tread thickness", &mut self.thickness),
            ("kick thickness", &mut self.kick_thickness),
            ("width", &mut self.width),
            ("level", &mut self.level),
            ("tread end", &mut self.edge),
        ]
    }
}

/// A wall's name with its field and the readings behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct WallEstimate {
    /// The wall's name.
    pub name: String,
    /// How its face departs from the meant plumb plane.
    pub field: WallField,
    /// The fields of the job that its readings stand in.
    pub readings: Vec<String>,
}

/// The stair and its walls as the readings tell them.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimates {
    /// The steps from the bottom; the last is the upper floor.
    pub steps: Vec<StepEstimates>,
    /// The walls, in the order of the job.
    pub walls: Vec<WallEstimate>,
}

/// Makes estimates from the readings of a job.
#[must_use]
pub fn estimate(job: &Job) -> Estimates {
    Estimates {
        steps: steps(&job.flight),
        walls: job
            .walls
            .iter()
            .enumerate()
            .map(|(index, wall)| wall_estimate(index, wall))
            .collect(),
    }
}

fn steps(flight: &Flight) -> Vec<StepEstimates> {
    let mut steps: Vec<StepEstimates> = (0..flight.count)
        .map(|_| StepEstimates {
            rise: Estimate::meant(flight.rise.mm()),
            going: Estimate::meant(flight.going.mm()),
            overhang: Estimate::meant(flight.overhang.mm()),
            thickness: Estimate::meant(flight.tread_thickness.mm()),
            kick_thickness: Estimate::meant(flight.kick_thickness.mm()),
            width: Estimate::meant(flight.width.mm()),
            level: Estimate::meant(0.0),
            edge: Estimate::meant(flight.edge.mm()),
        })
        .collect();
    // Thicknesses first: rough readings of rise and going are carried over them.
    // Rough before finished: where both were read, what the rule measures is the finished one.
    let surfaces = [Surface::Rough, Surface::DryFitted, Surface::Finished];
    let passes = [Pass::Parts, Pass::Positions];
    for (pass, surface) in passes
        .iter()
        .flat_map(|&pass| surfaces.map(|surface| (pass, surface)))
    {
        let readings = flight.readings.iter().enumerate();
        for (index, reading) in readings.filter(|(_, reading)| *reading.on() == surface) {
            apply(
                &mut steps,
                flight,
                reading,
                pass,
                &format!("flight.readings[{index}]"),
            );
        }
    }
    steps
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Pass {
    Parts,
    Positions,
}

fn apply(
    steps: &mut [StepEstimates],
    flight: &Flight,
    reading: &StepReading,
    pass: Pass,
    path: &str,
) {
    let index = reading.step().unwrap_or(0) as usize;
    let Some(at) = index.checked_sub(1).filter(|&at| at < steps.len()) else {
        return;
    };
    let is = reading.is().map_or(0.0, crate::job::Len::mm);
    let rough = *reading.on() == Surface::Rough;
    let set = |estimate: &mut Estimate, value: f64| {
        estimate.found = value;
        estimate.reading = Some(path.to_owned());
    };
    match (pass, reading) {
        (Pass::Parts, StepReading::TreadThickness { .. }) => set(&mut steps[at].thickness, is),
        (Pass::Parts, StepReading::KickThickness { .. }) => set(&mut steps[at].kick_thickness, is),
        (Pass::Positions, StepReading::Rise { .. }) => {
            let carried = if rough {
                rise_build_up(steps, flight, at)
            } else {
                0.0
            };
            set(&mut steps[at].rise, is + carried);
        }
        (Pass::Positions, StepReading::Going { .. }) => {
            let carried = if rough { kick_build_up(steps, at) } else { 0.0 };
            set(&mut steps[at].going, is + carried);
        }
        (Pass::Positions, StepReading::Overhang { .. }) => set(&mut steps[at].overhang, is),
        (Pass::Positions, StepReading::Width { .. }) => set(&mut steps[at].width, is),
        (Pass::Positions, StepReading::Edge { .. }) => set(&mut steps[at].edge, is),
        (Pass::Positions, StepReading::Level { high, .. }) => {
            set(
                &mut steps[at].level,
                if *high == Side::Open { is } else { -is },
            );
        }
        _ => {}
    }
}

/// What finish adds to a rough rise: its own tread or floor less the one below.
fn rise_build_up(steps: &[StepEstimates], flight: &Flight, at: usize) -> f64 {
    let upper = if at + 1 == steps.len() {
        flight.floor_above.mm()
    } else {
        steps[at].thickness.found
    };
    let lower = if at == 0 {
        flight.floor_below.mm()
    } else {
        steps[at - 1].thickness.found
    };
    upper - lower
}

/// What finish adds to a rough going: each kick stands its thickness downhill of its riser cut.
fn kick_build_up(steps: &[StepEstimates], at: usize) -> f64 {
    let next = steps
        .get(at + 1)
        .map_or(steps[at].kick_thickness.found, |step| {
            step.kick_thickness.found
        });
    steps[at].kick_thickness.found - next
}

fn wall_estimate(index: usize, wall: &Wall) -> WallEstimate {
    let observations: Vec<WallObservation> = wall.readings.iter().map(observation).collect();
    let length = (wall.to.x.mm() - wall.from.x.mm()).hypot(wall.to.y.mm() - wall.from.y.mm());
    WallEstimate {
        name: wall.name.clone(),
        field: WallField::fit(length / 2.0, wall.foot.mm(), observations),
        readings: (0..wall.readings.len())
            .map(|at| format!("walls[{index}].readings[{at}]"))
            .collect(),
    }
}

fn observation(reading: &WallReading) -> WallObservation {
    use crate::job::LevelEnd;
    match reading {
        WallReading::Offset { along, up, is, .. } => WallObservation {
            plus: (along.mm(), up.mm()),
            minus: None,
            value: is.mm(),
        },
        WallReading::Plumb {
            along,
            up,
            level,
            gap,
            at,
            ..
        } => {
            let (lower, upper) = ((along.mm(), up.mm()), (along.mm(), up.mm() + level.mm()));
            // The wall stands back from the level by the gap at the end that stands off.
            let (off, touching) = match at {
                LevelEnd::Top => (upper, lower),
                LevelEnd::Bottom => (lower, upper),
            };
            WallObservation {
                plus: off,
                minus: Some(touching),
                value: -gap.mm(),
            }
        }
        _ => WallObservation {
            plus: (0.0, 0.0),
            minus: Some((0.0, 0.0)),
            value: 0.0,
        },
    }
}
