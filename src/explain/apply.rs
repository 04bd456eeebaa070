//! A cure written into a document, and what would undo it.

use crate::job::{Document, Faults};

/// What puts a field back as it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undo {
    /// The field.
    pub field: String,
    /// Its former value as the file wrote it; `None` where it was not written.
    pub value: Option<String>,
}

/// The document with all edits of a cure made, and what undoes them, to be done in its order.
///
/// # Errors
/// Where a field is not there any more, or the job is then wrong: nothing is changed then.
pub fn applied(
    document: &Document,
    edits: &[(String, String)],
) -> Result<(Document, Vec<Undo>), Faults> {
    let mut changed = document.clone();
    let mut undo = Vec::new();
    for (field, value) in edits {
        undo.push(Undo {
            field: field.clone(),
            value: changed.value_text(field).map(str::to_owned),
        });
        changed = changed.set(field, value)?;
    }
    undo.reverse();
    Ok((changed, undo))
}

/// The document with a cure taken out of it again.
///
/// # Errors
/// As [`applied`].
pub fn undone(document: &Document, undo: &[Undo]) -> Result<Document, Faults> {
    let mut changed = document.clone();
    for one in undo {
        changed = match &one.value {
            Some(value) => changed.set(&one.field, value)?,
            None => changed.remove(&one.field)?,
        };
    }
    Ok(changed)
}
