//! [`Pack`] and [`Rule`]: limits with their clauses, read from data and checked as they load.

use serde::Deserialize;

use super::{Quantity, RuleError};
use crate::job::Len;
use crate::job::limits::{LONGEST_PACK_TEXT, MOST_PACK_BYTES, MOST_RULES};
pub use crate::job::{GripSizes, Limit, Recess, Sense};
use crate::measure::{Length, Unit, tolerance, with_default_unit};
use crate::site::winders::MeasuredAt;

/// One limit on one quantity.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// What it limits.
    pub quantity: Quantity,
    /// Which side of the limit is right.
    pub sense: Sense,
    /// The limit.
    pub limit: Limit,
    /// The clause with its edition, as a message cites it.
    pub clause: String,
    /// The edition of its text, where that is not the pack's.
    #[serde(default)]
    pub edition: Option<String>,
    /// What it asks, in one sentence of trade words.
    pub says: String,
    /// Where it is asked, in words; absent: of every stair that the pack is for.
    #[serde(default)]
    pub when: Option<String>,
    /// True where the text adopted at the place sets it.
    #[serde(skip)]
    pub amended: bool,
}

impl Rule {
    /// The limit as a length; nothing where it is a slope (see [`Limit::over`]).
    #[must_use]
    pub fn length(&self) -> Option<Length> {
        self.limit.length()
    }
}

/// A rule of the pack that the text adopted at the place does not ask.
#[derive(Clone, Debug, PartialEq)]
pub struct Dropped {
    /// The rule.
    pub rule: Rule,
    /// The local clause, with its text and edition.
    pub by: String,
}

/// A set of rules that a stair is held against.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// The name that a job asks for it by.
    pub name: String,
    /// What it is, in one line.
    pub title: String,
    /// The country.
    pub country: String,
    /// The edition that its clauses are numbered by.
    pub edition: String,
    /// The unit of its numbers where they are written without one.
    pub units: Unit,
    /// What it is for, in words.
    pub applies: String,
    /// Who must be asked before a limit is relied on.
    pub ask: String,
    /// What a reader must know before relying on it.
    pub note: String,
    /// The line across winders that their depth is measured on, where the pack has rules on it.
    #[serde(default)]
    pub winders_at: Option<MeasuredAt>,
    /// Where the openings of a stair without kicks are limited only higher than this above the floor
    /// below: that height.
    #[serde(default)]
    pub open_kicks_above: Option<Len>,
    /// The rules, in the order in which they are listed.
    pub rules: Vec<Rule>,
    /// The text that amends it, with its edition.
    #[serde(skip)]
    pub local: Option<String>,
    /// Its rules that this text does not ask.
    #[serde(skip)]
    pub dropped: Vec<Dropped>,
}

/// The unit of a pack, read before the rest of it.
#[derive(Deserialize)]
struct UnitOf {
    units: Unit,
}

impl Pack {
    /// Reads and checks a pack. Bare numbers are in the pack's own unit.
    ///
    /// # Errors
    /// [`RuleError::Faulty`] says what is wrong with the text, or which rules contradict.
    pub fn read(name: &str, text: &str) -> Result<Self, RuleError> {
        let faulty = |problem: String| RuleError::Faulty {
            pack: name.to_owned(),
            problem,
        };
        if text.len() > MOST_PACK_BYTES {
            let most = MOST_PACK_BYTES / 1024;
            return Err(faulty(format!("it is larger than {most} KiB")));
        }
        // A pack that lacks its unit, or whose text is broken, is told by the reading of the whole.
        let unit = ron::from_str::<UnitOf>(text).map_or(Unit::Inches, |of| of.units);
        let pack: Self = with_default_unit(unit, || ron::from_str(text))
            .map_err(|error| faulty(error.to_string()))?;
        pack.check().map_err(faulty)?;
        Ok(pack)
    }

    /// The rule on a quantity, if the pack has one.
    #[must_use]
    pub fn rule(&self, quantity: Quantity) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.quantity == quantity)
    }

    /// The limit on a quantity as a length, if the pack has one that is a length.
    #[must_use]
    pub fn length(&self, quantity: Quantity) -> Option<Length> {
        self.rule(quantity).and_then(Rule::length)
    }

    /// The pack without the rules on some quantities.
    #[must_use]
    pub fn without(&self, quantities: &[Quantity]) -> Self {
        let mut left = self.clone();
        left.rules
            .retain(|rule| !quantities.contains(&rule.quantity));
        left
    }

    fn check(&self) -> Result<(), String> {
        for (what, text) in [
            ("title", &self.title),
            ("country", &self.country),
            ("edition", &self.edition),
            ("applies", &self.applies),
            ("ask", &self.ask),
            ("note", &self.note),
        ] {
            if text.trim().is_empty() {
                return Err(format!("its {what} is empty"));
            }
            if text.chars().count() > LONGEST_PACK_TEXT {
                return Err(format!(
                    "its {what} is longer than {LONGEST_PACK_TEXT} letters"
                ));
            }
        }
        if self.rules.len() > MOST_RULES {
            return Err(format!(
                "it has {} rules, and {MOST_RULES} is the most",
                self.rules.len()
            ));
        }
        for (place, rule) in self.rules.iter().enumerate() {
            let what = rule.quantity;
            if self.rules[..place].iter().any(|r| r.quantity == what) {
                return Err(format!("two rules limit {what:?}"));
            }
            check_rule(rule).map_err(|fault| fault.says)?;
        }
        if let Some(above) = &self.open_kicks_above
            && !(above.value.is_finite() && above.value > Length::ZERO)
        {
            return Err("open_kicks_above is not a positive length".to_owned());
        }
        self.check_together().map_err(|(_, says)| says)
    }

    /// Refuses rules that nothing keeps together; tells the quantities concerned.
    pub(super) fn check_together(&self) -> Result<(), (Vec<Quantity>, String)> {
        let on_walk_line = [Quantity::WinderWalkDepth, Quantity::WinderVariation];
        let asked: Vec<Quantity> = on_walk_line
            .into_iter()
            .filter(|of| self.rule(*of).is_some())
            .collect();
        if self.winders_at.is_none() && !asked.is_empty() {
            let says = "winders_at does not say on which line winders are measured";
            return Err((asked, says.to_owned()));
        }
        for (floor, ceiling) in PAIRS {
            self.check_pair(floor, ceiling)?;
        }
        self.check_step()
    }

    /// Refuses a floor above its ceiling: nothing could keep both.
    fn check_pair(
        &self,
        floor: Quantity,
        ceiling: Quantity,
    ) -> Result<(), (Vec<Quantity>, String)> {
        let number = |of: Quantity| {
            let limit = &self.rule(of)?.limit;
            let count = || limit.count().map(|count| Length::mm(f64::from(count)));
            limit.length().or_else(count)
        };
        let ceiling_holds = |low, high| {
            let sense = self.rule(ceiling).map_or(Sense::AtMost, |rule| rule.sense);
            sense.holds(low, high)
        };
        match (number(floor), number(ceiling)) {
            (Some(low), Some(high)) if !ceiling_holds(low, high) => Err((
                vec![floor, ceiling],
                format!("{floor:?} asks for more than {ceiling:?} allows, so nothing keeps both"),
            )),
            _ => Ok(()),
        }
    }

    /// Refuses limits on rise and tread that no two rises and going together can keep.
    fn check_step(&self) -> Result<(), (Vec<Quantity>, String)> {
        use Quantity::{
            RiseLeast, RiseMax, TreadDepth, TreadDepthMost, TwoRisesAndGoingLeast,
            TwoRisesAndGoingMost,
        };
        let together =
            |rise: Quantity, tread: Quantity| Some(self.length(rise)? * 2.0 + self.length(tread)?);
        let refused = |rise: Quantity, tread: Quantity, both: Quantity| {
            let says = format!(
                "{rise:?} and {tread:?} together leave nothing that {both:?} allows, so nothing \
                 keeps all three"
            );
            Err((vec![rise, tread, both], says))
        };
        let least = together(RiseLeast, TreadDepth).zip(self.length(TwoRisesAndGoingMost));
        if least.is_some_and(|(least, most)| !Sense::AtMost.holds(least, most)) {
            return refused(RiseLeast, TreadDepth, TwoRisesAndGoingMost);
        }
        let most = together(RiseMax, TreadDepthMost).zip(self.length(TwoRisesAndGoingLeast));
        if most.is_some_and(|(most, least)| !Sense::AtLeast.holds(most, least)) {
            return refused(RiseMax, TreadDepthMost, TwoRisesAndGoingLeast);
        }
        Ok(())
    }
}

/// A floor and the ceiling above it.
///
/// The height of a guard on a stair is no floor under that of a handrail: where a pack asks for a
/// guard higher than a hand reaches, the two are two rails.
const PAIRS: [(Quantity, Quantity); 6] = [
    (Quantity::RiseLeast, Quantity::RiseMax),
    (Quantity::TreadDepth, Quantity::TreadDepthMost),
    (
        Quantity::TwoRisesAndGoingLeast,
        Quantity::TwoRisesAndGoingMost,
    ),
    (Quantity::NosingLeast, Quantity::NosingMost),
    (Quantity::HandrailLow, Quantity::HandrailHigh),
    (Quantity::RisersLeast, Quantity::RisersMost),
];

/// What is wrong with a rule, and with which of its fields.
pub(super) struct Fault {
    pub(super) field: &'static str,
    pub(super) says: String,
}

pub(super) fn check_rule(rule: &Rule) -> Result<(), Fault> {
    let what = rule.quantity;
    let fault = |field, says| Err(Fault { field, says });
    let nothing = rule
        .length()
        .is_some_and(|limit| limit.abs() <= Length::mm(tolerance::SAME_POINT_MM));
    let may_be = rule.limit.is_positive() || nothing && what.may_be_nothing();
    if !may_be {
        let says = format!("the limit of {what:?} is not a positive number");
        return fault("limit", says);
    }
    if what.unit() != rule.limit.unit() {
        let says = format!(
            "{what:?} has a limit of the wrong kind; it takes {}",
            what.unit()
        );
        return fault("limit", says);
    }
    if what.is_floor() != (rule.sense == Sense::AtLeast) {
        let says = format!("{what:?} cannot have the sense {:?}", rule.sense);
        return fault("sense", says);
    }
    let texts = [Some(&rule.clause), Some(&rule.says), rule.when.as_ref()];
    let long = |text: &&String| text.chars().count() > LONGEST_PACK_TEXT;
    if texts.iter().flatten().any(long) {
        let says = format!("{what:?} has a text of more than {LONGEST_PACK_TEXT} letters");
        return fault("clause", says);
    }
    if rule.clause.trim().is_empty() || rule.says.trim().is_empty() {
        let says = format!("{what:?} lacks its clause or what it says");
        return fault("clause", says);
    }
    Ok(())
}
