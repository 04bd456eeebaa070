//! The fastening schedule in words.

use crate::measure::{Length, Tape};
use crate::shop::fastening::{
    AnchorTold, BoreLeft, DrivenKind, DrivenSet, HeldBy, JointFault, JointKind, JointLine, Schedule,
};

use super::words::{drill, driven_word, joint_word, names, shank};

/// One line of the schedule in words.
#[derive(Clone, Debug, PartialEq)]
pub struct JointTold {
    /// What kind of joint.
    pub kind: JointKind,
    /// The kind, in words, with how many and which.
    pub title: String,
    /// How it is held.
    pub held: Vec<String>,
    /// What will not do, with what would.
    pub faults: Vec<String>,
}

/// The heads that joints stand under, the first of them what a guard hangs on.
pub const JOINT_HEADS: [&str; 3] = [
    "What makes the guard safe",
    "Screws and bolts that the job tells of",
    "The rest",
];

impl JointTold {
    /// The number of the head that it stands under.
    #[must_use]
    pub const fn place(&self) -> usize {
        match self.kind {
            JointKind::Anchor(_) => 0,
            JointKind::Fixing => 1,
            JointKind::Usual(_) => 2,
        }
    }
}

/// The whole schedule.
#[must_use]
pub fn joints_told(schedule: &Schedule, tape: Tape) -> Vec<JointTold> {
    let lines = schedule.lines.iter();
    lines.map(|line| told(line, tape)).collect()
}

fn told(line: &JointLine, tape: Tape) -> JointTold {
    JointTold {
        kind: line.kind,
        title: title(line),
        held: held(line, tape),
        faults: line
            .faults
            .iter()
            .map(|fault| fault_told(fault, line, tape))
            .collect(),
    }
}

/// Each joint's parts once: what is held, on what.
fn title(line: &JointLine) -> String {
    let mut held: Vec<String> = Vec::new();
    let mut by: Vec<String> = Vec::new();
    let (mut own, mut none) = (true, false);
    for (part, behind) in &line.joints {
        if !held.contains(part) {
            held.push(part.clone());
        }
        match behind {
            Some(behind) => {
                own &= behind == part;
                if !by.contains(behind) {
                    by.push(behind.clone());
                }
            }
            None => none = true,
        }
    }
    let count = line.joints.len();
    let number = if count == 1 {
        String::new()
    } else {
        format!(", {count} joints")
    };
    let on = match (by.is_empty(), own && !none) {
        (true, _) | (_, true) => String::new(),
        (false, false) => format!(" on {}", names(&by)),
    };
    format!("{}{number}: {}{on}", joint_word(line.kind), names(&held))
}

fn held(line: &JointLine, tape: Tape) -> Vec<String> {
    let mut told = match &line.held_by {
        HeldBy::NotShown => vec!["anchor not shown".to_owned()],
        HeldBy::Anchors(anchors) => anchors.iter().map(anchor).collect(),
        HeldBy::Driven(set) => driven(set, tape),
        HeldBy::Bored => Vec::new(),
    };
    told.extend(line.bores.iter().map(|bore| bore_told(line, bore, tape)));
    told
}

fn anchor(told: &AnchorTold) -> String {
    let whole = if told.for_this {
        ""
    } else {
        "; stated for the railing as a whole, not for this joint"
    };
    format!(
        "{} (source: {}; carries {} as stated there{whole})",
        told.detail.trim(),
        told.source.trim(),
        told.as_typed.trim()
    )
}

fn driven(set: &DrivenSet, tape: Tape) -> Vec<String> {
    let print = |length: Length| tape.print(length);
    let (one, several) = driven_word(set.what);
    let word = if set.each == 1 { one } else { several };
    let every = set.every.map_or_else(String::new, |every| {
        format!(" (no more than {} apart)", print(every))
    });
    let total = if set.total == set.each {
        String::new()
    } else {
        format!(", {} in all", set.total)
    };
    let mut bores = Vec::new();
    bores.extend(
        set.clear
            .map(|clear| format!("bore {}", drill(clear, tape))),
    );
    bores.extend(
        set.pilot
            .map(|pilot| format!("pilot {}", drill(pilot, tape))),
    );
    bores.extend(
        set.plug
            .map(|(wide, deep)| format!("plug {} and {} deep", drill(wide, tape), print(deep))),
    );
    let bores = if bores.is_empty() {
        "no pilot".to_owned()
    } else {
        bores.join(", ")
    };
    let usual = if set.usual {
        "as is usual, no source"
    } else {
        "as the job says"
    };
    let room = set.room.map_or_else(
        || "what is there is not told".to_owned(),
        |room| {
            let at_least = if set.total > set.each {
                "at least "
            } else {
                ""
            };
            format!("{at_least}{} is there", print(room))
        },
    );
    let goes = match set.what {
        DrivenKind::RailBolt => format!(
            "{} into each piece, in the middle of its section; the hole for the nut from the \
             underside, {} from the joint; {room} in the shorter piece",
            print(set.bite),
            print(set.bite * NUT_SHARE)
        ),
        _ => format!(
            "goes through {} under its head and {} into what is behind; {room}",
            print(set.through),
            print(set.bite)
        ),
    };
    vec![
        format!(
            "{} {word} each{every}{total}, {} by {}: {bores} ({usual})",
            set.each,
            shank(set.diameter, tape),
            print(set.length)
        ),
        goes,
    ]
}

/// The nut stands a little short of the bolt's end: common practice, no source.
const NUT_SHARE: f64 = 0.8;

fn bore_told(line: &JointLine, bore: &BoreLeft, tape: Tape) -> String {
    let number = match (bore.name.as_str(), bore.number) {
        ("", 1) => "1 bore".to_owned(),
        ("", number) => format!("{number} bores"),
        (name, _) => name.to_owned(),
    };
    let on = match (
        &line.kind,
        line.joints.first().and_then(|joint| joint.1.as_ref()),
    ) {
        // It goes on into what is behind.
        (JointKind::Fixing, Some(behind)) => {
            return format!(
                "{number} in {}, {} and {} deep: {} of that goes on into {behind}",
                bore.part,
                drill(bore.diameter, tape),
                tape.print(bore.deep),
                tape.print(bore.left.abs())
            );
        }
        _ => &bore.part,
    };
    // One that comes out is told as a fault.
    let left = if bore.left > Length::ZERO {
        format!(", leaving {}", tape.print(bore.left))
    } else {
        String::new()
    };
    format!(
        "{number} in {on}, {} and {} deep{left}",
        drill(bore.diameter, tape),
        tape.print(bore.deep),
    )
}

/// What will not do about a joint, with what would.
#[must_use]
pub fn fault_told(fault: &JointFault, line: &JointLine, tape: Tape) -> String {
    let print = |length: Length| tape.print(length);
    let what = match &line.held_by {
        HeldBy::Driven(set) => driven_word(set.what).0,
        _ => "bore",
    };
    let would = |at_most: Option<Length>, none: &str| {
        at_most.map_or_else(
            || none.to_owned(),
            |at_most| format!("{} at most would do", print(at_most)),
        )
    };
    match fault {
        JointFault::NothingBehind {
            nearest: Some((part, off)),
        } if *off > Length::ZERO => format!(
            "nothing is behind: {part} stands {} off; pack that out, or fix a block there",
            print(*off)
        ),
        JointFault::NothingBehind {
            nearest: Some((part, off)),
        } => format!(
            "nothing lies against it: {part} stands {} in its way; look at where it was read",
            print(off.abs())
        ),
        JointFault::NothingBehind { nearest: None } => match line.kind {
            JointKind::Anchor(_) => {
                "a block that it should bear on is not there yet: it is in the \
                                     cut list"
                    .to_owned()
            }
            _ => "nothing is behind: write the stringers or blocks that are there in the job, or \
                  fix a block"
                .to_owned(),
        },
        JointFault::Unseen { wall } => format!(
            "what is behind the face of {wall} is not told: find the studs or blocking, and write \
             the anchor or screw for that"
        ),
        JointFault::TooLong { past, at_most } => {
            let how = if *past > Length::ZERO {
                format!("comes {} out on the far side", print(*past))
            } else {
                format!("stops {} short of the far side", print(past.abs()))
            };
            format!(
                "the {what} {how}: {}",
                would(
                    *at_most,
                    "no length would hold there; thicken what is behind"
                )
            )
        }
        JointFault::TooShort { bite, at_least } => format!(
            "only {} of the {what} is in what is behind: {} at least would do",
            print(*bite),
            print(*at_least)
        ),
        JointFault::PlugTooWide { piece, at_most } => format!(
            "the plug is too wide for a piece of {}: {}",
            print(*piece),
            would(*at_most, "leave the plug out, and use a brad or glue")
        ),
        JointFault::PlugTooDeep { piece, at_most } => format!(
            "the plug leaves too little under the head in {}: {}",
            print(*piece),
            would(*at_most, "leave the plug out")
        ),
        JointFault::Through { by, at_most } => format!(
            "the bore comes {} out on the far side: {} deep at most would do",
            print(*by),
            print(*at_most)
        ),
    }
}
