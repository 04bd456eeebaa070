//! `templates` and `pole`: full-size templates and the story pole, on paper and as lists.

use std::path::Path;

use super::args::{OnPaper, Pole, Templates};
use super::page::{Page, Push};
use super::source::Source;
use super::{Outcome, source, talk};
use crate::chain::Chain;
use crate::measure::Tape;
use crate::publish::file;
use crate::publish::full_size::{
    self, Options, TEMPLATE_CAUTION, TemplateFile, files, mark_words, print_pole, title,
};
use crate::publish::json;
use crate::publish::paper::PaperError;
use crate::shop::pole::{PoleMark, StoryPole, poles};
use crate::shop::templates::{Template, templates};

fn loaded(
    job: Option<&Path>,
    alternative: Option<&str>,
    on: &OnPaper,
) -> Result<(Source, Chain), Outcome> {
    let source = source::load_way(job, alternative)?.on_tape(on.tape.map(Tape::from));
    let chain = source::chain(&source)?;
    Ok((source, chain))
}

fn options(source: &Source, on: &OnPaper) -> Options {
    let (paper, margin) = on.or_usual(source.job().units);
    Options {
        paper,
        margin,
        tape: source.job().tape,
    }
}

fn will_not_do(error: &PaperError) -> Outcome {
    talk::fault(&error.to_string())
}

/// Writes the templates, or tells what there are.
pub(super) fn templates_of(command: &Templates) -> Outcome {
    let alternative = command.alternative.as_deref();
    let (source, chain) = match loaded(command.job.as_deref(), alternative, &command.on) {
        Ok(loaded) => loaded,
        Err(outcome) => return outcome,
    };
    let options = options(&source, &command.on);
    let all = templates(&chain);
    let wanted = match &command.only {
        Some(name) => only(&all, name),
        None => all.clone(),
    };
    if wanted.is_empty() {
        return talk::fault(&none(&all, command.only.as_deref()));
    }
    let job = &source.job().name;
    let made = match files(job, &wanted, &options) {
        Ok(made) => made,
        Err(error) => return will_not_do(&error),
    };
    let pages = made.iter().flat_map(|one| one.printed.pages.clone());
    talk::say_boxes(&pages.collect::<Vec<_>>());
    if let Some(folder) = &command.to
        && let Err(outcome) = write(folder, job, &made, command.svg, options.tape)
    {
        return outcome;
    }
    let text = if command.json {
        json::templates(job, &made, &options)
    } else {
        listed(job, &made, command.to.as_deref())
    };
    talk::answer(&text, Outcome::Clean)
}

/// Those of a name, a part or what is fitted, whatever the case of its letters.
fn only(all: &[Template], name: &str) -> Vec<Template> {
    let is = |text: &str| text.eq_ignore_ascii_case(name);
    let wanted = |one: &&Template| is(&one.name) || is(&one.part) || is(&one.fits);
    // What has no part, or fits none, is not meant by no name.
    let named = !name.trim().is_empty();
    all.iter()
        .filter(|one| named && wanted(one))
        .cloned()
        .collect()
}

fn none(all: &[Template], only: Option<&str>) -> String {
    let names: Vec<&str> = all.iter().map(|one| one.name.as_str()).collect();
    match only {
        Some(name) => format!(
            "there is no template {}; there are {}. A part such as {} does too",
            if name.trim().is_empty() {
                "without a name"
            } else {
                name
            },
            names.join(", "),
            all.iter()
                .map(|one| one.part.as_str())
                .find(|part| !part.is_empty())
                .unwrap_or("T1"),
        ),
        None => "this stair asks for no template".to_owned(),
    }
}

fn write(
    folder: &Path,
    job: &str,
    made: &[TemplateFile],
    svg: bool,
    tape: Tape,
) -> Result<(), Outcome> {
    let mut files = Vec::new();
    let mut sheets = 0;
    for one in made {
        let bytes = one
            .printed
            .pdf()
            .map_err(|error| talk::fault(&error.to_string()))?;
        files.push((format!("{}.pdf", one.name), bytes));
        sheets += one.printed.pages.len();
        if svg {
            for (at, template) in one.templates.iter().enumerate() {
                let (text, _) = full_size::svg(job, template, tape);
                files.push((full_size::svg_name(one, at), text.into_bytes()));
            }
        }
    }
    file::write_all(folder, &files).map_err(|why| talk::fault(&why))?;
    talk::say(&format!(
        "wrote {} files, {sheets} sheets, into {}; print them at 100 %, without fitting to the page",
        made.len(),
        folder.display()
    ));
    Ok(())
}

fn listed(job: &str, made: &[TemplateFile], to: Option<&Path>) -> String {
    let mut page = Page::default();
    page.heading(&format!("{job}: full-size templates"));
    page.wrapped("", TEMPLATE_CAUTION);
    page.space();
    let mut rows = vec![["file", "what", "sheets"].map(str::to_owned).to_vec()];
    rows.extend(made.iter().map(|one| {
        let what = match one.templates.as_slice() {
            [only] => title(only),
            several => format!("{} angle gauges", several.len()),
        };
        vec![one.name.clone(), what, one.printed.pages.len().to_string()]
    }));
    page.table(2, &[Push::Left, Push::Left, Push::Right], &rows);
    if to.is_none() {
        page.space();
        page.wrapped(
            "",
            "With --to FOLDER they are written there as PDF, with --svg as SVG too.",
        );
    }
    page.text()
}

/// Writes the story pole, and tells its marks.
pub(super) fn pole(command: &Pole) -> Outcome {
    let to = command.to.as_deref();
    let wrong = to.and_then(|to| talk::wrong_ending(to, "pdf", "the pole is printed as PDF alone"));
    if let Some(outcome) = wrong {
        return outcome;
    }
    let alternative = command.alternative.as_deref();
    let (source, chain) = match loaded(command.job.as_deref(), alternative, &command.on) {
        Ok(loaded) => loaded,
        Err(outcome) => return outcome,
    };
    let options = options(&source, &command.on);
    let job = &source.job().name;
    let poles = poles(&chain);
    let printed = match print_pole(job, &poles, &options) {
        Ok(printed) => printed,
        Err(error) => return will_not_do(&error),
    };
    talk::say_boxes(&printed.printed.pages);
    if let Some(to) = &command.to {
        let bytes = match printed.printed.pdf() {
            Ok(bytes) => bytes,
            Err(error) => return talk::fault(&error.to_string()),
        };
        if let Err(error) = file::write_over(to, &bytes) {
            return talk::fault(&file::why(to, &error));
        }
        talk::say(&format!(
            "wrote {}: {} sheets; print it at 100 %, without fitting to the page",
            to.display(),
            printed.printed.pages.len()
        ));
    }
    let text = if command.json {
        json::pole(job, &poles, &printed, &options)
    } else {
        told(job, &poles, options.tape)
    };
    talk::answer(&text, Outcome::Clean)
}

fn told(job: &str, poles: &[StoryPole], tape: Tape) -> String {
    let mut page = Page::default();
    page.heading(&format!("{job}: story pole"));
    page.wrapped(
        "",
        "Every mark is read from the pole's lower end. Heights are on the baluster line: where a \
         tread is out of level, its ends differ.",
    );
    for pole in poles {
        let run = if poles.len() > 1 {
            format!("Run {}, ", pole.run)
        } else {
            String::new()
        };
        page.heading(&format!(
            "{run}plumb pole: stands on the finished floor, of a flight at its first kick"
        ));
        write_marks(&mut page, &pole.plumb, tape);
        page.heading(&format!(
            "{run}raking pole: lies along the nosings, at {}",
            pole.pitch.angle().print_degrees(1)
        ));
        write_marks(&mut page, &pole.raking, tape);
    }
    page.text()
}

fn write_marks(page: &mut Page, marks: &[PoleMark], tape: Tape) {
    let rows: Vec<Vec<String>> = marks
        .iter()
        .map(|mark| vec![mark_words(mark), tape.print(mark.at)])
        .collect();
    page.table(2, &[Push::Left, Push::Right], &rows);
}
