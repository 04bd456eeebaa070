//! Treads, kicks and skirts: what each board is cut to on the stair as found.
//!
//! In: a job and its [`Site`]. Out: [`BoardsSet`], lengths and angles of every board, part by part.
//! Worked out on demand: nothing else in the set-out hangs on it.
//!
//! Where a tread was read with a template that is what it is cut to. Else its ends are those of the
//! stair as found: the skirt's face is straight in plan and plumb, nearest to the ends of all
//! treads; a wall is followed as it leans and bows.
//! The readings of a going are taken to be those of the kicks' feet, where a lean begins.

mod kick;
mod open_skirt;
mod scribe;
pub mod seam;
mod shape;
mod sides;
pub mod tilt;
mod tread;
mod wall_skirt;
mod winder;
mod winder_notch;

pub use kick::{KickEnd, KickSet};
pub use open_skirt::{OpenSkirtSet, SkirtStep};
pub use scribe::StripSet;
pub use seam::SeamSet;
pub use tread::{Blank, ReturnSet, TiltIn, TiltStrip, TreadEnd, TreadSet};
pub use wall_skirt::{BestHeight, CapsMeet, SkirtEnd, WallSkirtSet};
pub use winder::{TreadPlane, WinderSet, WinderSide, WinderTread, winders};
pub use winder_notch::{Stood, kick_outline};

use nalgebra::Point3;

use crate::job::Job;
use crate::site::Site;

/// The boards of one flight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BoardsSet {
    /// The treads, from the bottom.
    pub treads: Vec<TreadSet>,
    /// The kicks, from the bottom.
    pub kicks: Vec<KickSet>,
    /// The skirts on the wall side, in the order of the job.
    pub wall_skirts: Vec<WallSkirtSet>,
    /// The mitred skirts on the open side, in the order of the job.
    pub open_skirts: Vec<OpenSkirtSet>,
}

/// How far the treads and kicks of one flight reach, as they are cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reaches {
    /// The corners of each tread's show face in the flight's frame, mm, anticlockwise from above from
    /// the left end of its nosing; from the bottom, the upper floor not among them.
    pub treads: Vec<[Point3<f64>; 4]>,
    /// Where each kick ends on the wall side and on the open side, outward, mm; from the bottom.
    pub kicks: Vec<[f64; 2]>,
}

/// Works out how far the treads and kicks of one flight reach: what of their boards the picture shows.
#[must_use]
pub fn reaches(job: &Job, site: &Site) -> Reaches {
    let sides = sides::Sides::new(job, site);
    let treads = sides::treads(site).iter();
    let kicks = site.steps.iter();
    Reaches {
        treads: treads.map(|step| tread::corners(&sides, step)).collect(),
        kicks: kicks.map(|step| kick::ends(&sides, step)).collect(),
    }
}

/// Works out the boards of one flight.
#[must_use]
pub fn boards(job: &Job, site: &Site) -> BoardsSet {
    let sides = sides::Sides::new(job, site);
    BoardsSet {
        treads: tread::all(&sides),
        kicks: kick::all(&sides),
        wall_skirts: wall_skirt::all(&sides),
        open_skirts: open_skirt::all(&sides),
    }
}
