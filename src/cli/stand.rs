//! `inspect --let-stand ID --because "..."`: the reason why a trouble is let stand, written into its
//! job.

use std::path::Path;

use super::page::Page;
use super::source::{self, Source};
use super::{Outcome, talk, why};
use crate::inspect;
use crate::publish::stands_words;

/// Writes the reason into the job's file, in place of one that may be there.
pub(super) fn write(source: &Source, path: &Path, id: &str, because: &str) -> Outcome {
    let chain = match source::chain(source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let Some(trouble) = why::trouble(&chain, id) else {
        let troubles = chain.inspection.troubles();
        return why::unknown(id, troubles.iter().map(|one| one.key.id()).collect());
    };
    let document = source.document();
    let changed = match inspect::lets_stand(document, trouble, because) {
        Ok(changed) => changed,
        Err(faults) => return source::say_faults(&faults),
    };
    if let Err(error) = changed.save_after(path, document.text()) {
        return talk::fault(&error.to_string());
    }
    let mut page = Page::default();
    page.wrapped("did   ", &trouble.says);
    if let Some(stands) = inspect::let_stand(changed.job(), trouble) {
        for says in stands_words(trouble, &stands, source.job().tape) {
            page.wrapped("      ", &says);
        }
        let field = format!("lets_stand[{}]", stands.at);
        page.wrapped("set   ", &format!("{field}: {}", stands.why.written()));
        page.wrapped("undo  ", &format!("take {field} out"));
    }
    talk::answer(&page.text(), Outcome::Clean)
}
