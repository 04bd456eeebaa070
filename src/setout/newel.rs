//! Newels: where they stand, and how high they are.

use nalgebra::{Point2, Unit, Vector3};

use crate::job::{Also, Foot, Job, Newel, Rail, RailEnd, Section, Spacing, Stands};
use crate::measure::{Angle, Length, Typed};
use crate::site::Site;

use super::notch::Body;
use super::spacing::{Spot, count_on, tread_gap};
use super::{
    BalusterLine, Behind, CapSet, Cutout, FastenerMet, Head, NewelOff, NewelSet, Notch, OnSurface,
    RailSet, SetOutError, behind, head, notch, plan,
};

/// The plan place of a newel along the flight, before the baluster line is known.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    /// Its name.
    pub(super) name: String,
    /// x of its centre.
    pub(super) x: f64,
    /// Outward offset, where the job gives one; else it stands on the baluster line.
    pub(super) q: Option<f64>,
    /// Half its size along x, turned as it stands.
    pub(super) half: f64,
    /// True at the foot of the rail.
    pub(super) at_foot: bool,
    /// How far it comes off its marks; `x` has its foot's share already.
    pub(super) off: NewelOff,
}

impl Placed {
    /// x of the face that looks along the rail.
    pub(super) fn inner_face(&self) -> f64 {
        if self.at_foot {
            self.x + self.half
        } else {
            self.x - self.half
        }
    }
}

fn is_round(section: &Section) -> bool {
    matches!(section, Section::Round(_))
}

fn twist(newel: &Newel) -> Angle {
    newel
        .twist
        .as_ref()
        .map_or(Angle::ZERO, |twist| twist.value)
}

/// The ring of a newel's foot in plan about a centre.
fn ring(newel: &Newel, centre: Point2<f64>) -> Vec<Point2<f64>> {
    let section = &newel.section;
    let (along, across) = (section.along().as_mm(), section.across().as_mm());
    plan::section(centre, along, across, is_round(section), twist(newel))
}

/// Whether a newel stands at the foot of the rail, told by the rail's ends.
fn at_foot(job: &Job, index: usize) -> Result<bool, SetOutError> {
    let newel = &job.design.newels[index];
    let meets = |end: &RailEnd| matches!(end, RailEnd::Newel(name) if name == &newel.name);
    let rail = &job.design.rail;
    if meets(&rail.lower) || meets(&rail.upper) {
        return Ok(meets(&rail.lower));
    }
    Err(SetOutError {
        path: format!("design.newels[{index}]"),
        problem: format!("newel {} stands at neither end of the rail", newel.name),
        help: format!(
            "name it in design.rail: lower: Newel(\"{0}\") or upper: Newel(\"{0}\")",
            newel.name
        ),
    })
}

/// Places one newel along the flight and takes away the balusters that it displaces.
///
/// # Errors
/// [`SetOutError`] where nothing remains beside it, or the rule does not fit the spacing.
pub(super) fn place(
    job: &Job,
    site: &Site,
    index: usize,
    spots: &mut Vec<Spot>,
) -> Result<Placed, SetOutError> {
    let newel = &job.design.newels[index];
    let at_foot = at_foot(job, index)?;
    let (low, high) = plan::extent(&ring(newel, Point2::origin()), |point| point.x);
    let half = (high - low) / 2.0;
    match &newel.stands {
        Stands::At { x, y } => {
            let placed = Placed {
                name: newel.name.clone(),
                x: x.mm(),
                q: Some(site.outward * y.mm()),
                half,
                at_foot,
                off: NewelOff::default(),
            };
            keep_beside(&placed, spots);
            Ok(placed)
        }
        Stands::Displaces {
            step,
            balusters,
            move_by,
        } => {
            let fault = |problem: String| SetOutError {
                path: format!("design.newels[{index}].stands"),
                problem,
                help: "let it displace fewer, or stand it at a point: At(x: ..)".to_owned(),
            };
            if !matches!(job.design.balusters.spacing, Spacing::PerTread { .. }) {
                return Err(SetOutError {
                    path: format!("design.newels[{index}].stands"),
                    problem: format!(
                        "newel {} takes the place of a tread's baluster, but none are counted by tread",
                        newel.name
                    ),
                    help: "stand it at a point, At(x: ..), or space the balusters PerTread"
                        .to_owned(),
                });
            }
            let count = count_on(&job.design.balusters.spacing, *step);
            spots.retain(|spot| {
                if at_foot {
                    spot.step > *step || spot.step == *step && spot.place > *balusters
                } else {
                    spot.step < *step || spot.step == *step && spot.place + *balusters <= count
                }
            });
            let remaining = if at_foot { spots.first() } else { spots.last() };
            let next = remaining
                .ok_or_else(|| fault(format!("no baluster remains beside newel {}", newel.name)))?;
            // The gap below a tread's first remaining baluster is the gap of the newel's own tread;
            // the gap above its last is the gap of the baluster's.
            let gap_step = if at_foot { *step } else { next.step };
            let gap = tread_gap(site, &job.design.balusters, gap_step).ok_or_else(|| {
                fault(format!(
                    "tread {gap_step} has no balusters to take a gap from"
                ))
            })?;
            let away = next.half + gap + half;
            let x = if at_foot {
                next.x - away
            } else {
                next.x + away
            };
            Ok(Placed {
                name: newel.name.clone(),
                x: x + move_by.mm(),
                q: None,
                half,
                at_foot,
                off: NewelOff::default(),
            })
        }
    }
}

/// Balusters that would stand in a newel or past it are left out.
fn keep_beside(newel: &Placed, spots: &mut Vec<Spot>) {
    let face = newel.inner_face();
    spots.retain(|spot| {
        if newel.at_foot {
            spot.near() > face
        } else {
            spot.far() < face
        }
    });
}

/// The place of a newel that another run set, as this run meets it.
pub(super) fn given(job: &Job, site: &Site, newel: &NewelSet, spots: &mut Vec<Spot>) -> Placed {
    let (low, high) = plan::extent(&newel.footprint, |point| point.x);
    let placed = Placed {
        name: newel.name.clone(),
        x: f64::midpoint(low, high),
        q: Some(site.outward * newel.foot.y),
        half: (high - low) / 2.0,
        at_foot: matches!(&job.design.rail.lower, RailEnd::Newel(name) if name == &newel.name),
        off: NewelOff::default(),
    };
    keep_beside(&placed, spots);
    placed
}

/// A newel that another run set, with what is cut for it in this run's stair.
pub(super) fn stand_given(job: &Job, site: &Site, newel: &NewelSet, placed: &Placed) -> NewelSet {
    let body = Body {
        ring: &newel.footprint,
        foot: newel.foot,
        axis: newel.axis,
    };
    let cut = cut_for(job, site, lowest_surface(site, &newel.footprint), &body);
    let first = cut.notches.first().and_then(|notch| site.step(notch.step));
    let borne = behind::borne(job, site, &body, &cut.notches);
    NewelSet {
        behind: cut.behind,
        cutouts: cut.cutouts,
        fasteners: cut.fasteners,
        bears_on: borne.bears_on,
        needs: borne.needs,
        at_foot: placed.at_foot,
        face_from_kick: first.map(|step| Length::mm(placed.inner_face() - step.kick_x)),
        notches: cut.notches,
        ..newel.clone()
    }
}

/// Where along this run the rule of a turn puts a newel of the run before: its x.
///
/// # Errors
/// As [`place`].
pub(super) fn along_by_rule(
    job: &Job,
    site: &Site,
    newel: &Newel,
    also: &Also,
    quarter: Angle,
) -> Result<f64, SetOutError> {
    // The rule is that of a newel of this run, of the same section turned into its frame.
    let mut own = job.clone();
    own.design.newels = vec![Newel {
        twist: Some(Typed {
            value: twist(newel) + quarter,
            text: String::new(),
        }),
        stands: Stands::Displaces {
            step: also.step,
            balusters: also.balusters,
            move_by: also.move_by.clone(),
        },
        ..newel.clone()
    }];
    let mut spots = super::spacing::per_tread(site, &own.design.balusters);
    place(&own, site, 0, &mut spots).map(|placed| placed.x)
}

/// What a newel takes out of the stair above the surface that it stands on.
struct Cut {
    notches: Vec<Notch>,
    cutouts: Vec<Cutout>,
    behind: Vec<Behind>,
    fasteners: Vec<FastenerMet>,
}

fn cut_for(job: &Job, site: &Site, surface: u32, body: &Body<'_>) -> Cut {
    let above = site.steps.iter().filter(|step| step.number > surface);
    let notches: Vec<Notch> = above
        .filter_map(|step| notch::tread(site, step, body))
        .collect();
    let cutouts = notch::cutouts(job, site, surface, body);
    Cut {
        behind: behind::behind(job, site, body, &notches, &cutouts),
        fasteners: behind::fasteners(job, site, surface, body),
        notches,
        cutouts,
    }
}

/// Stands a placed newel on the stair. Its height, where the job leaves it to be worked out, is set
/// once the rails are known.
pub(super) fn stand(
    job: &Job,
    site: &Site,
    newel: &Newel,
    placed: &Placed,
    line: &BalusterLine,
) -> NewelSet {
    let q = placed.q.unwrap_or_else(|| line.at(placed.x)) + placed.off.foot[1].as_mm();
    let centre = Point2::new(placed.x, site.outward * q);
    let footprint = ring(newel, centre);
    let surface = match &newel.foot {
        Foot::Notched => lowest_surface(site, &footprint),
        Foot::OnTop | Foot::Box { .. } => site.tread_under(placed.x),
    };
    let foot = site.at(placed.x, q, site.height_of(surface, placed.x, q));
    let body = Body {
        ring: &footprint,
        foot,
        axis: axis(site, newel, placed.off.lean),
    };
    let cut = cut_for(job, site, surface, &body);
    let on_surface = on_surface(site, newel, surface, &footprint);
    let borne = if on_surface.is_some() {
        behind::under(job, site, surface, &body)
    } else {
        behind::borne(job, site, &body, &cut.notches)
    };
    let face_from_kick = match &newel.stands {
        Stands::Displaces { step, .. } => {
            let kick = if placed.at_foot {
                site.step(*step)
            } else {
                site.step(*step + 1)
            };
            kick.map(|step| Length::mm(placed.inner_face() - step.kick_x))
        }
        Stands::At { .. } => None,
    };
    NewelSet {
        name: newel.name.clone(),
        foot,
        axis: body.axis,
        along: newel.section.along(),
        across: newel.section.across(),
        round: is_round(&newel.section),
        twist: twist(newel),
        height: newel
            .height
            .as_ref()
            .map_or(Length::ZERO, |height| height.value + placed.off.height),
        height_free: newel.height.is_none(),
        cap: cap(newel),
        head: newel.blocks.as_ref().map(|blocks| Head {
            block: blocks.top.as_ref().map(|length| length.value),
            above: blocks.above.as_ref().map(|length| length.value),
        }),
        reveals: None,
        behind: cut.behind,
        fasteners: cut.fasteners,
        bears_on: borne.bears_on,
        needs: borne.needs,
        footprint,
        notches: cut.notches,
        cutouts: cut.cutouts,
        on_surface,
        at_foot: placed.at_foot,
        face_from_kick,
    }
}

/// A cap that stands out 8 mm, with a slab of 3/4 in and a point of 22 mm: common practice, no
/// source.
fn cap(newel: &Newel) -> CapSet {
    newel.cap.as_ref().map_or(
        CapSet {
            out: Length::mm(8.0),
            slab: Length::mm(19.05),
            point: Length::mm(22.0),
        },
        |cap| CapSet {
            out: cap.out.value,
            slab: cap.slab.value,
            point: cap.point.value,
        },
    )
}

/// What a newel that is not notched in stands on.
fn on_surface(
    site: &Site,
    newel: &Newel,
    surface: u32,
    footprint: &[Point2<f64>],
) -> Option<OnSurface> {
    let hollow = match &newel.foot {
        Foot::Notched => return None,
        Foot::OnTop => None,
        Foot::Box { sides, block, ease } => Some((sides.value, block.value, ease.value)),
    };
    let past_edge = site.step(surface).map_or(0.0, |step| {
        notch::most(site, footprint, |x, q| {
            let past = (step.nosing_at(q) - x).max(q - step.open_q);
            past.max(step.wall_q - q).max(0.0)
        })
    });
    let size = [newel.section.along(), newel.section.across()];
    Some(OnSurface {
        step: surface,
        past_edge: Length::mm(past_edge),
        inside: hollow.map(|(sides, ..)| size.map(|size| size - sides * 2.0)),
        block: hollow.map(|(sides, height, ease)| {
            let [along, across] = size.map(|size| size - (sides + ease) * 2.0);
            [along, across, height]
        }),
    })
}

/// Sets the heights that were left to be worked out, and what shows of each head block.
///
/// # Errors
/// [`SetOutError`] where nothing gives a newel its height.
pub(super) fn raise(
    newels: &mut [NewelSet],
    rails: &[&RailSet],
    rail: &Rail,
) -> Result<(), SetOutError> {
    for (index, newel) in newels.iter_mut().enumerate() {
        let ends = [(&rail.lower, false), (&rail.upper, true)];
        let here = ends
            .iter()
            .filter(|(end, _)| matches!(end, RailEnd::Newel(name) if *name == newel.name));
        let over = rails
            .iter()
            .any(|rail| rail.over.iter().any(|over| over.newel == newel.name));
        let met: Vec<_> = here
            .flat_map(|(_, upper)| {
                rails
                    .iter()
                    .filter_map(|rail| head::meets(newel, rail, *upper))
            })
            .collect();
        // A rail that lies on the newel has set its height already.
        if let Some(found) = head::height_from_rails(newel, &met).filter(|_| !over) {
            newel.height = found.height;
            newel.reveals = Some(found.reveals);
        }
        if newel.height <= Length::ZERO {
            return Err(SetOutError {
                path: format!("design.newels[{index}]"),
                problem: format!("nothing gives newel {} its height", newel.name),
                help: "write its height".to_owned(),
            });
        }
    }
    Ok(())
}

fn axis(site: &Site, newel: &Newel, off: [f64; 2]) -> Unit<Vector3<f64>> {
    let up = Vector3::new(off[0], site.outward * off[1], 1.0);
    let leaning = newel.lean.as_ref().map_or(up, |lean| {
        let over = lean.over.mm();
        up + Vector3::new(
            lean.up_flight.mm() / over,
            site.outward * lean.outward.mm() / over,
            0.0,
        )
    });
    Unit::new_normalize(leaning)
}

/// The surface that a newel of this run (`own`) or one that it was given stands on, 0 being the lower
/// floor.
pub(super) fn surface(site: &Site, newel: &NewelSet, own: bool) -> u32 {
    match &newel.on_surface {
        Some(on) if own => on.step,
        _ => lowest_surface(site, &newel.footprint),
    }
}

/// The lowest surface that carries a real share of a footprint, told by the kick faces.
fn lowest_surface(site: &Site, footprint: &[Point2<f64>]) -> u32 {
    let (low, high) = plan::extent(footprint, |point| point.x);
    let lowest = site.surface_under(low);
    let next_face = site
        .step(lowest + 1)
        .map_or(f64::INFINITY, |step| step.kick_x);
    // A hair over the kick's face is no bearing: the foot then stands on the step above.
    if next_face - low < BEARING_MM && high > next_face {
        lowest + 1
    } else {
        lowest
    }
}

/// Less foot than this in front of a kick's face does not carry a newel: 1/8 in, common practice,
/// no source.
const BEARING_MM: f64 = 3.175;
