//! `new`: a starter job, written where nothing stands yet.

use std::io::{ErrorKind, Write};
use std::path::Path;

use super::args::New;
use super::page::{Page, Push};
use super::{Outcome, talk};

/// Name and text of every starter scene.
const SCENES: [(&str, &str); 1] = [("straight", include_str!("../../scenes/straight.ron"))];

pub(super) fn run(new: &New) -> Outcome {
    if new.list {
        return talk::answer(&list(), Outcome::Clean);
    }
    let Some(file) = &new.file else {
        return talk::fault("name the file to write, as in `rakewell new stair.ron`");
    };
    let Some((_, text)) = SCENES.iter().find(|(name, _)| *name == new.from) else {
        let names = SCENES.map(|(name, _)| name).join(", ");
        return talk::fault(&format!(
            "there is no scene {:?} to start from; the scenes are: {names}",
            new.from
        ));
    };
    match write_new(file, text) {
        Ok(()) => {
            let file = file.display();
            talk::say(&format!(
                "wrote {file}; put your readings in it, then: rakewell inspect {file}"
            ));
            Outcome::Clean
        }
        Err(error) if error.kind() == ErrorKind::AlreadyExists => talk::fault(&format!(
            "{} is there already and is left as it is; give another name",
            file.display()
        )),
        Err(error) => talk::fault(&format!("cannot write {}: {error}", file.display())),
    }
}

fn list() -> String {
    let rows = SCENES.map(|(name, text)| {
        let about = text.lines().next().unwrap_or_default();
        vec![
            name.to_owned(),
            about.trim_start_matches("//").trim().to_owned(),
        ]
    });
    let mut page = Page::default();
    page.table(0, &[Push::Left], &rows);
    page.text()
}

/// Writes the whole file or nothing, and never over another.
fn write_new(file: &Path, text: &str) -> std::io::Result<()> {
    let folder = match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut draft = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As any new document; the umask takes its share off.
        draft.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut draft = draft.tempfile_in(folder)?;
    draft.write_all(text.as_bytes())?;
    draft.as_file().sync_all()?;
    draft.persist_noclobber(file)?;
    Ok(())
}
