//! What other plants teach, learnt from all records and remembered by what it was learnt from.
//!
//! Little is learnt while somebody waits. Much is learnt in the background of a node that serves, one corpus after the other and
//! each at most once a minute; until then an answer stands on the own counts, or on what was learnt before. Every fit starts
//! from nothing, so that the same records give the same answer whatever was held before them.

mod background;
mod everything;
#[cfg(test)]
mod tests;

use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, TrySendError};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use propagule_analysis::joint::{Step, Watch};

use super::App;
use propagule_answer::learnt::{Learning, Learnt};
use propagule_answer::question::Scope;
use propagule_evidence::{Grouping, Question, Whose};
use propagule_files::clock::Moment;
use propagule_files::fault::Fault;

/// Most records of which everything is learnt while somebody waits.
const AT_ONCE: u64 = 150;
/// Questions of which what was learnt is kept.
const MOST_KEPT: usize = 4;
/// Between the beginnings of two fits of one question.
const PAUSE: Duration = Duration::from_mins(1);

/// Which records teach what.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lesson {
    pub(super) count: Question,
    pub(super) scope: Scope,
    pub(super) whose: Whose,
    pub(super) grouping: Grouping,
}

/// What decides what is learnt: a hash over all records, and over who counts.
type Stamp = [u8; 32];

/// A lesson as far as it is learnt.
#[derive(Debug)]
struct Entry {
    lesson: Lesson,
    learnt: Option<(Stamp, Arc<Learnt>)>,
    /// When the last fit began, and whether it is under way.
    begun: Moment,
    is_working: bool,
    /// When something newer was first asked for than what is learnt.
    outdated: Option<Moment>,
}

/// Everything learnt. Whoever drops it ends what is being learnt.
#[derive(Debug, Default)]
pub(super) struct Lessons(Arc<Inner>);

/// Lessons that wait while another is learnt.
const WAITING: usize = 16;

#[derive(Debug, Default)]
struct Inner {
    /// The lesson asked for last stands last.
    entries: Mutex<Vec<Entry>>,
    background: OnceLock<mpsc::SyncSender<Lesson>>,
    has_ended: AtomicBool,
}

impl Drop for Lessons {
    fn drop(&mut self) {
        self.0.has_ended.store(true, Ordering::Relaxed);
    }
}

/// What is learnt about a species, as an answer takes it.
pub(super) fn learning(app: &App, lesson: Lesson, species: &str) -> Result<Learning, Fault> {
    let (stamp, now) = (everything::stamp(app)?, app.clock.moment());
    let done = |learnt, age: Option<Duration>| {
        let age_minutes = age.map(|age| age.as_secs() / 60);
        Learning::Done { learnt, species: species.to_owned(), age_minutes }
    };
    if let Some(learnt) = app.lessons.0.of_stamp(&lesson, stamp) {
        return Ok(done(learnt, None));
    }
    if app.store.count() <= AT_ONCE {
        let learnt = learn(app, &lesson)?;
        return Ok(learnt.map_or(Learning::Working, |learnt| done(learnt, None)));
    }
    let Some(background) = app.lessons.0.background.get() else { return Ok(Learning::TooMuch) };
    let (old, is_due) = app.lessons.0.outdated(&lesson, now);
    if is_due
        && let Err(TrySendError::Full(lesson) | TrySendError::Disconnected(lesson)) =
            background.try_send(lesson)
    {
        // Whoever asks again puts it to the queue again.
        app.lessons.0.keep(&lesson, None);
    }
    Ok(old.map_or(Learning::Working, |(learnt, since)| done(learnt, Some(now.since(since)))))
}

/// Learns a lesson now and keeps it; `None` where it was ended.
fn learn(app: &App, lesson: &Lesson) -> Result<Option<Arc<Learnt>>, Fault> {
    let stamp = everything::stamp(app)?;
    let corpora = everything::corpora(app, lesson)?;
    Ok(app.lessons.0.learn(lesson, stamp, corpora))
}

impl Inner {
    fn entries(&self) -> std::sync::MutexGuard<'_, Vec<Entry>> {
        self.entries.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What was learnt from exactly these records.
    fn of_stamp(&self, lesson: &Lesson, stamp: Stamp) -> Option<Arc<Learnt>> {
        let mut entries = self.entries();
        let place = entries.iter().position(|entry| entry.lesson == *lesson)?;
        let entry = entries.remove(place);
        let found =
            entry.learnt.as_ref().filter(|(of, _)| *of == stamp).map(|(_, learnt)| Arc::clone(learnt));
        entries.push(entry);
        found
    }

    /// What was learnt before, with since when it is outdated, and whether a fit is due; it is then taken to have begun.
    fn outdated(&self, lesson: &Lesson, now: Moment) -> (Option<(Arc<Learnt>, Moment)>, bool) {
        let mut entries = self.entries();
        let known = entries.iter().position(|entry| entry.lesson == *lesson);
        let Some(place) = known else {
            entries.push(Entry {
                lesson: lesson.clone(),
                learnt: None,
                begun: now,
                is_working: true,
                outdated: None,
            });
            if entries.len() > MOST_KEPT {
                entries.remove(0);
            }
            return (None, true);
        };
        let entry = &mut entries[place];
        let since = *entry.outdated.get_or_insert(now);
        let is_due = !entry.is_working && now.since(entry.begun) >= PAUSE;
        if is_due {
            (entry.begun, entry.is_working) = (now, true);
        }
        (entry.learnt.as_ref().map(|(_, learnt)| (Arc::clone(learnt), since)), is_due)
    }

    fn learn(
        &self,
        lesson: &Lesson,
        stamp: Stamp,
        corpora: propagule_answer::learnt::Corpora,
    ) -> Option<Arc<Learnt>> {
        let before = self
            .entries()
            .iter()
            .find(|entry| entry.lesson == *lesson)
            .and_then(|entry| entry.learnt.as_ref().map(|(_, learnt)| Arc::clone(learnt)));
        let told = |step: Step| {
            tracing::debug!(?step, "learning from other plants");
            if self.has_ended.load(Ordering::Relaxed) {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        let learnt = Arc::new(corpora.learn(before.as_deref(), &Watch::new(&told)).ok()?);
        self.keep(lesson, Some((stamp, Arc::clone(&learnt))));
        Some(learnt)
    }

    /// Keeps what was learnt; nothing where learning failed, so that it can be tried again.
    fn keep(&self, lesson: &Lesson, learnt: Option<(Stamp, Arc<Learnt>)>) {
        let mut entries = self.entries();
        let place = entries.iter().position(|entry| entry.lesson == *lesson);
        let old = place.map(|place| entries.remove(place));
        let begun = old.as_ref().map_or_else(Moment::default, |old| old.begun);
        let learnt = learnt.or_else(|| old.and_then(|old| old.learnt));
        entries.push(Entry { lesson: lesson.clone(), learnt, begun, is_working: false, outdated: None });
        if entries.len() > MOST_KEPT {
            entries.remove(0);
        }
    }
}
