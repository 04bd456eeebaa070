//! Full-size sheets: what they claim as JSON, and the PDF and SVG themselves for others to read.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use rakewell::chain::{self, Chain};
use rakewell::explain::Explanation;
use rakewell::job::Job;
use rakewell::measure::{Tape, Unit, with_default_unit};
use rakewell::publish::full_size::{MARGIN, Options, files, print_pole, svg, svg_name};
use rakewell::publish::json as publish_json;
use rakewell::publish::paper::PaperSize;
use rakewell::publish::site_sheets::{self, site_sheets};
use rakewell::publish::{Report, Told};
use rakewell::shop::pole::poles;
use rakewell::shop::prices::Prices;
use rakewell::shop::reckoning::reckon;
use rakewell::shop::templates::templates;
use serde::Deserialize;
use serde_json::{Map, Value, json};

#[derive(Deserialize)]
struct Case {
    job: Value,
    paper: String,
}

pub(super) fn answer(case: Value) -> Result<Value, String> {
    let case: Case = serde_json::from_value(case).map_err(|error| error.to_string())?;
    let job: Job = with_default_unit(Unit::Millimetres, || serde_json::from_value(case.job))
        .map_err(|error| error.to_string())?;
    let options = Options {
        paper: PaperSize::named(&case.paper).ok_or("no such paper")?,
        margin: MARGIN,
        tape: Tape::Millimetres,
    };
    let chain = chain::run(&job).map_err(|error| format!("{error:?}"))?;
    let told = |error: &dyn std::fmt::Display| error.to_string();
    let made = files("a case", &templates(&chain), &options).map_err(|error| told(&error))?;
    let claimed = publish_json::templates("a case", &made, &options);
    let mut written = Map::new();
    for one in &made {
        let bytes = one.printed.pdf().map_err(|error| told(&error))?;
        written.insert(format!("{}.pdf", one.name), json!(STANDARD.encode(bytes)));
        for (at, template) in one.templates.iter().enumerate() {
            let (text, _) = svg("a case", template, options.tape);
            written.insert(svg_name(one, at), json!(text));
        }
    }
    let poles = poles(&chain);
    let printed = print_pole("a case", &poles, &options).map_err(|error| told(&error))?;
    let pole = publish_json::pole("a case", &poles, &printed, &options);
    let bytes = printed.printed.pdf().map_err(|error| told(&error))?;
    written.insert("pole.pdf".to_owned(), json!(STANDARD.encode(bytes)));
    let value = |text: &str| serde_json::from_str::<Value>(text).map_err(|error| error.to_string());
    // The dry fit of the same newels, which says how long each line to knife is.
    let fits = job.design.newels.iter().map(|newel| {
        let fits = chain::dry_fits(&chain, &newel.name);
        value(&publish_json::dry_fit(&job, &chain, &newel.name, &fits))
    });
    let site = site(&job, &chain, options.paper)?;
    Ok(json!({
        "site": site,
        "templates": value(&claimed)?,
        "pole": value(&pole)?,
        "files": written,
        "fits": fits.collect::<Result<Vec<_>, _>>()?,
    }))
}

/// The site sheets: what they claim, their PDF and every table.
fn site(job: &Job, chain: &Chain, paper: PaperSize) -> Result<Value, String> {
    let found = chain.inspection.troubles();
    let troubles = Told::each(&found, vec![Explanation::default(); found.len()]);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    let fitted = chain::fitted(chain).map_err(|error| format!("{error:?}"))?;
    let prices = Prices::default();
    let reckoned = reckon(chain, job, &fitted, &prices);
    let told = site_sheets::Told {
        report: &report,
        fitted: &fitted,
        reckoned: &reckoned,
        prices: &prices,
    };
    let options = site_sheets::Options {
        paper,
        margin: MARGIN,
        only: Vec::new(),
    };
    let made = site_sheets(&told, &options).map_err(|error| error.to_string())?;
    let pdf = made.pdf().map_err(|error| error.to_string())?;
    let mut tables = Map::new();
    for one in &made.tables {
        let text = one.table.text().map_err(|error| error.to_string())?;
        let text = String::from_utf8(text).map_err(|error| error.to_string())?;
        tables.insert(one.name().to_owned(), json!(text));
    }
    let claimed = publish_json::sheets("a case", &made, &options);
    let claimed: Value = serde_json::from_str(&claimed).map_err(|error| error.to_string())?;
    Ok(json!({ "claimed": claimed, "pdf": STANDARD.encode(pdf), "tables": tables }))
}

/// A plumb flight: its PDF files begin as PDF files do.
pub(super) fn check_built_in_case() {
    let case = json!({
        "paper": "letter",
        "job": {
            "format": 1, "units": "Millimetres",
            "flight": {
                "open_side": "Left", "count": 4, "rise": 180, "going": 254, "width": 900,
                "overhang": 19.05, "tread_thickness": 27, "kick_thickness": 19, "edge": 57,
            },
            "design": {
                "rules": "us-residential-2021",
                "newels": [
                    { "name": "N1", "section": { "Square": 89 }, "height": 1200,
                      "stands": { "Displaces": { "step": 1, "balusters": 1 } } },
                    { "name": "N2", "section": { "Square": 89 }, "height": 1200,
                      "stands": { "Displaces": { "step": 3, "balusters": 0 } } },
                ],
                "rail": { "name": "R1", "width": 57, "depth": 60, "height": 910,
                          "lower": { "Newel": "N1" }, "upper": { "Newel": "N2" } },
                "balusters": { "section": { "Square": 31.75 }, "spacing": { "PerTread": { "count": 2 } },
                               "peg": 19, "peg_diameter": 16, "edge_distance": 5, "seat": 12 },
            },
        },
    });
    let answer = answer(case).unwrap();
    let files = answer["files"].as_object().unwrap();
    assert!(files.len() > 8);
    for (name, text) in files {
        let text = text.as_str().unwrap();
        if name.ends_with(".pdf") {
            assert!(
                STANDARD.decode(text).unwrap().starts_with(b"%PDF-"),
                "{name}"
            );
        } else {
            assert!(text.starts_with("<svg "), "{name}");
        }
    }
}
