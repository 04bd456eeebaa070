//! Structured random jobs, and the whole chain on one of them.
//!
//! A job begins as one of the shipped scenes, and then values of it are changed: lengths and numbers to
//! others of their kind, likely and not; choices to other words of the file; items of lists doubled,
//! taken out or taken from elsewhere. So most are jobs, and few are stairs that anybody would build.

use arbitrary::Arbitrary;

use rakewell::chain::{self, Chain};
use rakewell::explain::worst;
use rakewell::inspect::walls;
use rakewell::job::spans::{Body, Node, Spans};
use rakewell::job::{Document, STARTERS};
use rakewell::publish::full_size;
use rakewell::publish::json;
use rakewell::publish::paper::PaperSize;
use rakewell::publish::parts::parts_csv;
use rakewell::publish::shop::csv_tables;
use rakewell::publish::site_sheets::{self, of_stair};
use rakewell::publish::{Report, Told};
use rakewell::shop::cuts::cut_list;
use rakewell::shop::fastening::schedule;
use rakewell::shop::marks::marks;
use rakewell::shop::parts::parts;
use rakewell::shop::pole::poles;
use rakewell::shop::prices::Prices;
use rakewell::shop::reckoning::reckon;
use rakewell::shop::templates::templates;

use crate::{Bounds, debugged, held, told};

const DEMOS: [&str; 3] = [
    include_str!("../../../demo-scenes/quarry-lane.ron"),
    include_str!("../../../demo-scenes/mill-row.ron"),
    include_str!("../../../demo-scenes/weir-cottage.ron"),
];

/// A job as a scene and what is changed of it.
#[derive(Arbitrary, Clone, Debug)]
pub struct Edited {
    scene: u8,
    /// Which outputs are made of it, a bit each.
    pub outputs: u8,
    edits: Vec<Edit>,
}

/// One change, at a value of the text as it stands by then.
#[derive(Arbitrary, Clone, Debug)]
struct Edit {
    at: u16,
    what: What,
}

#[derive(Arbitrary, Clone, Debug)]
enum What {
    /// The number or length moved by thousandths of itself.
    Scaled(i16),
    /// The length in place, in 1/16 in.
    Sixteenths(i16),
    /// The number in place.
    Number(i16),
    /// A small count in place.
    Count(u8),
    /// Something that is not likely.
    Odd(u8),
    /// Another value of the text in its place.
    Other(u16),
    /// The item once more.
    Doubled,
    /// The item taken out.
    Gone,
}

const ODD: [&str; 16] = [
    "0",
    "-0",
    "\"0\"",
    "\"-0\"",
    "1e308",
    "\"1/64\"",
    "\"0.0001 mm\"",
    "\"1000000 mm\"",
    "\"60\"",
    "\"-60\"",
    "4294967295",
    "[]",
    "()",
    "Left",
    "Right",
    "\"\"",
];

/// Every item of every list and every value of every field, outermost first.
fn items<'n>(node: &'n Node, all: &mut Vec<&'n Node>, whole: &mut Vec<std::ops::Range<usize>>) {
    let Some(group) = node.group() else { return };
    for item in &group.items {
        all.push(&item.value);
        let end = item
            .comma
            .map_or(item.span().range().end, |comma| comma.range().end);
        whole.push(item.span().range().start..end);
        items(&item.value, all, whole);
    }
}

impl Edited {
    /// The text of the job.
    #[must_use]
    pub fn text(&self) -> String {
        let starters = STARTERS.iter().map(|starter| starter.text);
        let scenes: Vec<&str> = starters.chain(DEMOS).collect();
        let mut text = scenes[usize::from(self.scene) % scenes.len()].to_owned();
        for edit in self.edits.iter().take(24) {
            if let Some(changed) = changed(&text, edit) {
                text = changed;
            }
        }
        text
    }
}

fn changed(text: &str, edit: &Edit) -> Option<String> {
    let spans = Spans::index(text).ok()?;
    let root = spans.node(text, "")?;
    let (mut all, mut whole) = (Vec::new(), Vec::new());
    items(root, &mut all, &mut whole);
    let at = usize::from(edit.at) % all.len().max(1);
    let (node, item) = (all.get(at)?, whole.get(at)?.clone());
    let bytes = node.span.range();
    let is = text.get(bytes.clone())?;
    let put = |value: &str| {
        Some(format!(
            "{}{value}{}",
            &text[..bytes.start],
            &text[bytes.end..]
        ))
    };
    let number = || is.trim_matches('"').trim().parse::<f64>().ok();
    match &edit.what {
        What::Scaled(by) => {
            let value = number()? * (1.0 + f64::from(*by) / 1000.0);
            put(&like(&node.body, &format!("{value:.4}")))
        }
        What::Sixteenths(count) => put(&format!("\"{}\"", f64::from(*count) / 16.0)),
        What::Number(value) => put(&like(&node.body, &value.to_string())),
        What::Count(count) => put(&(count % 64).to_string()),
        What::Odd(which) => put(ODD[usize::from(*which) % ODD.len()]),
        What::Other(other) => {
            let other = all.get(usize::from(*other) % all.len())?;
            put(text.get(other.span.range())?)
        }
        What::Doubled => {
            let once = text.get(item.clone())?;
            let comma = if once.ends_with(',') { "" } else { "," };
            Some(format!(
                "{}{once}{comma}{}",
                &text[..item.start],
                &text[item.start..]
            ))
        }
        What::Gone => Some(format!("{}{}", &text[..item.start], &text[item.end..])),
    }
}

/// A number as the value that was there is written.
fn like(body: &Body, number: &str) -> String {
    match body {
        Body::Text => format!("\"{number}\""),
        _ => number.to_owned(),
    }
}

/// The chain on a job, and what is asked of it.
///
/// # Panics
/// Past the bounds, and where a number is none.
pub fn chain(document: &Document, outputs: u8) {
    let job = document.job();
    let made = held(Bounds::mib(256), || chain::run(job));
    let chain = match made {
        Ok(chain) => chain,
        Err(error) => {
            assert!(!error.problem.is_empty());
            let faults = document.fault(&error.path, error.problem, error.help);
            assert!(!faults.render(false).is_empty());
            return;
        }
    };
    debugged(
        "setout",
        &chain.runs.iter().map(|run| &run.setout).collect::<Vec<_>>(),
    );
    debugged("inspection", &chain.inspection);
    debugged("estimates", &chain.estimates());
    let asked = |bit: u8| outputs & (1 << bit) != 0;
    if asked(0) {
        survey(document, &chain);
    }
    if asked(1) {
        shop(document, &chain);
    }
    if asked(2) {
        let fitted = chain::fitted(&chain).unwrap_or_default();
        told("setout.json", &json::setout(job, &chain, &fitted, &[]));
        let bare = chain.inspection.troubles();
        let bare = Told::each(&bare, vec![Default::default(); bare.len()]);
        let report = Report {
            job,
            chain: &chain,
            troubles: &bare,
        };
        told("inspect.json", &json::inspect(&report));
    }
    // These cost a hundred runs of the chain or more: seldom.
    if outputs & 0xf8 == 0xf8 {
        let troubles = chain.inspection.troubles();
        let first = &troubles[..troubles.len().min(1)];
        let told_all = Told::each(first, worst(&chain, first));
        debugged("explanation", &told_all);
        let report = Report {
            job,
            chain: &chain,
            troubles: &told_all,
        };
        told("inspect.json", &json::inspect(&report));
    }
    if outputs & 0x78 == 0x70 {
        printed(document, &chain);
    }
}

fn survey(document: &Document, chain: &Chain) {
    for run in &chain.runs {
        let Some(survey) = run.survey.as_deref() else {
            continue;
        };
        let Some(doubt) = rakewell::doubt::first_order(run, &chain.pack) else {
            continue;
        };
        let walls = walls::walls(&run.run.job, &run.site, &run.setout, &survey.adjustment);
        let corners = walls::corners(&run.site, &survey.adjustment);
        let of_run = json::SurveyTold {
            survey,
            doubt: &doubt,
            run: &run.run.name,
            walls: &walls,
            corners: &corners,
        };
        debugged("survey", &of_run);
        told("survey.json", &json::survey(document, &[of_run]));
    }
}

fn shop(document: &Document, chain: &Chain) {
    let job = document.job();
    let (list, joints, marked) = held(Bounds::mib(256), || {
        (cut_list(chain), schedule(chain), marks(chain))
    });
    debugged("cuts", &list);
    debugged("marks", &marked);
    told(
        "cuts.json",
        &json::cuts(job, chain, &list, &joints, &marked),
    );
    for table in csv_tables(&list, &joints, &marked, job.tape) {
        let text = table.text().expect("a table has as many cells in each row");
        told(table.name, &String::from_utf8_lossy(&text));
    }
    let lines = parts(chain);
    debugged("parts", &lines);
    told("parts.json", &json::parts(job, chain, &lines));
    let table = parts_csv(chain, &lines, job.tape).text().expect("a table");
    told("parts.csv", &String::from_utf8_lossy(&table));
    debugged("templates", &templates(chain));
    debugged("poles", &poles(chain));
    if let Ok(fitted) = chain::fitted(chain) {
        debugged("fitted", &fitted);
        let prices = Prices::default();
        // Boards are planned within a time of their own.
        let reckoned = reckon(chain, job, &fitted, &prices);
        debugged("stock", &reckoned);
        told("stock.json", &json::stock(job, &reckoned, &prices));
    }
}

fn printed(document: &Document, chain: &Chain) {
    let job = document.job();
    let options = site_sheets::Options {
        paper: PaperSize::usual(job.units),
        margin: 10.0,
        only: Vec::new(),
    };
    if let Ok((made, _)) = of_stair(chain, job, &Prices::default(), &options) {
        for (name, bytes) in made.files(true).expect("they are made") {
            if !name.ends_with(".pdf") {
                told(&name, &String::from_utf8_lossy(&bytes));
            }
        }
    }
    let options = full_size::Options {
        paper: PaperSize::usual(job.units),
        margin: 10.0,
        tape: job.tape,
    };
    for template in templates(chain) {
        let (drawn, _) = full_size::svg(&job.name, &template, options.tape);
        told("template.svg", &drawn);
    }
    let lines = parts(chain);
    told(
        "model.ifc",
        &rakewell::publish::building::building(job, chain, &lines),
    );
}
