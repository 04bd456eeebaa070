//! The stages, from the file to the page.

use rakewell::chain::{self, Chain};
use rakewell::explain::{Asked, Explanation, Reasons};
use rakewell::inspect::ball::{Asked as AskedBall, largest_ball};
use rakewell::inspect::{self, Kind};
use rakewell::job::{Job, Stands};
use rakewell::measure::{Length, Typed};
use rakewell::publish::finish::looks;
use rakewell::publish::gltf::{Fine, binary};
use rakewell::publish::page::{PageOf, WayShown, page};
use rakewell::publish::paper::PaperSize;
use rakewell::publish::site_sheets::{self, Options, SiteSheets, of_stair, site_sheets};
use rakewell::publish::{Report, Told};
use rakewell::setout::{Choices, Limits, solve_stair};
use rakewell::shop::cuts::pieces;
use rakewell::shop::marks::marks;
use rakewell::shop::parts::parts;
use rakewell::shop::prices::Prices;
use rakewell::shop::reckoning::reckon;
use rakewell::shop::stock::{blanks, plans};
use rakewell::{site, survey};

use crate::doubt;
use crate::gauge::{Taken, timed};
use crate::made::Made;
use crate::stairs::{Size, document, text};
use crate::tower::half_turn;

/// One stage.
pub(crate) struct Stage {
    pub(crate) name: &'static str,
    /// The stairs that it is measured on.
    pub(crate) sizes: &'static [Size],
    pub(crate) time: fn(Size) -> Taken,
}

const EVERY: &[Size] = &Size::ALL;
const DEMO: &[Size] = &[Size::Demo];

/// All of them, as the data flows.
pub(crate) fn all() -> Vec<Stage> {
    let stage = |name, sizes, time| Stage { name, sizes, time };
    vec![
        stage("reading the file", EVERY, reading as fn(Size) -> Taken),
        stage("survey", EVERY, surveyed),
        stage("site", EVERY, placed),
        stage("set-out", EVERY, set_out),
        stage("a newel moved: set out again", DEMO, moved),
        stage("solids", EVERY, solids),
        stage("clashes", EVERY, clashes),
        stage("openings, what bounds them", EVERY, bounded),
        stage("openings, their balls on one thread", EVERY, balls),
        stage("inspection without balls", EVERY, without_balls),
        stage("inspection, all of it", EVERY, inspection),
        stage("the chain, file to troubles", EVERY, whole),
        stage("because of one opening", EVERY, because),
        stage("reasons for all numbers, gathered", EVERY, gathered),
        stage("cuts", EVERY, cuts),
        stage("marks", EVERY, marked),
        stage("boards planned", EVERY, stock),
        stage("sheets laid out", EVERY, sheets),
        stage("sheets written as PDF", EVERY, written),
        stage("sheets, all with troubles explained", EVERY, all_sheets),
        stage("finished model (glTF)", EVERY, model),
        stage("client's page without pictures", EVERY, client),
        stage("a draw: laid out", DEMO, doubt::laid),
        stage("a draw: inspected, balls decided", DEMO, doubt::decided),
        stage("a draw: inspected, balls gauged", DEMO, doubt::gauged),
        stage("a draw: inspected, balls measured", DEMO, doubt::measured),
        stage("10,000 draws, two threads", DEMO, doubt::whole),
    ]
}

fn reading(size: Size) -> Taken {
    let text = text(&size.job());
    timed(|| document(&text))
}

fn surveyed(size: Size) -> Taken {
    let runs = chain::runs_of(&size.job());
    timed(|| {
        let all = runs.iter().map(|run| survey::survey(&run.job));
        all.collect::<Vec<_>>()
    })
}

fn placed(size: Size) -> Taken {
    let made = Made::of(&size.job());
    let estimates = made.chain.estimates();
    timed(|| {
        let runs = made.runs.iter().zip(&estimates);
        let sites = runs.map(|(run, found)| site::build(&run.job, found));
        site::place(&made.runs, sites.collect())
    })
}

fn set_out(size: Size) -> Taken {
    let made = Made::of(&size.job());
    let runs = made.runs.iter();
    let limits: Vec<Limits> = runs
        .map(|run| inspect::limits(&made.chain.pack, &run.job))
        .collect();
    let none: [Choices; 0] = [];
    timed(|| solve_stair(&made.runs, &made.laid.placed, &limits, &none))
}

/// On a half turn, whatever the size: its second newel a quarter of an inch on.
fn moved(_: Size) -> Taken {
    let made = Made::of(&half_turn());
    let mut runs = made.runs.clone();
    let mut job = runs[0].job.clone();
    if let Stands::Displaces { move_by, .. } = &mut job.design.newels[1].stands {
        *move_by = Typed {
            value: Length::inches(0.25),
            text: "1/4".to_owned(),
        };
    }
    runs[0] = runs[0].with(job).into();
    let estimates = made.chain.estimates();
    timed(|| chain::lay(&runs, &estimates, &[], &made.chain.pack))
}

fn solids(size: Size) -> Taken {
    let made = Made::of(&size.job());
    timed(|| made.laid.solids(&made.runs))
}

fn clashes(size: Size) -> Taken {
    let made = Made::of(&size.job());
    timed(|| inspect::clash::clashes(&made.chain.solids))
}

fn bounded(size: Size) -> Taken {
    let made = Made::of(&size.job());
    timed(|| made.bounded())
}

fn balls(size: Size) -> Taken {
    let made = Made::of(&size.job());
    let bounded = made.bounded();
    timed(|| {
        let ball = |one: &inspect::Bounded| {
            let pieces: Vec<_> = one.pieces.iter().collect();
            largest_ball(
                &pieces,
                &one.cell,
                &AskedBall::usual(Some(one.limit.as_mm())),
            )
        };
        bounded.iter().map(ball).collect::<Vec<_>>()
    })
}

fn without_balls(size: Size) -> Taken {
    let made = Made::of(&size.job());
    let none = made.no_openings();
    timed(|| made.without_balls(&none))
}

fn inspection(size: Size) -> Taken {
    let Made {
        chain,
        runs,
        surveys,
        laid,
    } = Made::of(&size.job());
    timed(|| laid.inspection(&runs, &surveys, &chain.solids, &chain.pack))
}

fn whole(size: Size) -> Taken {
    let text = text(&size.job());
    timed(|| chain_of(document(&text).job()))
}

fn chain_of(job: &Job) -> Chain {
    chain::run(job).expect("the stair can be set out")
}

/// An opening asks most of the chain, as a ball is sought each time: the first one in trouble, else the
/// first.
fn because(size: Size) -> Taken {
    let chain = chain_of(&size.job());
    let openings = || {
        chain
            .inspection
            .findings
            .iter()
            .filter(|one| one.key.kind == Kind::Opening)
    };
    let mut troubles = openings().filter(|one| one.is_trouble());
    let finding = troubles.next().or_else(|| openings().next());
    let asked = Asked::Finding(finding.expect("the stair has openings").key.clone());
    timed(|| Reasons::of(&chain).because(&chain, &asked))
}

fn gathered(size: Size) -> Taken {
    let chain = chain_of(&size.job());
    timed(|| Reasons::of(&chain))
}

fn cuts(size: Size) -> Taken {
    let chain = chain_of(&size.job());
    timed(|| pieces(&chain))
}

fn marked(size: Size) -> Taken {
    let chain = chain_of(&size.job());
    timed(|| marks(&chain))
}

fn stock(size: Size) -> Taken {
    let job = size.job();
    let pieces = blanks(&chain_of(&job));
    timed(|| plans(pieces.clone(), &job.shop, &Prices::default(), 0))
}

fn options() -> Options {
    Options::on(PaperSize::named("letter").expect("a paper by its name"))
}

/// Everything but the explanations.
fn laid_out(job: &Job, chain: &Chain) -> SiteSheets {
    let found = chain.inspection.troubles();
    let troubles = Told::each(&found, vec![Explanation::default(); found.len()]);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    let fitted = chain::fitted(chain).expect("the stair can be bedded");
    let prices = Prices::default();
    let reckoned = reckon(chain, job, &fitted, &prices);
    let told = site_sheets::Told {
        report: &report,
        fitted: &fitted,
        reckoned: &reckoned,
        prices: &prices,
    };
    site_sheets(&told, &options()).expect("the paper is large enough")
}

fn sheets(size: Size) -> Taken {
    let job = size.job();
    let chain = chain_of(&job);
    timed(|| laid_out(&job, &chain))
}

fn written(size: Size) -> Taken {
    let job = size.job();
    let made = laid_out(&job, &chain_of(&job));
    timed(|| made.pdf())
}

fn all_sheets(size: Size) -> Taken {
    let job = size.job();
    let chain = chain_of(&job);
    timed(|| {
        let (made, _) =
            of_stair(&chain, &job, &Prices::default(), &options()).expect("it has sheets");
        made.files(true)
    })
}

fn model(size: Size) -> Taken {
    let job = size.job();
    let chain = chain_of(&job);
    let parts = parts(&chain);
    timed(|| binary(&job, &chain, &parts, (&looks(&job), Fine::Whole)))
}

fn client(size: Size) -> Taken {
    let job = size.job();
    let chain = chain_of(&job);
    timed(|| {
        let parts = parts(&chain);
        page(&PageOf {
            ways: vec![WayShown {
                name: None,
                note: "",
                job: &job,
                chain: &chain,
                parts: &parts,
            }],
            prices: None,
            shots: Vec::new(),
        })
    })
}
