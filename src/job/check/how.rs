//! Checks of what every reading can say about how it was taken: with what, how surely, when.

use super::Check;
use super::tools::{self, Suits};
use crate::job::Len;
use crate::job::limits::{LEAST_SD, LONGEST_REMARK, MOST_SD};
use crate::job::nearest::did_you_mean;

/// What a reading says about how it was taken.
pub(super) struct How<'a> {
    by: Option<&'a str>,
    sd: Option<&'a Len>,
    taken: &'a str,
    note: &'a str,
}

impl<'a> How<'a> {
    pub(super) fn of(
        by: &'a Option<String>,
        sd: &'a Option<Len>,
        taken: &'a str,
        note: &'a str,
    ) -> Self {
        Self {
            by: by.as_deref(),
            sd: sd.as_ref(),
            taken,
            note,
        }
    }
}

/// What a reading asks of its instrument.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    /// A distance between two parts.
    Distance,
    /// A distance from a laser line.
    FromLine,
    /// How far a surface is out of level.
    Level,
    /// How far a face is out of plumb.
    Plumb,
    /// An angle above level.
    Pitch,
    /// How far a face is out of straight.
    Straight,
}

/// Checks how the reading at a path was taken.
pub(super) fn check(check: &mut Check<'_>, path: &str, how: &How<'_>, asks: Asks) {
    if let Some(by) = how.by {
        instrument(check, &format!("{path}.by"), by, asks);
    }
    if let Some(sd) = how.sd {
        let what = "the standard uncertainty";
        let at = format!("{path}.sd");
        if asks == Asks::Pitch {
            check.tell(
                &at,
                "the uncertainty of a pitch is an angle, and this is a length",
                "leave it out and name the instrument with `by`",
            );
        } else if check.over_zero(&at, what, sd, MOST_SD) && sd.value < LEAST_SD {
            let problem = "no tool on site is surer than 0.01 mm";
            check.tell(&at, problem, "write 0.01 mm or more");
        }
    }
    remark(check, &format!("{path}.taken"), "the time", how.taken);
    remark(check, &format!("{path}.note"), "the note", how.note);
}

fn instrument(check: &mut Check<'_>, path: &str, by: &str, asks: Asks) {
    let job = check.job;
    let Some(instrument) = job.instruments.iter().find(|one| one.name == by) else {
        let known: Vec<&str> = job
            .instruments
            .iter()
            .map(|one| one.name.as_str())
            .collect();
        let help = did_you_mean(by, &known, "instrument");
        check.tell(path, format!("there is no instrument `{by}`"), help);
        return;
    };
    let is = tools::words(&instrument.is);
    match tools::suits(&instrument.is, asks) {
        Suits::Well => {}
        Suits::Oddly => check.warn(
            path,
            format!("`{by}` is {is}, which alone does not show {}", shown(asks)),
            format!("name {} if that was used", wanted(asks)),
        ),
        Suits::Not => check.tell(
            path,
            format!("`{by}` is {is}, which cannot read {}", shown(asks)),
            format!("name {}", wanted(asks)),
        ),
    }
}

/// What is asked, in trade words.
const fn shown(asks: Asks) -> &'static str {
    match asks {
        Asks::Distance => "a distance",
        Asks::FromLine => "how far it is from a laser line",
        Asks::Level => "what is level",
        Asks::Plumb => "what is plumb",
        Asks::Pitch => "a pitch in degrees",
        Asks::Straight => "what is straight",
    }
}

/// What would do.
const fn wanted(asks: Asks) -> &'static str {
    match asks {
        Asks::Distance => "a `Tape` or a `Distance` laser",
        Asks::FromLine => "the `Tape` that was held to the line, or the `Laser`",
        Asks::Level => "a `Level`, or the `Laser` that it was read from",
        Asks::Plumb => "a `Level`",
        Asks::Pitch => "a `Slope`, a level that shows degrees",
        Asks::Straight => "a `Straightedge` or a `Level`",
    }
}

/// Checks a text that is kept as it is.
pub(super) fn remark(check: &mut Check<'_>, path: &str, what: &str, text: &str) {
    let long = text.chars().count();
    if long > LONGEST_REMARK {
        check.tell(
            path,
            format!("{what} is {long} characters long"),
            format!("{LONGEST_REMARK} at most; keep the rest in a comment behind `//`"),
        );
    } else {
        self::text(check, path, what, text, LONGEST_REMARK);
    }
}

/// Checks a text that may be left out: so long at most, and of one line.
pub(super) fn text(check: &mut Check<'_>, path: &str, what: &str, text: &str, most: usize) {
    if printed(check, path, what, text, most) && text.contains('\n') {
        unprinted(check, path, what);
    }
}

/// Checks a text that may be left out and may have several lines: so long at most. True where
/// nothing is wrong with it.
pub(super) fn printed(
    check: &mut Check<'_>,
    path: &str,
    what: &str,
    text: &str,
    most: usize,
) -> bool {
    let long = text.chars().count();
    let odd = text.chars().any(|c| c.is_control() && c != '\n');
    if long > most {
        let problem = format!("{what} is {long} characters long");
        check.tell(path, problem, format!("{most} at most"));
    } else if odd {
        unprinted(check, path, what);
    }
    long <= most && !odd
}

fn unprinted(check: &mut Check<'_>, path: &str, what: &str) {
    check.tell(
        path,
        format!("{what} holds characters that do not print"),
        "write it on one line, with spaces for tabs",
    );
}
