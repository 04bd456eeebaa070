//! Files that lie or are damaged: a clear error, never a panic, never memory for a mere claim.

use std::io::Read;

use proptest::prelude::*;
use rakewell::survey::points::read::{HowToRead, Place, Points, ReadError, read};

const LITTLE: &[u8] = include_bytes!("fixtures/little.ply");
const ASCII: &[u8] = include_bytes!("fixtures/ascii.ply");
const LISTS: &[u8] = include_bytes!("fixtures/lists-little.ply");
const AROUND: &[u8] = include_bytes!("fixtures/around-big.ply");

fn try_read(bytes: &[u8]) -> Result<Points, ReadError> {
    read(bytes, &HowToRead::default())
}

/// A file with one text in it replaced by another.
fn with(bytes: &[u8], old: &str, new: &str) -> Vec<u8> {
    let at = bytes
        .windows(old.len())
        .position(|window| window == old.as_bytes())
        .unwrap();
    [&bytes[..at], new.as_bytes(), &bytes[at + old.len()..]].concat()
}

#[test]
fn a_count_that_is_too_great_is_told_with_both_counts() {
    for (bytes, place) in [(LITTLE, Place::Item(25)), (ASCII, Place::Line(33))] {
        let told = try_read(&with(bytes, "vertex 24", "vertex 1000000")).unwrap_err();
        assert_eq!(told.place, place, "{told}");
        assert!(
            told.problem
                .contains("24 of the 1,000,000 items of `vertex`"),
            "{told}"
        );
    }
    let cut = try_read(&LITTLE[..LITTLE.len() - 5]).unwrap_err();
    assert_eq!(cut.place, Place::Item(24));
    assert!(cut.problem.contains("23 of the 24"), "{cut}");
}

#[test]
fn a_count_that_is_too_small_is_warned_of() {
    for (bytes, words) in [(LITTLE, "48 bytes"), (ASCII, "4 lines")] {
        let points = try_read(&with(bytes, "vertex 24", "vertex 20")).unwrap();
        assert_eq!(points.points.len(), 20);
        assert!(points.warnings[0].contains(words), "{:?}", points.warnings);
    }
}

/// With other lists behind the points a wrong count shows there.
#[test]
fn a_wrong_count_before_other_lists_is_found_out() {
    for count in ["23", "25", "2400000"] {
        let lying = with(AROUND, "vertex 24", &format!("vertex {count}"));
        let told = try_read(&lying);
        assert!(
            told.is_err() || !told.unwrap().warnings.is_empty(),
            "{count}"
        );
    }
}

/// An endless file of zeros, which stops being read when the reader has asked for too much.
struct Endless {
    left: usize,
}

impl Read for Endless {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let length = into.len().min(self.left);
        into[..length].fill(b' ');
        self.left -= length;
        Ok(length)
    }
}

/// With memory for the claim this would end the process: it is a million terabytes.
#[test]
fn a_count_past_all_bounds_takes_no_memory() {
    for bytes in [LITTLE, ASCII, LISTS, AROUND] {
        for count in ["18446744073709551615", "9223372036854775807", "99999999999"] {
            let told = try_read(&with(bytes, "vertex 24", &format!("vertex {count}")));
            assert!(told.is_err(), "{count}");
        }
        let told = try_read(&with(bytes, "vertex 24", "vertex 99999999999999999999999"));
        assert!(told.is_err());
    }
}

#[test]
fn a_line_or_header_without_end_is_not_gathered() {
    for head in [
        &b"ply\nformat ascii 1.0\ncomment"[..],
        b"1 2 3\n",
        &ASCII[..200],
    ] {
        let endless = head.chain(Endless { left: 1 << 30 });
        let mut left = 0;
        let counted = Counting {
            inner: endless,
            read: &mut left,
        };
        let told = read(counted, &HowToRead::default());
        assert!(told.is_err(), "{}", String::from_utf8_lossy(head));
        assert!(left < 4 << 20, "{left} bytes were read");
    }
}

struct Counting<'c, R> {
    inner: R,
    read: &'c mut usize,
}

impl<R: Read> Read for Counting<'_, R> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let length = self.inner.read(into)?;
        *self.read += length;
        Ok(length)
    }
}

#[test]
fn headers_are_read_strictly() {
    for (old, new, words) in [
        (
            "property float x\n",
            "property flaot x\n",
            "line 4: `property flaot x`",
        ),
        (
            "property float x\n",
            "property float y\n",
            "`y` stands twice",
        ),
        (
            "property float x\n",
            "",
            "there are no columns x, y, z; there are `y`, `z`",
        ),
        ("1.0\n", "2.0\n", "`2.0` is not version 1.0"),
        ("format binary_little_endian 1.0\n", "", "no line `format`"),
        ("element vertex 24\n", "", "belongs to no element"),
        (
            "element vertex 24\n",
            "element vertices 24\n",
            "no element `vertex`",
        ),
        (
            "element vertex 24\n",
            "element vertex -24\n",
            "`element vertex -24`",
        ),
        (
            "end_header\n",
            "element vertex 2\nend_header\n",
            "`vertex` stands twice",
        ),
        (
            "end_header\n",
            "element face 2\nend_header\n",
            "`face` has no properties",
        ),
        (
            "property float x\n",
            "property list uchar float x\n",
            "`x` is a list",
        ),
        ("property float x\n", "ply\nproperty float x\n", "again"),
    ] {
        let told = try_read(&with(LITTLE, old, new)).unwrap_err().to_string();
        assert!(told.contains(words), "{new}: {told}");
    }
    let told = try_read(&LITTLE[..54]).unwrap_err().to_string();
    assert!(told.contains("within the header"), "{told}");
}

#[test]
fn a_bad_number_is_told_with_line_column_and_text() {
    let ply = |row: &str| {
        format!(
            "ply\nformat ascii 1.0\nelement vertex 2\nproperty float x\nproperty float y\n\
             property float z\nend_header\n1 2 3\n{row}\n"
        )
    };
    for (text, words) in [
        (ply("1 2,5 3"), "line 9: `2,5` for `y` is no number"),
        (ply("1 2"), "line 9: `1 2` has nothing for the property `z`"),
        (ply("1 2 3 4"), "line 9: `4` is left over"),
        (
            "x,y,z\n1,2,3\n1,oops,3\n".to_owned(),
            "line 3: `oops` in column `y` is no number",
        ),
        ("1;2;3\n1;2,5;3\n".to_owned(), "not a comma"),
        (
            "1;2;3\n1;2\n".to_owned(),
            "line 2: the row has 2 columns, so none for column 3",
        ),
        ("1 2 3\n\n1 x 3\n".to_owned(), "line 3: `x` in column 2"),
        (
            "easting northing\n1 2\n".to_owned(),
            "there are `easting`, `northing`",
        ),
        (String::new(), "the file is empty"),
        ("# nothing\n".to_owned(), "the file has no rows"),
        ("1 2 3\0".to_owned(), "neither PLY nor text: byte 5"),
    ] {
        let told = try_read(text.as_bytes()).unwrap_err().to_string();
        assert!(told.contains(words), "{text}: {told}");
    }
}

fn damaged(bytes: &'static [u8]) -> impl Strategy<Value = Vec<u8>> {
    let change = (0..bytes.len(), any::<u8>(), 0..3_u8);
    (prop::collection::vec(change, 1..8), 0..bytes.len()).prop_map(move |(changes, cut)| {
        let mut made = bytes.to_vec();
        for (at, byte, how) in changes {
            let at = at.min(made.len().saturating_sub(1));
            match how {
                0 => made[at] = byte,
                1 => made.insert(at, byte),
                _ => drop(made.remove(at)),
            }
        }
        if cut % 3 == 0 {
            made.truncate(cut);
        }
        made
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_damage_panics(
        bytes in prop_oneof![damaged(LITTLE), damaged(ASCII), damaged(LISTS), damaged(AROUND)]
    ) {
        // A damaged file may still read; it never gives what is no number.
        if let Ok(points) = try_read(&bytes) {
            prop_assert!(points.points.iter().all(|p| p.iter().all(|n| n.is_finite())));
        }
    }

    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..300), ply in any::<bool>()) {
        let whole = if ply { [b"ply\n".as_slice(), &bytes].concat() } else { bytes };
        let _either = try_read(&whole);
    }

    #[test]
    fn no_text_panics(text in "[-0-9a-z ,;.\\t\\n\"#]{0,200}") {
        let _either = try_read(text.as_bytes());
    }
}
