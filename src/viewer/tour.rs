//! A first walk through the window, about a minute: what each stop says, what it shows and where it
//! points. Every number in it is the chain's own.

use std::path::PathBuf;

use bevy::prelude::{
    App, Camera, DetectChanges as _, GlobalTransform, IntoScheduleConfigs as _, MessageReader,
    MessageWriter, Query, Res, ResMut, Resource, Update,
};
use bevy_egui::egui::{Pos2, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use crate::chain::Chain;
use crate::inspect::{Finding, Kind};
use crate::measure::{Length, Tape};

use super::acts::chord::{Stroke, plain, typed};
use super::acts::{Act, Knows};
use super::eye::Mine;
use super::files::{self, Files};
use super::flags::FreeRect;
use super::panels::tour::{Card, card_ui, marked};
use super::recompute::Explained;
use super::scene::{Departures, Shown};
use super::session::{Action, Session};
use super::{Mood, Pick, Place, Showing, Solved, ViewerSystems, Viewpoint, convert};

/// Departures are drawn so many times as large at the stop that shows them.
const STRETCH: f64 = 8.0;

/// What can be asked of the tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// From its first stop.
    Begin,
    /// To the next stop; from the last one it ends.
    Next,
    /// To the stop before.
    Before,
    /// It ends.
    End,
}

/// The tour: at which stop it is.
#[derive(Resource, Default)]
pub(super) struct Tour {
    at: Option<usize>,
    /// What the stop sets, to be asked for in the next frame.
    sets: Vec<Action>,
}

impl Tour {
    /// True while it goes on.
    pub(super) const fn on(&self) -> bool {
        self.at.is_some()
    }
}

/// A place to stop at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stop {
    Stair,
    Stretch,
    Worst,
    Because,
    Newel,
    Readings,
    Sure,
    Own,
}

const STOPS: [Stop; 8] = [
    Stop::Stair,
    Stop::Stretch,
    Stop::Worst,
    Stop::Because,
    Stop::Newel,
    Stop::Readings,
    Stop::Sure,
    Stop::Own,
];

/// What a stop points at.
#[derive(Clone, Debug, PartialEq)]
enum Points {
    /// A part, by its name.
    Part(String),
    /// The place of the worst trouble.
    Worst,
    /// Something of the panels, by its mark.
    Marked(&'static str),
    /// The scale of the walls.
    Scale,
    /// What is said of the picked trouble.
    List,
}

/// What the stops are made from.
struct About<'a> {
    chain: &'a Chain,
    tape: Tape,
    /// The end of the scale of the walls.
    scale: Option<Length>,
    /// The largest cause of what is picked, once it is known.
    cause: Option<String>,
}

impl About<'_> {
    fn worst(&self) -> Option<&Finding> {
        self.chain.inspection.troubles().first().copied()
    }

    /// The worst that comes from what was read: an opening, where there is one. A stringer that is
    /// cut, say, is of the design's making and has no cause to light up.
    fn caused(&self) -> Option<&Finding> {
        let troubles = self.chain.inspection.troubles();
        let opening = troubles.iter().find(|one| one.key.kind == Kind::Opening);
        opening.or(troubles.first()).copied()
    }

    fn newel(&self) -> Option<&str> {
        let mut newels = self.chain.runs.iter().flat_map(|run| &run.setout.newels);
        newels.next().map(|newel| newel.name.as_str())
    }

    /// The gap beside the first newel, and what stands on its other side.
    fn gap(&self) -> Option<(&str, Length)> {
        let newel = self.newel()?;
        let mut gaps = self.chain.runs.iter().flat_map(|run| &run.setout.gaps);
        let gap = gaps.find(|gap| gap.below == newel || gap.above == newel)?;
        let other = if gap.below == newel {
            &gap.above
        } else {
            &gap.below
        };
        Some((other, gap.clear))
    }
}

fn counted(count: usize, one: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        _ => format!("{count} {one}s"),
    }
}

impl Stop {
    fn says(self, about: &About) -> String {
        match self {
            Self::Stair => {
                let rises: u32 = about
                    .chain
                    .stairs()
                    .map(|(_, run)| run.run.job.flight.count)
                    .sum();
                let troubles = about.chain.inspection.troubles().len();
                format!(
                    "A stair of {rises} rises, drawn as it was read: \
                     {} found before anything is cut. Drag to turn it, turn the wheel to come nearer.",
                    counted(troubles, "trouble")
                )
            }
            Self::Stretch => {
                let scale = about.scale.map_or_else(String::new, |most| {
                    format!(
                        " The colours of the walls go to {}.",
                        about.tape.print(most)
                    )
                });
                format!(
                    "What is out of true is small, so here it is drawn {STRETCH} times as large, \
                     beside the true stair in blue.{scale} The keys [ and ] draw it less and more."
                )
            }
            Self::Worst => match about.worst() {
                Some(worst) => format!(
                    "Troubles fly a flag and stand in the list, the worst first. This is the \
                     worst: {}. N and P go on to the others.",
                    worst.says.trim_end_matches('.')
                ),
                None => {
                    "Troubles fly a flag and stand in the list. This stair has none.".to_owned()
                }
            },
            Self::Because => match &about.cause {
                Some(cause) => format!(
                    "Why one is so stands under the list, the largest share first: {cause}. C \
                     lights a cause up in the picture, T makes it true for a moment."
                ),
                None => "Why one is so stands under the list: each cause with its share, and what \
                         would cure it. C lights a cause up, T makes it true for a moment."
                    .to_owned(),
            },
            Self::Newel => match (about.newel(), about.gap()) {
                (Some(newel), Some((other, gap))) => format!(
                    "Newel {newel} stands {} from {other}. Press . or , to move it a mark up or \
                     down the flight and watch the gap follow. Ctrl+Z takes it back.",
                    about.tape.print(gap)
                ),
                _ => "A newel is picked by a click and moved a mark at a time by . and , and \
                      everything that hangs on it follows. Ctrl+Z takes it back."
                    .to_owned(),
            },
            Self::Readings => "What was read on site is typed here, F2: tape, level and laser, in \
                               the order one walks the stair. The part that is read lights up."
                .to_owned(),
            Self::Sure => "How sure is it? F4 makes the stair again and again, each time as wrong \
                           as a tape and a hand may be, and counts what fails."
                .to_owned(),
            Self::Own => "Open begins a job of your own from a starter. F1 lists everything that \
                          can be done, with its key; this walk is there too."
                .to_owned(),
        }
    }

    fn sets(self, about: &About) -> Vec<Action> {
        let plain = [Action::Stretch(1.0), Action::Ghost(false)];
        match self {
            Self::Stair => {
                let mut all = vec![
                    Action::Place(Place::SetOut),
                    Action::Mood(Mood::Work),
                    Action::Pick(None),
                    Action::Look(Viewpoint::Front),
                ];
                all.extend(plain);
                all
            }
            Self::Stretch => vec![
                Action::Stretch(STRETCH),
                Action::Ghost(true),
                Action::Look(Viewpoint::Front),
            ],
            Self::Worst | Self::Because => {
                let trouble = match self {
                    Self::Worst => about.worst(),
                    _ => about.caused(),
                };
                let pick = trouble.map(|one| Pick::Trouble(one.key.clone()));
                plain.into_iter().chain(pick.map(Action::Frame)).collect()
            }
            Self::Newel => about.newel().map_or_else(Vec::new, |newel| {
                vec![
                    Action::Pick(Some(Pick::Part(newel.to_owned()))),
                    Action::Look(Viewpoint::Newel(newel.to_owned())),
                ]
            }),
            Self::Readings => vec![Action::Look(Viewpoint::Front)],
            Self::Sure | Self::Own => Vec::new(),
        }
    }

    fn points(self, about: &About) -> Option<Points> {
        match self {
            Self::Stair | Self::Newel => about.newel().map(|name| Points::Part(name.to_owned())),
            Self::Stretch => about.scale.map(|_| Points::Scale),
            Self::Worst => about.worst().map(|_| Points::Worst),
            Self::Because => about.worst().map(|_| Points::List),
            Self::Readings => Some(Points::Marked("Readings")),
            Self::Sure => Some(Points::Marked("How sure")),
            Self::Own => Some(Points::Marked("Open")),
        }
    }
}

/// What the tour reads.
#[derive(bevy::ecs::system::SystemParam)]
struct Sees<'w, 's> {
    tour: Res<'w, Tour>,
    solved: Option<Res<'w, Solved>>,
    shown: Option<Res<'w, Shown>>,
    showing: Res<'w, Showing>,
    explained: Res<'w, Explained>,
    departures: Option<Res<'w, Departures>>,
    files: Res<'w, Files>,
    free: Option<Res<'w, FreeRect>>,
    cameras: Query<'w, 's, (&'static Camera, &'static GlobalTransform), Mine>,
}

fn about<'a>(
    solved: &'a Solved,
    showing: &Showing,
    explained: &Explained,
    departures: Option<&Departures>,
) -> About<'a> {
    let largest = explained.causes(solved, showing).into_iter().next();
    About {
        chain: solved.as_found(),
        tape: solved.job.tape,
        scale: departures.and_then(|departures| departures.most),
        cause: largest.map(|cause| cause.what),
    }
}

impl Sees<'_, '_> {
    /// Where in the window a stop points.
    fn target(
        &self,
        points: &Points,
        about: &About,
        ctx: &bevy_egui::egui::Context,
    ) -> Option<Pos2> {
        let free = self.free.as_ref()?.0;
        let shown = self.shown.as_ref()?;
        let at = match points {
            Points::Marked(name) => return marked(ctx, name).map(|rect| rect.center_bottom()),
            Points::Scale => return Some(free.right_bottom() - vec2(135.0, 84.0)),
            Points::List => return Some(free.left_center() - vec2(10.0, 0.0)),
            Points::Worst => {
                let worst = about.worst()?;
                shown.place(&worst.at, &worst.key.parts)
            }
            Points::Part(name) => {
                let part = shown.solids.parts.iter().find(|part| &part.name == name)?;
                part.bounds()?.centre()
            }
        };
        let (camera, place) = self.cameras.single().ok()?;
        let at = camera.world_to_viewport(place, convert::point(&at)).ok()?;
        Some(Pos2::new(at.x, at.y))
    }
}

/// Draws the card of the stop, with an arrow to what it is about.
fn paint(
    mut contexts: EguiContexts,
    sees: Sees,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    let (Some(at), Some(solved), Some(free)) = (sees.tour.at, &sees.solved, &sees.free) else {
        return Ok(());
    };
    if sees.files.hushes() {
        return Ok(());
    }
    let about = about(
        solved,
        &sees.showing,
        &sees.explained,
        sees.departures.as_deref(),
    );
    let stop = STOPS[at.min(STOPS.len() - 1)];
    let target = stop
        .points(&about)
        .and_then(|points| sees.target(&points, &about, ctx));
    let card = Card {
        says: stop.says(&about),
        place: at + 1,
        of: STOPS.len(),
        target,
    };
    let asked = card_ui(ctx, free.0, &card);
    actions.write_batch(asked.map(Action::Tour));
    Ok(())
}

/// Begins it once, by itself: at the first start of the program, on the demo.
fn welcome(
    solved: Option<Res<Solved>>,
    session: Res<Session>,
    files: Res<Files>,
    mut actions: MessageWriter<Action>,
) {
    let first = files.first && !files.prefs.toured;
    let demo: Option<&PathBuf> = session.path.as_ref();
    if first && demo.is_none() && solved.is_some_and(|solved| solved.is_added()) {
        actions.write(Action::Tour(Ask::Begin));
        actions.write(Action::File(files::Ask::Toured));
    }
}

/// Goes from stop to stop.
fn apply(
    mut actions: MessageReader<Action>,
    mut tour: ResMut<Tour>,
    (showing, explained): (Res<Showing>, Res<Explained>),
    solved: Option<Res<Solved>>,
    departures: Option<Res<Departures>>,
) {
    for action in actions.read() {
        let Action::Tour(ask) = action else { continue };
        let last = STOPS.len() - 1;
        tour.at = match (ask, tour.at) {
            (Ask::Begin, _) => Some(0),
            (Ask::Next, Some(at)) if at < last => Some(at + 1),
            (Ask::Before, Some(at)) => Some(at.saturating_sub(1)),
            (Ask::Next | Ask::Before | Ask::End, _) => None,
        };
        let Some(solved) = &solved else { continue };
        let about = about(solved, &showing, &explained, departures.as_deref());
        tour.sets = match tour.at {
            Some(at) => STOPS[at].sets(&about),
            // The picture is left as the tour found it: unstretched.
            None => vec![Action::Stretch(1.0), Action::Ghost(false)],
        };
    }
}

/// Asks for what a stop sets.
fn set(mut tour: ResMut<Tour>, mut actions: MessageWriter<Action>) {
    if !tour.sets.is_empty() {
        actions.write_batch(std::mem::take(&mut tour.sets));
    }
}

fn step(knows: &Knows, ask: Ask) -> Option<Action> {
    knows.tour.on().then_some(Action::Tour(ask))
}

/// While it goes on; before all else, as it lies over all else.
pub(super) const ACTS: &[Act] = &[
    Act::new(
        plain(Stroke::Enter),
        "go on to the tour's next stop",
        "walk",
        |knows| step(knows, Ask::Next),
    ),
    Act {
        name: "go on to the tour's next stop, by its other key",
        ..Act::new(typed(' '), "", "walk", |knows| step(knows, Ask::Next))
    },
    Act::new(
        plain(Stroke::Escape),
        "end the tour",
        "walk leave",
        |knows| step(knows, Ask::End),
    ),
];

/// Always there.
pub(super) const BEGIN: &[Act] = &[Act {
    key: None,
    ..Act::new(
        typed(' '),
        "take the tour of a minute",
        "walk first help learn how",
        |knows| (!knows.tour.on()).then_some(Action::Tour(Ask::Begin)),
    )
}];

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Tour>()
        .add_systems(Update, (set, welcome).in_set(ViewerSystems::Input))
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(EguiPrimaryContextPass, paint.after(super::panels::draw));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;

    fn demo() -> Chain {
        let text = include_str!("../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(text, "demo").unwrap();
        crate::chain::run(document.job()).unwrap()
    }

    #[test]
    fn what_the_stops_say_of_the_demo_is_what_the_core_found() {
        let chain = demo();
        let about = About {
            chain: &chain,
            tape: Tape::Sixteenths,
            scale: Some(Length::inches(0.5)),
            cause: None,
        };
        let said: Vec<String> = STOPS.iter().map(|stop| stop.says(&about)).collect();
        let whole = said.join(" ");
        let troubles = chain.inspection.troubles();
        assert!(said[0].contains(&counted(troubles.len(), "trouble")));
        assert!(said[0].contains("14 rises"), "as the demo's file says");
        assert!(said[2].contains(troubles[0].says.trim_end_matches('.')));
        let (other, gap) = about.gap().unwrap();
        assert!(said[4].contains(&Tape::Sixteenths.print(gap)) && said[4].contains(other));
        assert!(whole.contains("1/2\""));
        // A minute of reading aloud: 150 words a minute is a common figure for speech.
        let words = whole.split_whitespace().count();
        assert!(words < 300, "{words} words");
        assert!(
            said.iter().all(|text| text.len() < 330),
            "each fits its card"
        );
    }

    #[test]
    fn every_stop_of_the_demo_points_at_something_that_is_there() {
        let chain = demo();
        let about = About {
            chain: &chain,
            tape: Tape::Sixteenths,
            scale: Some(Length::inches(0.5)),
            cause: Some("step 6 short".to_owned()),
        };
        for stop in STOPS {
            match stop.points(&about).unwrap() {
                Points::Part(name) => {
                    assert!(chain.solids.parts.iter().any(|part| part.name == name));
                }
                Points::Worst | Points::List => assert!(about.worst().is_some()),
                Points::Marked(_) | Points::Scale => {}
            }
        }
        assert!(Stop::Because.says(&about).contains("step 6 short"));
    }
}
