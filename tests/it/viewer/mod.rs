//! Pictures without a window, on whatever Vulkan driver is there (llvmpipe in the checks).
//!
//! Nothing is skipped where no driver is: the checks install one.

mod several;
mod views;

use nalgebra::Point3;
use rakewell::doubt::{Fan, Spot, Spread};
use rakewell::job::{Document, Job};
use rakewell::viewer::{Mood, PictureError, PictureRequest, Viewpoint, picture};

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
const PAPER: [u8; 3] = [243, 236, 223];

fn demo() -> Document {
    Document::parse(DEMO, "quarry-lane.ron").unwrap()
}

fn request(job: &Job, viewpoint: Viewpoint) -> PictureRequest {
    PictureRequest::plain(job.clone(), viewpoint, (480, 320))
}

/// The colours of a picture, row by row.
struct Pixels {
    width: usize,
    colours: Vec<[u8; 3]>,
}

impl Pixels {
    fn of(request: &PictureRequest) -> Self {
        let png = picture(request).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(png))
            .read_info()
            .unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let about = reader.next_frame(&mut bytes).unwrap();
        assert_eq!((about.width, about.height), (request.width, request.height));
        let colours = bytes.chunks_exact(3).map(|c| [c[0], c[1], c[2]]).collect();
        Self {
            width: request.width as usize,
            colours,
        }
    }

    /// Places whose colours differ by more than the noise of a driver.
    fn unlike(&self, other: &Self) -> Vec<(usize, usize)> {
        let apart = |a: &[u8; 3], b: &[u8; 3]| (0..3).any(|i| a[i].abs_diff(b[i]) > 8);
        let pairs = self.colours.iter().zip(&other.colours).enumerate();
        pairs
            .filter(|(_, (a, b))| apart(a, b))
            .map(|(i, _)| (i % self.width, i / self.width))
            .collect()
    }

    fn share(&self, places: &[(usize, usize)]) -> f64 {
        places.len() as f64 / self.colours.len() as f64
    }

    fn blank(&self) -> bool {
        let paper = self
            .colours
            .iter()
            .filter(|colour| **colour == PAPER)
            .count();
        let mut kinds = self.colours.clone();
        kinds.sort_unstable();
        kinds.dedup();
        paper as f64 > 0.97 * self.colours.len() as f64 || kinds.len() < 200
    }
}

#[test]
fn two_viewpoints_show_the_stair_from_two_sides() {
    let document = demo();
    let front = Pixels::of(&request(document.job(), Viewpoint::Front));
    let plan = Pixels::of(&request(document.job(), Viewpoint::Plan));
    assert!(!front.blank() && !plan.blank());
    assert!(front.share(&front.unlike(&plan)) > 0.2);
}

#[test]
fn a_picture_of_many_pixels_shows_the_same_as_a_small_one() {
    // Letters and lines of so large a picture have more pixels to a point.
    let mut asked = request(demo().job(), Viewpoint::Side);
    asked.mood = Mood::Show;
    (asked.width, asked.height) = (480, 330);
    let small = Pixels::of(&asked);
    (asked.width, asked.height) = (1920, 1320);
    let large = Pixels::of(&asked);
    assert!(!large.blank());
    // One pixel in four each way.
    let thinned = Pixels {
        width: small.width,
        colours: (0..330)
            .flat_map(|y| (0..480).map(move |x| (4 * y + 2) * 1920 + 4 * x + 2))
            .map(|at| large.colours[at])
            .collect(),
    };
    let apart = small.share(&small.unlike(&thinned));
    assert!(apart < 0.15, "{apart}");
}

#[test]
fn the_same_job_gives_the_same_picture() {
    let document = demo();
    let near = request(document.job(), Viewpoint::Foot);
    let (first, second) = (Pixels::of(&near), Pixels::of(&near));
    assert_eq!(first.unlike(&second), []);
}

#[test]
fn a_moved_newel_moves_in_the_picture_and_the_head_of_the_stair_does_not() {
    let before = demo();
    let path = "design.newels[0].stands.Displaces.move_by";
    let after = before.set(path, "\"-4\"").unwrap();
    // The plan frames the stair with its newel; the head of the rail is framed by itself.
    let unlike = |viewpoint: Viewpoint| {
        let mut asked = request(before.job(), viewpoint);
        asked.mood = Mood::Show;
        let still = Pixels::of(&asked);
        asked.job = after.job().clone();
        still.share(&still.unlike(&Pixels::of(&asked)))
    };
    let (plan, head) = (unlike(Viewpoint::Plan), unlike(Viewpoint::Head));
    assert!(plan > 0.05, "{plan}");
    assert!(head < 0.02, "{head}");
}

#[test]
fn stretched_departures_and_the_finished_mood_each_look_different() {
    let document = demo();
    let plain = request(document.job(), Viewpoint::Above);
    let as_found = Pixels::of(&plain);
    let stretched = Pixels::of(&PictureRequest {
        stretch: 10.0,
        ..plain.clone()
    });
    let finished = Pixels::of(&PictureRequest {
        mood: Mood::Show,
        ..plain
    });
    assert!(as_found.share(&as_found.unlike(&stretched)) > 0.01);
    assert!(as_found.share(&as_found.unlike(&finished)) > 0.05);
}

/// Evenly spread from minus to plus so much, mm.
fn even(within: f64) -> Spread {
    let mut spread = Spread::about(0.0, 0.01, 10_000);
    for step in -1_000..=1_000_i32 {
        spread.add(within * f64::from(step) / 1_000.0);
    }
    spread
}

/// A fan 0.95 of eight millimetres wide either way, 19 times in 20, along the rail of a job.
fn fan_of(job: &Job) -> (Fan, [Point3<f64>; 2]) {
    let chain = rakewell::chain::run(job).unwrap();
    let rail = &chain.first().setout.rail;
    let place = |share: f64| Spot {
        at: rail.lower + (rail.upper - rail.lower) * share,
        share,
        up: even(8.0),
        out: even(4.0),
    };
    let fan = Fan {
        run: 0,
        rail: rail.name.clone(),
        places: [0.0, 0.5, 1.0].map(place).into(),
    };
    (fan, [rail.lower, rail.upper])
}

#[test]
fn a_fan_is_drawn_about_the_rail_and_nowhere_else() {
    const STRETCH: f64 = 10.0;
    let document = demo();
    let (fan, [lower, upper]) = fan_of(document.job());
    let plain = PictureRequest {
        width: 960,
        height: 640,
        stretch: STRETCH,
        ..request(document.job(), Viewpoint::Side)
    };
    let without = Pixels::of(&plain);
    let lit = Pixels::of(&PictureRequest {
        lit: vec![fan.rail.clone()],
        ..plain.clone()
    });
    // Where the rail is, by column: the least and the most row.
    let mut rail: Vec<Option<(usize, usize)>> = vec![None; 960];
    for (x, y) in without.unlike(&lit) {
        let (top, foot) = rail[x].unwrap_or((y, y));
        rail[x] = Some((top.min(y), foot.max(y)));
    }
    let columns: Vec<usize> = (0..960).filter(|x| rail[*x].is_some()).collect();
    let (first, last) = (columns[0], columns[columns.len() - 1]);
    // An elevation is true to scale.
    let scale = (last - first) as f64 / (upper.x - lower.x).abs();
    let reach = (0.95 * 8.0 * STRETCH * scale).ceil() as usize;

    let with = Pixels::of(&PictureRequest {
        fans: vec![fan],
        ..plain.clone()
    });
    // The rail's words stand at its upper end, on whichever side of the picture that is.
    let ends = [first, last].map(|x| (rail[x].unwrap().0, x));
    let (top, head) = ends[0].min(ends[1]);
    let words = |(x, y): (usize, usize)| {
        let legend = x < 700 && y > 640 - 110;
        legend || (x.abs_diff(head) < 260 && y < top + 12 && y + 110 > top)
    };
    let drawn: Vec<_> = without
        .unlike(&with)
        .into_iter()
        .filter(|at| !words(*at))
        .collect();
    let (mut above, mut below) = (0, 0);
    for (x, y) in &drawn {
        let near = (x.saturating_sub(3)..=(x + 3).min(959)).filter_map(|x| rail[x]);
        let inside = near
            .clone()
            .any(|(top, foot)| y + reach + 4 >= top && *y <= foot + reach + 4);
        assert!(inside, "{x}, {y} is not about the rail");
        above += usize::from(near.clone().all(|(top, _)| *y < top));
        below += usize::from(near.clone().all(|(_, foot)| *y > foot));
    }
    // The band goes past the rail's upper edge all along.
    assert!(above > columns.len(), "{above} of {}", drawn.len());
    assert!(drawn.len() > below);
    // In the finished mood there is none.
    let finished = PictureRequest {
        mood: Mood::Show,
        ..plain
    };
    let bare = Pixels::of(&finished);
    let (fan, _) = fan_of(document.job());
    let none = Pixels::of(&PictureRequest {
        fans: vec![fan],
        ..finished
    });
    assert_eq!(bare.unlike(&none), []);
}

#[test]
fn what_cannot_be_drawn_is_an_error_in_words() {
    let document = demo();
    let missing = request(document.job(), Viewpoint::Newel("N9".to_owned()));
    let told = picture(&missing).unwrap_err();
    assert!(
        matches!(&told, PictureError::Request(says) if says.contains("newel:N9")),
        "{told}"
    );
    let mut flat = request(document.job(), Viewpoint::Front);
    flat.height = 0;
    assert!(matches!(picture(&flat), Err(PictureError::Request(_))));
    let mut wild = request(document.job(), Viewpoint::Front);
    wild.stretch = f64::NAN;
    assert!(matches!(picture(&wild), Err(PictureError::Request(_))));
}
