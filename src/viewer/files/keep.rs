//! Unsaved work is kept aside, so that a window that ends without asking loses nothing.
//!
//! Each window has a record in the state folder and a lock beside it. The lock goes with the
//! window, however it ends; a record without its window is work that was not saved, and is offered
//! to the next one. A thread of its own writes, a few seconds after the last change.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvError, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant, SystemTime};

use serde_json::{Value, json};

use super::state;

/// Written so long after the last change.
const QUIET: Duration = Duration::from_secs(3);
/// And at least so often while changes go on.
const LONGEST: Duration = Duration::from_secs(15);

/// Work as it is kept aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::viewer) struct Kept {
    /// The job's file; none for the demo and what was begun from a starter.
    pub(in crate::viewer) path: Option<PathBuf>,
    /// What the job is called where it has no file.
    pub(in crate::viewer) name: String,
    /// The mark of the saved text that it was made from.
    pub(in crate::viewer) of: u64,
    /// When, seconds since 1970.
    pub(in crate::viewer) at: u64,
    /// The whole text.
    pub(in crate::viewer) text: String,
}

impl Kept {
    fn json(&self) -> Value {
        json!({
            "path": self.path.as_deref().and_then(Path::to_str),
            "name": self.name,
            // As text: numbers of JSON need not hold 64 bits.
            "of": format!("{:016x}", self.of),
            "at": self.at,
            "text": self.text,
        })
    }

    fn of_json(value: &Value) -> Option<Self> {
        let text = |field: &str| value.get(field)?.as_str().map(str::to_owned);
        Some(Self {
            path: text("path").map(PathBuf::from),
            name: text("name").unwrap_or_default(),
            of: u64::from_str_radix(&text("of")?, 16).ok()?,
            at: value.get("at").and_then(Value::as_u64).unwrap_or(0),
            text: text("text")?,
        })
    }
}

/// What a window writes down of itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Record {
    /// The file that it has open.
    open: Option<PathBuf>,
    kept: Option<Kept>,
}

impl Record {
    fn write(&self, path: &Path) -> std::io::Result<()> {
        state::write_whole(path, self.text().as_bytes())
    }

    fn text(&self) -> String {
        let open = self.open.as_deref().and_then(Path::to_str);
        json!({ "open": open, "kept": self.kept.as_ref().map(Kept::json) }).to_string()
    }

    fn read(path: &Path) -> Option<Self> {
        let value = state::read_json(path)?;
        let open = value.get("open").and_then(Value::as_str);
        Some(Self {
            open: open.map(PathBuf::from),
            kept: value.get("kept").and_then(Kept::of_json),
        })
    }
}

/// The lock and the record of one window.
fn files(folder: &Path, id: &str) -> (PathBuf, PathBuf) {
    let windows = folder.join("windows");
    let named = |tail: &str| windows.join(format!("{id}.{tail}"));
    (named("lock"), named("json"))
}

/// Work whose window is gone. While it is held no other window takes it up.
#[derive(Debug)]
pub(in crate::viewer) struct Orphan {
    /// The work.
    pub(in crate::viewer) kept: Kept,
    _lock: File,
    lock_path: PathBuf,
    record_path: PathBuf,
}

impl Orphan {
    /// Takes it off the disk: it was saved, or is kept elsewhere.
    pub(super) fn forget(self) {
        remove(&self.record_path);
        remove(&self.lock_path);
    }
}

fn remove(path: &Path) {
    // What is gone already need not be removed, and what cannot be is found again at the next start.
    drop(fs::remove_file(path));
}

/// What other windows left behind or have open.
#[derive(Debug, Default)]
pub(super) struct Others {
    /// Work whose window is gone, the latest first.
    pub(super) orphans: Vec<Orphan>,
    /// What living windows have open.
    pub(super) open: Vec<PathBuf>,
}

/// Looks for other windows, living and gone.
pub(super) fn others(folder: &Path) -> Others {
    let mut found = Others::default();
    let Ok(entries) = fs::read_dir(folder.join("windows")) else {
        return found;
    };
    let locks = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|tail| tail == "lock"));
    for lock_path in locks {
        let record_path = lock_path.with_extension("json");
        let Ok(lock) = File::options().write(true).open(&lock_path) else {
            continue;
        };
        let locked = lock.try_lock();
        // Read once the lock is ours: until then its window may still write.
        let record = Record::read(&record_path).unwrap_or_default();
        match locked {
            Err(TryLockError::WouldBlock) => found.open.extend(record.open),
            Err(TryLockError::Error(_)) => {}
            Ok(()) => match record.kept {
                Some(kept) => found.orphans.push(Orphan {
                    kept,
                    _lock: lock,
                    lock_path,
                    record_path,
                }),
                // It ended with nothing to lose.
                None => {
                    remove(&record_path);
                    remove(&lock_path);
                }
            },
        }
    }
    found
        .orphans
        .sort_by_key(|orphan| std::cmp::Reverse(orphan.kept.at));
    found
}

/// What the keeper is told.
enum Word {
    /// The window has this file open.
    Open(Option<PathBuf>),
    /// Unsaved work.
    Keep(Box<Kept>),
    /// All is saved.
    Saved,
    /// Write what waits now, and answer.
    Now(Sender<()>),
    /// The window closes; what is kept stays or goes.
    End { stays: bool },
}

/// Keeps one window's unsaved work.
pub(in crate::viewer) struct Keeper {
    words: Sender<Word>,
    /// Why the last writing failed.
    trouble: Arc<Mutex<Option<String>>>,
    thread: Option<JoinHandle<()>>,
}

impl Keeper {
    /// Begins to keep a window's work. `said` is called when writing begins to fail.
    ///
    /// # Errors
    /// What the system says where the state folder cannot be written.
    pub(super) fn begin(folder: &Path, said: impl Fn() + Send + 'static) -> std::io::Result<Self> {
        let id = format!(
            "{}-{:x}",
            std::process::id(),
            SystemTime::now()
                .duration_since(SystemTime::UNIX_EPOCH)
                .map_or(0, |since| since.as_nanos())
        );
        let (lock_path, record_path) = files(folder, &id);
        fs::create_dir_all(folder.join("windows"))?;
        let lock = File::options()
            .create(true)
            .truncate(true)
            .write(true)
            .open(&lock_path)?;
        lock.try_lock().map_err(|failed| match failed {
            TryLockError::Error(error) => error,
            TryLockError::WouldBlock => std::io::Error::other("it is taken already"),
        })?;
        let (words, heard) = channel();
        let trouble = Arc::new(Mutex::new(None));
        let desk = Desk {
            heard,
            trouble: trouble.clone(),
            said: Box::new(said),
            record: Record::default(),
            record_path,
            lock: Some((lock, lock_path)),
        };
        let thread = std::thread::Builder::new()
            .name("keeper".to_owned())
            .spawn(move || desk.run())?;
        Ok(Self {
            words,
            trouble,
            thread: Some(thread),
        })
    }

    fn tell(&self, word: Word) {
        // The thread ends only at the end of the window.
        drop(self.words.send(word));
    }

    /// The window has this file open.
    pub(super) fn open(&self, path: Option<&Path>) {
        self.tell(Word::Open(path.map(state::settled)));
    }

    /// Keeps work, in a few seconds.
    pub(super) fn keep(&self, kept: Kept) {
        self.tell(Word::Keep(Box::new(kept)));
    }

    /// Nothing is unsaved any more.
    pub(super) fn saved(&self) {
        self.tell(Word::Saved);
    }

    /// Writes what waits, and returns when it is on the disk.
    pub(super) fn now(&self) {
        let (done, wait) = channel();
        self.tell(Word::Now(done));
        // Without an answer the thread is gone, and so is what it had to write.
        let _answered = wait.recv();
    }

    /// Ends it with the window. What was thrown away or saved does not stay.
    pub(super) fn end(&mut self, stays: bool) {
        self.tell(Word::End { stays });
        if let Some(thread) = self.thread.take() {
            drop(thread.join());
        }
    }

    /// Why unsaved work cannot be kept aside, where it cannot.
    pub(super) fn trouble(&self) -> Option<String> {
        let trouble = self.trouble.lock().unwrap_or_else(PoisonError::into_inner);
        trouble.clone()
    }
}

/// The keeper's thread.
struct Desk {
    heard: Receiver<Word>,
    trouble: Arc<Mutex<Option<String>>>,
    said: Box<dyn Fn() + Send>,
    record: Record,
    record_path: PathBuf,
    lock: Option<(File, PathBuf)>,
}

impl Desk {
    fn run(mut self) {
        // When the first change that is not written yet came.
        let mut since: Option<Instant> = None;
        loop {
            let word = match since {
                None => self
                    .heard
                    .recv()
                    .map_err(|RecvError| RecvTimeoutError::Disconnected),
                Some(first) => {
                    let left = LONGEST.saturating_sub(first.elapsed());
                    self.heard.recv_timeout(QUIET.min(left))
                }
            };
            match word {
                Ok(Word::Keep(kept)) => {
                    self.record.kept = Some(*kept);
                    since.get_or_insert_with(Instant::now);
                }
                Ok(Word::Open(path)) => {
                    self.record.open = path;
                    self.write();
                    since = None;
                }
                Ok(Word::Saved) => {
                    self.record.kept = None;
                    self.write();
                    since = None;
                }
                Ok(Word::Now(done)) => {
                    if since.take().is_some() {
                        self.write();
                    }
                    let _heard = done.send(());
                }
                Ok(Word::End { stays }) => {
                    if stays && self.record.kept.is_some() {
                        self.write();
                    } else {
                        remove(&self.record_path);
                        if let Some((lock, path)) = self.lock.take() {
                            remove(&path);
                            drop(lock);
                        }
                    }
                    return;
                }
                Err(RecvTimeoutError::Timeout) => {
                    self.write();
                    since = None;
                }
                // The window is gone without a word: what it had is kept.
                Err(RecvTimeoutError::Disconnected) => {
                    if since.is_some() {
                        self.write();
                    }
                    return;
                }
            }
        }
    }

    fn write(&self) {
        let failed = self.record.write(&self.record_path).err();
        let failed = failed.map(|error| state::plain(&error));
        let mut trouble = self.trouble.lock().unwrap_or_else(PoisonError::into_inner);
        let news = *trouble != failed;
        *trouble = failed;
        drop(trouble);
        if news {
            (self.said)();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::whole;

    fn work(text: &str) -> Kept {
        Kept {
            path: Some(PathBuf::from("/jobs/stair.ron")),
            name: "stair".to_owned(),
            of: u64::MAX - 1,
            at: 42,
            text: text.to_owned(),
        }
    }

    /// A window that is gone without a word, as one that was killed.
    fn killed(folder: &Path, kept: &Kept) {
        let (lock, record) = files(folder, "1-gone");
        let whole = Record {
            open: kept.path.clone(),
            kept: Some(kept.clone()),
        };
        whole.write(&record).unwrap();
        fs::write(lock, "").unwrap();
    }

    #[test]
    fn work_of_a_window_that_is_gone_is_found_once_and_whole() {
        let folder = tempfile::tempdir().unwrap();
        let kept = work("(\n  // \u{bd} \"quoted\"\n)");
        killed(folder.path(), &kept);
        let mut first = others(folder.path());
        assert_eq!(first.orphans.len(), 1);
        assert_eq!(first.orphans[0].kept, kept);
        // While one window holds it, it is not offered to a second.
        assert_eq!(others(folder.path()).orphans.len(), 0);
        let held = first.orphans.remove(0);
        drop(held);
        assert_eq!(others(folder.path()).orphans.len(), 1, "left, it stays");
        others(folder.path()).orphans.remove(0).forget();
        assert_eq!(others(folder.path()).orphans.len(), 0);
    }

    /// Refuses every step from one on.
    struct EndsAt {
        step: usize,
        done: std::cell::Cell<usize>,
    }

    impl whole::Steps for EndsAt {
        fn before(&self, _step: whole::Step) -> std::io::Result<()> {
            self.done.set(self.done.get() + 1);
            if self.done.get() > self.step {
                return Err(std::io::ErrorKind::StorageFull.into());
            }
            Ok(())
        }
    }

    #[test]
    fn ended_at_any_step_of_keeping_the_work_before_or_the_new_work_is_offered() {
        let folder = tempfile::tempdir().unwrap();
        let (old, new) = (work("old"), work(&"new ".repeat(3_000)));
        let mut taken = [0; 2];
        for step in 0.. {
            killed(folder.path(), &old);
            let (_, record) = files(folder.path(), "1-gone");
            let whole = Record {
                open: new.path.clone(),
                kept: Some(new.clone()),
            };
            let steps = EndsAt {
                step,
                done: std::cell::Cell::new(0),
            };
            let written = state::write_whole_by(&record, whole.text().as_bytes(), &steps);
            let mut left = others(folder.path()).orphans;
            assert_eq!(left.len(), 1, "ended at step {step}");
            let kept = left.remove(0).kept.clone();
            assert!(kept == old || kept == new, "ended at step {step}");
            assert_eq!(kept == new, written.is_ok(), "ended at step {step}");
            taken[usize::from(kept == new)] += 1;
            if steps.done.get() <= step {
                break;
            }
        }
        assert!(taken[0] > 4 && taken[1] > 0, "{taken:?}");
    }

    #[test]
    fn a_living_window_says_what_it_has_open_and_its_work_is_its_own() {
        let folder = tempfile::tempdir().unwrap();
        let mut keeper = Keeper::begin(folder.path(), || ()).unwrap();
        keeper.open(Some(Path::new("/jobs/stair.ron")));
        keeper.keep(work("a"));
        keeper.keep(work("b"));
        keeper.now();
        let seen = others(folder.path());
        assert_eq!(seen.open, [PathBuf::from("/jobs/stair.ron")]);
        assert!(seen.orphans.is_empty());
        keeper.end(true);
        // Ended with work not saved, as by a lost device: it is offered next.
        let left = others(folder.path());
        assert_eq!(left.orphans[0].kept.text, "b");
        left.orphans.into_iter().for_each(Orphan::forget);
    }

    #[test]
    fn a_window_that_saved_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let mut keeper = Keeper::begin(folder.path(), || ()).unwrap();
        keeper.keep(work("a"));
        keeper.saved();
        keeper.end(true);
        let mut thrown = Keeper::begin(folder.path(), || ()).unwrap();
        thrown.keep(work("a"));
        thrown.end(false);
        let left = fs::read_dir(folder.path().join("windows")).unwrap();
        assert_eq!(left.count(), 0);
    }

    #[test]
    fn a_folder_that_cannot_be_written_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let blocked = folder.path().join("file");
        fs::write(&blocked, "").unwrap();
        assert!(Keeper::begin(&blocked, || ()).is_err());
        let mut keeper = Keeper::begin(folder.path(), || ()).unwrap();
        let windows = folder.path().join("windows");
        let aside = folder.path().join("aside");
        fs::rename(&windows, &aside).unwrap();
        fs::write(&windows, "").unwrap();
        keeper.keep(work("a"));
        keeper.now();
        assert!(keeper.trouble().is_some());
        fs::remove_file(&windows).unwrap();
        fs::rename(&aside, &windows).unwrap();
        keeper.keep(work("b"));
        keeper.now();
        assert_eq!(keeper.trouble(), None);
        keeper.end(false);
    }

    #[test]
    fn garbage_in_a_record_is_no_work() {
        let folder = tempfile::tempdir().unwrap();
        for garbage in [
            "",
            "{}",
            "{\"kept\": 3}",
            "{\"kept\": {\"text\": \"a\"}}",
            "\u{7f}",
        ] {
            let (lock, record) = files(folder.path(), "2-gone");
            state::write_whole(&record, garbage.as_bytes()).unwrap();
            fs::write(&lock, "").unwrap();
            assert!(others(folder.path()).orphans.is_empty(), "{garbage}");
            assert!(!record.exists() && !lock.exists());
        }
    }
}
