//! The scene: what the chain found, as meshes, lines and light.
//!
//! [`Shown`] is the stair as drawn (departures stretched); the files beside this one each draw one
//! thing of it, and only what changed.

mod ball;
mod beside;
mod bobs;
mod carry;
mod cause;
mod climbed;
mod coarse;
mod effects;
mod fan;
mod fit;
mod gather;
mod ghost;
mod grain;
mod held;
mod levels;
mod lights;
mod nosings;
mod parts;
mod pencil;
mod reveals;
mod section;
mod shade;
mod walls;

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use bevy::prelude::{App, Commands, IntoScheduleConfigs as _, Res, Resource, Update};
use nalgebra::Point3;

use crate::chain::Chain;
use crate::publish::finish;
use crate::solids::{Part, PartKind, Solids};

use super::fit::Fit;
use super::look::Stuff;
use super::lookout::around;
use super::{Cause, Pick, Showing, Solved, ViewerSystems};

pub(super) use ball::opening_of;
pub(super) use beside::{BESIDE, Beside, PartBeside, Second};
pub(super) use bobs::Bobs;
pub(super) use effects::{Effects, governor_plugin};
pub(super) use fan::{Fans, Tip, Tips};
pub(super) use fit::DIMENSION_UP_MM;
pub(super) use gather::{Gathered, Gathers};
pub(super) use lights::{Floor, Sun};
pub(super) use parts::PartRef;
pub(super) use walls::{Departures, OfWall};

/// Around a picked place this much is shown at least, mm.
const LEAST_MM: f64 = 260.0;

/// The stair as it is drawn now.
#[derive(Resource, Clone)]
pub(super) struct Shown {
    /// The parts, departures stretched.
    pub(super) solids: Arc<Solids>,
    /// The parts as found.
    found: Arc<Solids>,
    /// Parts that are of something else than their kind is.
    other: Arc<BTreeMap<String, Stuff>>,
    /// What it was drawn from: the result, the stretch, the dry fit that is staged.
    from: (u64, f64, Option<u64>),
}

/// Where each part of a stair stands in its list, by its name.
struct Places<'a> {
    solids: &'a Solids,
    /// Made where it is asked for: while something is pulled, all stand where they stood.
    by_name: OnceCell<HashMap<&'a str, usize>>,
}

impl<'a> Places<'a> {
    fn of(solids: &'a Solids) -> Self {
        Self {
            solids,
            by_name: OnceCell::new(),
        }
    }

    fn named(&self, name: &str) -> Option<usize> {
        let by_name = self.by_name.get_or_init(|| {
            let parts = self.solids.parts.iter().enumerate();
            parts.map(|(at, part)| (part.name.as_str(), at)).collect()
        });
        by_name.get(name).copied()
    }

    /// Where a part stands in it; most stand where they stood.
    fn of_part(&self, part: &Part, place: usize) -> Option<usize> {
        let same = |at: &usize| {
            let there = self.solids.parts.get(*at);
            there.is_some_and(|there| there.kind == part.kind && there.name == part.name)
        };
        let there = Some(place).filter(same);
        there.or_else(|| self.named(&part.name).filter(same))
    }
}

/// The parts of a stair that are of something else than their kind is.
fn of_other(chain: &Chain) -> BTreeMap<String, Stuff> {
    let other = finish::of_other(chain).into_iter();
    other
        .filter_map(|(name, stuff)| Some((name, Stuff::of_finished(stuff)?)))
        .collect()
}

impl Shown {
    /// Nothing: what was drawn is of another job.
    pub(super) fn nothing() -> Self {
        Self {
            solids: Arc::default(),
            found: Arc::default(),
            other: Arc::default(),
            from: (0, 1.0, None),
        }
    }

    /// A result with departures drawn so many times as large.
    pub(super) fn of(solved: &Solved, stretch: f64) -> Self {
        let found = solved.solids.clone();
        let solids = match &solved.ideal {
            Some(ideal) if stretch > 1.0 => {
                Arc::new(crate::solids::stretch(&found, ideal, stretch))
            }
            _ => found.clone(),
        };
        Self {
            solids,
            found,
            other: Arc::new(of_other(&solved.found)),
            from: (solved.generation, stretch, None),
        }
    }

    /// How many times as large departures are drawn.
    pub(super) const fn stretch(&self) -> f64 {
        self.from.1
    }

    /// What is seen of a part.
    fn stuff(&self, part: &Part) -> Stuff {
        let other = self.other.get(&part.name).copied();
        other.unwrap_or(Stuff::Of(part.kind))
    }

    /// The lowest that the stair or a floor of it reaches, mm: the top of the floor that it stands on.
    pub(super) fn lowest(&self) -> f64 {
        let bearing = self
            .solids
            .parts
            .iter()
            .filter(|part| part.kind == PartKind::Floor);
        let tops = bearing.filter_map(Part::bounds).map(|bounds| bounds.high.z);
        tops.fold(f64::INFINITY, f64::min)
    }

    /// Where a place of the stair as found is drawn: it goes with the nearest corner of the parts
    /// named, or of any part where none is.
    pub(super) fn place(&self, at: &Point3<f64>, parts: &[String]) -> Point3<f64> {
        carry::carried(at, parts, &self.found, &self.solids)
    }

    /// Points that show the parts of a cause; a wall is seen wherever one looks.
    pub(super) fn points_of_cause(&self, cause: &Cause) -> Vec<Point3<f64>> {
        let parts = self.solids.parts.iter();
        let named = parts.filter(|part| cause.parts.contains(&part.name));
        named
            .filter(|part| part.kind != PartKind::Wall)
            .flat_map(|part| &part.pieces)
            .flat_map(|piece| piece.corners().iter().copied())
            .collect()
    }

    /// Points that show what is picked.
    pub(super) fn points_of(&self, pick: &Pick, found: &Chain) -> Vec<Point3<f64>> {
        match pick {
            Pick::Part(name) => {
                let part = self.solids.parts.iter().find(|part| &part.name == name);
                let corners = part.into_iter().flat_map(|part| &part.pieces);
                let points: Vec<_> = corners
                    .flat_map(|piece| piece.corners().iter().copied())
                    .collect();
                match crate::solids::Bounds::around(&points) {
                    Some(bounds) => points
                        .into_iter()
                        .chain(around(&bounds.centre(), LEAST_MM))
                        .collect(),
                    None => points,
                }
            }
            Pick::Number(asked) => {
                let names = asked.parts();
                let parts = self.solids.parts.iter();
                let named = parts.filter(|part| names.contains(&part.name.as_str()));
                // A number is read where its parts meet: about the least of them.
                let least = named.filter_map(Part::bounds).min_by(|a, b| {
                    let size = |of: &crate::solids::Bounds| (of.high - of.low).norm();
                    size(a).total_cmp(&size(b))
                });
                least.map_or_else(Vec::new, |bounds| around(&bounds.centre(), LEAST_MM * 1.6))
            }
            Pick::Trouble(key) => {
                let at = found.inspection.find(key).map(|finding| finding.at);
                at.map(|at| around(&self.place(&at, &key.parts), LEAST_MM * 1.3))
                    .unwrap_or_default()
            }
        }
    }
}

/// Makes [`Shown`] anew where the result or the stretch changed.
pub(super) fn ready(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    (showing, fit): (Res<Showing>, Option<Res<Fit>>),
    shown: Option<Res<Shown>>,
) {
    let Some(solved) = solved else { return };
    let stage = fit.as_ref().and_then(|fit| fit.stage.as_ref());
    let from = (
        solved.generation,
        showing.stretch,
        stage.map(|stage| stage.number),
    );
    if shown.is_some_and(|shown| shown.from == from) {
        return;
    }
    if let Some(stage) = stage {
        // A dry fit is drawn as it is, whatever the stretch.
        let mut other = of_other(&solved.found);
        other.extend(stage.thin.clone());
        commands.insert_resource(Shown {
            solids: stage.solids.clone(),
            found: stage.solids.clone(),
            other: Arc::new(other),
            from,
        });
        return;
    }
    commands.insert_resource(Shown::of(&solved, showing.stretch));
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, ready.in_set(ViewerSystems::Sync))
        .add_plugins((effects::plugin, shade::plugin))
        .add_plugins((
            grain::plugin,
            lights::plugin,
            parts::plugin,
            pencil::plugin,
            walls::plugin,
            ghost::plugin,
            nosings::plugin,
            bobs::plugin,
            ball::plugin,
            cause::plugin,
            fan::plugin,
            climbed::plugin,
            levels::plugin,
            reveals::plugin,
        ))
        .add_plugins((fit::plugin, section::plugin, held::plugin, beside::plugin));
}
