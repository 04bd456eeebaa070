//! A step that fails: the file is as it was, nothing is left beside it, and the failure is told.

#[cfg(unix)]
use super::Linked;
use super::{End, EndsAt, holds, old_and_new};
use rakewell::job::whole::Step;
use rakewell::job::{Over, SaveError};
use rakewell::publish::file;

#[test]
fn a_save_that_fails_at_any_step_leaves_the_old_job_and_no_draft() {
    let [old, new] = old_and_new();
    let mut all = Vec::new();
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        old.save_new(&path).unwrap();
        let steps = EndsAt::new(step, End::Fails);
        let saved = new.save_by(&path, Over::Read(old.text()), &steps);
        let there = holds(folder.path());
        assert_eq!(there.len(), 1, "ended at step {step}");
        let text = match &saved {
            Ok(()) => new.text(),
            Err(_) => old.text(),
        };
        assert!(there[0].1 == text.as_bytes(), "ended at step {step}");
        if let Err(error) = &saved {
            assert!(matches!(error, SaveError::Failed { .. }), "{error}");
            assert!(error.to_string().contains("job.ron"), "{error}");
        } else {
            // With its new name the job is saved; that the name itself is on the disk is tried only.
            let last = steps.seen.borrow().last().copied();
            assert_eq!(last, Some(Step::Settle));
        }
        if steps.outlived() {
            all = steps.seen.into_inner();
            break;
        }
    }
    let pieces = all.iter().filter(|step| **step == Step::Write).count();
    assert!(pieces > 3, "{pieces} pieces are written one by one");
    all.dedup();
    let whole = [
        Step::Draft,
        Step::Write,
        Step::Permit,
        Step::Flush,
        Step::Look,
        Step::Name,
        Step::Settle,
    ];
    assert_eq!(all, whole, "every step was made to fail once");
}

#[test]
fn a_new_file_that_fails_at_any_step_is_not_there() {
    let [job, _] = old_and_new();
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("job.ron");
        let steps = EndsAt::new(step, End::Fails);
        let saved = job.save_by(&path, Over::Nothing, &steps);
        let there = holds(folder.path());
        match saved {
            Ok(()) => assert!(there.len() == 1 && there[0].1 == job.text().as_bytes()),
            Err(error) => assert!(there.is_empty(), "ended at step {step}: {error}"),
        }
        if steps.outlived() {
            break;
        }
    }
}

#[test]
fn of_a_folder_of_files_none_takes_its_name_before_all_are_on_the_disk() {
    let files = |letter: &str| -> Vec<(String, Vec<u8>)> {
        let file = |name: &str| (name.to_owned(), letter.repeat(9_000).into_bytes());
        vec![file("a.csv"), file("b.csv"), file("c.csv")]
    };
    let mut named = [0; 4];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        file::write_all(folder.path(), &files("o")).unwrap();
        let steps = EndsAt::new(step, End::Fails);
        let written = file::write_all_by(folder.path(), &files("n"), &steps);
        let there = holds(folder.path());
        assert_eq!(there.len(), 3, "ended at step {step}");
        let is = |letter: u8| {
            let whole =
                |bytes: &Vec<u8>| bytes.len() == 9_000 && bytes.iter().all(|b| *b == letter);
            there.iter().filter(|(_, bytes)| whole(bytes)).count()
        };
        let (old, new) = (is(b'o'), is(b'n'));
        assert_eq!(old + new, 3, "ended at step {step}: each is whole");
        named[new] += 1;
        let flushed = steps.seen.borrow();
        let flushed = flushed.iter().filter(|step| **step == Step::Flush).count();
        assert!(new == 0 || flushed == 3, "ended at step {step}");
        if let Err(error) = written {
            assert!(error.contains(".csv"), "{error}");
        }
        if steps.outlived() {
            break;
        }
    }
    assert!(named.iter().all(|count| *count > 0), "{named:?}");
}

#[cfg(unix)]
#[test]
fn behind_a_link_a_save_that_fails_at_any_step_leaves_the_old_job_and_the_link() {
    let [old, new] = old_and_new();
    let mut found = [0; 2];
    for step in 0.. {
        let folder = tempfile::tempdir().unwrap();
        let linked = Linked::made(folder.path(), &old);
        let steps = EndsAt::new(step, End::Fails);
        let saved = new.save_by(&linked.link, Over::Read(old.text()), &steps);
        let wanted = if saved.is_ok() { &new } else { &old };
        assert!(linked.text() == wanted.text(), "ended at step {step}");
        assert_eq!(holds(&linked.inner).len(), 1, "ended at step {step}");
        if let Err(error) = &saved {
            // The file is named, not the link: it is where there is no room.
            assert!(error.to_string().contains("inner/job.ron"), "{error}");
        }
        found[usize::from(saved.is_ok())] += 1;
        if steps.outlived() {
            break;
        }
    }
    assert!(found[0] > 6 && found[1] > 0, "{found:?}");
}

#[cfg(unix)]
#[test]
fn through_a_link_what_another_changed_behind_it_is_not_written_over() {
    let [old, new] = old_and_new();
    let folder = tempfile::tempdir().unwrap();
    let linked = Linked::made(folder.path(), &old);
    let other = old.set_length("design.rail.height", "37").unwrap();
    other.save_after(&linked.link, old.text()).unwrap();
    let error = new.save_after(&linked.link, old.text()).unwrap_err();
    assert!(matches!(error, SaveError::Changed { .. }), "{error}");
    assert_eq!(linked.text(), other.text());
    // A new file takes no link's place, though it leads nowhere.
    std::fs::remove_file(linked.inner.join("job.ron")).unwrap();
    let error = new.save_new(&linked.link).unwrap_err();
    assert!(matches!(error, SaveError::Exists { .. }), "{error}");
    assert!(holds(&linked.inner).is_empty());
}
