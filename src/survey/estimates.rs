//! [`Estimates`]: each quantity as found beside as meant, how sure it is, and the readings behind it.

use crate::job::{Flight, Job};

use super::unknowns::{StepIds, length};
use super::{Adjustment, PlanePart, WallField};

/// One quantity: what was found, what was meant, and where its readings stand in the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// As found, mm (or mm per mm for a tilt).
    pub found: f64,
    /// As meant, in the same unit.
    pub meant: f64,
    /// The standard deviation of what was found, in the same unit.
    pub sd: f64,
    /// The fields of the job that the readings of it stand in; none where nobody read it.
    pub readings: Vec<String>,
}

impl Estimate {
    /// True where what was found is not what was meant.
    #[must_use]
    pub fn departs(&self) -> bool {
        (self.found - self.meant).abs() > crate::measure::tolerance::DEPARTS_MM
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
    /// How much higher the nosing stands than the back, over the tread's depth.
    pub fall: Estimate,
    /// How much further up the flight the kick's open end stands than its wall end.
    pub skew: Estimate,
    /// From y = 0 out to the open end.
    pub edge: Estimate,
}

impl StepEstimates {
    /// Each quantity with the trade word for it.
    pub(super) fn each_mut(&mut self) -> [(&'static str, &mut Estimate); 10] {
        [
            ("rise", &mut self.rise),
            ("going", &mut self.going),
            ("overhang", &mut self.overhang),
            ("tread thickness", &mut self.thickness),
            ("kick thickness", &mut self.kick_thickness),
            ("width", &mut self.width),
            ("level", &mut self.level),
            ("fall", &mut self.fall),
            ("skew", &mut self.skew),
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

/// A landing as found, mm; slopes mm per mm.
#[derive(Clone, Debug, PartialEq)]
pub struct LandingEstimate {
    /// Its name.
    pub name: String,
    /// Height of its middle above the datum.
    pub height: Estimate,
    /// Climb per length up the flight.
    pub uphill: Estimate,
    /// Climb per length towards the open side.
    pub outward: Estimate,
    /// Length of its open edge.
    pub open: Estimate,
    /// Length of its wall edge.
    pub wall: Estimate,
    /// Width, square across.
    pub across: Estimate,
    /// How far the wall edge is shifted uphill of the open edge: nothing where it is square.
    pub shift: Estimate,
}

/// What a landing's slopes are judged over, mm, so that all its departures are lengths.
const SLOPE_OVER: f64 = 1000.0;

impl LandingEstimate {
    /// Each quantity with the trade word for it, and what it is multiplied by to be a length.
    pub(super) fn each_mut(&mut self) -> [(&'static str, f64, &mut Estimate); 7] {
        [
            ("height", 1.0, &mut self.height),
            ("slope up the flight", SLOPE_OVER, &mut self.uphill),
            ("slope across", SLOPE_OVER, &mut self.outward),
            ("open edge", 1.0, &mut self.open),
            ("wall edge", 1.0, &mut self.wall),
            ("width", 1.0, &mut self.across),
            ("corner out of square", 1.0, &mut self.shift),
        ]
    }
}

/// The stair and its walls as the readings tell them.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimates {
    /// The steps from the bottom; the last is the upper floor.
    pub steps: Vec<StepEstimates>,
    /// The walls, in the order of the job.
    pub walls: Vec<WallEstimate>,
    /// The landings, in the order of the job.
    pub landings: Vec<LandingEstimate>,
    /// How the lower floor runs out of level, as `level` and `fall` of a step.
    pub lower: (Estimate, Estimate),
}

/// A way to move estimates a little, to see what follows.
#[derive(Clone, Debug, PartialEq)]
pub enum Shift {
    /// A quantity of a step, by its trade word.
    Step(u32, &'static str),
    /// A wall's face as a whole.
    WallOffset(String),
    /// A wall's face turned about a place along it.
    WallSplay(String, f64),
    /// A wall's face tipped about a height.
    WallLean(String, f64),
}

impl Estimates {
    /// The same with one quantity moved, mm or mm per mm.
    #[must_use]
    pub fn shifted(&self, shift: &Shift, by: f64) -> Self {
        let mut moved = self.clone();
        match shift {
            Shift::Step(number, word) => {
                let at = (*number as usize).checked_sub(1);
                let step = at.and_then(|at| moved.steps.get_mut(at));
                for (name, estimate) in step.into_iter().flat_map(StepEstimates::each_mut) {
                    if name == *word {
                        estimate.found += by;
                    }
                }
            }
            Shift::WallOffset(name) => moved.move_wall(name, |field| field.moved(by)),
            Shift::WallSplay(name, along) => {
                moved.move_wall(name, |field| field.turned(by, *along));
            }
            Shift::WallLean(name, up) => moved.move_wall(name, |field| field.tipped(by, *up)),
        }
        moved
    }

    fn move_wall(&mut self, name: &str, change: impl Fn(&WallField) -> WallField) {
        for wall in self.walls.iter_mut().filter(|wall| wall.name == name) {
            wall.field = change(&wall.field);
        }
    }
}

/// Reads estimates off an adjustment.
pub(super) fn of(job: &Job, adjustment: &Adjustment, variances: &[f64]) -> Estimates {
    let from = Reader {
        adjustment,
        variances,
        readings: readings(adjustment),
    };
    let unknowns = adjustment.unknowns();
    Estimates {
        steps: unknowns
            .steps
            .iter()
            .enumerate()
            .map(|(at, ids)| from.step(&job.flight, ids, at + 1 == unknowns.steps.len()))
            .collect(),
        walls: (0..job.walls.len()).map(|at| from.wall(job, at)).collect(),
        landings: job
            .floors
            .iter()
            .zip(&unknowns.landings)
            .filter_map(|(floor, ids)| {
                let ids = ids.as_ref()?;
                Some(LandingEstimate {
                    name: floor.name.clone(),
                    height: from.one(ids.height),
                    uphill: from.one(ids.uphill),
                    outward: from.one(ids.outward),
                    open: from.one(ids.open),
                    wall: from.one(ids.wall),
                    across: from.one(ids.across),
                    shift: from.one(ids.shift),
                })
            })
            .collect(),
        lower: (from.one(unknowns.lower.0), from.one(unknowns.lower.1)),
    }
}

/// For each scalar, the readings that it has a part in.
fn readings(adjustment: &Adjustment) -> Vec<Vec<String>> {
    let mut of_scalar = vec![Vec::new(); adjustment.unknowns().scalars.len()];
    for row in adjustment.rows() {
        for part in row.shape.parts() {
            for &(number, factor) in &part.scalars {
                let paths: &mut Vec<String> = &mut of_scalar[number];
                if factor.abs() > 0.0 && paths.last() != Some(&row.path) {
                    paths.push(row.path.clone());
                }
            }
        }
    }
    of_scalar
}

struct Reader<'a> {
    adjustment: &'a Adjustment,
    variances: &'a [f64],
    readings: Vec<Vec<String>>,
}

impl Reader<'_> {
    fn one(&self, number: usize) -> Estimate {
        Estimate {
            found: self.adjustment.scalar_mean(number),
            meant: self.adjustment.unknowns().scalars[number].mean,
            sd: self.variances[number].sqrt(),
            readings: self.readings[number].clone(),
        }
    }

    fn step(&self, flight: &Flight, ids: &StepIds, is_floor: bool) -> StepEstimates {
        let mut thickness = self.one(ids.thickness);
        if is_floor {
            // The edge of the upper floor is nosed like a tread.
            thickness.found += flight.tread_thickness.mm() - thickness.meant;
            thickness.meant = flight.tread_thickness.mm();
        }
        StepEstimates {
            rise: self.one(ids.rise),
            going: self.one(ids.going),
            overhang: self.one(ids.overhang),
            thickness,
            kick_thickness: self.one(ids.kick_thickness),
            width: self.one(ids.width),
            level: self.one(ids.level),
            fall: self.one(ids.fall),
            skew: self.one(ids.skew),
            edge: self.one(ids.edge),
        }
    }

    fn wall(&self, job: &Job, at: usize) -> WallEstimate {
        let (wall, ids) = (&job.walls[at], self.adjustment.unknowns().walls[at]);
        let plane = PlanePart {
            offset: self.adjustment.scalar_mean(ids.offset),
            splay: self.adjustment.scalar_mean(ids.splay),
            lean: self.adjustment.scalar_mean(ids.lean),
        };
        let extent = (length(wall), (wall.foot.mm(), wall.head.mm()));
        WallEstimate {
            name: wall.name.clone(),
            field: WallField::new(extent, plane, self.adjustment.wall_bow(at)),
            readings: self
                .adjustment
                .rows()
                .iter()
                .filter(|row| {
                    let mut bows = row.shape.parts().into_iter().flat_map(|part| &part.bows);
                    bows.any(|term| term.wall == at)
                })
                .map(|row| row.path.clone())
                .collect(),
        }
    }
}
