//! What `picture` takes.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Args, ValueEnum};

use super::whole;

#[derive(Debug, Args)]
pub(in crate::cli) struct Picture {
    /// The job; the shipped demo if not given
    pub(in crate::cli) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) alternative: Option<String>,
    /// Draw this alternative beside it, left of a line down the middle; "" is the job as it stands
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) beside: Option<String>,
    /// The PNG file to write; with --sheet it may be a PDF, and with --turn a folder for the numbered
    /// pictures
    #[arg(long, value_name = "FILE.png")]
    pub(in crate::cli) to: PathBuf,
    /// The viewpoint: front, above, side, end, plan, foot, head, door, string, string:FLIGHT,
    /// newel:NAME, wall:NAME, section:x=DISTANCE (across, so far up from the first kick),
    /// section:y=DISTANCE (along, so far to the left of the baluster line) or
    /// trouble:NUMBER, as `inspect` numbers them
    #[arg(long, value_name = "NAME", default_value = "front")]
    pub(in crate::cli) view: String,
    /// Width and height in pixels
    #[arg(long, value_name = "WxH", default_value = "1600x1000")]
    pub(in crate::cli) size: Size,
    /// Measured and annotated, or finished
    #[arg(long, value_enum, default_value = "work")]
    pub(in crate::cli) mood: Mood,
    /// Finish it in the look of this name, with `--mood show`; the first if not given
    #[arg(long, value_name = "NAME")]
    pub(in crate::cli) look: Option<String>,
    /// Draw several pictures on one sheet
    #[arg(long, value_enum, value_name = "WHAT",
          conflicts_with_all = ["beside", "fan", "fit", "slate", "stretch", "turn", "clear"])]
    pub(in crate::cli) sheet: Option<OnSheet>,
    /// Go once round the stair in so many pictures, 2 to 360: FILE.png moves, a folder gets them
    /// numbered
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["beside", "fit"],
          value_parser = whole::<u16>(2..=360))]
    pub(in crate::cli) turn: Option<u16>,
    /// Look through so many places of every pixel: 4, 16 or 64; from 16 on shadows have soft rims
    #[arg(long, value_name = "NUMBER", default_value_t = 4, value_parser = samples)]
    pub(in crate::cli) samples: u32,
    /// Leave out walls and paper, and leave the ground clear (transparent)
    #[arg(long, conflicts_with = "beside")]
    pub(in crate::cli) clear: bool,
    /// Draw on slate, light on dark, instead of on paper
    #[arg(long)]
    pub(in crate::cli) slate: bool,
    /// Draw departures from true this many times as large, 1 to 20
    #[arg(long, value_name = "TIMES", default_value = "1", value_parser = stretch)]
    pub(in crate::cli) stretch: f64,
    /// Also show where the rails may come to lie, half of the time and 19 times in 20
    #[arg(long)]
    pub(in crate::cli) fan: bool,
    /// Show this newel set down dry, before anything is cut for it, from where its marks are seen
    #[arg(long, value_name = "NEWEL", conflicts_with_all = ["view", "fan", "stretch", "mood"])]
    pub(in crate::cli) fit: Option<String>,
    /// With --fit: how far the newel is lifted, from 0 (it stands) to 1 (clear of the stair)
    #[arg(long, value_name = "SHARE", default_value = "1", requires = "fit", value_parser = share)]
    pub(in crate::cli) lifted: f64,
    /// With --fan: draw the stair so many times
    #[arg(long, value_name = "NUMBER", default_value_t = 2_000, requires = "fan", value_parser = whole::<u64>(100..=1_000_000))]
    pub(in crate::cli) draws: u64,
}

/// A share from 0 to 1.
fn share(text: &str) -> Result<f64, String> {
    let wrong = || "write a share from 0 to 1, as 0.5".to_owned();
    let share = text.trim().parse::<f64>().map_err(|_unread| wrong())?;
    (0.0..=1.0)
        .contains(&share)
        .then_some(share)
        .ok_or_else(wrong)
}

/// How many places of a pixel are looked through.
fn samples(text: &str) -> Result<u32, String> {
    let asked = text.trim().parse::<u32>().ok();
    let known = asked.filter(|number| [4, 16, 64].contains(number));
    known.ok_or_else(|| "write 4, 16 or 64".to_owned())
}

/// Which pictures stand together on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum OnSheet {
    /// The framing as it is found, and the stair finished
    Before,
    /// Every look that it may be finished in
    Looks,
    /// The job as it stands and every alternative
    Ways,
}

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum Mood {
    /// Measured and annotated
    Work,
    /// Finished, nothing technical
    Show,
}

/// A picture's size in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) struct Size {
    pub(in crate::cli) width: u32,
    pub(in crate::cli) height: u32,
}

/// The least and the greatest side of a picture. Graphics cards that are still in use draw no
/// larger than 8192 pixels, and the software driver takes memory in proportion.
const SIDES: std::ops::RangeInclusive<u32> = 64..=8192;

impl FromStr for Size {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let sides = text.split_once(['x', 'X']);
        let read = |side: &str| side.parse().ok().filter(|side| SIDES.contains(side));
        sides
            .and_then(|(width, height)| {
                Some(Self {
                    width: read(width)?,
                    height: read(height)?,
                })
            })
            .ok_or_else(|| {
                format!(
                    "write width and height in pixels as 1600x1000, each {} to {}",
                    SIDES.start(),
                    SIDES.end()
                )
            })
    }
}

fn stretch(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(times) if (1.0..=20.0).contains(&times) => Ok(times),
        _ => Err("write a number from 1 to 20".to_owned()),
    }
}
