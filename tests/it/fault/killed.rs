//! A program that is gone in the middle of a save: a child process that ends itself without a word
//! before each step, as one that is killed there.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};

#[cfg(unix)]
use super::Linked;
use super::{End, EndsAt, holds, is_draft, old_and_new};
use rakewell::job::whole::{Place, Rights};
use rakewell::job::{Document, Over};
use rakewell::publish::file;

/// Asks this test binary to be the child: the step at which it ends, and the folder.
const ASKS: &str = "RAKEWELL_TEST_ENDS_AT";

/// What a child is asked by its parent; none where this is no child.
fn asked() -> Option<(usize, String)> {
    let asked = std::env::var(ASKS).ok()?;
    let (step, folder) = asked.split_once(' ').unwrap();
    Some((step.parse().unwrap(), folder.to_owned()))
}

/// Runs one test of this binary as a child that ends at a step. True where it lived through it.
fn lives(test: &str, step: usize, folder: &Path) -> bool {
    let status = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", test, "--test-threads", "1"])
        .env(ASKS, format!("{step} {}", folder.display()))
        // Where a system keeps what is left of an ended program, it keeps it there.
        .current_dir(std::env::temp_dir())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    // Ended by a signal there is no status: 101 would be a test that failed.
    assert!(
        matches!(status.code(), None | Some(0)),
        "{test} as a child, at step {step}: {status}"
    );
    status.success()
}

/// The drafts of a folder are made so old that a save takes them for left behind.
fn hours_pass(folder: &Path) {
    for (name, _) in holds(folder) {
        let path = folder.join(name);
        let file = std::fs::File::options().write(true).open(path).unwrap();
        let past = SystemTime::now() - Duration::from_secs(3 * 60 * 60);
        file.set_modified(past).unwrap();
    }
}

#[test]
fn killed_at_any_step_of_a_save_the_job_is_the_old_or_the_new_one() {
    let [old, new] = old_and_new();
    if let Some((step, folder)) = asked() {
        let path = Path::new(&folder).join("job.ron");
        let steps = EndsAt::new(step, End::Dies);
        new.save_by(&path, Over::Read(old.text()), &steps).unwrap();
        assert!(steps.outlived());
        return;
    }
    let test = "fault::killed::killed_at_any_step_of_a_save_the_job_is_the_old_or_the_new_one";
    let mut found = [0; 2];
    let mut drafts = 0;
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        old.save_new(&path).unwrap();
        let lived = lives(test, step, folder.path());
        let text = std::fs::read_to_string(&path).unwrap();
        let is_new = text == new.text();
        assert!(is_new || text == old.text(), "killed at step {step}");
        found[usize::from(is_new)] += 1;
        // What else is there is one draft at most, and the next saving after an hour clears it away.
        let others: Vec<String> = holds(folder.path())
            .into_iter()
            .map(|(name, _)| name)
            .filter(|name| name != "job.ron")
            .collect();
        assert!(others.len() <= 1 && others.iter().all(|name| is_draft(name)));
        drafts += others.len();
        let there = Document::load(&path).unwrap();
        hours_pass(folder.path());
        there.save_after(&path, there.text()).unwrap();
        assert_eq!(holds(folder.path()).len(), 1, "killed at step {step}");
        if lived {
            break;
        }
    }
    assert!(found[0] > 6 && found[1] > 1, "{found:?}");
    assert!(drafts > 6, "{drafts}");
}

#[cfg(unix)]
#[test]
fn killed_at_any_step_behind_a_link_the_link_stays_and_the_job_is_whole() {
    let [old, new] = old_and_new();
    if let Some((step, folder)) = asked() {
        let steps = EndsAt::new(step, End::Dies);
        let link = Linked::at(Path::new(&folder)).link;
        new.save_by(&link, Over::Read(old.text()), &steps).unwrap();
        return;
    }
    let test =
        "fault::killed::killed_at_any_step_behind_a_link_the_link_stays_and_the_job_is_whole";
    let mut found = [0; 2];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let linked = Linked::made(folder.path(), &old);
        let lived = lives(test, step, folder.path());
        let text = linked.text();
        let is_new = text == new.text();
        assert!(is_new || text == old.text(), "killed at step {step}");
        found[usize::from(is_new)] += 1;
        // A draft lies beside the file, where the next saving finds it.
        hours_pass(&linked.inner);
        let there = Document::load(&linked.link).unwrap();
        there.save_after(&linked.link, there.text()).unwrap();
        assert_eq!(holds(&linked.inner).len(), 1, "killed at step {step}");
        assert_eq!(linked.text(), text);
        if lived {
            break;
        }
    }
    assert!(found[0] > 6 && found[1] > 1, "{found:?}");
}

#[test]
fn killed_at_any_step_of_a_new_file_it_is_whole_or_not_there() {
    let [job, _] = old_and_new();
    if let Some((step, folder)) = asked() {
        let path = Path::new(&folder).join("job.ron");
        let steps = EndsAt::new(step, End::Dies);
        job.save_by(&path, Over::Nothing, &steps).unwrap();
        return;
    }
    let test = "fault::killed::killed_at_any_step_of_a_new_file_it_is_whole_or_not_there";
    let mut found = [0; 2];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let lived = lives(test, step, folder.path());
        let text = std::fs::read_to_string(&path).ok();
        assert!(text.as_deref().is_none_or(|text| text == job.text()));
        found[usize::from(text.is_some())] += 1;
        if lived {
            break;
        }
    }
    assert!(found[0] > 6 && found[1] > 1, "{found:?}");
}

/// As the window keeps work aside: `viewer::files::keep` reads the same back out of it.
#[test]
fn killed_at_any_step_of_keeping_work_aside_it_is_the_old_or_the_new_and_its_owners_alone() {
    let [old, new] = ["o", "n"].map(|letter| letter.repeat(9_000).into_bytes());
    let keep = |folder: &Path, bytes: &[u8], step: usize| {
        let place = Place::new(&folder.join("work.json"));
        let steps = EndsAt::new(step, End::Dies);
        let draft = place.draft(bytes, Rights::Own, &steps).unwrap();
        draft.replace(&steps).unwrap();
    };
    if let Some((step, folder)) = asked() {
        keep(Path::new(&folder), &new, step);
        return;
    }
    let test = "fault::killed::killed_at_any_step_of_keeping_work_aside_it_is_the_old_or_the_new_and_its_owners_alone";
    let mut found = [0; 2];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        keep(folder.path(), &old, 1_000);
        let lived = lives(test, step, folder.path());
        let kept = std::fs::read(folder.path().join("work.json")).unwrap();
        assert!(kept == old || kept == new, "killed at step {step}");
        found[usize::from(kept == new)] += 1;
        #[cfg(unix)]
        for (name, _) in holds(folder.path()) {
            use std::os::unix::fs::PermissionsExt as _;
            let about = std::fs::metadata(folder.path().join(&name)).unwrap();
            assert_eq!(about.permissions().mode() & 0o077, 0, "{name}");
        }
        if lived {
            break;
        }
    }
    assert!(found[0] > 4 && found[1] > 1, "{found:?}");
}

#[test]
fn killed_at_any_step_of_a_folder_of_files_each_is_whole() {
    let files = |letter: &str| -> Vec<(String, Vec<u8>)> {
        let file = |name: &str| (name.to_owned(), letter.repeat(5_000).into_bytes());
        vec![file("a.csv"), file("b.csv")]
    };
    if let Some((step, folder)) = asked() {
        let steps = EndsAt::new(step, End::Dies);
        file::write_all_by(Path::new(&folder), &files("n"), &steps).unwrap();
        return;
    }
    let test = "fault::killed::killed_at_any_step_of_a_folder_of_files_each_is_whole";
    let mut found = [0; 3];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        file::write_all(folder.path(), &files("o")).unwrap();
        let lived = lives(test, step, folder.path());
        let there = holds(folder.path());
        let new = there
            .iter()
            .filter(|(name, _)| !is_draft(name))
            .map(|(name, bytes)| {
                let letter = bytes[0];
                assert!(letter == b'o' || letter == b'n', "{name}");
                assert!(bytes.len() == 5_000 && bytes.iter().all(|b| *b == letter));
                usize::from(letter == b'n')
            })
            .collect::<Vec<_>>();
        assert_eq!(new.len(), 2, "killed at step {step}");
        found[new.iter().sum::<usize>()] += 1;
        if lived {
            break;
        }
    }
    assert!(found.iter().all(|count| *count > 0), "{found:?}");
}
