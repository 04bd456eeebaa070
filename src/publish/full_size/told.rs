//! Templates in words: what each is, how it is laid, what its lines are called.

use crate::measure::{Angle, Tape, Unit};
use crate::publish::{edge_word, face_words, side_word};
use crate::setout::dry_fit::Board;
use crate::shop::cuts::Square;
use crate::shop::pole::{PoleMark, PoleWhat};
use crate::shop::templates::{Named, Template, TemplateKind};

/// What is to be borne in mind before a template is used: common practice, no source.
pub const TEMPLATE_CAUTION: &str =
    "Fit it dry before you cut. Saws hurt. A stringer is an engineer's to cut.";

/// The kind as one word for machines.
#[must_use]
pub const fn kind_word(kind: TemplateKind) -> &'static str {
    match kind {
        TemplateKind::Notch(_) => "notch",
        TemplateKind::Bores => "bores",
        TemplateKind::RailBores => "rail-bores",
        TemplateKind::Winder => "winder",
        TemplateKind::RailFace(_) => "rail-face",
        TemplateKind::RailWrap(_) => "rail-wrap",
        TemplateKind::SkirtEnd(_) => "skirt-end",
        TemplateKind::SkirtStep => "skirt-step",
        TemplateKind::Gauge => "gauge",
    }
}

const fn end_word(upper: bool) -> &'static str {
    if upper { "upper end" } else { "lower end" }
}

/// What a template is.
#[must_use]
pub fn title(template: &Template) -> String {
    let (part, fits) = (&template.part, &template.fits);
    match template.kind {
        TemplateKind::Notch(on) => format!("Notch for {fits} in the {}", face_words(part, on)),
        TemplateKind::Bores => format!("Bores in {part} for {fits}"),
        TemplateKind::RailBores if bored(template) => {
            format!("Bores along the top of {part} for {fits}")
        }
        TemplateKind::RailBores => format!("Centres along the top of {part} for {fits}"),
        TemplateKind::Winder if fits.is_empty() => format!("Winder {part}"),
        TemplateKind::Winder => format!("Winder {part}, with the bores for {fits}"),
        TemplateKind::RailFace(upper) if fits.is_empty() => {
            format!("{part}, {}: section and face", end_word(upper))
        }
        TemplateKind::RailFace(upper) => {
            format!(
                "{part}, {}, against {fits}: section and face",
                end_word(upper)
            )
        }
        TemplateKind::RailWrap(upper) => {
            format!("{part}, {}: the cut, to wrap about it", end_word(upper))
        }
        TemplateKind::SkirtEnd(upper) => format!("Skirt {part}, {}", end_word(upper)),
        TemplateKind::SkirtStep => format!("Skirt {part}, its cuts at {fits}"),
        TemplateKind::Gauge => "Angle gauge".to_owned(),
    }
}

/// How it is laid.
pub(super) fn lay(template: &Template) -> String {
    let part = &template.part;
    let datum = named(&template.datum);
    match template.kind {
        TemplateKind::Notch(Board::Top) | TemplateKind::Bores => {
            format!("Lay the heavy line on {datum} of {part}, seen from above.")
        }
        TemplateKind::RailBores => format!(
            "Lay the heavy line on {datum} of {part}, seen from above, the lower end to the left."
        ),
        TemplateKind::Winder => format!(
            "Lay the heavy line on {datum} of {part}, seen from above: the grain runs along it."
        ),
        TemplateKind::Notch(Board::Kick) => format!(
            "Lay the heavy line on the upper edge of {part} (under the tread), seen from its face."
        ),
        TemplateKind::Notch(Board::Skirt) => {
            format!("Lay the heavy line on the level cut of {part}, seen from outside.")
        }
        TemplateKind::Notch(_) => format!("Lay the heavy line on {datum} of {part}."),
        TemplateKind::RailFace(_) => "Both seen looking at the cut end of the rail.".to_owned(),
        TemplateKind::RailWrap(_) => format!(
            "For the square blank of {part}, before it is moulded. Fold at the arrises; the rail \
             runs up the page."
        ),
        TemplateKind::SkirtEnd(_) => {
            format!("Lay the heavy line on {datum}. Seen from the stair.")
        }
        TemplateKind::SkirtStep => {
            format!("Lay the heavy line on {datum} on {part}, seen from outside.")
        }
        TemplateKind::Gauge => "Lay the bevel's stock along the heavy line.".to_owned(),
    }
}

/// What else it says at the head.
pub(super) fn more(template: &Template, tape: Tape) -> String {
    match template.kind {
        TemplateKind::Notch(Board::Top) => {
            "Fold the flaps over its edges. Knife to the outside of the hatched waste.".to_owned()
        }
        TemplateKind::Notch(_) => "Knife to the outside of the hatched waste.".to_owned(),
        TemplateKind::Bores => bore_words(template, tape),
        TemplateKind::RailBores => along_words(template, tape),
        TemplateKind::Winder => {
            let bores = if template.bores.is_empty() {
                String::new()
            } else {
                format!(" {}", bore_words(template, tape))
            };
            format!("Cut to the full lines; scribe the wide end to the wall.{bores}")
        }
        TemplateKind::Gauge => String::new(),
        _ => {
            let angles = template.angles.iter();
            let says: Vec<String> = angles
                .filter(|angle| angle.is.as_degrees().abs() >= 0.05)
                .map(|angle| format!("{} {}", angle.what, angle_words(angle.is, tape)))
                .collect();
            match says.as_slice() {
                [] => "Cut square.".to_owned(),
                says => capital(&says.join("; ")) + ".",
            }
        }
    }
}

/// True where something is bored, and not its centre marked alone.
fn bored(template: &Template) -> bool {
    let mut bores = template.bores.iter();
    bores.any(|bore| bore.diameter.as_mm() > 0.0)
}

/// The bits that a tread's bores ask, once.
fn bore_words(template: &Template, tape: Tape) -> String {
    capital(&bits(template, tape))
        + ", plumb to the stair. Check both distances of each centre before you bore."
}

/// The same along a shoe or a bottom rail, with the angle to its top, as short as the line has room for.
fn along_words(template: &Template, tape: Tape) -> String {
    let steepest = template.bores.iter().map(|bore| bore.from_square);
    let steepest = steepest.fold(Angle::ZERO, |most, one| if one > most { one } else { most });
    let what = if bored(template) {
        format!("{}, plumb:", capital(&bits(template, tape)))
    } else {
        "They stand plumb in the plough,".to_owned()
    };
    let across = across_alike(template, tape);
    let across = across.map_or_else(String::new, |across| {
        format!("; all lie {across} from that edge")
    });
    format!(
        "{what} {} off square. Figures run from the lower end{across}.",
        angle_words(steepest, tape)
    )
}

/// How far from its edge all centres of a strip lie, where the tape reads it alike.
pub(super) fn across_alike(template: &Template, tape: Tape) -> Option<String> {
    let (_, first) = template.bores.first()?.off[1];
    let says = tape.print(first);
    let mut bores = template.bores.iter();
    let alike = bores.all(|bore| tape.print(bore.off[1].1) == says);
    alike.then_some(says)
}

fn bits(template: &Template, tape: Tape) -> String {
    let mut says: Vec<String> = Vec::new();
    for bore in &template.bores {
        let one = if bore.diameter.as_mm() > 0.0 {
            format!(
                "bore {}, {} deep",
                tape.print(bore.diameter),
                tape.print(bore.depth)
            )
        } else {
            "mark the centres".to_owned()
        };
        if !says.contains(&one) {
            says.push(one);
        }
    }
    says.join("; ")
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// An angle in degrees and as rise in run for a square.
pub(super) fn angle_words(angle: Angle, tape: Tape) -> String {
    format!(
        "{} ({})",
        angle.abs().print_degrees(1),
        rise_in_run(angle, tape)
    )
}

/// An angle as a rise in 12 in, or in 300 mm.
#[must_use]
pub fn rise_in_run(angle: Angle, tape: Tape) -> String {
    let Square { rise, run } = Square::of(angle, tape);
    let body = rise.max(run);
    let body = match tape.unit() {
        Unit::Inches => format!("{:.0}", body.as_inches()),
        Unit::Millimetres => format!("{:.0}", body.as_mm()),
    };
    if rise > run {
        format!("{body} in {}", tape.print(run))
    } else {
        format!("{} in {body}", tape.print(rise))
    }
}

/// What something is called.
#[must_use]
pub fn named(name: &Named) -> String {
    match name {
        Named::Nothing => String::new(),
        Named::Side(side) => side_word(*side).to_owned(),
        Named::Edge(edge) => edge_word(*edge).to_owned(),
        Named::Part(part) => part.clone(),
        Named::Words(words) => (*words).to_owned(),
    }
}

/// What Windows takes for a device, whatever follows a point behind it (Microsoft, Naming Files, Paths
/// and Namespaces).
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).to_ascii_lowercase();
    let port = |kind: &str| {
        let number = stem.strip_prefix(kind);
        number.is_some_and(|rest| rest.len() == 1 && rest.chars().all(|c| c.is_ascii_digit()))
    };
    ["con", "prn", "aux", "nul"].contains(&stem.as_str()) || port("com") || port("lpt")
}

/// A name as a file may have it: letters, digits and dashes, and no device's.
#[must_use]
pub fn name_for_file(name: &str) -> String {
    let kept = |c: char| c.is_alphanumeric() || c == '.' || c == '_';
    let text: String = name
        .chars()
        .map(|c| if kept(c) { c } else { '-' })
        .collect();
    let text = text.trim_matches(|c| c == '-' || c == '.');
    let short: String = text.chars().take(80).collect();
    if short.is_empty() {
        "template".to_owned()
    } else if is_device(&short) {
        format!("part-{short}")
    } else {
        short
    }
}

/// A mark on a pole in words.
#[must_use]
pub fn mark_words(mark: &PoleMark) -> String {
    let part = &mark.part;
    match (mark.what, mark.step) {
        (PoleWhat::Floor | PoleWhat::Start, _) => format!("{part} floor"),
        (PoleWhat::Rail, Some(0) | None) => format!("{part} over the floor"),
        (PoleWhat::Rail, Some(step)) => format!("{part} over nosing {step}"),
        (PoleWhat::Nosing, _) => format!("nosing of {part}"),
        (PoleWhat::Rise | PoleWhat::Baluster, _) => part.clone(),
        (PoleWhat::NewelDown, _) => format!("{part} downhill face"),
        (PoleWhat::NewelUp, _) => format!("{part} uphill face"),
    }
}

/// The same as short as a strip has room for; which side of it a mark stands on says the rest.
pub(super) fn mark_words_short(mark: &PoleMark) -> String {
    let part = &mark.part;
    match (mark.what, mark.step) {
        (PoleWhat::Rail, Some(step)) if step > 0 => format!("{part} over {step}"),
        (PoleWhat::Nosing | PoleWhat::Rail, _) => part.clone(),
        (PoleWhat::NewelDown, _) => format!("{part} down"),
        (PoleWhat::NewelUp, _) => format!("{part} up"),
        _ => mark_words(mark),
    }
}
