//! The walls told: in sentences, and each as a small picture (SVG) of its departure from true.

use std::fmt::Write as _;

use crate::inspect::walls::{CornerTold, Held, WallTold};
use crate::job::{Job, WallReading};
use crate::measure::{Length, Tape};
use crate::site::WallFace;
use crate::survey::{LEVEL, WITHIN};

use super::survey::give_words;
use super::verdict_words;

fn into(length: Length) -> &'static str {
    if length < Length::ZERO {
        "away from the room"
    } else {
        "into the room"
    }
}

fn give(tape: Tape, sd: Length) -> String {
    give_words(tape, sd * WITHIN)
}

fn verdict(held: &Held, tape: Tape) -> String {
    let word = verdict_words(held.verdict);
    format!(
        "{} over {}: {word} (at most {}; {})",
        tape.print(held.value),
        tape.print(held.asked.over),
        tape.print(held.asked.limit),
        held.asked.source
    )
}

/// A wall in a few sentences.
#[must_use]
pub fn wall_says(tape: Tape, wall: &WallTold) -> Vec<String> {
    let mut says = vec![
        format!(
            "leans {} {} over a {} level ({}), give or take {}; {}",
            tape.print(wall.lean.abs()),
            into(wall.lean),
            tape.print(LEVEL),
            wall.lean_angle.print_degrees(2),
            give(tape, wall.lean_sd),
            verdict(&wall.plumb, tape)
        ),
        format!(
            "runs {} {} over its length, give or take {}",
            tape.print(wall.splay.abs()),
            into(wall.splay),
            give(tape, wall.splay_sd)
        ),
        format!(
            "{} under a straightedge at {} along, {} up, give or take {}; {}",
            if wall.hump { "stands out" } else { "is hollow" },
            tape.print(wall.flat_at.0),
            tape.print(wall.flat_at.1),
            give(tape, wall.flat.sd),
            verdict(&wall.flat, tape)
        ),
    ];
    for rail in &wall.rail {
        says.push(format!(
            "where {} lands the face stands {} {} of its meant line, give or take {}, and turns {} \
             {} over the rail's depth: cut the end to it",
            rail.rail,
            tape.print(rail.off.abs()),
            into(rail.off),
            give(tape, rail.sd),
            tape.print(rail.over_depth.abs()),
            into(rail.over_depth)
        ));
    }
    for skirt in &wall.skirts {
        says.push(format!(
            "behind skirt {} it wanders by {}: leave that much to scribe",
            skirt.skirt,
            give_words(tape, skirt.scribe())
        ));
    }
    says
}

/// A corner in one sentence.
#[must_use]
pub fn corner_says(tape: Tape, corner: &CornerTold) -> String {
    let way = if corner.off.as_radians() < 0.0 {
        "closer"
    } else {
        "wider"
    };
    format!(
        "walls {} and {} meet {} {way} than meant; {}",
        corner.walls.0,
        corner.walls.1,
        corner.off.abs().print_degrees(2),
        verdict(&corner.square, tape)
    )
}

/// Cells of the picture along its longer side.
const CELLS: f64 = 48.0;
/// The longer side of the wall in the picture, and what stands about it, in its units.
const LONG: f64 = 640.0;
const MARGIN: f64 = 64.0;
const LEGEND: f64 = 92.0;
/// What departs less than this is drawn in full colour only so far, mm: a wall that is true looks
/// so.
const LEAST_RANGE: f64 = 3.0;

/// Our colours of a departure: away from the room, true, into the room. Blue-grey and ochre differ
/// in lightness from the middle and stay apart to a red-green blind eye.
const AWAY: [f64; 3] = [112.0, 136.0, 164.0];
const TRUE: [f64; 3] = [240.0, 233.0, 218.0];
const INTO: [f64; 3] = [186.0, 122.0, 54.0];

fn colour(share: f64) -> String {
    let end = if share < 0.0 { AWAY } else { INTO };
    let part = share.abs().min(1.0);
    let mix = |at: usize| (TRUE[at] + (end[at] - TRUE[at]) * part).round();
    format!(
        "#{:02x}{:02x}{:02x}",
        mix(0) as u8,
        mix(1) as u8,
        mix(2) as u8
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// Where the wall's places stand in the picture. One who faces the wall from the room sees its end
/// on the left, for the room lies to the left hand of its way.
struct Frame {
    scale: f64,
    length: f64,
    head: f64,
    height: f64,
}

impl Frame {
    fn of(face: &WallFace) -> Self {
        let (length, height) = (face.length(), face.head - face.foot);
        Self {
            scale: LONG / length.max(height),
            length,
            head: face.head,
            height,
        }
    }

    fn x(&self, along: f64) -> f64 {
        MARGIN + (self.length - along) * self.scale
    }

    fn y(&self, up: f64) -> f64 {
        MARGIN + (self.head - up) * self.scale
    }

    fn size(&self) -> (f64, f64) {
        (
            self.length * self.scale + 2.0 * MARGIN + LEGEND,
            self.height * self.scale + 2.0 * MARGIN,
        )
    }
}

/// A wall's departure from true, seen from the room.
#[must_use]
pub fn wall_svg(job: &Job, face: &WallFace, wall: &WallTold) -> String {
    let tape = job.tape;
    let frame = Frame::of(face);
    let (wide, tall) = frame.size();
    let mut svg = String::new();
    let name = escaped(&wall.name);
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.1} {tall:.1}\" \
         font-family=\"IBM Plex Sans, sans-serif\" font-size=\"13\" fill=\"#383532\">\n\
         <title>Wall {name}: departure from true</title>\n\
         <desc>Seen from the room. Colours tell how far the face stands off its meant plumb \
         plane.</desc>\n<rect width=\"100%\" height=\"100%\" fill=\"#faf6ee\"/>\n"
    );
    let range = cells(&mut svg, face, &frame);
    outline(&mut svg, face, &frame, tape);
    let found = job.walls.iter().find(|one| one.name == wall.name);
    for reading in found.into_iter().flat_map(|one| &one.readings) {
        mark_reading(&mut svg, &frame, reading, tape);
    }
    for rail in &wall.rail {
        let (x, y) = (frame.x(rail.at.0.as_mm()), frame.y(rail.at.1.as_mm()));
        let _ = write!(
            svg,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" fill=\"none\" stroke=\"#ac3222\" \
             stroke-width=\"2\"/>\n<text x=\"{:.1}\" y=\"{:.1}\" fill=\"#ac3222\">{} {}</text>\n",
            x + 9.0,
            y + 22.0,
            escaped(&rail.rail),
            escaped(&tape.print(rail.off))
        );
    }
    legend(&mut svg, &frame, range, tape);
    let _ = write!(
        svg,
        "<text x=\"{MARGIN}\" y=\"30\" font-size=\"17\">Wall {name}, seen from the room</text>\n\
         </svg>\n"
    );
    svg
}

/// Draws the cells; gives the departure that has the full colour, mm.
fn cells(svg: &mut String, face: &WallFace, frame: &Frame) -> f64 {
    let size = frame.length.max(frame.height) / CELLS;
    let count = |long: f64| (long / size).ceil().max(1.0);
    let (across, up) = (count(frame.length), count(frame.height));
    let (wide, high) = (frame.length / across, frame.height / up);
    let mut all = Vec::new();
    for i in 0..across as usize {
        for j in 0..up as usize {
            let (along, up) = (wide * i as f64, face.foot + high * j as f64);
            all.push((along, up, face.off(along + wide / 2.0, up + high / 2.0)));
        }
    }
    let range = all
        .iter()
        .map(|one| one.2.abs())
        .fold(LEAST_RANGE, f64::max);
    let _ = writeln!(svg, "<g shape-rendering=\"crispEdges\" stroke=\"none\">");
    for (along, up, off) in all {
        let _ = writeln!(
            svg,
            "<rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"{}\"/>",
            frame.x(along + wide),
            frame.y(up + high),
            wide * frame.scale + 0.3,
            high * frame.scale + 0.3,
            colour(off / range)
        );
    }
    let _ = writeln!(svg, "</g>");
    range
}

fn outline(svg: &mut String, face: &WallFace, frame: &Frame, tape: Tape) {
    let (left, right) = (frame.x(face.length()), frame.x(0.0));
    let (top, bottom) = (frame.y(face.head), frame.y(face.foot));
    let _ = write!(
        svg,
        "<rect x=\"{left:.1}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"none\" \
         stroke=\"#383532\" stroke-width=\"1.2\"/>\n\
         <text x=\"{right:.1}\" y=\"{:.1}\" text-anchor=\"end\">0 along</text>\n\
         <text x=\"{left:.1}\" y=\"{:.1}\">{}</text>\n\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>\n",
        right - left,
        bottom - top,
        bottom + 20.0,
        bottom + 20.0,
        escaped(&tape.print(Length::mm(face.length()))),
        left - 6.0,
        bottom,
        escaped(&tape.print(Length::mm(face.foot))),
        left - 6.0,
        top + 10.0,
        escaped(&tape.print(Length::mm(face.head))),
    );
}

fn mark_reading(svg: &mut String, frame: &Frame, reading: &WallReading, tape: Tape) {
    let pencil = "stroke=\"#383532\" stroke-width=\"1.4\"";
    match reading {
        WallReading::Offset { along, up, is, .. } => {
            let (x, y) = (frame.x(along.mm()), frame.y(up.mm()));
            let _ = write!(
                svg,
                "<path d=\"M{:.1} {y:.1}h8M{x:.1} {:.1}v8\" {pencil}/>\n\
                 <text x=\"{:.1}\" y=\"{:.1}\" font-size=\"11\">{}</text>\n",
                x - 4.0,
                y - 4.0,
                x + 6.0,
                y - 4.0,
                escaped(&tape.print(is.value))
            );
        }
        WallReading::Plumb {
            along, up, level, ..
        } => {
            let (x, y) = (frame.x(along.mm()), frame.y(up.mm()));
            let _ = writeln!(
                svg,
                "<path d=\"M{x:.1} {y:.1}v{:.1}\" {pencil} stroke-dasharray=\"5 3\"/>",
                -level.mm() * frame.scale
            );
        }
        _ => {}
    }
}

fn legend(svg: &mut String, frame: &Frame, range: f64, tape: Tape) {
    let (wide, _) = frame.size();
    let x = wide - LEGEND - MARGIN / 2.0;
    for (row, share) in [1.0, 0.5, 0.0, -0.5, -1.0].into_iter().enumerate() {
        let y = MARGIN + 22.0 * row as f64;
        let _ = write!(
            svg,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"18\" height=\"18\" fill=\"{}\"/>\n\
             <text x=\"{:.1}\" y=\"{:.1}\">{}</text>\n",
            colour(share),
            x + 24.0,
            y + 14.0,
            escaped(&tape.print(Length::mm(share * range)))
        );
    }
    let _ = writeln!(
        svg,
        "<text x=\"{x:.1}\" y=\"{:.1}\" font-size=\"11\">+ into the room</text>",
        MARGIN + 22.0 * 5.0 + 12.0
    );
}
