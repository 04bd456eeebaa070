//! Where a client stands: the viewpoints of the page, as eyes.

use crate::chain::Chain;
use crate::publish::gltf::metres;
use crate::publish::sight::Viewpoint;
use crate::publish::sight::camera::{Eye, Free};
use crate::publish::sight::lookout;

/// The picture that the angle of a view is for, width over height.
const ASPECT: f64 = 4.0 / 3.0;
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

/// The views of a stair; those that it has not are left out.
#[must_use]
pub fn views(chain: &Chain) -> Vec<PageView> {
    let free = Free::whole(ASPECT);
    client_viewpoints(chain)
        .into_iter()
        .filter_map(|(viewpoint, name)| {
            let eye = lookout::eye(&viewpoint, chain, &chain.solids, &free)?;
            Some(view(&viewpoint, name, &eye, &free))
        })
        .collect()
}

fn view(viewpoint: &Viewpoint, name: String, eye: &Eye, free: &Free) -> PageView {
    PageView {
        id: viewpoint.to_string(),
        name,
        eye: metres(&eye.stands(free)),
        target: metres(&eye.target),
        fov_deg: eye.lens.angle().to_degrees(),
    }
}
