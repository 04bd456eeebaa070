//! The parts of the solid model: each as it stands in the stair, with its volume, centre and length,
//! and where it is told of in the cut list and among what was received.
//!
//! In: a [`Chain`]. Out: [`PartLine`]s in the order of the solids, in the first run's frame. Does not:
//! find anything out about the stair; group pieces (the cut list does).

use std::collections::BTreeMap;

use nalgebra::Point3;

use crate::chain::{Chain, RunChain};
use crate::job::{Body, Material, PartGroup};
use crate::measure::Length;
use crate::shop::cuts::cut_list;
use crate::shop::there::Known;
use crate::solids::{Bounds, Convex, Part, PartKind, apart, mass};

/// One part of the model.
#[derive(Clone, Debug)]
pub struct PartLine {
    /// Its name in the picture.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// A half wall that is a closed string.
    pub string: bool,
    /// The run that it belongs to, by its number.
    pub run: usize,
    /// The turn on winders before that run that it belongs to, by its number.
    pub turn: Option<usize>,
    /// It belongs to the handrail on the wall side.
    pub of_wall_rail: bool,
    /// What it is made of, where the job says: a species, or `metal`.
    pub stuff: Option<String>,
    /// Its convex pieces, which do not overlap.
    pub pieces: Vec<Convex>,
    /// What its pieces as drawn have in common, mm^3, counted once in its volume.
    pub shared: f64,
    /// The box around it.
    pub bounds: Bounds,
    /// Its volume, mm^3.
    pub volume: f64,
    /// Its centre of mass.
    pub centre: Point3<f64>,
    /// From end to end along its long axis.
    pub length: Length,
    /// The lines of the cut list that cut it, from 1.
    pub cut: Vec<usize>,
    /// What was received for it: the mark on a baluster, the name of a newel or rail.
    pub received: Option<String>,
}

/// Every part of a stair. One without volume, such as a part that other parts cut away whole, is left
/// out.
#[must_use]
pub fn parts(chain: &Chain) -> Vec<PartLine> {
    let cuts = cuts_of(chain);
    let received = Known::of(chain).received;
    let all = chain.solids.parts.iter().zip(&chain.solids.runs);
    all.filter_map(|(part, &number)| {
        let run = &chain.runs[number];
        let told = apart(&part.pieces);
        let mass = mass(&told.pieces)?;
        Some(PartLine {
            name: part.name.clone(),
            kind: part.kind,
            string: closes(run, part),
            run: number,
            turn: turn_of(run, part),
            of_wall_rail: of_wall_rail(run, part),
            stuff: stuff(run, part.kind),
            bounds: part.bounds()?,
            pieces: told.pieces,
            shared: told.shared,
            volume: mass.volume,
            centre: mass.centre,
            length: mass.length,
            cut: cuts.get(&part.name).cloned().unwrap_or_default(),
            received: received.get(&part.name).map(|one| one.mark.clone()),
        })
    })
    .collect()
}

/// The lines of the cut list that name each part.
fn cuts_of(chain: &Chain) -> BTreeMap<String, Vec<usize>> {
    let mut lines: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (line, piece) in (1..).zip(&cut_list(chain).pieces) {
        for member in &piece.members {
            let told = lines.entry(member.clone()).or_default();
            if told.last() != Some(&line) {
                told.push(line);
            }
        }
    }
    lines
}

fn closes(run: &RunChain, part: &Part) -> bool {
    let base = run.setout.base.as_ref();
    part.kind == PartKind::HalfWall && base.is_some_and(|base| base.is == Body::ClosedString)
}

fn turn_of(run: &RunChain, part: &Part) -> Option<usize> {
    let winder = matches!(part.kind, PartKind::Tread | PartKind::Kick);
    let has = |mark: &str| winder && part.name.starts_with(mark);
    run.turns.iter().position(|turn| has(&turn.mark))
}

fn of_wall_rail(run: &RunChain, part: &Part) -> bool {
    let Some(rail) = &run.setout.wall_rail else {
        return false;
    };
    match part.kind {
        PartKind::Rail => part.name == rail.name,
        PartKind::Rosette => part.name.ends_with(&format!(" of {}", rail.name)),
        _ => false,
    }
}

/// The species that the job gives; nothing for what it says nothing of.
fn stuff(run: &RunChain, kind: PartKind) -> Option<String> {
    let job = &run.run.job;
    if kind == PartKind::Baluster && job.design.balusters.of == Material::Metal {
        return Some(METAL.to_owned());
    }
    let group = match kind {
        PartKind::Rail => PartGroup::Rail,
        PartKind::BottomRail => PartGroup::BottomRail,
        PartKind::Newel => PartGroup::Newels,
        PartKind::Baluster => PartGroup::Balusters,
        PartKind::Tread => PartGroup::Treads,
        PartKind::Kick => PartGroup::Kicks,
        PartKind::Skirt => PartGroup::Skirts,
        // The job does not say what the house's own parts, shoes, panels and fittings are made of.
        PartKind::Floor
        | PartKind::Wall
        | PartKind::Stringer
        | PartKind::Rosette
        | PartKind::HalfWall
        | PartKind::Shoe
        | PartKind::Panel => return None,
    };
    let wood = job.design.wood.as_ref()?;
    Some(wood.of(group).0.to_owned())
}

/// What balusters of metal are made of; the job says no more.
const METAL: &str = "metal";
