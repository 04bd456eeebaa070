//! What an edit is called: one line in trade words, for the list of what was done.
//!
//! Pure: from the change and the document before and after it. Names are short; a field that has no
//! words of its own is called by its path's.

use crate::job::{Document, FloorReading, Job, StepReading, TreadCount, WallReading};
use crate::measure::{Length, parse_length, with_default_unit};
use crate::survey::step_words;

use super::session::Change;

/// A value longer than this is not written into a name.
const SHORT: usize = 28;

/// The name of a change that led from one document to another.
pub(super) fn name_of(change: &Change, before: &Document, after: &Document) -> String {
    let told = Told { before, after };
    match change {
        Change::Set(values) => told.all_set(values),
        Change::Append { list, .. } => told.added(list),
        Change::Remove { path } => told.gone(path),
        Change::Take { name } => format!("take {name}"),
        Change::Keep { name, .. } => format!("keep it as {name}"),
    }
}

/// Small numbers as words, as one says them.
pub(super) fn number(count: u32) -> String {
    const WORDS: [&str; 7] = ["no", "one", "two", "three", "four", "five", "six"];
    let word = WORDS.get(count as usize);
    word.map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

fn balusters(count: u32) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{} baluster{plural}", number(count))
}

/// The path without list numbers, names of variants, and the run that it is of.
fn key(path: &str) -> String {
    let parts = path.split('.').map(|part| {
        let (name, _) = part.split_once('[').unwrap_or((part, ""));
        name
    });
    let plain = parts.filter(|name| {
        let first = name.chars().next();
        first.is_some_and(char::is_lowercase)
    });
    let mut plain: Vec<&str> = plain.collect();
    if plain.first() == Some(&"runs") {
        plain.remove(0);
    }
    if plain.get(..2) == Some(&["design", "other"]) {
        plain.remove(1);
    }
    plain.join(".")
}

/// The path up to the item of a list of this name, its number too.
fn item<'a>(path: &'a str, list: &str) -> Option<&'a str> {
    let at = path.find(&format!("{list}["))?;
    let end = path[at..].find(']')?;
    Some(&path[..=at + end])
}

struct Told<'a> {
    before: &'a Document,
    after: &'a Document,
}

impl Told<'_> {
    fn job(&self) -> &Job {
        self.after.job()
    }

    fn print(&self, length: Length) -> String {
        self.job().tape.print(length)
    }

    /// A text of the document after it, without its quotes.
    fn text(&self, path: &str) -> Option<&str> {
        Some(self.after.value_text(path)?.trim_matches('"'))
    }

    fn length_in(document: &Document, path: &str) -> Option<Length> {
        let text = document.value_text(path)?.trim_matches('"');
        parse_length(text, document.job().units).ok()
    }

    /// By how much a length changed; a field that was not written was nothing.
    fn by(&self, path: &str) -> Option<Length> {
        let was = match self.before.value_text(path) {
            None => Length::ZERO,
            Some(_) => Self::length_in(self.before, path)?,
        };
        Some(Self::length_in(self.after, path)? - was)
    }

    /// What stands before the name: the run, where it is not the first.
    fn of_run(&self, path: &str) -> String {
        let run = item(path, "runs").filter(|run| path.starts_with(run));
        let name = run.and_then(|run| self.text(&format!("{run}.name")));
        let side = if path.contains("design.other.") {
            "wall side, "
        } else {
            ""
        };
        name.map_or_else(|| side.to_owned(), |name| format!("run {name}, {side}"))
    }

    fn all_set(&self, values: &[(String, String)]) -> String {
        let Some((first, _)) = values.first() else {
            return "nothing changed".to_owned();
        };
        // A level and the end that stands higher are one reading.
        let reading = item(first, "readings");
        let others = values.iter().skip(1);
        let more =
            others.filter(|(path, _)| reading.is_none() || item(path, "readings") != reading);
        let name = self.set(first);
        match more.count() {
            0 => name,
            1 => format!("{name}, and one change more"),
            more => format!("{name}, and {more} changes more"),
        }
    }

    fn set(&self, path: &str) -> String {
        let own = self.set_in_run(path);
        format!("{}{own}", self.of_run(path))
    }

    fn set_in_run(&self, path: &str) -> String {
        let key = key(path);
        if key.contains("readings") {
            return self.read(path);
        }
        let field = key.strip_prefix("design.").unwrap_or(&key);
        let told = match field.split('.').next() {
            Some("newels") => self.newel(path, field),
            Some("rail" | "bottom_rail" | "wall_rail") => self.rail(path, field),
            Some("balusters" | "reveal") => self.balusters(path, field),
            _ => None,
        };
        told.unwrap_or_else(|| self.plain(path, field))
    }

    /// A length moved, in words for more and for less.
    fn moved(&self, path: &str, what: &str, [more, less]: [&str; 2]) -> Option<String> {
        let by = self.by(path)?;
        let way = if by < Length::ZERO { less } else { more };
        Some(format!("{what} {} {way}", self.print(by.abs())))
    }

    fn newel(&self, path: &str, field: &str) -> Option<String> {
        let newel = item(path, "newels")?;
        let name = self.text(&format!("{newel}.name"))?;
        let what = format!("newel {name}");
        match field {
            "newels.stands.move_by" | "newels.stands.x" => {
                self.moved(path, &what, ["up the flight", "down the flight"])
            }
            "newels.stands.y" => self.moved(path, &what, ["to the left", "to the right"]),
            "newels.also.move_by" => {
                self.moved(path, &what, ["up the next run", "down the next run"])
            }
            "newels.height" => self.moved(path, &what, ["taller", "shorter"]),
            "newels.stands" => Some(format!("{what} stands by another rule")),
            _ => None,
        }
    }

    fn rail(&self, path: &str, field: &str) -> Option<String> {
        let (which, inner) = field.split_once('.')?;
        let whose = path.find(which).map(|at| &path[..at + which.len()])?;
        let name = self.text(&format!("{whose}.name"))?;
        let what = match which {
            "bottom_rail" => format!("bottom rail {name}"),
            "wall_rail" => format!("handrail {name}"),
            _ => format!("rail {name}"),
        };
        if let Some((end, rest)) = inner.split_once('.')
            && matches!(end, "lower" | "upper")
        {
            let wall = self
                .text(&format!("{whose}.{end}.wall"))
                .unwrap_or("its wall");
            let block = format!("blocking on wall {wall}");
            return match rest {
                "blocking.up" => self.moved(path, &block, ["higher", "lower"]),
                "blocking.along" => self.moved(path, &block, ["further along", "back along"]),
                "blocking.height" => self.moved(path, &block, ["taller", "shorter"]),
                "blocking.width" => self.moved(path, &block, ["wider", "narrower"]),
                "rosette" => self.moved(
                    path,
                    &format!("rosette on wall {wall}"),
                    ["larger", "smaller"],
                ),
                _ => None,
            };
        }
        match inner {
            "height" | "above" => self.moved(path, &what, ["higher", "lower"]),
            "clear" => self.moved(path, &what, ["off its wall", "towards its wall"]),
            "extend_lower" => self.moved(path, &format!("{what}'s foot"), ["longer", "shorter"]),
            "extend_upper" => self.moved(path, &format!("{what}'s head"), ["longer", "shorter"]),
            "hold" if self.text(path)? == "Hold" => Some(format!("{what} held at its height")),
            "hold" => Some(format!("{what} farthest from both limits")),
            _ => None,
        }
    }

    fn balusters(&self, path: &str, field: &str) -> Option<String> {
        match field {
            "reveal" => Some(format!("reveal wanted {}", self.text(path)?)),
            "balusters.align" => Some(match self.text(path)? {
                "Plumb" => "balusters plumb".to_owned(),
                "EvenReveal" => "balusters to even reveals".to_owned(),
                share => {
                    let number = share.trim_start_matches("Share(").trim_end_matches(')');
                    let share: f64 = number.parse().ok()?;
                    format!(
                        "balusters {:.0} % of the way to even reveals",
                        share * 100.0
                    )
                }
            }),
            "balusters.spacing.set_back" => {
                self.moved(path, "balusters", ["up the flight", "down the flight"])
            }
            "balusters.spacing.hold" => Some(match self.text(path)? {
                "KickLine" => "balusters on the kick line".to_owned(),
                "EqualGaps" => "all gaps alike".to_owned(),
                _ => "gaps part of the way to alike".to_owned(),
            }),
            "balusters.spacing" | "balusters.spacing.count" => self.count(path),
            "balusters.spacing.but" => self.on_treads(path),
            _ => None,
        }
    }

    /// How many balusters there are, on every tread or along the rail.
    fn count(&self, path: &str) -> Option<String> {
        let text = self.text(path)?;
        let digits: String = text.chars().filter(char::is_ascii_digit).collect();
        let spacing = path
            .find("spacing")
            .map(|at| &path[..at + "spacing".len()])?;
        let rule = self.text(spacing)?;
        if rule.starts_with("AlongRail") {
            return Some(digits.parse().ok().map_or_else(
                || "as many balusters along the rail as the limit asks".to_owned(),
                |count| format!("{} along the rail", balusters(count)),
            ));
        }
        let count = digits.parse().ok().filter(|_| path.ends_with("count"))?;
        Some(format!("{} on each tread", balusters(count)))
    }

    /// The treads whose own count changed.
    fn on_treads(&self, path: &str) -> Option<String> {
        let list = |document: &Document| -> Option<Vec<TreadCount>> {
            let text = document.value_text(path);
            text.map_or(Some(Vec::new()), |text| ron::from_str(text).ok())
        };
        let count_path = path.replace("but", "count");
        let common: u32 = self.text(&count_path)?.parse().ok()?;
        let (old, new) = (list(self.before)?, list(self.after)?);
        let of = |list: &[TreadCount], step: u32| {
            let own = list.iter().find(|one| one.step == step);
            own.map_or(common, |one| one.count)
        };
        let mut steps: Vec<u32> = old.iter().chain(&new).map(|one| one.step).collect();
        steps.sort_unstable();
        steps.dedup();
        let mut changed = steps
            .into_iter()
            .filter(|step| of(&old, *step) != of(&new, *step));
        let first = changed.next()?;
        let name = format!("{} on T{first}", balusters(of(&new, first)));
        Some(match changed.count() {
            0 => name,
            1 => format!("{name}, and one tread more"),
            more => format!("{name}, and {more} treads more"),
        })
    }

    /// A reading by the words of its kind, and what was read.
    fn reading(document: &Document, path: &str) -> Option<(String, String)> {
        let at = item(path, "readings")?;
        let text = document.value_text(at)?;
        let owner = |list: &str| {
            let owner = item(at, list)?;
            let name = document.value_text(&format!("{owner}.name"))?;
            Some(name.trim_matches('"').to_owned())
        };
        let options = ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        with_default_unit(document.job().units, || {
            if let Some(wall) = owner("walls") {
                let reading: WallReading = options.from_str(text).ok()?;
                let what = format!("wall {wall}, {} up,", reading.up().text);
                return Some((what, reading.is().text.clone()));
            }
            if let Some(floor) = owner("floors") {
                let reading: FloorReading = options.from_str(text).ok()?;
                return Some((format!("floor {floor}"), reading.is().text.clone()));
            }
            let reading: StepReading = options.from_str(text).ok()?;
            let is = match &reading {
                StepReading::Pitch { is, .. } => is.text.clone(),
                other => other.is()?.text.clone(),
            };
            Some((step_words(&reading), is))
        })
    }

    fn read(&self, path: &str) -> String {
        Self::reading(self.after, path).map_or_else(
            || "a reading changed".to_owned(),
            |(what, is)| format!("{what} read {is}"),
        )
    }

    fn added(&self, list: &str) -> String {
        let run = self.of_run(list);
        if list.ends_with("readings") {
            // It stands last in its list.
            let last = (0..).take_while(|at| {
                let path = format!("{list}[{at}]");
                self.after.value_text(&path).is_some()
            });
            let path = last.last().map(|at: usize| format!("{list}[{at}]"));
            let read = path.map_or_else(|| "a reading added".to_owned(), |path| self.read(&path));
            return format!("{run}{read}");
        }
        format!("{run}{}: one more", words(&key(list)))
    }

    fn gone(&self, path: &str) -> String {
        let run = self.of_run(path);
        if let Some((what, _)) = Self::reading(self.before, path) {
            return format!("{run}{what} not read any more");
        }
        let named = self.before.value_text(&format!("{path}.name"));
        let name = named.map_or_else(String::new, |name| format!(" {}", name.trim_matches('"')));
        format!("{run}{}{name} taken out", words(&key(path)))
    }

    /// A field without words of its own.
    fn plain(&self, path: &str, field: &str) -> String {
        let what = words(field);
        match self.text(path) {
            Some(value) if value.len() <= SHORT && !value.contains('\n') => {
                format!("{what} now {value}")
            }
            _ => format!("{what} changed"),
        }
    }
}

/// A field's path as words.
fn words(field: &str) -> String {
    let field = field.strip_prefix("design.").unwrap_or(field);
    field.replace(['.', '_'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    fn demo() -> Document {
        Document::parse(DEMO, "test.ron").unwrap()
    }

    fn set(path: &str, value: &str) -> Change {
        Change::Set(vec![(path.to_owned(), value.to_owned())])
    }

    /// What a change of a document is called.
    fn named(document: &Document, change: &Change) -> String {
        name_of(change, document, &change.of(document).unwrap())
    }

    #[test]
    fn edits_of_the_design_are_called_as_a_carpenter_would() {
        let demo = demo();
        for (path, value, name) in [
            (
                "design.newels[0].stands.Displaces.move_by",
                "\"-3/16\"",
                "newel N1 3/16\" down the flight",
            ),
            (
                "design.newels[0].stands.move_by",
                "\"1\"",
                "newel N1 1\" up the flight",
            ),
            ("design.newels[0].height", "\"47\"", "newel N1 1\" shorter"),
            ("design.rail.height", "\"36 1/2\"", "rail R1 1/2\" higher"),
            (
                "design.rail.hold",
                "GreatestMargin",
                "rail R1 farthest from both limits",
            ),
            (
                "design.rail.upper.Wall.blocking.up",
                "\"140\"",
                "blocking on wall W2 1/4\" lower",
            ),
            ("design.reveal", "\"1 1/2\"", "reveal wanted 1 1/2"),
            (
                "design.balusters.spacing.PerTread.count",
                "3",
                "three balusters on each tread",
            ),
            (
                "design.balusters.spacing.PerTread.but",
                "[(step: 4, count: 3)]",
                "three balusters on T4",
            ),
            (
                "design.balusters.spacing.PerTread.set_back",
                "\"1/8\"",
                "balusters 1/8\" up the flight",
            ),
            (
                "design.balusters.align",
                "Share(0.35)",
                "balusters 35 % of the way to even reveals",
            ),
            (
                "design.balusters.align",
                "EvenReveal",
                "balusters to even reveals",
            ),
            (
                "flight.readings[2].is",
                "\"9 7/8\"",
                "going of step 6 read 9 7/8",
            ),
            (
                "walls[1].readings[1].is",
                "\"-3/8\"",
                "wall W2, 142 up, read -3/8",
            ),
            ("design.balusters.peg", "\"1\"", "balusters peg now 1"),
            (
                "name",
                "\"A new name for it\"",
                "name now A new name for it",
            ),
        ] {
            assert_eq!(named(&demo, &set(path, value)), name);
        }
    }

    #[test]
    fn a_tread_that_goes_back_to_the_common_count_is_named_too() {
        let path = "design.balusters.spacing.PerTread.but";
        let change = set(path, "[(step: 4, count: 3), (step: 6, count: 3)]");
        let three = change.of(&demo()).unwrap();
        assert_eq!(
            named(&demo(), &change),
            "three balusters on T4, and one tread more"
        );
        let back = set(path, "[(step: 6, count: 3)]");
        assert_eq!(named(&three, &back), "two balusters on T4");
    }

    #[test]
    fn readings_are_named_where_they_are_added_changed_and_taken_out() {
        let demo = demo();
        let added = Change::Append {
            list: "flight.readings".to_owned(),
            item: "Rise(step: 3, is: \"7 5/8\")".to_owned(),
        };
        assert_eq!(named(&demo, &added), "rise of step 3 read 7 5/8");
        let gone = Change::Remove {
            path: "flight.readings[0]".to_owned(),
        };
        assert_eq!(named(&demo, &gone), "rise of step 2 not read any more");
        // A level and the end that stands higher are one reading.
        let level = Change::Set(vec![
            ("flight.readings[16].is".to_owned(), "\"1/4\"".to_owned()),
            ("flight.readings[16].high".to_owned(), "Open".to_owned()),
        ]);
        assert_eq!(
            named(&demo, &level),
            "level of tread 4, side to side read 1/4"
        );
    }

    #[test]
    fn several_changes_are_named_by_the_first_and_how_many_more() {
        let both = Change::Set(vec![
            ("design.rail.height".to_owned(), "\"37\"".to_owned()),
            ("design.newels[0].height".to_owned(), "\"49\"".to_owned()),
        ]);
        assert_eq!(
            named(&demo(), &both),
            "rail R1 1\" higher, and one change more"
        );
    }

    #[test]
    fn a_further_run_says_whose_it_is() {
        let text = include_str!("../../scenes/two-storeys.ron");
        let document = Document::parse(text, "test.ron").unwrap();
        let at = (0..).find(|at| {
            let path = format!("runs[{at}].design.rail.height");
            document.value_text(&path).is_some()
        });
        let run = format!("runs[{}]", at.unwrap());
        let (rail, name) = (
            document
                .value_text(&format!("{run}.design.rail.name"))
                .unwrap()
                .trim_matches('"'),
            document
                .value_text(&format!("{run}.name"))
                .unwrap()
                .trim_matches('"'),
        );
        let change = set(&format!("{run}.design.rail.height"), "\"40\"");
        let told = named(&document, &change);
        assert!(
            told.starts_with(&format!("run {name}, rail {rail} ")) && told.ends_with(" higher"),
            "{told}"
        );
    }
}
