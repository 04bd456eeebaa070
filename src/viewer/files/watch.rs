//! The job's file on the disk: a thread looks at its time and length once in a second, and wakes
//! the window only where they changed and hold still again.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::{Duration, SystemTime};

/// How often it is looked at.
const EVERY: Duration = Duration::from_secs(1);

/// What a file looks like from outside; `None` where it is not there.
type Stamp = Option<(SystemTime, u64)>;

fn stamp(path: &Path) -> Stamp {
    let about = std::fs::metadata(path).ok()?;
    Some((about.modified().ok()?, about.len()))
}

#[derive(Default)]
struct Watched {
    path: Option<PathBuf>,
    /// As it was when the window last read or wrote it.
    known: Stamp,
    /// As it was at the last look.
    seen: Stamp,
    changed: bool,
}

impl Watched {
    /// One look; true where the window should hear of it.
    fn look(&mut self, now: Stamp) -> bool {
        // A file that is still being written looks different again in the next second.
        let still = self.seen == now;
        self.seen = now;
        if !still || self.known == now {
            return false;
        }
        self.known = now;
        self.changed = true;
        true
    }
}

/// Watches one file.
#[derive(Default)]
pub(in crate::viewer) struct Watch(Arc<Mutex<Watched>>);

impl Watch {
    /// A watch that calls `wake` where the file changed. It ends with what it is part of.
    pub(super) fn begin(wake: impl Fn() + Send + 'static) -> Self {
        let watch = Self::default();
        let watched: Weak<Mutex<Watched>> = Arc::downgrade(&watch.0);
        let run = move || {
            loop {
                std::thread::sleep(EVERY);
                let Some(watched) = watched.upgrade() else {
                    return;
                };
                let lock = || watched.lock().unwrap_or_else(PoisonError::into_inner);
                let Some(path) = lock().path.clone() else {
                    continue;
                };
                // Not under the lock: a folder far away answers slowly.
                let now = stamp(&path);
                let mut held = lock();
                let same = held.path.as_deref() == Some(&*path);
                let heard = same && held.look(now);
                drop(held);
                if heard {
                    wake();
                }
            }
        };
        // Without the thread nothing is reloaded, and saving still looks before it writes.
        drop(
            std::thread::Builder::new()
                .name("watch".to_owned())
                .spawn(run),
        );
        watch
    }

    /// From now on this file, as it stands now.
    pub(super) fn at(&self, path: Option<&Path>) {
        let now = path.and_then(stamp);
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        *held = Watched {
            path: path.map(Path::to_owned),
            known: now,
            seen: now,
            changed: false,
        };
    }

    /// Whether it changed since it was last asked.
    pub(super) fn changed(&self) -> bool {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        std::mem::take(&mut held.changed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_is_told_once_and_when_it_holds_still() {
        let at = |seconds, length| {
            Some((
                SystemTime::UNIX_EPOCH + Duration::from_secs(seconds),
                length,
            ))
        };
        let mut watched = Watched {
            path: None,
            known: at(1, 10),
            seen: at(1, 10),
            changed: false,
        };
        assert!(!watched.look(at(1, 10)));
        // Still being written.
        assert!(!watched.look(at(2, 4)));
        assert!(!watched.look(at(2, 9)));
        assert!(watched.look(at(2, 9)));
        assert!(!watched.look(at(2, 9)));
        // Gone, and back as it was.
        assert!(!watched.look(None));
        assert!(watched.look(None));
        assert!(!watched.look(at(2, 9)));
        assert!(watched.look(at(2, 9)));
    }

    #[test]
    fn a_file_that_another_program_writes_is_noticed() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("stair.ron");
        std::fs::write(&path, "a").unwrap();
        let (told, heard) = std::sync::mpsc::channel();
        let watch = Watch::begin(move || {
            let _heard = told.send(());
        });
        watch.at(Some(&path));
        std::fs::write(&path, "longer").unwrap();
        heard.recv_timeout(Duration::from_secs(20)).unwrap();
        assert!(watch.changed() && !watch.changed());
        // What the window writes itself is no news.
        std::fs::write(&path, "longer still").unwrap();
        watch.at(Some(&path));
        assert!(heard.recv_timeout(Duration::from_millis(2_500)).is_err());
    }
}
