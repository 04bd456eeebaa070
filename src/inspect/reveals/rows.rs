//! The rows of reveals of one run, read off its set-out. mm in the run's frame.

use nalgebra::{Point3, Vector3};

use crate::job::{Job, Side, Skirt};
use crate::measure::Length;
use crate::setout::rail_window::nosing_line;
use crate::setout::{BlockReveals, NewelSet, SetOut};
use crate::site::{Site, Step, WallFace};

use super::super::railing::WALL_NEAR;
use super::{Family, RevealAt, RevealRun};

/// A skirt's wall stands this near its back, mm.
const SKIRT_NEAR: f64 = 250.0;
/// A wall runs along where its normal looks across by more than this, no unit: half a right angle.
const FACES: f64 = 0.7;

/// Every row of reveals of a run, its places in the run's frame.
pub(in crate::inspect) fn of_run(job: &Job, site: &Site, setout: &SetOut) -> Vec<RevealRun> {
    let rows = Rows { job, site, setout };
    let mut all = Vec::new();
    all.extend(rows.tread_ends());
    all.extend(job.skirts.iter().flat_map(|skirt| match skirt.side {
        Side::Open => rows.open_skirt(skirt).into_iter().collect(),
        Side::Wall => rows.wall_skirt(skirt),
    }));
    all.extend(rows.blocks());
    all.extend(rows.rails());
    all
}

struct Rows<'a> {
    job: &'a Job,
    site: &'a Site,
    setout: &'a SetOut,
}

impl Rows<'_> {
    fn row(
        &self,
        family: Family,
        named: (String, Vec<String>),
        values: Vec<RevealAt>,
    ) -> Option<RevealRun> {
        RevealRun::of(family, named, values, &self.job.design.eye())
    }

    /// Between balusters and the ends of their treads. An end that reaches past the others is not to
    /// be compared with them.
    fn tread_ends(&self) -> Option<RevealRun> {
        if !self.setout.on_treads() {
            return None;
        }
        let alike = self.setout.reveals.iter();
        let alike = alike.filter(|one| !self.job.flight.reaches_beyond(one.step));
        let values = alike.map(|one| RevealAt {
            part: one.part.clone(),
            step: one.step,
            value: one.value,
            at: one.at,
        });
        let named = (
            if self.site.mark.is_empty() {
                "the reveal at the tread ends".to_owned()
            } else {
                format!(
                    "the reveal at the tread ends beside {}",
                    self.setout.rail.name
                )
            },
            vec![self.setout.rail.name.clone()],
        );
        self.row(Family::TreadEnds, named, values.collect())
    }

    fn treads(&self) -> &[Step] {
        let steps = &self.site.steps;
        steps.split_last().map_or(&[], |(_, treads)| treads)
    }

    fn tread(&self, step: &Step, value: f64, at: Point3<f64>) -> RevealAt {
        RevealAt {
            part: self.site.named(format_args!("T{}", step.number)),
            step: step.number,
            value: Length::mm(value),
            at,
        }
    }

    /// The tread ends past the face of the skirt under them, which is straight.
    fn open_skirt(&self, skirt: &Skirt) -> Option<RevealRun> {
        let steps = self.site.steps.iter();
        let under = steps.map(|step| step.open_q - step.overhang.max(0.0));
        let face = under.fold(f64::INFINITY, f64::min);
        let treads = self.treads().iter();
        let alike = treads.filter(|step| !self.job.flight.reaches_beyond(step.number));
        let values = alike.map(|step| {
            let (x, q) = (step.nosing_at(step.open_q), step.open_q);
            self.tread(step, q - face, self.site.at(x, q, step.top(x, q)))
        });
        let named = (
            format!("what the tread ends stand past skirt {}", skirt.name),
            vec![skirt.name.clone(), "tread ends".to_owned()],
        );
        self.row(Family::Skirts, named, values.collect())
    }

    /// A straight board on the wall side: over each nosing, and from its back to the wall.
    fn wall_skirt(&self, skirt: &Skirt) -> Vec<RevealRun> {
        let cap = nosing_line(self.site).raised(skirt.above.mm());
        let steps = self.site.steps.iter().map(|step| step.wall_q);
        let face = steps.fold(f64::INFINITY, f64::min);
        let over = self.treads().iter().map(|step| {
            let (x, q) = (step.nosing_at(step.wall_q), step.wall_q);
            let top = step.top(x, q);
            self.tread(step, cap.at(x) - top, self.site.at(x, q, cap.at(x)))
        });
        let named = (
            format!("what shows of skirt {} over the nosings", skirt.name),
            vec![skirt.name.clone(), "nosings".to_owned()],
        );
        let over = self.row(Family::Skirts, named, over.collect());
        let back = face - skirt.thickness.mm();
        let behind = self.site.walls.iter().filter_map(|wall| {
            let values = self.treads().iter().filter_map(|step| {
                let x = step.nosing_at(back);
                let from = self.site.at(x, back, cap.at(x));
                let way = Vector3::y() * -self.site.outward;
                let gap = beside(wall, from, way)?;
                (gap.abs() < SKIRT_NEAR).then(|| self.tread(step, gap, from))
            });
            let named = (
                format!(
                    "the gap between skirt {} and wall {}",
                    skirt.name, wall.name
                ),
                vec![skirt.name.clone(), wall.name.clone()],
            );
            self.row(Family::Skirts, named, values.collect())
        });
        over.into_iter().chain(behind).collect()
    }

    /// What shows of the newels' head blocks, above and below the rails.
    fn blocks(&self) -> Vec<RevealRun> {
        let row = |where_: &str, pick: fn(&BlockReveals) -> Option<Length>| {
            let newels = (1..).zip(&self.setout.newels);
            let values = newels.filter_map(|(number, newel): (u32, &NewelSet)| {
                Some(RevealAt {
                    part: newel.name.clone(),
                    step: number,
                    value: pick(newel.reveals.as_ref()?)?,
                    at: newel.foot + newel.axis.into_inner() * newel.height.as_mm(),
                })
            });
            let named = (
                format!("what shows of the newels' blocks {where_} the rails"),
                vec![self.setout.rail.name.clone(), format!("blocks {where_}")],
            );
            // A newel without a block shows its whole head: nothing to compare.
            self.row(Family::NewelBlocks, named, values.collect())
        };
        let has_block = |newel: &NewelSet| newel.head.is_some();
        if !self.setout.newels.iter().all(has_block) {
            return Vec::new();
        }
        let above = row("above", |reveals| Some(reveals.above));
        let below = row("below", |reveals| reveals.below);
        [above, below].into_iter().flatten().collect()
    }

    /// Between each rail and the walls that it runs along.
    fn rails(&self) -> Vec<RevealRun> {
        let main = &self.setout.rail;
        let beside = self.setout.wall_rail.as_ref();
        let rails = std::iter::once(Bar {
            name: &main.name,
            ends: [main.lower, main.upper],
            size: [main.width, main.depth],
        });
        let rails = rails.chain(beside.map(|rail| Bar {
            name: &rail.name,
            ends: [rail.lower, rail.upper],
            size: [rail.width, rail.depth],
        }));
        let walls = &self.site.walls;
        rails
            .flat_map(|rail| walls.iter().filter_map(move |wall| self.along(&rail, wall)))
            .collect()
    }

    fn along(&self, rail: &Bar<'_>, wall: &WallFace) -> Option<RevealRun> {
        let [lower, upper] = rail.ends;
        let along = (upper - lower).try_normalize(f64::MIN_POSITIVE)?;
        let left = Vector3::z()
            .cross(&along)
            .try_normalize(f64::MIN_POSITIVE)?;
        let down = left.cross(&along) * (rail.size[1].as_mm() / 2.0);
        let half = rail.size[0].as_mm() / 2.0;
        let stations = self.site.stations();
        let under = stations
            .iter()
            .filter(|station| (lower.x..=upper.x).contains(&station.x));
        let values = (1..).zip(under).filter_map(|(number, station)| {
            let middle = lower + along * ((station.x - lower.x) / along.x) + down;
            let gap = [left, -left]
                .into_iter()
                .filter_map(|way| beside(wall, middle, way))
                .map(|gap| gap - half)
                .find(|gap| *gap > -half && *gap < WALL_NEAR)?;
            // A level run has no steps; its places are counted.
            let step = if self.site.steps.is_empty() {
                number
            } else {
                station.step
            };
            Some(RevealAt {
                part: self.site.named(format_args!("T{step}")),
                step,
                value: Length::mm(gap),
                at: middle,
            })
        });
        let named = (
            format!("the gap between rail {} and wall {}", rail.name, wall.name),
            vec![rail.name.to_owned(), wall.name.clone()],
        );
        self.row(Family::RailToWall, named, values.collect())
    }
}

/// A straight rail.
struct Bar<'a> {
    name: &'a str,
    ends: [Point3<f64>; 2],
    size: [Length; 2],
}

/// How far a wall that runs along stands from a point, in a level way; negative behind it. `None`
/// where the wall is not beside the point.
fn beside(wall: &WallFace, from: Point3<f64>, way: Vector3<f64>) -> Option<f64> {
    let (point, along, normal) = wall.meet(&from, &way)?;
    let on_wall =
        (0.0..=wall.length()).contains(&along) && (wall.foot..=wall.head).contains(&from.z);
    (on_wall && normal.dot(&way) < -FACES).then(|| (point - from).dot(&way))
}
