//! Pictures without a window, on whatever Vulkan driver is there (llvmpipe in the checks).
//!
//! Nothing is skipped where no driver is: the checks install one.

use rakewell::job::{Document, Job};
use rakewell::viewer::{Mood, PictureError, PictureRequest, Viewpoint, picture};

const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
const PAPER: [u8; 3] = [243, 236, 223];

fn demo() -> Document {
    Document::parse(DEMO, "quarry-lane.ron").unwrap()
}

fn request(job: &Job, viewpoint: Viewpoint) -> PictureRequest {
    PictureRequest {
        job: job.clone(),
        viewpoint,
        width: 480,
        height: 320,
        mood: Mood::Work,
        stretch: 1.0,
        ghost: false,
        lit: Vec::new(),
        fans: Vec::new(),
    }
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
