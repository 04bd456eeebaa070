//! What something that is pulled comes to stand at: a mark of the tape, or a place worth stopping at
//! that is near.

use crate::explain::handle::{Handle, Place, Takes, Value};
use crate::measure::{Length, Tape};

/// What is aimed at.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::viewer) struct Aim {
    /// What it comes to stand at.
    pub(in crate::viewer) value: Value,
    /// The place that it stops at, if it stops at one.
    pub(in crate::viewer) place: Option<Place>,
}

/// Aims a handle at what lies so far along its way: the nearest place within reach, else the mark.
/// `free` goes past all places.
pub(super) fn aim(
    handle: &Handle,
    along: f64,
    (places, reach): (&[Place], Length),
    free: bool,
    tape: Tape,
) -> Aim {
    let raw = handle.length_at(Length::mm(along));
    let stops = raw.filter(|_| !free).into_iter().flat_map(|raw| {
        let near = move |place: &&Place| (place.is - raw).abs() <= reach;
        places.iter().filter(near).map(move |place| (place, raw))
    });
    let nearest = stops.min_by(|(a, raw), (b, _)| {
        let off = |place: &Place| (place.is - *raw).abs();
        off(a).total_cmp(&off(b))
    });
    match nearest {
        Some((place, _)) => Aim {
            value: Value::Length(place.is),
            place: Some(place.clone()),
        },
        None => Aim {
            value: handle.value_at(Length::mm(along), tape),
            place: None,
        },
    }
}

/// The next stop from a length on: a place, or a quarter of an inch (half a centimetre), whichever
/// comes first.
pub(super) fn next_stop(
    handle: &Handle,
    now: Length,
    places: &[Place],
    up: bool,
    tape: Tape,
) -> Option<Aim> {
    const NEAR: Length = Length::mm(0.01);
    let Takes::Length(lever) = &handle.takes else {
        return None;
    };
    let step = match tape {
        Tape::Sixteenths | Tape::ThirtySeconds => Length::inches(0.25),
        Tape::Millimetres => Length::mm(5.0),
    };
    let ahead = |length: Length| if up { length - now } else { now - length };
    let steps = now / step;
    let whole = if up {
        (steps + NEAR / step).floor() + 1.0
    } else {
        (steps - NEAR / step).ceil() - 1.0
    };
    let quarter = Aim {
        value: Value::Length(step * whole),
        place: None,
    };
    let beyond = places.iter().filter(|place| ahead(place.is) > NEAR);
    let next = beyond.min_by(|a, b| ahead(a.is).total_cmp(&ahead(b.is)));
    let aim = match next {
        Some(place) if ahead(place.is) <= ahead(step * whole) + NEAR => Aim {
            value: Value::Length(place.is),
            place: Some(place.clone()),
        },
        _ => quarter,
    };
    let Value::Length(there) = aim.value else {
        return None;
    };
    lever.bounds().hold(there).then_some(aim)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain;
    use crate::explain::handle::handles;
    use crate::job::Document;

    fn newel() -> Handle {
        let text = include_str!("../../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(text, "test.ron").unwrap();
        let chain = chain::run(document.job()).unwrap();
        handles(&chain, "N1").remove(0)
    }

    fn place(inches: f64) -> Place {
        Place {
            is: Length::inches(inches),
            says: format!("stop {inches}"),
        }
    }

    #[test]
    fn what_is_pulled_stops_at_a_place_in_reach_and_else_at_a_mark() {
        let handle = newel();
        let places = [place(0.1), place(0.9)];
        let at = |inches: f64, reach: f64, free| {
            let reach = (&places[..], Length::inches(reach));
            let aim = aim(&handle, inches * 25.4, reach, free, Tape::Sixteenths);
            let Value::Length(is) = aim.value else {
                panic!("{aim:?}")
            };
            (is.as_inches(), aim.place.map(|place| place.says))
        };
        let stop = |(is, says): (f64, Option<String>), wanted: f64, of: Option<&str>| {
            approx::assert_relative_eq!(is, wanted, epsilon = 1e-9);
            assert_eq!(says.as_deref(), of);
        };
        stop(at(0.14, 0.1, false), 0.1, Some("stop 0.1"));
        stop(at(0.14, 0.1, true), 0.125, None);
        stop(at(0.5, 0.1, false), 0.5, None);
        // Of two in reach the nearer.
        stop(at(0.49, 0.6, false), 0.1, Some("stop 0.1"));
        // Past what a job may hold it stands at the end of that: 60 in.
        stop(at(900.0, 0.1, false), 60.0, None);
    }

    #[test]
    fn leaps_go_from_stop_to_stop() {
        let handle = newel();
        let places = [place(0.1), place(0.25), place(0.9)];
        let mut now = Length::ZERO;
        let mut stops = Vec::new();
        for _ in 0..4 {
            let aim = next_stop(&handle, now, &places, true, Tape::Sixteenths).unwrap();
            let Value::Length(is) = aim.value else {
                panic!("{aim:?}")
            };
            stops.push((is.as_inches() * 1000.0).round());
            now = is;
        }
        assert_eq!(stops, [100.0, 250.0, 500.0, 750.0]);
        let back = next_stop(&handle, now, &places, false, Tape::Sixteenths).unwrap();
        assert_eq!(back.value, Value::Length(Length::inches(0.5)));
        // From the end of what a job may hold there is no further.
        let end = next_stop(
            &handle,
            Length::inches(60.0),
            &places,
            true,
            Tape::Sixteenths,
        );
        assert_eq!(end, None);
    }
}
