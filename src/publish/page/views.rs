//! Where a client stands: the viewpoints of the page, as eyes.

use nalgebra::{Point3, Vector3};

use crate::chain::Chain;
use crate::publish::gltf::metres;
use crate::publish::sight::Viewpoint;
use crate::publish::sight::camera::{Eye, Free};
use crate::publish::sight::lookout;
use crate::solids::{Convex, PartKind};

use super::ClientNote;

/// The picture that the angle of a view is for, width over height.
const ASPECT: f64 = 4.0 / 3.0;
/// Where the whole is shown, from here to there down the picture: above is room for the tags that hang over
/// what they point at, below for the words.
const TAGGED: [f64; 2] = [0.13, 0.93];
/// So much is shown beside a newel, mm.
const BESIDE_MM: f64 = 120.0;
/// Newels that have a view of their own, the lowest ones.
const NEWELS: usize = 4;

/// An eye of the page. Metres, y up.
#[derive(Clone, Debug, PartialEq)]
pub struct PageView {
    /// Its name as commands have it.
    pub id: String,
    /// Its name in plain words.
    pub name: String,
    /// Where it stands.
    pub eye: [f64; 3],
    /// What it looks at.
    pub target: [f64; 3],
    /// How much it sees from top to bottom, degrees.
    pub fov_deg: f64,
}

/// The viewpoints that are shown to a client, with words of theirs.
#[must_use]
pub fn client_viewpoints(chain: &Chain) -> Vec<(Viewpoint, String)> {
    let mut all = vec![
        (Viewpoint::Front, "the whole stair".to_owned()),
        (Viewpoint::Door, "from the front door".to_owned()),
        (Viewpoint::Above, "from above".to_owned()),
        (Viewpoint::Foot, "the foot of the rail".to_owned()),
        (Viewpoint::Head, "the head of the rail".to_owned()),
        (Viewpoint::Str(None), "along the steps".to_owned()),
    ];
    let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
    all.extend(newels.take(NEWELS).map(|newel| {
        let name = newel.name.clone();
        let words = format!("newel post {name}");
        (Viewpoint::Newel(name), words)
    }));
    all
}

/// The views of a stair; those that it has not are left out. Where the whole is shown, the places that
/// notes hang at are shown with it.
#[must_use]
pub fn views(chain: &Chain, notes: &[ClientNote]) -> Vec<PageView> {
    let pinned = pinned(chain, notes);
    client_viewpoints(chain)
        .into_iter()
        .filter_map(|(viewpoint, name)| {
            let (eye, free) = eye(&viewpoint, chain, &pinned)?;
            Some(view(&viewpoint, name, &eye, &free))
        })
        .collect()
}

/// The stair and what notes point at.
fn pinned(chain: &Chain, notes: &[ClientNote]) -> Vec<Point3<f64>> {
    let mut points = lookout::stair(&chain.solids);
    points.extend(notes.iter().filter_map(|note| note.at));
    points
}

/// The floors that the stair goes between.
fn floors(chain: &Chain) -> impl Iterator<Item = &Point3<f64>> {
    let parts = chain.solids.parts.iter();
    let floors = parts.filter(|part| part.kind == PartKind::Floor);
    floors
        .flat_map(|part| &part.pieces)
        .flat_map(Convex::corners)
}

/// The eye of a view, and the part of the picture in which it shows what it shows.
fn eye(viewpoint: &Viewpoint, chain: &Chain, pinned: &[Point3<f64>]) -> Option<(Eye, Free)> {
    let all = Free::whole(ASPECT);
    let eye = lookout::eye(viewpoint, chain, &chain.solids, &all)?;
    let tagged = Free {
        down: TAGGED,
        ..all
    };
    Some(match viewpoint {
        Viewpoint::Front | Viewpoint::Above => {
            let whole: Vec<Point3<f64>> = pinned.iter().chain(floors(chain)).copied().collect();
            (eye.framing(&whole, &tagged), tagged)
        }
        // One who stands too near to see the pins as well sees the stair.
        Viewpoint::Door => Eye::standing(eye.stands(&all), pinned, &tagged)
            .filter(|eye| !eye.is_widest())
            .map_or((eye, all), |eye| (eye, tagged)),
        Viewpoint::Newel(name) => (newel(name, chain, &all).unwrap_or(eye), all),
        _ => (eye, all),
    })
}

/// A newel from its foot to its head, with what stands about it.
fn newel(name: &str, chain: &Chain, free: &Free) -> Option<Eye> {
    let mut parts = chain.solids.parts.iter();
    let part = parts.find(|part| part.kind == PartKind::Newel && part.name == name)?;
    let bounds = part.bounds()?;
    let by = Vector3::repeat(BESIDE_MM);
    let around = Convex::cuboid(bounds.low - by, bounds.high + by)?;
    let outward = chain.first().site.outward;
    Some(lookout::near(around.corners(), outward, free))
}

fn view(viewpoint: &Viewpoint, name: String, eye: &Eye, free: &Free) -> PageView {
    let stands = eye.stands(free);
    PageView {
        id: viewpoint.to_string(),
        name,
        eye: metres(&stands),
        // The middle of the picture, wherever in it what is shown lies.
        target: metres(&(stands - eye.axes().back * eye.stand_off())),
        fov_deg: eye.lens.angle().to_degrees(),
    }
}
