//! Notches at a large scale: every face of a board that a newel goes into, flat before the eye, with
//! the lines to knife from the two edges that a tape is hooked on.

use nalgebra::{Point3, Vector3};

use super::draft::{Draft, TEXT};
use super::plan::own_name;
use super::sheet::Panel;
use super::shown::{self, Cut, Numbered, Shown};
use super::{Measured, fit_panels};
use crate::chain::{Chain, RunChain, dry_fits};
use crate::measure::Tape;
use crate::publish::drawing::{At, Box2, Eye, RunView, RunViews};
use crate::publish::{DRY_FIT_CAUTION, dry_fit_told, edge_word, face_words, sentence, side_word};
use crate::setout::dry_fit::{Board, BoardFace, DryFit, Edge, FitSide, KnifeFace, KnifeLine};
use crate::solids::{PartKind, Plane};

/// Shown round the cut and its edges, mm.
const ROUND: f64 = 34.0;
/// Where a dimension stands off the cut, mm on the paper, and how far the next beside it.
const OFF: f64 = 5.4;
const NEXT: f64 = 6.4;

/// One face flat before the eye.
struct Flat<'a> {
    cut: &'a KnifeFace,
    board: BoardFace,
    eye: Eye,
    frame: Box2,
    shown: Shown,
}

/// The notch of a newel in the boards of a run.
pub(super) fn notch(
    chain: &Chain,
    (newel, number): (&str, usize),
    room: (f64, f64),
    tape: Tape,
) -> Option<Measured> {
    let fits = dry_fits(chain, newel);
    let (_, fit) = fits
        .iter()
        .find(|(run, fit)| *run == number && fit.cuts())?;
    let run = chain.runs.get(number)?;
    let flats: Vec<Flat<'_>> = fit
        .faces
        .iter()
        .filter(|cut| !cut.lines.is_empty() || cut.centre.is_some())
        .filter_map(|cut| flat(chain, number, cut, newel))
        .collect();
    let widest = flats.iter().map(|flat| flat.frame.size());
    let size = widest.fold((0.0_f64, 0.0_f64), |most, one| {
        (most.0.max(one.0), most.1.max(one.1))
    });
    if flats.is_empty() {
        return None;
    }
    let least = (size.0 / room.0).max(size.1 / room.1);
    let title = if chain.runs.len() > 1 {
        format!(
            "Notch for newel {} in run {}",
            own_name(newel),
            run.run.name
        )
    } else {
        format!("Notch for newel {}", own_name(newel))
    };
    fit_panels(tape.unit(), (least, room), &title, |by| {
        let panels = flats.iter().map(|flat| panel(flat, run, (by, tape)));
        let mut panels: Vec<Panel> = panels.collect();
        if let Some(last) = panels.last_mut() {
            words(last, fit, tape);
        }
        panels
    })
}

fn flat<'a>(chain: &Chain, number: usize, cut: &'a KnifeFace, newel: &str) -> Option<Flat<'a>> {
    let run = &chain.runs[number];
    let board = cut.board.clone().placed(&run.frame);
    let near = board.normal;
    let right = if cut.on == Board::Top {
        let plan = RunViews::of(chain, number)?.eye(RunView::Plan);
        let right = plan.motion().rotation.inverse() * Vector3::x();
        right - near * right.dot(&near)
    } else {
        Vector3::z().cross(&near)
    };
    let right = right.try_normalize(1e-9)?;
    let eye = Eye::new(right, near.cross(&right));
    let at = |point: &Point3<f64>| -> At {
        let p = eye.point(point);
        (p.x, p.y)
    };
    let ring: Vec<At> = cut
        .ring
        .iter()
        .map(|p| at(&run.frame.to_first(p)))
        .collect();
    let frame = around(run, cut, &board, &at, &ring)?.grown(ROUND);
    let edge = |a: &Point3<f64>, b: &Point3<f64>| {
        let (from, to) = (at(a), at(b));
        let (first, last) = frame.clip_segment(from, to)?;
        let part = |share: f64| {
            (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            )
        };
        Some((part(first), part(last)))
    };
    let count = board.corners.len();
    let seen = (0..count)
        .filter_map(|i| edge(&board.corners[i], &board.corners[(i + 1) % count]))
        .collect();
    let mut hidden = body(chain, newel, &board, &eye, &frame);
    if cut.on == Board::Top {
        let kick = board.kick;
        hidden.extend(kick.and_then(|[a, b]| edge(&a, &b)));
        let parts = shown::parts(chain, Some(number));
        let framing: Vec<Numbered<'_>> = parts
            .into_iter()
            .filter(|(_, part)| part.kind == PartKind::Stringer)
            .collect();
        hidden.extend(shown::seen(&eye, &framing, &frame));
        for block in shown::blocks(run) {
            hidden.extend(shown::outline(&eye, &block, &frame));
        }
    }
    let outline = (0..ring.len())
        .map(|i| (ring[i], ring[(i + 1) % ring.len()]))
        .collect();
    let waste = Cut {
        part: cut.part.clone(),
        kind: PartKind::Newel,
        rings: vec![ring],
        outline,
    };
    Some(Flat {
        cut,
        board,
        eye,
        frame,
        shown: Shown {
            seen,
            hidden,
            cut: vec![waste],
        },
    })
}

/// The box round a cut and the places on the edges that it is measured from.
fn around(
    run: &RunChain,
    cut: &KnifeFace,
    board: &BoardFace,
    at: &impl Fn(&Point3<f64>) -> At,
    ring: &[At],
) -> Option<Box2> {
    let mut frame = ring
        .iter()
        .map(|p| Box2::about(*p, (0.0, 0.0)))
        .reduce(|a, b| a.union(&b))?;
    for line in &cut.lines {
        for end in [line.from, line.to] {
            let end = run.frame.to_first(&end);
            if let Some(foot) = foot(board, line.off.0, &end) {
                frame = frame.union(&Box2::about(at(&foot), (0.0, 0.0)));
            }
        }
    }
    Some(frame)
}

/// The newel's own outline where the plane of the face meets it.
fn body(chain: &Chain, newel: &str, board: &BoardFace, eye: &Eye, frame: &Box2) -> Vec<(At, At)> {
    let part = chain.solids.parts.iter().find(|part| part.name == newel);
    let first = board.corners.first().copied();
    let plane = first.and_then(|corner| Plane::through(corner, board.normal));
    let cuts = part.zip(plane).map(|(part, plane)| {
        // A hair under the face, where the newel goes on.
        let under = Plane {
            offset: plane.offset - 0.1,
            ..plane
        };
        shown::cut(eye, &[(0, part)], &under, frame)
    });
    let cuts = cuts.into_iter().flatten();
    cuts.flat_map(|cut| cut.outline).collect()
}

/// The place on an edge of the board that is nearest to a point: where the tape is hooked.
fn foot(board: &BoardFace, edge: Edge, at: &Point3<f64>) -> Option<Point3<f64>> {
    let (_, [a, b]) = board.edges.iter().find(|(one, _)| *one == edge)?;
    let way = (b - a).try_normalize(1e-9)?;
    Some(a + way * (at - a).dot(&way))
}

fn panel(flat: &Flat<'_>, run: &RunChain, (by, tape): (f64, Tape)) -> Panel {
    let mut draft = Draft::new(flat.eye, by, tape, &flat.shown);
    let title = face_words(&own_name(&flat.cut.part), flat.cut.on);
    let mut stood = [0_u8; 4];
    for line in &flat.cut.lines {
        knife(&mut draft, (flat, run), line, &mut stood);
    }
    centre(&mut draft, flat, run);
    if flat.cut.on == Board::Top {
        behind_kick(&mut draft, flat, run);
        draft.note("Dashed: the newel, the kick's face and framing under the tread.");
    }
    edges(&mut draft, flat);
    draft.panel().headed(&title)
}

/// What the edges are that a tape is hooked on, outside of the board, or inside where a line would run
/// through the words there.
fn edges(draft: &mut Draft, flat: &Flat<'_>) {
    let inside = draft.flat((
        f64::midpoint(flat.frame.low.0, flat.frame.high.0),
        f64::midpoint(flat.frame.low.1, flat.frame.high.1),
    ));
    for (edge, ends) in &flat.board.edges {
        let [from, to] = ends.map(|end| {
            let p = flat.eye.point(&end);
            (p.x, p.y)
        });
        let Some((first, last)) = flat.frame.clip_segment(from, to) else {
            continue;
        };
        let place = |share: f64| {
            let at = (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            );
            draft.flat(at)
        };
        let (a, b) = (place(first), place(last));
        let long = (b.0 - a.0).hypot(b.1 - a.1);
        if long < LEAST {
            continue;
        }
        let way = ((b.0 - a.0) / long, (b.1 - a.1) / long);
        let out = (way.1, -way.0);
        let side = (a.0 - inside.0) * out.0 + (a.1 - inside.1) * out.1;
        let off = 2.6_f64.copysign(side);
        let word = edge_word(*edge);
        let half = TEXT.width(word) / 2.0 + 1.0;
        let rising = way.1.abs() > way.0.abs();
        let tries = [off, -off, 2.0 * off].into_iter().flat_map(|off| {
            [half, long - half, long / 2.0].map(|along| {
                (
                    a.0 + way.0 * along + out.0 * off,
                    a.1 + way.1 * along + out.1 * off,
                )
            })
        });
        draft.set_at(&tries.collect::<Vec<_>>(), word, TEXT, rising);
    }
}

/// Both ends of a line from the edge that it runs along, beyond its ends.
fn knife(
    draft: &mut Draft,
    (flat, run): (&Flat<'_>, &RunChain),
    line: &KnifeLine,
    stood: &mut [u8; 4],
) {
    let edge = line.off.0;
    let ends = [line.from, line.to].map(|end| run.frame.to_first(&end));
    for (end, other) in [(ends[0], ends[1]), (ends[1], ends[0])] {
        let Some(hooked) = foot(&flat.board, edge, &end) else {
            continue;
        };
        let (at, far, from) = (draft.at(&end), draft.at(&other), draft.at(&hooked));
        let way = (at.0 - from.0, at.1 - from.1);
        if way.0.hypot(way.1) < LEAST {
            continue;
        }
        let out = (at.0 - far.0, at.1 - far.1);
        let place = match (out.0.abs() > out.1.abs(), out.0 > 0.0, out.1 > 0.0) {
            (true, true, _) => 0,
            (true, false, _) => 1,
            (false, _, true) => 2,
            (false, _, false) => 3,
        };
        let off = OFF + NEXT * f64::from(stood[place]);
        stood[place] += 1;
        // To the right of the way from the edge to the line, or to its left.
        let right = out.1 * way.0 - out.0 * way.1;
        let row = format!("{} from {}", side_word(line.side), edge_word(edge));
        draft.single(&row, [hooked, end], off.copysign(right));
    }
    let long = line.length();
    if line.out_of_square() >= draft.tape.mark() / 2.0 {
        let (out, long) = (
            draft.tape.print(line.out_of_square()),
            draft.tape.print(long),
        );
        draft.note(format!(
            "The {} runs {out} in {long} out of square with {}.",
            side_word(line.side),
            edge_word(edge)
        ));
    }
}

/// A round newel: its centre from two edges.
fn centre(draft: &mut Draft, flat: &Flat<'_>, run: &RunChain) {
    let Some((at, edges)) = &flat.cut.centre else {
        return;
    };
    let at = run.frame.to_first(at);
    for (edge, _) in edges {
        if let Some(hooked) = foot(&flat.board, *edge, &at) {
            let row = format!("centre from {}", edge_word(*edge));
            draft.single(&row, [hooked, at], 0.0);
        }
    }
}

/// How far the uphill side lies behind the face of the tread's own kick.
fn behind_kick(draft: &mut Draft, flat: &Flat<'_>, run: &RunChain) {
    let uphill = flat
        .cut
        .lines
        .iter()
        .find(|line| line.side == FitSide::Uphill);
    let Some((line, [a, b])) = uphill.zip(flat.board.kick) else {
        return;
    };
    let middle = run.frame.to_first(&nalgebra::center(&line.from, &line.to));
    let way = (b - a).normalize();
    let face = a + way * (middle - a).dot(&way);
    let (from, to) = (draft.at(&face), draft.at(&middle));
    let up = run.frame.way_to_first(&Vector3::x());
    if (to.0 - from.0).hypot(to.1 - from.1) > LEAST && (middle - face).dot(&up) > 0.0 {
        let row = "behind the kick's face";
        draft.single(row, [face, middle], 0.0);
    }
}

/// A distance shorter than this on the paper is not drawn, mm.
const LEAST: f64 = 0.3;

/// What lies behind, and how true it must be cut.
fn words(panel: &mut Panel, fit: &DryFit, tape: Tape) {
    let told = dry_fit_told(fit, tape);
    let behind = told.behind.into_iter().map(|one| sentence(&one.says));
    panel.notes.extend(behind);
    panel.notes.push(sentence(&told.allowance));
    panel.notes.push(DRY_FIT_CAUTION.to_owned());
}
