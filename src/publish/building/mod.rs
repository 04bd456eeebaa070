//! The model of a stair in the open standard for buildings, ISO 16739-1:2018 (IFC 4), as a STEP file
//! (ISO 10303-21), so that a designer can place it.
//!
//! In: a chain and the parts of its solids. Out: the text of the file: project, site, building, storey;
//! the stair with its flights and railings; every part with its faces, volume and what is told of it.
//! mm, z up, in the first run's frame. Same job, same bytes: identifiers are made from names, and the
//! time in the header is fixed. Does not: claim a view definition, or certify anything.

mod guid;
mod product;
mod schema;
mod sets;
mod step;

use std::collections::BTreeMap;

use crate::chain::{Chain, RunChain};
use crate::job::Job;
use crate::shop::parts::PartLine;
use crate::solids::PartKind;

use super::drawing::Ink;
use super::parts::part_word;
use guid::compressed;
use product::product;
use schema::{Element, Model, Thing};
use step::{Arg, Header, Id};

pub use guid::{OUR_SPACE, named_uuid};

/// What is to be borne in mind by who places the model.
pub const PLACING_CAUTION: &str = "The stair as found by its readings and as set out on it, drawn to be \
                                   placed. The dimensions of the set-out govern. It certifies \
                                   nothing: what carries a load is an engineer's.";

/// The time in the header. A job has no date, and the hour at which a file was written would make two
/// files of one job differ; so it is the beginning of the clocks, which nobody takes for a real one.
const TIME: &str = "1970-01-01T00:00:00";

/// What a model that nobody named is called; the standard asks for a name.
const NO_NAME: &str = "stair";

/// The short identifier of a thing of a job's model, as it stands in the file: for a part
/// `part NAME`, and for the second that is called alike `part NAME#2`.
#[must_use]
pub fn identifier(job: &str, key: &str) -> String {
    compressed(named_uuid(OUR_SPACE, &format!("{job}\n{key}")))
}

/// What holds some of the parts together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Group {
    /// The flight of a run.
    Flight(usize),
    /// A turn on winders before a run.
    Turn(usize, usize),
    /// The railing of a run.
    Railing(usize),
    /// The handrail on the wall side of a run.
    WallRail(usize),
}

/// What a part belongs to; `None` for the house, as found, and half walls in it.
fn group_of(part: &PartLine) -> Option<Group> {
    let group = match part.kind {
        PartKind::HalfWall if part.string => Group::Flight(part.run),
        PartKind::Floor | PartKind::Wall | PartKind::HalfWall => return None,
        PartKind::Stringer | PartKind::Skirt => Group::Flight(part.run),
        PartKind::Tread | PartKind::Kick => part
            .turn
            .map_or(Group::Flight(part.run), |turn| Group::Turn(part.run, turn)),
        _ if part.of_wall_rail => Group::WallRail(part.run),
        PartKind::Newel
        | PartKind::Rail
        | PartKind::BottomRail
        | PartKind::Baluster
        | PartKind::Rosette
        | PartKind::Shoe
        | PartKind::Panel => Group::Railing(part.run),
    };
    Some(group)
}

/// The model as the text of a file.
#[must_use]
pub fn building(job: &Job, chain: &Chain, parts: &[PartLine]) -> String {
    let name = if job.name.is_empty() {
        NO_NAME
    } else {
        &job.name
    };
    let (mut model, project) = Model::new(&job.name, name, PLACING_CAUTION);
    let site_more = [Arg::Null, Arg::Null, Arg::Null, Arg::Null, Arg::Null];
    let site = model.place("IFCSITE", "Site", None, &site_more);
    let building_more = [Arg::Null, Arg::Null, Arg::Null];
    let building = model.place("IFCBUILDING", "Building", Some(&site), &building_more);
    let at_nought = [Arg::Real(0.0)];
    let storey = model.place(
        "IFCBUILDINGSTOREY",
        "Lower floor",
        Some(&building),
        &at_nought,
    );
    model.aggregate(project, "project", &[site.id]);
    model.aggregate(site.id, "site", &[building.id]);
    model.aggregate(building.id, "building", &[storey.id]);
    let mut writer = Writer {
        chain,
        styles: BTreeMap::new(),
        made_of: BTreeMap::new(),
        model,
    };
    writer.stand(&storey, parts);
    let mut model = writer.model;
    for (stuff, elements) in &writer.made_of {
        model.material(stuff, elements);
    }
    model.text(&Header {
        // No view definition was held against it, so none is claimed.
        description: "ViewDefinition [notYetAssigned]",
        name,
        time: TIME,
        program: concat!("rakewell ", env!("CARGO_PKG_VERSION")),
        schema: "IFC4",
    })
}

struct Writer<'a> {
    chain: &'a Chain,
    model: Model,
    styles: BTreeMap<PartKind, Id>,
    made_of: BTreeMap<String, Vec<Id>>,
}

impl Writer<'_> {
    /// Everything that stands in the storey.
    fn stand(&mut self, storey: &Thing, parts: &[PartLine]) {
        let mut groups: BTreeMap<Option<Group>, Vec<&PartLine>> = BTreeMap::new();
        for part in parts {
            groups.entry(group_of(part)).or_default().push(part);
        }
        let climbs =
            |group: &Option<Group>| matches!(group, Some(Group::Flight(_) | Group::Turn(..)));
        let stair = groups.keys().any(climbs).then(|| self.stair(storey));
        let whole = stair.as_ref().unwrap_or(storey);
        let mut within = Vec::new();
        let mut standing: Vec<Id> = stair.iter().map(|stair| stair.id).collect();
        for (group, members) in &groups {
            let Some(group) = group else {
                standing.extend(members.iter().map(|part| self.part(part, storey).id));
                continue;
            };
            let thing = self.group(*group, whole);
            let ids: Vec<Id> = members
                .iter()
                .map(|part| self.part(part, &thing).id)
                .collect();
            self.model.aggregate(thing.id, &thing.key, &ids);
            within.push(thing.id);
        }
        match stair {
            Some(stair) => self.model.aggregate(stair.id, &stair.key, &within),
            None => standing.extend(within),
        }
        self.model.contain(storey, &standing);
    }

    fn stair(&mut self, storey: &Thing) -> Thing {
        let thing = self.model.element(&Element {
            entity: "IFCSTAIR",
            key: "stair".to_owned(),
            name: "Stair",
            description: Some(PLACING_CAUTION),
            what: None,
            predefined: stair_type(self.chain),
            within: storey,
            body: None,
        });
        sets::stair(&mut self.model, &thing, self.chain);
        thing
    }

    /// A flight, turn or railing, its parts to come.
    fn group(&mut self, group: Group, whole: &Thing) -> Thing {
        let runs = &self.chain.runs;
        let named = |what: &str, run: usize| format!("{what} {}", runs[run].run.name);
        let (entity, name, predefined) = match group {
            Group::Flight(run) => ("IFCSTAIRFLIGHT", named("Flight", run), "STRAIGHT"),
            Group::Turn(run, turn) => {
                let turn = &runs[run].turns[turn].name;
                ("IFCSTAIRFLIGHT", format!("Turn {turn}"), "WINDER")
            }
            Group::Railing(run) => ("IFCRAILING", named("Railing", run), filled(&runs[run])),
            Group::WallRail(run) => ("IFCRAILING", named("Handrail", run), "HANDRAIL"),
        };
        let side = match group {
            Group::Railing(run) if runs[run].run.beside.is_some() => " on the wall side",
            _ => "",
        };
        let name = format!("{name}{side}");
        let thing = self.model.element(&Element {
            entity,
            key: name.to_lowercase(),
            name: &name,
            description: None,
            what: None,
            predefined,
            within: whole,
            body: None,
        });
        match group {
            Group::Flight(run) => sets::flight(&mut self.model, &thing, &runs[run]),
            Group::Turn(run, turn) => sets::turn(&mut self.model, &thing, &runs[run].turns[turn]),
            Group::Railing(run) => sets::railing(&mut self.model, &thing, &runs[run]),
            Group::WallRail(run) => sets::wall_rail(&mut self.model, &thing, &runs[run]),
        }
        thing
    }

    fn part(&mut self, part: &PartLine, within: &Thing) -> Thing {
        let style = match self.styles.get(&part.kind) {
            Some(style) => *style,
            None => {
                let word = part_word(part.kind, false);
                let style = self.model.style(word, Ink::wash(part.kind));
                self.styles.insert(part.kind, style);
                style
            }
        };
        let product = product(part);
        let thing = self.model.element(&Element {
            entity: product.entity,
            key: format!("part {}", part.name),
            name: &part.name,
            description: None,
            what: Some(part_word(part.kind, part.string)),
            predefined: product.predefined,
            within,
            body: Some((&part.pieces, style, part.bounds.low)),
        });
        sets::part(&mut self.model, &thing, self.chain, part, &product);
        if let Some(stuff) = &part.stuff {
            let made_of = self.made_of.entry(stuff.clone()).or_default();
            made_of.push(thing.id);
        }
        thing
    }
}

/// What a railing is in the standard's words: one with balusters or panels in it, or a bare one.
fn filled(run: &RunChain) -> &'static str {
    let setout = &run.setout;
    if setout.balusters.is_empty() && setout.panels.is_none() {
        "GUARDRAIL"
    } else {
        "BALUSTRADE"
    }
}

/// The shape of the stair in the standard's words, where it has one for it.
fn stair_type(chain: &Chain) -> &'static str {
    let flights: Vec<&RunChain> = chain
        .stairs()
        .map(|(_, run)| run)
        .filter(|run| !run.site.steps.is_empty())
        .collect();
    let [first, .., last] = flights.as_slice() else {
        return match flights.as_slice() {
            [one] if one.turns.is_empty() => "STRAIGHT_RUN_STAIR",
            _ => "NOTDEFINED",
        };
    };
    let turned = (last.frame.turn - first.frame.turn).as_degrees().abs() % 360.0;
    let quarters = (turned.min(360.0 - turned) / 90.0).round();
    let winders = flights.iter().any(|run| !run.turns.is_empty());
    // A whole number after rounding.
    match (flights.len(), winders, quarters as u8) {
        (2, false, 0) => "TWO_STRAIGHT_RUN_STAIR",
        (2, false, 1) => "QUARTER_TURN_STAIR",
        (2, false, 2) => "HALF_TURN_STAIR",
        (2, true, 1) => "QUARTER_WINDING_STAIR",
        (2, true, 2) => "HALF_WINDING_STAIR",
        _ => "NOTDEFINED",
    }
}
