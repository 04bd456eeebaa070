//! A valid file reads, and every value has its place.

use super::{SAMPLE, sample, with};
use rakewell::job::{Document, Spacing};
use rakewell::measure::Length;

#[test]
fn the_sample_reads() {
    let document = sample();
    let job = document.job();
    assert_eq!(job.flight.count, 14);
    assert_eq!(job.flight.rise.value, Length::inches(7.5));
    assert_eq!(job.flight.rise.text, "7.5");
    assert!(matches!(
        job.design.balusters.spacing,
        Spacing::PerTread { count: 2, .. }
    ));
    assert_eq!(document.text(), SAMPLE);
    assert!(document.warnings().is_empty());
}

#[test]
fn bare_numbers_take_the_unit_of_the_file_wherever_it_stands() {
    let metric = SAMPLE
        .replace(
            "    format: 1,\n",
            "    format: 1,\n    units: Millimetres,\n",
        )
        .replace(" 14, rise: 7.5", " 14, rise: 190");
    // All else is too small in millimetres, so only the sizes told show the unit.
    let faults = Document::parse(&metric, "job.ron").expect_err("36 mm is no width");
    assert!(
        faults
            .diagnostics
            .iter()
            .all(|fault| fault.path != "flight.rise"),
        "{faults}"
    );
    assert!(
        faults
            .diagnostics
            .iter()
            .any(|fault| fault.path == "flight.width"),
        "{faults}"
    );
    let late = SAMPLE.replace("\n    design: (", "\n    units: Inches,\n    design: (");
    assert_eq!(
        Document::parse(&late, "job.ron").expect("valid").job(),
        sample().job()
    );
}

#[test]
fn what_may_be_absent_is_written_with_some_or_without() {
    for reveal in ["reveal: 0.5,", "reveal: Some(0.5),", "reveal: \"0.5\","] {
        let text = with(
            "rules: \"us-residential-2021\",",
            &format!("rules: \"x\", {reveal}"),
        );
        let document = Document::parse(&text, "job.ron").expect("valid");
        let read = document
            .job()
            .design
            .reveal
            .as_ref()
            .map(|reveal| reveal.value);
        assert_eq!(read, Some(Length::inches(0.5)), "{reveal}");
    }
}

#[test]
fn every_reading_has_its_line() {
    let document = sample();
    for (path, place) in [
        ("format", Some((3, 5))),
        ("flight.rise", Some((6, 37))),
        ("flight.readings[1]", Some((8, 47))),
        ("flight.readings[1].is", Some((8, 61))),
        ("flight.readings[1].Edge.is", Some((8, 61))),
        ("walls[0].readings[1].gap", Some((11, 91))),
        ("design.rail.upper.Wall.blocking.up", Some((16, 72))),
        ("design.fitting", None),
        ("flight.readings[2]", None),
    ] {
        assert_eq!(document.line_of(path), place, "{path}");
    }
    assert_eq!(
        document.value_text("design.newels[0].section"),
        Some("Square(3.5)")
    );
}

#[test]
fn windows_line_ends_and_a_byte_order_mark_are_read() {
    let text = format!("\u{FEFF}{}", SAMPLE.replace('\n', "\r\n"));
    let document = Document::parse(&text, "job.ron").expect("valid");
    assert_eq!(document.job(), sample().job());
    assert_eq!(document.line_of("flight.rise"), Some((6, 37)));
    assert_eq!(document.text(), text);
}

#[test]
fn every_shipped_scene_is_a_valid_job_without_warnings() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut count = 0;
    for folder in ["scenes", "demo-scenes"] {
        for entry in std::fs::read_dir(root.join(folder)).expect(folder) {
            let path = entry.expect("an entry").path();
            if path.extension().is_some_and(|end| end == "ron") {
                let document = Document::load(&path).unwrap_or_else(|faults| panic!("{faults}"));
                assert_eq!(document.warnings(), [], "{}", path.display());
                count += 1;
            }
        }
    }
    assert!(count >= 2, "a starter and a demo at least");
}

#[test]
fn what_a_later_stage_finds_is_drawn_at_its_field() {
    let document = sample();
    let faults = document.fault("design.rules", "there is no such pack", "name another");
    assert_eq!(
        (faults.diagnostics[0].line, faults.diagnostics[0].column),
        (13, 16)
    );
    assert_eq!(faults.diagnostics[0].read, "\"us-residential-2021\"");
    // The file does not write this field: what it would stand in is pointed at.
    let faults = document.fault("design.newels[0].stands.move_by", "too far", "");
    assert_eq!(
        faults.diagnostics[0].read,
        "Displaces(step: 1, balusters: 1)"
    );
    assert_eq!(
        faults.diagnostics[0].path,
        "design.newels[0].stands.move_by"
    );
    assert!(
        faults.render(false).contains("sample.ron:14:"),
        "{}",
        faults.render(false)
    );
}
