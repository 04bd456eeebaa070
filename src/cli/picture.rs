//! `picture`: the stair drawn to a PNG file.

use super::args::Picture;
use super::{Outcome, talk};

#[cfg(not(feature = "viewer"))]
pub(super) fn run(picture: &Picture) -> Outcome {
    let _unused = picture;
    talk::fault(
        "this program was built without pictures; `cargo build` without --no-default-features \
         builds them",
    )
}

#[cfg(feature = "viewer")]
pub(super) fn run(picture: &Picture) -> Outcome {
    use super::source;
    use crate::publish::file;
    use crate::viewer::{self, PictureError, PictureRequest};

    let viewpoint = match picture.view.parse::<viewer::Viewpoint>() {
        Ok(viewpoint) => viewpoint,
        Err(problem) => return talk::fault(&problem),
    };
    let loaded = source::load_way(picture.job.as_deref(), picture.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source,
        Err(outcome) => return outcome,
    };
    let look = match look(picture, source.job()) {
        Ok(look) => look,
        Err(outcome) => return outcome,
    };
    let beside = match beside(picture) {
        Ok(beside) => beside,
        Err(outcome) => return outcome,
    };
    let fans = if picture.fan {
        match fans(picture, &source) {
            Ok(fans) => fans,
            Err(outcome) => return outcome,
        }
    } else {
        Vec::new()
    };
    let request = PictureRequest {
        job: source.job().clone(),
        viewpoint,
        width: picture.size.width,
        height: picture.size.height,
        mood: match picture.mood {
            super::args::Mood::Work => viewer::Mood::Work,
            super::args::Mood::Show => viewer::Mood::Show,
        },
        look,
        ground: if picture.slate {
            viewer::Ground::Slate
        } else {
            viewer::Ground::Paper
        },
        stretch: picture.stretch,
        ghost: false,
        lit: Vec::new(),
        fans,
        beside,
        called: picture.alternative.clone().unwrap_or_else(as_it_stands),
        fit: picture.fit.as_ref().map(|newel| viewer::FitPicture {
            newel: newel.clone(),
            up: picture.lifted,
        }),
    };
    let png = match viewer::picture(&request) {
        Ok(png) => png,
        Err(PictureError::Chain(error)) => return source::say_chain_fault(&source, error),
        Err(error) => return talk::fault(&error.to_string()),
    };
    match file::write_over(&picture.to, &png) {
        Ok(()) => talk::answer(&format!("{}\n", picture.to.display()), Outcome::Clean),
        Err(error) => talk::fault(&file::why(&picture.to, &error)),
    }
}

/// The number of the look that is asked for.
#[cfg(feature = "viewer")]
fn look(picture: &Picture, job: &crate::job::Job) -> Result<usize, Outcome> {
    let Some(name) = &picture.look else {
        return Ok(0);
    };
    if picture.mood == super::args::Mood::Work {
        return Err(talk::fault("--look is finished: take --mood show with it"));
    }
    let looks = crate::publish::finish::looks(job);
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
#[cfg(feature = "viewer")]
fn as_it_stands() -> String {
    "as it stands".to_owned()
}

/// The way that is drawn beside it.
#[cfg(feature = "viewer")]
fn beside(picture: &Picture) -> Result<Option<crate::viewer::OtherWay>, Outcome> {
    let Some(name) = &picture.beside else {
        return Ok(None);
    };
    let way = (!name.is_empty()).then_some(name.as_str());
    let source = super::source::load_way(picture.job.as_deref(), way)?;
    Ok(Some(crate::viewer::OtherWay {
        name: way.map_or_else(as_it_stands, str::to_owned),
        job: source.job().clone(),
    }))
}

/// Where the rails may come to lie.
#[cfg(feature = "viewer")]
fn fans(
    picture: &Picture,
    source: &super::source::Source,
) -> Result<Vec<crate::doubt::Fan>, Outcome> {
    use super::doubt::Watch;
    use crate::doubt::{self, Ended, Wanted};

    if picture.mood == super::args::Mood::Show {
        return Err(talk::fault("--fan is measured: take --mood work with it"));
    }
    let chain = super::source::chain(source)?;
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
        let draws = crate::publish::grouped(sample.draws);
        talk::say(&format!("ended early: the fan is that of {draws} draws"));
    }
    if sample.draws == 0 {
        return Err(talk::fault("no draw was finished, so there is no fan"));
    }
    Ok(sample.fans)
}
