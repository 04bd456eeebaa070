//! How a stair looks finished: the looks of a job, and of each the surface of every part.
//!
//! In: a job's looks and its wood. Out: [`Surface`]s: colour, grain, shine. The same for the window,
//! a picture and the client's page. Does not: draw; know what a look is drawn with.

pub mod grain;
mod says;
mod usual;

use std::collections::BTreeMap;

use crate::chain::Chain;
use crate::job::timber::{Timber, timber};
use crate::job::{
    Answer, Colour, Finish, Finished, Infill, Job, Look, Material, Metal, PartGroup, Sheen, Wood,
};
use crate::solids::PartKind;

pub use says::{look_says, look_words, sorts};
pub use usual::{framing_look, usual_looks};

/// The looks of a job, at least one: its own, or as is usual. The one that the client chose is the
/// first, so that every picture and page shows it where no other is asked for.
#[must_use]
pub fn looks(job: &Job) -> Vec<Look> {
    let mut all = if job.client.looks.is_empty() {
        usual_looks()
    } else {
        job.client.looks.clone()
    };
    let chosen = chosen_look(job).and_then(|name| all.iter().position(|look| look.name == name));
    if let Some(at) = chosen {
        all[..=at].rotate_right(1);
    }
    all
}

/// The name of the look that the client chose.
#[must_use]
pub fn chosen_look(job: &Job) -> Option<&str> {
    let [look, _] = Answer::ALWAYS;
    let answer = job.client.answer_to(look)?;
    (!answer.chose.is_empty()).then_some(answer.chose.as_str())
}

/// What is seen of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stuff {
    /// What is finished as its sort is.
    Of(Finished),
    /// Balusters of metal.
    MetalBalusters,
    /// Glass.
    Glass,
    /// Plaster.
    Wall,
    /// A floor or landing.
    Floor,
}

impl Stuff {
    /// What is seen of a part of this kind, if the job says nothing else of it.
    #[must_use]
    pub const fn of_kind(kind: PartKind) -> Self {
        match kind {
            PartKind::Floor => Self::Floor,
            PartKind::Wall => Self::Wall,
            PartKind::Stringer => Self::Of(Finished::Stringers),
            PartKind::Skirt => Self::Of(Finished::Skirts),
            PartKind::Tread => Self::Of(Finished::Treads),
            PartKind::Kick => Self::Of(Finished::Kicks),
            PartKind::Newel => Self::Of(Finished::Newels),
            PartKind::Rail | PartKind::Rosette => Self::Of(Finished::Rails),
            PartKind::BottomRail => Self::Of(Finished::BottomRails),
            PartKind::Baluster => Self::Of(Finished::Balusters),
            PartKind::HalfWall => Self::Of(Finished::HalfWalls),
            PartKind::Shoe => Self::Of(Finished::Shoes),
            PartKind::Panel => Self::Of(Finished::Panels),
        }
    }

    /// All that a look has a surface for.
    #[must_use]
    pub fn all() -> Vec<Self> {
        let kinds = Finished::ALL.into_iter().map(Self::Of);
        kinds
            .chain([Self::MetalBalusters, Self::Glass, Self::Wall, Self::Floor])
            .collect()
    }
}

/// The parts of a stair that are of something else than their kind is, by name.
#[must_use]
pub fn of_other(chain: &Chain) -> BTreeMap<String, Stuff> {
    let setouts = || chain.runs.iter().map(|run| &run.setout);
    let metal = setouts()
        .flat_map(|setout| &setout.balusters)
        .filter(|one| one.of == Material::Metal)
        .map(|one| (one.name.clone(), Stuff::MetalBalusters));
    let glass = setouts()
        .filter_map(|setout| setout.panels.as_ref())
        .filter(|run| run.of == Infill::Glass)
        .flat_map(|run| &run.panels)
        .map(|one| (one.name.clone(), Stuff::Glass));
    metal.chain(glass).collect()
}

/// How a surface looks: what a renderer that goes by roughness and metalness takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Its colour.
    pub colour: Colour,
    /// How much the grain of timber shows, 0 to 1.
    pub grain: f32,
    /// 0 polished, 1 chalky.
    pub rough: f32,
    /// 0 no metal, 1 bare metal.
    pub metal: f32,
    /// How much of what stands behind it is hidden, 0 to 1.
    pub cover: f32,
}

impl Surface {
    const fn plain(colour: Colour, rough: f32) -> Self {
        Self {
            colour,
            grain: 0.0,
            rough,
            metal: 0.0,
            cover: 1.0,
        }
    }
}

/// The walls, where a look does not say.
const PLASTER: Colour = Colour([238, 232, 221]);
/// The timber, where neither look nor job says.
const USUAL_TIMBER: &str = "white oak";

/// The surface of something in a look; `wood` is that of the job, for timber whose species is not
/// said.
#[must_use]
pub fn surface(look: &Look, stuff: Stuff, wood: Option<&Wood>) -> Surface {
    match stuff {
        Stuff::Of(part) => {
            let finish = finish_of(look, part);
            // What is built as a wall is painted as one.
            if finish.is_none() && part == Finished::HalfWalls {
                return Surface::plain(look.wall.unwrap_or(PLASTER), 0.9);
            }
            let finish = finish.cloned().unwrap_or_else(|| usual::of(part));
            finished(&finish, species_of(part, wood))
        }
        Stuff::MetalBalusters => match finish_of(look, Finished::Balusters) {
            Some(finish @ (Finish::Paint { .. } | Finish::Metal(_))) => finished(finish, None),
            _ => finished(&Finish::Metal(Metal::Blacked), None),
        },
        Stuff::Glass => Surface {
            cover: 0.38,
            ..Surface::plain(Colour([190, 212, 210]), 0.08)
        },
        Stuff::Wall => Surface::plain(look.wall.unwrap_or(PLASTER), 0.95),
        Stuff::Floor => {
            let floor = look.floor.clone().unwrap_or_else(usual::floor);
            finished(&floor, None)
        }
    }
}

/// The finish that a look states for a part: the last that names it.
#[must_use]
pub fn finish_of(look: &Look, part: Finished) -> Option<&Finish> {
    let naming = |one: &&crate::job::FinishOf| one.of.contains(&part);
    look.finishes.iter().rev().find(naming).map(|one| &one.is)
}

/// The species that the job gives a part.
fn species_of(part: Finished, wood: Option<&Wood>) -> Option<&str> {
    let group = match part {
        Finished::Treads => PartGroup::Treads,
        Finished::Kicks => PartGroup::Kicks,
        Finished::Skirts => PartGroup::Skirts,
        Finished::Newels => PartGroup::Newels,
        Finished::Rails => PartGroup::Rail,
        Finished::BottomRails | Finished::Shoes => PartGroup::BottomRail,
        Finished::Balusters | Finished::Panels => PartGroup::Balusters,
        Finished::Stringers | Finished::HalfWalls => return None,
    };
    Some(wood?.of(group).0)
}

fn finished(finish: &Finish, species: Option<&str>) -> Surface {
    match finish {
        Finish::Timber {
            species: named,
            stain,
            sheen,
        } => {
            // A job may have a wood of its own, of which nobody knows how it looks.
            let known = named.as_deref().or(species).and_then(timber);
            let timber = known.or_else(|| timber(USUAL_TIMBER));
            bare(
                timber.expect("the usual timber is in the table"),
                *stain,
                *sheen,
            )
        }
        Finish::Paint { colour, sheen } => Surface::plain(
            *colour,
            match sheen {
                Sheen::Matt => 0.85,
                Sheen::Satin => 0.5,
                Sheen::Gloss => 0.22,
            },
        ),
        Finish::Metal(metal) => of_metal(*metal),
    }
}

/// How much of a stained board's colour is the stain's; the rest is the timber's own. Our own choice.
const STAIN: f64 = 0.7;

fn bare(timber: &Timber, stain: Option<Colour>, sheen: Sheen) -> Surface {
    let own = Colour(timber.colour);
    Surface {
        colour: stain.map_or(own, |stain| mixed(own, stain, STAIN)),
        grain: timber.grain,
        ..Surface::plain(
            own,
            match sheen {
                Sheen::Matt => 0.62,
                Sheen::Satin => 0.4,
                Sheen::Gloss => 0.2,
            },
        )
    }
}

/// What metals look like: our own estimates, from memory, no source.
const fn of_metal(metal: Metal) -> Surface {
    let (colour, rough, bare) = match metal {
        Metal::Blacked => ([44, 43, 42], 0.45, 0.0),
        Metal::Steel => ([176, 178, 180], 0.36, 0.75),
        Metal::Brass => ([196, 158, 84], 0.3, 0.75),
        Metal::Bronze => ([92, 70, 50], 0.4, 0.55),
    };
    Surface {
        metal: bare,
        ..Surface::plain(Colour(colour), rough)
    }
}

/// A share, 0 to 1, of one colour over another, as light mixes.
#[must_use]
pub fn mixed(under: Colour, over: Colour, share: f64) -> Colour {
    let mut mix = [0; 3];
    for (at, one) in mix.iter_mut().enumerate() {
        let (under, over) = (linear(under.0[at]), linear(over.0[at]));
        *one = encoded(under + (over - under) * share);
    }
    Colour(mix)
}

/// The light of a value of sRGB, 0 to 1 (IEC 61966-2-1).
#[must_use]
pub fn linear(value: u8) -> f64 {
    let share = f64::from(value) / 255.0;
    if share <= 0.040_45 {
        share / 12.92
    } else {
        ((share + 0.055) / 1.055).powf(2.4)
    }
}

/// The value of sRGB of a light from 0 to 1 (IEC 61966-2-1).
#[must_use]
pub fn encoded(light: f64) -> u8 {
    let share = if light <= 0.003_130_8 {
        light * 12.92
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    };
    (share * 255.0).round().clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests;
