//! `model`: the stair for a designer to place, as a file of the open standard for buildings.

use super::args::Model;
use super::{Outcome, source, talk};
use crate::publish::building::{PLACING_CAUTION, building};
use crate::publish::file;
use crate::shop::parts::parts;

pub(super) fn run(command: &Model) -> Outcome {
    let to = &command.to;
    if let Some(outcome) = talk::wrong_ending(to, "ifc", "the model is written as IFC alone") {
        return outcome;
    }
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let text = building(source.job(), &chain, &parts(&chain));
    if let Err(error) = file::write_over(to, text.as_bytes()) {
        return talk::fault(&file::why(to, &error));
    }
    talk::say(PLACING_CAUTION);
    talk::answer(&format!("{}\n", to.display()), Outcome::Clean)
}
