//! The stair itself against the rule pack: rises, treads, nosings, slopes.

use nalgebra::Point3;

use crate::measure::{Angle, Length, Tape};
use crate::rules::{Pack, Quantity, Rule, Sense};
use crate::setout::rail_window::nosing_line;
use crate::site::{Frame, PlacedTurn, Site, Step};

use super::railing::{Limit, exact};
use super::{Finding, Key, Kind, Severity};

/// A value with the part it belongs to and where to point at.
#[derive(Clone, Debug)]
struct Read {
    part: String,
    value: Length,
    at: Point3<f64>,
}

/// What one climbs without a landing before a flight: the flight below and the winders between.
#[derive(Clone, Debug, Default)]
pub(super) struct Below {
    rises: [Vec<Read>; 3],
    climbed: f64,
}

impl Below {
    /// How many rises are climbed.
    pub(super) fn rises(&self) -> usize {
        self.rises[0].len()
    }

    /// The flight that a turn goes on from and the turn itself, with their places in the frame of
    /// the run above.
    pub(super) fn of(base: &Site, frames: [&Frame; 2], turns: &[PlacedTurn]) -> Self {
        let [base_frame, here] = frames;
        let carried = |read: &Read| Read {
            at: here.from_first(&base_frame.to_first(&read.at)),
            ..read.clone()
        };
        let mut all = rises(base).map(|reads| reads.iter().map(carried).collect::<Vec<_>>());
        let mut climbed = base.steps.last().map_or(0.0, |last| last.height);
        for turn in turns {
            for tread in &turn.site.treads {
                if tread.number == 1 && !turn.has_first_kick {
                    continue;
                }
                climbed += tread.rise;
                let at = Point3::new(tread.about.x, tread.about.y, tread.height);
                let read = Read {
                    part: format!("{}K{}", turn.mark, tread.number),
                    value: Length::mm(tread.rise),
                    at: here.from_first(&turn.frame.to_first(&at)),
                };
                for reads in &mut all {
                    reads.push(read.clone());
                }
            }
        }
        Self {
            rises: all,
            climbed,
        }
    }
}

/// Every finding about the stair itself. `below` is climbed before it without a landing; where
/// `goes_on`, winders follow without one, and what is of a whole flight is told with the flight above.
pub(super) fn findings(
    site: &Site,
    pack: &Pack,
    tape: Tape,
    below: &Below,
    goes_on: bool,
) -> Vec<Finding> {
    let rises = rises(site);
    let mut whole = below.rises.clone();
    for (whole, own) in whole.iter_mut().zip(&rises) {
        whole.extend(own.iter().cloned());
    }
    let depths: Vec<Read> = site
        .steps
        .windows(2)
        .map(|pair| depth(site, &pair[0], &pair[1]))
        .collect();
    let nosings: Vec<Read> = site.steps.iter().map(|step| nosing(site, step)).collect();
    let judged = Judged { pack, tape };
    let mut found = Vec::new();
    found.extend(judged.each(Kind::Rise, Quantity::RiseMax, &worst(&rises), "rises"));
    found.extend(judged.each(Kind::Rise, Quantity::RiseLeast, &lowest(&rises), "rises"));
    if !goes_on {
        found.extend(judged.range(
            Kind::RiseVariation,
            Quantity::RiseVariation,
            widest(&whole),
            "rises",
        ));
        found.extend(judged.adjacent(
            (Kind::RiseAdjacent, Quantity::RiseAdjacent),
            &whole,
            "rises",
        ));
        found.extend(judged.flight_rise(site, below.climbed));
    }
    found.extend(judged.each(
        Kind::TreadDepth,
        Quantity::TreadDepth,
        &depths,
        "has a depth, nosing to nosing, of",
    ));
    found.extend(judged.range(
        Kind::TreadVariation,
        Quantity::TreadVariation,
        &depths,
        "tread depths",
    ));
    found.extend(judged.each(
        Kind::TreadDepth,
        Quantity::TreadDepthMost,
        &depths,
        "has a depth, nosing to nosing, of",
    ));
    found.extend(judged.adjacent(
        (Kind::GoingAdjacent, Quantity::GoingAdjacent),
        std::slice::from_ref(&depths),
        "tread depths",
    ));
    let together = two_rises_and_going(&rises[1], &depths);
    for quantity in [
        Quantity::TwoRisesAndGoingLeast,
        Quantity::TwoRisesAndGoingMost,
    ] {
        let verb = "takes, two rises and its going together,";
        found.extend(judged.each(Kind::TwoRisesAndGoing, quantity, &together, verb));
    }
    found.extend(judged.pitch(site));
    if needs_nosing(pack, &depths) {
        found.extend(judged.each(Kind::Nosing, Quantity::NosingLeast, &nosings, "overhangs"));
    }
    found.extend(judged.each(Kind::Nosing, Quantity::NosingMost, &nosings, "overhangs"));
    found.extend(judged.range(
        Kind::NosingVariation,
        Quantity::NosingVariation,
        &nosings,
        "overhangs",
    ));
    found.extend(
        site.steps
            .iter()
            .filter_map(|step| judged.slope(site, step)),
    );
    found
}

/// Treads deep enough need no nosing.
fn needs_nosing(pack: &Pack, depths: &[Read]) -> bool {
    let exempt = pack.length(Quantity::NosingExemptDepth);
    exempt.is_none_or(|depth| depths.iter().any(|read| read.value < depth))
}

/// The rises of the flight at its open end, on the baluster line and at its wall end: a tread out of
/// level makes them differ.
fn rises(site: &Site) -> [Vec<Read>; 3] {
    let offsets: [fn(&Step) -> f64; 3] = [|step| step.open_q, |_| 0.0, |step| step.wall_q];
    offsets.map(|offset| {
        site.steps
            .iter()
            .map(|step| rise(site, step, offset(step)))
            .collect()
    })
}

fn rise(site: &Site, step: &Step, q: f64) -> Read {
    // Between the nosings; from the floor at the first kick. Where treads are level it is as read,
    // to the last bit: a rise of exactly the limit is met.
    let over_line = |step: &Step| step.nosing_top(q) - step.height;
    let below = site
        .step(step.number - 1)
        .map_or_else(|| site.lower_floor(0.0, q), over_line);
    let value = step.rise + over_line(step) - below;
    Read {
        part: site.named(format_args!("K{}", step.number)),
        value: Length::mm(value),
        at: site.at(step.kick_at(q), q, step.nosing_top(q) - value / 2.0),
    }
}

/// Each rise where it is greatest.
fn worst(rises: &[Vec<Read>; 3]) -> Vec<Read> {
    each_side(rises, |a, b| if exceeds(b, a) { b } else { a })
}

/// Each rise where it is least.
fn lowest(rises: &[Vec<Read>; 3]) -> Vec<Read> {
    each_side(rises, |a, b| if exceeds(a, b) { b } else { a })
}

/// Each rise at the side that is picked, the baluster line first.
fn each_side(
    rises: &[Vec<Read>; 3],
    pick: impl for<'r> Fn(&'r Read, &'r Read) -> &'r Read,
) -> Vec<Read> {
    let [open, line, wall] = rises;
    let sides = open.iter().zip(line).zip(wall);
    sides
        .map(|((open, line), wall)| pick(pick(line, open), wall).clone())
        .collect()
}

/// Two rises and one going of each tread: of its own rise, and nosing to nosing.
fn two_rises_and_going(rises: &[Read], depths: &[Read]) -> Vec<Read> {
    let pairs = rises.iter().zip(depths);
    pairs
        .map(|(rise, depth)| Read {
            value: rise.value * 2.0 + depth.value,
            ..depth.clone()
        })
        .collect()
}

/// Whether one read is greater than another.
fn exceeds(a: &Read, b: &Read) -> bool {
    a.value.total_cmp(&b.value).is_gt()
}

/// The side of the flight on which the rises differ most.
fn widest(rises: &[Vec<Read>; 3]) -> &[Read] {
    let range = |reads: &[Read]| {
        let least = reads
            .iter()
            .map(|read| read.value)
            .min_by(Length::total_cmp);
        let most = reads
            .iter()
            .map(|read| read.value)
            .max_by(Length::total_cmp);
        most.unwrap_or_default() - least.unwrap_or_default()
    };
    let [open, line, wall] = rises;
    let wider = |a, b| if range(b) > range(a) { b } else { a };
    wider(wider(line.as_slice(), open.as_slice()), wall.as_slice())
}

/// Tread depth: level, between the plumb planes of neighbouring nosings.
fn depth(site: &Site, step: &Step, next: &Step) -> Read {
    Read {
        part: site.named(format_args!("T{}", step.number)),
        value: Length::mm(next.nosing_x() - step.nosing_x()),
        at: site.at(
            f64::midpoint(step.nosing_x(), next.nosing_x()),
            0.0,
            step.height,
        ),
    }
}

fn nosing(site: &Site, step: &Step) -> Read {
    Read {
        part: site.named(format_args!("T{}", step.number)),
        value: Length::mm(step.overhang),
        at: site.at(step.nosing_x(), 0.0, step.height),
    }
}

struct Judged<'a> {
    pack: &'a Pack,
    tape: Tape,
}

impl Judged<'_> {
    /// The rule on a quantity that is a length, with that length.
    fn rule(&self, quantity: Quantity) -> Option<(&Rule, Length)> {
        let rule = self.pack.rule(quantity)?;
        Some((rule, rule.length()?))
    }

    fn each(&self, kind: Kind, quantity: Quantity, reads: &[Read], verb: &str) -> Vec<Finding> {
        let Some((rule, limit)) = self.rule(quantity) else {
            return Vec::new();
        };
        let side = if rule.sense == Sense::AtLeast {
            "at least"
        } else {
            "at most"
        };
        reads
            .iter()
            .map(|read| {
                let says = format!(
                    "{} {verb} {}; {side} {} is asked",
                    named(&read.part),
                    self.tape.print(read.value),
                    self.tape.print(limit)
                );
                let parts = vec![read.part.clone(), side.to_owned()];
                finding(Key { kind, parts }, read.value, rule, limit, read.at, says)
            })
            .collect()
    }

    fn range(&self, kind: Kind, quantity: Quantity, reads: &[Read], what: &str) -> Option<Finding> {
        let (rule, limit) = self.rule(quantity)?;
        let least = reads.iter().min_by(|a, b| a.value.total_cmp(&b.value))?;
        let most = reads.iter().max_by(|a, b| a.value.total_cmp(&b.value))?;
        let range = most.value - least.value;
        let says = format!(
            "the {what} of the flight differ by {} ({} {}, {} {}); at most {} is asked",
            self.tape.print(range),
            least.part,
            self.tape.print(least.value),
            most.part,
            self.tape.print(most.value),
            self.tape.print(limit)
        );
        let key = Key {
            kind,
            parts: Vec::new(),
        };
        Some(finding(key, range, rule, limit, least.at, says))
    }

    /// The neighbours that differ most, on whichever side they do.
    fn adjacent(
        &self,
        (kind, quantity): (Kind, Quantity),
        sides: &[Vec<Read>],
        what: &str,
    ) -> Option<Finding> {
        let (rule, limit) = self.rule(quantity)?;
        let pairs = sides.iter().flat_map(|side| side.windows(2));
        let by = |pair: &[Read]| (pair[1].value - pair[0].value).abs();
        let worst = pairs.max_by(|a, b| by(a).total_cmp(&by(b)))?;
        let (value, [below, above]) = (by(worst), [&worst[0], &worst[1]]);
        let says = format!(
            "neighbouring {what} differ by {} ({} {}, {} {}); at most {} is asked",
            self.tape.print(value),
            below.part,
            self.tape.print(below.value),
            above.part,
            self.tape.print(above.value),
            self.tape.print(limit)
        );
        let parts = Vec::new();
        Some(finding(
            Key { kind, parts },
            value,
            rule,
            limit,
            above.at,
            says,
        ))
    }

    /// How steep the line of the nosings is, as what it climbs from the first to the last.
    fn pitch(&self, site: &Site) -> Option<Finding> {
        let rule = self.pack.rule(Quantity::PitchMost)?;
        let (first, last) = (site.steps.first()?, site.steps.last()?);
        let run = Length::mm(last.nosing_x() - first.nosing_x());
        let line = nosing_line(site);
        let (value, limit) = (run * line.slope, rule.limit.over(run));
        let degrees = |slope: f64| Angle::radians(slope.atan()).print_degrees(2);
        let says = format!(
            "the line of the nosings climbs at {}; at most {} is asked",
            degrees(line.slope),
            degrees(limit / run)
        );
        let key = Key {
            kind: Kind::Pitch,
            parts: Vec::new(),
        };
        let at = site.at(first.nosing_x(), 0.0, first.height);
        Some(finding(key, value, rule, limit, at, says))
    }

    /// From the lower finished floor, the datum, to the upper.
    fn flight_rise(&self, site: &Site, below: f64) -> Option<Finding> {
        let (rule, limit) = self.rule(Quantity::FlightRise)?;
        let upper = site.steps.last()?;
        let value = Length::mm(below + upper.height);
        let says = format!(
            "the flight climbs {}; at most {} is asked between floors or landings",
            self.tape.print(value),
            self.tape.print(limit)
        );
        let key = Key {
            kind: Kind::FlightRise,
            parts: Vec::new(),
        };
        let at = site.at(upper.kick_x, 0.0, upper.height);
        Some(finding(key, value, rule, limit, at, says))
    }

    fn slope(&self, site: &Site, step: &Step) -> Option<Finding> {
        let rule = self.pack.rule(Quantity::TreadSlope)?;
        let width = step.open_q - step.wall_q;
        let limit = rule.limit.over(Length::mm(width));
        let value = Length::mm((step.tilt * width).abs());
        let part = site.named(format_args!("T{}", step.number));
        let says = format!(
            "{} is out of level by {} over its length; at most {} is asked",
            named(&part),
            self.tape.print(value),
            self.tape.print(limit)
        );
        let at = site.at(
            f64::midpoint(step.nosing_x(), step.kick_x),
            step.open_q,
            step.nosing_top(step.open_q),
        );
        let key = Key {
            kind: Kind::TreadSlope,
            parts: vec![part],
        };
        Some(finding(key, value, rule, limit, at, says))
    }
}

/// A part's name in a sentence: `2.T4` is tread 4 of run 2.
fn named(part: &str) -> String {
    let (run, own) = part
        .rsplit_once('.')
        .map_or((None, part), |(run, own)| (Some(run), own));
    let of = run.map_or_else(String::new, |run| format!(" of run {run}"));
    match (own.strip_prefix('K'), own.strip_prefix('T')) {
        (Some(number), _) => format!("kick {number}{of}"),
        (_, Some(number)) => format!("tread {number}{of}"),
        _ => part.to_owned(),
    }
}

fn finding(
    key: Key,
    value: Length,
    rule: &Rule,
    limit: Length,
    at: Point3<f64>,
    says: String,
) -> Finding {
    let limit = Limit {
        limit,
        sense: rule.sense,
        source: &rule.clause,
    };
    exact(key, value, limit, Severity::Stop, at, says)
}
