use propagule_bench::kind::Kind;
use propagule_bench::locale::{Dialect, Locale};

use super::{benches, closing, correcting, importing, moving, printing, sticking};
use crate::kind::KindWords;
use crate::words::never_said::never_said;

fn words(kind: Kind, dialect: Dialect) -> KindWords {
    KindWords::read_as(kind, Locale { dialect, ..Locale::default() })
}

/// Everything that depends on a kind, for each of them in each dialect.
#[test]
fn no_task_says_what_no_propagator_says() {
    for kind in Kind::ALL {
        for dialect in [Dialect::Us, Dialect::Uk, Dialect::Au] {
            let words = words(kind, dialect);
            let counts = ["finished", "alive", "dead", "lost", "found-alive", "rooted", "green", "callused"];
            let fields = counts.map(|name| correcting::count(name, &words));
            let said = [
                moving::tape_and_suckers(&words, "M1"),
                moving::after_a_move(&words),
                moving::how_many(&words),
                moving::tape(&words),
                moving::tape_is_cut(&words),
                sticking::number(&words),
                sticking::record(&words),
            ];
            for text in said.iter().chain(&fields) {
                assert_eq!(never_said(text), None, "{kind:?} {dialect:?}: {text}");
            }
        }
    }
}

#[test]
fn tape_and_sticking_go_by_the_dialect() {
    let tape = |dialect| moving::tape_and_suckers(&words(Kind::Graft, dialect), "G1");
    assert_eq!(
        [Dialect::Us, Dialect::Uk, Dialect::Au].map(tape),
        ["Graft tape and suckers of G1", "Tie and suckers of G1", "Grafting tape and suckers of G1"]
    );
    let number = |kind, dialect| sticking::number(&words(kind, dialect));
    assert_eq!(number(Kind::Cutting, Dialect::Au), "Number struck");
    assert_eq!(number(Kind::Seed, Dialect::Au), "Number sown");
}

#[test]
fn trials_on_a_bench_are_told_at_none_one_and_several() {
    assert_eq!(
        [benches::on_it(0), benches::on_it(1), benches::on_it(3)],
        ["0 trials and batches on it", "1 trial or batch on it", "3 trials and batches on it"]
    );
    assert_eq!(
        [benches::holds_for(1), benches::holds_for(3)],
        ["It holds for the one on it.", "It holds for all 3 on it."]
    );
    assert_eq!(benches::since("2026-06-05", None), "from 2026-06-05");
}

#[test]
fn a_trial_is_closed_and_reopened_by_its_code() {
    assert_eq!([closing::title(false, "M1"), closing::title(true, "M1")], ["Close M1", "Reopen M1"]);
    assert_eq!(closing::private_title(false, "M1"), "Keep M1 private");
}

#[test]
fn a_table_is_told_with_what_was_saved_and_what_was_not() {
    assert_eq!(importing::taken_in(1, 0), ["1 trial was saved.", ""]);
    assert_eq!(importing::taken_in(3, 1), ["3 trials were saved.", "1 line was left out."]);
    assert_eq!(importing::ready(1, 0)[0], "1 trial is ready.");
    assert_eq!(importing::ready(0, 2)[0], "0 trials are ready, 2 lines are refused.");
    assert_eq!(importing::at(4, Some("stuck")), "(row 4, stuck)");
}

#[test]
fn the_map_counts_what_the_trial_is_of() {
    let heading = |kind| printing::columns(&words(kind, Dialect::Us))[3].clone();
    assert_eq!([Kind::Cutting, Kind::Graft].map(heading), ["Cuttings", "Grafts"]);
}
