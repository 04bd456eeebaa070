//! The dry fit in the window: which newel is set down, how far it is lifted, and the stair staged for
//! it: boards not yet cut, the rail away, only the neighbours beside.
//!
//! In: the chain's result. Out: [`Fit`], which scene, words and panel read.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use bevy::prelude::{
    App, IntoScheduleConfigs as _, Local, MessageReader, MessageWriter, Res, ResMut, Resource,
    Time, Update,
};
use bevy::window::RequestRedraw;
use nalgebra::{Point3, Vector3};

use crate::chain::{self, Chain, RunChain};
use crate::publish::{FitTold, dry_fit_told};
use crate::setout::dry_fit::DryFit;
use crate::solids::{Part, PartKind, Solids, Uncut};

use super::acts::chord::{Stroke, plain, typed};
use super::acts::{Act, Entry, Knows};
use super::eye::{Look, View};
use super::look::Stuff;
use super::panels::nudge;
use super::session::Action;
use super::{Mood, Pick, Place, Showing, Solved, ViewerSystems};

/// Lowering takes so long, seconds.
const LOWERING_S: f64 = 3.5;
/// The newel is lifted clear of the highest board that it goes into by this much, mm.
const CLEAR_MM: f64 = 110.0;
/// A key lowers or lifts it by this share of the way.
const BY_KEY: f64 = 0.125;
/// Around the marks this much is shown, mm.
const ABOUT_MM: f64 = 130.0;
/// From which the marks are seen best: from the open side and the foot of the stair, and from above.
const FROM: (f64, f64) = (128.0, 33.0);

/// What one asks of the dry fit.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Ask {
    /// Sets this newel down.
    Newel(String),
    /// Sets the next one down.
    Next,
    /// Lifts it to this share of the way: 0 stands, 1 is clear of the stair.
    Up(f64),
    /// Lifts it by so much more.
    By(f64),
    /// Lowers it slowly from where it is clear, or stops there.
    Play,
}

/// What is set down, and how far it is lifted.
#[derive(Resource)]
pub(super) struct Fit {
    /// The newel that was asked for.
    pub(super) newel: Option<String>,
    /// How far it is lifted: 0 stands, 1 is clear.
    pub(super) up: f64,
    /// It is being lowered.
    pub(super) playing: bool,
    /// The stair staged for it; none in other places of the window.
    pub(super) stage: Option<Arc<Stage>>,
    /// The eye is to go there once it is staged.
    go: bool,
    staged: u64,
    /// Of which result a newel could not be set down: it is not tried in every frame.
    barren: Option<(u64, String)>,
}

impl Default for Fit {
    fn default() -> Self {
        Self {
            newel: None,
            up: 1.0,
            playing: false,
            stage: None,
            go: true,
            staged: 0,
            barren: None,
        }
    }
}

impl Fit {
    /// One set down in a picture.
    pub(super) fn of(newel: String, up: f64) -> Self {
        Self {
            newel: Some(newel),
            up,
            ..Self::default()
        }
    }

    /// True where it stands.
    pub(super) fn down(&self) -> bool {
        self.up < 1e-3
    }

    fn ask(&mut self, ask: &Ask) {
        match ask {
            Ask::Newel(name) => {
                self.newel = Some(name.clone());
                self.go = true;
            }
            Ask::Next => {
                let names = self.stage.as_ref().map(|stage| stage.newels.clone());
                self.newel = names.and_then(|names| after(&names, self.newel.as_deref()));
                self.go = true;
            }
            Ask::Up(up) => {
                self.playing = false;
                self.up = up.clamp(0.0, 1.0);
            }
            Ask::By(by) => {
                self.playing = false;
                self.up = (self.up + by).clamp(0.0, 1.0);
            }
            Ask::Play => {
                self.playing = !self.playing;
                if self.playing && self.down() {
                    self.up = 1.0;
                }
            }
        }
    }
}

/// The name after another, round.
fn after(names: &[String], name: Option<&str>) -> Option<String> {
    let at = name.and_then(|name| names.iter().position(|one| one == name));
    let next = at.map_or(0, |at| (at + 1) % names.len().max(1));
    names.get(next).cloned()
}

/// The stair staged for one newel.
pub(super) struct Stage {
    /// Counts what was staged.
    pub(super) number: u64,
    /// All newels of the stair.
    pub(super) newels: Vec<String>,
    /// The newel, standing.
    pub(super) newel: Part,
    /// From where it stands to where it is clear, mm.
    pub(super) lift: Vector3<f64>,
    /// What it does on each run that it meets, in the first run's frame.
    pub(super) fits: Vec<DryFit>,
    /// The same in words, with the run where there are several.
    pub(super) told: Vec<(Option<String>, FitTold)>,
    /// The boards that it goes into, before they are cut.
    pub(super) uncut: Vec<Uncut>,
    /// What is drawn beside the newel.
    pub(super) solids: Arc<Solids>,
    /// Boards that are seen through.
    pub(super) thin: BTreeMap<String, Stuff>,
    /// The way that the eye looks from, about the plumb line, radians.
    yaw: f64,
    from: (u64, String),
}

/// All newels that a stair has of its own.
fn newels(chain: &Chain) -> Vec<String> {
    let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
    newels.map(|newel| newel.name.clone()).collect()
}

impl Stage {
    /// Stages a newel; `None` where the stair has none of this name.
    fn of(chain: &Chain, name: &str, (number, generation): (u64, u64)) -> Option<Self> {
        let all = chain::dry_fits(chain, name);
        let (owner, first) = all.first()?;
        let run = chain.runs.get(*owner)?;
        let set = run.setout.newels.iter().find(|one| one.name == name)?;
        let parts = &chain.solids.parts;
        let newel = parts.iter().find(|part| part.name == name)?.clone();
        let tape = run.run.job.tape;
        let several = chain.runs.len() > 1;
        let title = |run: &RunChain| several.then(|| run.run.name.clone());
        let outward = run.site.outward;
        let (sin, cos) = (outward * FROM.0.to_radians()).sin_cos();
        let seen = run.frame.way_to_first(&Vector3::new(cos, sin, 0.0));
        let axis = run.frame.way_to_first(&set.axis);
        let placed = all.iter().filter_map(|(number, fit)| {
            let run = chain.runs.get(*number)?;
            let fit = fit.clone().placed(&run.frame);
            Some((fit.clone(), (title(run), dry_fit_told(&fit, tape))))
        });
        let (fits, told): (Vec<DryFit>, Vec<_>) = placed.unzip();
        let foot = run.frame.to_first(&set.foot);
        let top = fits
            .iter()
            .flat_map(|fit| &fit.faces)
            .flat_map(|face| &face.ring)
            .map(|at| at.z)
            .fold(foot.z, f64::max);
        let uncut = chain::uncut(chain, name);
        let solids = staged(chain, first, &fits, &uncut);
        Some(Self {
            number,
            newels: newels(chain),
            newel,
            lift: axis * (top - foot.z + CLEAR_MM),
            told,
            thin: thin(&uncut),
            uncut,
            fits,
            solids: Arc::new(solids),
            yaw: seen.y.atan2(seen.x),
            from: (generation, name.to_owned()),
        })
    }

    /// Where the eye looks: at all marks, the foot of the neighbours and the lifted foot.
    fn look(&self) -> Look {
        let mut points: Vec<Point3<f64>> = Vec::new();
        for fit in &self.fits {
            let faces = fit.faces.iter().chain(&fit.foot);
            points.extend(faces.flat_map(|face| face.ring.iter().copied()));
            points.extend(fit.beside.iter().filter_map(|one| Some(one.foot?[1])));
        }
        let about = |at: &Point3<f64>| {
            let by = Vector3::new(ABOUT_MM, ABOUT_MM, ABOUT_MM * 0.6);
            [at - by, at + by]
        };
        let points = points.iter().flat_map(about).collect();
        Look::Close(points, self.yaw, FROM.1.to_radians())
    }
}

/// The stair with its boards not yet cut, without the newel and what lies over it, and of the
/// balusters only the neighbours.
fn staged(chain: &Chain, own: &DryFit, fits: &[DryFit], uncut: &[Uncut]) -> Solids {
    let beside = fits.iter().flat_map(|fit| &fit.beside);
    let near: BTreeSet<&str> = beside
        .flat_map(|one| {
            let next = one.next.as_ref().map(|(name, _)| name.as_str());
            std::iter::once(one.other.as_str()).chain(next)
        })
        .collect();
    let stays = |part: &Part| match part.kind {
        PartKind::Rail
        | PartKind::BottomRail
        | PartKind::Rosette
        | PartKind::Panel
        | PartKind::Shoe => false,
        PartKind::Baluster => near.contains(part.name.as_str()),
        PartKind::Newel => part.name != own.newel,
        _ => true,
    };
    let whole = |part: &Part| {
        let before = uncut.iter().find(|one| one.part.name == part.name);
        before.map_or_else(|| part.clone(), |one| one.part.clone())
    };
    let parts = chain.solids.parts.iter().zip(&chain.solids.runs);
    let (parts, runs) = parts
        .filter(|(part, _)| stays(part))
        .map(|(part, run)| (whole(part), *run))
        .unzip();
    Solids {
        parts,
        runs,
        joints: Vec::new(),
    }
}

/// Boards that hide the framing are seen through.
fn thin(uncut: &[Uncut]) -> BTreeMap<String, Stuff> {
    let boards = uncut.iter().map(|one| &one.part);
    boards
        .filter(|part| {
            matches!(
                part.kind,
                PartKind::Tread | PartKind::Kick | PartKind::Skirt
            )
        })
        .map(|part| (part.name.clone(), Stuff::Thin(part.kind)))
        .collect()
}

/// Carries out what was asked for.
fn apply(
    mut actions: MessageReader<Action>,
    mut fit: ResMut<Fit>,
    mut showing: ResMut<Showing>,
    solved: Option<Res<Solved>>,
) {
    for action in actions.read() {
        match action {
            Action::Place(Place::Fit) => {
                // A newel that is picked is the one that is meant.
                let names = solved.as_ref().map(|solved| newels(&solved.found));
                let picked = showing.picked.as_ref().map(Pick::parts);
                let picked = picked.into_iter().flatten().find(|name| {
                    let names = names.iter().flatten();
                    names.into_iter().any(|one| one == name)
                });
                if let Some(name) = picked {
                    fit.newel = Some(name.to_owned());
                }
                (fit.go, fit.up, fit.playing) = (true, 1.0, false);
                showing.mood = Mood::Work;
            }
            Action::Fit(ask) => {
                fit.ask(ask);
                if showing.place != Place::Fit {
                    showing.place = Place::Fit;
                    showing.way = None;
                    showing.mood = Mood::Work;
                    fit.up = 1.0;
                }
            }
            _ => {}
        }
    }
}

/// Stages the stair where the newel or the result changed, and lets it go in other places.
fn stage(
    solved: Option<Res<Solved>>,
    showing: Res<Showing>,
    mut fit: ResMut<Fit>,
    mut view: ResMut<View>,
) {
    if showing.place != Place::Fit {
        if fit.stage.is_some() {
            fit.stage = None;
            fit.playing = false;
        }
        return;
    }
    let Some(solved) = solved else { return };
    let names = newels(&solved.found);
    let asked = fit.newel.clone().filter(|name| names.contains(name));
    let Some(name) = asked.or_else(|| names.first().cloned()) else {
        if fit.stage.is_some() {
            fit.stage = None;
        }
        return;
    };
    let from = (solved.generation, name);
    let there = fit.stage.as_ref().is_some_and(|stage| stage.from == from);
    if !there && fit.barren.as_ref() != Some(&from) {
        let number = fit.staged + 1;
        let stage = Stage::of(&solved.found, &from.1, (number, from.0));
        fit.staged = number;
        fit.barren = stage.is_none().then(|| from.clone());
        fit.newel = Some(from.1);
        fit.stage = stage.map(Arc::new);
    }
    if fit.go
        && let Some(stage) = fit.stage.clone()
    {
        fit.go = false;
        view.look = Some(stage.look());
    }
}

/// Lowers it slowly.
fn play(
    time: Res<Time>,
    mut fit: ResMut<Fit>,
    mut begun: Local<bool>,
    mut redraw: MessageWriter<RequestRedraw>,
) {
    if !fit.playing {
        *begun = false;
        return;
    }
    redraw.write(RequestRedraw);
    // The first frame's time is that of the rest before it.
    let seconds = if std::mem::replace(&mut *begun, true) {
        time.delta_secs_f64().min(0.2)
    } else {
        0.0
    };
    fit.up = (fit.up - seconds / LOWERING_S).max(0.0);
    fit.playing = !fit.down();
    if !fit.playing {
        fit.up = 0.0;
    }
}

/// In the place of the dry fit.
fn here(knows: &Knows) -> bool {
    knows.showing.place == Place::Fit
}

fn asks(knows: &Knows, ask: Ask) -> Option<Action> {
    (here(knows) && knows.fit.stage.is_some()).then_some(Action::Fit(ask))
}

fn moved(knows: &Knows, marks: f64) -> Option<Action> {
    let name = knows.fit.newel.clone().filter(|_| here(knows))?;
    nudge(&knows.session.document, Some(&Pick::Part(name)), marks)
}

/// What can be done about it.
pub(super) const ACTS: &[Act] = &[
    Act::new(
        plain(Stroke::F(5)),
        "set a newel down dry, or go back",
        "fit notch knife lines cut place",
        |knows| {
            let place = if here(knows) {
                Place::SetOut
            } else {
                Place::Fit
            };
            Some(Action::Place(place))
        },
    ),
    Act::new(
        plain(Stroke::PageDown),
        "lower the newel",
        "dry fit down",
        |knows| asks(knows, Ask::By(-BY_KEY)),
    )
    .repeating(),
    Act::new(
        plain(Stroke::PageUp),
        "lift the newel",
        "dry fit up",
        |knows| asks(knows, Ask::By(BY_KEY)),
    )
    .repeating(),
    Act::new(
        plain(Stroke::Enter),
        "lower the newel slowly, or stop",
        "dry fit play",
        |knows| asks(knows, Ask::Play),
    ),
    Act::new(
        typed('n'),
        "set the next newel down",
        "dry fit other",
        |knows| asks(knows, Ask::Next),
    ),
    Act::new(
        typed('.'),
        "move the newel that is set down one mark up the flight",
        "nudge step dry fit",
        |knows| moved(knows, 1.0),
    )
    .repeating(),
    Act::new(
        typed(','),
        "move the newel that is set down one mark down the flight",
        "nudge step dry fit",
        |knows| moved(knows, -1.0),
    )
    .repeating(),
];

/// One line for each newel.
pub(super) fn entries(knows: &Knows) -> Vec<Entry> {
    let Some(solved) = &knows.solved else {
        return Vec::new();
    };
    newels(&solved.found)
        .into_iter()
        .map(|name| Entry {
            name: format!("set newel {name} down dry"),
            action: Action::Fit(Ask::Newel(name)),
        })
        .collect()
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Fit>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(
            Update,
            (play, stage)
                .chain()
                .in_set(ViewerSystems::Sync)
                .before(super::scene::ready),
        );
}

#[cfg(test)]
mod tests {
    use super::super::drive::{DEMO, Driven};
    use super::*;
    use crate::job::Document;

    fn staged_demo(text: &str, newel: &str) -> Stage {
        let document = Document::parse(text, "test.ron").unwrap();
        let chain = chain::run(document.job()).unwrap();
        Stage::of(&chain, newel, (1, 1)).unwrap()
    }

    #[test]
    fn the_boards_are_whole_and_the_waste_is_what_the_notch_takes() {
        let stage = staged_demo(DEMO, "N1");
        let names: Vec<&str> = stage
            .uncut
            .iter()
            .map(|one| one.part.name.as_str())
            .collect();
        assert_eq!(names, ["T1", "K1", "S1", "Q1"]);
        // Tread 1 is cut 2 in deep and 3 1/2 in wide, 1 in thick, and the newel stands inside its
        // open end: seven cubic inches.
        let tread = &stage.uncut[0];
        let waste: f64 = tread.waste.iter().map(crate::solids::Convex::volume).sum();
        approx::assert_relative_eq!(waste, 7.0 * 25.4_f64.powi(3), max_relative = 1e-6);
        let part = |name: &str| stage.solids.parts.iter().find(|part| part.name == name);
        assert_eq!(part("T1").unwrap().pieces, tread.part.pieces);
        assert!(part("N1").is_none() && part("R1").is_none());
        assert!(part("B01").is_some() && part("B02").is_some() && part("B03").is_none());
    }

    #[test]
    fn lifted_it_is_clear_of_every_board_that_it_goes_into() {
        let stage = staged_demo(DEMO, "N1");
        let low = stage.newel.bounds().unwrap().low.z + stage.lift.z;
        for one in stage.uncut.iter().filter(|one| one.part.name == "T1") {
            assert!(low > one.part.bounds().unwrap().high.z);
        }
    }

    #[test]
    fn a_newel_in_a_turn_is_told_on_both_runs_and_cut_on_the_one_it_goes_into() {
        let stage = staged_demo(include_str!("../../scenes/half-turn.ron"), "N3");
        let cuts: Vec<bool> = stage.fits.iter().map(DryFit::cuts).collect();
        assert_eq!(stage.told.len(), stage.fits.len());
        assert!(cuts.contains(&true) && stage.told.iter().all(|(title, _)| title.is_some()));
    }

    #[test]
    fn it_is_lowered_by_shares_and_stays_between_standing_and_clear() {
        let mut fit = Fit::default();
        for _ in 0..20 {
            fit.ask(&Ask::By(-BY_KEY));
        }
        assert!(fit.down() && fit.up >= 0.0);
        // Played from where it stands it begins again from above.
        fit.ask(&Ask::Play);
        assert!(fit.playing && fit.up >= 1.0);
        fit.ask(&Ask::Up(0.4));
        assert!(!fit.playing && !fit.down());
    }

    /// Real keys: F5 sets the demo's newel down, Page Down lowers it, the full stop moves it by a mark
    /// and everything follows, Escape goes back.
    #[test]
    fn it_is_worked_by_keys() {
        let mut window = Driven::open(DEMO);
        let uphill = |window: &Driven| {
            let stage = window.get::<Fit>().stage.clone().unwrap();
            let told = &stage.told[0].1.marks[0];
            (told.side.clone(), told.off.clone())
        };
        window.key("F5");
        window.settle();
        assert_eq!(window.showing().place, Place::Fit);
        let (side, off) = uphill(&window);
        assert_eq!(
            (side.as_str(), off.as_str()),
            ("uphill side", "2\" from the nosing")
        );
        for _ in 0..8 {
            window.key("PageDown");
        }
        assert!(window.get::<Fit>().down());
        window.key(".");
        window.settle();
        // One mark of the tape: 1/16 in further up the flight.
        assert_eq!(uphill(&window).1, "2 1/16\" from the nosing");
        assert!(
            window.get::<Fit>().down(),
            "it stays where it was lowered to"
        );
        window.key("Esc");
        window.settle();
        assert_eq!(window.showing().place, Place::SetOut);
        assert!(window.get::<Fit>().stage.is_none());
        let shown = window.get::<super::super::scene::Shown>();
        let there = |name: &str| shown.solids.parts.iter().any(|part| part.name == name);
        assert!(there("N1") && there("R1"));
    }

    #[test]
    fn the_newels_go_round() {
        let names = ["N1", "N2"].map(str::to_owned);
        assert_eq!(after(&names, Some("N2")).as_deref(), Some("N1"));
        assert_eq!(after(&names, None).as_deref(), Some("N1"));
        assert_eq!(after(&[], Some("N2")), None);
    }
}
