//! Named viewpoints: what they are called, in commands and in plain words.

use std::fmt;
use std::str::FromStr;

use crate::chain::Chain;
use crate::measure::{Length, Unit, parse_length};

/// A place to look from, by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Viewpoint {
    /// Before the foot of the stair, to the open side.
    Front,
    /// From above the open side.
    Above,
    /// Level from the open side: an elevation along the first flight, true to scale.
    Side,
    /// From straight above: a plan, true to scale.
    Plan,
    /// The foot of the rail, near.
    Foot,
    /// The head of the rail, near.
    Head,
    /// Level from before the foot, up the first flight: an elevation across it, true to scale.
    End,
    /// From the front door, standing, as one comes in.
    Door,
    /// From the foot of a flight up along its nosings, as one sights along a string: the first
    /// flight, or the one with this name.
    Str(Option<String>),
    /// One newel, near.
    Newel(String),
    /// One wall, square on to it from the room, true to scale.
    Wall(String),
    /// What a plumb cut through the stair shows, true to scale.
    Section(Cut),
    /// One trouble, near, by its id.
    Trouble(String),
}

/// Which way a section cuts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// Across the first flight, seen up it: at a distance up the flight from the face of its first
    /// kick.
    Across,
    /// Along the first flight, seen from its open side: at a distance to the left of its baluster
    /// line.
    Along,
}

/// A plumb cut, as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Which way.
    pub way: Way,
    /// Where, as a length is typed; a bare number takes the job's units.
    pub at: String,
}

impl Cut {
    /// A cut at a distance ([`Way`]).
    #[must_use]
    pub fn new(way: Way, at: Length) -> Self {
        let at = format!("{:.3}", at.as_mm());
        let at = at.trim_end_matches('0').trim_end_matches('.');
        Self {
            way,
            at: format!("{at} mm"),
        }
    }

    /// The distance that is meant, in a job with these units. `None` where it is no length.
    #[must_use]
    pub fn distance(&self, units: Unit) -> Option<Length> {
        parse_length(&self.at, units).ok()
    }
}

impl Viewpoint {
    /// Those without a name of a part, in the order of their number keys.
    pub const PLAIN: [Self; 6] = [
        Self::Front,
        Self::Above,
        Self::Side,
        Self::Plan,
        Self::Foot,
        Self::Head,
    ];

    /// What it shows, in plain words: `side elevation`, `newel N1`.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Front => "the front".to_owned(),
            Self::Above => "above".to_owned(),
            Self::Side => "side elevation".to_owned(),
            Self::Plan => "plan".to_owned(),
            Self::Foot => "foot of the rail".to_owned(),
            Self::Head => "head of the rail".to_owned(),
            Self::End => "end elevation".to_owned(),
            Self::Door => "the front door".to_owned(),
            Self::Str(None) => "up the string".to_owned(),
            Self::Str(Some(run)) => format!("up the string of flight {run}"),
            Self::Newel(name) => format!("newel {name}"),
            Self::Wall(name) => format!("wall {name}, square on"),
            Self::Section(cut) => match cut.way {
                Way::Across => "section across the flight".to_owned(),
                Way::Along => "section along the flight".to_owned(),
            },
            Self::Trouble(id) => format!("trouble {id}"),
        }
    }
}

impl fmt::Display for Viewpoint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Front => out.write_str("front"),
            Self::Above => out.write_str("above"),
            Self::Side => out.write_str("side"),
            Self::Plan => out.write_str("plan"),
            Self::Foot => out.write_str("foot"),
            Self::Head => out.write_str("head"),
            Self::End => out.write_str("end"),
            Self::Door => out.write_str("door"),
            Self::Str(None) => out.write_str("string"),
            Self::Str(Some(run)) => write!(out, "string:{run}"),
            Self::Newel(name) => write!(out, "newel:{name}"),
            Self::Wall(name) => write!(out, "wall:{name}"),
            Self::Section(cut) => match cut.way {
                Way::Across => write!(out, "section:x={}", cut.at),
                Way::Along => write!(out, "section:y={}", cut.at),
            },
            Self::Trouble(id) => write!(out, "trouble:{id}"),
        }
    }
}

impl FromStr for Viewpoint {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let bare = [Self::End, Self::Door, Self::Str(None)];
        let mut bare = Self::PLAIN.iter().chain(&bare);
        if let Some(bare) = bare.find(|bare| bare.to_string() == text) {
            return Ok(bare.clone());
        }
        match text.split_once(':') {
            Some(("string", run)) if !run.is_empty() => Ok(Self::Str(Some(run.to_owned()))),
            Some(("newel", name)) if !name.is_empty() => Ok(Self::Newel(name.to_owned())),
            Some(("wall", name)) if !name.is_empty() => Ok(Self::Wall(name.to_owned())),
            Some(("trouble", id)) if !id.is_empty() => Ok(Self::Trouble(id.to_owned())),
            Some(("section", cut)) => section(cut).map(Self::Section),
            _ => Err(format!(
                "there is no viewpoint {text:?}; take front, above, side, end, plan, foot, head, door, \
                 string, newel:NAME, wall:NAME, section:x=DISTANCE, section:y=DISTANCE or trouble:NUMBER"
            )),
        }
    }
}

/// Reads `x=60`.
fn section(text: &str) -> Result<Cut, String> {
    let says = "a section is section:x=60, so far up the flight from its first kick, or \
                section:y=-12, so far to the left of the baluster line";
    let (axis, at) = text.split_once('=').ok_or_else(|| says.to_owned())?;
    let way = match axis.trim() {
        "x" => Way::Across,
        "y" => Way::Along,
        _ => return Err(says.to_owned()),
    };
    // The unit that bare numbers take is the job's; any will do to see whether it is a length.
    parse_length(at, Unit::Inches).map_err(|error| format!("{at:?}: {error}; {says}"))?;
    Ok(Cut {
        way,
        at: at.trim().to_owned(),
    })
}

/// Every viewpoint of a stair but those of its troubles: the plain ones in the order of their keys,
/// then elevations, what is seen by one who stands there, newels, walls, and a section either way
/// through the middle.
#[must_use]
pub fn viewpoints(chain: &Chain) -> Vec<Viewpoint> {
    let mut all = Viewpoint::PLAIN.to_vec();
    all.extend([Viewpoint::End, Viewpoint::Door]);
    let flights = chain.stairs().filter(|(_, run)| run.site.steps.len() > 1);
    let named = flights.map(|(number, run)| (number > 0).then(|| run.run.name.clone()));
    all.extend(named.map(Viewpoint::Str));
    let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
    all.extend(newels.map(|newel| Viewpoint::Newel(newel.name.clone())));
    let walls = chain.first().site.walls.iter();
    all.extend(walls.map(|wall| Viewpoint::Wall(wall.name.clone())));
    let middles = [Way::Across, Way::Along].map(|way| super::cut::middle(chain, way));
    all.extend(middles.into_iter().flatten().map(Viewpoint::Section));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_reads_back_as_itself() {
        for text in [
            "front",
            "above",
            "side",
            "end",
            "plan",
            "foot",
            "head",
            "door",
            "string",
            "string:2",
            "newel:N1",
            "wall:W1",
            "section:x=60",
            "section:y=-12 1/2",
            "section:x=3' 2 1/2\"",
            "trouble:Clash:B01+N1",
        ] {
            assert_eq!(text.parse::<Viewpoint>().unwrap().to_string(), text);
        }
        for text in [
            "",
            "newel:",
            "wall:",
            "left",
            "trouble",
            "section:",
            "section:z=3",
            "section:x=near",
        ] {
            assert!(text.parse::<Viewpoint>().is_err(), "{text}");
        }
    }

    #[test]
    fn a_cut_is_read_in_the_units_of_the_job() {
        // 1 in = 25.4 mm.
        let cut = section("x=60").unwrap();
        let mm = |cut: &Cut, units| cut.distance(units).unwrap().as_mm();
        approx::assert_relative_eq!(mm(&cut, Unit::Inches), 60.0 * 25.4, epsilon = 1e-9);
        approx::assert_relative_eq!(mm(&cut, Unit::Millimetres), 60.0, epsilon = 1e-9);
        let made = Cut::new(Way::Along, Length::mm(-12.5));
        assert_eq!(made.at, "-12.5 mm");
        approx::assert_relative_eq!(mm(&made, Unit::Inches), -12.5, epsilon = 1e-9);
    }

    #[test]
    fn a_stair_is_seen_from_each_newel_and_wall_and_every_name_reads_back() {
        let text = include_str!("../../../scenes/half-turn.ron");
        let document = crate::job::Document::parse(text, "test.ron").unwrap();
        let chain = crate::chain::run(document.job()).unwrap();
        let all = viewpoints(&chain);
        for viewpoint in &all {
            assert_eq!(
                &viewpoint.to_string().parse::<Viewpoint>().unwrap(),
                viewpoint
            );
        }
        let mut words: Vec<String> = all.iter().map(Viewpoint::words).collect();
        for name in [
            "newel N1",
            "newel N4",
            "wall W2, square on",
            "up the string of flight 2",
        ] {
            assert!(words.iter().any(|words| words == name), "{name}: {words:?}");
        }
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), all.len(), "no two have the same words");
    }
}
