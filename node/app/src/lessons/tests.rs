//! Little is learnt at once; much in the background, at most once a minute, while what was learnt before answers.

use std::ops::ControlFlow;
use std::sync::Arc;

use super::*;
use propagule_answer::learnt::{Corpora, LearntState, Trust};
use propagule_evidence::fixtures::row;

fn lesson() -> Lesson {
    Lesson {
        count: Question::default(),
        scope: Scope::default(),
        whose: Whose::Everybody,
        grouping: Grouping::default(),
    }
}

/// Two plants, each tried by two growers.
fn corpora() -> Corpora {
    let rows = [row("a", "1", "1", 24, 4), row("b", "1", "1", 24, 6)];
    let others = [row("a", "2", "1", 24, 5), row("c", "1", "1", 24, 3)];
    let species = [("morus nigra", &rows[..]), ("morus alba", &others[..])];
    Corpora::new(species, &Grouping::default(), Trust::Whole, b"")
}

const fn minutes(number: u64) -> Moment {
    Moment(number * 60_000)
}

#[test]
fn a_fit_begins_at_most_once_a_minute_and_the_old_one_answers_meanwhile() {
    let (inner, lesson) = (Inner::default(), lesson());
    // The first question: nothing is known, and a fit begins.
    assert!(matches!(inner.outdated(&lesson, minutes(10)), (None, true)));
    assert!(matches!(inner.outdated(&lesson, minutes(12)), (None, false)));
    let learnt = inner.learn(&lesson, [1; 32], corpora()).expect("nobody ends it");
    assert!(Arc::ptr_eq(&inner.of_stamp(&lesson, [1; 32]).expect("it is kept"), &learnt));
    // Newer records: the old fit answers, with since when it is outdated, and a new one begins.
    assert!(inner.of_stamp(&lesson, [2; 32]).is_none());
    let (old, is_due) = inner.outdated(&lesson, minutes(13));
    assert_eq!((old.map(|(_, since)| since), is_due), (Some(minutes(13)), true));
    inner.keep(&lesson, None);
    // Failed: tried again, and not within the minute.
    let again = |at: Moment| inner.outdated(&lesson, at);
    assert!(!again(minutes(13).plus(Duration::from_secs(59))).1);
    assert!(again(minutes(14)).1);
    assert!(!again(minutes(16)).1);
}

#[test]
fn the_oldest_lesson_is_forgotten() {
    let inner = Inner::default();
    let of = |by: &str| Lesson { grouping: Grouping::parse(Some(by), &[]).expect("a facet"), ..lesson() };
    let all = ["medium", "wounding", "wood", "kind", "humidity"].map(of);
    for lesson in &all {
        inner.outdated(lesson, minutes(1));
    }
    assert_eq!(inner.entries().len(), MOST_KEPT);
    assert!(inner.outdated(&all[0], minutes(1)).1);
    assert!(!inner.outdated(&all[4], minutes(1)).1);
}

#[test]
fn a_closed_home_ends_what_is_being_learnt() {
    let lessons = Lessons::default();
    let inner = Arc::clone(&lessons.0);
    drop(lessons);
    assert!(inner.learn(&lesson(), [0; 32], corpora()).is_none());
}

#[test]
fn what_is_learnt_is_the_same_whatever_was_learnt_before() {
    let told = |_| ControlFlow::Continue(());
    let fresh = corpora().learn(None, &Watch::new(&told)).expect("learns");
    let inner = Inner::default();
    inner.learn(&lesson(), [0; 32], Corpora::default()).expect("learns nothing");
    let later = inner.learn(&lesson(), [1; 32], corpora()).expect("learns");
    let shown =
        |learnt: Arc<Learnt>| Learning::Done { learnt, species: "morus nigra".to_owned(), age_minutes: None };
    let [fresh, later] = [Arc::new(fresh), later].map(shown);
    assert_eq!(fresh, later);
    assert_eq!(later.shown().map(|shown| shown.state), Some(LearntState::Little));
}
