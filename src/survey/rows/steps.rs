//! Readings of the steps as equations.

use crate::job::{Across, NosingEnd, Side, StepReading, Surface, TreadEdge};

use super::{Maker, Read, Row, Shape};
use crate::survey::linear::Linear;
use crate::survey::uncertainty::Way;

impl Maker<'_> {
    /// The equation of a reading of the steps.
    pub(in crate::survey) fn step(&self, reading: &StepReading, path: &str) -> Option<Row> {
        let (shape, way) = self.step_shape(reading)?;
        let (value, read) = match reading {
            StepReading::Pitch { is, .. } => (is.value.as_radians(), Read::Angle),
            _ => (reading.is()?.mm(), Read::Length),
        };
        let rough = *reading.on() == Surface::Rough;
        Some(Row {
            path: path.to_owned(),
            what: format!("{}{}", step_words(reading), where_words(reading)),
            value,
            sd: self.tools.sd(
                reading.by().as_ref(),
                reading.sd().as_ref(),
                way,
                value,
                rough,
            ),
            read,
            shape,
        })
    }

    fn step_shape(&self, reading: &StepReading) -> Option<(Shape, Way)> {
        let unknowns = self.unknowns;
        let on = *reading.on();
        let across = unknowns.outward(self.job, reading.step(), reading.side());
        let last = self.job.flight.count;
        let ids = |step: u32| unknowns.steps.get((step as usize).checked_sub(1)?).copied();
        let scalar = |number| Linear::scalar(number, 1.0);
        let height = |step| unknowns.height(step, across, on);
        let kick = |step| unknowns.kick(step, across, on);
        let (linear, way) = match reading {
            StepReading::Rise { step, .. } => (
                height(*step).less(&height(step.checked_sub(1)?)),
                Way::Taped,
            ),
            StepReading::Height { step, above, .. } => {
                (height(*step).less(&height(*above)), Way::Taped)
            }
            StepReading::TotalRise { .. } => (height(last).less(&height(0)), Way::Taped),
            // Behind the last kick there is no other.
            StepReading::Going { step, .. } if *step >= last => return None,
            StepReading::Going { step, .. } => (kick(step + 1).less(&kick(*step)), Way::Taped),
            StepReading::Run { step, beyond, .. } => (kick(*step).less(&kick(*beyond)), Way::Taped),
            StepReading::TotalRun { .. } => (kick(last).less(&kick(1)), Way::Taped),
            StepReading::Width { step, .. } => (scalar(ids(*step)?.width), Way::Taped),
            StepReading::Overhang { step, .. } => (scalar(ids(*step)?.overhang), Way::Taped),
            StepReading::TreadThickness { step, .. } => (scalar(ids(*step)?.thickness), Way::Taped),
            StepReading::KickThickness { step, .. } => {
                (scalar(ids(*step)?.kick_thickness), Way::Taped)
            }
            StepReading::Edge { step, .. } => (scalar(ids(*step)?.edge), Way::Taped),
            // What stands the other way round counts against what is reckoned.
            StepReading::Level { step, high, .. } => {
                let ids = ids(*step)?;
                let wide = unknowns.scalars[ids.width].mean;
                let sign = if *high == Side::Open { 1.0 } else { -1.0 };
                (Linear::scalar(ids.level, sign), Way::Levelled(wide))
            }
            StepReading::Fall { step, low, .. } => {
                let sign = if *low == TreadEdge::Back { 1.0 } else { -1.0 };
                let depth = unknowns.meant_depth();
                (Linear::scalar(ids(*step)?.fall, sign), Way::Levelled(depth))
            }
            StepReading::Under { step, line, .. } => {
                let along = unknowns.meant_kick(*step) + unknowns.meant_depth() / 2.0;
                let line = unknowns.line(self.line_number(line)?, along, across);
                (line.less(&height(*step)), Way::FromLine(0.0))
            }
            StepReading::Past { step, line, .. } => {
                // Kicks are read near their foot.
                let up = unknowns.meant_height(step.saturating_sub(1));
                let line = unknowns.line(self.line_number(line)?, across, up);
                (kick(*step).less(&line), Way::FromLine(0.0))
            }
            StepReading::Pitch { from, to, .. } => {
                let shape = Shape::Pitch {
                    rise: unknowns
                        .nosing_height(*to, across)
                        .less(&unknowns.nosing_height(*from, across)),
                    run: unknowns
                        .nosing(*to, across)
                        .less(&unknowns.nosing(*from, across)),
                };
                return Some((shape, Way::Sloped));
            }
            StepReading::Diagonal { from, to, .. } => {
                let (a, b) = (self.nosing_end(*from)?, self.nosing_end(*to)?);
                let vector = a.iter().zip(&b).map(|(a, b)| b.less(a)).collect();
                return Some((Shape::Distance(vector), Way::Cornered));
            }
        };
        Some((Shape::Linear(linear), way))
    }

    /// The corner at an end of a nosing: up the flight, outward, height.
    fn nosing_end(&self, at: NosingEnd) -> Option<[Linear; 3]> {
        let unknowns = self.unknowns;
        let ids = unknowns.steps.get((at.step as usize).checked_sub(1)?)?;
        let across = unknowns.end(at.step, at.end);
        let edge = Linear::scalar(ids.edge, 1.0);
        let outward = match at.end {
            Side::Open => edge,
            Side::Wall => edge.less(&Linear::scalar(ids.width, 1.0)),
        };
        Some([
            unknowns.nosing(at.step, across),
            outward,
            unknowns.nosing_height(at.step, across),
        ])
    }
}

/// What is read, in trade words.
#[must_use]
pub fn step_words(reading: &StepReading) -> String {
    let end = |at: &NosingEnd| {
        let side = match at.end {
            Side::Open => "open",
            Side::Wall => "wall",
        };
        format!("nosing {} at the {side} end", at.step)
    };
    match reading {
        StepReading::Rise { step, .. } => format!("rise of step {step}"),
        StepReading::Going { step, .. } => format!("going of step {step}"),
        StepReading::Width { step, .. } => format!("width of tread {step}"),
        StepReading::Overhang { step, .. } => format!("nosing of tread {step}"),
        StepReading::TreadThickness { step, .. } => format!("thickness of tread {step}"),
        StepReading::KickThickness { step, .. } => format!("thickness of kick {step}"),
        StepReading::Level { step, .. } => format!("level of tread {step}, side to side"),
        StepReading::Fall { step, .. } => format!("level of tread {step}, front to back"),
        StepReading::Edge { step, .. } => format!("tread end {step} from the string"),
        StepReading::Height { step, above: 0, .. } => format!("height of step {step}"),
        StepReading::Height { step, above, .. } => format!("height of step {step} above {above}"),
        StepReading::Under { step: 0, line, .. } => format!("lower floor under laser line {line}"),
        StepReading::Under { step, line, .. } => format!("step {step} under laser line {line}"),
        StepReading::Run { step, beyond, .. } => format!("run from kick {beyond} to kick {step}"),
        StepReading::Past { step, line, .. } => format!("kick {step} past laser line {line}"),
        StepReading::TotalRise { .. } => "total rise".to_owned(),
        StepReading::TotalRun { .. } => "total run".to_owned(),
        StepReading::Pitch { from, to, .. } => format!("pitch from nosing {from} to {to}"),
        StepReading::Diagonal { from, to, .. } => {
            format!("diagonal from {} to {}", end(from), end(to))
        }
    }
}

fn where_words(reading: &StepReading) -> String {
    let on = match reading.on() {
        Surface::Finished => "",
        Surface::DryFitted => ", dry-fitted",
        Surface::Rough => ", rough",
    };
    let side = match reading.side() {
        Across::Line => String::new(),
        Across::Open => ", open end".to_owned(),
        Across::Wall => ", wall end".to_owned(),
        Across::Stringer(name) => format!(", on stringer {name}"),
    };
    format!("{on}{side}")
}
