//! `page`: the finished stair for the client, as one file that opens in any browser.

use std::path::Path;

use super::args::ClientPage;
use super::source::{self, Source};
use super::{Outcome, stock, talk};
use crate::chain::{self, Chain};
use crate::job::Job;
use crate::publish::file;
use crate::publish::heading;
use crate::publish::page::{PageOf, Priced, Shot, WayShown, page};
use crate::publish::stock::{buy_words, money};
use crate::shop::parts::{PartLine, parts};
use crate::shop::reckoning::reckon;

/// A page that is larger than this is refused by some mail servers, bytes. Common practice, no source.
const LARGE: usize = 4_000_000;

/// One way to do the job, worked out.
struct Worked {
    name: Option<String>,
    note: String,
    source: Source,
    chain: Chain,
    parts: Vec<PartLine>,
}

pub(super) fn run(command: &ClientPage) -> Outcome {
    match made(command) {
        Ok((text, outcome)) => written(&command.to, &text, outcome),
        Err(outcome) => outcome,
    }
}

fn written(to: &Path, text: &str, outcome: Outcome) -> Outcome {
    if let Err(error) = file::write_over(to, text.as_bytes()) {
        return talk::fault(&file::why(to, &error));
    }
    if text.len() > LARGE {
        talk::say(&format!(
            "the page has {:.1} MB: some mail is refused at that; fewer alternatives or pictures make \
             it smaller",
            text.len() as f64 / 1e6
        ));
    }
    talk::answer(&format!("{}\n", to.display()), outcome)
}

fn made(command: &ClientPage) -> Result<(String, Outcome), Outcome> {
    let ending = command.to.extension().and_then(|ending| ending.to_str());
    if !ending.is_some_and(|ending| ending.eq_ignore_ascii_case("html")) {
        return Err(talk::fault(&format!(
            "{} should be called something.html, so that a browser opens it",
            command.to.display()
        )));
    }
    let ways = worked(command)?;
    let Some(first) = ways.first() else {
        return Err(talk::fault("there is nothing to show"));
    };
    let (prices, outcome) = priced(command, first)?;
    let shots = if command.no_pictures {
        Vec::new()
    } else {
        shots(first.source.job())
    };
    let of = PageOf {
        ways: ways.iter().map(Worked::shown).collect(),
        prices,
        shots,
    };
    let text = page(&of).unwrap_or_default();
    Ok((text, outcome))
}

impl Worked {
    fn shown(&self) -> WayShown<'_> {
        WayShown {
            name: self.name.as_deref(),
            note: &self.note,
            job: self.source.job(),
            chain: &self.chain,
            parts: &self.parts,
        }
    }
}

/// The job as it stands and the alternatives that are shown beside it.
fn worked(command: &ClientPage) -> Result<Vec<Worked>, Outcome> {
    let whole = source::load_way(command.job.as_deref(), None)?;
    let all = whole.job().alternatives.clone();
    let mut ways = Vec::new();
    let named = |name: &String| all.iter().any(|one| one.name == *name);
    if let Some(missing) = command.alternatives.iter().find(|name| !named(name)) {
        // What is there is told as everywhere else.
        whole
            .alternative(missing)
            .map_err(|faults| source::say_faults(&faults))?;
    }
    for one in &all {
        let wanted = command.alternatives.is_empty() || command.alternatives.contains(&one.name);
        if !command.as_it_stands && wanted {
            let source = whole
                .alternative(&one.name)
                .map_err(|faults| source::say_faults(&faults))?;
            ways.push(one_way(Some(one.name.clone()), one.note.clone(), source)?);
        }
    }
    ways.insert(0, one_way(None, String::new(), whole)?);
    Ok(ways)
}

fn one_way(name: Option<String>, note: String, source: Source) -> Result<Worked, Outcome> {
    let chain = source::chain(&source)?;
    let parts = parts(&chain);
    Ok(Worked {
        name,
        note,
        source,
        chain,
        parts,
    })
}

/// Prices, where they are asked for: a client sees none by accident.
fn priced(command: &ClientPage, way: &Worked) -> Result<(Option<Priced>, Outcome), Outcome> {
    let Some(path) = &command.prices else {
        return Ok((None, Outcome::Clean));
    };
    let job = way.source.job();
    let prices = stock::read_prices(path, job).map_err(|problem| talk::fault(&problem))?;
    let fitted =
        chain::fitted(&way.chain).map_err(|error| source::say_chain_fault(&way.source, error))?;
    let reckoned = reckon(&way.chain, job, &fitted, &prices);
    let outcome = stock::say_faults(Some(path), job, &reckoned, &prices);
    let currency = prices.currency_of(job);
    let lines = reckoned.purchase.lines.iter().filter_map(|line| {
        let cost = line.cost()?;
        Some((heading(&buy_words(line, job.tape)), money(cost, currency)))
    });
    let lines: Vec<(String, String)> = lines.collect();
    let without = reckoned.purchase.without().count();
    let says = match without {
        0 => "Materials alone; the work is not in it.".to_owned(),
        1 => "Materials alone, and one of them has no price yet; the work is not in it.".to_owned(),
        some => {
            format!("Materials alone, and {some} of them have no price yet; the work is not in it.")
        }
    };
    let told = reckoned.purchase.total().map(|total| Priced {
        currency: currency.to_owned(),
        lines,
        total: money(total, currency),
        says,
    });
    Ok((told, outcome))
}

/// Pictures for a browser that shows no 3D, and for paper: the whole in each look, then in the first
/// from the door.
#[cfg(feature = "viewer")]
fn shots(job: &Job) -> Vec<Shot> {
    use std::ops::ControlFlow;

    use crate::publish::finish::looks;
    use crate::viewer::{self, Mood, PictureRequest, Viewpoint};

    /// Pixels across and down.
    const SIZE: (u32, u32) = (640, 480);
    let all = looks(job);
    let front = |look| viewer::Shot::from(Viewpoint::Front, look);
    let mut wanted: Vec<viewer::Shot> = (0..all.len()).map(front).collect();
    wanted.insert(1, viewer::Shot::from(Viewpoint::Door, 0));
    let request = PictureRequest {
        mood: Mood::Show,
        ..PictureRequest::plain(job.clone(), Viewpoint::Front, SIZE)
    };
    let mut pictures = Vec::new();
    let drawn = viewer::pictures(&request, &wanted, &mut |_, pixels| {
        pictures.push(pixels.png(false));
        ControlFlow::Continue(())
    });
    let pictures = drawn.and_then(|()| Ok(pictures.into_iter().collect::<Result<Vec<_>, _>>()?));
    match pictures {
        Ok(pictures) => {
            let shots = wanted.into_iter().zip(pictures);
            let shot = |(shot, png): (viewer::Shot, Vec<u8>)| Shot {
                way: Some(0),
                look: Some(shot.look),
                view: Some(shot.viewpoint.to_string()),
                alt: format!(
                    "The stair from {}: {}",
                    shot.viewpoint.words(),
                    all[shot.look].name
                ),
                png,
            };
            shots.map(shot).collect()
        }
        Err(error) => {
            talk::say(&format!("the page has no pictures beside its 3D: {error}"));
            Vec::new()
        }
    }
}

/// Without the window's libraries there are none; the page says the rest.
#[cfg(not(feature = "viewer"))]
fn shots(job: &Job) -> Vec<Shot> {
    let _unused = job;
    talk::say("this program was built without pictures, so the page has none beside its 3D");
    Vec::new()
}
