//! The stairs that are measured: the demo, and towers of flights with readings.

use rakewell::job::{
    Across, BoardFor, BoardLength, BoardsOf, Document, Flight, Job, Len, StepReading, Surface,
};
use rakewell::measure::Typed;

use crate::tower::tower;

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
/// Feet and prices of boards; the prices are made up.
const BOARDS: [(f64, f64); 4] = [(8.0, 11.5), (12.0, 16.9), (16.0, 23.2), (20.0, 31.0)];

/// A stair that is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// Quarry Lane: fourteen rises and 25 balusters, out of plumb and level.
    Demo,
    /// So many flights.
    Flights(usize),
}

impl Size {
    pub(crate) const ALL: [Self; 5] = [
        Self::Demo,
        Self::Flights(1),
        Self::Flights(2),
        Self::Flights(8),
        Self::Flights(80),
    ];

    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Demo => "demo",
            Self::Flights(1) => "1",
            Self::Flights(2) => "2",
            Self::Flights(8) => "8",
            Self::Flights(_) => "80",
        }
    }

    pub(crate) fn job(self) -> Job {
        match self {
            Self::Demo => stocked(document(DEMO).job().clone()),
            Self::Flights(flights) => stocked(with_readings(tower(flights))),
        }
    }
}

pub(crate) fn document(text: &str) -> Document {
    Document::parse(text, "stair.ron").expect("it is a valid job")
}

/// The job as a file.
pub(crate) fn text(job: &Job) -> String {
    ron::ser::to_string_pretty(job, ron::ser::PrettyConfig::new()).expect("a job can be written")
}

/// Every rise and going read, within 1 mm of what was meant.
fn with_readings(mut job: Job) -> Job {
    read(&mut job.flight, 0);
    for (number, run) in job.runs.iter_mut().enumerate() {
        if let Some(flight) = &mut run.flight {
            read(flight, number);
        }
    }
    job
}

/// The same boards for every section.
fn stocked(mut job: Job) -> Job {
    let lengths = BOARDS.map(|(feet, price)| BoardLength {
        is: Len::inches(feet * 12.0),
        price: Some(price),
        count: None,
        defects: Vec::new(),
    });
    job.shop.stock = BoardFor::ALL
        .map(|of| BoardsOf {
            of,
            wide: None,
            thick: None,
            lengths: lengths.to_vec(),
        })
        .to_vec();
    job
}

fn read(flight: &mut Flight, number: usize) {
    let (rise, going) = (flight.rise.mm(), flight.going.mm());
    let count = flight.count;
    let wander = |seed: u32| ((f64::from(seed) + 50.0 * number as f64) * 1.618).sin();
    let plain = |is: f64| Typed::millimetres((is * 1e3).round() / 1e3);
    let rises = (1..=count).map(|step| StepReading::Rise {
        step,
        is: plain(rise + wander(step)),
        on: Surface::Finished,
        side: Across::Line,
        by: None,
        sd: None,
        taken: String::new(),
        note: String::new(),
    });
    let goings = (1..count).map(|step| StepReading::Going {
        step,
        is: plain(going + wander(20 + step)),
        on: Surface::Finished,
        side: Across::Line,
        by: None,
        sd: None,
        taken: String::new(),
        note: String::new(),
    });
    flight.readings = rises.chain(goings).collect();
}
