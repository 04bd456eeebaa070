//! The site sheets in the window: laid out beside it for the stair that is shown, looked at page by
//! page, and written into a folder beside the job.

pub(super) mod acts;
pub(super) mod paper;

use std::path::Path;
use std::sync::Arc;

use bevy::prelude::{App, IntoScheduleConfigs as _, MessageReader, Res, ResMut, Resource, Update};

use crate::chain::Chain;
use crate::job::Job;
use crate::publish::file;
use crate::publish::finish::looks;
use crate::publish::gltf::{Fine, binary};
use crate::publish::paper::PaperSize;
use crate::publish::site_sheets::{MODEL, Options, SiteSheets, of_stair};
use crate::shop::parts::parts;
use crate::shop::prices::Prices;

use super::files::beside;
use super::recompute::{Errand, Waker, Work};
use super::session::{Action, Session};
use super::{Place, Showing, Solved, ViewerSystems};

pub(super) use paper::Painted;

/// What one can ask of the sheets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ask {
    /// Shows a sheet, by its number from 0.
    To(usize),
    /// Shows the next one, or, backwards, the one before.
    Step {
        /// Towards the first.
        backwards: bool,
    },
    /// Lays them out on another paper.
    On(PaperSize),
    /// Larger than the window, to be read, or whole.
    Near(bool),
    /// Paints a page so many pixels wide.
    Wide(u32),
    /// Writes them into a folder beside the job.
    Write,
}

/// What the sheets are of: the stair that is shown, and the paper.
type About = ((u64, Option<usize>), PaperSize);
/// What is painted: the stair, the paper, the page, its width in pixels.
type Page = (About, usize, u32);

/// The sheets.
#[derive(Resource, Default)]
pub(super) struct Sheets {
    /// The sheet that is looked at, from 0.
    pub(super) at: usize,
    /// It is shown larger than the window.
    pub(super) near: bool,
    paper: Option<PaperSize>,
    wide: u32,
    about: Option<About>,
    laying: Option<Errand<Laid>>,
    laid: Option<Laid>,
    painting: Option<(Page, Errand<Painted>)>,
    painted: Option<(Page, Arc<Painted>)>,
    writing: Option<Errand<Result<String, String>>>,
}

/// What came of laying them out.
type Laid = Result<Arc<SiteSheets>, String>;

impl Sheets {
    /// The sheets as they were last laid out, or why they cannot be.
    pub(super) const fn laid(&self) -> Option<&Laid> {
        self.laid.as_ref()
    }

    /// True while they are laid out anew.
    pub(super) const fn busy(&self) -> bool {
        self.laying.is_some()
    }

    /// True while they are written.
    pub(super) const fn writes(&self) -> bool {
        self.writing.is_some()
    }

    /// The paper that is chosen, or the usual one.
    pub(super) fn paper(&self, job: &Job) -> PaperSize {
        self.paper.unwrap_or_else(|| PaperSize::usual(job.units))
    }

    /// The page as it was last painted, with a number that changes with it.
    pub(super) fn painted(&self) -> Option<&Arc<Painted>> {
        self.painted.as_ref().map(|(_, painted)| painted)
    }

    /// How many pixels wide a page is painted.
    pub(super) const fn wide(&self) -> u32 {
        self.wide
    }

    fn pages(&self) -> usize {
        self.laid
            .as_ref()
            .and_then(|laid| laid.as_ref().ok())
            .map_or(0, |made| made.pages.len())
    }
}

/// Lays the sheets out. The prices are those that the job states.
fn lay(chain: &Chain, job: &Job, paper: PaperSize) -> Laid {
    let made = of_stair(chain, job, &Prices::default(), &Options::on(paper));
    made.map(|(sheets, _)| Arc::new(sheets))
        .map_err(|error| error.to_string())
}

fn written(
    made: &SiteSheets,
    (chain, job): (&Chain, &Job),
    folder: &Path,
) -> Result<String, String> {
    let mut files = made.files(true)?;
    let model = binary(job, chain, &parts(chain), (&looks(job), Fine::Whole));
    files.push((MODEL.to_owned(), model));
    file::write_all(folder, &files)?;
    Ok(format!(
        "wrote {} sheets and {} more files into {}; print them at 100 %",
        made.pages.len(),
        files.len() - 1,
        folder.display()
    ))
}

fn apply(
    mut actions: MessageReader<Action>,
    (session, work): (Res<Session>, Res<Work>),
    waker: Res<Waker>,
    mut sheets: ResMut<Sheets>,
) {
    for action in actions.read() {
        let Action::Sheets(ask) = action else {
            continue;
        };
        match *ask {
            Ask::To(at) => sheets.at = at,
            Ask::Step { backwards } => {
                let pages = sheets.pages().max(1);
                let step = if backwards { pages - 1 } else { 1 };
                sheets.at = (sheets.at + step) % pages;
            }
            Ask::On(paper) => sheets.paper = Some(paper),
            Ask::Near(near) => sheets.near = near,
            Ask::Wide(pixels) => sheets.wide = pixels,
            Ask::Write => {
                let made = sheets.laid.as_ref().and_then(|laid| laid.as_ref().ok());
                // Those of the job as it stands now, and of no other that was open before.
                let stands = work.set_out(session.document.text());
                let of = sheets.about.map(|((stood, _), _)| stood);
                let current = of == Some(work.stood) && !sheets.busy() && sheets.writing.is_none();
                if let Some((made, chain)) = made.filter(|_| current).cloned().zip(stands) {
                    let folder = beside(session.path.as_deref(), &session.document, "-sheets");
                    let document = session.document.clone();
                    let write = move || written(&made, (&chain, document.job()), &folder);
                    sheets.writing = Some(Errand::aside(&waker, write));
                }
            }
        }
    }
}

/// Lays them out where they are looked at, and paints the page.
fn work_out(
    showing: Res<Showing>,
    solved: Option<Res<Solved>>,
    waker: Res<Waker>,
    mut session: ResMut<Session>,
    mut sheets: ResMut<Sheets>,
) {
    if let Some(done) = sheets.writing.as_ref().and_then(Errand::answer) {
        sheets.writing = None;
        match done {
            Ok(says) => session.say(says, false),
            Err(why) => session.say(why, true),
        }
    }
    if let Some(done) = sheets.laying.as_ref().and_then(Errand::answer) {
        sheets.laying = None;
        sheets.laid = Some(done);
        sheets.at = sheets.at.min(sheets.pages().saturating_sub(1));
    }
    let done = sheets.painting.as_ref();
    if let Some((page, painted)) = done.and_then(|(page, errand)| Some((*page, errand.answer()?))) {
        sheets.painting = None;
        sheets.painted = Some((page, Arc::new(painted)));
    }
    let Some(solved) = solved.filter(|_| showing.place == Place::Sheets) else {
        return;
    };
    let wanted = (solved.origin, sheets.paper(&solved.job));
    if sheets.about != Some(wanted) {
        if sheets.laying.is_none() {
            let (found, job, paper) = (solved.found.clone(), solved.job.clone(), wanted.1);
            sheets.about = Some(wanted);
            sheets.laying = Some(Errand::aside(&waker, move || lay(&found, &job, paper)));
        }
        return;
    }
    paint_page(&mut sheets, wanted, &waker);
}

/// Paints the page that is looked at, as wide as it is shown.
fn paint_page(sheets: &mut Sheets, about: About, waker: &Waker) {
    let page = (about, sheets.at, sheets.wide);
    let there = sheets.painted.as_ref().map(|(page, _)| *page) == Some(page);
    if there || sheets.painting.is_some() || sheets.busy() || sheets.wide == 0 {
        return;
    }
    let laid = sheets.laid.as_ref().and_then(|laid| laid.as_ref().ok());
    let Some(made) = laid.filter(|made| sheets.at < made.pages.len()).cloned() else {
        return;
    };
    let (at, wide) = (sheets.at, f64::from(sheets.wide));
    let paint = move || paper::paint(&made.pages[at], wide);
    sheets.painting = Some((page, Errand::aside(waker, paint)));
}

pub(super) fn plugin(app: &mut App) {
    app.init_resource::<Sheets>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(Update, work_out.in_set(ViewerSystems::Recompute));
}

#[cfg(test)]
mod driven;
