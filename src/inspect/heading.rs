//! Ways in the words of one who stands on the run: up and down the flight, towards the open side
//! and the wall side, up and down.

use nalgebra::Vector3;

use crate::measure::{Length, Tape};
use crate::site::Site;

/// A share of the travel smaller than this is not told: over an inch it is under a 1/16.
const SHARE: f64 = 0.05;

/// A travel in a run's frame, mm, in words: each of its shares, the greatest first, as
/// `1/4" down the flight and 3/16" up`. What is left out is a twentieth of the way at most, on each
/// axis.
pub(super) fn travel_words(site: &Site, tape: Tape, travel: &Vector3<f64>) -> String {
    let whole = travel.norm();
    let across = travel.y * site.outward;
    let (on, back) = if site.level.is_some() {
        ("on along the run", "back along the run")
    } else {
        ("up the flight", "down the flight")
    };
    let mut shares = [
        (travel.x, on, back),
        (across, "towards the open side", "towards the wall side"),
        (travel.z, "up", "down"),
    ];
    // Stable: of two as great the first named stands first.
    shares.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let told: Vec<(f64, &str)> = shares
        .iter()
        .filter(|(share, ..)| share.abs() > whole * SHARE)
        .map(|&(share, plus, minus)| (share.abs(), if share > 0.0 { plus } else { minus }))
        .collect();
    if let [(_, way)] = told[..] {
        return format!("{} {way}", tape.print(Length::mm(whole)));
    }
    let told: Vec<String> = told
        .iter()
        .map(|(share, way)| format!("{} {way}", tape.print(Length::mm(*share))))
        .collect();
    match told.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        Some((last, _)) => last.clone(),
        None => "nowhere".to_owned(),
    }
}
