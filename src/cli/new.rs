//! `new`: a starter job, written where nothing stands yet.

use super::args::New;
use super::page::{Page, Push};
use super::{Outcome, file, talk};

/// Name and text of every starter scene.
const SCENES: [(&str, &str); 14] = [
    ("straight", include_str!("../../scenes/straight.ron")),
    (
        "open-both-sides",
        include_str!("../../scenes/open-both-sides.ron"),
    ),
    (
        "quarter-turn",
        include_str!("../../scenes/quarter-turn.ron"),
    ),
    ("half-turn", include_str!("../../scenes/half-turn.ron")),
    ("winders", include_str!("../../scenes/winders.ron")),
    ("two-storeys", include_str!("../../scenes/two-storeys.ron")),
    ("level-guard", include_str!("../../scenes/level-guard.ron")),
    ("shaped-step", include_str!("../../scenes/shaped-step.ron")),
    (
        "closed-string",
        include_str!("../../scenes/closed-string.ron"),
    ),
    ("half-wall", include_str!("../../scenes/half-wall.ron")),
    ("over-post", include_str!("../../scenes/over-post.ron")),
    ("wall-rail", include_str!("../../scenes/wall-rail.ron")),
    (
        "metal-pattern",
        include_str!("../../scenes/metal-pattern.ron"),
    ),
    ("panels", include_str!("../../scenes/panels.ron")),
];

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
    let known = SCENES.iter().find(|(name, _)| *name == asked);
    known.map(|(_, text)| *text).ok_or_else(|| {
        let names = SCENES.map(|(name, _)| name).join(", ");
        talk::fault(&format!(
            "there is no scene {asked:?} to start from; the scenes are: {names}"
        ))
    })
}

fn list() -> String {
    let rows = SCENES.map(|(name, text)| vec![name.to_owned(), about(text)]);
    let mut page = Page::default();
    page.table(0, &[Push::Left], &rows);
    page.text()
}

/// The first sentence of the comment that a scene begins with.
fn about(text: &str) -> String {
    let comment = text.lines().map_while(|line| line.strip_prefix("//"));
    let words: Vec<&str> = comment.flat_map(str::split_whitespace).collect();
    let last = words.iter().position(|word| word.ends_with('.'));
    words[..last.map_or(words.len(), |last| last + 1)].join(" ")
}
