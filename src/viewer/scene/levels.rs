//! A level on what is out of level: a line across from the end on which it bears, and at the other end
//! the gap that opens under it, with its figure.
//!
//! The gap is drawn as many times as large as departures are; the level itself is always level.

use bevy::prelude::{
    App, Assets, Commands, Component, DetectChanges as _, Entity, GizmoAsset,
    IntoScheduleConfigs as _, Query, Res, ResMut, Update, With,
};
use nalgebra::{Point3, Vector3};

use crate::inspect::climb::{Climb, LevelGap, LevelWay, Of};
use crate::measure::{Length, Tape};

use super::super::climb::Climbing;
use super::super::climb::notes::{Note, Notes};
use super::super::edges::Segment;
use super::super::{Pick, Showing, Solved, ViewerSystems, look};
use super::{Shown, pencil, ready};

/// How high a level is, and how long its vial, mm.
const LEVEL_MM: f64 = 26.0;
const VIAL_MM: f64 = 46.0;
/// The level is held this far over what it bears on, so that the line is not buried in it.
const CLEAR_MM: f64 = 1.0;
/// The figure stands this far over the level.
const OVER_MM: f64 = 8.0;
/// Lines show through what they lie on.
const THROUGH: f32 = -0.002;

#[derive(Component)]
struct OfLevel;

/// A level as it is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Laid {
    /// Where it bears.
    bears: Point3<f64>,
    /// Its other end.
    free: Point3<f64>,
    /// The surface under that.
    surface: Point3<f64>,
}

impl Laid {
    /// Over a surface whose ends are drawn in two places: from the end that bears, level.
    fn over(high: Point3<f64>, low: Point3<f64>) -> Self {
        // Stretched, what else is off may lift the other end; the higher one bears all the same.
        let (bears, surface) = if low.z > high.z {
            (low, high)
        } else {
            (high, low)
        };
        Self {
            bears: bears + Vector3::z() * CLEAR_MM,
            free: Point3::new(surface.x, surface.y, bears.z + CLEAR_MM),
            surface,
        }
    }

    /// The lower edge of the level.
    const fn edge(&self) -> Segment {
        (self.bears, self.free)
    }

    /// The gap under its free end, with a foot on the surface.
    fn gap(&self) -> [Segment; 2] {
        let along = (self.bears - self.free).xy();
        let foot = along.try_normalize(f64::MIN_POSITIVE).unwrap_or_default() * LEVEL_MM;
        let foot = Vector3::new(foot.x, foot.y, 0.0);
        [
            (self.surface, self.free),
            (self.surface - foot * 0.4, self.surface + foot * 0.4),
        ]
    }

    /// The rest of the level: its body and the vial in its middle.
    fn body(&self) -> Vec<Segment> {
        let up = Vector3::z() * LEVEL_MM;
        let middle = nalgebra::center(&self.bears, &self.free) + up * 0.5;
        let along = self.free - self.bears;
        let vial = along * (VIAL_MM / 2.0 / along.norm().max(VIAL_MM));
        let half = up * 0.22;
        let ring = [
            middle - vial - half,
            middle + vial - half,
            middle + vial + half,
            middle - vial + half,
        ];
        let mut lines = vec![
            (self.bears, self.bears + up),
            (self.bears + up, self.free + up),
            (self.free + up, self.free),
        ];
        lines.extend((0..4).map(|at| (ring[at], ring[(at + 1) % 4])));
        // The two marks between which the bubble stands.
        let marks = [-0.3, 0.3].map(|share| middle + vial * share);
        lines.extend(marks.map(|at| (at - half, at + half)));
        lines
    }
}

/// What a level is laid on: what is out by half a mark at least, in the ways that are asked for.
fn gaps<'c>(
    climbs: &'c [Climb],
    ways: &'c [LevelWay],
    tape: Tape,
) -> impl Iterator<Item = &'c LevelGap> {
    let treads = climbs.iter().flat_map(|climb| {
        let own = climb.steps.iter();
        own.flat_map(|step| [&step.across, &step.back])
            .chain(&climb.floors)
    });
    treads.filter(move |gap| ways.contains(&gap.way) && gap.gap.abs() >= tape.mark() / 2.0)
}

/// The ways in which levels are laid: as the strip shows it, or both.
fn ways(climbing: &Climbing) -> &'static [LevelWay] {
    match climbing.of {
        Of::Across if climbing.on => &[LevelWay::Across],
        Of::Back if climbing.on => &[LevelWay::Back],
        _ => &[LevelWay::Across, LevelWay::Back],
    }
}

fn note(gap: &LevelGap, laid: &Laid, (lit, most): (bool, Length), tape: Tape) -> Note {
    // The worst is told wherever one looks from, and so is what is lit.
    let always = lit || gap.gap.abs() >= most;
    Note {
        at: laid.free + Vector3::z() * (OVER_MM + if lit { LEVEL_MM } else { 0.0 }),
        says: tape.print(gap.gap.abs()),
        about: (!always).then_some([laid.bears, laid.free]),
        lit: false,
        ink: look::CRAYON,
    }
}

fn sync(
    mut commands: Commands,
    solved: Option<Res<Solved>>,
    shown: Option<Res<Shown>>,
    (showing, climbing): (Res<Showing>, Res<Climbing>),
    mut notes: ResMut<Notes>,
    mut assets: ResMut<Assets<GizmoAsset>>,
    before: Query<Entity, With<OfLevel>>,
) {
    let (Some(solved), Some(shown)) = (solved, shown) else {
        return;
    };
    if !shown.is_changed() && !showing.is_changed() && !climbing.is_changed() {
        return;
    }
    for old in &before {
        commands.entity(old).despawn();
    }
    if !climbing.draws_levels(&showing) {
        if !notes.levels.is_empty() {
            notes.levels.clear();
        }
        return;
    }
    let (tape, climbs) = (solved.job.tape, &solved.climbs);
    let ways = ways(&climbing);
    let lit = climbing.drawn(&showing, climbs);
    let lit = lit.map(|(_, step)| step.tread.as_str());
    let picked = showing.picked.as_ref().map(Pick::parts).unwrap_or_default();
    let most = gaps(climbs, ways, tape).map(|gap| gap.gap.abs());
    let most = most.fold(tape.mark(), Length::max);
    let (mut levels, mut opened, mut told) = (Vec::new(), Vec::new(), Vec::new());
    for gap in gaps(climbs, ways, tape) {
        let of = std::slice::from_ref(&gap.part);
        let laid = Laid::over(shown.place(&gap.high, of), shown.place(&gap.low, of));
        let is_lit = Some(gap.part.as_str()) == lit || picked.contains(&gap.part.as_str());
        levels.push(laid.edge());
        if is_lit {
            levels.extend(laid.body());
        }
        opened.extend(laid.gap());
        told.push(note(gap, &laid, (is_lit, most), tape));
    }
    for (lines, ink, width) in [(levels, look::CHALK, 1.5), (opened, look::CRAYON, 2.2)] {
        let mut gizmo = pencil::lines(&mut assets, lines, look::colour(ink), width);
        gizmo.depth_bias = THROUGH;
        commands.spawn((gizmo, OfLevel));
    }
    notes.levels = told;
}

pub(super) fn plugin(app: &mut App) {
    app.add_systems(Update, sync.in_set(ViewerSystems::Sync).after(ready));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_is_level_and_bears_on_the_higher_end() {
        let (high, low) = (Point3::new(0.0, 0.0, 5.0), Point3::new(0.0, 900.0, 2.0));
        for laid in [Laid::over(high, low), Laid::over(low, high)] {
            approx::assert_abs_diff_eq!(laid.bears.z, laid.free.z, epsilon = 1e-12);
            assert_eq!(laid.bears.xy(), high.xy());
            let gap = laid.free.z - laid.surface.z - CLEAR_MM;
            approx::assert_abs_diff_eq!(gap, 3.0, epsilon = 1e-12);
        }
    }

    #[test]
    fn what_lies_level_gets_no_level() {
        let gap = |mm: f64| LevelGap {
            part: "T1".to_owned(),
            way: LevelWay::Across,
            gap: Length::mm(mm),
            span: Length::mm(900.0),
            high: Point3::origin(),
            low: Point3::origin(),
        };
        let climb = |floors| Climb {
            run: 0,
            name: String::new(),
            brought: crate::inspect::climb::Off::default(),
            steps: Vec::new(),
            floors,
            limits: Vec::new(),
        };
        let all = [climb(vec![gap(0.1), gap(-2.0), gap(3.0)])];
        let both = [LevelWay::Across, LevelWay::Back];
        assert_eq!(gaps(&all, &both, Tape::Sixteenths).count(), 2);
        assert_eq!(gaps(&all, &[LevelWay::Back], Tape::Sixteenths).count(), 0);
    }
}
