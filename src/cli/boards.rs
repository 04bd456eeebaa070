//! What `setout` tells of treads, kicks and skirts.

use super::page::{Page, Push};
use crate::job::{Boards, Hand, Job, Leaning, Meets, Unequal};
use crate::measure::{Angle, Length, Tape};
use crate::setout::boards::{
    BoardsSet, CapsMeet, KickEnd, OpenSkirtSet, SkirtEnd, StripSet, TiltIn, TreadSet, WallSkirtSet,
};

/// Writes the section.
pub(super) fn write(page: &mut Page, job: &Job, boards: &BoardsSet) {
    let tape = job.tape;
    page.heading("Treads, kicks and skirts");
    let settings = job.boards.clone().unwrap_or_default();
    page.wrapped("  ", &how(&settings, boards));
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

fn how(settings: &Boards, boards: &BoardsSet) -> String {
    let undercut = &settings.undercut;
    let sides = boards.treads.first().map_or_else(String::new, |tread| {
        let (left, right) = (meets(tread.left.meets), meets(tread.right.meets));
        format!(" The left ends meet: {left}; the right ends: {right}.")
    });
    format!(
        "Net sizes on the show face, which is the long one everywhere; left and right as one goes \
         up; an end's angle is the inside angle with the nosing, or with the kick's lower edge. \
         Undercut, common practice with no source unless the job says otherwise: tread backs {}, \
         tread ends {}, kick ends {}, kick tops {}.{sides}",
        degrees(undercut.tread_back.value),
        degrees(undercut.tread_ends.value),
        degrees(undercut.kick_ends.value),
        degrees(undercut.kick_top.value),
    )
}

fn pair((left, right): (Length, Length), tape: Tape) -> String {
    let (left, right) = (tape.print(left), tape.print(right));
    if left == right {
        left
    } else {
        format!("{left} / {right}")
    }
}

/// A table in which neighbours that are told alike share a line.
fn table(page: &mut Page, heads: &[&str], rows: Vec<(u32, Vec<String>)>) {
    let mut lines = vec![heads.iter().map(|head| (*head).to_owned()).collect()];
    let alike = |a: &(u32, Vec<String>), b: &(u32, Vec<String>)| a.1 == b.1;
    for run in rows.chunk_by(alike) {
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
            pair(tread.depth, tape),
            format!(
                "{} x {}",
                tape.print(tread.blank.length),
                tape.print(tread.blank.depth)
            ),
        ];
        (tread.step, cells)
    };
    let heads = ["tread", "front", "back", "left", "right", "deep", "blank"];
    table(page, &heads, treads.iter().map(row).collect());
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
    write_returns(page, treads, tape);
    write_tilt(page, treads, tape);
}

fn write_returns(page: &mut Page, treads: &[TreadSet], tape: Tape) {
    let told: Vec<(u32, String)> = treads
        .iter()
        .flat_map(|tread| {
            let ends = [&tread.left, &tread.right];
            ends.into_iter().filter_map(|end| end.returned).map(|one| {
                let says = format!(
                    "{} wide, {} long, mitre {}; the tread's own back then {}; the end {} beyond \
                     the skirt",
                    tape.print(one.width),
                    tape.print(one.length),
                    degrees(one.mitre),
                    tape.print(one.body_back),
                    tape.print(one.beyond_skirt),
                );
                (tread.step, says)
            })
        })
        .collect();
    for run in told.chunk_by(|a, b| a.1 == b.1) {
        let steps = steps(run.iter().map(|one| one.0));
        page.wrapped(&format!("      return nosing, tread {steps}: "), &run[0].1);
    }
}

/// `3`, or `3 to 5`, of steps that follow each other.
fn steps(mut of: impl Iterator<Item = u32>) -> String {
    let first = of.next().unwrap_or(0);
    match of.last() {
        Some(last) => format!("{first} to {last}"),
        None => first.to_string(),
    }
}

fn write_tilt(page: &mut Page, treads: &[TreadSet], tape: Tape) {
    let told: Vec<(u32, String)> = treads
        .iter()
        .filter_map(|tread| Some((tread.step, tilt(&tread.tilt?, tape))))
        .collect();
    for run in told.chunk_by(|a, b| a.1 == b.1) {
        let steps = steps(run.iter().map(|one| one.0));
        page.wrapped(&format!("      tread {steps}: "), &run[0].1);
    }
}

fn tilt(tilt: &TiltIn, tape: Tape) -> String {
    let last = hand(tilt.last);
    if tilt.passes() {
        return format!(
            "tilts in, {last} end last; undercut to spare: {} at the nosing, {} behind it",
            tilt.front.spare().print_degrees(2),
            tilt.rest.spare().print_degrees(2),
        );
    }
    let tight = if tilt.front.passes {
        tilt.rest
    } else {
        tilt.front
    };
    format!(
        "does not tilt in at its net {}: undercut the {last} end by {} at least, or cut it to {}",
        tape.print(tight.gap),
        tight.least_undercut.print_degrees(2),
        tape.print(tight.greatest)
    )
}

fn write_kicks(page: &mut Page, boards: &BoardsSet, tape: Tape) {
    page.space();
    let rows = boards.kicks.iter().map(|kick| {
        let cells = vec![
            tape.print(kick.bottom),
            tape.print(kick.top),
            pair(kick.short, tape),
            degrees(kick.left.angle),
            degrees(kick.right.angle),
            pair(kick.height, tape),
            pair(kick.shows, tape),
        ];
        (kick.step, cells)
    });
    let heads = [
        "kick", "bottom", "top", "hidden", "left", "right", "high", "shows",
    ];
    table(page, &heads, rows.collect());
    let mitred = |end: &KickEnd| end.mitred.then_some(end.tilt);
    let first = boards.kicks.first();
    if let Some(tilt) = first.and_then(|kick| mitred(&kick.left).or(mitred(&kick.right))) {
        let says = format!(
            "the open ends are mitred to the skirt, kick 1 at {} from square, long point at the \
             outside",
            degrees(tilt)
        );
        page.wrapped("      ", &says);
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
    write_skirt_end(page, "bottom", "before the first kick", &skirt.bottom, tape);
    write_skirt_end(page, "top   ", "beyond the last kick", &skirt.top, tape);
    if let Some(best) = &skirt.best {
        let height = format!(
            "{} above the kick tips, {} above the nosings",
            tape.print(best.above_tips),
            tape.print(best.above_nosings)
        );
        let says = if tape.print(best.left) == tape.print(Length::ZERO) {
            format!("{height}: caps flush at both ends")
        } else {
            format!(
                "no height serves both ends; {height} leaves {} at each, too high at one and too \
                 low at the other",
                tape.print(best.left)
            )
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
             on the base, {} on the skirt{}{}",
            tape.print(end.at),
            degrees(end.plumb),
            tape.print(end.plumb_cut),
            degrees(end.level),
            tape.print(end.level_cut),
            degrees(end.seam.base_mitre),
            degrees(end.seam.skirt_mitre),
            thicker(end.seam.thicker, end.seam.unequal, tape),
            end.caps
                .as_ref()
                .map_or_else(String::new, |caps| flush(caps, tape)),
        ),
    );
}

fn thicker(by: Length, unequal: Unequal, tape: Tape) -> String {
    let size = tape.print(by.abs());
    if size == tape.print(Length::ZERO) {
        return String::new();
    }
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
    let left = if tape.print(caps.left) == tape.print(Length::ZERO) {
        "flush".to_owned()
    } else if caps.left > Length::ZERO {
        format!("{} too high", tape.print(caps.left))
    } else {
        format!("{} too low", tape.print(caps.left.abs()))
    };
    let place = if caps.fixed {
        "there"
    } else {
        "against the flight"
    };
    format!(
        ". The cap meets the base's at {} {left}; flush {place} at {} above the kick tips",
        tape.print(caps.base),
        tape.print(caps.flush)
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
    if strip.clear < Length::ZERO && tape.print(strip.clear) != tape.print(Length::ZERO) {
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
        Leaning::Follow => "as the kick leans",
        Leaning::Split => "at half the kick's lean",
    };
    page.wrapped(
        &format!("  {}  ", skirt.name),
        &format!(
            "{} hand, mitred to the kicks, {kicks}; marks are the outside of the mitre, level \
             along the face from the first one; level cuts {} above the stringer's points",
            hand(skirt.hand),
            tape.print(skirt.above_points),
        ),
    );
    let heads = [
        "kick", "mark", "up", "plumb", "lean", "open", "mitre", "level", "climbs",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(skirt.steps.iter().map(|step| {
        vec![
            step.step.to_string(),
            tape.print(step.mark),
            tape.print(step.from),
            tape.print(step.plumb),
            degrees(step.lean),
            tape.print(step.open_by),
            degrees(step.tilt),
            step.level
                .map_or_else(|| "-".to_owned(), |level| tape.print(level)),
            degrees(step.climb),
        ]
    }));
    let mut pushes = [Push::Right; 9];
    pushes[0] = Push::Left;
    page.table(6, &pushes, &rows);
}

#[cfg(test)]
mod tests {
    use super::steps;

    #[test]
    fn steps_that_follow_each_other_are_told_as_a_run() {
        assert_eq!(steps([4].into_iter()), "4");
        assert_eq!(steps([4, 5, 6].into_iter()), "4 to 6");
    }
}
