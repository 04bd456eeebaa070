//! Several pictures that belong together: round about a stair, before and after, with clear ground,
//! with several looks through every pixel, in one file and on one sheet.

use std::ops::ControlFlow;

use rakewell::job::Job;
use rakewell::measure::Angle;
use rakewell::viewer::{
    Mood, Moving, PictureError, PictureRequest, Pixels, Shot, Viewpoint, picture, pictures,
};

use super::demo;

fn finished(job: &Job) -> PictureRequest {
    PictureRequest {
        mood: Mood::Show,
        ..PictureRequest::plain(job.clone(), Viewpoint::Front, (320, 220))
    }
}

fn drawn(request: &PictureRequest, shots: &[Shot]) -> Vec<Pixels> {
    let mut all = Vec::new();
    pictures(request, shots, &mut |number, pixels| {
        assert_eq!(number, all.len());
        all.push(pixels);
        ControlFlow::Continue(())
    })
    .unwrap();
    all
}

/// The share of pixels whose colours differ by more than the noise of a driver.
fn unlike(a: &Pixels, b: &Pixels) -> f64 {
    let pairs = a.each.chunks_exact(4).zip(b.each.chunks_exact(4));
    let apart = pairs.filter(|(a, b)| (0..3).any(|i| a[i].abs_diff(b[i]) > 8));
    apart.count() as f64 / (a.each.len() / 4) as f64
}

/// How much of a picture is covered: red, green, blue and cover unpacked from its PNG.
fn unpacked(png: &[u8]) -> (png::ColorType, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png))
        .read_info()
        .unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let about = reader.next_frame(&mut bytes).unwrap();
    (about.color_type, bytes)
}

#[test]
fn pictures_round_about_a_stair_differ_from_side_to_side_and_close_the_circle() {
    let document = demo();
    let shot = |degrees: f64| Shot {
        round: Some(Angle::degrees(degrees)),
        ..Shot::from(Viewpoint::Front, 0)
    };
    let shots: Vec<Shot> = [0.0, 90.0, 180.0, 360.0].map(shot).to_vec();
    let all = drawn(&finished(document.job()), &shots);
    assert_eq!(all.len(), 4);
    assert!(unlike(&all[0], &all[1]) > 0.1);
    assert!(unlike(&all[1], &all[2]) > 0.1);
    assert!(
        unlike(&all[0], &all[3]) < 0.01,
        "{}",
        unlike(&all[0], &all[3])
    );

    let mut file = Vec::new();
    let mut moving = Moving::begin(&mut file, (320, 220), 4, 8000, false).unwrap();
    for frame in &all {
        moving.add(frame).unwrap();
    }
    moving.end().unwrap();
    // An independent reader of PNG: the chunks of its animation (W3C PNG, third edition, 11.3.2).
    let count = |name: &[u8]| file.windows(4).filter(|at| *at == name).count();
    assert_eq!((count(b"acTL"), count(b"fcTL")), (1, 4));
}

#[test]
fn a_clear_ground_is_clear_around_the_stair_and_the_stair_is_not() {
    let document = demo();
    let request = PictureRequest {
        clear: true,
        ..finished(document.job())
    };
    let (sort, pixels) = unpacked(&picture(&request).unwrap());
    assert_eq!(sort, png::ColorType::Rgba);
    let cover = |x: usize, y: usize| pixels[4 * (y * 320 + x) + 3];
    for corner in [(1, 1), (318, 1), (1, 218), (318, 218)] {
        assert_eq!(cover(corner.0, corner.1), 0, "{corner:?}");
    }
    let covered = pixels
        .chunks_exact(4)
        .filter(|pixel| pixel[3] == 255)
        .count();
    let share = covered as f64 / (320.0 * 220.0);
    assert!((0.05..0.9).contains(&share), "{share}");
    // A plain picture of the same has no cover at all.
    let (sort, _) = unpacked(&picture(&finished(document.job())).unwrap());
    assert_eq!(sort, png::ColorType::Rgb);
}

#[test]
fn framing_is_the_stair_without_its_railing_from_the_same_place() {
    let document = demo();
    let shots = [Shot::from(Viewpoint::Front, 0)];
    let after = drawn(&finished(document.job()), &shots).swap_remove(0);
    let bare = PictureRequest {
        framing: true,
        ..finished(document.job())
    };
    let before = drawn(&bare, &shots).swap_remove(0);
    let share = unlike(&before, &after);
    assert!(share > 0.05, "{share}");
    // The same eye: the upper corners show the same paper in both.
    for at in [(2, 2), (317, 2)] {
        let pixel = |of: &Pixels| of.each[4 * (at.1 * 320 + at.0)];
        assert!(pixel(&before).abs_diff(pixel(&after)) < 6);
    }
}

#[test]
fn more_looks_through_a_pixel_soften_edges_and_move_nothing() {
    let document = demo();
    let few = drawn(&finished(document.job()), &[Shot::from(Viewpoint::Side, 0)]).swap_remove(0);
    let request = PictureRequest {
        samples: 16,
        ..finished(document.job())
    };
    let many = drawn(&request, &[Shot::from(Viewpoint::Side, 0)]).swap_remove(0);
    let share = unlike(&few, &many);
    assert!(share > 0.0005, "{share}");
    assert!(share < 0.2, "{share}");
    // Light is neither lost nor won.
    let mean = |of: &Pixels| {
        let sum: u64 = of
            .each
            .chunks_exact(4)
            .map(|pixel| u64::from(pixel[1]))
            .sum();
        sum as f64 / (of.each.len() / 4) as f64
    };
    assert!(
        (mean(&few) - mean(&many)).abs() < 1.5,
        "{} {}",
        mean(&few),
        mean(&many)
    );
}

#[test]
fn what_cannot_be_drawn_is_said_before_anything_is() {
    let document = demo();
    let mut never = |_: usize, _: Pixels| -> ControlFlow<()> { panic!("nothing is to be drawn") };
    let wrong = PictureRequest {
        samples: 5,
        ..finished(document.job())
    };
    let shots = [Shot::from(Viewpoint::Front, 0)];
    let refused = pictures(&wrong, &shots, &mut never);
    assert!(matches!(refused, Err(PictureError::Request(_))));
    let nowhere = [Shot::from(Viewpoint::Newel("N99".to_owned()), 0)];
    let refused = pictures(&finished(document.job()), &nowhere, &mut never);
    let Err(PictureError::Request(says)) = refused else {
        panic!("{refused:?}");
    };
    assert!(says.contains("N99"), "{says}");
}

#[test]
fn who_takes_pictures_may_break_off() {
    let document = demo();
    let shots = vec![Shot::from(Viewpoint::Front, 0); 5];
    let mut taken = 0;
    let ended = pictures(&finished(document.job()), &shots, &mut |_, _| {
        taken += 1;
        if taken == 2 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert!(matches!(ended, Err(PictureError::Ended)));
    assert_eq!(taken, 2);
}
