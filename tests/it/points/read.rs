//! Files written by another library are read to the same points.
//!
//! `fixtures/make.py` wrote them with plyfile 1.1.5; point i is (i / 8, i * i / 64 - 2, 3 - i / 4)
//! in metres.

use nalgebra::Point3;
use rakewell::survey::points::read::{Column, Format, HowToRead, PointUnit, Points, read};

const FIXTURES: [(&str, &[u8], Format); 9] = [
    (
        "ascii",
        include_bytes!("fixtures/ascii.ply"),
        Format::PlyText,
    ),
    (
        "little",
        include_bytes!("fixtures/little.ply"),
        Format::PlyLittleEndian,
    ),
    (
        "big",
        include_bytes!("fixtures/big.ply"),
        Format::PlyBigEndian,
    ),
    (
        "colours, little",
        include_bytes!("fixtures/colours-little.ply"),
        Format::PlyLittleEndian,
    ),
    (
        "colours, ascii",
        include_bytes!("fixtures/colours-ascii.ply"),
        Format::PlyText,
    ),
    (
        "around, big",
        include_bytes!("fixtures/around-big.ply"),
        Format::PlyBigEndian,
    ),
    (
        "around, ascii",
        include_bytes!("fixtures/around-ascii.ply"),
        Format::PlyText,
    ),
    (
        "lists, little",
        include_bytes!("fixtures/lists-little.ply"),
        Format::PlyLittleEndian,
    ),
    (
        "lists, ascii",
        include_bytes!("fixtures/lists-ascii.ply"),
        Format::PlyText,
    ),
];

fn known(i: u32) -> [f64; 3] {
    let i = f64::from(i);
    [i / 8.0, i * i / 64.0 - 2.0, 3.0 - i / 4.0]
}

fn are_known(points: &Points) {
    assert_eq!(points.points.len(), 24);
    for (i, point) in (0..).zip(&points.points) {
        let metres = point / 1000.0;
        let known = Point3::from(known(i));
        assert!((metres - known).norm() < 1e-12, "{i}: {metres}");
    }
    assert_eq!(
        (points.not_numbers, points.warnings.len()),
        (0, 0),
        "{points:?}"
    );
}

#[test]
fn every_kind_of_ply_gives_the_same_points() {
    for (name, bytes, format) in FIXTURES {
        let points = read(bytes, &HowToRead::default()).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(points.format, format, "{name}");
        are_known(&points);
    }
}

#[test]
fn columns_are_taken_by_name_and_by_number() {
    let bytes: &[u8] = include_bytes!("fixtures/named-little.ply");
    let told = read(bytes, &HowToRead::default()).unwrap_err().to_string();
    assert!(told.contains("`east`, `north`, `height`"), "{told}");
    for columns in ["east,north,height", "EAST, North, 3", "1,2,3"] {
        let columns = Some(Column::three(columns).unwrap());
        let how = HowToRead {
            columns,
            ..HowToRead::default()
        };
        let points = read(bytes, &how).unwrap();
        assert_eq!(points.columns, ["east", "north", "height"]);
        are_known(&points);
    }
    for wrong in ["x,y", "1,2,0", "x,x,z", ",,", "1,2,3,4"] {
        assert!(Column::three(wrong).is_err(), "{wrong}");
    }
}

#[test]
fn whole_millimetres_are_numbers_too() {
    let how = HowToRead {
        unit: PointUnit::Millimetres,
        ..HowToRead::default()
    };
    let points = read(&include_bytes!("fixtures/whole-big.ply")[..], &how).unwrap();
    for (i, point) in (0..).zip(&points.points) {
        let known = Point3::from(known(i)) * 1000.0;
        assert!((point - known).norm() <= 1.0, "{i}: {point}");
    }
}

/// One inch is 25.4 mm and one foot 304.8 mm, exactly (international yard and pound, 1959).
#[test]
fn units_are_what_they_are_called() {
    let sizes = [1000.0, 1.0, 10.0, 25.4, 304.8];
    for (unit, mm) in PointUnit::ALL.into_iter().zip(sizes) {
        let how = HowToRead {
            unit,
            ..HowToRead::default()
        };
        let points = read(&b"1 2 -3\n"[..], &how).unwrap();
        let expected = Point3::new(mm, 2.0 * mm, -3.0 * mm);
        assert!(
            (points.points[0] - expected).norm() < 1e-9,
            "{}",
            unit.word()
        );
    }
}

fn row(i: u32, between: &str) -> String {
    known(i).map(|number| number.to_string()).join(between)
}

#[test]
fn tables_are_read_whatever_parts_their_columns() {
    for (between, mark) in [(",", b','), ("; ", b';'), ("\t", b'\t'), ("   ", b' ')] {
        for heads in [None, Some(["X", "y", "Z"]), Some(["along", "up", "off"])] {
            for end in ["\n", "\r\n"] {
                let mut text = format!("# from a total station{end}{end}");
                if let Some(heads) = heads {
                    text += &(heads.join(between) + end);
                }
                for i in 0..24 {
                    text += &(row(i, between) + end);
                }
                let points = read(text.as_bytes(), &HowToRead::default()).unwrap();
                assert_eq!(points.format, Format::Table(mark), "{text}");
                are_known(&points);
            }
        }
    }
}

#[test]
fn a_table_may_hold_further_columns_and_words() {
    let mut text = String::from("name,north,east,height,remark\n");
    for i in 0..24 {
        let [x, y, z] = known(i);
        text += &format!("P{i},{y},{x},{z},\"wall, plaster\"\n");
    }
    let columns = Some(Column::three("east,north,4").unwrap());
    let how = HowToRead {
        columns,
        ..HowToRead::default()
    };
    are_known(&read(text.as_bytes(), &how).unwrap());
}

#[test]
fn what_is_no_number_is_counted() {
    let table = "x,y,z\n1,2,3\nnan,2,3\n1,inf,3\n4,5,6\n";
    let ply = "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n\
               property float z\nend_header\n1 2 3\nnan nan nan\n1 -inf 3\n4 5 6\n";
    let mut binary = ply.split_inclusive('\n').take(7).collect::<String>();
    binary = binary.replace("ascii", "binary_little_endian");
    let mut binary = binary.into_bytes();
    for number in [
        1.0,
        2.0,
        3.0,
        f32::NAN,
        0.0,
        0.0,
        1.0,
        f32::INFINITY,
        3.0,
        4.0,
        5.0,
        6.0,
    ] {
        binary.extend(number.to_le_bytes());
    }
    for bytes in [table.as_bytes(), ply.as_bytes(), &binary] {
        let points = read(bytes, &HowToRead::default()).unwrap();
        assert_eq!((points.points.len(), points.not_numbers), (2, 2));
    }
}
