//! What becomes of the session and its file: opening, saving, asking first, taking up what was kept
//! aside, and what another program wrote.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::job::{Difference, Document, Faults, STARTERS};

use super::super::session::Session;
use super::prefs::{PLAIN_TEXT, Prefs};
use super::{Answer, Ask, Files, Kept, Offer, Question, Text, Theirs, Then, Want};
use super::{keep, recent, state};

/// That unsaved work cannot be kept aside.
pub(super) fn not_kept(folder: &Path, why: &str) -> String {
    let folder = folder.display();
    format!("Unsaved work cannot be kept aside in {folder}: {why}. Save often.")
}

/// How many values, in words.
pub(in crate::viewer) fn values(count: usize) -> String {
    match count {
        0 => "no value differs".to_owned(),
        1 => "1 value differs".to_owned(),
        _ => format!("{count} values differ"),
    }
}

fn now() -> u64 {
    state::seconds(SystemTime::now())
}

fn first_line(faults: &Faults) -> String {
    let text = faults.to_string();
    text.lines().next().unwrap_or_default().to_owned()
}

/// A starter as a job of its own.
fn begun(place: usize) -> Option<Result<Document, Faults>> {
    let starter = STARTERS.get(place)?;
    Some(Document::parse(starter.text, starter.name))
}

impl Files {
    /// Carries out what was asked. True where another job is open now.
    pub(super) fn take(&mut self, session: &mut Session, ask: &Ask) -> bool {
        match ask {
            Ask::List(want) => {
                self.list = Some(want.clone());
                self.problem = None;
            }
            Ask::Shut => {
                self.list = None;
                self.problem = None;
            }
            Ask::Go(then) if session.unsaved() => {
                self.list = None;
                self.question = Some(Question::Unsaved(then.clone()));
            }
            Ask::Go(then) => return self.go(session, then),
            Ask::Answer(answer) => return self.answered(session, *answer),
            Ask::TakeTheirs => self.take_theirs(session),
            Ask::KeepMine => {
                if let Some(theirs) = self.theirs.take() {
                    self.allowed = Some(state::mark_of(theirs.document.text()));
                    session.say("your work stays; saving writes over the file", false);
                }
            }
            Ask::Look(looked_at) => {
                if let Some(theirs) = &mut self.theirs {
                    theirs.looked_at = *looked_at;
                }
            }
            Ask::TakeUp(place) => return self.take_up(session, *place),
            Ask::Leave => {
                for offer in &mut self.offers {
                    offer.settled = true;
                }
                session.say(
                    "it is left aside until you next save; Open still lists it",
                    false,
                );
            }
            Ask::Understood => self.twice = false,
            Ask::Text(text) => {
                let size = match text {
                    Text::Larger => self.prefs.text_step(true),
                    Text::Smaller => self.prefs.text_step(false),
                    Text::Plain => PLAIN_TEXT,
                };
                session.say(format!("text at {size} %"), false);
                self.set(session, |prefs| prefs.text = size);
            }
            Ask::Toured => {
                self.first = false;
                self.set(session, |prefs| prefs.toured = true);
            }
        }
        false
    }

    /// Sets a preference and writes it down.
    pub(in crate::viewer) fn set(&mut self, session: &mut Session, set: impl FnOnce(&mut Prefs)) {
        set(&mut self.prefs);
        if let Some(folder) = &self.folder
            && let Err(error) = self.prefs.store(folder)
        {
            let why = state::plain(&error);
            let text = format!("this is not kept for the next time: {why}");
            session.say(text, true);
        }
    }

    /// The job that is open now is the one to keep, to watch and to remember; says who else has it
    /// and what was left of it.
    pub(super) fn arrive(&mut self, session: &mut Session) {
        self.turn_to(session);
        let Some(folder) = self.folder.clone() else {
            return;
        };
        // Offers are given back first, or their locks would hide them from us.
        self.offers.clear();
        // Nor is this window another one.
        if let Some(keeper) = &self.keeper {
            keeper.open(None);
            keeper.now();
        }
        let others = keep::others(&folder);
        let open = session.path.as_deref().map(state::settled);
        self.twice = open.as_ref().is_some_and(|path| others.open.contains(path));
        for orphan in others.orphans {
            let about = orphan.kept.path.as_deref().map(state::settled);
            if open.is_none() || about == open {
                self.offer_of(session, orphan);
            }
        }
        if let Some(keeper) = &self.keeper {
            keeper.open(session.path.as_deref());
        }
    }

    /// What stood about another file is gone; this one is watched and remembered.
    fn turn_to(&mut self, session: &mut Session) {
        self.given = None;
        self.allowed = None;
        self.theirs = None;
        self.twice = false;
        self.reading = None;
        self.watch.at(session.path.as_deref());
        self.remember(session);
    }

    /// Puts work on offer; what the file holds anyway is none.
    fn offer_of(&mut self, session: &Session, orphan: keep::Orphan) {
        let kept = &orphan.kept;
        let file = kept.path.as_deref().map(Document::load);
        let file = file.and_then(Result::ok);
        let base = match (&kept.path, &file) {
            (None, _) => Some(&*session.document),
            (Some(_), file) => file.as_ref(),
        };
        if base.is_some_and(|base| base.text() == kept.text) {
            orphan.forget();
            return;
        }
        let known =
            |offer: &Offer| offer.kept().text == kept.text && offer.kept().path == kept.path;
        if self.offers.iter().any(known) {
            orphan.forget();
            return;
        }
        let name = match &kept.path {
            Some(path) => path.display().to_string(),
            None => kept.name.clone(),
        };
        let document = Document::parse(&kept.text, &name).map_err(|faults| first_line(&faults));
        let differs = match (base, &document) {
            (Some(base), Ok(document)) => Some(base.differences(document).len()),
            _ => None,
        };
        let moved_on =
            kept.path.is_some() && file.is_none_or(|file| state::mark_of(file.text()) != kept.of);
        self.offers.push(Offer {
            orphan,
            document,
            differs,
            moved_on,
            settled: false,
        });
    }

    fn remember(&mut self, session: &mut Session) {
        let (Some(folder), Some(path)) = (&self.folder, &session.path) else {
            return;
        };
        self.recent = recent::with(std::mem::take(&mut self.recent), path, now());
        if let Err(error) = recent::store(folder, &self.recent) {
            let why = state::plain(&error);
            session.say(format!("recent jobs are not remembered: {why}"), true);
        }
    }

    /// Does what ends the work on this job.
    fn go(&mut self, session: &mut Session, then: &Then) -> bool {
        let (document, path) = match then {
            Then::Close => {
                self.closing = true;
                return false;
            }
            Then::Open(path) => (Document::load(path), Some(path.clone())),
            Then::Begin(place) => match begun(*place) {
                Some(document) => (document, None),
                None => return false,
            },
        };
        match document {
            Ok(document) => {
                let says = match &path {
                    Some(path) => format!("opened {}", path.display()),
                    None => "a new job; it has no file until you save it".to_owned(),
                };
                session.begin(document, path);
                session.say(says, false);
                self.list = None;
                self.problem = None;
                self.arrive(session);
                if let Some(keeper) = &self.keeper {
                    keeper.saved();
                }
                true
            }
            Err(faults) => {
                let line = first_line(&faults);
                if self.list.is_some() {
                    self.problem = Some(line.clone());
                }
                session.say(line, true);
                false
            }
        }
    }

    fn answered(&mut self, session: &mut Session, answer: Answer) -> bool {
        let Some(question) = self.question.take() else {
            return false;
        };
        match (question, answer) {
            (Question::Unsaved(then), Answer::Keep) => self.save(session, Some(then)),
            (Question::Unsaved(then), Answer::ThrowAway) => {
                self.thrown = then == Then::Close;
                self.go(session, &then)
            }
            (Question::Over(path, then) | Question::Changed(path, then), Answer::Keep) => {
                self.write(session, &path, None, then)
            }
            (Question::Changed(path, _), Answer::ThrowAway) => {
                match Document::load(&path) {
                    Ok(document) => self.reload(session, document),
                    Err(faults) => session.say(first_line(&faults), true),
                }
                false
            }
            _ => false,
        }
    }

    /// Saves to the job's file, and goes on. True where another job is open then.
    pub(super) fn save(&mut self, session: &mut Session, then: Option<Then>) -> bool {
        let Some(path) = session.path.clone() else {
            self.list = Some(Want::SaveAs(then));
            self.problem = None;
            return false;
        };
        let there = std::fs::read(&path).ok().map(|bytes| {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            (state::mark_of(&text), text)
        });
        let other = there.as_ref().is_some_and(|(mark, text)| {
            text != session.saved()
                && text != session.document.text()
                && self.allowed != Some(*mark)
        });
        if other {
            self.question = Some(Question::Changed(path, then));
            return false;
        }
        // What another program writes after this look is told, not written over.
        let seen = there.as_ref().map(|(_, text)| text.as_str());
        self.write(session, &path, seen, then)
    }

    /// Saves under a name; asks before it writes over another file.
    pub(super) fn save_as(
        &mut self,
        session: &mut Session,
        path: &Path,
        then: Option<Then>,
    ) -> bool {
        let own = session.path.as_deref().map(state::settled);
        if own.is_some() && own == Some(state::settled(path)) {
            self.list = None;
            return self.save(session, then);
        }
        if path.is_file() {
            self.question = Some(Question::Over(path.to_owned(), then));
            return false;
        }
        self.write(session, path, None, then)
    }

    /// Saves to a path; in place of what was seen there, if that is given, and of nothing else.
    fn write(
        &mut self,
        session: &mut Session,
        path: &Path,
        seen: Option<&str>,
        then: Option<Then>,
    ) -> bool {
        let before = session.path.clone();
        if !session.save_to(path, seen) {
            if self.list.is_some() {
                let notice = session.notice.as_ref();
                self.problem = notice.map(|notice| notice.says.clone());
            }
            return false;
        }
        self.list = None;
        self.problem = None;
        self.theirs = None;
        self.allowed = None;
        self.watch.at(Some(path));
        self.remember(session);
        // What was kept aside of this job has had its time.
        let mine = before.as_deref().map(state::settled);
        let (done, rest) = std::mem::take(&mut self.offers)
            .into_iter()
            .partition(|offer| {
                let about = offer.kept().path.as_deref().map(state::settled);
                offer.settled && (about == mine || about == Some(state::settled(path)))
            });
        let done: Vec<Offer> = done;
        self.offers = rest;
        for offer in done {
            offer.orphan.forget();
        }
        self.given = None;
        if let Some(keeper) = &self.keeper {
            keeper.open(Some(path));
            keeper.saved();
        }
        then.is_some_and(|then| self.go(session, &then))
    }

    /// Gives what is unsaved to the keeper, or tells it that nothing is.
    pub(super) fn mind(&mut self, session: &Session) {
        let Some(keeper) = &self.keeper else { return };
        if !session.unsaved() {
            if self.given.take().is_some() {
                keeper.saved();
            }
            return;
        }
        let text = session.document.text();
        if self.given.as_deref() == Some(text) {
            return;
        }
        self.given = Some(text.to_owned());
        keeper.keep(kept(session));
    }

    /// What another program made of the file.
    pub(super) fn changed_on_disk(
        &mut self,
        session: &mut Session,
        file: Result<Document, Faults>,
    ) {
        let document = match file {
            Ok(document) => document,
            Err(faults) => {
                let line = first_line(&faults);
                session.say(format!("{line} (the window keeps what it had)"), true);
                return;
            }
        };
        if document.text() == session.saved() {
            self.theirs = None;
        } else if document.text() == session.document.text() {
            session.is_saved();
            self.theirs = None;
        } else if session.unsaved() {
            let differences = session.document.differences(&document);
            self.theirs = Some(Theirs {
                document,
                differences,
                looked_at: false,
            });
        } else {
            self.reload(session, document);
        }
    }

    fn take_theirs(&mut self, session: &mut Session) {
        if let Some(theirs) = self.theirs.take() {
            self.reload(session, theirs.document);
        }
    }

    fn reload(&mut self, session: &mut Session, document: Document) {
        let count = session.document.differences(&document).len();
        let file = session.path.as_deref().map(state::short);
        session.reload(document);
        self.theirs = None;
        self.allowed = None;
        self.watch.at(session.path.as_deref());
        let file = file.unwrap_or_default();
        let text = format!(
            "{file} was changed by another program and is read again: {}. Undo brings back what you had",
            values(count)
        );
        session.say(text, false);
    }

    /// Takes up work that was kept aside. True where that opens another job.
    fn take_up(&mut self, session: &mut Session, place: usize) -> bool {
        let Some(offer) = self.offers.get(place) else {
            return false;
        };
        let document = match &offer.document {
            Ok(document) => document.clone(),
            Err(problem) => {
                session.say(problem.clone(), true);
                return false;
            }
        };
        let path = offer.kept().path.clone();
        let same =
            path.as_deref().map(state::settled) == session.path.as_deref().map(state::settled);
        if !same && session.unsaved() {
            session.say("save what is open here first", true);
            return false;
        }
        for (at, offer) in self.offers.iter_mut().enumerate() {
            offer.settled |= at == place;
        }
        if !same {
            let file = path.as_deref().map(Document::load);
            let base = file.and_then(Result::ok);
            let whole = base.is_none();
            session.begin(base.unwrap_or_else(|| document.clone()), path);
            if whole {
                // Its file is gone or broken: nothing of it is on the disk.
                session.is_not_saved();
            }
            self.turn_to(session);
            if let Some(keeper) = &self.keeper {
                keeper.open(session.path.as_deref());
            }
        }
        session.take_up(document, "work that was not saved");
        self.list = None;
        session.say(
            "taken up where it was left; Undo goes back to what is saved",
            false,
        );
        !same
    }

    /// Keeps aside what is not saved, at once, and ends the keeper. Says where it is.
    pub(super) fn rescue(&mut self, session: &Session) -> Option<String> {
        let unsaved = session.unsaved() && !self.thrown;
        let mut keeper = self.keeper.take()?;
        if unsaved {
            keeper.keep(kept(session));
            keeper.now();
        }
        let failed = keeper.trouble();
        keeper.end(unsaved);
        match failed {
            _ if !unsaved => None,
            Some(why) => Some(format!("what was not saved is lost: {why}")),
            None => {
                let again = match &session.path {
                    Some(path) => format!("rakewell {}", path.display()),
                    None => "rakewell".to_owned(),
                };
                Some(format!(
                    "what was not saved is kept aside; `{again}` offers it again"
                ))
            }
        }
    }
}

fn kept(session: &Session) -> Kept {
    Kept {
        path: session.path.as_deref().map(absolute),
        name: session.document.name().to_owned(),
        of: state::mark_of(session.saved()),
        at: now(),
        text: session.document.text().to_owned(),
    }
}

fn absolute(path: &Path) -> PathBuf {
    state::settled(path)
}

/// What differs, short enough to read: the place, mine, theirs.
pub(in crate::viewer) fn said(difference: &Difference) -> [String; 3] {
    let short = |value: &Option<String>| {
        let text = value.as_deref().unwrap_or("nothing");
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        match text.char_indices().nth(36) {
            Some((cut, _)) => format!("{} ...", &text[..cut]),
            None => text,
        }
    };
    [
        difference.path.clone(),
        short(&difference.first),
        short(&difference.second),
    ]
}
