//! Times with the most memory held.

use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// A stage is repeated until it has taken this long, or so many times.
const LONG_ENOUGH: Duration = Duration::from_millis(250);
const MOST: usize = 200;
/// It is repeated so often at least, where the first time took less than [`LONG`].
const LEAST: usize = 3;
const LONG: Duration = Duration::from_secs(2);

/// What one stage took.
pub(crate) struct Taken {
    times: Vec<Duration>,
    peak_mb: Option<f64>,
}

impl Taken {
    pub(crate) fn best(&self) -> Duration {
        self.times.first().copied().unwrap_or_default()
    }

    pub(crate) fn told(&self) -> Value {
        let ms = |took: Duration| took.as_secs_f64() * 1e3;
        json!({
            "best_ms": ms(self.best()),
            "median_ms": ms(self.times[self.times.len() / 2]),
            "runs": self.times.len(),
            "peak_mb": self.peak_mb,
        })
    }

    /// The same for one of so many that were done together.
    pub(crate) fn each(mut self, of: u32) -> Self {
        for one in &mut self.times {
            *one /= of;
        }
        self
    }
}

/// Times the work. The peak of memory is that of its first run, with what it works on already made:
/// what came before is forgotten (Linux: 5 into `clear_refs` begins `VmHWM` anew, see proc(5)).
pub(crate) fn timed<T>(mut work: impl FnMut() -> T) -> Taken {
    // Elsewhere, or where it may not be written, the peak is that of all so far.
    let forgotten = std::fs::write("/proc/self/clear_refs", "5");
    drop(forgotten);
    let mut times = Vec::new();
    let mut once = || {
        let began = Instant::now();
        let done = work();
        let took = began.elapsed();
        // Letting go of it is not the stage's work.
        drop(done);
        took
    };
    times.push(once());
    let peak_mb = peak_mb();
    let mut all = times[0];
    let least = if all > LONG { 1 } else { LEAST };
    while times.len() < least || (all < LONG_ENOUGH && times.len() < MOST) {
        let took = once();
        all += took;
        times.push(took);
    }
    times.sort_unstable();
    Taken { times, peak_mb }
}

/// The most memory that this process has held, MB; Linux tells it.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024.0 / 1e6)
}
