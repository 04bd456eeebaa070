//! The starter scenes: jobs to begin from, as they come with the program.
//!
//! In: nothing. Out: name, text and one line about each. Does not: read or write files.

/// A job to begin from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Starter {
    /// What it is called on the command line and in the window.
    pub name: &'static str,
    /// The text of the job.
    pub text: &'static str,
}

/// One starter, named after its file.
macro_rules! starter {
    ($name:literal) => {
        Starter {
            name: $name,
            text: include_str!(concat!("../../scenes/", $name, ".ron")),
        }
    };
}

/// Every starter scene, the plainest first.
pub const STARTERS: [Starter; 14] = [
    starter!("straight"),
    starter!("open-both-sides"),
    starter!("quarter-turn"),
    starter!("half-turn"),
    starter!("winders"),
    starter!("two-storeys"),
    starter!("level-guard"),
    starter!("shaped-step"),
    starter!("closed-string"),
    starter!("half-wall"),
    starter!("over-post"),
    starter!("wall-rail"),
    starter!("metal-pattern"),
    starter!("panels"),
];

impl Starter {
    /// What it is: the first sentence of the comment that its text begins with.
    #[must_use]
    pub fn about(&self) -> String {
        let comment = self.text.lines().map_while(|line| line.strip_prefix("//"));
        let words: Vec<&str> = comment.flat_map(str::split_whitespace).collect();
        let last = words.iter().position(|word| word.ends_with('.'));
        words[..last.map_or(words.len(), |last| last + 1)].join(" ")
    }
}
