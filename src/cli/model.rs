//! `model`: the stair as a file that other programs place or show: of the open standard for buildings
//! (IFC), or as it will look finished (binary glTF).

use std::path::Path;

use super::args::Model;
use super::{Outcome, source, talk};
use crate::publish::building::{PLACING_CAUTION, building};
use crate::publish::file;
use crate::publish::finish::looks;
use crate::publish::gltf::{Fine, binary};
use crate::shop::parts::parts;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// For a designer to place.
    Building,
    /// As it will look.
    Seen,
}

impl Form {
    /// What the name of a file asks for.
    fn of(to: &Path) -> Option<Self> {
        let ending = to.extension()?.to_str()?.to_ascii_lowercase();
        match &*ending {
            "ifc" => Some(Self::Building),
            "glb" => Some(Self::Seen),
            _ => None,
        }
    }
}

pub(super) fn run(command: &Model) -> Outcome {
    let to = &command.to;
    let Some(form) = Form::of(to) else {
        return talk::fault(&format!(
            "{} should be called something.ifc, to be placed by a designer, or something.glb, to be \
             looked at: no other kind of model is written",
            to.display()
        ));
    };
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let (job, parts) = (source.job(), parts(&chain));
    let bytes = match form {
        Form::Building => building(job, &chain, &parts).into_bytes(),
        Form::Seen => binary(job, &chain, &parts, (&looks(job), Fine::Whole)),
    };
    if let Err(error) = file::write_over(to, &bytes) {
        return talk::fault(&file::why(to, &error));
    }
    talk::say(PLACING_CAUTION);
    talk::answer(&format!("{}\n", to.display()), Outcome::Clean)
}
