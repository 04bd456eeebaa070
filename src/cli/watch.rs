//! How far long work has come, and Ctrl-C to end it.

use std::io::{IsTerminal, Write};
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::doubt::Progress;
use crate::publish::grouped;

/// Watches long work.
pub(in crate::cli) struct Watch {
    ended: Arc<AtomicBool>,
    shown: bool,
}

impl Watch {
    /// Ctrl-C from now on ends the draws, and a second one the program. Progress is shown where
    /// somebody looks.
    pub(in crate::cli) fn new() -> Self {
        let ended = Arc::new(AtomicBool::new(false));
        let flag = ended.clone();
        let pressed = move || {
            if flag.swap(true, Ordering::Relaxed) {
                std::process::exit(INTERRUPTED);
            }
        };
        // Where no handler can be set Ctrl-C ends the program at once, as it would anyway.
        let _set = ctrlc::set_handler(pressed);
        Self {
            ended,
            shown: std::io::stderr().is_terminal(),
        }
    }

    /// Told how far draws have come.
    pub(in crate::cli) fn tell(&self, progress: Progress) -> ControlFlow<()> {
        if progress.done == 0 {
            return self.line("a first look at what may fail; Ctrl-C ends it");
        }
        self.line(&format!(
            "{} of {} draws at most; Ctrl-C ends them",
            grouped(progress.done),
            grouped(progress.most)
        ))
    }

    /// Told in a line how far it has come.
    pub(in crate::cli) fn line(&self, line: &str) -> ControlFlow<()> {
        if self.shown {
            let mut out = std::io::stderr().lock();
            let line = format!("\r{line}\x1b[K");
            // Nobody is left to tell where standard error is closed.
            let _closed = out.write_all(line.as_bytes()).and_then(|()| out.flush());
        }
        if self.ended.load(Ordering::Relaxed) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }

    /// Takes the line away.
    pub(in crate::cli) fn done(&self) {
        if self.shown {
            let mut out = std::io::stderr().lock();
            let _closed = out.write_all(b"\r\x1b[K").and_then(|()| out.flush());
        }
    }
}

/// What a shell expects of a program that Ctrl-C ended.
const INTERRUPTED: i32 = 130;
