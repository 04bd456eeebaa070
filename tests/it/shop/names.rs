//! Every name that the shop tells is a name of a part in the picture.

use std::collections::BTreeSet;

use rakewell::chain::Chain;
use rakewell::shop::cuts::cut_list;
use rakewell::shop::fastening::schedule;
use rakewell::shop::hours::hours;
use rakewell::shop::marks::marks;
use rakewell::shop::pole::poles;
use rakewell::shop::stock::blanks;
use rakewell::shop::templates::templates;

use super::{SCENES, chain_of};

/// Names that are not the picture's, and why: a rail's brackets are one part with it in the picture and
/// are counted; blocking that the job tells of is drawn in no picture.
fn is_let_stand(chain: &Chain, name: &str) -> bool {
    let blocks = chain.runs.iter().flat_map(|run| &run.run.job.blocking);
    let mut blocks = blocks.map(|block| block.name.as_str());
    name.starts_with("bracket ") || blocks.any(|block| block == name)
}

/// The pieces that one part of the picture is made of have names of their own, which go on from the
/// part's: a rail's fittings and returns. A piece of the stock that has none of its own is told by its
/// part and what it is; so is an edge that hours are told for.
fn goes_on_from_a_part(parts: &BTreeSet<&str>, name: &str) -> bool {
    let mut starts = name.match_indices(' ').map(|(at, _)| &name[..at]);
    starts.any(|start| parts.contains(start))
}

/// Where each name was told, and the name.
fn told(chain: &Chain) -> Vec<(&'static str, String)> {
    let mut told = Vec::new();
    for piece in &cut_list(chain).pieces {
        told.extend(piece.members.iter().map(|name| ("a piece", name.clone())));
        let meets = piece.ends.iter().filter_map(|end| end.meets.clone());
        told.extend(meets.map(|name| ("what an end meets", name)));
        let newels = piece.notches.iter().map(|notch| notch.newel.clone());
        told.extend(newels.map(|name| ("a notch", name)));
        let railings = piece.bores.iter().map(|bore| bore.railing.clone());
        told.extend(railings.map(|name| ("a bore's railing", name)));
    }
    for run in &marks(chain).runs {
        for row in &run.rows {
            let marks = row.marks.iter().chain([&row.end]);
            let names = marks.map(|mark| mark.part.clone());
            told.extend(names.chain([row.part.clone()]).map(|name| ("a row", name)));
        }
        for tread in &run.treads {
            let names = tread.marks.iter().map(|mark| mark.part.clone());
            let names = names.chain([tread.part.clone()]);
            told.extend(names.map(|name| ("marks on a tread", name)));
        }
        for newel in &run.newels {
            let faces = newel.fit.faces.iter().chain(&newel.fit.foot);
            let names = faces.map(|face| face.part.clone());
            let names = names.chain([newel.newel.clone()]);
            told.extend(names.map(|name| ("a newel's lines", name)));
        }
        if let Some(block) = &run.block {
            let serves = block
                .serves
                .iter()
                .flat_map(|(a, b)| [a.clone(), b.clone()]);
            let names = serves.chain([block.hooks_on.clone()]);
            told.extend(names.map(|name| ("the marking block", name)));
        }
    }
    for one in templates(chain) {
        let bores = one.bores.iter().map(|bore| bore.part.clone());
        told.extend(
            bores
                .chain([one.part.clone()])
                .map(|name| ("a template", name)),
        );
    }
    for pole in poles(chain) {
        let marks = pole.plumb.iter().chain(&pole.raking);
        told.extend(marks.map(|mark| ("a pole", mark.part.clone())));
    }
    for line in schedule(chain).lines {
        let joints = line.joints.into_iter();
        let names = joints.flat_map(|(held, by)| [Some(held), by]).flatten();
        told.extend(names.map(|name| ("a joint", name)));
        told.extend(
            line.bores
                .into_iter()
                .map(|bore| ("a joint's bore", bore.part)),
        );
    }
    told.retain(|(_, name)| !name.is_empty());
    told
}

/// Names that go on from a part's by design.
fn told_of_pieces(chain: &Chain) -> Vec<(&'static str, String)> {
    let mut told = Vec::new();
    let list = cut_list(chain);
    let own = list.pieces.iter().flat_map(|piece| piece.own.clone());
    told.extend(own.map(|name| ("a piece's own name", name)));
    for section in blanks(chain) {
        let labels = section.blanks.into_iter().map(|blank| blank.label);
        told.extend(labels.map(|name| ("the stock", name)));
    }
    let job = &chain.first().run.job;
    let lines = hours(chain, job).lines.into_iter();
    let lines = lines
        .filter(|line| !line.work.is_trouble() || line.work == rakewell::job::Work::ScribedEdges);
    told.extend(lines.flat_map(|line| line.on).map(|name| ("hours", name)));
    told
}

#[test]
fn every_name_that_the_shop_tells_is_a_name_in_the_picture() {
    for (scene, text) in SCENES {
        let chain = chain_of(text);
        let parts: BTreeSet<&str> = chain
            .solids
            .parts
            .iter()
            .map(|part| part.name.as_str())
            .collect();
        let list = cut_list(&chain);
        let own: BTreeSet<&String> = list.pieces.iter().flat_map(|piece| &piece.own).collect();
        for (place, name) in told(&chain) {
            assert!(
                parts.contains(name.as_str()) || own.contains(&name) || is_let_stand(&chain, &name),
                "{scene}: {place} tells of {name}, which is no part"
            );
        }
        for (place, name) in told_of_pieces(&chain) {
            assert!(
                parts.contains(name.as_str()) || goes_on_from_a_part(&parts, &name),
                "{scene}: {place} tells of {name}, which is no part"
            );
        }
    }
}

#[test]
fn every_piece_of_an_eased_rail_has_a_name_of_its_own() {
    let chain = chain_of(SCENES[6].1);
    let list = cut_list(&chain);
    let fittings = &chain.runs[0].setout.rail.fittings;
    let mut own: Vec<&String> = list
        .pieces
        .iter()
        .filter(|piece| piece.kind != rakewell::shop::cuts::PieceKind::Plug)
        .flat_map(|piece| &piece.own)
        .collect();
    own.sort_unstable();
    assert_eq!(own.len(), fittings.len());
    own.dedup();
    assert_eq!(own.len(), fittings.len(), "{own:?}");
}

// A railing on either side: a tread's pegs are told in one line, by railing.
#[test]
fn the_bores_of_two_railings_in_one_tread_are_one_line() {
    let chain = chain_of(SCENES[5].1);
    let list = cut_list(&chain);
    let tables = rakewell::publish::shop::cut_tables(&list, chain.first().run.job.tape);
    let treads = tables
        .iter()
        .flat_map(|table| &table.sets)
        .filter(|set| set.title.contains("tread"));
    let mut found = 0;
    for set in treads {
        let mut who: Vec<&String> = Vec::new();
        for (name, says) in &set.then {
            if says.contains("for pegs") {
                assert!(!who.contains(&name), "{name} has two lines of bores");
                assert!(says.contains(" of R1") && says.contains(" of "), "{says}");
                who.push(name);
                found += 1;
            }
        }
    }
    assert!(found > 0);
}
