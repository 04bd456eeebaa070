//! Sections at newels: the stair cut plumb through the middle of a newel's foot, square to its
//! flight, and what stands just beyond.

use nalgebra::{Point3, Vector3};

use super::draft::{Draft, Side};
use super::meeting::{Meeting, meetings};
use super::plan::{SAME, own_name};
use super::row::Place;
use super::shown::{self, Cut, Numbered, Shown};
use super::{Measured, fit};
use crate::chain::{Chain, RunChain, dry_fit_on};
use crate::measure::{Length, Tape};
use crate::publish::drawing::{At, Box2, Eye};
use crate::setout::NewelSet;
use crate::setout::dry_fit::DryFit;
use crate::solids::{Convex, Part, PartKind, Plane};

/// Shown round what is cut, mm: the body of a wall.
const ROUND: f64 = 140.0;
/// What stands beyond is shown as deep as this much of a going.
const DEEP: f64 = 1.3;
/// How deep where a run has no goings, mm.
const LEVEL_DEEP: f64 = 350.0;

/// What a section cuts of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionCut {
    /// The part.
    pub part: String,
    /// What it is.
    pub kind: PartKind,
    /// The rings of its pieces in the picture, mm: to the right, and up.
    pub rings: Vec<Vec<(f64, f64)>>,
}

/// Where a newel is cut.
struct Stood<'a> {
    run: &'a RunChain,
    newel: &'a NewelSet,
    eye: Eye,
    plane: Plane,
    parts: Vec<Numbered<'a>>,
    rails: &'a [Meeting],
    /// Set down dry.
    fit: Option<DryFit>,
}

/// What is drawn beside the solids of a run: blocks as the job says, and rails that meet the newel.
struct Aside {
    blocks: Vec<Part>,
    rails: Vec<Meeting>,
}

impl Aside {
    fn of(chain: &Chain, newel: &str, number: usize) -> Self {
        Self {
            blocks: shown::blocks(&chain.runs[number]),
            rails: meetings(chain, newel, number),
        }
    }
}

/// The run that a newel belongs to.
fn owner(chain: &Chain, name: &str) -> Option<usize> {
    chain.runs.iter().position(|run| {
        let mut newels = run.setout.newels.iter();
        newels.any(|newel| newel.name == name)
    })
}

fn place<'a>(chain: &'a Chain, name: &str, number: usize, aside: &'a Aside) -> Option<Stood<'a>> {
    let run = &chain.runs[number];
    let newel = run.setout.newels.iter().find(|one| one.name == name)?;
    // One looks the way in which its rail goes on.
    let ahead = if newel.at_foot { 1.0 } else { -1.0 };
    let way = run.frame.way_to_first(&(Vector3::x() * ahead));
    let eye = Eye::new(-Vector3::z().cross(&way), Vector3::z());
    let plane = Plane::through(run.frame.to_first(&newel.foot), -way)?;
    let mut parts = shown::parts(chain, Some(number));
    let stubs = aside.rails.iter().filter_map(|one| one.stub.as_ref());
    let placed = aside.blocks.iter().chain(stubs).enumerate();
    parts.extend(placed.map(|(at, block)| (shown::ASIDE + at, block)));
    Some(Stood {
        run,
        newel,
        eye,
        plane,
        parts,
        rails: &aside.rails,
        fit: dry_fit_on(chain, number, name),
    })
}

const WIDE: Box2 = Box2 {
    low: (-1e6, -1e6),
    high: (1e6, 1e6),
};

/// What the section at a newel cuts, part by part; empty where the stair has no such newel.
#[must_use]
pub fn section_cuts(chain: &Chain, newel: &str) -> Vec<SectionCut> {
    let Some(number) = owner(chain, newel) else {
        return Vec::new();
    };
    let aside = Aside::of(chain, newel, number);
    let Some(at) = place(chain, newel, number, &aside) else {
        return Vec::new();
    };
    let cuts = shown::cut(&at.eye, &at.parts, &at.plane, &WIDE);
    cuts.into_iter()
        .map(|cut| SectionCut {
            part: cut.part,
            kind: cut.kind,
            rings: cut.rings,
        })
        .collect()
}

/// The box round some rings.
fn round<'a>(rings: impl Iterator<Item = &'a Vec<At>>) -> Option<Box2> {
    rings
        .flatten()
        .map(|at| Box2::about(*at, (0.0, 0.0)))
        .reduce(|a, b| a.union(&b))
}

/// The section at a newel.
pub(super) fn section(chain: &Chain, name: &str, room: (f64, f64), tape: Tape) -> Option<Measured> {
    let number = owner(chain, name)?;
    let aside = Aside::of(chain, name, number);
    let at = place(chain, name, number, &aside)?;
    let cuts = shown::cut(&at.eye, &at.parts, &at.plane, &WIDE);
    let own = cuts
        .iter()
        .filter(|cut| !matches!(cut.kind, PartKind::Wall | PartKind::Floor));
    let frame = round(own.flat_map(|cut| &cut.rings))?;
    let ends = at.rails.iter().map(|one| flat(&at.eye, &one.end));
    let ends: Vec<Vec<At>> = ends.collect();
    let frame = round(ends.iter()).map_or(frame, |ends| frame.union(&ends));
    let frame = frame.grown(ROUND);
    let shown = shown_of(&at, &frame);
    let way = if at.newel.at_foot { "up" } else { "down" };
    let title = format!("Section at newel {}, seen {way} the flight", own_name(name));
    fit(tape.unit(), (frame.size(), room), &title, |by| {
        let mut draft = Draft::new(at.eye, by, tape, &shown);
        across(&mut draft, &at, &shown.cut);
        upright(&mut draft, &at);
        names(&mut draft, &at, &shown.cut);
        words(&mut draft, &at);
        draft
    })
}

fn shown_of(at: &Stood<'_>, frame: &Box2) -> Shown {
    let deep = at
        .run
        .site
        .steps
        .first()
        .map_or(LEVEL_DEEP, |step| step.going * DEEP);
    let far = Plane {
        normal: -at.plane.normal,
        offset: deep - at.plane.offset,
    };
    // A wall that is only looked at would be a blank.
    let seen: Vec<Numbered<'_>> = at
        .parts
        .iter()
        .filter(|(_, part)| part.kind != PartKind::Wall)
        .copied()
        .collect();
    let seen = shown::beyond(&seen, &[at.plane, far]);
    let seen: Vec<Numbered<'_>> = seen.iter().map(|(number, part)| (*number, part)).collect();
    let blocks: Vec<Part> = blocks(at);
    let blocks: Vec<Numbered<'_>> = blocks.iter().map(|part| (usize::MAX, part)).collect();
    let mut hidden = shown::seen(&at.eye, &blocks, frame);
    // The ends of rails, through the newel that stands before them.
    for rail in at.rails {
        let ring = flat(&at.eye, &rail.end);
        hidden.extend((0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])));
    }
    Shown {
        seen: shown::seen(&at.eye, &seen, frame),
        hidden,
        cut: shown::cut(&at.eye, &at.parts, &at.plane, frame),
    }
}

/// Places as the picture has them.
fn flat(eye: &Eye, places: &[Point3<f64>]) -> Vec<At> {
    let flat = places.iter().map(|at| eye.point(at));
    flat.map(|p| (p.x, p.y)).collect()
}

/// The blocks that the newel still needs.
fn blocks(at: &Stood<'_>) -> Vec<Part> {
    let needs = at.fit.iter().flat_map(|fit| &fit.needs);
    needs
        .filter_map(|need| {
            let corners = need.corners.map(|corner| at.run.frame.to_first(&corner));
            Some(Part {
                name: "block".to_owned(),
                kind: PartKind::Stringer,
                pieces: vec![Convex::loft(&corners[..4], &corners[4..])?],
            })
        })
        .collect()
}

/// Where rings cross a height: the least and the greatest to the right.
fn crossing<'a>(rings: impl Iterator<Item = &'a Vec<At>>, up: f64) -> Option<(f64, f64)> {
    let mut met: Option<(f64, f64)> = None;
    for ring in rings {
        for (place, a) in ring.iter().enumerate() {
            let b = &ring[(place + 1) % ring.len()];
            if (a.1 - up) * (b.1 - up) > 0.0 || (b.1 - a.1).abs() < 1e-9 {
                continue;
            }
            let x = a.0 + (b.0 - a.0) * (up - a.1) / (b.1 - a.1);
            met = Some(met.map_or((x, x), |(low, high)| (low.min(x), high.max(x))));
        }
    }
    met
}

/// A place of the picture in the model: in the plane of the cut.
fn model(at: &Stood<'_>, (x, y): At) -> Point3<f64> {
    let depth = at.eye.point(&at.run.frame.to_first(&at.newel.foot)).z;
    at.eye.motion().inverse() * Point3::new(x, y, depth)
}

/// Across, under the section: the tread's open end, the newel, stringers, and the wall as found at
/// the height of the tread.
fn across(draft: &mut Draft, at: &Stood<'_>, cuts: &[Cut]) {
    let of = |kind: PartKind| cuts.iter().filter(move |cut| cut.kind == kind);
    let top = tread_top(at);
    let foot = at.eye.point(&at.run.frame.to_first(&at.newel.foot));
    let newel = of(PartKind::Newel).filter(|cut| cut.part == at.newel.name);
    let newel = crossing(newel.flat_map(|cut| &cut.rings), top + 1.0);
    let Some((near, far)) = newel else { return };
    let tread = round(of(PartKind::Tread).flat_map(|cut| &cut.rings));
    let place = |x: f64| Place::new(model(at, (x, top)), "");
    let mut xs = vec![near, far];
    if let Some(tread) = tread {
        xs.extend([tread.low.0, tread.high.0]);
    }
    let faces = of(PartKind::Wall).filter_map(|wall| {
        let (low, high) = crossing(wall.rings.iter(), top + 1.0)?;
        Some(if (low - foot.x).abs() < (high - foot.x).abs() {
            low
        } else {
            high
        })
    });
    xs.extend(faces);
    xs.sort_by(f64::total_cmp);
    xs.dedup_by(|a, b| (*a - *b).abs() < SAME);
    let places: Vec<Place> = xs.into_iter().map(place).collect();
    draft.chain(Side::Below, "across", &places);
    let stringers: Vec<f64> = of(PartKind::Stringer)
        .filter_map(|cut| round(cut.rings.iter()))
        .flat_map(|frame| [frame.low.0, frame.high.0])
        .collect();
    if !stringers.is_empty() {
        let mut xs = stringers;
        xs.extend([near, far]);
        xs.sort_by(f64::total_cmp);
        xs.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let places: Vec<Place> = xs.into_iter().map(place).collect();
        draft.chain(Side::Below, "newel and stringers", &places);
    }
    if places.len() > 2 {
        draft.overall(Side::Below, "across", &places);
    }
}

/// The step of the tread (or floor) that the newel comes up through.
fn step(at: &Stood<'_>) -> u32 {
    let notched = at.newel.notches.first().map(|notch| notch.step);
    notched.unwrap_or_else(|| at.run.site.tread_under(at.newel.foot.x))
}

/// The height of that tread beside the newel.
fn tread_top(at: &Stood<'_>) -> f64 {
    let (site, foot) = (&at.run.site, &at.newel.foot);
    at.run.frame.origin.z + site.height_of(step(at), foot.x, site.outward * foot.y)
}

/// Up the newel, running from its foot: tread, each rail's underside and top at the face that it
/// meets, head.
fn upright(draft: &mut Draft, at: &Stood<'_>) {
    let frame = &at.run.frame;
    let up = |height: Length| {
        let along = at.newel.axis.into_inner() * height.as_mm();
        frame.to_first(&(at.newel.foot + along)).z
    };
    let foot = frame.to_first(&at.newel.foot);
    let x = at.eye.point(&foot).x;
    let middle = f64::midpoint(draft.around.low.0, draft.around.high.0) * draft.by;
    let side = if x < middle { Side::Left } else { Side::Right };
    let surface = match step(at) {
        0 => "floor".to_owned(),
        step if at.run.site.step(step + 1).is_some() => format!("T{step}"),
        _ => "F1".to_owned(),
    };
    let mut heights = vec![
        (tread_top(at), surface),
        (up(at.newel.height), "head".to_owned()),
    ];
    for rail in at.rails {
        let name = own_name(&rail.meets.rail);
        heights.push((up(rail.meets.underside), format!("{name} under")));
        heights.push((up(rail.meets.top), format!("{name} top")));
    }
    heights.retain(|(z, _)| *z > foot.z + SAME);
    heights.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut told: Vec<(f64, String)> = vec![(foot.z, "foot".to_owned())];
    for (z, name) in heights {
        match told.last_mut() {
            Some((same, names)) if (z - *same).abs() < SAME => *names = format!("{names}, {name}"),
            _ => told.push((z, name)),
        }
    }
    let places: Vec<Place> = told
        .into_iter()
        .map(|(z, name)| Place::new(model(at, (x, z)), name))
        .collect();
    draft.running(side, "up the newel", &places);
    draft.note(
        "Up the newel, from its foot: its tread or floor, underside and top of each rail (a bottom \
         rail or shoe too) at the face that it meets, its head.",
    );
    if at.rails.iter().any(|rail| !rail.end.is_empty()) {
        draft.note("Dashed: the rail's end against it.");
    }
}

fn names(draft: &mut Draft, at: &Stood<'_>, cuts: &[Cut]) {
    for cut in cuts {
        let Some(frame) = round(cut.rings.iter()) else {
            continue;
        };
        let (wide, tall) = (frame.size().0 / draft.by, frame.size().1 / draft.by);
        let name = own_name(&cut.part);
        let middle = (
            f64::midpoint(frame.low.0, frame.high.0),
            f64::midpoint(frame.low.1, frame.high.1),
        );
        match cut.kind {
            PartKind::Newel => {
                // On its shaft, where it has room: over its head stands what goes on from it.
                let beside = [(0.0, 0.4 * tall), (0.0, -2.6), (0.0, -5.0)];
                draft.named(&model(at, (middle.0, frame.high.1)), &beside, &name);
            }
            PartKind::Tread | PartKind::Floor => {
                // Over it, so that the hatching is not lost under its name.
                let beside = [(0.0, -2.3), (8.0, -2.3), (-8.0, -2.3), (0.0, -4.0)];
                draft.named(&model(at, (middle.0, frame.high.1)), &beside, &name);
            }
            _ if wide > 4.0 && tall > 3.0 => {
                draft.named(&model(at, middle), &[(0.0, 0.0)], &name);
            }
            _ => {
                let (down, aside) = (tall / 2.0 + 2.3, wide / 2.0 + 4.0);
                let beside = [(0.0, down), (0.0, -down), (aside, 0.0), (-aside, 0.0)];
                draft.named(&model(at, middle), &beside, &name);
            }
        }
    }
}

/// What a section does not show: the gap along the flight, and how the newel leans.
fn words(draft: &mut Draft, at: &Stood<'_>) {
    let tape = draft.tape;
    let Some(fit) = &at.fit else {
        return;
    };
    let gaps: Vec<String> = fit
        .beside
        .iter()
        .map(|one| format!("{} to {}", tape.print(one.at_foot), own_name(&one.other)))
        .collect();
    if !gaps.is_empty() {
        draft.note(format!(
            "Gap along the rail, at the foot: {}.",
            gaps.join(", ")
        ));
    }
    let lean = |by: Length, plus: &str, minus: &str| {
        let word = if by < Length::ZERO { minus } else { plus };
        (by.abs() >= tape.mark() / 2.0).then(|| format!("{} {word}", tape.print(by.abs())))
    };
    let leans: Vec<String> = [
        lean(fit.cap.up_flight, "up the flight", "down the flight"),
        lean(fit.cap.outward, "outward", "inward"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !leans.is_empty() {
        draft.note(format!(
            "Its head stands {} of its foot.",
            leans.join(" and ")
        ));
    }
    if fit.needs.is_empty() {
        return;
    }
    draft.note("Dashed under it: a block that it still needs.");
}
