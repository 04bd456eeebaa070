//! How an error on each step adds up along a flight: in words, alike on the terminal and on paper,
//! and the chart as a file.

use super::drawing::{self, Drawing};
use super::pdf::{About, Canvas, Page, PdfError, write};
use super::sheet::Paper;
use crate::doubt::compounding::{Compounding, Fan, FanStep, Sum};
use crate::job::Job;
use crate::measure::{Length, Tape, Unit};

/// What a sum is of.
#[must_use]
pub const fn heading(of: Sum) -> &'static str {
    match of {
        Sum::Heights => "Heights: the rises added up",
        Sum::Goings => "Places up the flight: the goings added up",
        Sum::TreadEnds => "Tread ends: each carried over from the one below",
    }
}

/// Where the last step of a sum is.
fn place(of: Sum, step: u32) -> String {
    match of {
        Sum::Heights => "the top".to_owned(),
        Sum::Goings => "the last kick".to_owned(),
        Sum::TreadEnds => format!("the end of tread {step}"),
    }
}

/// What stands on the far side of nothing, and on the near side: high and low.
#[must_use]
pub const fn sides(of: Sum) -> [&'static str; 2] {
    match of {
        Sum::Heights => ["high", "low"],
        Sum::Goings => ["too far on", "short"],
        Sum::TreadEnds => ["too far out", "too far in"],
    }
}

/// A length that is too fine for the tape's marks is printed to a thirty-second, or in figures.
#[must_use]
pub fn fine(tape: Tape, length: Length) -> String {
    let on = |tape: Tape| (tape.round(length) - length).abs() < Length::mm(1e-6);
    let finer = match tape.unit() {
        Unit::Inches => Tape::ThirtySeconds,
        Unit::Millimetres => tape,
    };
    match (on(tape), on(finer)) {
        (true, _) => tape.print(length),
        (false, true) => finer.print(length),
        (false, false) => tape.print_exact(length),
    }
}

/// What a length that lies anywhere within so much is within, to a mark of the tape: what is
/// smaller nobody reads, and what is said is never too little.
#[must_use]
pub fn up_to(tape: Tape, half: Length) -> String {
    let mark = tape.mark();
    // What is a whole number of marks but for rounding is that.
    let marks = (half / mark - 1e-6).ceil().max(1.0);
    tape.print(mark * marks)
}

/// What is found less what was meant, in words; nothing where the tape shows no difference.
#[must_use]
pub fn off_words(of: Sum, off: Length, tape: Tape) -> Option<String> {
    let [over, under] = sides(of);
    let side = if off < Length::ZERO { under } else { over };
    (off.abs() >= tape.mark() / 2.0).then(|| format!("{} {side}", tape.print(off.abs())))
}

/// A sum in sentences that one can act on.
#[must_use]
pub fn says(fan: &Fan, per_step: Length, tape: Tape) -> Vec<String> {
    let Some(last) = fan.last() else {
        return Vec::new();
    };
    let top = place(fan.of, last.step);
    let each = match fan.of {
        Sum::Heights => "rise",
        Sum::Goings => "going",
        Sum::TreadEnds => "tread end",
    };
    let mut all = vec![
        format!(
            "{} on every {each}, always the same way, is {} at {top}.",
            fine(tape, per_step),
            tape.print(last.same_way)
        ),
        format!(
            "If it falls either way by chance, that is within {} half the time, and within {} \
             nineteen times in twenty.",
            up_to(tape, last.stepped.even),
            up_to(tape, last.stepped.nearly)
        ),
        format!(
            "With every mark put from one end of a tape it is within {}, however far up.",
            fine(tape, per_step)
        ),
    ];
    all.push(known(fan, last, &top, tape));
    all.extend(thrown(fan, last, &top, tape));
    all
}

/// How well this stair is known.
fn known(fan: &Fan, last: &FanStep, top: &str, tape: Tape) -> String {
    let (what, one) = match fan.of {
        Sum::Heights => ("heights", "rise"),
        Sum::Goings => ("kicks", "going"),
        Sum::TreadEnds => ("tread ends", "tread end"),
    };
    let at_top = up_to(tape, last.open.nearly);
    if fan.throws.is_none() {
        return format!(
            "Nobody read a {one} of this stair: the {what} are taken as meant, give or take \
             {at_top} at {top}."
        );
    }
    let least_sure = fan
        .widest()
        .filter(|one| one.open.nearly > last.open.nearly + tape.mark() / 2.0)
        .map(|one| {
            let give = up_to(tape, one.open.nearly);
            format!(", least surely at step {}: to {give}", one.step)
        });
    format!(
        "This stair's {what} are known to {at_top} at {top}, as read{}.",
        least_sure.unwrap_or_default()
    )
}

/// How far off this stair is at the end, and which step throws it.
fn thrown(fan: &Fan, last: &FanStep, top: &str, tape: Tape) -> Option<String> {
    let throw = fan.throws?;
    let at_top = match off_words(fan.of, last.found, tape) {
        Some(off) => format!("Found less meant, {top} is {off}"),
        None => format!("Found less meant, {top} is where it should be"),
    };
    let by = throw.by.abs();
    if !throw.is_sure() || by < tape.mark() / 2.0 {
        return Some(format!(
            "{at_top}; no step by itself departs by more than its readings leave open."
        ));
    }
    let by = tape.print(by);
    let more = throw.by > Length::ZERO;
    let (step, side) = (throw.step, sides(Sum::TreadEnds)[usize::from(!more)]);
    let amount = if more { "too much" } else { "too little" };
    Some(match fan.of {
        Sum::Heights => format!("{at_top}; step {step} throws most, its rise {by} {amount}."),
        Sum::Goings => format!("{at_top}; step {step} throws most, its going {by} {amount}."),
        Sum::TreadEnds => format!("{at_top}; tread {step} departs most, its end {by} {side}."),
    })
}

/// What the chart of a flight is headed.
#[must_use]
pub fn title(job: &Job, told: &Compounding, several: bool) -> String {
    let each = fine(job.tape, told.per_step);
    let flight = if several {
        format!(", run {}", told.run)
    } else {
        String::new()
    };
    let name = job.name.trim();
    let of = if name.is_empty() { "A flight" } else { name };
    format!("{of}{flight}: what {each} on each step comes to")
}

/// The charts of the flights, in their order.
fn charts(job: &Job, all: &[Compounding]) -> Vec<Drawing> {
    all.iter()
        .map(|told| drawing::compounding(told, job.tape, &title(job, told, all.len() > 1)))
        .collect()
}

/// Round the chart, mm.
const MARGIN: f64 = 12.0;

/// The charts of the flights as one SVG file.
#[must_use]
pub fn svg(job: &Job, all: &[Compounding]) -> String {
    let mut whole = Drawing::default();
    let mut below = MARGIN;
    for chart in charts(job, all) {
        whole.width = whole.width.max(chart.width + 2.0 * MARGIN);
        whole.canvas.put((MARGIN, below), chart.canvas);
        below += chart.height + MARGIN;
        if !whole.says.is_empty() {
            whole.says += " ";
        }
        whole.says += &chart.says;
    }
    whole.height = below;
    drawing::svg_file(&whole)
}

/// The charts of the flights as pages of a PDF: letter for a job in inches, A4 for one in
/// millimetres.
///
/// # Errors
/// As [`write()`].
pub fn pdf(job: &Job, all: &[Compounding]) -> Result<Vec<u8>, PdfError> {
    let paper = match job.units {
        Unit::Inches => Paper::Letter,
        Unit::Millimetres => Paper::A4,
    };
    let (width, height) = paper.size();
    let pages: Vec<Page> = charts(job, all)
        .into_iter()
        .map(|chart| {
            let mut canvas = Canvas::default();
            canvas.put(((width - chart.width) / 2.0, MARGIN), chart.canvas);
            Page {
                width,
                height,
                marks: canvas.marks,
            }
        })
        .collect();
    let about = About {
        title: format!("{}: how errors add up", job.name),
        subject: "How a small error on each step becomes an offset at the top".to_owned(),
    };
    write(&about, &pages)
}

#[cfg(test)]
mod tests {
    use super::{fine, off_words, up_to};
    use crate::doubt::compounding::Sum;
    use crate::measure::{Length, Tape};

    #[test]
    fn what_is_said_is_never_too_little_and_never_less_than_a_mark() {
        for (inches, said) in [
            (0.0, "1/16\""),
            (0.01, "1/16\""),
            (0.0625, "1/16\""),
            (0.063, "1/8\""),
            (0.2638, "5/16\""),
        ] {
            assert_eq!(up_to(Tape::Sixteenths, Length::inches(inches)), said);
        }
        assert_eq!(up_to(Tape::Millimetres, Length::mm(3.2)), "4 mm");
    }

    #[test]
    fn fine_lengths_are_not_rounded_away() {
        let fine = |inches: f64| fine(Tape::Sixteenths, Length::inches(inches));
        assert_eq!(fine(1.0 / 16.0), "1/16\"");
        assert_eq!(fine(1.0 / 32.0), "1/32\"");
        assert_eq!(fine(1.0 / 64.0), "0.015625 in");
    }

    #[test]
    fn sides_are_named() {
        let words = |of, inches: f64| off_words(of, Length::inches(inches), Tape::Sixteenths);
        assert_eq!(words(Sum::Heights, 0.125).as_deref(), Some("1/8\" high"));
        assert_eq!(words(Sum::Goings, -0.125).as_deref(), Some("1/8\" short"));
        assert_eq!(words(Sum::TreadEnds, 0.01), None);
    }
}
