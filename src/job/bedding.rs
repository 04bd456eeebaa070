//! The shapes of a job file: how treads and kicks are bedded on their stringers. Which of the rough
//! readings tell where the cuts are is in `readings`; here is what may lie between.

use serde::{Deserialize, Serialize};

use super::schema::Len;

/// How treads and kicks are bedded. All limits but the rule pack's stand here; the defaults are
/// common practice, no source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bedding {
    /// A light bead of adhesive fills up to this.
    #[serde(default = "sixteenth")]
    pub light: Len,
    /// A normal bead fills up to this.
    #[serde(default = "eighth")]
    pub normal: Len,
    /// A heavy bead fills up to this; past it a shim goes in.
    #[serde(default = "quarter")]
    pub heavy: Len,
    /// No cut is relieved (planed or sawn down) by more than this.
    #[serde(default = "eighth")]
    pub relieve_most: Len,
    /// How many times as dear it is to relieve a cut by some depth as to fill it by as much.
    #[serde(default = "relieve_cost")]
    pub relieve_cost: f64,
    /// What a tread out of level by some amount from end to end, or a kick out of square, is worth
    /// as against filling as much on one stringer. Nothing: the least filling, level or not.
    #[serde(default = "level_cost")]
    pub level_cost: f64,
    /// Rises of neighbouring steps differ by at most this, and so do goings; absent: only the rule
    /// pack's limits on the whole flight hold.
    #[serde(default)]
    pub neighbours: Option<Len>,
}

impl Default for Bedding {
    fn default() -> Self {
        Self {
            light: sixteenth(),
            normal: eighth(),
            heavy: quarter(),
            relieve_most: eighth(),
            relieve_cost: relieve_cost(),
            level_cost: level_cost(),
            neighbours: None,
        }
    }
}

fn sixteenth() -> Len {
    Len::inches(1.0 / 16.0)
}

fn eighth() -> Len {
    Len::inches(1.0 / 8.0)
}

fn quarter() -> Len {
    Len::inches(1.0 / 4.0)
}

const fn relieve_cost() -> f64 {
    4.0
}

const fn level_cost() -> f64 {
    2.0
}
