//! What was edited, kept as an alternative: the changes that make one state of a job of another,
//! written into the earlier one's list.

use super::Document;
use super::diagnostic::Faults;
use super::edit::quoted;
use super::spans::{Bracket, Group, Item, Node};

/// One change: a field, and its other value; none where it is taken out.
type Change = (String, Option<String>);

impl Document {
    /// This job with one more alternative, which makes `other` of it. Other alternatives are those of
    /// this job.
    ///
    /// # Errors
    /// Where nothing differs, where the name will not do, or where what differs cannot be written as
    /// changes of fields.
    pub fn with_alternative(&self, name: &str, other: &Self) -> Result<Self, Faults> {
        let mut changes = Vec::new();
        let (a, b) = (self.spans.root(), other.spans.root());
        let texts = (self.text.as_str(), other.text.as_str());
        differ(texts, (a, b), "", &mut changes);
        if changes.is_empty() {
            let help = "change something first";
            return Err(self.fault("alternatives", "nothing was changed", help));
        }
        let name = name.trim();
        let next = self.append("alternatives", &item(name, &changes))?;
        let bare = |document: &Self| {
            let mut job = document.job.clone();
            job.alternatives.clear();
            // Which tape it is shown on is no part of it.
            job.tape = job.own_tape();
            job.read_on = None;
            job
        };
        if bare(&next.alternative(name)?) == bare(other) {
            return Ok(next);
        }
        let help = "write it into the file by hand";
        Err(self.fault(
            "alternatives",
            "what was changed cannot be told field by field",
            help,
        ))
    }
}

/// The alternative as the file writes it.
fn item(name: &str, changes: &[Change]) -> String {
    let mut text = format!("(name: {}, changes: [", quoted(name));
    for (field, is) in changes {
        let field = quoted(field);
        let change = match is {
            Some(is) => format!("(field: {field}, is: {is}), "),
            None => format!("(field: {field}, remove: true), "),
        };
        text.push_str("\n                ");
        text.push_str(change.trim_end());
    }
    text.push_str("\n            ])");
    text
}

fn value<'a>(text: &'a str, node: &Node) -> &'a str {
    text.get(node.span.range()).unwrap_or_default()
}

/// Fields by their names; none where one has no name.
fn named<'a>(text: &'a str, group: &'a Group) -> Option<Vec<(&'a str, &'a Item)>> {
    let items = group.items.iter();
    items
        .map(|item| Some((text.get(item.name?.range())?, item)))
        .collect()
}

/// Collects what makes the second of the first, in an order in which it can be done one by one.
fn differ(texts: (&str, &str), (a, b): (&Node, &Node), path: &str, out: &mut Vec<Change>) {
    if value(texts.0, a) == value(texts.1, b) {
        return;
    }
    let name = |text: &str, node: &Node| {
        let name = node.name.and_then(|name| text.get(name.range()));
        name.map(str::to_owned)
    };
    let alike = name(texts.0, a) == name(texts.1, b);
    if let (Some(before), Some(after), true) = (a.group(), b.group(), alike) {
        if (before.bracket, after.bracket) == (Bracket::Square, Bracket::Square) {
            return items(texts, (before, after), path, out);
        }
        let fields = named(texts.0, before).zip(named(texts.1, after));
        if let Some((before, after)) = fields {
            return of_fields(texts, (&before, &after), path, out);
        }
    }
    out.push((path.to_owned(), Some(value(texts.1, b).to_owned())));
}

/// What makes one list of another. An item can be added behind the last only, and be taken out
/// anywhere.
fn items(
    texts: (&str, &str),
    (before, after): (&Group, &Group),
    path: &str,
    out: &mut Vec<Change>,
) {
    let (before, after) = (&before.items, &after.items);
    let same = |a: &Item, b: &Item| value(texts.0, &a.value) == value(texts.1, &b.value);
    let alike = |pairs: &mut dyn Iterator<Item = (&Item, &Item)>| {
        pairs.take_while(|(a, b)| same(a, b)).count()
    };
    // What stays behind those that are taken out moves up by itself.
    let first = alike(&mut before.iter().zip(after));
    let last = alike(&mut before.iter().rev().zip(after.iter().rev()));
    let stay = match after.len().checked_sub(first) {
        Some(rest) if after.len() < before.len() => last.min(rest),
        _ => 0,
    };
    let (ends, wanted) = (before.len() - stay, after.len() - stay);
    for at in first..ends.min(wanted) {
        let path = format!("{path}[{at}]");
        differ(texts, (&before[at].value, &after[at].value), &path, out);
    }
    for (at, item) in after.iter().enumerate().take(wanted).skip(ends) {
        let text = value(texts.1, &item.value).to_owned();
        out.push((format!("{path}[{at}]"), Some(text)));
    }
    // From the last, so that those before it keep their places.
    for at in (wanted.max(first)..ends).rev() {
        out.push((format!("{path}[{at}]"), None));
    }
}

/// Fields with their names.
type Named<'a> = &'a [(&'a str, &'a Item)];

fn of_fields(
    texts: (&str, &str),
    (before, after): (Named, Named),
    path: &str,
    out: &mut Vec<Change>,
) {
    let within = |name: &str| match path {
        "" => name.to_owned(),
        path => format!("{path}.{name}"),
    };
    let counts = |name: &str| !(path.is_empty() && name == "alternatives");
    for (name, item) in after.iter().filter(|(name, _)| counts(name)) {
        let path = within(name);
        match before.iter().find(|(known, _)| known == name) {
            Some((_, old)) => differ(texts, (&old.value, &item.value), &path, out),
            None => out.push((path, Some(value(texts.1, &item.value).to_owned()))),
        }
    }
    for (name, _) in before.iter().filter(|(name, _)| counts(name)) {
        if !after.iter().any(|(known, _)| known == name) {
            out.push((within(name), None));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../demo-scenes/quarry-lane.ron");

    fn demo() -> Document {
        Document::parse(DEMO, "test.ron").unwrap()
    }

    #[test]
    fn what_was_edited_is_made_again_by_the_alternative() {
        let before = demo();
        let edited = before
            .set("design.rail.height", "\"37\"")
            .and_then(|one| one.set("design.balusters.spacing.count", "3"))
            .and_then(|one| one.append("flight.readings", "Rise(step: 3, is: \"7 9/16\")"))
            .unwrap();
        let kept = before
            .with_alternative("Three and higher", &edited)
            .unwrap();
        // The job itself is as it was, and its comments stand.
        assert!(kept.text().contains("// Short: the old string"));
        let mut job = kept.job().clone();
        assert_eq!(job.alternatives.len(), 1);
        assert_eq!(job.alternatives[0].changes.len(), 3);
        job.alternatives.clear();
        assert_eq!(&job, before.job());
        let made = kept.alternative("Three and higher").unwrap();
        assert_eq!(made.job().design, edited.job().design);
        assert_eq!(made.job().flight, edited.job().flight);
        // And taking it gives what was edited.
        let taken = kept.take_alternative("Three and higher").unwrap();
        assert_eq!(taken.job().design, edited.job().design);
        assert_eq!(taken.alternatives().count(), 1);
    }

    #[test]
    fn what_was_taken_out_is_taken_out_by_it_and_it_goes_when_it_is_taken() {
        let before = demo();
        let edited = before.remove("flight.readings[2]").unwrap();
        let edited = edited.remove("flight.readings[2]").unwrap();
        let kept = before.with_alternative("Less read", &edited).unwrap();
        let changes = &kept.job().alternatives[0].changes;
        let fields: Vec<&str> = changes.iter().map(|one| one.field.as_str()).collect();
        assert_eq!(fields, ["flight.readings[3]", "flight.readings[2]"]);
        let made = kept.alternative("Less read").unwrap();
        assert_eq!(made.job().flight, edited.job().flight);
        // It takes out what then is not there any more, so it is not listed any longer.
        let taken = kept.take_alternative("Less read").unwrap();
        assert_eq!(taken.job().flight, edited.job().flight);
    }

    #[test]
    fn nothing_changed_or_no_name_is_refused() {
        let before = demo();
        assert!(before.with_alternative("Same", &before).is_err());
        let edited = before.set("design.rail.height", "\"37\"").unwrap();
        assert!(before.with_alternative(" ", &edited).is_err());
        let kept = before.with_alternative("Twice", &edited).unwrap();
        let twice = kept.with_alternative("Twice", &edited);
        assert!(twice.is_err(), "two of one name");
    }
}
