//! `model`: the stair for a designer to place, as a file of the open standard for buildings.

use super::args::Model;
use super::{Outcome, source, talk};
use crate::publish::building::{PLACING_CAUTION, building};
use crate::publish::file;
use crate::shop::parts::parts;

pub(super) fn run(command: &Model) -> Outcome {
    let to = &command.to;
    let ending = to.extension().and_then(|ending| ending.to_str());
    if !ending.is_some_and(|ending| ending.eq_ignore_ascii_case("ifc")) {
        return talk::fault(&format!(
            "{} should be called something.ifc: the model is written as IFC alone",
            to.display()
        ));
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
