//! The manners of files, without a window.

use std::fs;
use std::path::{Path, PathBuf};

use super::*;
use crate::job::STARTERS;

/// A desk with a job in a file, and a state folder.
struct Hand {
    folder: tempfile::TempDir,
    path: PathBuf,
    session: Session,
    files: Files,
}

fn desk() -> Hand {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("stair.ron");
    fs::write(&path, STARTERS[0].text).unwrap();
    let document = Document::load(&path).unwrap();
    let session = Session::new(document, Some(path.clone()));
    let files = Files::at(Some(folder.path().join("state")));
    let mut hand = Hand {
        folder,
        path,
        session,
        files,
    };
    hand.start();
    hand
}

const HEIGHT: &str = "design.rail.height";

impl Hand {
    /// As the window begins.
    fn start(&mut self) {
        let folder = self.files.folder.clone().unwrap();
        self.files.keeper = Some(keep::Keeper::begin(&folder, || ()).unwrap());
        self.files.arrive(&mut self.session);
    }

    fn ask(&mut self, ask: Ask) -> bool {
        self.files.take(&mut self.session, &ask)
    }

    fn edit(&mut self, height: &str) {
        let value = format!("{height:?}");
        let change = super::super::session::Change::Set(vec![(HEIGHT.to_owned(), value)]);
        self.session.edit(&change, None);
        self.files.mind(&self.session);
    }

    fn height(&self) -> f64 {
        self.session
            .document
            .job()
            .design
            .rail
            .height
            .value
            .as_inches()
    }

    fn says(&self) -> &str {
        self.session
            .notice
            .as_ref()
            .map_or("", |notice| &notice.says)
    }

    /// Another program writes the file.
    fn other_writes(&mut self, height: &str) -> Document {
        let theirs = Document::load(&self.path).unwrap();
        let theirs = theirs.set_length(HEIGHT, height).unwrap();
        fs::write(&self.path, theirs.text()).unwrap();
        theirs
    }

    fn rereads(&mut self) {
        let now = Document::load(&self.path);
        self.files.changed_on_disk(&mut self.session, now);
    }

    /// The window is killed: nothing is told to anybody, and its lock goes.
    fn killed(self) -> (tempfile::TempDir, PathBuf) {
        let Self {
            folder,
            path,
            files,
            ..
        } = self;
        files.keeper.as_ref().unwrap().now();
        drop(files);
        (folder, path)
    }
}

fn again(folder: tempfile::TempDir, path: Option<&Path>) -> Hand {
    let file = folder.path().join("stair.ron");
    let document = match path {
        Some(path) => Document::load(path).unwrap(),
        None => Document::parse(STARTERS[1].text, STARTERS[1].name).unwrap(),
    };
    let session = Session::new(document, path.map(Path::to_owned));
    let files = Files::at(Some(folder.path().join("state")));
    let mut hand = Hand {
        folder,
        path: file,
        session,
        files,
    };
    // The thread of the one before may still be on its way out.
    for _ in 0..100 {
        hand.start();
        if hand.files.offer().is_some() {
            break;
        }
        hand.files.keeper.take().unwrap().end(false);
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    hand
}

#[test]
fn work_of_a_killed_window_comes_back_to_the_letter() {
    let mut hand = desk();
    hand.edit("35 1/2");
    hand.edit("36 1/2");
    let text = hand.session.document.text().to_owned();
    let (folder, path) = hand.killed();
    let mut hand = again(folder, Some(&path));
    let (place, offer) = hand.files.offer().unwrap();
    assert_eq!(offer.differs, Some(1));
    assert!(!offer.moved_on && offer.says().contains("stair.ron"));
    hand.ask(Ask::TakeUp(place));
    assert_eq!(hand.session.document.text(), text);
    assert!(hand.session.unsaved() && hand.files.offer().is_none());
    // What is saved is a step back, until the next saving.
    hand.session.undo();
    assert!(!hand.session.unsaved());
    hand.session.redo();
    hand.files.save(&mut hand.session, None);
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    assert!(hand.files.offers.is_empty());
}

#[test]
fn left_aside_it_stays_until_the_next_saving() {
    let mut hand = desk();
    hand.edit("35 1/2");
    let (folder, path) = hand.killed();
    let mut hand = again(folder, Some(&path));
    hand.ask(Ask::Leave);
    assert!(hand.files.offer().is_none() && hand.files.offers.len() == 1);
    let (folder, path) = hand.killed();
    let mut hand = again(folder, Some(&path));
    assert!(hand.files.offer().is_some(), "it is offered again");
    hand.ask(Ask::Leave);
    hand.edit("37");
    hand.files.save(&mut hand.session, None);
    assert!(hand.files.offers.is_empty());
    let left = keep::others(&hand.folder.path().join("state"));
    assert!(left.orphans.is_empty());
}

#[test]
fn a_window_without_a_job_offers_it_and_opens_its_file() {
    let mut hand = desk();
    hand.edit("35 1/2");
    let text = hand.session.document.text().to_owned();
    let (folder, path) = hand.killed();
    let mut hand = again(folder, None);
    let (place, _) = hand.files.offer().unwrap();
    assert!(hand.ask(Ask::TakeUp(place)), "another job is open");
    assert_eq!(hand.session.document.text(), text);
    let open = hand.session.path.as_deref().map(state::settled);
    assert_eq!(open, Some(state::settled(&path)));
}

#[test]
fn an_untouched_window_takes_what_another_program_wrote() {
    let mut hand = desk();
    hand.other_writes("37 1/2");
    hand.rereads();
    approx::assert_relative_eq!(hand.height(), 37.5);
    assert!(!hand.session.unsaved() && hand.says().contains("1 value differs"));
    hand.session.undo();
    assert!(hand.session.unsaved(), "what was there is a step back");
}

#[test]
fn unsaved_work_and_a_changed_file_are_both_kept_until_one_is_chosen() {
    let mut hand = desk();
    hand.edit("35 1/2");
    let theirs = hand.other_writes("37 1/2");
    hand.rereads();
    let seen = hand.files.theirs.as_ref().unwrap();
    assert_eq!(
        said(&seen.differences[0]),
        [HEIGHT, "\"35 1/2\"", "\"37 1/2\""]
    );
    approx::assert_relative_eq!(hand.height(), 35.5);
    // Saving asks first, and does nothing where one goes back.
    hand.files.save(&mut hand.session, None);
    assert!(matches!(hand.files.question, Some(Question::Changed(..))));
    hand.ask(Ask::Answer(Answer::Back));
    assert_eq!(fs::read_to_string(&hand.path).unwrap(), theirs.text());
    hand.ask(Ask::TakeTheirs);
    approx::assert_relative_eq!(hand.height(), 37.5);
    hand.session.undo();
    approx::assert_relative_eq!(hand.height(), 35.5);
    // Having chosen one's own, saving asks no more.
    hand.other_writes("38");
    hand.rereads();
    hand.ask(Ask::KeepMine);
    hand.files.save(&mut hand.session, None);
    assert!(hand.files.question.is_none() && !hand.session.unsaved());
}

#[test]
fn a_file_that_is_gone_or_broken_is_said_and_the_window_keeps_what_it_had() {
    let mut hand = desk();
    let text = hand.session.document.text().to_owned();
    fs::write(&hand.path, text.replacen("units:", "unit:", 1)).unwrap();
    hand.rereads();
    // As the command line says it: file, line, field.
    assert!(hand.says().contains("stair.ron:"), "{}", hand.says());
    assert_eq!(hand.session.document.text(), text);
    fs::remove_file(&hand.path).unwrap();
    hand.rereads();
    assert!(hand.says().contains("cannot be read"), "{}", hand.says());
    assert_eq!(hand.session.document.text(), text);
    // Saving puts it back.
    hand.edit("35");
    hand.files.save(&mut hand.session, None);
    assert!(hand.path.is_file() && !hand.session.unsaved());
}

#[test]
fn closing_asks_once_and_each_answer_does_what_it_says() {
    let mut hand = desk();
    hand.edit("35 1/2");
    hand.ask(Ask::Go(Then::Close));
    assert!(!hand.files.closing && hand.files.hushes());
    hand.ask(Ask::Answer(Answer::Back));
    assert!(!hand.files.closing && hand.session.unsaved());
    hand.ask(Ask::Go(Then::Close));
    hand.ask(Ask::Answer(Answer::Keep));
    assert!(hand.files.closing && !hand.session.unsaved());

    let mut hand = desk();
    let before = fs::read_to_string(&hand.path).unwrap();
    hand.edit("35 1/2");
    hand.ask(Ask::Go(Then::Close));
    hand.ask(Ask::Answer(Answer::ThrowAway));
    assert!(hand.files.closing);
    assert_eq!(fs::read_to_string(&hand.path).unwrap(), before);
    hand.files.rescue(&hand.session);
    let left = keep::others(&hand.folder.path().join("state"));
    assert!(
        left.orphans.is_empty(),
        "what was thrown away is not offered"
    );
}

#[test]
fn a_job_without_a_file_is_asked_for_its_name_and_then_goes_on() {
    let mut hand = desk();
    assert!(hand.ask(Ask::Go(Then::Begin(3))));
    assert!(hand.session.path.is_none());
    hand.edit("35 1/2");
    hand.ask(Ask::Go(Then::Close));
    hand.ask(Ask::Answer(Answer::Keep));
    let wants = Some(Want::SaveAs(Some(Then::Close)));
    assert_eq!(hand.files.list, wants);
    let other = hand.path.clone();
    hand.files
        .save_as(&mut hand.session, &other, Some(Then::Close));
    assert!(matches!(hand.files.question, Some(Question::Over(..))));
    hand.ask(Ask::Answer(Answer::Back));
    assert_eq!(fs::read_to_string(&other).unwrap(), STARTERS[0].text);
    let new = hand.folder.path().join("new.ron");
    hand.files
        .save_as(&mut hand.session, &new, Some(Then::Close));
    assert!(hand.files.closing && new.is_file());
}

#[test]
fn a_full_disk_and_a_folder_that_is_not_there_lose_nothing() {
    let mut hand = desk();
    hand.edit("35 1/2");
    let text = hand.session.document.text().to_owned();
    let mut places = vec![hand.folder.path().join("gone/stair.ron")];
    if Path::new("/dev/full").exists() {
        // No file can be made in it, and it is full.
        places.push(PathBuf::from("/dev/full/stair.ron"));
        places.push(PathBuf::from("/dev/full"));
    }
    for place in places {
        hand.files
            .save_as(&mut hand.session, &place, Some(Then::Close));
        assert!(
            hand.session.notice.as_ref().unwrap().wrong,
            "{}",
            place.display()
        );
        if place.starts_with(hand.folder.path()) {
            let notice = hand.session.notice.as_ref().unwrap();
            assert!(notice.elsewhere, "another folder would do: {}", notice.says);
        }
        assert!(hand.session.unsaved() && !hand.files.closing);
        assert_eq!(hand.session.document.text(), text);
        assert_eq!(hand.session.path.as_ref(), Some(&hand.path));
    }
}

#[test]
fn a_job_that_cannot_be_opened_leaves_the_one_that_is_open() {
    let mut hand = desk();
    let broken = hand.folder.path().join("broken.ron");
    fs::write(&broken, "(format: 1").unwrap();
    hand.ask(Ask::List(Want::Open));
    assert!(!hand.ask(Ask::Go(Then::Open(broken.clone()))));
    assert!(hand.files.problem.as_ref().unwrap().contains("broken.ron"));
    assert_eq!(hand.session.path.as_ref(), Some(&hand.path));
}

#[test]
fn a_second_window_on_a_job_says_so() {
    let hand = desk();
    hand.files.keeper.as_ref().unwrap().now();
    let document = Document::load(&hand.path).unwrap();
    let mut session = Session::new(document, Some(hand.path.clone()));
    let mut second = Files::at(hand.files.folder.clone());
    second.arrive(&mut session);
    assert!(second.twice);
    assert_eq!(second.recent[0].path, state::settled(&hand.path));
}

#[test]
fn another_tape_changes_how_lengths_are_said_and_not_the_file() {
    let mut hand = desk();
    let text = hand.session.document.text().to_owned();
    let gaps = |hand: &Hand| -> Vec<f64> {
        let chain = crate::chain::run(hand.session.document.job()).unwrap();
        chain
            .first()
            .setout
            .gaps
            .iter()
            .map(|gap| gap.clear.as_mm())
            .collect()
    };
    let before = gaps(&hand);
    let own = hand.session.document.job().tape;
    for _ in 0..2 {
        hand.session.next_tape();
        assert_ne!(hand.session.document.job().tape, own);
        assert_eq!(hand.session.document.text(), text);
        // What is known does not hang on how it is said.
        assert_eq!(gaps(&hand), before);
    }
    hand.edit("35 1/2");
    assert_eq!(
        hand.session.document.job().tape,
        crate::measure::Tape::Millimetres
    );
    hand.session.undo();
    assert_eq!(
        hand.session.document.job().tape,
        crate::measure::Tape::Millimetres
    );
    hand.session.next_tape();
    assert_eq!(hand.session.document.job().read_on, None);
    assert_eq!(hand.session.document.job().tape, own);
}
