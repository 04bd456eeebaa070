//! One picture, and what all pictures of the command line are asked for with.

use std::ops::ControlFlow;
use std::path::PathBuf;

use super::super::args::{Mood, Picture};
use super::super::source::{self, Source};
use super::super::watch::Watch;
use super::super::{Outcome, talk};
use crate::doubt::{self, Ended, Fan, Wanted};
use crate::job::Job;
use crate::publish::{file, finish, grouped};
use crate::viewer::{self, OtherWay, PictureError, PictureRequest, Viewpoint};

/// A PNG file opens as a picture by its name.
const PNG: &str = "what is drawn is PNG, and programs open it by its name";

pub(super) fn run(picture: &Picture) -> Result<PathBuf, Outcome> {
    if let Some(wrong) = talk::wrong_ending(&picture.to, "png", PNG) {
        return Err(wrong);
    }
    let (source, mut request) = asked(picture)?;
    if picture.fan {
        request.fans = fans(picture, &source)?;
    }
    request.beside = beside(picture)?;
    let watch = Watch::new();
    let drawn = viewer::picture_told(&request, &mut |done, of| {
        watch.line(&format!(
            "look {done} of {of} through every pixel; Ctrl-C ends it"
        ))
    });
    watch.done();
    let png = drawn.map_err(|error| refused(&source, error))?;
    write(&picture.to, &png)
}

/// Writes a file, and gives its name back.
pub(super) fn write(to: &std::path::Path, bytes: &[u8]) -> Result<PathBuf, Outcome> {
    match file::write_over(to, bytes) {
        Ok(()) => Ok(to.to_owned()),
        Err(error) => Err(talk::fault(&file::why(to, &error))),
    }
}

/// Says why there is no picture.
pub(super) fn refused(source: &Source, error: PictureError) -> Outcome {
    match error {
        PictureError::Chain(error) => source::say_chain_fault(source, error),
        error => talk::fault(&error.to_string()),
    }
}

/// The job, and what is asked of a picture of it but what only a single one has.
pub(super) fn asked(picture: &Picture) -> Result<(Source, PictureRequest), Outcome> {
    let viewpoint = picture.view.parse::<Viewpoint>();
    let viewpoint = viewpoint.map_err(|problem| talk::fault(&problem))?;
    let source = source::load_way(picture.job.as_deref(), picture.alternative.as_deref())?;
    let look = look(picture, source.job())?;
    let size = (picture.size.width, picture.size.height);
    let request = PictureRequest {
        mood: match picture.mood {
            Mood::Work => viewer::Mood::Work,
            Mood::Show => viewer::Mood::Show,
        },
        look,
        ground: if picture.slate {
            viewer::Ground::Slate
        } else {
            viewer::Ground::Paper
        },
        stretch: picture.stretch,
        samples: picture.samples,
        clear: picture.clear,
        called: picture.alternative.clone().unwrap_or_else(as_it_stands),
        fit: picture.fit.as_ref().map(|newel| viewer::FitPicture {
            newel: newel.clone(),
            up: picture.lifted,
        }),
        ..PictureRequest::plain(source.job().clone(), viewpoint, size)
    };
    Ok((source, request))
}

/// Goes on drawing, or ends it where Ctrl-C was pressed.
pub(super) fn told(watch: &Watch, done: usize, of: usize) -> ControlFlow<()> {
    watch.line(&format!("picture {done} of {of}; Ctrl-C ends it"))
}

/// The number of the look that is asked for.
fn look(picture: &Picture, job: &Job) -> Result<usize, Outcome> {
    let Some(name) = &picture.look else {
        return Ok(0);
    };
    if picture.mood == Mood::Work && picture.sheet.is_none() {
        return Err(talk::fault(
            "a look is of the finished stair: add --mood show",
        ));
    }
    let looks = finish::looks(job);
    let at = looks.iter().position(|look| look.name == *name);
    at.ok_or_else(|| {
        let names: Vec<&str> = looks.iter().map(|look| look.name.as_str()).collect();
        talk::fault(&format!(
            "there is no look {name:?}; there are {}",
            names.join(", ")
        ))
    })
}

/// What the job without an alternative is called.
pub(super) fn as_it_stands() -> String {
    "as it stands".to_owned()
}

/// The way that is drawn beside it.
fn beside(picture: &Picture) -> Result<Option<OtherWay>, Outcome> {
    let Some(name) = &picture.beside else {
        return Ok(None);
    };
    let way = (!name.is_empty()).then_some(name.as_str());
    let source = source::load_way(picture.job.as_deref(), way)?;
    Ok(Some(OtherWay {
        name: way.map_or_else(as_it_stands, str::to_owned),
        job: source.job().clone(),
    }))
}

/// Where the rails may come to lie.
fn fans(picture: &Picture, source: &Source) -> Result<Vec<Fan>, Outcome> {
    if picture.mood == Mood::Show {
        return Err(talk::fault("--fan is measured: take --mood work with it"));
    }
    let chain = source::chain(source)?;
    let wanted = Wanted {
        most: picture.draws,
        // Every draw counts here, whatever its chances are.
        narrow: 0.0,
        ..Wanted::default()
    };
    let watch = Watch::new();
    let sample = doubt::sample(&chain, &wanted, &|progress| watch.tell(progress));
    watch.done();
    let Some(sample) = sample else {
        let missing = "the job has no stair of its own whose readings could be in doubt";
        return Err(talk::fault(missing));
    };
    if sample.ended == Ended::Cancelled {
        let draws = grouped(sample.draws);
        talk::say(&format!("ended early: the fan is that of {draws} draws"));
    }
    if sample.draws == 0 {
        return Err(talk::fault("no draw was finished, so there is no fan"));
    }
    Ok(sample.fans)
}
