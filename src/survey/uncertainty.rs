//! The standard uncertainty of a reading, from the instrument that it was taken with.
//!
//! A standard or a maker states a limit of error; a limit with nothing said of what lies within it
//! is a rectangular distribution, whose standard deviation is the limit over the square root of
//! three (JCGM 100:2008, 4.3.7). Reading to the nearest mark adds half a mark either way the same
//! way. Millimetres; radians for angles.

use crate::job::{Instrument, Job, TapeClass, Tool};
use crate::measure::{Length, Typed};

/// What the edge of rough framing adds: a thirty-second. Common practice, no source.
const ROUGH: f64 = 0.8;
/// How well the middle of a laser line is seen. Common practice, no source.
const LINE_SEEN: f64 = 0.5;
/// How well a corner of a nosing is hit by a tape. Common practice, no source.
const CORNER_HIT: f64 = 1.0;
/// A digital level shows tenths of a degree.
const SLOPE_SHOWN: f64 = 0.1;

/// What a reading is, so far as its uncertainty goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Way {
    /// A length along a tape or rule.
    Taped,
    /// A gap at the end of a level of this length, mm.
    Levelled(f64),
    /// A distance read with a rule from a laser line this far off its source, mm.
    FromLine(f64),
    /// A gap under a straightedge.
    Under,
    /// From one corner of a nosing to another.
    Cornered,
    /// An angle.
    Sloped,
}

/// The standard deviation of a limit with nothing said of what lies within it.
pub(crate) fn rectangular(limit: f64) -> f64 {
    limit.abs() / 3f64.sqrt()
}

fn together(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part * part).sum::<f64>().sqrt()
}

/// What a tape is read between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapeEnds {
    /// Two of its marks.
    Marks,
    /// Its hook, or a surface that its end is held to, and a mark.
    Hook,
}

/// The limit of error of a tape over a length, mm.
///
/// Directive 2014/32/EU, Annex X (MI-008), chapter I: a + b L with L in metres rounded up, plus c
/// where one end is a hook or surface. NIST Handbook 44, section 5.52, metal tapes: one figure for
/// both.
#[must_use]
pub fn tape_limit(class: TapeClass, length: Length, between: TapeEnds) -> Length {
    let eu = |a: f64, b: f64, c: f64| {
        // A length of nothing is still read between two marks.
        let metres = (length.abs().as_mm() / 1000.0 - 1e-9).ceil().max(1.0);
        let hook = match between {
            TapeEnds::Marks => 0.0,
            TapeEnds::Hook => c,
        };
        Length::mm(a + b * metres + hook)
    };
    match class {
        TapeClass::I => eu(0.1, 0.1, 0.1),
        TapeClass::II => eu(0.3, 0.2, 0.2),
        TapeClass::III => eu(0.6, 0.4, 0.3),
        TapeClass::Handbook44 => {
            let feet = length.abs().as_inches() / 12.0 - 1e-9;
            let limits = [
                (6.0, 1.0 / 32.0),
                (30.0, 1.0 / 16.0),
                (55.0, 1.0 / 8.0),
                (80.0, 3.0 / 16.0),
            ];
            let found = limits.iter().find(|(most, _)| feet <= *most);
            Length::inches(found.map_or(0.25, |(_, limit)| *limit))
        }
    }
}

/// The instruments of a job, and what is taken where a reading names none.
pub(super) struct Instruments<'a> {
    listed: &'a [Instrument],
    mark: f64,
}

impl<'a> Instruments<'a> {
    pub(super) fn of(job: &'a Job) -> Self {
        Self {
            listed: &job.instruments,
            mark: job.own_tape().mark().as_mm(),
        }
    }

    fn named(&self, by: Option<&String>) -> Option<&'a Tool> {
        let name = by?;
        let found = self.listed.iter().find(|tool| &tool.name == name)?;
        Some(&found.is)
    }

    /// The standard uncertainty of a value, mm (radians where it is sloped).
    pub(super) fn sd(
        &self,
        by: Option<&String>,
        given: Option<&Typed<Length>>,
        way: Way,
        value: f64,
        rough: bool,
    ) -> f64 {
        // An angle's own uncertainty cannot be written as a length.
        if let (Some(given), true) = (given, way != Way::Sloped) {
            return given.mm();
        }
        let tool = self.named(by).cloned().unwrap_or_else(|| usual(way));
        let reach = match way {
            Way::Levelled(length) | Way::FromLine(length) => length,
            Way::Taped | Way::Under | Way::Cornered | Way::Sloped => value,
        };
        let more = match way {
            Way::FromLine(_) => LINE_SEEN,
            Way::Cornered => CORNER_HIT,
            _ => 0.0,
        };
        let rough = if rough { ROUGH } else { 0.0 };
        let own = match (&tool, way) {
            (Tool::Slope { .. }, Way::Sloped) => self.tool_sd(&tool, reach),
            // Degrees over the length that the level stands on.
            (Tool::Slope { .. }, Way::Levelled(over)) => self.tool_sd(&tool, reach) * over,
            // What shows degrees shows neither a length nor what is straight.
            (Tool::Slope { .. }, _) => self.tool_sd(&usual(way), reach),
            (tool, _) => self.tool_sd(tool, reach),
        };
        together(&[own, more, rough])
    }

    /// What the tool itself leaves open over a length, mm (radians for a slope).
    fn tool_sd(&self, tool: &Tool, length: f64) -> f64 {
        let read = |mark: f64| rectangular(mark / 2.0);
        match tool {
            Tool::Tape { class, mark } => {
                // On site one end is hooked, butted or stood on a surface.
                let limit = tape_limit(*class, Length::mm(length), TapeEnds::Hook).as_mm();
                let mark = mark.as_ref().map_or(self.mark, Typed::mm);
                together(&[rectangular(limit), read(mark)])
            }
            Tool::Level { off, over } | Tool::Laser { off, over } => {
                together(&[rectangular(off.mm() * length / over.mm()), read(self.mark)])
            }
            Tool::Distance { off } | Tool::Scanner { off } => rectangular(off.mm()),
            Tool::Straightedge { off } => together(&[rectangular(off.mm()), read(self.mark)]),
            Tool::Slope { off } => {
                let shown = (SLOPE_SHOWN / 2.0).to_radians();
                together(&[rectangular(off.value.as_radians()), rectangular(shown)])
            }
        }
    }

    /// How well a laser line is set to a mark at a distance, mm.
    pub(super) fn setting(&self, by: Option<&String>, distance: f64) -> f64 {
        match self.named(by) {
            Some(tool @ Tool::Scanner { .. }) => self.tool_sd(tool, distance),
            _ => self.tool_sd(&usual(Way::Taped), distance),
        }
    }

    /// How far a laser's line may run off level or plumb, mm per mm.
    pub(super) fn line_slope(&self, by: Option<&String>) -> f64 {
        let usual = usual(Way::FromLine(0.0));
        match self.named(by).unwrap_or(&usual) {
            Tool::Laser { off, over } | Tool::Level { off, over } => {
                rectangular(off.mm() / over.mm())
            }
            _ => 0.0,
        }
    }
}

/// The standard uncertainty of a length that was taped, mm: its own where it is given, else its
/// instrument's.
pub(crate) fn taped_sd(
    job: &Job,
    by: Option<&String>,
    given: Option<&Typed<Length>>,
    value: f64,
) -> f64 {
    Instruments::of(job).sd(by, given, Way::Taped, value, false)
}

/// The tool that is taken where a reading names none: a class II tape, a builder's level, a line
/// laser with its defaults.
fn usual(way: Way) -> Tool {
    let mm = Typed::<Length>::millimetres;
    match way {
        Way::Taped | Way::Cornered => Tool::Tape {
            class: TapeClass::II,
            mark: None,
        },
        Way::Levelled(_) => Tool::Level {
            off: mm(0.5),
            over: mm(1000.0),
        },
        // The line's own slope is an unknown of the adjustment, shared by all that is read from it.
        Way::FromLine(_) => Tool::Laser {
            off: mm(0.3),
            over: mm(1000.0),
        },
        Way::Under => Tool::Straightedge { off: mm(0.3) },
        Way::Sloped => Tool::Slope {
            off: Typed::degrees(0.1),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_tool_makes_a_length_surer_than_a_hair_or_looser_than_a_thumb() {
        let mm = Typed::<Length>::millimetres;
        let tools = [
            Tool::Tape {
                class: TapeClass::I,
                mark: None,
            },
            Tool::Level {
                off: mm(0.5),
                over: mm(1000.0),
            },
            Tool::Laser {
                off: mm(0.3),
                over: mm(1000.0),
            },
            Tool::Distance { off: mm(2.0) },
            Tool::Slope {
                off: Typed::degrees(0.1),
            },
            Tool::Straightedge { off: mm(0.3) },
            Tool::Scanner { off: mm(2.0) },
        ];
        let ways = [
            Way::Taped,
            Way::Levelled(900.0),
            Way::FromLine(0.0),
            Way::FromLine(2500.0),
            Way::Under,
            Way::Cornered,
        ];
        for tool in tools {
            let listed = [Instrument {
                name: "it".to_owned(),
                is: tool.clone(),
            }];
            let all = Instruments {
                listed: &listed,
                mark: 1.5875,
            };
            for way in ways {
                let sd = all.sd(Some(&"it".to_owned()), None, way, 250.0, false);
                assert!((0.05..10.0).contains(&sd), "{tool:?} {way:?}: {sd}");
            }
        }
    }
}
