//! Measured drawings: the stair as found and set out, to scale and dimensioned, in lines alone, for
//! paper that gets dusty.
//!
//! In: a [`Chain`] and the room on the paper. Out: [`Measured`], marks in millimetres on the paper
//! with every dimension beside them as a number ([`Dim`]). Hatching tells materials apart, and the
//! weight of a line what is cut from what is seen; nothing rests on colour.
//! Does not: lay out pages; find anything about the stair.

mod draft;
mod elevation;
mod hatch;
mod meeting;
mod notch;
mod plan;
mod reveals;
mod row;
mod section;
mod sheet;
mod shown;
mod wall;

use nalgebra::{Point3, Vector3};

use crate::chain::{Chain, dry_fits};
use crate::measure::{Length, Tape, Unit};

use super::drawing::Drawing;
use super::pdf::Spot;
use super::sheet::scale::scales;
use draft::Draft;
pub use section::{SectionCut, section_cuts};
use sheet::{NotesAt, Panel, Scale, sheet};

/// One drawing that can be asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum View {
    /// From above: the whole stair, or one run by its number.
    Plan {
        /// The run; none for the whole stair.
        run: Option<usize>,
    },
    /// A run from its open side.
    Elevation {
        /// The run, by its number.
        run: usize,
    },
    /// A section through a newel, square to its flight.
    Newel {
        /// The newel.
        newel: String,
    },
    /// What is cut out of the boards of a run for a newel.
    Notch {
        /// The newel.
        newel: String,
        /// The run whose boards are cut, by its number.
        run: usize,
    },
    /// The reveals at the tread ends of a run.
    Reveals {
        /// The run, by its number.
        run: usize,
    },
    /// A wall as found, seen from the room.
    Wall {
        /// The wall.
        wall: String,
        /// The run that it was read with, by its number.
        run: usize,
    },
}

/// A measured drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What is drawn, in millimetres on the paper.
    pub drawing: Drawing,
    /// What it shows, for the title over or under it.
    pub title: String,
    /// The scale in words; empty for a chart, which has none.
    pub scale: &'static str,
    /// Millimetres of the model for one on the paper; 1 for a chart.
    pub by: f64,
    /// What its dimensions say, in the order in which they are drawn.
    pub dims: Vec<Dim>,
}

/// How a dimension is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DimKind {
    /// From the one zero of its row, which a small circle marks.
    Running,
    /// From the place before it in its row.
    Chain,
    /// From end to end of a row.
    Overall,
    /// By itself.
    Single,
}

/// What one dimension says.
#[derive(Clone, Debug, PartialEq)]
pub struct Dim {
    /// The row that it belongs to: dimensions of one chain, or of one running series, share it.
    pub row: String,
    /// How it is laid.
    pub kind: DimKind,
    /// The exact length.
    pub exact: Length,
    /// What is printed; empty where a crowd leaves no room, and the table of marks tells it.
    pub text: String,
    /// The two places that it measures between, mm in the first run's frame.
    pub places: [Point3<f64>; 2],
    /// The way along which it measures, a unit vector in that frame.
    pub way: Vector3<f64>,
    /// Where its two ends stand on the paper.
    pub paper: [Spot; 2],
}

impl View {
    /// A name for a file: letters, digits and hyphens.
    #[must_use]
    pub fn name(&self) -> String {
        let safe = |name: &str| -> String {
            let keep = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
            name.chars().map(keep).collect()
        };
        match self {
            Self::Plan { run: None } => "plan".to_owned(),
            Self::Plan { run: Some(run) } => format!("plan-{}", run + 1),
            Self::Elevation { run } => format!("elevation-{}", run + 1),
            Self::Newel { newel } => format!("newel-{}", safe(newel)),
            Self::Notch { newel, run } => format!("notch-{}-{}", safe(newel), run + 1),
            Self::Reveals { run } => format!("reveals-{}", run + 1),
            Self::Wall { wall, run } => format!("wall-{}-{}", safe(wall), run + 1),
        }
    }
}

/// Every drawing that a stair has, in the order of the sheets.
#[must_use]
pub fn views(chain: &Chain) -> Vec<View> {
    let runs = 0..chain.runs.len();
    let mut views = Vec::new();
    if chain.runs.len() > 1 {
        views.push(View::Plan { run: None });
    }
    views.extend(runs.clone().map(|run| View::Plan { run: Some(run) }));
    views.extend(runs.clone().map(|run| View::Elevation { run }));
    let newels = || chain.runs.iter().flat_map(|run| &run.setout.newels);
    views.extend(newels().map(|newel| View::Newel {
        newel: newel.name.clone(),
    }));
    for newel in newels() {
        let cut = dry_fits(chain, &newel.name).into_iter();
        views.extend(
            cut.filter(|(_, fit)| fit.cuts())
                .map(|(run, _)| View::Notch {
                    newel: newel.name.clone(),
                    run,
                }),
        );
    }
    let shows = |run: &usize| {
        let setout = &chain.runs[*run].setout;
        setout.on_treads() && !setout.reveals.is_empty()
    };
    views.extend(runs.clone().filter(shows).map(|run| View::Reveals { run }));
    for run in runs {
        let site = &chain.runs[run].site;
        views.extend(
            site.walls
                .iter()
                .take(site.own_walls)
                .map(|wall| View::Wall {
                    wall: wall.name.clone(),
                    run,
                }),
        );
    }
    views
}

/// A drawing to the largest scale at which it keeps to a room on the paper (width and height, mm)
/// with its dimensions on a tape. `None` where the chain has no such thing, and where no scale is
/// small enough for the room.
#[must_use]
pub fn draw(chain: &Chain, view: &View, room: (f64, f64), tape: Tape) -> Option<Measured> {
    match view {
        View::Plan { run } => plan::plan(chain, *run, room, tape),
        View::Elevation { run } => elevation::elevation(chain, *run, room, tape),
        View::Newel { newel } => section::section(chain, newel, room, tape),
        View::Notch { newel, run } => notch::notch(chain, (newel, *run), room, tape),
        View::Reveals { run } => reveals::reveals(chain, *run, room, tape),
        View::Wall { wall, run } => wall::wall(chain, (wall, *run), room, tape),
    }
}

/// What a run is called.
fn called(chain: &Chain, number: usize) -> String {
    let run = &chain.runs[number].run;
    let what = if run.job.level.is_some() {
        "level run"
    } else {
        "flight"
    };
    if run.beside.is_some() {
        format!("the railing on the wall side of run {}", run.name)
    } else if chain.runs.len() > 1 {
        format!("run {}, a {what}", run.name)
    } else {
        format!("the {what}")
    }
}

/// The largest scale at which a draft of a thing of a size (mm) keeps to the room.
fn fit(
    unit: Unit,
    (size, room): ((f64, f64), (f64, f64)),
    title: &str,
    make: impl Fn(f64) -> Draft,
) -> Option<Measured> {
    let least = (size.0 / room.0).max(size.1 / room.1);
    fit_panels(unit, (least, room), title, |by| vec![make(by).panel()])
}

/// The same for several panels; `least` is the largest scale to be tried, in millimetres of the
/// model for one on the paper.
fn fit_panels(
    unit: Unit,
    (least, room): (f64, (f64, f64)),
    title: &str,
    make: impl Fn(f64) -> Vec<Panel>,
) -> Option<Measured> {
    scales(unit)
        .iter()
        .filter(|(by, _)| *by >= least)
        .find_map(|(by, name)| {
            let scale = Scale {
                unit,
                by: *by,
                name,
            };
            let panels = make(*by);
            // The narrowest that fits, so that another stands beside it.
            [NotesAt::Under, NotesAt::Beside, NotesAt::Across]
                .into_iter()
                .find_map(|notes| {
                    let (drawing, dims) = sheet(panels.clone(), scale, title, (room.0, notes));
                    let fits = drawing.width <= room.0 && drawing.height <= room.1;
                    fits.then(|| Measured {
                        drawing,
                        title: title.to_owned(),
                        scale: name,
                        by: *by,
                        dims,
                    })
                })
        })
}
