//! The life of a trial, from its start to what is planned.

use propagule_app::outcome::trial::TrialShown;
use propagule_bench::Stage;
use propagule_bench::dates::When;
use propagule_protocol::Date;

use crate::chart::{Behind, LifeLine, Stop};
use crate::document::Document;
use crate::kind::KindWords;
use crate::words::headline;
use crate::words::sentences::{day, when};

/// The life line; empty before anything was started.
pub(super) fn life_line(shown: &TrialShown, today: Date, words: &KindWords) -> Document {
    let trial = &shown.trial;
    if trial.is_planned {
        return Document::new();
    }
    let start = trial.started_on.middle();
    let stop = |what: &str, on: &When, is_done| Stop {
        words: what.to_owned(),
        on: when(words, on),
        day: on.middle().days_since(start),
        is_done,
    };
    let counted =
        shown.stages.iter().map(|stage| stop(words.name(stage.counts.stage), &stage.counts.on, true));
    let is_counted = |stage| shown.stages.iter().any(|found| found.counts.stage >= stage);
    let planned = [(Stage::Lift, trial.lift_on), (Stage::Spring, trial.spring_on)].into_iter();
    let planned = planned.filter(|(stage, _)| !is_counted(*stage) && shown.closed.is_none());
    let planned = planned.filter_map(|(stage, on)| on.map(|on| stop(words.name(stage), &on, false)));
    let mut stops = vec![stop(words.started, &trial.started_on, true)];
    stops.extend(counted.chain(planned));
    stops.extend(moves(shown));
    stops.sort_by_key(|stop| stop.day);
    let mut looks: Vec<i32> = shown.curve.iter().map(|on| on.row.point.days).collect();
    looks.dedup();
    looks.retain(|look| stops.iter().all(|stop| stop.day != *look));
    looks.sort_unstable();
    looks.dedup();
    let said = stops.iter().map(|stop| (stop.words.as_str(), stop.on.as_str()));
    let line = LifeLine {
        said: headline::life(said, looks.len(), &day(words, today)),
        looks,
        today: today.days_since(start),
        today_is: headline::TODAY.to_owned(),
        heads: headline::LIFE_HEADS.map(str::to_owned),
        behind: Behind::new(headline::LIFE),
        stops,
    };
    Document::new().section(headline::LIFE, |under| under.chart(line))
}

/// Moves, each once, however many treatments went along.
fn moves(shown: &TrialShown) -> Vec<Stop> {
    let all = shown.stands.iter().flat_map(|stands| &stands.moves);
    let mut stops: Vec<Stop> = all
        .map(|moved| Stop {
            words: headline::moved(&moved.to),
            on: crate::words::counted(moved.weeks, "week", "weeks"),
            day: moved.weeks * 7,
            is_done: true,
        })
        .collect();
    stops.sort_by(|a, b| (a.day, &a.words).cmp(&(b.day, &b.words)));
    stops.dedup();
    stops
}
