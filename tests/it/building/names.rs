//! Names in the model: text stays text, identifiers come out the same, the same job gives the same
//! bytes.

use std::collections::BTreeSet;

use rakewell::chain::Chain;
use rakewell::publish::building::{OUR_SPACE, building, identifier, named_uuid};
use rakewell::shop::parts::parts;
use serde_json::{Value, json};

use super::{CHAINS, chain_of, instances, job_of, plumb, texts};
use crate::shop::SCENES;

const HARD: &str = "O'Brien's \"stair\" \\ <b>&amp; é漢🚪 #1=IFCWALL();";
const HARD_NEWEL: &str = "N<1> 'é' \\X\\";

fn model(job: Value) -> String {
    let job = job_of(job);
    let chain = chain_of(&job);
    building(&job, &chain, &parts(&chain))
}

fn hard() -> Value {
    let mut job = plumb("Left");
    job["name"] = json!(HARD);
    job["design"]["newels"][0]["name"] = json!(HARD_NEWEL);
    job["design"]["rail"]["lower"]["Newel"] = json!(HARD_NEWEL);
    job
}

/// A text as ISO 10303-21 writes it, read back (6.4.3: `''`, `\\`, `\X2\`, `\X4\`).
fn read_back(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(letter) = rest.chars().next() {
        let digits = if rest.starts_with("\\X2\\") {
            4
        } else if rest.starts_with("\\X4\\") {
            8
        } else {
            0
        };
        if digits > 0 {
            let (codes, after) = rest[4..].split_once("\\X0\\").unwrap();
            for code in codes.as_bytes().chunks(digits) {
                let code = u32::from_str_radix(str::from_utf8(code).unwrap(), 16).unwrap();
                out.push(char::from_u32(code).unwrap());
            }
            rest = after;
        } else {
            let doubled = rest.starts_with("''") || rest.starts_with("\\\\");
            assert!(doubled || !"'\\".contains(letter), "{rest}");
            out.push(letter);
            rest = &rest[letter.len_utf8() * (1 + usize::from(doubled))..];
        }
    }
    out
}

#[test]
fn quotes_markup_and_other_scripts_stay_text() {
    let file = model(hard());
    assert!(file.is_ascii());
    assert!(file.lines().all(|line| !line.contains('\r')));
    let all = instances(&file);
    let (_, _, project) = all.iter().find(|one| one.1 == "IFCPROJECT").unwrap();
    assert_eq!(read_back(texts(project)[1]), HARD);
    let posts = all.iter().filter(|one| one.1 == "IFCMEMBER");
    let named: Vec<String> = posts.map(|one| read_back(texts(one.2)[1])).collect();
    assert!(named.iter().any(|name| name == HARD_NEWEL), "{named:?}");
    // Nothing in a name became an instance.
    assert_eq!(all.iter().filter(|one| one.1 == "IFCWALL").count(), 0);
}

#[test]
fn instances_are_numbered_in_order_and_refer_to_earlier_ones() {
    for (scene, chain) in CHAINS.iter() {
        let file = building(&chain.first().run.job, chain, &parts(chain));
        for (at, (number, entity, args)) in (1..).zip(instances(&file)) {
            assert_eq!(number, at, "{scene}");
            // Outside the texts.
            let mut bare = args.to_owned();
            for text in texts(args) {
                bare = bare.replacen(text, "", 1);
            }
            for reference in bare.split('#').skip(1) {
                let digits: String = reference.chars().take_while(char::is_ascii_digit).collect();
                let to: u32 = digits.parse().unwrap();
                assert!(to < number, "{scene}: #{number} {entity} refers to #{to}");
            }
        }
    }
}

#[test]
fn the_same_job_gives_the_same_bytes_and_identifiers_that_differ() {
    let write = |chain: &Chain| building(&chain.first().run.job, chain, &parts(chain));
    // From the job on, for two of them; the reference suite does it for all.
    for again in ["panels", "winders"] {
        let (_, text) = SCENES.iter().find(|(scene, _)| *scene == again).unwrap();
        let (_, chain) = CHAINS.iter().find(|(scene, _)| *scene == again).unwrap();
        assert!(
            write(chain) == write(&crate::shop::chain_of(text)),
            "{again}"
        );
    }
    for (scene, chain) in CHAINS.iter() {
        let one = write(chain);
        let rooted: Vec<&str> = instances(&one)
            .iter()
            .filter_map(|(_, _, args)| texts(args).first().copied().filter(|id| is_guid(id)))
            .collect();
        let differ: BTreeSet<&&str> = rooted.iter().collect();
        assert!(rooted.len() > 50, "{scene}");
        assert_eq!(differ.len(), rooted.len(), "{scene}");
    }
}

fn is_guid(text: &str) -> bool {
    let digit = |letter: char| letter.is_ascii_alphanumeric() || "_$".contains(letter);
    text.len() == 22 && text.chars().all(digit)
}

#[test]
fn an_identifier_is_that_of_the_name_by_the_standards() {
    // RFC 9562 for the UUID of a name, buildingSMART's base 64 for its short form; the value is that of
    // Python's uuid.uuid5 and ifcopenshell 0.9.0's guid.compress.
    let space = named_uuid(0, "rakewell");
    assert_eq!(space, OUR_SPACE);
    assert_eq!(identifier("plumb", "part T2"), KNOWN);
    let file = model(plumb("Left"));
    assert!(file.contains(&format!("'{KNOWN}',$,'T2',$,'tread',")));
    // Another job's part of the same name is another thing.
    assert_ne!(identifier("another", "part T2"), KNOWN);
}

const KNOWN: &str = "0xDR473WfN6u44rCyVmmIH";

#[test]
fn a_name_without_end_is_cut_to_what_the_standard_holds() {
    // IfcLabel is STRING(255) (ISO 16739-1, 8.11.2.42, from memory).
    let mut job = plumb("Left");
    job["name"] = json!("é".repeat(400));
    let file = model(job);
    let all = instances(&file);
    let (_, _, project) = all.iter().find(|one| one.1 == "IFCPROJECT").unwrap();
    assert_eq!(read_back(texts(project)[1]).chars().count(), 255);
}

#[test]
fn a_job_without_a_name_has_a_model_with_one() {
    let mut job = plumb("Left");
    job["name"] = json!("");
    let file = model(job);
    let all = instances(&file);
    let (_, _, project) = all.iter().find(|one| one.1 == "IFCPROJECT").unwrap();
    assert_eq!(texts(project)[1], "stair");
}

#[test]
fn a_mirrored_stair_is_written_mirrored() {
    // The corners of both, in the order of the parts: as many, and each on the other side.
    let corners = |side: &str| -> Vec<Vec<[f64; 3]>> {
        let file = model(plumb(side));
        let lists = instances(&file);
        let lists = lists
            .iter()
            .filter(|one| one.1 == "IFCCARTESIANPOINTLIST3D");
        lists
            .map(|(_, _, args)| {
                let numbers: Vec<f64> = args
                    .split(['(', ')', ','])
                    .filter(|word| !word.is_empty())
                    .map(|word| word.parse().unwrap())
                    .collect();
                let (points, rest) = numbers.as_chunks::<3>();
                assert!(rest.is_empty());
                points.to_vec()
            })
            .collect()
    };
    // Each part counts from the least corner of its own box, so it is its size that is compared.
    let spread = |points: &Vec<[f64; 3]>, axis: usize| {
        let of = points.iter().map(|point| point[axis]);
        of.clone().fold(f64::MIN, f64::max) - of.fold(f64::MAX, f64::min)
    };
    let (left, right) = (corners("Left"), corners("Right"));
    assert_eq!(left.len(), right.len());
    for (one, other) in left.iter().zip(&right) {
        for axis in 0..3 {
            let (a, b) = (spread(one, axis), spread(other, axis));
            assert!((a - b).abs() < 1e-5, "{a} {b}");
        }
    }
}
