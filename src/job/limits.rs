//! What a job may hold: bounds past which a number is a slip of the pen and not a stair.
//!
//! These are wide on purpose: they keep nonsense out of the arithmetic. Whether a stair is a good
//! one is for the rule packs. All are our own choice, without a source.

use crate::measure::Length;

/// The least and the most that a length may be; both are allowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// The least.
    pub least: Length,
    /// The most.
    pub most: Length,
}

impl Bounds {
    const fn inches(least: f64, most: f64) -> Self {
        Self {
            least: Length::inches(least),
            most: Length::inches(most),
        }
    }

    /// The bounds of so many of these together.
    #[must_use]
    pub fn times(self, count: u32) -> Self {
        let count = f64::from(count);
        Self {
            least: self.least * count,
            most: self.most * count,
        }
    }

    /// True for a number between the bounds; never for NaN.
    #[must_use]
    pub fn hold(self, length: Length) -> bool {
        self.least <= length && length <= self.most
    }
}

/// Fewest kicks of a flight: two make one tread.
pub const FEWEST_KICKS: u32 = 2;
/// Most kicks of a flight: past this it is not one flight.
pub const MOST_KICKS: u32 = 60;
/// Most runs that go on from the first: forty storeys of two flights and two level runs each.
pub const MOST_RUNS: usize = 160;
/// Most characters of a run's name, which stands before the names of its parts.
pub const LONGEST_RUN_NAME: usize = 12;
/// Most readings of the steps: on every step, every kind that is read there, on three surfaces,
/// with some taken again.
pub const MOST_STEP_READINGS: usize = 60 * 13 * 3 * 2;
/// Most instruments.
pub const MOST_INSTRUMENTS: usize = 32;
/// Most laser lines.
pub const MOST_LINES: usize = 64;
/// Most floors and landings.
pub const MOST_FLOORS: usize = 16;
/// Most readings of one floor.
pub const MOST_FLOOR_READINGS: usize = 500;
/// Most walls.
pub const MOST_WALLS: usize = 32;
/// Fewest readings that say how a wall stands.
pub const FEWEST_WALL_READINGS: usize = 2;
/// Most readings of one wall.
pub const MOST_WALL_READINGS: usize = 2000;
/// Most alternatives: each is read and checked whenever the job is.
pub const MOST_ALTERNATIVES: usize = 12;
/// Most troubles that are let stand.
pub const MOST_LET_STAND: usize = 400;
/// Most characters of a trouble's id.
pub const LONGEST_TROUBLE: usize = 400;
/// What a trouble that is let stand measured.
pub const WAS: Bounds = Bounds::inches(-4000.0, 4000.0);
/// Most looks of the finished stair.
pub const MOST_LOOKS: usize = 8;
/// Most finishes of one look.
pub const MOST_FINISHES: usize = 24;
/// Most questions to the client.
pub const MOST_ASKS: usize = 20;
/// Most choices of one question.
pub const MOST_CHOICES: usize = 8;
/// Most characters of what a client wrote to one thing, with what is added to it.
pub const LONGEST_ANSWER: usize = 5000;
/// Most characters of who answered.
pub const LONGEST_SIGNED: usize = 200;
/// Most answers that came back.
pub const MOST_ANSWERS: usize = 200;
/// Most tapes that are kept as notes.
pub const MOST_NOTES: usize = 200;
/// Most characters of a part's name with its run's before it.
pub const LONGEST_PART: usize = LONGEST_RUN_NAME + 1 + LONGEST_NAME;
/// Most changes of one alternative.
pub const MOST_CHANGES: usize = 200;
/// Most readings of what has been fitted.
pub const MOST_BUILT: usize = 4000;
/// A fitted part further than this from its plan is likely to be a slip of the pen: our own choice.
pub const BUILT_OFF: Length = Length::inches(12.0);
/// Heights on a newel nearer to each other than this tell nothing of its lean.
pub const NEWEL_HEIGHTS_APART: Length = Length::inches(4.0);
/// Most newels.
pub const MOST_NEWELS: usize = 16;
/// Most stringers.
pub const MOST_STRINGERS: usize = 16;
/// Most skirts.
pub const MOST_SKIRTS: usize = 16;
/// Most steps at the bottom of a flight whose open end is not like the others.
pub const MOST_BOTTOM_STEPS: u32 = 6;
/// Fewest treads of a turn on winders.
pub const FEWEST_WINDERS: u32 = 1;
/// Most treads of a turn on winders.
pub const MOST_WINDERS: u32 = 24;
/// Most readings of a turn on winders.
pub const MOST_WINDER_READINGS: usize = 500;
/// How far a turn on winders turns, in degrees.
pub const WINDER_TURN_DEGREES: std::ops::RangeInclusive<f64> = 15.0..=180.0;
/// Most balusters on one tread.
pub const MOST_PER_TREAD: u32 = 40;
/// Most balusters along a rail.
pub const MOST_ALONG_RAIL: u32 = 1000;
/// Most characters of the job's name, which heads every page.
pub const LONGEST_JOB: usize = 120;
/// Most characters of a name.
pub const LONGEST_NAME: usize = 40;
/// Most characters of a remark, or of the time of a reading.
pub const LONGEST_REMARK: usize = 400;
/// Most turn of a newel, degrees either way.
pub const MOST_TWIST_DEGREES: f64 = 180.0;

/// Most parts delivered of one kind.
pub const MOST_RECEIVED: usize = 2000;
/// Most readings of the bow of one rail.
pub const MOST_RAIL_BOWS: usize = 200;
/// How many times as dear as filling relieving may be.
pub const RELIEVE_COST: std::ops::RangeInclusive<f64> = 0.01..=1000.0;
/// What being out of level may be worth as against filling.
pub const LEVEL_COST: std::ops::RangeInclusive<f64> = 0.0..=1000.0;
/// Most turn of a newel's head from its foot, degrees either way.
pub const MOST_WIND_DEGREES: f64 = 45.0;

/// Height of a kick.
pub const RISE: Bounds = Bounds::inches(1.0, 16.0);
/// Going of a tread.
pub const GOING: Bounds = Bounds::inches(2.0, 60.0);
/// Length of a tread.
pub const WIDTH: Bounds = Bounds::inches(6.0, 240.0);
/// Nosing beyond the kick.
pub const OVERHANG: Bounds = Bounds::inches(0.0, 6.0);
/// Thickness of a board.
pub const BOARD: Bounds = Bounds::inches(0.125, 12.0);
/// One edge of a tread below the other.
pub const FALL: Bounds = Bounds::inches(0.0, 4.0);
/// Baluster line to the open end of a tread.
pub const EDGE: Bounds = Bounds::inches(-24.0, 24.0);
/// A bottom step past the open ends of the others.
pub const BEYOND: Bounds = Bounds::inches(0.0, 24.0);
/// One end of a kick down the flight from its other end, as meant.
pub const FLARE: Bounds = Bounds::inches(0.0, 24.0);
/// Radius or side of a well that winders turn about.
pub const WELL: Bounds = Bounds::inches(0.5, 240.0);
/// A place along a side of winders.
pub const ALONG_WINDERS: Bounds = Bounds::inches(0.0, 2400.0);
/// From the narrow side of winders to their walk line.
pub const WALK_LINE: Bounds = Bounds::inches(1.0, 60.0);
/// From the narrow side of winders to the centre line of a rail.
pub const RAIL_IN: Bounds = Bounds::inches(-12.0, 24.0);
/// Finish floor on a subfloor.
pub const BUILD_UP: Bounds = Bounds::inches(0.0, 12.0);
/// One end of a tread above the other.
pub const OUT_OF_LEVEL: Bounds = Bounds::inches(0.0, 6.0);
/// A place in plan.
pub const PLAN: Bounds = Bounds::inches(-3600.0, 3600.0);
/// A height above the datum.
pub const ELEVATION: Bounds = Bounds::inches(-1200.0, 1200.0);
/// Length of a wall in plan.
pub const WALL_LENGTH: Bounds = Bounds::inches(1.0, 3600.0);
/// A wall's face off the plane that was meant.
pub const WALL_OFFSET: Bounds = Bounds::inches(-36.0, 36.0);
/// Length of a level.
pub const LEVEL: Bounds = Bounds::inches(4.0, 240.0);
/// Gap at the end of a level.
pub const LEVEL_GAP: Bounds = Bounds::inches(0.0, 36.0);
/// Gap at the middle of a straightedge.
pub const STRAIGHT_GAP: Bounds = Bounds::inches(-12.0, 12.0);
/// A laser plane off the meant face of the wall that it stands beside.
pub const BESIDE: Bounds = Bounds::inches(-36.0, 240.0);
/// From a laser plane beside a wall, at a place that is not given, to the wall's face.
pub const LINE_TO_WALL: Bounds = Bounds::inches(-72.0, 276.0);
/// From one wall to the one that faces it.
pub const BETWEEN: Bounds = Bounds::inches(1.0, 3600.0);
/// A leg marked along a wall from its corner.
pub const LEG: Bounds = Bounds::inches(1.0, 600.0);
/// A side of a landing, and what a level is laid on.
pub const LANDING: Bounds = Bounds::inches(6.0, 600.0);
/// How far a laser line is taken to stand off what is read from it, either way.
pub const OFF_LINE: Bounds = Bounds::inches(-1200.0, 1200.0);
/// Most standard uncertainty of a reading.
pub const MOST_SD: Length = Length::inches(4.0);
/// The least that a reading's own uncertainty may be: a hundredth of a millimetre is surer than any
/// tool on site, and beside what is not known at all the arithmetic needs it.
pub const LEAST_SD: Length = Length::mm(0.01);
/// Most that an instrument may be off, and most between two marks of a tape.
pub const MOST_OFF: Length = Length::inches(1.0);
/// Most that a level that shows degrees may be off, in degrees.
pub const MOST_SLOPE_OFF_DEGREES: f64 = 5.0;
/// The length over which an instrument's figure is given.
pub const OFF_OVER: Bounds = Bounds::inches(1.0, 12_000.0);
/// An instrument that is off by more than this share of a length is broken.
pub const MOST_OFF_SHARE: f64 = 0.05;
/// The pitch of a flight, in degrees: from a ramp's to a ladder's.
pub const PITCH_DEGREES: std::ops::RangeInclusive<f64> = 5.0..=70.0;
/// A gap under a level is this share of what the level stands on at most: past it the level slides.
pub const MOST_GAP_SHARE: f64 = 0.25;
/// A place read from a given laser line may be this far past where the least and most rise or
/// going put it: floors and kicks are yet to come.
pub const LINE_SLACK: Length = Length::inches(24.0);
/// What is left of a stringer under its cuts.
pub const THROAT: Bounds = Bounds::inches(0.25, 48.0);
/// Width of a skirt.
pub const SKIRT_WIDTH: Bounds = Bounds::inches(0.25, 60.0);
/// A skirt's edge above the nosing line.
pub const SKIRT_ABOVE: Bounds = Bounds::inches(0.0, 24.0);
/// A stringer's place across the flight.
pub const INSET: Bounds = Bounds::inches(-24.0, 240.0);
/// What fitting may add to a gap.
pub const FITTING: Bounds = Bounds::inches(0.0, 1.0);
/// A wanted reveal.
pub const REVEAL: Bounds = Bounds::inches(0.0, 12.0);
/// A side of an upright part's section.
pub const SECTION: Bounds = Bounds::inches(0.25, 24.0);
/// Height of a newel.
pub const NEWEL_HEIGHT: Bounds = Bounds::inches(4.0, 240.0);
/// How far a newel's head is off its foot.
pub const LEAN: Bounds = Bounds::inches(-24.0, 24.0);
/// The height over which a lean was read.
pub const LEAN_OVER: Bounds = Bounds::inches(4.0, 240.0);
/// How far a newel is moved from its place.
pub const MOVE: Bounds = Bounds::inches(-60.0, 60.0);
/// Width or depth of a rail.
pub const RAIL: Bounds = Bounds::inches(0.5, 16.0);
/// Bevel of a rail's upper edges.
pub const BEVEL: Bounds = Bounds::inches(0.0, 8.0);
/// Height of a rail above the nosings.
pub const RAIL_HEIGHT: Bounds = Bounds::inches(6.0, 120.0);
/// Size of a rosette.
pub const ROSETTE: Bounds = Bounds::inches(0.5, 24.0);
/// Size of blocking.
pub const BLOCKING: Bounds = Bounds::inches(0.5, 240.0);
/// A bottom rail above the nosing line.
pub const BOTTOM_RAIL_ABOVE: Bounds = Bounds::inches(-12.0, 24.0);
/// Length or diameter of a peg.
pub const PEG: Bounds = Bounds::inches(0.0625, 12.0);
/// Depth of a seat in the rail.
pub const SEAT: Bounds = Bounds::inches(0.0, 12.0);
/// Side of a peg to the end of a tread.
pub const EDGE_DISTANCE: Bounds = Bounds::inches(0.0, 12.0);
/// First baluster behind the kick.
pub const SET_BACK: Bounds = Bounds::inches(-12.0, 24.0);
/// The inside angle between a tread's nosing and its end, in degrees.
pub const TREAD_END_DEGREES: std::ops::RangeInclusive<f64> = 45.0..=135.0;
/// Most that a tread is wider at one edge than at the other: past it one of the two is misread.
pub const TREAD_TAPER: Length = Length::inches(3.0);
/// Most that is cut from under a show face, degrees from square.
pub const MOST_UNDERCUT_DEGREES: f64 = 30.0;
/// From the nosing to where a tread's relieved end begins.
pub const RELIEF_SHORT: Bounds = Bounds::inches(0.0, 24.0);
/// How far a kick's head is off its foot.
pub const KICK_LEAN: Bounds = Bounds::inches(-4.0, 4.0);
/// The height over which a kick's lean was read.
pub const KICK_LEAN_OVER: Bounds = Bounds::inches(1.0, 16.0);
/// A kick that leans by more than this share of its height is misread.
pub const MOST_LEAN_SHARE: f64 = 0.25;
/// Width of a return nosing; zero is one worked in the solid.
pub const RETURN_WIDTH: Bounds = Bounds::inches(0.0, 6.0);
/// How far a return nosing runs on past the kick behind.
pub const RETURN_PAST: Bounds = Bounds::inches(0.0, 12.0);
/// What a blank has over its board.
pub const BLANK_OVER: Bounds = Bounds::inches(0.0, 12.0);
/// Level cuts of a mitred skirt above the stringer's points.
pub const LEVEL_CUT: Bounds = Bounds::inches(0.0, 3.0);
/// Height of a level base.
pub const BASE_HEIGHT: Bounds = Bounds::inches(0.5, 36.0);
/// From the flight to where a skirt must meet its base.
pub const SKIRT_END: Bounds = Bounds::inches(0.0, 240.0);
/// What a bead of adhesive fills.
pub const BEAD: Bounds = Bounds::inches(0.005, 4.0);
/// How deep a cut may be relieved.
pub const RELIEVE: Bounds = Bounds::inches(0.0, 4.0);
/// How much rises or goings of neighbouring steps may differ.
pub const NEIGHBOURS: Bounds = Bounds::inches(0.0, 4.0);
/// What a delivered part may change of what was set out.
pub const RECEIVED: Bounds = Bounds::inches(0.0, 4.0);
/// Length of a delivered upright part.
pub const UPRIGHT: Bounds = Bounds::inches(2.0, 240.0);
/// How far something on a delivered part is off.
pub const OFF: Bounds = Bounds::inches(-4.0, 4.0);
/// A place along a rail.
pub const ALONG_RAIL: Bounds = Bounds::inches(0.0, 3600.0);
/// Two diagonals of a section may disagree with its sides by this much: a hard pencil's line on
/// each of six readings.
pub const DIAGONALS: Length = Length::inches(0.125);
/// Radius of an easing.
pub const EASING: Bounds = Bounds::inches(1.0, 60.0);
/// Level rail between an easing and a newel.
pub const LEVEL_PIECE: Bounds = Bounds::inches(0.0, 60.0);
/// Thickness of a hollow newel's sides.
pub const BOX_SIDES: Bounds = Bounds::inches(0.125, 6.0);
/// Height of the block in a hollow newel.
pub const BOX_BLOCK: Bounds = Bounds::inches(0.5, 48.0);
/// What is left round that block.
pub const BOX_EASE: Bounds = Bounds::inches(0.0, 0.5);
/// Length of a newel's head block, and what shows of it.
pub const HEAD_BLOCK: Bounds = Bounds::inches(0.0, 120.0);
/// How far a cap stands out, how thick it is and how high its point.
pub const CAP: Bounds = Bounds::inches(0.0, 24.0);
/// Clearance of a handrail from its wall.
pub const CLEARANCE: Bounds = Bounds::inches(0.25, 12.0);
/// Brackets from one to the next, and from the end.
pub const BRACKETS: Bounds = Bounds::inches(1.0, 120.0);
/// How far a handrail runs on beyond the nosings.
pub const RUN_ON: Bounds = Bounds::inches(-24.0, 120.0);
/// Most blocks under treads.
pub const MOST_BLOCKS: usize = 200;
/// Most fasteners told of.
pub const MOST_FASTENERS: usize = 1000;
/// A block or fastener from its step's kick.
pub const FROM_KICK: Bounds = Bounds::inches(-12.0, 120.0);
/// Diameter of a fastener.
pub const FASTENER: Bounds = Bounds::inches(0.03125, 4.0);
/// A block under a tread, from the tread down.
pub const BLOCK_BELOW: Bounds = Bounds::inches(0.0, 48.0);
/// Most screws and bolts in newels and rails.
pub const MOST_FIXINGS: usize = 200;
/// A bore's place from a foot, an end or a face's middle.
pub const FIXING_UP: Bounds = Bounds::inches(0.0, 480.0);
/// The same across the face.
pub const FIXING_OFF: Bounds = Bounds::inches(-24.0, 24.0);
/// How deep a bore goes.
pub const FIXING_DEEP: Bounds = Bounds::inches(0.125, 48.0);
/// Depth of a plug.
pub const PLUG_DEPTH: Bounds = Bounds::inches(0.03125, 4.0);
/// Room for knuckles round a rail.
pub const KNUCKLES: Bounds = Bounds::inches(0.0, 12.0);
/// A part past the edge of its tread.
pub const PAST_EDGE: Bounds = Bounds::inches(0.0, 12.0);
/// Most sections that take turns along a run.
pub const MOST_PATTERN: usize = 24;
/// Most places of a turned profile.
pub const MOST_TURNINGS: usize = 60;
/// Most panels of a run.
pub const MOST_PANELS: u32 = 100;
/// A place of a turned profile above the foot.
pub const TURNED_UP: Bounds = Bounds::inches(0.0, 120.0);
/// The top of a half wall or closed string above the nosing line.
pub const SHOE_ABOVE: Bounds = Bounds::inches(-12.0, 60.0);
/// How far a closed string or half wall reaches down from its top.
pub const STRING_DEPTH: Bounds = Bounds::inches(1.0, 240.0);
/// Width of a plough.
pub const PLOUGH_WIDTH: Bounds = Bounds::inches(0.125, 12.0);
/// Depth of a plough, and thickness of the fillets in it.
pub const PLOUGH_DEPTH: Bounds = Bounds::inches(0.0625, 6.0);
/// Width of a panel, level.
pub const PANEL_WIDTH: Bounds = Bounds::inches(1.0, 600.0);
/// Gap at the ends of panels and between them.
pub const PANEL_GAP: Bounds = Bounds::inches(0.0, 24.0);
/// A panel's edge from the nosing line or the rail.
pub const PANEL_EDGE: Bounds = Bounds::inches(0.0, 24.0);
/// Within these the published coefficients of shrinkage hold: moisture content, per cent (Wood
/// Handbook FPL-GTR-190, Table 13-5).
pub const MOISTURE_HOLDS: std::ops::RangeInclusive<f64> = 6.0..=14.0;
/// What wood may hold: past 30 per cent, fibre saturation, it swells no more.
pub const MOISTURE: std::ops::RangeInclusive<f64> = 0.0..=30.0;
/// A coefficient of shrinkage, as a share of the size per one per cent of moisture content. The
/// published ones go from 0.0007 to 0.005.
pub const SHRINKAGE: std::ops::RangeInclusive<f64> = 0.0001..=0.01;
/// Most woods that a job gives coefficients for, and most parts of another wood.
pub const MOST_WOODS: usize = 16;
/// How far a cut or a fitted part is said to be off, either way; zero is no error at all.
pub const TOLERANCE: Bounds = Bounds::inches(0.0, 2.0);
/// What the eye lets pass.
pub const SEEN: Bounds = Bounds::inches(0.001, 2.0);
/// A baluster's outer face in from the skirt's.
pub const FROM_SKIRT: Bounds = Bounds::inches(-12.0, 12.0);
/// Radius or bevel of a nosing's edge.
pub const NOSING_EDGE: Bounds = Bounds::inches(0.0, 4.0);
/// How far a kick's face slopes from plumb, in degrees.
pub const KICK_SLOPE_DEGREES: std::ops::RangeInclusive<f64> = 0.0..=60.0;
/// Most things told of that hang over a run.
pub const MOST_OVERHEADS: usize = 64;
/// How far the floor that a flight reaches goes on.
pub const REACHES_ON: Bounds = Bounds::inches(1.0, 3600.0);
/// How far it goes out past the open ends of the treads.
pub const REACHES_OUT: Bounds = Bounds::inches(0.0, 3600.0);
/// Most corners of a rail's section.
pub const MOST_PROFILE: usize = 400;
/// A corner of a rail's section from the middle of its top.
pub const PROFILE: Bounds = Bounds::inches(-16.0, 16.0);
/// Most amendments of a local text: more, and it is a rule pack.
pub const MOST_AMENDMENTS: usize = 60;
/// Most anchor details.
pub const MOST_ANCHORS: usize = 60;
/// Most letters of a citation, a detail or its source.
pub const LONGEST_CITATION: usize = 240;
/// A side of the patch that a force is stated over.
pub const PATCH: Bounds = Bounds::inches(0.25, 48.0);
/// The width of a saw's cut.
pub const KERF: Bounds = Bounds::inches(0.0, 1.0);
/// What is cut off the end of a board.
pub const END_TRIM: Bounds = Bounds::inches(0.0, 24.0);
/// Length of a board to cut from.
pub const BOARD_LENGTH: Bounds = Bounds::inches(4.0, 1200.0);
/// Width or thickness of one.
pub const BOARD_SIDE: Bounds = Bounds::inches(0.125, 60.0);
/// A place of a defect along a board.
pub const DEFECT: Bounds = Bounds::inches(0.0, 1200.0);
/// Diameter of a bead of adhesive.
pub const BEAD_DIAMETER: Bounds = Bounds::inches(0.03125, 2.0);
/// What a cartridge of it holds, in millilitres.
pub const CARTRIDGE_ML: std::ops::RangeInclusive<f64> = 1.0..=20_000.0;
/// Most kinds of stock.
pub const MOST_STOCK: usize = 60;
/// Most lengths of one kind.
pub const MOST_LENGTHS: usize = 60;
/// Most boards of one length.
pub const MOST_BOARDS: u32 = 10_000;
/// Most defects of a board.
pub const MOST_DEFECTS: usize = 40;
/// Most groups of matched pieces, and most pieces of one.
pub const MOST_MATCHED: usize = 200;
/// The most that anything costs.
pub const MOST_PRICE: f64 = 1e6;
/// The chance of a bad part.
pub const SPARES_BAD: std::ops::RangeInclusive<f64> = 0.0..=0.5;
/// How sure it may be asked that enough are good.
pub const SPARES_SURE: std::ops::RangeInclusive<f64> = 0.5..=0.9999;
/// Most hours that one thing takes, or that were spent at a time.
pub const MOST_HOURS: f64 = 10_000.0;
/// Most entries of hours.
pub const MOST_SPENT: usize = 2000;
/// Most letters of a currency.
pub const LONGEST_CURRENCY: usize = 8;
/// What a rough piece is longer than the finished one.
pub const ROUGH_OVER: Bounds = Bounds::inches(0.0, 48.0);
/// Length of a screw, brad or bolt of a joint.
pub const DRIVEN: Bounds = Bounds::inches(0.25, 12.0);
/// Diameter of its shank, and of its bores.
pub const SHANK: Bounds = Bounds::inches(0.02, 1.0);
/// Most of them in one joint.
pub const MOST_DRIVEN: u32 = 100;
/// From one to the next in a joint that runs on.
pub const DRIVEN_EVERY: Bounds = Bounds::inches(0.5, 96.0);
/// Most bytes of a rule pack; those that ship have a twentieth of it.
pub const MOST_PACK_BYTES: usize = 256 * 1024;
/// Most rules of one: more than there are quantities to limit.
pub const MOST_RULES: usize = 256;
/// Most characters of a text in one.
pub const LONGEST_PACK_TEXT: usize = 4000;
