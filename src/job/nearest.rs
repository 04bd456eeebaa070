//! The known name that a misspelt one most likely means.

/// The nearest of the known names, if it is near enough to be meant.
pub(super) fn nearest<'a>(
    typed: &str,
    known: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let plain = |name: &str| name.to_lowercase().replace(['-', '_', ' '], "");
    let wanted = plain(typed);
    let (distance, name) = known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&wanted, &plain(name)), name))
        .min_by_key(|(distance, _)| *distance)?;
    // One slip in three letters; more, and a list of all names helps more.
    (distance <= (wanted.chars().count() / 3).max(1)).then_some(name)
}

/// Help for a name that is not known.
pub(super) fn did_you_mean(typed: &str, known: &[&str], what: &str) -> String {
    if let Some(name) = nearest(typed, known.iter().copied()) {
        return format!("did you mean `{name}`?");
    }
    if known.is_empty() {
        return format!("there is no {what} at all");
    }
    let all: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
    format!("known here: {}", all.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_slips_and_leaves_strangers() {
        let known = ["rise", "going", "tread_thickness", "open_side"];
        assert_eq!(nearest("goin", known), Some("going"));
        assert_eq!(nearest("TreadThickness", known), Some("tread_thickness"));
        assert_eq!(nearest("open-side", known), Some("open_side"));
        assert_eq!(nearest("pitch", known), None);
        assert_eq!(nearest("x", []), None);
    }

    #[test]
    fn lists_all_where_none_is_near() {
        assert_eq!(
            did_you_mean("q", &["Top", "Bottom"], "end"),
            "known here: `Top`, `Bottom`"
        );
        assert_eq!(did_you_mean("N1", &[], "newel"), "there is no newel at all");
    }
}
