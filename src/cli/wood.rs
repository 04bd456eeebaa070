//! What moves with the wood: trouble that is there only when it is dry or damp, then the gaps, seats
//! and reveals that change.

use super::drifts::thin;
use super::page::{Page, Push};
use crate::chain::{Chain, SeasonTold, SeasonWhat};
use crate::job::{Sawn, Wood};
use crate::measure::{Length, Tape};
use crate::publish::sentence;
use crate::setout::wood::Season;

/// Writes what the seasons do, where some run says what it is made of.
pub(super) fn write(page: &mut Page, chain: &Chain, told: &[SeasonTold], tape: Tape) {
    let mut woods = chain.runs.iter();
    let Some(wood) = woods.find_map(|run| run.run.job.design.wood.as_ref()) else {
        return;
    };
    page.heading("When the wood moves");
    page.wrapped("  ", &given(wood));
    let mut none = true;
    for season in Season::BOTH {
        let troubles: Vec<&SeasonTold> = told
            .iter()
            .filter(|one| one.season == season && one.is_trouble())
            .collect();
        if troubles.is_empty() {
            continue;
        }
        none = false;
        let when = match season {
            Season::Winter => "dry",
            Season::Summer => "damp",
        };
        let moisture = season.moisture(wood);
        page.wrapped(
            "  ",
            &format!("Only when the wood is {when} ({moisture} %):"),
        );
        for alike in alike(&troubles) {
            page.wrapped("    ", &only_then(&alike, tape));
        }
    }
    if none {
        let all = "Nothing that is met as fitted is broken when it is dry or damp.";
        page.wrapped("  ", all);
    }
    let rows = shifts(told, tape);
    if rows.len() > 1 {
        let pushes = [Push::Left, Push::Right, Push::Right, Push::Left];
        page.table(4, &pushes, &rows);
    }
}

fn given(wood: &Wood) -> String {
    let sawn = match wood.sawn {
        Sawn::Flat => "flat-sawn",
        Sawn::Quartered => "quartered",
        Sawn::Between => "sawn between flat and quartered",
    };
    let but = if wood.but.is_empty() {
        ""
    } else {
        ", some parts otherwise"
    };
    format!(
        "{} {sawn}{but}: fitted at {} %, {} % at its driest, {} % at its dampest. Along the grain \
         nothing is reckoned: green to oven-dry it is 0.1 to 0.2 %.",
        wood.species, wood.fitted, wood.driest, wood.wettest
    )
}

/// Troubles of one kind together, each kind's farthest from its limit first.
fn alike<'a>(troubles: &[&'a SeasonTold]) -> Vec<Vec<&'a SeasonTold>> {
    let mut kinds: Vec<Vec<&SeasonTold>> = Vec::new();
    for one in troubles {
        match kinds.iter_mut().find(|kind| kind[0].what == one.what) {
            Some(kind) => kind.push(one),
            None => kinds.push(vec![one]),
        }
    }
    for kind in &mut kinds {
        let past = |one: &SeasonTold| (one.then - one.limit.unwrap_or_default()).abs();
        kind.sort_by(|a, b| past(b).total_cmp(&past(a)));
    }
    kinds
}

/// What tells two quantities of one part apart, and is no part itself.
const IS_NO_PART: [&str; 7] = [
    "at least",
    "at most",
    "lowest",
    "lowest to hold",
    "highest",
    "lower",
    "upper",
];

/// The worst of some troubles of one kind, and where the others are.
fn only_then(alike: &[&SeasonTold], tape: Tape) -> String {
    let Some((worst, others)) = alike.split_first() else {
        return String::new();
    };
    let fitted = tape.print(worst.fitted);
    let changed = moved(worst.then - worst.fitted, tape);
    let told = match worst.what {
        SeasonWhat::Trouble(..) => {
            format!(
                "{} As fitted {fitted}; it changes by {changed}.",
                sentence(&worst.says)
            )
        }
        SeasonWhat::Shift(_) => format!(
            "{} {fitted} deep as fitted; it changes by {changed}, and nothing holds.",
            sentence(&worst.says)
        ),
    };
    if others.is_empty() {
        return told;
    }
    let place = |one: &&SeasonTold| {
        let parts = one.parts.iter().map(String::as_str);
        let parts: Vec<&str> = parts.filter(|part| !IS_NO_PART.contains(part)).collect();
        parts.join(" and ")
    };
    let places: Vec<String> = others.iter().map(place).collect();
    format!("{told} Likewise at {}.", places.join(", "))
}

/// One line for each quantity that changes: what it is, as fitted, dry and damp.
fn shifts(told: &[SeasonTold], tape: Tape) -> Vec<Vec<String>> {
    let is_shift = |one: &&SeasonTold| matches!(one.what, SeasonWhat::Shift(_));
    let shows = |one: &&SeasonTold| (one.then - one.fitted).abs() >= tape.mark() / 8.0;
    let mut rows = vec![["", "as fitted", "dry", "damp"].map(str::to_owned).to_vec()];
    let mut done: Vec<(&str, usize)> = Vec::new();
    for one in told.iter().filter(is_shift).filter(shows) {
        let same = (one.says.as_str(), one.run);
        if done.contains(&same) {
            continue;
        }
        done.push(same);
        let at = |season: Season| {
            let mut all = told.iter().filter(is_shift);
            let then = all.find(|other| {
                other.season == season && other.run == one.run && other.says == one.says
            });
            then.map_or_else(String::new, |then| moved(then.then - one.fitted, tape))
        };
        rows.push(vec![
            one.says.clone(),
            tape.print(one.fitted),
            at(Season::Winter),
            at(Season::Summer),
        ]);
    }
    rows
}

/// A change with its sign, finer than a tape shows it.
fn moved(by: Length, tape: Tape) -> String {
    let sign = if by < Length::ZERO { '-' } else { '+' };
    format!("{sign}{}", thin(by.abs(), tape))
}
