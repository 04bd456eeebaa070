//! What each shell completes by.

use clap::Command;
use clap_complete::{Shell, generate};

/// Where each shell looks, below `/usr` or `~/.local`. `PowerShell` and Elvish look nowhere by
/// themselves; whoever uses them names the file in what they start with.
const PLACES: [(Shell, &str); 5] = [
    (Shell::Bash, "share/bash-completion/completions/rakewell"),
    (Shell::Zsh, "share/zsh/site-functions/_rakewell"),
    (Shell::Fish, "share/fish/vendor_completions.d/rakewell.fish"),
    (Shell::PowerShell, "share/rakewell/rakewell.ps1"),
    (Shell::Elvish, "share/rakewell/rakewell.elv"),
];

/// A file for each shell, by its name below the folder.
pub(super) fn completions(command: &Command) -> Vec<(String, Vec<u8>)> {
    PLACES
        .iter()
        .map(|(shell, name)| {
            let mut bytes = Vec::new();
            generate(*shell, &mut command.clone(), "rakewell", &mut bytes);
            ((*name).to_owned(), bytes)
        })
        .collect()
}
