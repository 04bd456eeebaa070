//! `setout` in words: newels' feet and heads, rail fittings, half newels, the handrail on the wall
//! side.

use super::page::{Page, Push};
use super::setout::{cut, degrees};
use crate::measure::{Length, Tape};
use crate::publish::newel_side;
use crate::setout::{
    BlockNeeded, Cutout, Fitting, FittingKind, HalfNewelSet, NewelSet, OverNewel, RailSet,
    WallRailSet,
};

/// What a newel says beside its place and its notches in treads.
pub(super) fn newel(page: &mut Page, newel: &NewelSet, tape: Tape) {
    cuts(page, newel, tape);
    stands(page, newel, tape);
}

/// What is cut for a newel in kicks and skirts, what iron is near, and what it bears on.
pub(super) fn cuts(page: &mut Page, newel: &NewelSet, tape: Tape) {
    for one in &newel.cutouts {
        page.wrapped(
            &format!("      notch   in {} at step {}: ", one.part, one.step),
            &cutout(one, tape),
        );
    }
    for one in &newel.fasteners {
        let clear = if one.clear < Length::ZERO {
            format!("the saw meets it by {}", tape.print(one.clear.abs()))
        } else {
            format!("{} clear of the cut", tape.print(one.clear))
        };
        page.wrapped("      iron    ", &format!("{}: {clear}", one.name));
    }
    for (side, part) in &newel.bears_on {
        page.wrapped(
            "      bears   ",
            &format!("its {} on {part}", newel_side(*side)),
        );
    }
    for one in &newel.needs {
        page.wrapped("      needs   ", &need(one, tape));
    }
}

/// What a newel stands on, and what shows of its block.
fn stands(page: &mut Page, newel: &NewelSet, tape: Tape) {
    if let Some(on) = &newel.on_surface {
        let stands = format!(
            "on top of {}, {} past its edge",
            surface(on.step),
            tape.print(on.past_edge)
        );
        let block = on.block.map(|[along, across, height]| {
            format!(
                "; over a block {} by {}, {} high",
                tape.print(along),
                tape.print(across),
                tape.print(height)
            )
        });
        page.wrapped("      stands  ", &(stands + &block.unwrap_or_default()));
    }
    if let Some(reveals) = newel.reveals.filter(|_| newel.head.is_some()) {
        let below = reveals.below.map_or_else(String::new, |below| {
            format!(", {} below the lowest", tape.print(below))
        });
        page.wrapped(
            "      block   ",
            &format!(
                "{} above the highest rail{below}",
                tape.print(reveals.above)
            ),
        );
    }
}

fn surface(step: u32) -> String {
    match step {
        0 => "the lower floor".to_owned(),
        step => format!("step {step}"),
    }
}

fn cutout(one: &Cutout, tape: Tape) -> String {
    let corners: Vec<String> = one
        .sides
        .iter()
        .zip(&one.angles)
        .map(|(side, angle)| format!("{} ({})", tape.print(*side), degrees(*angle)))
        .collect();
    format!(
        "{} in from its end, {} down from its top, {} deep, {} of its thickness remains; sides \
         (with the corner at the start of each) {}",
        tape.print(one.from_end),
        tape.print(one.from_top),
        tape.print(one.depth),
        tape.print(one.remains),
        corners.join(", ")
    )
}

fn need(one: &BlockNeeded, tape: Tape) -> String {
    format!(
        "a block against its {}: {} up the flight, {} across, {} high",
        newel_side(one.side),
        tape.print(one.along),
        tape.print(one.across),
        tape.print(one.height)
    )
}

/// A half newel.
pub(super) fn half_newel(page: &mut Page, half: &HalfNewelSet, tape: Tape) {
    page.wrapped(
        &format!("  {}  ", half.name),
        &format!(
            "{} out from the wall by {} along it, {} long; scribed by {} at most: it keeps {} at \
             its foot and {} at its head",
            tape.print(half.thickness),
            tape.print(half.across),
            tape.print(half.height),
            tape.print(half.scribe.1),
            tape.print(half.keeps.0),
            tape.print(half.keeps.1)
        ),
    );
}

/// What goes on past a straight rail.
pub(super) fn fittings(page: &mut Page, rail: &RailSet, tape: Tape) {
    for one in &rail.over {
        page.wrapped("      over       ", &over(one, tape));
    }
    for one in &rail.fittings {
        page.wrapped("      fitting    ", &fitting(one, tape));
    }
}

fn over(one: &OverNewel, tape: Tape) -> String {
    let rise = if one.rise > Length::ZERO {
        format!("; a gooseneck rises {}", tape.print(one.rise))
    } else {
        String::new()
    };
    format!(
        "{}: {} above the nosing beside it, {} above what the newel stands on{rise}; the easing \
         takes {} off the straight rail",
        one.newel,
        tape.print(one.over_nosing),
        tape.print(one.over_ground),
        tape.print(one.takes_off)
    )
}

fn fitting(one: &Fitting, tape: Tape) -> String {
    let end = if one.upper { "upper" } else { "lower" };
    let length = tape.print(one.length);
    let mitre = one.mitre();
    let mitred = if mitre.as_degrees() > 0.05 {
        format!(", its end mitred at {}", degrees(mitre))
    } else {
        String::new()
    };
    match (one.kind, one.radius) {
        (FittingKind::Easing, Some(radius)) => format!(
            "{end} easing, radius {}, turns {}, {length} long, ends {} from the corner{mitred}",
            tape.print(radius),
            degrees(one.turn),
            tape.print(one.tangent)
        ),
        (FittingKind::Level | FittingKind::Easing, _) => {
            format!("{end} level piece, {length} long{mitred}")
        }
        (FittingKind::Raked, _) => format!("{end} raked piece, {length} long{mitred}"),
        (FittingKind::Gooseneck, _) => {
            format!("{end} plumb piece of a gooseneck, {length} long{mitred}")
        }
    }
}

/// The handrail on the wall side, without its height window.
pub(super) fn wall_rail(page: &mut Page, rail: &WallRailSet, tape: Tape) {
    page.heading("Handrail on the wall");
    page.wrapped(
        &format!("  {}  ", rail.name),
        &format!(
            "{} by {}, at {}, along wall {}; {} between long points, {} between short points; \
             clears the wall by {} to {}",
            tape.print(rail.width),
            tape.print(rail.depth),
            degrees(rail.pitch.angle()),
            rail.wall,
            tape.print(rail.long_points),
            tape.print(rail.short_points),
            tape.print(rail.least_clear.0),
            tape.print(rail.most_clear.0)
        ),
    );
    page.line(&format!("      lower cut  {}", cut(&rail.lower_cut)));
    page.line(&format!("      upper cut  {}", cut(&rail.upper_cut)));
    for (end, one) in ["lower", "upper"].into_iter().zip(&rail.returns) {
        let Some(one) = one else {
            page.line(&format!("      {end} end  left open"));
            continue;
        };
        page.wrapped(
            &format!("      {end} return  "),
            &format!(
                "mitred at {}, {} long point, {} short point, rolled by {}; against the wall {}",
                degrees(one.mitre),
                tape.print(one.long_point),
                tape.print(one.short_point),
                degrees(one.roll),
                cut(&one.wall_cut)
            ),
        );
    }
    let mut rows = vec![
        ["bracket", "along", "wall to middle"]
            .map(str::to_owned)
            .to_vec(),
    ];
    rows.extend((1..).zip(&rail.brackets).map(|(number, bracket)| {
        vec![
            u32::to_string(&number),
            tape.print(bracket.along),
            tape.print(bracket.stand_off),
        ]
    }));
    page.table(6, &[Push::Left, Push::Right, Push::Right], &rows);
}
