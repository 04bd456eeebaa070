//! Which values two texts of a job write differently.
//!
//! In: two documents. Out: the places, with the value of each. Comments, spacing and the order of
//! fields are no difference. In a list, what is alike at both ends is passed over first, so that one
//! reading added in front of others is one difference and not many.

use super::Document;
use super::spans::{Bracket, Group, Node};

/// A place where two documents differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The field path, in the first document where it has it.
    pub path: String,
    /// What the first writes; nothing where it has no such value.
    pub first: Option<String>,
    /// What the second writes.
    pub second: Option<String>,
}

/// A value with the text that it stands in.
#[derive(Clone, Copy)]
struct Place<'a> {
    text: &'a str,
    node: &'a Node,
}

impl<'a> Place<'a> {
    fn words(&self) -> &'a str {
        self.text.get(self.node.span.range()).unwrap_or_default()
    }

    fn name(&self) -> Option<&'a str> {
        let span = self.node.name?;
        self.text.get(span.range())
    }

    const fn at(&self, node: &'a Node) -> Self {
        Self {
            text: self.text,
            node,
        }
    }
}

impl Document {
    /// The values in which another document differs from this one, in the order of this one's file.
    #[must_use]
    pub fn differences(&self, other: &Self) -> Vec<Difference> {
        let mut found = Vec::new();
        let [first, second] = [self, other].map(|document| Place {
            text: document.text(),
            node: document.spans().root(),
        });
        compare(first, second, "", &mut found);
        found
    }
}

fn compare(first: Place, second: Place, path: &str, found: &mut Vec<Difference>) {
    if first.words() == second.words() {
        return;
    }
    let alike = first.name() == second.name();
    match (first.node.group(), second.node.group()) {
        (Some(a), Some(b)) if alike && a.bracket == b.bracket => {
            if a.bracket == Bracket::Square {
                listed((first, a), (second, b), path, found);
            } else {
                fields((first, a), (second, b), path, found);
            }
        }
        _ => found.push(Difference {
            path: path.to_owned(),
            first: Some(first.words().to_owned()),
            second: Some(second.words().to_owned()),
        }),
    }
}

/// Items of two lists.
fn listed(
    (first, a): (Place, &Group),
    (second, b): (Place, &Group),
    path: &str,
    found: &mut Vec<Difference>,
) {
    let mine: Vec<Place> = a.items.iter().map(|item| first.at(&item.value)).collect();
    let theirs: Vec<Place> = b.items.iter().map(|item| second.at(&item.value)).collect();
    let same = |(a, b): &(&Place, &Place)| a.words() == b.words();
    let head = mine.iter().zip(&theirs).take_while(same).count();
    let rest = (mine.len() - head).min(theirs.len() - head);
    let tail = mine.iter().rev().zip(theirs.iter().rev());
    let tail = tail.take(rest).take_while(same).count();
    let (mine, theirs) = (
        &mine[head..mine.len() - tail],
        &theirs[head..theirs.len() - tail],
    );
    for at in 0..mine.len().max(theirs.len()) {
        let path = format!("{path}[{}]", head + at);
        one((mine.get(at), theirs.get(at)), path, found);
    }
}

/// Fields of two structs, by their names, or what stands in brackets without names.
fn fields(
    (first, a): (Place, &Group),
    (second, b): (Place, &Group),
    path: &str,
    found: &mut Vec<Difference>,
) {
    let named = |place: &Place, group: &Group| -> Vec<String> {
        let names = group.items.iter().enumerate().map(|(at, item)| {
            let name = item.name.and_then(|name| place.text.get(name.range()));
            name.map_or_else(|| at.to_string(), str::to_owned)
        });
        names.collect()
    };
    let (mine, theirs) = (named(&first, a), named(&second, b));
    let join = |name: &String| match path {
        "" => name.clone(),
        // What a variant holds has the variant's path.
        _ if name == "0" && a.items.len() == 1 => path.to_owned(),
        _ => format!("{path}.{name}"),
    };
    for (name, item) in mine.iter().zip(&a.items) {
        let other = theirs.iter().position(|known| known == name);
        let other = other.map(|at| second.at(&b.items[at].value));
        let here = first.at(&item.value);
        one((Some(&here), other.as_ref()), join(name), found);
    }
    for (name, item) in theirs.iter().zip(&b.items) {
        if !mine.contains(name) {
            one((None, Some(&second.at(&item.value))), join(name), found);
        }
    }
}

fn one(
    (first, second): (Option<&Place>, Option<&Place>),
    path: String,
    found: &mut Vec<Difference>,
) {
    match (first, second) {
        (Some(first), Some(second)) => compare(*first, *second, &path, found),
        (first, second) => found.push(Difference {
            path,
            first: first.map(|place| place.words().to_owned()),
            second: second.map(|place| place.words().to_owned()),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::super::STARTERS;
    use super::*;

    fn straight() -> Document {
        Document::parse(STARTERS[0].text, "straight.ron").unwrap()
    }

    #[test]
    fn one_edit_is_one_difference_and_its_path_leads_there() {
        let before = straight();
        let after = before.set_length("design.rail.height", "35 1/2").unwrap();
        let found = before.differences(&after);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].path, "design.rail.height");
        assert_eq!(found[0].second.as_deref(), after.value_text(&found[0].path));
        assert_eq!(found[0].first.as_deref(), before.value_text(&found[0].path));
    }

    #[test]
    fn comments_and_blank_lines_are_no_difference() {
        let before = straight();
        let text = format!(
            "// another hand\n\n{}",
            before.text().replace("\n    ", "\n\n     ")
        );
        let after = Document::parse(&text, "straight.ron").unwrap();
        assert_ne!(before.text(), after.text());
        assert_eq!(before.differences(&after), []);
    }

    #[test]
    fn an_added_and_a_removed_reading_are_one_difference_each() {
        let before = straight();
        let list = "flight.readings";
        let more = before.append(list, "Rise(step: 2, is: \"7 1/2\")").unwrap();
        let added = before.differences(&more);
        assert_eq!(added.len(), 1, "{added:?}");
        assert!(added[0].first.is_none() && added[0].path.starts_with(list));
        let both = more.append(list, "Rise(step: 5, is: \"7 5/8\")").unwrap();
        let fewer = both.remove(&format!("{list}[0]")).unwrap();
        let gone = both.differences(&fewer);
        assert_eq!(gone.len(), 1, "{gone:?}");
        assert_eq!(gone[0].path, format!("{list}[0]"));
        assert!(gone[0].second.is_none());
    }

    #[test]
    fn every_starter_differs_from_the_others_and_not_from_itself() {
        for one in &STARTERS {
            let document = Document::parse(one.text, one.name).unwrap();
            assert_eq!(document.differences(&document), [], "{}", one.name);
            assert!(one.about().ends_with('.'), "{}", one.name);
            if one.name != STARTERS[0].name {
                assert!(!straight().differences(&document).is_empty());
            }
        }
    }
}
