//! Cuts a field path such as `flight.readings[3].is` into steps.

/// A step down the tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step<'a> {
    /// To a field or through a variant.
    Field(&'a str),
    /// To an item of a list.
    At(usize),
}

/// The steps of a path; `None` where it is not a path.
pub(super) fn steps(path: &str) -> Option<Vec<Step<'_>>> {
    let mut steps = Vec::new();
    if path.is_empty() {
        return Some(steps);
    }
    for part in path.split('.') {
        let (name, mut indices) = match part.find('[') {
            Some(at) => part.split_at(at),
            None => (part, ""),
        };
        if name.is_empty() && (!steps.is_empty() || indices.is_empty()) {
            return None;
        }
        if !name.is_empty() {
            steps.push(Step::Field(name));
        }
        while !indices.is_empty() {
            let (number, rest) = indices.strip_prefix('[')?.split_once(']')?;
            steps.push(Step::At(number.parse().ok()?));
            indices = rest;
        }
    }
    Some(steps)
}

/// The path of what holds the last step, and that step.
pub(super) fn split_last(path: &str) -> Option<(&str, Step<'_>)> {
    let last = steps(path)?.pop()?;
    let cut = match last {
        Step::Field(_) => path.rfind('.').unwrap_or(0),
        Step::At(_) => path.rfind('[')?,
    };
    Some((path.get(..cut)?, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_fields_and_indices() {
        let expected = [
            Step::Field("a"),
            Step::Field("b"),
            Step::At(3),
            Step::At(0),
            Step::Field("c"),
        ];
        assert_eq!(steps("a.b[3][0].c").as_deref(), Some(&expected[..]));
        assert_eq!(steps("").as_deref(), Some(&[][..]));
    }

    #[test]
    fn refuses_what_is_no_path() {
        for path in ["a..b", ".", "a[", "a[x]", "a[1", "a[1]x", "a."] {
            assert_eq!(steps(path), None, "{path}");
        }
    }

    #[test]
    fn parts_the_last_step() {
        assert_eq!(split_last("a.b[3]"), Some(("a.b", Step::At(3))));
        assert_eq!(split_last("a.b"), Some(("a", Step::Field("b"))));
        assert_eq!(split_last("a"), Some(("", Step::Field("a"))));
        assert_eq!(split_last(""), None);
    }
}
