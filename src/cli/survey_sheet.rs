//! `survey-sheet`: a sheet to fill in by hand, for a stair's shape.

use super::args::SurveySheet;
use super::{Outcome, new, source, talk};
use crate::measure::Unit;
use crate::publish::file;
use crate::publish::sheet::{Options, Paper, sheet};

pub(super) fn run(command: &SurveySheet) -> Outcome {
    let source = match &command.scene {
        Some(name) => new::scene(name).and_then(|text| source::shipped(text, name)),
        None => source::load(command.job.as_deref()),
    };
    let source = match source {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    let options = Options {
        paper: match (command.paper, source.job().units) {
            (Some(paper), _) => paper.paper(),
            (None, Unit::Inches) => Paper::Letter,
            (None, Unit::Millimetres) => Paper::A4,
        },
        filled: command.filled,
    };
    let sheet = sheet(source.job(), options);
    talk::say_boxes(&sheet.pages());
    let bytes = match sheet.pdf() {
        Ok(bytes) => bytes,
        Err(error) => return talk::fault(&error.to_string()),
    };
    match file::write_new(&command.to, &bytes) {
        Ok(()) => {
            let pages = match sheet.leaves.len() {
                1 => "1 page".to_owned(),
                count => format!("{count} pages"),
            };
            let to = command.to.display();
            talk::say(&format!("wrote {to}: {pages}; print it at 100 %"));
            Outcome::Clean
        }
        Err(error) => talk::fault(&file::why(&command.to, &error)),
    }
}
