//! Plans: from above, the open side of the run below, its walls cut as found.

use nalgebra::{Point3, Vector3};

use super::draft::{Draft, FINE, SEEN, Side, TEXT};
use super::row::Place;
use super::shown::{self, Numbered, Shown};
use super::{Measured, called, fit};
use crate::chain::{Chain, RunChain};
use crate::measure::tolerance::TOLD_APART_MM;
use crate::measure::{Length, Tape};
use crate::publish::drawing::{Box2, Eye, RunView, RunViews, frame_of};
use crate::publish::pdf::{Pen, Shade};
use crate::setout::NewelSet;
use crate::shop::marks::{RowOn, rows};
use crate::solids::{PartKind, Plane};

/// Shown round the run, mm: its walls' bodies.
const ROUND: f64 = 140.0;
/// Walls are cut this far over the floor that the run starts on, mm: under a rail's height.
const CUT_AT: f64 = 900.0;

/// Two places nearer than this are told as one, mm.
pub(super) const SAME: f64 = TOLD_APART_MM;

/// A plan of the whole stair, or of one run.
pub(super) fn plan(
    chain: &Chain,
    run: Option<usize>,
    room: (f64, f64),
    tape: Tape,
) -> Option<Measured> {
    let number = run.unwrap_or(0);
    let eye = RunViews::of(chain, number)?.eye(RunView::Plan);
    let parts = shown::parts(chain, run);
    let frame = shown::frame(&eye, &parts)?.grown(ROUND);
    let shown = shown_of(chain, run, &eye, &parts, &frame);
    let title = match run {
        None => "Plan of the whole stair".to_owned(),
        Some(run) => format!("Plan of {}", called(chain, run)),
    };
    let size = frame.size();
    fit(tape.unit(), (size, room), &title, |by| {
        let mut draft = Draft::new(eye, by, tape, &shown);
        let runs: Vec<usize> = run.map_or_else(|| (0..chain.runs.len()).collect(), |run| vec![run]);
        match run {
            Some(run) => one(&mut draft, &chain.runs[run]),
            None => whole(&mut draft, &parts),
        }
        let several = chain.runs.len() > 1;
        for run in runs {
            goes_up(&mut draft, &chain.runs[run], several);
        }
        names(&mut draft, &frame, &parts, &shown);
        draft.note(if run.is_some() {
            "Walls are cut as found. Dashed: the rail, and stringers under the treads."
        } else {
            "Walls are cut as found. Dashed: rails. The runs have plans of their own."
        });
        draft
    })
}

fn shown_of(
    chain: &Chain,
    run: Option<usize>,
    eye: &Eye,
    parts: &[Numbered<'_>],
    frame: &Box2,
) -> Shown {
    let of = |kinds: &[PartKind]| -> Vec<Numbered<'_>> {
        let kept = parts.iter().filter(|(_, part)| kinds.contains(&part.kind));
        kept.copied().collect()
    };
    let aside = [PartKind::Wall, PartKind::Rail, PartKind::Rosette];
    let solid: Vec<Numbered<'_>> = parts
        .iter()
        .filter(|(_, part)| !aside.contains(&part.kind))
        .copied()
        .collect();
    let mut hidden = shown::seen(eye, &of(&[PartKind::Rosette]), frame);
    for (_, rail) in of(&[PartKind::Rail]) {
        hidden.extend(shown::outline(eye, rail, frame));
    }
    if run.is_some() {
        hidden.extend(shown::seen(eye, &of(&[PartKind::Stringer]), frame));
    }
    let floor = run.map_or(0.0, |run| chain.runs[run].frame.origin.z);
    let walls = of(&[PartKind::Wall]);
    let cut = walls.iter().flat_map(|wall| {
        let bounds = wall.1.bounds();
        let at = bounds.map_or(0.0, |b| {
            (floor + CUT_AT).clamp(b.low.z + 1.0, (b.high.z - 1.0).max(b.low.z + 1.0))
        });
        let plane = Plane::through(Point3::new(0.0, 0.0, at), Vector3::z());
        plane
            .map(|plane| shown::cut(eye, &[*wall], &plane, frame))
            .unwrap_or_default()
    });
    Shown {
        cut: cut.collect(),
        seen: shown::seen(eye, &solid, frame),
        hidden,
    }
}

/// Overall sizes of the whole stair.
fn whole(draft: &mut Draft, parts: &[Numbered<'_>]) {
    let own = parts
        .iter()
        .filter(|(_, part)| !matches!(part.kind, PartKind::Wall | PartKind::Floor));
    let eye = draft.eye;
    let Some(frame) = frame_of(&eye, own.map(|(_, part)| *part)) else {
        return;
    };
    let back = eye.motion().inverse();
    let at = |x: f64, y: f64| Place::new(back * Point3::new(x, y, 0.0), "");
    let (low, high) = (frame.low, frame.high);
    draft.overall(
        Side::Below,
        "length of the stair",
        &[at(low.0, low.1), at(high.0, low.1)],
    );
    draft.overall(
        Side::Right,
        "width of the stair",
        &[at(high.0, low.1), at(high.0, high.1)],
    );
}

/// The dimensions of one run.
fn one(draft: &mut Draft, run: &RunChain) {
    let site = &run.site;
    let point = |x: f64, y: f64| run.frame.to_first(&Point3::new(x, y, 0.0));
    rod(draft, run);
    let kicks: Vec<Place> = site
        .steps
        .iter()
        .map(|step| Place::new(point(step.kick_x, 0.0), ""))
        .collect();
    let newels: Vec<&NewelSet> = run.setout.all_newels().collect();
    if let Some(first) = site.steps.first() {
        let mut faces = vec![Place::new(point(first.kick_x, 0.0), "K1")];
        faces.extend(newels.iter().map(|newel| {
            let (low, high) = extent(newel, 0);
            let x = if newel.at_foot { high } else { low };
            Place::new(point(x, 0.0), newel.name.clone())
        }));
        draft.running(Side::Below, "newels from the face of kick 1", &faces);
        draft.note(
            "Below, outward: running to baluster centres; running from the face of kick 1 to the \
             newels' faces along the rail; goings, kick face to kick face on the baluster line.",
        );
    }
    draft.chain(Side::Below, "goings", &kicks);
    draft.overall(Side::Below, "goings", &kicks);
    if let Some(level) = site.level {
        let ends = [0.0, level.length].map(|x| Place::new(point(x, 0.0), ""));
        draft.overall(Side::Below, "length", &ends);
        draft.note("Below, outward: running to baluster centres; the length of the level run.");
    }
    across(draft, run, &newels);
}

/// Running to baluster centres from what stands at the lower end.
fn rod(draft: &mut Draft, run: &RunChain) {
    let rows = rows(run);
    let Some(row) = rows.iter().find(|row| row.on == RowOn::Rod) else {
        return;
    };
    let Some((first, mark)) = run.setout.balusters.first().zip(row.marks.first()) else {
        return;
    };
    let zero = Length::mm(first.foot.x) - mark.level;
    let at = |level: Length, y: f64| {
        run.frame
            .to_first(&Point3::new((zero + level).as_mm(), y, 0.0))
    };
    let start = if row.part.is_empty() {
        "K1".to_owned()
    } else {
        own_name(&row.part)
    };
    let mut places = vec![Place::new(at(Length::ZERO, first.foot.y), start)];
    let feet = run.setout.balusters.iter().map(|one| one.foot.y);
    places.extend(
        row.marks
            .iter()
            .zip(feet)
            .map(|(mark, y)| Place::new(at(mark.level, y), own_name(&mark.part))),
    );
    let end = &row.end;
    let name = if row.marks.iter().any(|mark| mark.part == end.part) {
        format!("end of {}", own_name(&end.part))
    } else {
        own_name(&end.part)
    };
    places.push(Place::new(at(end.level, first.foot.y), name));
    draft.running(Side::Below, "baluster centres", &places);
}

/// The name of a part without that of its run, which the title has.
pub(super) fn own_name(name: &str) -> String {
    // Treads, kicks, balusters and floors go by the run; what somebody named keeps its name.
    let ours = |own: &str| {
        let digits = own.trim_start_matches(['T', 'K', 'B', 'F']);
        digits.len() + 1 == own.len() && digits.chars().all(|it| it.is_ascii_digit())
    };
    let own = name.rsplit_once('.').map(|(_, own)| own);
    own.filter(|own| ours(own)).unwrap_or(name).to_owned()
}

/// The extent of a newel's foot along an axis of its run.
pub(super) fn extent(newel: &NewelSet, axis: usize) -> (f64, f64) {
    let far = (f64::INFINITY, f64::NEG_INFINITY);
    newel.footprint.iter().fold(far, |(low, high), at| {
        (low.min(at[axis]), high.max(at[axis]))
    })
}

/// Across the flight at either end: from the open end of the tread to the newel, and to the wall
/// side.
fn across(draft: &mut Draft, run: &RunChain, newels: &[&NewelSet]) {
    let site = &run.site;
    let lower_right = {
        let way = run.frame.way_to_first(&Vector3::x());
        draft.eye.way(&way).x < 0.0
    };
    let mut told = false;
    for newel in newels {
        let side = if newel.at_foot == lower_right {
            Side::Right
        } else {
            Side::Left
        };
        let (low, high) = extent(newel, 0);
        let x = f64::midpoint(low, high);
        let step = site.tread_under(if newel.at_foot { high } else { low });
        let step = site.step(step).or(site.steps.first());
        let ends = step
            .map(|step| (step.open_q, Some(step.wall_q)))
            .or(site.level.map(|level| (level.open_q, None)));
        let Some((open, wall)) = ends else { continue };
        let (low, high) = extent(newel, 1);
        let (near, far) = if site.outward > 0.0 {
            (high * site.outward, low * site.outward)
        } else {
            (low * site.outward, high * site.outward)
        };
        let at = |q: f64| Place::new(run.frame.to_first(&site.at(x, q, 0.0)), "");
        let mut qs = vec![open, near, far];
        qs.extend(wall);
        qs.sort_by(|a, b| b.total_cmp(a));
        qs.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let places: Vec<Place> = qs.into_iter().map(at).collect();
        let row = format!("across at {}", newel.name);
        draft.chain(side, &row, &places);
        if places.len() > 2 {
            draft.overall(side, &row, &places);
        }
        told = true;
    }
    if told {
        draft.note(
            "Across, at a newel: the open end of the tread, both faces of the newel, the wall side.",
        );
    }
}

/// A line along the middle of the run with a ring where it begins and an arrow on the way up.
fn goes_up(draft: &mut Draft, run: &RunChain, several: bool) {
    let site = &run.site;
    let Some((first, last)) = site.steps.first().zip(site.steps.last()) else {
        return;
    };
    let q = 0.75 * first.wall_q + 0.25 * first.open_q;
    let at = |x: f64| draft.at(&run.frame.to_first(&site.at(x, q, 0.0)));
    let (from, to) = (
        at(first.nosing_x() - 60.0),
        at(last.kick_x - 0.3 * first.going),
    );
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = dx.hypot(dy);
    if long < 8.0 {
        return;
    }
    let (x, y) = (dx / long, dy / long);
    let barb = |turn: f64| {
        let (back, side) = (2.6, 1.0 * turn);
        (to.0 - x * back - y * side, to.1 - y * back + x * side)
    };
    let pen = Pen::new(Shade::BLACK, SEEN);
    draft
        .part
        .round(from, 0.8, Some(Pen::new(Shade::BLACK, FINE)), None);
    draft
        .part
        .line(&[(from.0 + 0.8 * x, from.1 + 0.8 * y), to], pen);
    draft.part.line(&[barb(1.0), to, barb(-1.0)], pen);
    let words = if several {
        format!("run {} up", run.run.name)
    } else {
        "up".to_owned()
    };
    let on = TEXT.width(&words) / 2.0 + 2.0;
    let beside = (from.0 + x * on - y * 2.2, from.1 + y * on + x * 2.2);
    draft.set(beside, &words, TEXT, y.abs() > x.abs());
}

/// Names of treads, newels and walls where they stand.
fn names(draft: &mut Draft, frame: &Box2, parts: &[Numbered<'_>], shown: &Shown) {
    let eye = draft.eye;
    let back = eye.motion().inverse();
    let place = |x: f64, y: f64| back * Point3::new(x, y, 0.0);
    for (_, part) in parts {
        let Some(around) = frame_of(&eye, [*part]) else {
            continue;
        };
        let middle = (
            f64::midpoint(around.low.0, around.high.0),
            f64::midpoint(around.low.1, around.high.1),
        );
        if !frame.holds(middle) {
            continue;
        }
        let name = own_name(&part.name);
        match part.kind {
            PartKind::Newel => {
                // Beside it, away from the rail.
                let high = (around.size().1 / draft.by / 2.0) + 2.4;
                let wide = (around.size().0 / draft.by / 2.0) + 4.0;
                let beside = [
                    (0.0, -high),
                    (0.0, -high - 2.0),
                    (wide, -high),
                    (-wide, -high),
                ];
                draft.named(&place(middle.0, middle.1), &beside, &name);
            }
            PartKind::Tread => {
                let wide = around.size().0.min(around.size().1) / draft.by;
                if wide > 5.0 {
                    // In its middle, or clear of the framing under it.
                    let tall = around.size().1 / draft.by;
                    let beside = [0.0, 0.1, -0.1, 0.2, -0.2].map(|share| (0.0, share * tall));
                    draft.named(&place(middle.0, middle.1), &beside, &name);
                }
            }
            _ => {}
        }
    }
    for cut in &shown.cut {
        let corners = || cut.rings.iter().flatten();
        let mean = |of: fn(&(f64, f64)) -> f64| {
            corners().map(of).sum::<f64>() / corners().count().max(1) as f64
        };
        let at = (mean(|p| p.0), mean(|p| p.1));
        draft.named(&place(at.0, at.1), &[(0.0, 0.0)], &cut.part);
    }
}
