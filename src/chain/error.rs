//! [`ChainError`]: why the chain could not run.

use crate::rules::{self, RuleError};
use crate::setout::SetOutError;

/// Why the chain could not run: a fault in the job that only the geometry or the rules show.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{problem}; {help}")]
pub struct ChainError {
    /// The field path, as in `design.newels[0].stands`.
    pub path: String,
    /// What is wrong.
    pub problem: String,
    /// What would do.
    pub help: String,
}

impl From<SetOutError> for ChainError {
    fn from(error: SetOutError) -> Self {
        Self {
            path: error.path,
            problem: error.problem,
            help: error.help,
        }
    }
}

impl From<RuleError> for ChainError {
    fn from(error: RuleError) -> Self {
        if let RuleError::Amendment {
            field,
            problem,
            help,
        } = error
        {
            return Self {
                path: format!("design.local.{field}"),
                problem,
                help,
            };
        }
        let help = format!("use one of: {}", rules::names().join(", "));
        Self {
            path: "design.rules".to_owned(),
            problem: error.to_string(),
            help,
        }
    }
}
