//! [`Asked`]: any number of a stair that one can point at and ask about.

use crate::chain::{Chain, Laid};
use crate::inspect::Key;
use crate::measure::Length;
use crate::setout::SetOut;
use crate::site::Site;

/// A number that can be asked about. Parts are called as everywhere: `2.B07`, `T5`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// A quantity that is held against a limit.
    Finding(Key),
    /// The clear gap between two neighbours, level, at the foot.
    Gap {
        /// The lower neighbour.
        below: String,
        /// The upper one.
        above: String,
    },
    /// What shows between a part and the open end of its tread.
    Reveal {
        /// The tread.
        tread: String,
        /// The part.
        part: String,
    },
    /// A newel's face behind the face of the kick that it stands at.
    NewelFace(String),
    /// How deep a tread is notched for a newel, in from its nosing.
    Notch {
        /// The newel.
        newel: String,
        /// The tread.
        tread: String,
    },
    /// A baluster's longest length.
    LongPoint(String),
    /// How far a baluster's top stands outward of its foot.
    OutOfPlumb(String),
    /// A rail's top above a nosing on the baluster line, plumb; above the floor where the tread is
    /// `F0`.
    RailOver {
        /// The rail.
        rail: String,
        /// The tread whose nosing it is.
        tread: String,
    },
    /// A rail between its long points.
    RailLength(String),
}

impl Asked {
    /// Everything that can be asked of a stair: what is held against limits first, then the numbers
    /// of each run, in a fixed order.
    #[must_use]
    pub fn all(chain: &Chain) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for finding in &chain.inspection.findings {
            let asked = Self::Finding(finding.key.clone());
            if !all.contains(&asked) {
                all.push(asked);
            }
        }
        for run in &chain.runs {
            all.extend(of_run(&run.site, &run.setout));
        }
        all
    }

    /// The number with this name, if the stair has it.
    #[must_use]
    pub fn find(chain: &Chain, id: &str) -> Option<Self> {
        Self::all(chain).into_iter().find(|asked| asked.id() == id)
    }

    /// A name that stays the same from run to run, as `gap:N1+B01`.
    #[must_use]
    pub fn id(&self) -> String {
        let named = match self {
            Self::Finding(key) => key.id(),
            Self::Gap { below, above } => format!("gap:{below}+{above}"),
            Self::Reveal { tread, part } => format!("reveal:{tread}+{part}"),
            Self::NewelFace(newel) => format!("newel-face:{newel}"),
            Self::Notch { newel, tread } => format!("notch:{newel}+{tread}"),
            Self::LongPoint(baluster) => format!("long-point:{baluster}"),
            Self::OutOfPlumb(baluster) => format!("out-of-plumb:{baluster}"),
            Self::RailOver { rail, tread } => format!("rail-over:{rail}+{tread}"),
            Self::RailLength(rail) => format!("rail-length:{rail}"),
        };
        named.replace(' ', "-")
    }

    /// What it is, in trade words. For a quantity that is held against a limit its sentence says
    /// more.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Finding(key) => key.id(),
            Self::Gap { below, above } => format!("the clear gap between {below} and {above}"),
            Self::Reveal { tread, part } => format!("the reveal of {part} on {tread}"),
            Self::NewelFace(newel) => format!("the face of newel {newel} behind its kick's face"),
            Self::Notch { newel, tread } => {
                format!("the notch in {tread} for newel {newel}, in from the nosing")
            }
            Self::LongPoint(baluster) => format!("the length of {baluster}, long point"),
            Self::OutOfPlumb(baluster) => {
                format!("how far the top of {baluster} stands outward of its foot")
            }
            Self::RailOver { rail, tread } if tread.ends_with("F0") => {
                format!("the top of rail {rail} above the floor")
            }
            Self::RailOver { rail, tread } => {
                format!("the top of rail {rail} above the nosing of {tread}")
            }
            Self::RailLength(rail) => format!("the length of rail {rail}, long points"),
        }
    }

    /// The parts that it is read at.
    #[must_use]
    pub fn parts(&self) -> Vec<&str> {
        match self {
            Self::Finding(key) => key.parts.iter().map(String::as_str).collect(),
            Self::Gap { below, above } => vec![below, above],
            Self::Reveal { tread, part } => vec![tread, part],
            Self::Notch { newel, tread } => vec![newel, tread],
            Self::RailOver { rail, tread } => vec![rail, tread],
            Self::NewelFace(one)
            | Self::LongPoint(one)
            | Self::OutOfPlumb(one)
            | Self::RailLength(one) => vec![one],
        }
    }

    /// Its value on a stair; `None` where that has no such number.
    #[must_use]
    pub fn value(&self, chain: &Chain) -> Option<Length> {
        if let Self::Finding(key) = self {
            return chain
                .inspection
                .find(key)
                .map(crate::inspect::Finding::value);
        }
        let mut runs = chain.runs.iter();
        runs.find_map(|run| self.of_run(&run.site, &run.setout))
    }

    /// Its value on a stair set out, where no inspection is needed for it.
    pub(super) fn laid(&self, laid: &Laid) -> Option<Length> {
        let mut runs = laid.placed.iter().zip(&laid.setouts);
        runs.find_map(|(placed, setout)| self.of_run(&placed.site, setout))
    }

    pub(super) fn of_run(&self, site: &Site, setout: &SetOut) -> Option<Length> {
        let newel = |name: &String| setout.newels.iter().find(|newel| &newel.name == name);
        let baluster = |name: &String| setout.balusters.iter().find(|one| &one.name == name);
        match self {
            Self::Finding(_) => None,
            Self::Gap { below, above } => {
                let mut gaps = setout.gaps.iter();
                let gap = gaps.find(|gap| &gap.below == below && &gap.above == above)?;
                Some(gap.clear)
            }
            Self::Reveal { tread, part } => {
                let mut reveals = setout.reveals.iter();
                let here = |step: u32| &tread_name(site, step) == tread;
                let reveal = reveals.find(|one| &one.part == part && here(one.step))?;
                Some(reveal.value)
            }
            Self::NewelFace(name) => newel(name)?.face_from_kick,
            Self::Notch { newel: name, tread } => {
                let mut notches = newel(name)?.notches.iter();
                let notch = notches.find(|notch| &tread_name(site, notch.step) == tread)?;
                Some(notch.from_nosing)
            }
            Self::LongPoint(name) => Some(baluster(name)?.long_point),
            Self::OutOfPlumb(name) => Some(baluster(name)?.lean),
            Self::RailOver { rail, tread } => {
                let mut heights = heights(site, setout).into_iter();
                let here = |over: &String| rail == &setout.rail.name && over == tread;
                heights.find_map(|(over, height)| here(&over).then_some(height))
            }
            Self::RailLength(name) => {
                let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
                let mut rails = rails.filter(|rail| &rail.name == name);
                rails.next().map(|rail| rail.long_points)
            }
        }
    }
}

fn tread_name(site: &Site, step: u32) -> String {
    match step {
        0 => site.named("F0"),
        step => site.named(format_args!("T{step}")),
    }
}

/// The top of a run's rail over every nosing that it lies over.
fn heights(site: &Site, setout: &SetOut) -> Vec<(String, Length)> {
    let rail = &setout.rail;
    // A rail without fittings is asked for its height past its ends too, where there is none.
    let ends = |x: f64| (rail.lower.x..=rail.upper.x).contains(&x);
    let lies_over = |x: &f64| !rail.fittings.is_empty() || ends(*x);
    let stations = site.stations().into_iter();
    let over = stations
        .filter(|station| lies_over(&station.x))
        .filter_map(|station| {
            let top = rail.top(station.x)?;
            let height = Length::mm(top.z - station.height);
            Some((tread_name(site, station.step), height))
        });
    over.collect()
}

/// Every number of a run's set-out.
fn of_run(site: &Site, setout: &SetOut) -> Vec<Asked> {
    let mut all = Vec::new();
    all.extend(setout.gaps.iter().map(|gap| Asked::Gap {
        below: gap.below.clone(),
        above: gap.above.clone(),
    }));
    all.extend(setout.reveals.iter().map(|reveal| Asked::Reveal {
        tread: tread_name(site, reveal.step),
        part: reveal.part.clone(),
    }));
    for newel in &setout.newels {
        if newel.face_from_kick.is_some() {
            all.push(Asked::NewelFace(newel.name.clone()));
        }
        all.extend(newel.notches.iter().map(|notch| Asked::Notch {
            newel: newel.name.clone(),
            tread: tread_name(site, notch.step),
        }));
    }
    for one in &setout.balusters {
        all.push(Asked::LongPoint(one.name.clone()));
        all.push(Asked::OutOfPlumb(one.name.clone()));
    }
    let rail = &setout.rail.name;
    all.extend(
        heights(site, setout)
            .into_iter()
            .map(|(tread, _)| Asked::RailOver {
                rail: rail.clone(),
                tread,
            }),
    );
    all.push(Asked::RailLength(rail.clone()));
    let bottom = setout.bottom_rail.iter();
    all.extend(bottom.map(|rail| Asked::RailLength(rail.name.clone())));
    all
}
