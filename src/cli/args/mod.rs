//! What the command line takes.

mod picture;
mod printed;

use std::ops::RangeInclusive;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::inspect::Severity;
use crate::measure::Tape;
use crate::publish::sheet::Paper;
use crate::survey::points::Frame;
use crate::survey::points::read::PointUnit;

pub(super) use picture::Picture;
#[cfg(feature = "viewer")]
pub(super) use picture::{Mood, OnSheet};
pub(super) use printed::{OnPaper, Pole, Sheets, Templates};

/// Sets out newels, rails and balusters in a stairwell that is not plumb, level, straight or square.
#[derive(Debug, Parser)]
#[command(
    name = "rakewell",
    version,
    args_conflicts_with_subcommands = true,
    after_help = "With no JOB, the shipped demo is used.\n\
                  Exit status: 0 done, 1 trouble found (inspect, survey, doubt, compare),\n\
                  2 the input or the machine is at fault."
)]
pub(super) struct Cli {
    #[command(subcommand)]
    pub(super) command: Option<Command>,
    /// The job to open in the window
    pub(super) job: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write a new job to start from
    New(New),
    /// Find what will clash, gape, drift or break a rule, and say why
    Inspect(Inspect),
    /// Adjust the readings: which is a slip, what is open, what to read next
    Survey(Survey),
    /// Fit a wall to the points of a scan, and write them into a job as readings
    Points(Points),
    /// Print where every part stands and how it is cut
    Setout(Setout),
    /// Plan the boards to cut from, what to buy and the hours that it takes
    Stock(Stock),
    /// List what is cut, marked, bored and fastened, piece by piece
    Cuts(Cuts),
    /// List every part of the solid model, with its volume, centre and length
    Parts(Parts),
    /// Write the model: to be placed by a designer (ISO 16739, IFC 4) or to be looked at (glTF 2.0)
    Model(Model),
    /// Make a page for the client: the finished stair in one file that opens in any browser
    Page(ClientPage),
    /// Read what the client sent back from his page into the job, or list what he decided
    Answers(Answers),
    /// Set the alternatives of a job side by side, with the figures that decide
    Compare(Compare),
    /// Draw the stair and its making thousands of times: how sure is it, and what decides
    Doubt(Doubt),
    /// Draw the stair to a PNG file
    Picture(Picture),
    /// Print full-size templates of notches, bores, rail and skirt ends and angles
    Templates(Templates),
    /// Print the story pole of every run, full size and as a list
    Pole(Pole),
    /// Print a set of sheets to work from: drawings to scale, cuts, marks, buying, troubles, rules
    Sheets(Sheets),
    /// Print a sheet to fill in with readings, in the order one walks the stair
    SurveySheet(SurveySheet),
    /// Write man pages, and what shells complete commands by
    #[command(hide = true)]
    Manual(Manual),
}

#[derive(Debug, Args)]
pub(super) struct Manual {
    /// The folder to write them below, as ~/.local or a package's usr; what is there is replaced
    #[arg(long, value_name = "FOLDER")]
    pub(super) to: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// The file to write; it must not be there yet
    #[arg(required_unless_present = "list")]
    pub(super) file: Option<PathBuf>,
    /// The scene to start from
    #[arg(long, value_name = "SCENE", default_value = "straight")]
    pub(super) from: String,
    /// List the scenes to start from
    #[arg(long)]
    pub(super) list: bool,
}

#[derive(Debug, Args)]
pub(super) struct Cuts {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print the marks instead of the cut list and the fastenings
    #[arg(long)]
    pub(super) marks: bool,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Also write every table into this folder, in place of those that may be there
    #[arg(long, value_name = "FOLDER")]
    pub(super) csv: Option<PathBuf>,
    /// Answer in JSON: cut list, fastenings and marks
    #[arg(long, conflicts_with = "marks")]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct Inspect {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Tell only troubles at least this bad
    #[arg(long, value_enum, value_name = "SEVERITY", default_value = "remark")]
    pub(super) at_least: Least,
    /// Also write it as a sheet to sign, in place of one that may be there
    #[arg(long, value_name = "FILE.pdf|FILE.html")]
    pub(super) sheet: Option<PathBuf>,
    /// The paper of the sheet; if not given, letter for a job in inches and a4 for one in
    /// millimetres
    #[arg(long, value_enum, requires = "sheet")]
    pub(super) paper: Option<SheetPaper>,
    /// The date to print on the sheet; if not given, it is left to be written in
    #[arg(long, value_name = "DATE", requires = "sheet", value_parser = date)]
    pub(super) date: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE", conflicts_with = "apply")]
    pub(super) tape: Option<OnTape>,
    /// Say why one number is what it is: a trouble's number in the list, or a name such as
    /// gap:N1+B01 or reveal:T5+B10
    #[arg(long, value_name = "TROUBLE", conflicts_with = "sheet")]
    pub(super) why: Option<String>,
    /// Write a trouble's first cure into the job, or another: 2 is the first one of trouble 2, 2:3
    /// its third
    #[arg(long, value_name = "TROUBLE[:CURE]", requires = "job", conflicts_with_all = ["why", "alternative", "json", "sheet"])]
    pub(super) apply: Option<String>,
    /// Write into the job that a trouble is let stand; it stays one, and the reason is told with it
    #[arg(long, value_name = "TROUBLE", requires_all = ["job", "because"], conflicts_with_all = ["why", "apply", "alternative", "json", "sheet"])]
    pub(super) let_stand: Option<String>,
    /// With --let-stand: why
    #[arg(long, value_name = "REASON", requires = "let_stand")]
    pub(super) because: Option<String>,
    /// Troubles that are let stand do not count for the exit status
    #[arg(long)]
    pub(super) but_let_stand: bool,
}

/// The tapes, as words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum OnTape {
    /// Marks every 1/16 in
    #[value(name = "1/16")]
    Sixteenths,
    /// Marks every 1/32 in
    #[value(name = "1/32")]
    ThirtySeconds,
    /// Marks every millimetre
    #[value(name = "mm")]
    Millimetres,
}

impl From<OnTape> for Tape {
    fn from(tape: OnTape) -> Self {
        match tape {
            OnTape::Sixteenths => Self::Sixteenths,
            OnTape::ThirtySeconds => Self::ThirtySeconds,
            OnTape::Millimetres => Self::Millimetres,
        }
    }
}

/// A date as it is to be printed: short, and without what does not print.
fn date(text: &str) -> Result<String, String> {
    let text = text.trim();
    let short = (1..=40).contains(&text.chars().count());
    if short && !text.chars().any(char::is_control) {
        Ok(text.to_owned())
    } else {
        Err("write a date on one line, 40 letters at the most".to_owned())
    }
}

/// The severities, as words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Least {
    /// Everything, also what only a careful eye sees
    Remark,
    /// What will show or will not fit
    Fix,
    /// What could hurt somebody, be rejected, or needs an engineer
    Stop,
}

impl Least {
    pub(super) fn severity(self) -> Severity {
        match self {
            Self::Remark => Severity::Remark,
            Self::Fix => Severity::Fix,
            Self::Stop => Severity::Stop,
        }
    }
}

#[derive(Debug, Args)]
pub(super) struct Survey {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Also draw each wall's departure from true into this folder, as wall-NAME.svg
    #[arg(long, value_name = "FOLDER")]
    pub(super) walls: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct Points {
    /// The job that the wall stands in
    pub(super) job: PathBuf,
    /// The wall, by its name
    #[arg(long)]
    pub(super) wall: String,
    /// The points: PLY, or rows of numbers
    #[arg(long, value_name = "FILE")]
    pub(super) file: PathBuf,
    /// The unit of their numbers
    #[arg(long, value_enum, default_value = "m")]
    pub(super) unit: ScanUnit,
    /// The columns of a point's three numbers, by name or number
    #[arg(long, value_name = "x,y,z")]
    pub(super) columns: Option<String>,
    /// The frame that they are in: the wall's (along, up, off) or the flight's
    #[arg(long, value_enum, default_value = "flight")]
    pub(super) frame: ScanFrame,
    /// Where the instrument stands in the flight's frame, three lengths
    #[arg(long, value_name = "x, y, z", allow_hyphen_values = true)]
    pub(super) origin: Option<String>,
    /// How far the instrument's x is turned from the flight's, in degrees anticlockwise from above
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub(super) turn: Option<String>,
    /// Points farther than this off the meant face are not on the wall; 150 mm if not given
    #[arg(long, value_name = "LENGTH")]
    pub(super) band: Option<String>,
    /// Write a copy of the job with the thinned points as readings; it must not be there yet
    #[arg(long, value_name = "NEW-JOB.ron")]
    pub(super) to: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// The unit of a scan's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ScanUnit {
    /// Metres
    M,
    /// Millimetres
    Mm,
    /// Centimetres
    Cm,
    /// Inches
    In,
    /// Feet
    Ft,
}

impl ScanUnit {
    pub(super) fn unit(self) -> PointUnit {
        match self {
            Self::M => PointUnit::Metres,
            Self::Mm => PointUnit::Millimetres,
            Self::Cm => PointUnit::Centimetres,
            Self::In => PointUnit::Inches,
            Self::Ft => PointUnit::Feet,
        }
    }
}

/// The frame of a scan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ScanFrame {
    /// Along the wall, up, off its meant face
    Wall,
    /// Up the flight, to the left of one going up, up
    Flight,
}

impl ScanFrame {
    pub(super) fn frame(self) -> Frame {
        match self {
            Self::Wall => Frame::Wall,
            Self::Flight => Frame::Flight,
        }
    }
}

#[derive(Debug, Args)]
pub(super) struct Setout {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Instead set this newel down dry: the lines to knife for its notch, what lies behind, what
    /// would show
    #[arg(long, value_name = "NEWEL")]
    pub(super) fit: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct Stock {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Your price list: a line for each item, under a head line item,length,price,currency
    #[arg(long, value_name = "FILE.csv")]
    pub(super) prices: Option<PathBuf>,
    /// Also draw every board into this folder, as boards-NUMBER-KIND.svg, a file for each section
    #[arg(long, value_name = "FOLDER")]
    pub(super) boards: Option<PathBuf>,
    /// Also write every cut into this file, in place of one that may be there
    #[arg(long, value_name = "FILE.csv")]
    pub(super) csv: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct Compare {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct Doubt {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Draw no more often than this
    #[arg(long, value_name = "NUMBER", default_value_t = 10_000, value_parser = whole::<u64>(100..=10_000_000))]
    pub(super) draws: u64,
    /// The same number gives the same draws
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = whole::<u64>(0..=u64::MAX))]
    pub(super) seed: u64,
    /// Draw on so many threads; the answer is the same on any number
    #[arg(long, value_name = "NUMBER", value_parser = whole::<u16>(1..=1_024))]
    pub(super) threads: Option<u16>,
    /// Also count what nobody read, as far off as rough framing may be; without this it stands as
    /// meant
    #[arg(long)]
    pub(super) unread: bool,
    /// The chance that is wanted, as 99%
    #[arg(long, value_name = "CHANCE", default_value = "99%", value_parser = chance)]
    pub(super) chance: f64,
    /// Also say what each setting would have to be for the whole to keep within its limits with the
    /// wanted chance
    #[arg(long)]
    pub(super) safe: bool,
    /// Also say how loose each operation may be for that
    #[arg(long)]
    pub(super) tolerances: bool,
    /// With --tolerances: no reveal is to be off by more than this
    #[arg(long, value_name = "LENGTH", requires = "tolerances")]
    pub(super) reveal: Option<String>,
    /// Say what decides one of its lines, by its number or id: each source's share of its variance,
    /// and what to read again
    #[arg(long, value_name = "ID", conflicts_with_all = ["safe", "tolerances"])]
    pub(super) decides: Option<String>,
    /// Instead draw how a small error on each step adds up along the flights into this file, in
    /// place of one that may be there
    #[arg(long, value_name = "FILE.svg|FILE.pdf", conflicts_with_all = ["safe", "tolerances", "decides"])]
    pub(super) compounding: Option<PathBuf>,
    /// With --compounding: the error on each step, either way; 1/16 in if not given
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "compounding",
        allow_hyphen_values = true
    )]
    pub(super) per_step: Option<String>,
}

/// A whole number within bounds.
pub(super) fn whole<N: TryFrom<u64> + Clone + Send + Sync + 'static>(
    within: RangeInclusive<u64>,
) -> impl Fn(&str) -> Result<N, String> + Clone + Send + Sync + 'static {
    move |text| {
        let read = text.trim().parse::<u64>().ok();
        let read = read.filter(|number| within.contains(number));
        read.and_then(|number| N::try_from(number).ok())
            .ok_or_else(|| match *within.end() {
                u64::MAX => "write a whole number".to_owned(),
                most => format!("write a whole number from {} to {most}", within.start()),
            })
    }
}

/// A chance as a share: from 50 % to 99.99 %.
fn chance(text: &str) -> Result<f64, String> {
    let wrong = || "write a chance from 50% to 99.99%, as 99%".to_owned();
    let number = text.trim();
    let (number, per) = match number.strip_suffix('%') {
        Some(number) => (number, 100.0),
        None => (number, 1.0),
    };
    let share = number.trim().parse::<f64>().map_err(|_unread| wrong())? / per;
    if (0.5..=0.9999).contains(&share) {
        Ok(share)
    } else {
        Err(wrong())
    }
}

#[derive(Debug, Args)]
pub(super) struct Parts {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// Print lengths on this tape; the job's own if not given
    #[arg(long, value_enum, value_name = "TAPE")]
    pub(super) tape: Option<OnTape>,
    /// Answer in CSV
    #[arg(long, conflicts_with = "json")]
    pub(super) csv: bool,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Write the answer into this file, in place of one that may be there
    #[arg(long, value_name = "FILE")]
    pub(super) to: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct Model {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// Work on this alternative of the job
    #[arg(long, value_name = "NAME")]
    pub(super) alternative: Option<String>,
    /// The file to write, in place of one that may be there
    #[arg(long, value_name = "FILE.ifc|FILE.glb")]
    pub(super) to: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct ClientPage {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// The file to write, in place of one that may be there
    #[arg(long, value_name = "FILE.html")]
    pub(super) to: PathBuf,
    /// Show this alternative beside the job as it stands, and so for each; all of them if none is
    /// named
    #[arg(long, value_name = "NAME", visible_alias = "alternative")]
    pub(super) alternatives: Vec<String>,
    /// Show no alternative
    #[arg(long, conflicts_with = "alternatives")]
    pub(super) as_it_stands: bool,
    /// Show what materials cost, by this price list; without it no price is shown
    #[arg(long, value_name = "FILE.csv")]
    pub(super) prices: Option<PathBuf>,
    /// Make no pictures: a browser without 3D, and paper, then have words alone
    #[arg(long)]
    pub(super) no_pictures: bool,
}

#[derive(Debug, Args)]
pub(super) struct Answers {
    /// The job; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// The file or the text that came back, read into the job; - is standard input. Without it, what
    /// is asked and answered is listed
    #[arg(long, value_name = "FILE", requires = "job")]
    pub(super) from: Option<PathBuf>,
    /// With --from: say what would be put into the job, and write nothing
    #[arg(long, requires = "from")]
    pub(super) tell_only: bool,
}

#[derive(Debug, Args)]
pub(super) struct SurveySheet {
    /// The job whose shape the sheet is for; the shipped demo if not given
    pub(super) job: Option<PathBuf>,
    /// The PDF file to write; it must not be there yet
    #[arg(long, value_name = "FILE.pdf")]
    pub(super) to: PathBuf,
    /// The paper; if not given, letter for a job in inches and a4 for one in millimetres
    #[arg(long, value_enum)]
    pub(super) paper: Option<SheetPaper>,
    /// Print the readings that the job has, faint
    #[arg(long)]
    pub(super) filled: bool,
    /// A starter scene instead of a job
    #[arg(long, value_name = "SCENE", conflicts_with = "job")]
    pub(super) scene: Option<String>,
}

/// The sizes of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum SheetPaper {
    /// 8 1/2 by 11 in
    Letter,
    /// 210 by 297 mm
    A4,
}

impl SheetPaper {
    pub(super) fn paper(self) -> Paper {
        match self {
            Self::Letter => Paper::Letter,
            Self::A4 => Paper::A4,
        }
    }
}
