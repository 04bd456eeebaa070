//! What `setout` tells of treads, kicks and skirts.

use super::page::{Page, Push};
use crate::job::{Boards, Hand, Job, Leaning, Meets, Unequal};
use crate::measure::{Angle, Length, Tape};
use crate::setout::boards::{
    BoardsSet, CapsMeet, KickEnd, OpenSkirtSet, SkirtEnd, StripSet, TiltIn, TreadEnd, TreadSet,
    WallSkirtSet,
};

/// Writes the section; nothing where a run has no steps.
pub(super) fn write(page: &mut Page, job: &Job, boards: &BoardsSet) {
    if boards.treads.is_empty() {
        return;
    }
    let tape = job.tape;
    page.heading("Treads, kicks and skirts");
    let settings = job.boards.clone().unwrap_or_default();
    page.wrapped("  ", &how(&settings, boards, tape));
    write_treads(page, &boards.treads, tape);
    write_kicks(page, boards, tape);
    for skirt in &boards.wall_skirts {
        write_wall_skirt(page, skirt, tape);
    }
    for skirt in &boards.open_skirts {
        write_open_skirt(page, skirt, tape);
    }
}

fn degrees(angle: Angle) -> String {
    angle.print_degrees(1)
}

/// True for a length that is not nothing on the tape.
fn shows(length: Length, tape: Tape) -> bool {
    tape.round(length.abs()) > Length::ZERO
}

const fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

const fn meets(meets: Meets) -> &'static str {
    match meets {
        Meets::Skirt => "skirt",
        Meets::Wall => "wall",
        Meets::Return => "open",
    }
}

fn how(settings: &Boards, boards: &BoardsSet, tape: Tape) -> String {
    let undercut = &settings.undercut;
    let sides = boards.treads.first().map_or_else(String::new, |tread| {
        let (left, right) = (meets(tread.left.meets), meets(tread.right.meets));
        format!(" The left ends meet: {left}; the right ends: {right}.")
    });
    format!(
        "Net sizes on the show face, which is the long one everywhere; left and right as one goes \
         up; an end's angle is the inside angle with the nosing, or with the kick's lower edge. \
         Undercut, common practice with no source unless the job says otherwise: tread backs {}, \
         tread ends {}, kick ends {}, kick tops {}. Cut from blanks {} longer and {} deeper.{sides}",
        degrees(undercut.tread_back.value),
        degrees(undercut.tread_ends.value),
        degrees(undercut.kick_ends.value),
        degrees(undercut.kick_top.value),
        tape.print(settings.blank.length.value),
        tape.print(settings.blank.depth.value),
    )
}

/// A table in which neighbours that are told alike share a line.
fn table(page: &mut Page, heads: &[&str], rows: &[(u32, Vec<String>)]) {
    let mut lines = vec![heads.iter().map(|head| (*head).to_owned()).collect()];
    for run in rows.chunk_by(|a, b| a.1 == b.1) {
        if let (Some(first), Some(last)) = (run.first(), run.last()) {
            let step = if first.0 == last.0 {
                first.0.to_string()
            } else {
                format!("{} to {}", first.0, last.0)
            };
            let mut line = vec![step];
            line.extend(first.1.iter().cloned());
            lines.push(line);
        }
    }
    let mut pushes = vec![Push::Right; heads.len()];
    pushes[0] = Push::Left;
    page.table(2, &pushes, &lines);
}

fn write_treads(page: &mut Page, treads: &[TreadSet], tape: Tape) {
    page.space();
    let row = |tread: &TreadSet| {
        let cells = vec![
            tape.print(tread.front),
            tape.print(tread.back),
            degrees(tread.left.angle),
            degrees(tread.right.angle),
            tape.print(tread.depth.0),
            tape.print(tread.depth.1),
        ];
        (tread.step, cells)
    };
    let heads = [
        "tread",
        "front",
        "back",
        "left",
        "right",
        "deep left",
        "deep right",
    ];
    table(page, &heads, &treads.iter().map(row).collect::<Vec<_>>());
    write_returns(page, treads, tape);
    for tread in treads {
        if let Some(off) = tread.disagree {
            let says = format!(
                "widths and angles of tread {} were read {} apart at the back: read one again",
                tread.step,
                tape.print(off.abs())
            );
            page.wrapped("      ", &says);
        }
    }
    write_tilt(page, treads, tape);
}

fn write_returns(page: &mut Page, treads: &[TreadSet], tape: Tape) {
    let row = |tread: &TreadSet, end: &TreadEnd, word: &str| {
        let one = end.returned?;
        let lengths = [one.width, one.length, one.body_back, one.beyond_skirt];
        let mut cells = lengths.map(|length| tape.print(length)).to_vec();
        cells.insert(2, degrees(one.mitre));
        cells.insert(0, word.to_owned());
        Some((tread.step, cells))
    };
    let left = treads
        .iter()
        .filter_map(|tread| row(tread, &tread.left, "left"));
    let right = treads
        .iter()
        .filter_map(|tread| row(tread, &tread.right, "right"));
    let rows: Vec<(u32, Vec<String>)> = left.chain(right).collect();
    if rows.is_empty() {
        return;
    }
    page.space();
    let heads = [
        "return",
        "end",
        "wide",
        "long",
        "mitre",
        "tread's back",
        "beyond skirt",
    ];
    table(page, &heads, &rows);
    page.wrapped(
        "      ",
        "the tread's back is what is left of it beside the return",
    );
}

fn write_tilt(page: &mut Page, treads: &[TreadSet], tape: Tape) {
    let told = || {
        treads
            .iter()
            .filter_map(|tread| Some((tread.step, tread.tilt?)))
    };
    for (step, tilt) in told().filter(|(_, tilt)| !tilt.passes()) {
        let tight = tilt.tight();
        let says = format!(
            "tread {step} does not tilt in at its net {}: undercut the {} end by {} at least, or \
             cut it to {}",
            tape.print(tight.gap),
            hand(tilt.last),
            tight.least_undercut.print_degrees(2),
            tape.print(tight.greatest)
        );
        page.wrapped("      ", &says);
    }
    let passing = told().filter(|(_, tilt)| tilt.passes());
    let spare = |tilt: &TiltIn| tilt.tight().spare();
    let least = passing.min_by(|a, b| {
        spare(&a.1)
            .as_radians()
            .total_cmp(&spare(&b.1).as_radians())
    });
    if let Some((step, tilt)) = least {
        let every = if told().all(|(_, tilt)| tilt.passes()) {
            "every tread tilts in"
        } else {
            "the others tilt in"
        };
        let says = format!(
            "{every} at its net size, {} end last; the least undercut to spare is {}, at tread \
             {step}",
            hand(tilt.last),
            spare(&tilt).print_degrees(2),
        );
        page.wrapped("      ", &says);
    }
}

fn write_kicks(page: &mut Page, boards: &BoardsSet, tape: Tape) {
    if boards.kicks.is_empty() {
        return;
    }
    page.space();
    let rows = boards.kicks.iter().map(|kick| {
        let cells = vec![
            tape.print(kick.bottom),
            tape.print(kick.top),
            degrees(kick.left.angle),
            degrees(kick.right.angle),
            tape.print(kick.height.0),
            tape.print(kick.height.1),
        ];
        (kick.step, cells)
    });
    let heads = [
        "kick",
        "bottom",
        "top",
        "left",
        "right",
        "high left",
        "high right",
    ];
    table(page, &heads, &rows.collect::<Vec<_>>());
    let Some(first) = boards.kicks.first() else {
        return;
    };
    let mitred = |end: &KickEnd| end.mitred.then_some(end.tilt);
    let mitre = mitred(&first.left).or(mitred(&first.right));
    let mitre = mitre.map_or_else(String::new, |tilt| {
        format!(
            "; the open ends are mitred to the skirt, {} from square at kick 1, long points \
             outside",
            degrees(tilt)
        )
    });
    let hidden = if shows(first.shorter(), tape) {
        let by = tape.print(first.shorter());
        format!("; the hidden face of kick 1 is {by} shorter")
    } else {
        String::new()
    };
    let says = format!(
        "high is from the underside of the tread below to that of the tread above, and what of it \
         stands above the tread below shows{hidden}{mitre}"
    );
    page.wrapped("      ", &says);
    for kick in &boards.kicks {
        if shows(Length::inches(12.0) * kick.lean.as_radians(), tape) {
            let way = if kick.lean > Angle::ZERO {
                "up the flight"
            } else {
                "over the tread below"
            };
            let lean = degrees(kick.lean.abs());
            let says = format!("kick {} leans {lean}, its head {way}", kick.step);
            page.wrapped("      ", &says);
        }
    }
}

fn write_wall_skirt(page: &mut Page, skirt: &WallSkirtSet, tape: Tape) {
    page.space();
    let ((least, least_at), (most, most_at)) = skirt.tips;
    page.wrapped(
        &format!("  {}  ", skirt.name),
        &format!(
            "at {}, {} wide, {} long; its cap stands {} above the kick tips, plumb ({} at kick {} \
             to {} at kick {})",
            degrees(skirt.pitch.angle()),
            tape.print(skirt.width),
            tape.print(skirt.length),
            tape.print(skirt.above_tips),
            tape.print(least),
            least_at,
            tape.print(most),
            most_at,
        ),
    );
    if let Some((off, step)) = skirt.wander.filter(|(off, _)| shows(*off, tape)) {
        let says = format!(
            "straight in plan; the end of tread {step} was read {} off its face",
            tape.print(off.abs())
        );
        page.wrapped("      face    ", &says);
    }
    write_skirt_end(page, "bottom", "before the first kick", &skirt.bottom, tape);
    write_skirt_end(page, "top   ", "beyond the last kick", &skirt.top, tape);
    if let Some(best) = &skirt.best {
        let height = format!(
            "{} above the kick tips, {} above the nosings",
            tape.print(best.above_tips),
            tape.print(best.above_nosings)
        );
        let says = if shows(best.left, tape) {
            format!(
                "no height serves both ends; {height} leaves {} at each, too high at one and too \
                 low at the other",
                tape.print(best.left)
            )
        } else {
            format!("{height}: caps flush at both ends")
        };
        page.wrapped("      best    ", &says);
    }
    for strip in &skirt.strips {
        write_strip(page, strip, tape);
    }
}

fn write_skirt_end(page: &mut Page, lead: &str, place: &str, end: &SkirtEnd, tape: Tape) {
    let heel = if end.heel > Length::ZERO {
        format!(", {} plumb behind the kick", tape.print(end.heel))
    } else {
        String::new()
    };
    page.wrapped(
        &format!("      {lead}  "),
        &format!(
            "{} {place}: plumb cut {} for {}, level cut {} for {}{heel}; seam to a level base {} \
             on the base, {} on the skirt, {} on a cap moulding{}{}",
            tape.print(end.at),
            degrees(end.plumb),
            tape.print(end.plumb_cut),
            degrees(end.level),
            tape.print(end.level_cut),
            mitre(end.seam.base_mitre),
            mitre(end.seam.skirt_mitre),
            mitre(end.seam.cap_mitre),
            thicker(end.seam.thicker, end.seam.unequal, tape),
            end.caps
                .as_ref()
                .map_or_else(String::new, |caps| flush(caps, tape)),
        ),
    );
}

/// A mitre; between boards of very unequal widths the seam leans back over the one.
fn mitre(angle: Angle) -> String {
    let back = if angle < Angle::ZERO {
        " leaning back"
    } else {
        ""
    };
    format!("{}{back}", degrees(angle.abs()))
}

fn thicker(by: Length, unequal: Unequal, tape: Tape) -> String {
    if !shows(by, tape) {
        return String::new();
    }
    let size = tape.print(by.abs());
    let (thick, thin) = if by > Length::ZERO {
        ("skirt", "base")
    } else {
        ("base", "skirt")
    };
    match unequal {
        Unequal::StepBack => format!(", the {thin} stepped back {size}"),
        Unequal::Rip => format!(", {size} ripped off the {thick}"),
    }
}

fn flush(caps: &CapsMeet, tape: Tape) -> String {
    let left = match shows(caps.left, tape) {
        false => "flush".to_owned(),
        true if caps.left > Length::ZERO => format!("{} too high", tape.print(caps.left)),
        true => format!("{} too low", tape.print(caps.left.abs())),
    };
    let place = if caps.fixed {
        "there"
    } else {
        "against the flight"
    };
    format!(
        ". The cap is {left} where it meets the base's of {}; flush {place} at {} above the kick tips",
        tape.print(caps.base),
        tape.print(caps.flush),
    )
}

fn write_strip(page: &mut Page, strip: &StripSet, tape: Tape) {
    page.wrapped(
        "      scribe  ",
        &format!(
            "along {}: {} wide at the bottom, {} at the top, {} at most ({} forward); it touches \
             {} forward and {} up",
            strip.wall,
            tape.print(strip.bottom),
            tape.print(strip.top),
            tape.print(strip.greatest.0),
            tape.print(strip.greatest.1),
            tape.print(strip.touches.0),
            tape.print(strip.touches.1),
        ),
    );
    if strip.clear < Length::ZERO && shows(strip.clear, tape) {
        let says = format!(
            "{} stands {} in the way of this skirt: its face would come out past the tread ends",
            strip.wall,
            tape.print(strip.clear.abs())
        );
        page.wrapped("              ", &says);
    }
}

fn write_open_skirt(page: &mut Page, skirt: &OpenSkirtSet, tape: Tape) {
    page.space();
    let kicks = match skirt.kicks {
        Leaning::Plumb => "plumb",
        Leaning::Follow => "leaning as the kicks do",
        Leaning::Split => "at half the kicks' lean",
    };
    let mitre = skirt.steps.first().map_or(Angle::ZERO, |step| step.tilt);
    page.wrapped(
        &format!("  {}  ", skirt.name),
        &format!(
            "{} hand, mitred to the kicks at {} from square (kick 1), {kicks}; a mark is the \
             outside of the mitre, level along the face from the first one; level cuts {} above \
             the stringer's points, whose heights are the last column",
            hand(skirt.hand),
            degrees(mitre),
            tape.print(skirt.above_points),
        ),
    );
    let heads = [
        "kick", "mark", "plumb", "lean", "open", "level", "climbs", "points",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(skirt.steps.iter().map(|step| {
        vec![
            step.step.to_string(),
            tape.print(step.mark),
            tape.print(step.plumb),
            degrees(step.lean),
            tape.print(step.open_by),
            step.level
                .map_or_else(|| "-".to_owned(), |level| tape.print(level)),
            degrees(step.climb),
            tape.print(step.point),
        ]
    }));
    let mut pushes = [Push::Right; 8];
    pushes[0] = Push::Left;
    page.table(2, &pushes, &rows);
}
