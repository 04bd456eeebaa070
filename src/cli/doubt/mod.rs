//! `doubt`: how sure the result is, and what decides.

mod decides;
mod further;
mod safe;
mod tolerances;
mod written;

use super::args::Doubt;
use super::source::{self, Source};
use super::watch::Watch;
use super::{Outcome, talk};
use crate::chain::Chain;
use crate::doubt::{self, Model, Sample, Wanted};
use crate::inspect::Severity;
use crate::measure::Tape;
use crate::publish::json;
use further::Further;

/// What all of the answers are made from.
struct Asked<'a> {
    command: &'a Doubt,
    source: &'a Source,
    chain: &'a Chain,
    model: &'a Model,
    wanted: Wanted,
    watch: &'a Watch,
}

pub(super) fn run(command: &Doubt) -> Outcome {
    let source = match source::load_way(command.job.as_deref(), command.alternative.as_deref()) {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    let Some(model) = Model::of(&chain) else {
        return talk::fault("the job has no stair of its own whose readings could be in doubt");
    };
    let model = if command.unread {
        model.with_unread()
    } else {
        model
    };
    let usual = Wanted::default();
    let wanted = Wanted {
        seed: command.seed,
        most: command.draws,
        threads: command.threads.map_or(usual.threads, usize::from),
        ..usual
    };
    let watch = Watch::new();
    let asked = Asked {
        command,
        source: &source,
        chain: &chain,
        model: &model,
        wanted,
        watch: &watch,
    };
    match &command.decides {
        Some(id) => decides::tell(&asked, id),
        None => tell(&asked),
    }
}

fn tell(asked: &Asked<'_>) -> Outcome {
    let reveal = match further::reveal(asked) {
        Ok(reveal) => reveal,
        Err(outcome) => return outcome,
    };
    let sample = doubt::sample_of(asked.model, asked.chain, &asked.wanted, &|progress| {
        asked.watch.tell(progress)
    });
    let further = Further::of(asked, &sample, reveal);
    asked.watch.done();
    let text = if asked.command.json {
        let also = (further.safe.as_ref(), further.loosest.as_ref());
        json::doubt_with(asked.source.job(), asked.model, &sample, also)
    } else {
        written::written(asked, &sample) + &further.written(asked, asked.source.job().tape)
    };
    talk::answer(&text, outcome(asked, &sample))
}

/// Trouble where something that is more than a remark does not keep its limit with the wanted chance,
/// or no draw was finished.
fn outcome(asked: &Asked<'_>, sample: &Sample) -> Outcome {
    let allowed = 1.0 - asked.command.chance;
    let mut troubles = sample.chances.iter().filter(|one| one.is_trouble());
    let stays =
        troubles.any(|one| one.plan.severity > Severity::Remark && one.tally.share() > allowed);
    if sample.draws == 0 || stays || sample.anything.share() > allowed {
        Outcome::Trouble
    } else {
        Outcome::Clean
    }
}
