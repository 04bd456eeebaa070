//! `new`: a starter job, written where nothing stands yet.

use super::args::New;
use super::page::{Page, Push};
use super::{Outcome, talk};
use crate::job::STARTERS;
use crate::publish::file;

pub(super) fn run(new: &New) -> Outcome {
    if new.list {
        return talk::answer(&list(), Outcome::Clean);
    }
    let Some(path) = &new.file else {
        return talk::fault("name the file to write, as in `rakewell new stair.ron`");
    };
    let text = match scene(&new.from) {
        Ok(text) => text,
        Err(outcome) => return outcome,
    };
    match file::write_new(path, text.as_bytes()) {
        Ok(()) => {
            let file = path.display();
            talk::say(&format!(
                "wrote {file}; put your readings in it, then: rakewell inspect {file}"
            ));
            Outcome::Clean
        }
        Err(error) => talk::fault(&file::why(path, &error)),
    }
}

/// The text of a starter scene.
pub(super) fn scene(asked: &str) -> Result<&'static str, Outcome> {
    let known = STARTERS.iter().find(|starter| starter.name == asked);
    known.map(|starter| starter.text).ok_or_else(|| {
        let names = STARTERS.map(|starter| starter.name).join(", ");
        talk::fault(&format!(
            "there is no scene {asked:?} to start from; the scenes are: {names}"
        ))
    })
}

fn list() -> String {
    let rows = STARTERS.map(|starter| vec![starter.name.to_owned(), starter.about()]);
    let mut page = Page::default();
    page.table(0, &[Push::Left], &rows);
    page.text()
}
