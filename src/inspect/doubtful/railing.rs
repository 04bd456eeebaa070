//! The doubt of what the railing is held against, where it is set on what was read.

use nalgebra::Point3;

use crate::inspect::{Finding, Kind, Run};
use crate::job::{Align, Spacing};
use crate::setout::spacing::{count_on, tread_gap};
use crate::setout::{BalusterSet, WallRailSet, WindowReport, landings};
use crate::site::{Station, WallFace};
use crate::survey::{Adjustment, Linear};

use super::flight::Flight;
use super::{ALIKE_MM, Doubt, Hangs};

/// A wall stands square before a rail's place where the way to it is the distance found, within
/// this: its face is bowed, and its solid is made of flats.
const SQUARE_MM: f64 = 2.0;

/// A run's railing with what its stair's and its walls' readings say.
pub(super) struct Railing<'a, 'r> {
    pub(super) run: &'r Run<'a>,
    pub(super) adjustment: &'a Adjustment,
    pub(super) all: &'r [Run<'a>],
}

/// A wall with the run that it is of, its number there, and the readings of it.
struct Wall<'r> {
    run: &'r Run<'r>,
    number: usize,
    face: &'r WallFace,
    adjustment: &'r Adjustment,
}

impl Railing<'_, '_> {
    /// The doubt of a finding about the railing; `None` where none is claimed.
    pub(super) fn doubt(&self, finding: &Finding) -> Option<Doubt> {
        let main = &self.run.solid.setout.rail.name;
        let of_main = finding.key.parts.first() == Some(main);
        match finding.key.kind {
            Kind::RailHeight => self.height(finding),
            Kind::WallClearance if of_main => self.clearance(finding),
            Kind::WallClearance | Kind::Projection => self.on_brackets(finding).map(Doubt::of_ours),
            Kind::Landing => self.landing(finding),
            Kind::EdgeDistance => self.edge(finding).map(Doubt::of_ours),
            Kind::RevealDrift => self.drift(finding).map(Doubt::of_ours),
            Kind::Opening => self.opening(finding).map(Doubt::of_ours),
            _ => None,
        }
    }

    fn flight(&self) -> Flight<'_> {
        Flight::new(self.run.solid.site, self.adjustment)
    }

    /// A rail's least or greatest height over the nosings: how far the doubt of any nosing may take
    /// it past what was found.
    fn height(&self, finding: &Finding) -> Option<Doubt> {
        let [name, end] = finding.key.parts.as_slice() else {
            return None;
        };
        let setout = self.run.solid.setout;
        let rail = &setout.rail;
        if name == &rail.name {
            let rake = |x: f64| rail.lower.z + rail.pitch.slope() * (x - rail.lower.x);
            let top = |x: f64| match rail.fittings.is_empty() {
                true => Some(rake(x)),
                false => rail.top(x).map(|point| point.z),
            };
            return self.over_nosings(&rail.window, end, rail.pitch.slope(), top);
        }
        let rail = setout
            .wall_rail
            .as_ref()
            .filter(|rail| &rail.name == name)?;
        let slope = rail.pitch.slope();
        let top = |x: f64| Some(rail.lower.z + slope * (x - rail.lower.x));
        self.over_nosings(&rail.window, end, slope, top)
    }

    fn over_nosings(
        &self,
        window: &WindowReport,
        end: &str,
        slope: f64,
        top: impl Fn(f64) -> Option<f64>,
    ) -> Option<Doubt> {
        let stations = self.run.solid.site.stations();
        // The least height is over the higher side of a tread, the greatest over the lower.
        let (found, sign) = match end {
            "lowest" => (window.lowest.0.as_mm(), 1.0),
            _ => (window.highest.0.as_mm(), -1.0),
        };
        let height = |station: &Station| {
            let (low, high) = station.low_high();
            Some(sign * (top(station.x)? - if sign > 0.0 { high } else { low }))
        };
        let heights: Vec<Option<f64>> = stations.iter().map(height).collect();
        let least = heights.iter().flatten().copied().reduce(f64::min)?;
        if (least - sign * found).abs() > ALIKE_MM {
            return None;
        }
        let reach = heights
            .iter()
            .enumerate()
            .filter_map(|(at, height)| Some((*height)? - self.off_line(&stations, at, slope)?));
        Some(Doubt {
            read: least - reach.reduce(f64::min)?,
            ..Doubt::default()
        })
    }

    /// The doubt of a nosing's place against the line through the first and the last.
    fn off_line(&self, stations: &[Station], at: usize, slope: f64) -> Option<f64> {
        let (here, share) = (stations.get(at)?, share(stations, stations.get(at)?.x)?);
        let mut weights = vec![0.0; stations.len()];
        weights[at] += 1.0;
        *weights.first_mut()? -= 1.0 - share;
        *weights.last_mut()? -= share;
        let mut hangs = self.flight().against_line(&weights, slope)?;
        // How far the tread stands higher, or lower, at its worse side.
        let step = self.run.solid.site.step(here.step)?;
        let level = self.adjustment.of_step(here.step, "level")?;
        let reach = step.open_q.abs().max(step.wall_q.abs()) / (step.open_q - step.wall_q);
        if step.tilt.abs() > 0.0 {
            hangs.also.push(level.times(reach));
        }
        Some(hangs.doubt(self.adjustment).read)
    }

    /// Where a raked rail comes to a wall it stands as high as the line through the first and the
    /// last nosing says there.
    fn landing(&self, finding: &Finding) -> Option<Doubt> {
        let solid = &self.run.solid;
        let wall = finding.key.parts.get(1)?;
        let landings = landings(solid.job, solid.site, &solid.setout.rail);
        let landing = landings.iter().find(|landing| landing.wall == wall)?;
        let blocking = landing.blocking;
        let over = |off: f64, size: f64| off.abs() + (landing.rosette.mm() - size) / 2.0;
        let along = over(landing.along - blocking.along.mm(), blocking.width.mm());
        let up = over(landing.point.z - blocking.up.mm(), blocking.height.mm());
        let told = (along.max(up).max(0.0) - finding.value().as_mm()).abs() < ALIKE_MM;
        if !told || along > up {
            return None;
        }
        let stations = solid.site.stations();
        let share = share(&stations, landing.point.x)?;
        let mut weights = vec![0.0; stations.len()];
        *weights.first_mut()? += 1.0 - share;
        *weights.last_mut()? += share;
        let slope = solid.setout.rail.pitch.slope();
        let hangs = self.flight().against_line(&weights, slope)?;
        Some(Doubt {
            unclipped: Some(up),
            ..hangs.doubt(self.adjustment).of_ours()
        })
    }

    /// The wall of this name, whichever run's it is.
    fn wall(&self, name: &str) -> Option<Wall<'_>> {
        self.all.iter().find_map(|run| {
            let own = run.solid.site.walls.iter().take(run.solid.site.own_walls);
            let (number, face) = own.enumerate().find(|(_, face)| face.name == name)?;
            Some(Wall {
                run,
                number,
                face,
                adjustment: &run.survey?.adjustment,
            })
        })
    }

    /// A rail that passes a wall: the wall's face where the rail comes nearest to it.
    fn clearance(&self, finding: &Finding) -> Option<Doubt> {
        let wall = self.wall(finding.key.parts.get(1)?)?;
        let (function, distance) = wall.face_at(&wall.run.frame.from_first(&finding.at))?;
        // Past the end of a wall the way to it is not square to its face.
        if (distance.abs() - finding.value().as_mm()).abs() > SQUARE_MM {
            return None;
        }
        let hangs = Hangs {
            mainly: vec![function],
            also: Vec::new(),
        };
        Some(hangs.doubt(wall.adjustment))
    }

    /// A rail on brackets is straight between the first and the last of them: what is in doubt is
    /// the wall's face against the line through those two places of it.
    fn on_brackets(&self, finding: &Finding) -> Option<Doubt> {
        let rail = self.run.solid.setout.wall_rail.as_ref()?;
        if finding.key.parts != [rail.name.clone(), rail.wall.clone()] {
            return None;
        }
        let wall = self.wall(&rail.wall)?;
        let hangs = Hangs {
            mainly: vec![bow_of(rail, &wall, &finding.at, self.run)?],
            also: Vec::new(),
        };
        Some(hangs.doubt(wall.adjustment))
    }

    /// A peg beside the open end of its tread.
    fn edge(&self, finding: &Finding) -> Option<Doubt> {
        let one = self.baluster(finding.key.parts.first()?)?;
        let radius = self.run.solid.job.design.balusters.peg_diameter.mm() / 2.0;
        let site = self.run.solid.site;
        let open = site.step(one.step)?.open_q;
        let joint = self.run.solid.job.design.balusters.return_joint.as_ref();
        let off = open - site.outward * one.foot.y;
        let to_joint = joint.map(|joint| (off - joint.mm()).abs());
        let told = |off: f64| (off - radius - finding.value().as_mm()).abs() < ALIKE_MM;
        if !told(off) && !to_joint.is_some_and(told) {
            return None;
        }
        let hangs = Hangs {
            mainly: Vec::new(),
            also: vec![self.open_end(one.step)?],
        };
        Some(hangs.doubt(self.adjustment))
    }

    /// The open end of a tread, where it is what the readings say and the balusters stand plumb on
    /// their line, whatever the tread's end does.
    fn open_end(&self, step: u32) -> Option<Linear> {
        let solid = &self.run.solid;
        let end = self.adjustment.of_step(step, "tread end")?;
        let same = (self.adjustment.mean(&end) - solid.site.step(step)?.open_q).abs() < ALIKE_MM;
        let plumb = solid.job.design.balusters.align == Align::Plumb;
        (same && plumb).then_some(end)
    }

    /// The widest reveal less the narrowest.
    fn drift(&self, finding: &Finding) -> Option<Doubt> {
        let solid = &self.run.solid;
        let reveals = solid.setout.reveals.iter();
        let alike = || {
            let flight = &solid.job.flight;
            let reveals = reveals.clone();
            reveals.filter(|reveal| !flight.reaches_beyond(reveal.step))
        };
        let least = alike().min_by(|a, b| a.value.total_cmp(&b.value))?;
        let most = alike().max_by(|a, b| a.value.total_cmp(&b.value))?;
        let range = (most.value - least.value).as_mm();
        if (range - finding.value().as_mm()).abs() > ALIKE_MM {
            return None;
        }
        let hangs = Hangs {
            mainly: Vec::new(),
            also: vec![
                self.open_end(most.step)?,
                self.open_end(least.step)?.times(-1.0),
            ],
        };
        Some(hangs.doubt(self.adjustment))
    }

    /// A gap of a tread takes its share of the going: `(going - k w) / k`. The gap beside a newel
    /// that stands one gap from the next baluster likewise.
    fn opening(&self, finding: &Finding) -> Option<Doubt> {
        let solid = &self.run.solid;
        let spacing = &solid.job.design.balusters.spacing;
        if !matches!(spacing, Spacing::PerTread { .. }) {
            return None;
        }
        let [below, above] = finding.key.parts.as_slice() else {
            return None;
        };
        let gaps = &solid.setout.gaps;
        let gap = gaps
            .iter()
            .find(|gap| &gap.below == below && &gap.above == above)?;
        let of_tread = |one: &&BalusterSet| {
            let gap_of = tread_gap(solid.site, &solid.job.design.balusters, one.step);
            gap_of.is_some_and(|of| (of - gap.clear.as_mm()).abs() < ALIKE_MM)
        };
        // A gap belongs to the tread that its lower baluster stands on.
        let one = match (self.baluster(below), self.baluster(above)) {
            (Some(below), _) => Some(below),
            (None, above) => above,
        };
        let one = one.filter(of_tread)?;
        let count = count_on(spacing, one.step);
        let going = self.adjustment.of_step(one.step, "going")?;
        let hangs = Hangs {
            mainly: Vec::new(),
            also: vec![going.times(1.0 / f64::from(count))],
        };
        Some(hangs.doubt(self.adjustment))
    }

    fn baluster(&self, name: &str) -> Option<&BalusterSet> {
        let mut balusters = self.run.solid.setout.balusters.iter();
        balusters.find(|one| one.name == name)
    }
}

impl Wall<'_> {
    /// Along the wall and off its face, of a point in its run's frame.
    fn face_at(&self, point: &Point3<f64>) -> Option<(Linear, f64)> {
        let face = self.face;
        let run = (face.to - face.from) / face.length();
        let from = point.xy() - face.from;
        let along = from.dot(&run);
        let up = point.z - face.lift;
        let function = self.adjustment.of_wall(self.number, along, up)?;
        Some((function, run.perp(&from) - face.off(along, point.z)))
    }
}

/// A wall's face behind a place of a rail, against the line through its first and last bracket.
fn bow_of(rail: &WallRailSet, wall: &Wall<'_>, at: &Point3<f64>, run: &Run<'_>) -> Option<Linear> {
    let (first, last) = (rail.brackets.first()?, rail.brackets.last()?);
    let place = |point: &Point3<f64>| {
        let point = wall.run.frame.from_first(&run.frame.to_first(point));
        Some(wall.face_at(&point)?.0)
    };
    let here = run.frame.from_first(at);
    let [a, b] = [first.on_wall, last.on_wall];
    let share = (here.x - a.x) / (b.x - a.x);
    if !share.is_finite() {
        return None;
    }
    let line = place(&a)?.times(1.0 - share).add(&place(&b)?.times(share));
    Some(place(&here)?.less(&line))
}

/// How far along from the first nosing to the last a place is: 0 at the first, 1 at the last.
fn share(stations: &[Station], x: f64) -> Option<f64> {
    let (first, last) = (stations.first()?, stations.last()?);
    let share = (x - first.x) / (last.x - first.x);
    share.is_finite().then_some(share)
}
