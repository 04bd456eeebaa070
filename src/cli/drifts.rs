//! Rows of reveals as tables: what shows, what it changes by, and a bar for the eye.

use super::page::{Page, Push};
use crate::inspect::{Family, RevealAt, RevealRun, Seeing};
use crate::measure::{Length, Tape};

/// The columns of the longest bar.
const BAR: f64 = 20.0;

/// Writes every row of reveals: the tread ends in full, of the others those where something is seen.
pub(super) fn write(page: &mut Page, rows: &[RevealRun], tape: Tape) {
    for row in rows.iter().filter(|row| row.family == Family::TreadEnds) {
        let beside = row.what.rsplit_once(" beside ");
        let beside = beside.map_or_else(String::new, |(_, rail)| format!(" beside {rail}"));
        page.heading(&format!("Reveals at the tread ends{beside}"));
        page.wrapped("  ", &summary(row, tape));
        table(page, row, tape);
    }
    let others = || rows.iter().filter(|row| row.family != Family::TreadEnds);
    if others().next().is_none() {
        return;
    }
    page.heading("Other reveals");
    for row in others() {
        page.wrapped("  ", &format!("{}: {}", row.what, summary(row, tape)));
        if !row.seen.is_empty() {
            table(page, row, tape);
        }
    }
}

fn summary(row: &RevealRun, tape: Tape) -> String {
    let (least, most) = (&row.values[row.least], &row.values[row.most]);
    // Less than half a mark the tape shows as nothing.
    if row.range < tape.mark() / 2.0 {
        return format!("all {}", tape.print(least.value));
    }
    let way = if row.slope < Length::ZERO {
        "less"
    } else {
        "more"
    };
    let drift = format!(
        "{} {way} with every {}",
        thin(row.slope.abs(), tape),
        row.unit()
    );
    format!(
        "from {} at {} to {} at {}: they wander by {}; {drift}, within {} of a straight line",
        tape.print(least.value),
        least.part,
        tape.print(most.value),
        most.part,
        tape.print(row.range),
        tape.print(row.remainder)
    )
}

fn table(page: &mut Page, row: &RevealRun, tape: Tape) {
    let steps = row.steps();
    let (low, high) = extent(&steps);
    let rows: Vec<Vec<String>> = steps
        .iter()
        .map(|step| {
            let change = row.changes.iter().find(|change| change.to == step.step);
            let change = change.map_or_else(String::new, |change| signed(change.by, tape));
            let place = match row.family {
                Family::NewelBlocks => step.part.clone(),
                _ => format!("{} {}", row.unit(), step.step),
            };
            let seen = seen(row, step.step);
            let bar = format!("{}{seen}", bar(step.value, low, high));
            vec![place, tape.print(step.value), change, bar]
        })
        .collect();
    let pushes = [Push::Left, Push::Right, Push::Right, Push::Left];
    page.table(4, &pushes, &rows);
}

/// A length in thousandths of an inch or hundredths of a millimetre: less than a tape shows.
pub(super) fn thin(length: Length, tape: Tape) -> String {
    match tape {
        Tape::Millimetres => format!("{:.2} mm", length.as_mm()),
        Tape::Sixteenths | Tape::ThirtySeconds => format!("{:.3}\"", length.as_inches()),
    }
}

/// A change with its sign; nothing where the tape shows none.
fn signed(by: Length, tape: Tape) -> String {
    if by.abs() < tape.mark() / 2.0 {
        return "0".to_owned();
    }
    let sign = if by < Length::ZERO { "less" } else { "more" };
    format!("{} {sign}", tape.print(by.abs()))
}

fn extent(steps: &[RevealAt]) -> (f64, f64) {
    let values = steps.iter().map(|step| step.value.as_mm());
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    })
}

/// A bar as long as the value stands over the least.
fn bar(value: Length, low: f64, high: f64) -> String {
    let share = (value.as_mm() - low) / (high - low);
    let columns = if share.is_finite() {
        (share * BAR).round().clamp(0.0, BAR)
    } else {
        0.0
    };
    "=".repeat(columns as usize) + "|"
}

/// What the eye catches at a step.
fn seen(row: &RevealRun, step: u32) -> &'static str {
    let at = |what| {
        row.seen
            .iter()
            .any(|one| one.step == step && one.what == what)
    };
    if at(Seeing::Jump) {
        " a jump"
    } else if at(Seeing::Range) {
        " an end"
    } else if at(Seeing::Drift) {
        " drifts"
    } else {
        ""
    }
}

#[cfg(test)]
mod tests {
    use super::{bar, signed};
    use crate::measure::{Length, Tape};

    #[test]
    fn a_bar_is_as_long_as_its_share() {
        assert_eq!(bar(Length::mm(2.0), 1.0, 3.0), "==========|");
        assert_eq!(bar(Length::mm(1.0), 1.0, 3.0), "|");
        // Nothing to compare.
        assert_eq!(bar(Length::mm(1.0), 1.0, 1.0), "|");
        assert_eq!(signed(Length::mm(0.1), Tape::Sixteenths), "0");
        assert_eq!(
            signed(Length::inches(-0.125), Tape::Sixteenths),
            "1/8\" less"
        );
    }
}
