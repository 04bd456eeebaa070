//! The inspection report as a sheet: what it holds, that it holds together, and the command that
//! writes it.

use std::sync::{Arc, OnceLock};

use rakewell::chain::{self, Chain};
use rakewell::inspect::{Finding, Kind, Verdict};
use rakewell::job::{Document, Job};
use rakewell::publish::drawing::{Ink, closeup, escaped};
use rakewell::publish::pdf::Mark;
use rakewell::publish::report_sheet::{Options, Picture, ReportSheet, report_sheet};
use rakewell::publish::sheet::{Leaf, Paper};
use rakewell::publish::{Report, Told, rule_lines};
use serde_json::Value;

use super::{explanation, keeps_its_places};
use crate::cli::{demo_inspected, demo_json, rakewell, write};

const STAIRS: [&str; 3] = [
    include_str!("../../../demo-scenes/quarry-lane.ron"),
    include_str!("../../../demo-scenes/mill-row.ron"),
    include_str!("../../../demo-scenes/weir-cottage.ron"),
];

fn job(text: &str) -> Job {
    Document::parse(text, "job.ron").unwrap().job().clone()
}

/// The demo, set out once for all tests.
fn demo() -> &'static (Job, Chain) {
    static DEMO: OnceLock<(Job, Chain)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let job = job(STAIRS[0]);
        let chain = chain::run(&job).unwrap();
        (job, chain)
    })
}

fn sheet(job: &Job, chain: &Chain, words: &str, options: Options) -> ReportSheet {
    let found = chain.inspection.troubles();
    let troubles = Told::each(&found, vec![explanation(words); found.len()]);
    let report = Report {
        job,
        chain,
        troubles: &troubles,
    };
    report_sheet(&report, options)
}

/// The text of a page as its reader sees it, words apart by one space.
fn words_of(html: &str) -> String {
    let body = &html[html.find("<body>").unwrap()..];
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let plain = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("\u{a0}", " "),
        ("&amp;", "&"),
    ]
    .iter()
    .fold(text, |text, (from, to)| text.replace(from, to));
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn strings<'a>(value: &'a Value, field: &str) -> &'a str {
    value[field].as_str().unwrap()
}

/// The machine answer and the page tell the same.
#[test]
fn the_page_holds_every_trouble_rule_and_caution() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("demo.html");
    let to = to.to_str().unwrap();
    let ran = rakewell(&["inspect", "--sheet", to, "--date", "3 May 2026"]);
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(ran.err.contains("wrote"), "{}", ran.err);
    assert_eq!(ran.out, demo_inspected().out, "the answer is as without it");

    let html = std::fs::read_to_string(to).unwrap();
    let words = words_of(&html);
    let json: Value = serde_json::from_str(&demo_json().out).unwrap();
    let holds = |text: &str| {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        // A sentence begins with a capital.
        let rest: String = text.chars().skip(1).collect();
        assert!(words.contains(&rest), "the page lacks {text:?}");
    };
    let troubles = json["troubles"].as_array().unwrap();
    assert!(troubles.len() >= 4);
    for trouble in troubles {
        for field in ["says", "value", "source"] {
            holds(strings(trouble, field));
        }
        for because in trouble["because"].as_array().unwrap().iter().take(5) {
            // Less than half a mark is not told.
            if because["share_mm"].as_f64().unwrap().abs() > 1.0 {
                holds(strings(because, "what"));
            }
        }
        for cure in trouble["cures"].as_array().unwrap() {
            holds(strings(cure, "what"));
        }
    }
    let rules = json["rules"].as_array().unwrap();
    assert!(rules.len() >= 15);
    for rule in rules {
        holds(strings(rule, "says"));
        let edition = strings(&json["pack"], "edition");
        holds(strings(rule, "clause").trim_start_matches(edition));
    }
    for caution in json["cautions"].as_array().unwrap() {
        holds(caution.as_str().unwrap());
    }
    holds(strings(&json["pack"], "note"));
    for text in [
        "3 May 2026",
        "certifies nothing",
        "Carpenter",
        "Inspector",
        "Signature",
    ] {
        holds(text);
    }
}

#[test]
fn the_same_report_makes_the_same_bytes() {
    let (job, chain) = demo();
    let both = || {
        let sheet = sheet(job, chain, "lean", Options::default());
        (sheet.html(), sheet.pdf(Paper::A4).unwrap())
    };
    let (html, pdf) = both();
    assert_eq!((html, pdf.clone()), both());
    let text = String::from_utf8_lossy(&pdf);
    for word in ["CreationDate", "ModDate"] {
        assert!(!text.contains(word), "{word}");
    }
}

/// Tags that stand open at each place must close in their order (HTML, 13.1.2; void elements have
/// no end).
fn balanced(html: &str) {
    const VOID: [&str; 4] = ["meta", "img", "br", "hr"];
    let mut open: Vec<&str> = Vec::new();
    let mut rest = html.strip_prefix("<!DOCTYPE html>").unwrap();
    while let Some(at) = rest.find('<') {
        let end = at + rest[at..].find('>').expect("a tag ends");
        let tag = &rest[at + 1..end];
        rest = &rest[end + 1..];
        let name = tag.split([' ', '/']).find(|word| !word.is_empty()).unwrap();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "closed out of order");
        } else if !tag.ends_with('/') && !VOID.contains(&name) {
            open.push(name);
        }
        if name == "style" && !tag.starts_with('/') {
            rest = &rest[rest.find("</style>").unwrap()..];
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

#[test]
fn the_page_stands_alone_and_can_be_read_aloud() {
    for text in STAIRS {
        let job = job(text);
        let chain = chain::run(&job).unwrap();
        let html = sheet(&job, &chain, "lean", Options::default()).html();
        balanced(&html);
        let alone = html.replace("http://www.w3.org/2000/svg", "");
        for outside in [
            "http:", "https:", "<script", "<link", "@import", "url(", " on",
        ] {
            if outside == " on" {
                // No handler on any element.
                assert!(!alone.contains(" onload") && !alone.contains(" onclick"));
            } else {
                assert!(!alone.contains(outside), "{outside} in the page");
            }
        }
        assert!(html.contains("<html lang=\"en\">") && html.contains("<meta charset=\"utf-8\">"));
        assert_eq!(html.matches("<h1>").count(), 1);
        for svg in html.split("<svg ").skip(1) {
            let tag = &svg[..svg.find('>').unwrap()];
            let told = tag.contains("role=\"img\"") && tag.contains("aria-label=\"");
            assert!(told || tag.contains("aria-hidden=\"true\""), "{tag}");
        }
        for th in html
            .split("<th")
            .skip(1)
            .filter(|th| !th.starts_with("ead"))
        {
            assert!(th.starts_with(" scope=\""), "{}", &th[..30]);
        }
        // A verdict is told by a word beside every mark.
        for verdict in ["met", "broken", "not shown"] {
            assert!(
                html.contains(&format!("</svg>{verdict}</span>")),
                "{verdict}"
            );
        }
    }
}

#[test]
fn names_that_are_markup_stay_text() {
    let attack = "</title><script>alert(1)</script><img src=x onerror='alert(2)'> \" & \u{202e}txt";
    let (job, chain) = demo();
    let mut job = job.clone();
    attack.clone_into(&mut job.name);
    let mut chain = chain.clone();
    let trouble = chain
        .inspection
        .findings
        .iter_mut()
        .find(|finding| finding.is_trouble())
        .unwrap();
    trouble.says = format!("{attack} is bad");
    trouble.source = attack.to_owned();
    let options = Options {
        date: Some(attack.to_owned()),
        pictures: vec![Picture {
            caption: attack.to_owned(),
            png: Arc::from(PNG),
        }],
        milder: 0,
    };
    let sheet = sheet(&job, &chain, attack, options);
    let html = sheet.html();
    balanced(&html);
    assert!(!html.contains("<script") && !html.contains("<img src=x"));
    assert!(!html.contains('\u{202e}'));
    // Every image and every quote in an attribute is ours.
    assert_eq!(html.matches("<img ").count(), 1);
    let kept = escaped(attack);
    assert!(html.matches(kept.as_str()).count() >= 6, "{kept}");
    keeps_its_places(&sheet.laid(Paper::Letter));
}

/// A picture of one pixel, grey.
const PNG: &[u8] = &[
    0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d, 0x49, 0x48, 0x44, 0x52,
    0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x08, 0x00, 0x00, 0x00, 0x00, 0x3a, 0x7e, 0x9b,
    0x55, 0x00, 0x00, 0x00, 0x0a, 0x49, 0x44, 0x41, 0x54, 0x78, 0x9c, 0x63, 0x68, 0x00, 0x00, 0x00,
    0x82, 0x00, 0x81, 0x77, 0xcd, 0x72, 0xb6, 0x00, 0x00, 0x00, 0x00, 0x49, 0x45, 0x4e, 0x44, 0xae,
    0x42, 0x60, 0x82,
];

#[test]
fn a_picture_leads_and_what_is_none_is_left_out() {
    let (job, chain) = demo();
    let picture = |png: &[u8]| Picture {
        caption: "From the hall".to_owned(),
        png: Arc::from(png),
    };
    let options = Options {
        pictures: vec![picture(b"not a picture"), picture(PNG), picture(&PNG[..20])],
        ..Options::default()
    };
    let sheet = sheet(job, chain, "lean", options);
    assert_eq!(
        sheet
            .html()
            .matches("src=\"data:image/png;base64,iVBOR")
            .count(),
        1
    );
    let pdf = sheet.pdf(Paper::Letter).unwrap();
    let text = String::from_utf8_lossy(&pdf);
    assert_eq!(text.matches("/Subtype/Image").count(), 1);
    keeps_its_places(&sheet.laid(Paper::Letter));
}

#[test]
fn nothing_on_paper_is_cut_or_lies_over_another() {
    for text in STAIRS {
        let job = job(text);
        let chain = chain::run(&job).unwrap();
        for paper in [Paper::Letter, Paper::A4] {
            for words in ["lean", &"and leans and bows ".repeat(30), &"x".repeat(300)] {
                keeps_its_places(&sheet(&job, &chain, words, Options::default()).laid(paper));
            }
        }
    }
}

#[test]
fn hundreds_of_troubles_are_all_there() {
    let (job, chain) = demo();
    let mut chain = chain.clone();
    let one = chain
        .inspection
        .findings
        .iter()
        .find(|finding| finding.key.kind == Kind::TreadDepth && finding.is_trouble())
        .unwrap()
        .clone();
    for number in 0..300 {
        let mut finding: Finding = one.clone();
        finding.key.parts = vec![format!("T{number}")];
        finding.says = format!("trouble number {number} of many");
        chain.inspection.findings.push(finding);
    }
    let sheet = sheet(job, &chain, "lean", Options::default());
    let laid = sheet.laid(Paper::Letter);
    keeps_its_places(&laid);
    let marks = laid.leaves.iter().flat_map(Leaf::marks);
    let says: Vec<&str> = marks
        .filter_map(|mark| match mark {
            Mark::Text { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    for number in 0..300 {
        let text = format!("Trouble number {number} of many.");
        assert!(says.contains(&text.as_str()), "{text}");
    }
}

/// On paper as on the page every rule has its line, with its verdict in words.
#[test]
fn the_rule_table_is_whole() {
    let (job, chain) = demo();
    let report = Report {
        job,
        chain,
        troubles: &[],
    };
    let lines = rule_lines(&report);
    let sheet = report_sheet(&report, Options::default());
    assert_eq!(sheet.rules.rows.len(), lines.len());
    for (line, row) in lines.iter().zip(&sheet.rules.rows) {
        assert_eq!(row.len(), sheet.rules.heads.len());
        let answer = line.not_asked.is_none().then_some(line.verdict);
        assert_eq!(row[0].mark, answer);
        assert!(row.iter().any(|cell| cell.text == line.rule.says));
    }
    let asked = || lines.iter().filter(|line| line.not_asked.is_none());
    let open = asked().filter(|line| line.verdict == Verdict::NotShown);
    let (open, of) = (open.count(), asked().count());
    assert_eq!(sheet.not_shown.len(), open);
    // Who reads that nothing was found reads with it what was not looked at.
    assert_eq!(
        sheet.verdict,
        format!("No trouble found; {open} of {of} rules not shown.")
    );
}

/// The ball and the ball of its limit are drawn to one scale.
#[test]
fn the_ball_is_drawn_at_its_size() {
    let (_, chain) = demo();
    let troubles = chain.inspection.troubles();
    let finding = troubles
        .iter()
        .find(|finding| finding.key.kind == Kind::Opening)
        .unwrap();
    let drawing = closeup(chain, finding, (50.0, 43.0)).unwrap();
    let rounds: Vec<f64> = drawing
        .canvas
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Round { radius, .. } => Some(*radius),
            _ => None,
        })
        .collect();
    let [limit, passes] = rounds[..] else {
        panic!("two balls, not {rounds:?}")
    };
    let ratio = finding.lower / finding.limit;
    assert!((passes / limit - ratio).abs() < 1e-9, "{passes} {limit}");
    assert!(ratio > 1.0);
}

/// Colours that tell severities apart differ for the colour-blind too: by lightness or blue against
/// yellow (Machado, Oliveira and Fernandes 2009, full protanomaly and deuteranomaly, linear RGB;
/// lightness as CIE 1976). Shape and word tell them apart without.
#[test]
fn stop_and_fix_and_met_do_not_look_alike_to_the_colour_blind() {
    let matrices = [
        [
            [0.367_322, 0.860_646, -0.227_968],
            [0.280_085, 0.672_501, 0.047_413],
            [-0.011_820, 0.042_940, 0.968_881],
        ],
        [
            [0.152_286, 1.052_583, -0.204_868],
            [0.114_503, 0.786_281, 0.099_216],
            [-0.003_882, -0.048_116, 1.051_998],
        ],
    ];
    let linear = |part: u8| {
        let part = f64::from(part) / 255.0;
        if part <= 0.040_45 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055_f64).powf(2.4)
        }
    };
    for matrix in matrices {
        // CIELAB from linear sRGB (IEC 61966-2-1, D65).
        let lab = |shade: rakewell::publish::pdf::Shade| {
            let rgb = [linear(shade.0), linear(shade.1), linear(shade.2)];
            let dot =
                |row: [f64; 3], v: [f64; 3]| row.iter().zip(v).map(|(a, b)| a * b).sum::<f64>();
            let seen = matrix.map(|row| dot(row, rgb).clamp(0.0, 1.0));
            let f = |t: f64| {
                if t > 216.0 / 24389.0 {
                    t.cbrt()
                } else {
                    (24389.0 / 27.0 * t + 16.0) / 116.0
                }
            };
            let x = f(dot([0.412_4, 0.357_6, 0.180_5], seen) / 0.950_47);
            let y = f(dot([0.212_6, 0.715_2, 0.072_2], seen));
            let z = f(dot([0.019_3, 0.119_2, 0.950_5], seen) / 1.088_83);
            [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
        };
        let apart = |a, b| {
            let (a, b) = (lab(a), lab(b));
            let sum: f64 = a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum();
            sum.sqrt()
        };
        for (a, b) in [
            (Ink::CRAYON, Ink::CHALK),
            (Ink::OCHRE, Ink::CHALK),
            (Ink::OCHRE_WASH, Ink::CHALK_WASH),
        ] {
            // A difference of 2.3 is just seen (Mahy and others 1994); this is far more.
            assert!(apart(a, b) > 20.0, "{a:?} {b:?}: {}", apart(a, b));
        }
    }
}

#[test]
fn what_cannot_be_written_is_a_fault_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let job = write(folder.path(), "stair.ron", super::STARTER);
    let bad = write(folder.path(), "bad.ron", "(format: 1");
    std::fs::create_dir(path("folder.pdf")).unwrap();
    let before = std::fs::read_dir(folder.path()).unwrap().count();
    let cases: [(&str, &str, &[&str], &str); 8] = [
        (&job, "sheet.txt", &[], "FILE.pdf or FILE.html"),
        (&job, "sheet", &[], "FILE.pdf or FILE.html"),
        (&job, ".pdf", &[], "FILE.pdf or FILE.html"),
        (&job, "no/such/sheet.pdf", &[], "its folder is not there"),
        (&job, "folder.pdf", &[], "it is a folder"),
        (&bad, "sheet.html", &[], "bad.ron"),
        (&job, "sheet.html", &["--date", "a\nb"], "date"),
        (&job, "sheet.pdf", &["--paper", "a0"], "a4"),
    ];
    for (job, name, more, says) in cases {
        let to = path(name);
        let mut args = vec!["inspect", job, "--sheet", &to];
        args.extend(more);
        let ran = rakewell(&args);
        assert_eq!(
            (ran.status, ran.out.as_str()),
            (2, ""),
            "{name}: {}",
            ran.err
        );
        assert!(ran.err.contains(says), "{name}: {}", ran.err);
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), before);
    let alone = rakewell(&["inspect", &job, "--paper", "a4"]);
    assert_eq!(alone.status, 2, "a paper without a sheet");
}

#[test]
fn a_sheet_that_is_there_is_replaced_whole() {
    let folder = tempfile::tempdir().unwrap();
    let job = write(folder.path(), "stair.ron", super::STARTER);
    let to = write(folder.path(), "sheet.PDF", "something older");
    let ran = rakewell(&["inspect", &job, "--sheet", &to, "--json"]);
    assert!(ran.status < 2, "{}", ran.err);
    assert!(ran.out.starts_with('{'), "JSON is answered all the same");
    let letter = std::fs::read(&to).unwrap();
    assert!(letter.starts_with(b"%PDF-"));
    let ran = rakewell(&["inspect", &job, "--sheet", &to, "--paper", "a4"]);
    assert!(ran.status < 2, "{}", ran.err);
    assert_ne!(std::fs::read(&to).unwrap(), letter, "on other paper");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
}
