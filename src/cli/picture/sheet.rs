//! Several pictures on one sheet: before and after, every look, every way to do the job.

use std::ops::ControlFlow;
use std::path::PathBuf;

use super::super::args::{OnSheet, Picture};
use super::super::source::{self, Source};
use super::super::watch::Watch;
use super::super::{Outcome, talk};
use super::one;
use crate::job::Finished;
use crate::publish::finish::{look_words, looks, sorts};
use crate::publish::pdf::{About, Mark, Page, write};
use crate::publish::picture_sheet::{MOST_PICTURES, Pictured, picture_sheet};
use crate::viewer::{self, Mood, PictureRequest, Shot, paint_sheet};

/// What a picture is called, and a word to it.
type Caption = (String, String);

pub(super) fn run(picture: &Picture, what: OnSheet) -> Result<PathBuf, Outcome> {
    let printed = talk::ends(&picture.to, "pdf");
    if !printed
        && let Some(wrong) =
            talk::wrong_ending(&picture.to, "png", "or .pdf; a sheet is one or the other")
    {
        return Err(wrong);
    }
    let (source, mut request) = one::asked(picture)?;
    let batches = match what {
        OnSheet::Before => before(&source, &mut request)?,
        OnSheet::Looks => every_look(&source, &mut request)?,
        OnSheet::Ways => ways(&source, &request)?,
    };
    let count: usize = batches.iter().map(|batch| batch.shots.len()).sum();
    if count > MOST_PICTURES {
        return Err(talk::fault(&format!(
            "{count} pictures are too many for a sheet; {MOST_PICTURES} fit, so give the job fewer of them"
        )));
    }
    let pictures = drawn(&source, &batches, count)?;
    let job = source.job();
    let title = if job.name.is_empty() {
        "The stair"
    } else {
        &job.name
    };
    let sheet = picture_sheet(title, job.units, &pictures);
    talk::say_boxes(std::slice::from_ref(&sheet));
    let bytes = if printed {
        let about = About {
            title: title.to_owned(),
            subject: "pictures of a stair".to_owned(),
        };
        write(&about, &[sheet]).map_err(|error| talk::fault(&error.to_string()))?
    } else {
        paint_sheet(&sheet, wide(&sheet, request.width))
            .map_err(|error| talk::fault(&error.to_string()))?
    };
    one::write(&picture.to, &bytes)
}

/// The width of a sheet, in pixels, at which its pictures keep theirs.
fn wide(sheet: &Page, picture: u32) -> u32 {
    let share = sheet.marks.iter().find_map(|mark| match mark {
        Mark::Picture { size, .. } => Some(sheet.width / size.0.max(1.0)),
        _ => None,
    });
    (f64::from(picture) * share.unwrap_or(1.0)).round() as u32
}

/// Pictures of one job with their captions.
struct Batch {
    request: PictureRequest,
    shots: Vec<Shot>,
    captions: Vec<Caption>,
}

fn drawn(source: &Source, batches: &[Batch], count: usize) -> Result<Vec<Pictured>, Outcome> {
    let watch = Watch::new();
    let mut pictures = Vec::new();
    for batch in batches {
        let request = &batch.request;
        let mut wrong = None;
        let drawn = viewer::pictures(request, &batch.shots, &mut |number, pixels| {
            match pixels.png(false) {
                Ok(png) => {
                    let (heading, says) = batch.captions[number].clone();
                    pictures.push(Pictured {
                        heading,
                        says,
                        png: png.into(),
                        size: pixels.size,
                    });
                }
                Err(error) => {
                    wrong = Some(error);
                    return ControlFlow::Break(());
                }
            }
            one::told(&watch, pictures.len(), count)
        });
        if let Err(error) = drawn {
            watch.done();
            let error = wrong.map_or(error, Into::into);
            return Err(one::refused(source, error));
        }
    }
    watch.done();
    Ok(pictures)
}

/// The sorts of parts that a job's stair has, to tell a look by.
fn has(source: &Source) -> Result<Vec<Finished>, Outcome> {
    let chain = source::chain(source)?;
    Ok(sorts(chain.solids.parts.iter().map(|part| part.kind)))
}

/// The framing as it is found, and the stair in the look that is asked for.
fn before(source: &Source, request: &mut PictureRequest) -> Result<Vec<Batch>, Outcome> {
    request.mood = Mood::Show;
    let look = looks(source.job()).swap_remove(request.look);
    let after = look_words(&look, &has(source)?);
    let shot = Shot::from(request.viewpoint.clone(), request.look);
    let found = Batch {
        request: PictureRequest {
            framing: true,
            ..request.clone()
        },
        shots: vec![shot.clone()],
        captions: vec![(
            "As found".to_owned(),
            "The framing and the steps as they were measured.".to_owned(),
        )],
    };
    let done = Batch {
        request: request.clone(),
        shots: vec![shot],
        captions: vec![(format!("Finished: {}", look.name), after)],
    };
    Ok(vec![found, done])
}

/// Every look of the job.
fn every_look(source: &Source, request: &mut PictureRequest) -> Result<Vec<Batch>, Outcome> {
    request.mood = Mood::Show;
    let all = looks(source.job());
    let has = has(source)?;
    let says: Vec<String> = all.iter().map(|look| look_words(look, &has)).collect();
    let shot = |at: usize| Shot::from(request.viewpoint.clone(), at);
    Ok(vec![Batch {
        shots: (0..all.len()).map(shot).collect(),
        captions: all.into_iter().map(|look| look.name).zip(says).collect(),
        request: request.clone(),
    }])
}

/// The job as it stands, and each of its alternatives.
fn ways(source: &Source, request: &PictureRequest) -> Result<Vec<Batch>, Outcome> {
    let alternatives = source.job().alternatives.clone();
    if alternatives.is_empty() {
        let none =
            "this job has no alternatives to put beside it; `alternatives` in the job names them";
        return Err(talk::fault(none));
    }
    let batch = |job, caption: Caption| Batch {
        request: PictureRequest {
            job,
            ..request.clone()
        },
        shots: vec![Shot::from(request.viewpoint.clone(), request.look)],
        captions: vec![caption],
    };
    let mut all = vec![batch(
        source.job().clone(),
        ("As it stands".to_owned(), String::new()),
    )];
    for one in alternatives {
        let way = source
            .alternative(&one.name)
            .map_err(|faults| source::say_faults(&faults))?;
        all.push(batch(way.job().clone(), (one.name, one.note)));
    }
    Ok(all)
}
