//! Lengths of the design that can be moved along the tape: balusters and panels.

use crate::chain::RunChain;
use crate::job::limits::{Bounds, PANEL_EDGE, PANEL_GAP, PEG, REVEAL, SEAT, SET_BACK};
use crate::job::{Spacing, Widths};
use crate::measure::Length;

use super::knobs::{Knob, Maker, way};

/// Those of a run. A length that is itself asked for (an edge distance, a clearance from the skirt)
/// is none: asking for less would hide the trouble.
pub(super) fn of(maker: &Maker<'_>, run: &RunChain) -> Vec<Knob> {
    let design = &maker.job().design;
    let balusters = &design.balusters;
    if let Spacing::Panels {
        widths, foot, head, ..
    } = &balusters.spacing
    {
        return panels(maker, widths, [foot.value, head.value]);
    }
    let mut all = vec![
        maker.knob(
            ("design.balusters.seat", balusters.seat.value, SEAT),
            |by, more| {
                format!(
                    "let the balusters {by} {} into the rail",
                    way(more, "deeper", "less deep")
                )
            },
            |job, len| {
                // A seat through the rail is none.
                if len.value >= job.design.rail.depth.value {
                    return None;
                }
                job.design.balusters.seat = len;
                Some(())
            },
        ),
        maker.knob(
            ("design.balusters.peg", balusters.peg.value, PEG),
            |by, more| format!("make the pegs {by} {}", way(more, "longer", "shorter")),
            |job, len| {
                job.design.balusters.peg = len;
                Some(())
            },
        ),
    ];
    if run.setout.on_treads() {
        all.extend(line(maker, run));
    }
    if let Spacing::PerTread { set_back, .. } = &balusters.spacing {
        all.push(maker.knob(
            (
                "design.balusters.spacing.PerTread.set_back",
                set_back.value,
                SET_BACK,
            ),
            |by, more| {
                format!(
                    "set all balusters {by} {} the flight",
                    way(more, "up", "down")
                )
            },
            |job, len| match &mut job.design.balusters.spacing {
                Spacing::PerTread { set_back, .. } => {
                    *set_back = len;
                    Some(())
                }
                _ => None,
            },
        ));
    }
    all
}

/// The baluster line moved as a whole: by the reveal that is wanted, from what shows now where none
/// was.
fn line(maker: &Maker<'_>, run: &RunChain) -> Option<Knob> {
    let wanted = maker.job().design.reveal.as_ref().map(|len| len.value);
    let now = wanted.or_else(|| {
        let reveals = &run.setout.reveals;
        let sum: Length = reveals.iter().map(|reveal| reveal.value).sum();
        let count = u32::try_from(reveals.len())
            .ok()
            .filter(|count| *count > 0)?;
        Some(maker.job().tape.round(sum / f64::from(count)))
    })?;
    Some(maker.knob(
        ("design.reveal", now, REVEAL),
        |by, more| {
            format!(
                "move the baluster line {by} {}",
                way(more, "in from the tread ends", "out to the tread ends")
            )
        },
        |job, len| {
            job.design.reveal = Some(len);
            Some(())
        },
    ))
}

fn panels(maker: &Maker<'_>, widths: &Widths, [foot, head]: [Length; 2]) -> Vec<Knob> {
    let path = "design.balusters.spacing.Panels";
    let mut all = Vec::new();
    if let Widths::Alike { gap, .. } = widths {
        all.push(maker.knob(
            (format!("{path}.widths.Alike.gap"), gap.value, PANEL_GAP),
            |by, more| {
                format!(
                    "make the gaps between the panels {by} {}",
                    way(more, "wider", "narrower")
                )
            },
            |job, len| match &mut job.design.balusters.spacing {
                Spacing::Panels {
                    widths: Widths::Alike { gap, .. },
                    ..
                } => {
                    *gap = len;
                    Some(())
                }
                _ => None,
            },
        ));
    }
    let edges: [(&str, Length, Bounds, &'static str); 2] = [
        ("foot", foot, PANEL_EDGE, "lower"),
        ("head", head, PANEL_EDGE, "upper"),
    ];
    all.extend(edges.into_iter().map(|(field, now, bounds, edge)| {
        maker.knob(
            (format!("{path}.{field}"), now, bounds),
            move |by, more| {
                // More below the rail is lower down.
                let up = more == (edge == "lower");
                format!(
                    "{} the panels' {edge} edge by {by}",
                    way(up, "raise", "lower")
                )
            },
            move |job, len| match &mut job.design.balusters.spacing {
                Spacing::Panels { foot, head, .. } => {
                    *(if edge == "lower" { foot } else { head }) = len;
                    Some(())
                }
                _ => None,
            },
        )
    }));
    all
}
