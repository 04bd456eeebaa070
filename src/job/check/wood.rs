//! Checks of the wood that parts are made of, and of what the eye lets pass.

use super::Check;
use crate::job::limits::{
    LONGEST_NAME, LONGEST_REMARK, MOISTURE, MOISTURE_HOLDS, MOST_WOODS, SEEN, SHRINKAGE,
};
use crate::job::nearest::did_you_mean;
use crate::job::species::SPECIES;
use crate::job::{Design, Seen, Wood};

/// Checks those of the job and of each of its runs.
pub(super) fn check(check: &mut Check<'_>) {
    let job = check.job;
    let first = std::iter::once(("design".to_owned(), &job.design));
    let further = job.runs.iter().enumerate().filter_map(|(at, run)| {
        let design = run.design.as_ref()?;
        Some((format!("runs[{at}].design"), design))
    });
    let all: Vec<(String, &Design)> = first.chain(further).collect();
    for (path, design) in all {
        if let Some(wood) = &design.wood {
            one(check, &format!("{path}.wood"), wood);
        }
        if let Some(seen) = &design.seen {
            eye(check, &format!("{path}.seen"), seen);
        }
    }
}

fn eye(check: &mut Check<'_>, path: &str, seen: &Seen) {
    let fields = [
        ("reveal", "what reveals may wander", &seen.reveal),
        ("step", "a reveal and the next one", &seen.step),
        ("slope", "the drift per step", &seen.slope),
        ("lean", "what an upright may lean", &seen.lean),
    ];
    for (field, what, length) in fields {
        check.length(&format!("{path}.{field}"), what, length, SEEN);
    }
}

fn one(check: &mut Check<'_>, path: &str, wood: &Wood) {
    own(check, path, wood);
    species(check, &format!("{path}.species"), wood, &wood.species);
    if check.few(&format!("{path}.but"), "parts", wood.but.len(), MOST_WOODS) {
        for (at, but) in wood.but.iter().enumerate() {
            let place = format!("{path}.but[{at}]");
            if let Some(name) = &but.species {
                species(check, &format!("{place}.species"), wood, name);
            }
            let mut before = wood.but.iter().take(at);
            if let Some(before) = before.position(|other| other.of == but.of) {
                check.tell_both(
                    &format!("{place}.of"),
                    format!("the wood of the {} is given twice", but.of.words()),
                    "leave one of them",
                    &format!("{path}.but[{before}].of"),
                    "the other one",
                );
            }
        }
    }
    moisture(check, path, wood);
}

fn own(check: &mut Check<'_>, path: &str, wood: &Wood) {
    if !check.few(&format!("{path}.own"), "woods", wood.own.len(), MOST_WOODS) {
        return;
    }
    for (at, own) in wood.own.iter().enumerate() {
        let place = format!("{path}.own[{at}]");
        let texts = [
            ("name", "the name", &own.name, LONGEST_NAME),
            ("source", "the source", &own.source, LONGEST_REMARK),
        ];
        for (field, what, text, most) in texts {
            if text.trim().is_empty() || text.chars().count() > most {
                check.tell(
                    &format!("{place}.{field}"),
                    format!("{what} is empty or too long"),
                    format!("write 1 to {most} letters"),
                );
            }
        }
        for (field, value) in [("radial", own.radial), ("tangential", own.tangential)] {
            // A range holds no NaN.
            if !SHRINKAGE.contains(&value) {
                check.tell(
                    &format!("{place}.{field}"),
                    format!("{value} is no coefficient of shrinkage"),
                    format!(
                        "write the share of its size that it changes for each per cent of \
                         moisture, {} to {}: red oak is 0.00158 radial, 0.00369 tangential",
                        SHRINKAGE.start(),
                        SHRINKAGE.end()
                    ),
                );
            }
        }
    }
}

fn species(check: &mut Check<'_>, path: &str, wood: &Wood, name: &str) {
    if wood.known(name).is_some() {
        return;
    }
    let own = wood.own.iter().map(|own| own.name.as_str());
    let known: Vec<&str> = SPECIES.iter().map(|one| one.name).chain(own).collect();
    let help = did_you_mean(name, &known, "species");
    check.tell(
        path,
        format!("there are no coefficients for `{name}`"),
        format!("{help}; or give them in own: [(name: \"{name}\", radial: .., tangential: .., source: ..)]"),
    );
}

fn moisture(check: &mut Check<'_>, path: &str, wood: &Wood) {
    let contents = [
        ("fitted", wood.fitted),
        ("driest", wood.driest),
        ("wettest", wood.wettest),
    ];
    let mut sound = true;
    for (field, percent) in contents {
        let field = format!("{path}.{field}");
        // A range holds no NaN.
        if !MOISTURE.contains(&percent) {
            sound = false;
            check.tell(
                &field,
                format!("a moisture content of {percent} per cent"),
                format!(
                    "write {} to {}: per cent of the dry weight, as a meter shows it",
                    MOISTURE.start(),
                    MOISTURE.end()
                ),
            );
        } else if !MOISTURE_HOLDS.contains(&percent) {
            check.warn(
                &field,
                format!("the published coefficients do not reach to {percent} per cent"),
                format!(
                    "they hold from {} to {}; past that what is told of movement is rough",
                    MOISTURE_HOLDS.start(),
                    MOISTURE_HOLDS.end()
                ),
            );
        }
    }
    if sound && wood.driest > wood.wettest {
        check.tell_both(
            &format!("{path}.driest"),
            "the driest is wetter than the wettest",
            "exchange the two",
            &format!("{path}.wettest"),
            "the wettest",
        );
    }
}
