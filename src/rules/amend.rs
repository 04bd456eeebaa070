//! [`Pack::amended`]: a pack as the text adopted at the place of a stair amends it.

use super::pack::{Dropped, check_rule};
use super::{Pack, Quantity, Rule, RuleError, Sense};
use crate::job::{Amend, Local};

impl Pack {
    /// The pack as a local text amends it: each amended rule cites the local clause.
    ///
    /// # Errors
    /// [`RuleError::Amendment`] names the field at fault and, where two limits contradict, both.
    pub fn amended(&self, local: &Local) -> Result<Self, RuleError> {
        let mut pack = self.clone();
        let text = format!("{} {}", local.name.trim(), local.edition.trim());
        let mut seen: Vec<Quantity> = Vec::new();
        for (at, amend) in local.amends.iter().enumerate() {
            let path = format!("amends[{at}]");
            let quantity = quantity(&path, &amend.rule, &mut seen)?;
            let rule = self.one(quantity, amend, local, &text, &path)?;
            check_rule(&rule).map_err(|fault| {
                let help = format!("the pack's own rule is in `{}`", self.name);
                refused(format!("{path}.{}", fault.field), fault.says, help)
            })?;
            match pack.rules.iter_mut().find(|one| one.quantity == quantity) {
                Some(own) => *own = rule,
                None => pack.rules.push(rule),
            }
        }
        for (at, drop) in local.drops.iter().enumerate() {
            let path = format!("drops[{at}]");
            let quantity = quantity(&path, &drop.rule, &mut seen)?;
            let Some(place) = pack.rules.iter().position(|one| one.quantity == quantity) else {
                let problem = format!("the pack `{}` has no rule {}", self.name, drop.rule);
                let help = "take it out: what a pack does not ask need not be dropped";
                return Err(refused(format!("{path}.rule"), problem, help.to_owned()));
            };
            let rule = pack.rules.remove(place);
            let by = format!("{text} {}", drop.clause.trim());
            pack.dropped.push(Dropped { rule, by });
        }
        pack.rules.sort_by_key(|rule| rule.quantity.place());
        pack.local = Some(text);
        pack.check_together().map_err(|(concerned, problem)| {
            let is_concerned = |amend: &Amend| {
                Quantity::named(&amend.rule).is_some_and(|one| concerned.contains(&one))
            };
            let field = match local.amends.iter().rposition(is_concerned) {
                Some(at) => format!("amends[{at}]"),
                None => "drops".to_owned(),
            };
            let help = "amend both, or read the local text again".to_owned();
            refused(field, problem, help)
        })?;
        Ok(pack)
    }

    /// The rule that an amendment makes.
    fn one(
        &self,
        quantity: Quantity,
        amend: &Amend,
        local: &Local,
        text: &str,
        path: &str,
    ) -> Result<Rule, RuleError> {
        if amend.clause.trim().is_empty() {
            let problem = "an amendment without a clause".to_owned();
            let help = "cite where the local text says so".to_owned();
            return Err(refused(format!("{path}.clause"), problem, help));
        }
        let own = self.rule(quantity);
        let Some(says) = amend
            .says
            .clone()
            .or_else(|| own.map(|one| one.says.clone()))
        else {
            let problem = format!("the pack `{}` has no rule {}", self.name, amend.rule);
            let help = "say what the local text asks: `says: \"...\"`".to_owned();
            return Err(refused(path.to_owned(), problem, help));
        };
        let sense = amend.sense.or_else(|| own.map(|one| one.sense));
        Ok(Rule {
            quantity,
            sense: sense.unwrap_or_else(|| quantity.usual_sense()),
            limit: amend.limit.clone(),
            clause: format!("{text} {}", amend.clause.trim()),
            edition: Some(local.edition.clone()),
            says,
            when: own.and_then(|one| one.when.clone()),
            amended: true,
        })
    }
}

/// The quantity of an amendment's rule, which no earlier one may be about.
fn quantity(path: &str, name: &str, seen: &mut Vec<Quantity>) -> Result<Quantity, RuleError> {
    let Some(quantity) = Quantity::named(name) else {
        let problem = format!("there is no rule `{name}`");
        let help = format!("did you mean `{}`? The rules are: {}", nearest(name), all());
        return Err(refused(format!("{path}.rule"), problem, help));
    };
    if seen.contains(&quantity) {
        let problem = format!("`{name}` is amended twice");
        let help = "keep the one that the local text says".to_owned();
        return Err(refused(format!("{path}.rule"), problem, help));
    }
    seen.push(quantity);
    Ok(quantity)
}

fn nearest(name: &str) -> String {
    let plain = |text: &str| text.to_lowercase().replace(['-', '_', ' '], "");
    let wanted = plain(name);
    let likeness =
        |one: &Quantity| strsim::normalized_damerau_levenshtein(&plain(&one.name()), &wanted);
    Quantity::ALL
        .into_iter()
        .max_by(|a, b| likeness(a).total_cmp(&likeness(b)))
        .map_or_else(String::new, Quantity::name)
}

fn all() -> String {
    Quantity::ALL.map(Quantity::name).join(", ")
}

fn refused(field: String, problem: String, help: String) -> RuleError {
    RuleError::Amendment {
        field,
        problem,
        help,
    }
}

impl Quantity {
    /// Its place in [`Self::ALL`].
    fn place(self) -> usize {
        Self::ALL.iter().position(|one| *one == self).unwrap_or(0)
    }

    /// The sense of a rule on it that says none.
    fn usual_sense(self) -> Sense {
        let is_ball = matches!(
            self,
            Self::OpeningStair | Self::OpeningLevel | Self::OpeningTriangle | Self::OpenKickBall
        );
        match (self.is_floor(), is_ball) {
            (true, _) => Sense::AtLeast,
            (false, true) => Sense::Under,
            (false, false) => Sense::AtMost,
        }
    }
}
