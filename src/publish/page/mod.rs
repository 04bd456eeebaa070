//! The client's page: one HTML file that opens from a disk or a mail and needs nothing else: the
//! stair in 3D, its looks and alternatives, plain words about the walls, what the client is asked.
//!
//! In: ways to do a job, each with its chain; looks; prices if they are asked for; pictures, if some
//! could be drawn. Out: the text of the page. Same job, same bytes. Does not: draw pictures; fetch
//! anything, now or when it is opened.

pub mod answered;
mod asks;
mod data;
mod notes;
mod plain;
mod views;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::chain::Chain;
use crate::job::{Answer, Client, Colour, Finished, Job, Light, Look};
use crate::shop::parts::PartLine;

use super::building::{OUR_SPACE, named_uuid};
use super::finish::{Stuff, look_words, looks, sorts, surface};
use super::gltf::{Fine, binary};
use asks::{AskTold, asks};

pub use notes::{ClientNote, NoteKind, notes};
pub use plain::escaped;
pub use views::{PageView, client_viewpoints, views};

/// What the parts of the page are called that the program fills in.
const PAGE: &str = include_str!("../../../assets/page/page.html");

/// One way to do the job.
#[derive(Clone, Copy, Debug)]
pub struct WayShown<'a> {
    /// Its name; none for the job as it stands.
    pub name: Option<&'a str>,
    /// A word to it.
    pub note: &'a str,
    /// The job done so.
    pub job: &'a Job,
    /// What it comes to.
    pub chain: &'a Chain,
    /// Its parts.
    pub parts: &'a [PartLine],
}

/// A picture of the stair.
#[derive(Clone, Debug)]
pub struct Shot {
    /// The way that it shows, by its number.
    pub way: Option<usize>,
    /// The look, by its number.
    pub look: Option<usize>,
    /// The viewpoint, as commands name it.
    pub view: Option<String>,
    /// What is to be seen, in words.
    pub alt: String,
    /// The picture, as PNG.
    pub png: Vec<u8>,
}

impl Shot {
    /// Its address within the page.
    fn source(&self) -> String {
        format!("data:image/png;base64,{}", STANDARD.encode(&self.png))
    }
}

/// Prices, where they are asked for. Amounts as they are to be read.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The money.
    pub currency: String,
    /// What is paid for, and how much that is.
    pub lines: Vec<(String, String)>,
    /// All together.
    pub total: String,
    /// A word to it.
    pub says: String,
}

/// What a page is made of.
#[derive(Clone, Debug)]
pub struct PageOf<'a> {
    /// The ways to do the job, at least one: first the job as it stands.
    pub ways: Vec<WayShown<'a>>,
    /// Prices.
    pub prices: Option<Priced>,
    /// Pictures.
    pub shots: Vec<Shot>,
}

/// A look as the page tells of it.
struct LookTold {
    name: String,
    says: String,
    light: Light,
    wall: Colour,
    floor: Colour,
    swatch: Vec<Colour>,
}

/// A way as the page tells of it.
struct WayTold {
    id: String,
    name: String,
    says: String,
    glb: Vec<u8>,
}

/// Everything that the page tells.
struct Told {
    title: String,
    name: String,
    hash: String,
    ways: Vec<WayTold>,
    looks: Vec<LookTold>,
    views: Vec<PageView>,
    notes: Vec<ClientNote>,
    asks: Vec<AskTold>,
    answers: Vec<Answer>,
    prices: Option<Priced>,
    shots: Vec<Shot>,
    cautions: Vec<String>,
}

/// What marks the state of a job: one that says anything else has another one, and so may the same in
/// another version of this program. What the client answered does not count, so that a page can be
/// answered twice.
#[must_use]
pub fn state_of(job: &Job) -> String {
    let asked = Job {
        client: Client {
            answers: Vec::new(),
            ..job.client.clone()
        },
        ..job.clone()
    };
    // A job of numbers and texts can always be written.
    let text = serde_json::to_string(&asked).unwrap_or_default();
    format!("{:032x}", named_uuid(OUR_SPACE, &text))
}

/// The page. `None` where there is no way to show.
#[must_use]
pub fn page(of: &PageOf<'_>) -> Option<String> {
    let first = of.ways.first()?;
    let all = looks(first.job);
    let notes = notes(first.job, first.chain);
    let told = Told {
        title: title(first.job),
        name: first.job.name.clone(),
        hash: state_of(first.job),
        ways: of.ways.iter().map(|way| told_way(way, &all)).collect(),
        looks: all.iter().map(|look| told_look(look, first)).collect(),
        views: views(first.chain, &notes),
        notes,
        asks: asks(first.job, &all, of.ways.iter().map(|way| way.name)),
        answers: first.job.client.answers.clone(),
        prices: of.prices.clone(),
        shots: of.shots.clone(),
        cautions: cautions(),
    };
    let filled = [
        ("{{title}}", escaped(&told.title)),
        ("{{lang}}", "en".to_owned()),
        ("{{csp}}", POLICY.trim().to_owned()),
        (
            "{{style}}",
            include_str!("../../../assets/page/page.css").to_owned(),
        ),
        ("{{plain}}", plain::plain(&told)),
        ("{{data}}", data::in_script(&data::data(&told))),
        (
            "{{three}}",
            include_str!("../../../assets/page/three.min.js").to_owned(),
        ),
        ("{{script}}", SCRIPT.concat()),
    ];
    Some(fill(PAGE, &filled))
}

/// What the browser lets the page do: run these two scripts and no other, and load nothing.
const POLICY: &str = include_str!("../../../assets/page/csp.txt");

/// The page's own script, in the order in which it is put together.
const SCRIPT: [&str; 7] = [
    include_str!("../../../assets/page/read.js"),
    include_str!("../../../assets/page/room.js"),
    include_str!("../../../assets/page/eye.js"),
    include_str!("../../../assets/page/pins.js"),
    include_str!("../../../assets/page/decide.js"),
    include_str!("../../../assets/page/paper.js"),
    include_str!("../../../assets/page/page.js"),
];

/// A template with its marks filled in, each where it stands in the template: what is filled in is not
/// looked through for marks again.
fn fill(template: &str, filled: &[(&str, String)]) -> String {
    let mut page = String::new();
    let mut rest = template;
    while let Some((at, mark, text)) = filled
        .iter()
        .filter_map(|(mark, text)| Some((rest.find(mark)?, mark, text)))
        .min_by_key(|(at, ..)| *at)
    {
        page.push_str(&rest[..at]);
        page.push_str(text);
        rest = &rest[at + mark.len()..];
    }
    page.push_str(rest);
    page
}

fn title(job: &Job) -> String {
    if job.name.is_empty() {
        "Your stair".to_owned()
    } else {
        job.name.clone()
    }
}

fn told_way(way: &WayShown<'_>, looks: &[Look]) -> WayTold {
    WayTold {
        id: asks::way_id(way.name),
        name: way.name.unwrap_or(Answer::AS_IT_STANDS).to_owned(),
        says: way.note.to_owned(),
        glb: binary(way.job, way.chain, way.parts, (looks, Fine::Small)),
    }
}

fn told_look(look: &Look, way: &WayShown<'_>) -> LookTold {
    let wood = way.job.design.wood.as_ref();
    let colour = |stuff| surface(look, stuff, wood).colour;
    let mut swatch: Vec<Colour> = Vec::new();
    for sort in [
        Finished::Treads,
        Finished::Rails,
        Finished::Balusters,
        Finished::Kicks,
    ] {
        let one = colour(Stuff::Of(sort));
        if !swatch.contains(&one) {
            swatch.push(one);
        }
    }
    let says = look_words(look, &sorts(way.parts.iter().map(|part| part.kind)));
    LookTold {
        name: look.name.clone(),
        says,
        light: look.light,
        wall: colour(Stuff::Wall),
        floor: colour(Stuff::Floor),
        swatch,
    }
}

fn cautions() -> Vec<String> {
    [
        "Words of the trade here: treads are what one steps on and kicks the upright boards between \
         them; skirts are the boards along the ends of the steps; balusters are the uprights under the \
         rail and newels the posts at its ends.",
        "Colours on a screen are near those of wood and paint, no more: ask to see a piece.",
        "This shows how the stair is planned. It certifies nothing: what an inspector asks is held \
         against the rules of the place, and what carries a load is an engineer's.",
        "Until the railing stands, an open stair is a place to fall from: keep children and guests off \
         it.",
    ]
    .map(str::to_owned)
    .to_vec()
}
