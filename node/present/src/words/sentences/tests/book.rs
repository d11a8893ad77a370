//! Each sentence of the catalogue with what it says at 0, at 1 and at n, as far as it is printed there.

use propagule_analysis::Count;
use propagule_bench::Stage;
use propagule_evidence::Outcome;

use crate::kind::KindWords as W;
use crate::words::sentences::borrowed::Likeness;
use crate::words::sentences::comparing::Sides;
use crate::words::sentences::entries::PotCount;
use crate::words::sentences::planning::{PlantsWanted, Telling};
use crate::words::sentences::pooled::RestsOn;
use crate::words::sentences::rates::{OverWinter, Rate};
use crate::words::sentences::setup::Chance;
use crate::words::sentences::{
    beside, borrowed, comparing, due, entries, growers, planning, pooled, rates, setup, sharing,
};

const DAY: &str = "Jun 6, 2026";
const LATER: &str = "Mar 20, 2027";
const PLANT: &str = "Morus nigra";
const ROOTED: Outcome = Outcome::Rooted;
const POINTS: [f64; 3] = [0.15, 0.29, 0.49];
const RANGE: (f64, f64) = (0.02, 0.83);

/// An id, and what it says.
type Told = (&'static str, fn(&W) -> Vec<String>);

fn names(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

const fn rate(count: u32, of: u32, lower: f64, upper: f64) -> Rate {
    Rate { count, of, lower, upper, stage: Stage::Lift }
}

fn sides(words: &W, counts: [u32; 4]) -> Sides<'static> {
    let [k1, n1, k2, n2] = counts;
    let counts = [Count { succeeded: k1, started: n1 }, Count { succeeded: k2, started: n2 }];
    Sides { labels: ["dip", "none"], counts: Some(counts), ok: words.outcome(Stage::Lift) }
}

const fn basis(
    growers: usize,
    started: u32,
    none: usize,
    treatments: usize,
    weeks: Option<(u16, u16)>,
) -> RestsOn {
    RestsOn { growers: Some(growers), publishers: None, trials: growers, started, none, treatments, weeks }
}

const fn aim(words: &W) -> PlantsWanted<'static> {
    let _ = words;
    PlantsWanted { want: 12, oked: "rooted", sure: 0.8 }
}

const fn winter(green: u32, rooted: u32) -> OverWinter<'static> {
    OverWinter {
        green,
        first: DAY,
        rooted,
        last: LATER,
        still: green - rooted,
        died: 0,
        others: 0,
        in_all: (rooted, 66),
    }
}

/// All of them.
pub(super) const BOOK: &[Told] = &[
    // Setting up.
    ("set_up", |w| vec![setup::set_up(w, "N1", PLANT, 1, 30), setup::set_up(w, "M2", PLANT, 2, 24)]),
    ("would_be_set_up", |w| {
        vec![setup::would_be_set_up(w, "N1", PLANT, 1, 30), setup::would_be_set_up(w, "M2", PLANT, 2, 24)]
    }),
    ("treatment_line", |w| {
        let method = names(&["IBA 3,000 mg/L", "5 s dip"]);
        vec![
            setup::treatment_line(w, "dip", 1, "P1", &method),
            setup::treatment_line(w, "dip", 12, "P1, P2 and P3", &method),
        ]
    }),
    ("power", |w| {
        let of = |rates, chance| setup::power(w, "12", Chance { rates, chance, without_pots: None });
        let pots = Chance { rates: [0.2, 0.8], chance: 0.69, without_pots: Some(0.81) };
        vec![
            of([0.5, 0.55], 0.003),
            of([0.5, 0.75], 0.14),
            of([0.2, 0.8], 0.81),
            setup::power(w, "3 pots of 4", pots),
        ]
    }),
    ("size_needed", |w| vec![setup::size_needed(w, [0.5, 0.75], "64")]),
    ("no_size_needed", |w| vec![setup::no_size_needed(w, [0.5, 0.75], 64, 60)]),
    ("one_pot", |w| vec![setup::one_pot(w, &names(&["A"])), setup::one_pot(w, &names(&["A", "B", "C"]))]),
    ("more_pots", |w| vec![setup::more_pots(w, 3, 4)]),
    ("differs", |w| {
        vec![
            setup::differs(w, "dip", "none", &[], None),
            setup::differs(w, "dip", "none", &names(&["rooting hormone"]), Some("rooting hormone")),
            setup::differs(w, "dip", "none", &names(&["rooting hormone", "wounding", "medium"]), None),
        ]
    }),
    ("batch_outlook", |w| {
        vec![
            setup::batch_outlook(w, 1, 0.95, [0.0, 1.0]),
            setup::batch_outlook(w, 30, 0.0950, [0.3315, 0.6685]),
        ]
    }),
    ("batch_without_control", |w| vec![setup::batch_without_control(w)]),
    ("planned", |w| vec![setup::planned(w, "propagule stick M2")]),
    // Entries.
    ("started", |w| vec![entries::started(w, 1, "", DAY), entries::started(w, 24, PLANT, DAY)]),
    ("started_estimated", |w| vec![entries::started_estimated(w, 24, "", DAY)]),
    ("checked", |w| vec![entries::checked(w, "M2", DAY)]),
    ("checked_all", |w| {
        vec![
            entries::checked_all(w, "mist house", DAY, &names(&["M2"])),
            entries::checked_all(w, "mist house", DAY, &names(&["M2", "N1"])),
        ]
    }),
    ("noted", |w| vec![entries::noted(w, "M2")]),
    ("tape_cut", |w| vec![entries::tape_cut(w, DAY)]),
    ("saved", |w| vec![entries::saved(w, 4, "M2, lift count, Jun 6, 2026")]),
    ("pot_count", |w| {
        let count = |alive, rooted, dead, lost| PotCount {
            started: 4,
            alive,
            rooted,
            dead,
            lost,
            ..PotCount::default()
        };
        let gone = PotCount { started: 4, finished: 2, unfinished: 1, not_seen: 1, ..PotCount::default() };
        vec![
            entries::pot_count(w, "P2", &count(0, Some(0), 4, 0)),
            entries::pot_count(w, "P2", &count(4, Some(0), 0, 0)),
            entries::pot_count(w, "P2", &count(3, Some(3), 1, 0)),
            entries::pot_count(w, "P2", &gone),
        ]
    }),
    ("rest_alive", |w| vec![entries::rest_alive(w)]),
    ("rest_asked", |w| vec![entries::rest_asked(w, 1), entries::rest_asked(w, 3)]),
    ("uncounted_pots", |w| {
        vec![entries::uncounted_pots(w, &names(&["P6"])), entries::uncounted_pots(w, &names(&["P5", "P6"]))]
    }),
    ("moved", |w| vec![entries::moved(w, "C", 13, "cold frame", 15)]),
    ("moved_rooted", |w| vec![entries::moved_rooted(w, "C")]),
    ("sold", |w| vec![entries::sold(w, 1, "sold", LATER), entries::sold(w, 15, "sold", LATER)]),
    ("left_unfinished", |w| {
        vec![entries::left_unfinished(w, 1, "given", LATER), entries::left_unfinished(w, 3, "sold", LATER)]
    }),
    ("log_other", |w| {
        let said = |trials| entries::log_other(w, "mist house", "shade 40%", DAY, trials);
        vec![said(0), said(1), said(56)]
    }),
    ("log_mist", |w| {
        let said = |trials| {
            entries::log_mist(w, "mist house", "8 s every 4 min, 07:00\u{2013}20:00", 195, 26.0, trials)
        };
        vec![said(0), said(1), said(56)]
    }),
    ("suckers", |w| {
        vec![entries::suckers(w, 0, "P"), entries::suckers(w, 1, "P"), entries::suckers(w, 3, "P")]
    }),
    ("undone", |w| vec![entries::undone(w, 4, ""), entries::undone(w, 4, "M2, lift count")]),
    ("fixed", |w| vec![entries::fixed(w, 4, 7, "P6 2 \u{2192} 3 rooted")]),
    ("already", |w| vec![entries::already(w, 4)]),
    ("queued", |w| vec![entries::queued(w, 1), entries::queued(w, 3)]),
    ("imported", |w| {
        vec![
            entries::imported(w, 0, 0, None),
            entries::imported(w, 1, 1, Some((1, 1))),
            entries::imported(w, 56, 1_410, Some((933, 1_410))),
        ]
    }),
    ("import_skipped", |w| {
        vec![entries::import_skipped(w, 1, "no number"), entries::import_skipped(w, 3, "no number")]
    }),
    // Rates of one trial.
    ("rate", |w| {
        vec![
            rates::rate(w, "dip", rate(0, 60, 0.0, 0.0487)),
            rates::rate(w, "dip", rate(9, 12, 0.4677, 0.9111)),
            rates::rate(w, "dip", rate(12, 12, 0.7791, 1.0)),
        ]
    }),
    ("rate_one", |w| {
        vec![rates::rate_one(w, "dip", false, Stage::Lift), rates::rate_one(w, "dip", true, Stage::Lift)]
    }),
    ("green", |w| vec![rates::green(w, 1), rates::green(w, 7)]),
    ("lost", |w| {
        vec![rates::lost(w, 1, None), rates::lost(w, 1, Some((9, 11))), rates::lost(w, 4, Some((6, 8)))]
    }),
    ("finished_split", |w| {
        vec![
            rates::finished_split(w, 0, 30, (0, "sold"), (0, 6)),
            rates::finished_split(w, 19, 30, (15, "sold"), (4, 6)),
        ]
    }),
    ("finished_so_far", |w| vec![rates::finished_so_far(w, "dip", 15, 30, 6)]),
    ("pending", |w| vec![rates::pending(w, "dip", 12, DAY)]),
    ("all_treatments", |w| {
        vec![
            rates::all_treatments(w, rate(0, 54, 0.0, 0.054), 0),
            rates::all_treatments(w, rate(0, 54, 0.0, 0.054), 34),
            rates::all_treatments(w, rate(15, 24, 0.4, 0.8), 7),
        ]
    }),
    ("phase_rate", |w| {
        vec![rates::phase_rate(w, 0, 13, "cold frame", 15), rates::phase_rate(w, 3, 13, "cold frame", 15)]
    }),
    ("callus", |w| vec![rates::callus(w, 3)]),
    ("leafing", |w| vec![rates::leafing(w, 4)]),
    ("over_winter", |w| vec![rates::over_winter(w, &winter(1, 0)), rates::over_winter(w, &winter(34, 13))]),
    ("over_winter_of", |w| vec![rates::over_winter_of(w, "C", &winter(13, 3))]),
    ("root_scores", |w| {
        vec![rates::root_scores(w, &[3, 0, 5], Some(3.0), Some(40), "1 of grade 0, 2 of grade 4 (own scale)")]
    }),
    ("pots_same", |w| vec![rates::pots_same(w, "dip")]),
    ("pots_differ", |w| vec![rates::pots_differ(w, "dip")]),
    ("union", |w| vec![rates::union(w, 17, 24)]),
    // Comparing treatments.
    ("better", |w| {
        let said =
            |p| comparing::better(w, &sides(w, [26, 40, 14, 40]), true, Some("rooting hormone"), Some(p));
        vec![said(0.001), said(0.0127)]
    }),
    ("better_holm", |w| vec![comparing::better_holm(w, 0.013, 0.026, 2)]),
    ("cannot_tell", |w| {
        vec![
            comparing::cannot_tell(w, &sides(w, [9, 12, 6, 12]), None, Some(0.4)),
            comparing::cannot_tell(
                w,
                &sides(w, [9, 12, 6, 12]),
                Some("too few pots to know how much pots differ"),
                None,
            ),
        ]
    }),
    ("same_count", |w| {
        vec![
            comparing::same_count(w, &sides(w, [0, 12, 0, 12]), Some([0.22, 0.22])),
            comparing::same_count(w, &sides(w, [12, 12, 12, 12]), None),
        ]
    }),
    ("confounded", |w| {
        vec![comparing::confounded(w, &sides(w, [17, 24, 9, 24]), &names(&["cultivar", "grafter"]))]
    }),
    ("one_pot_each", |w| vec![comparing::one_pot_each(w, &sides(w, [9, 12, 4, 12]))]),
    ("pots_unruly", |w| vec![comparing::pots_unruly(w, &sides(w, [21, 30, 11, 30]), Some(0.19))]),
    ("no_verdict", |w| {
        vec![comparing::no_verdict(w, &sides(w, [21, 30, 11, 30]), "people are not compared")]
    }),
    ("pair_pending", |w| {
        vec![comparing::pair_pending(w, &sides(w, [21, 30, 11, 30]), &names(&["P5", "P6"]))]
    }),
    ("without_lost", |w| {
        let counts = [Count { succeeded: 9, started: 12 }, Count { succeeded: 6, started: 8 }];
        vec![comparing::without_lost(w, counts)]
    }),
    ("order_flips", |w| vec![comparing::order_flips(w)]),
    ("difference", |w| vec![comparing::difference(w, "43", "8 to 65")]),
    ("not_at_random", |w| vec![comparing::not_at_random(w)]),
    ("one_of_several", |w| {
        vec![comparing::one_of_several(w, 2, Some("none")), comparing::one_of_several(w, 3, None)]
    }),
    ("green_no_rank", |w| vec![comparing::green_no_rank(w)]),
    ("pooled_test", |w| vec![comparing::pooled_test(w, 0.0996)]),
    // Pooled.
    ("several_methods", |w| vec![pooled::several_methods(w, 2, 37, 234, w.ok)]),
    ("average", |w| {
        vec![
            pooled::average(w, ROOTED, 0.29, POINTS),
            pooled::average(w, ROOTED, 0.004, [0.0002, 0.004, 0.019]),
        ]
    }),
    ("next_trial", |w| vec![pooled::next_trial(w, [0.02, 0.3, 0.83])]),
    ("basis", |w| {
        vec![
            pooled::basis(w, ROOTED, &basis(1, 1, 1, 1, Some((1, 1)))),
            pooled::basis(w, ROOTED, &basis(5, 116, 0, 5, Some((15, 15)))),
            pooled::basis(w, ROOTED, &basis(5, 116, 1, 5, Some((12, 18)))),
        ]
    }),
    ("none", |w| vec![pooled::none(w, ROOTED, 1, 0.95), pooled::none(w, ROOTED, 97, 0.0304)]),
    ("none_average", |w| vec![pooled::none_average(w, 0.02, [0.0003, 0.02, 0.11])]),
    ("not_in_the_data", |w| vec![pooled::not_in_the_data(w, [0.0002, 0.02, 0.12])]),
    ("all", |w| vec![pooled::all(w, ROOTED, 1, 0.05), pooled::all(w, ROOTED, 20, 0.861)]),
    ("one_grower", |w| vec![pooled::one_grower(w, ROOTED, (6, 24), (0.12, 0.4494))]),
    ("one_grower_assumed", |w| vec![pooled::one_grower_assumed(w, [0.03, 0.3, 0.72])]),
    ("one_publisher", |w| vec![pooled::one_publisher(w)]),
    ("waiting", |w| vec![pooled::waiting(w, 1), pooled::waiting(w, 34)]),
    ("lost_before_count", |w| {
        vec![
            pooled::lost_before_count(w, 1, "9 of 11 (82%)"),
            pooled::lost_before_count(w, 4, "an average of 9.4% (2.0\u{2013}20%)"),
        ]
    }),
    ("lost_flips", |w| vec![pooled::lost_flips(w)]),
    ("everybody", |w| {
        vec![pooled::everybody(w, (12, 60), 1, 0.2, POINTS), pooled::everybody(w, (12, 60), 3, 0.2, POINTS)]
    }),
    ("differ", |w| vec![pooled::differ(w)]),
    ("outside", |w| vec![pooled::outside(w, 1), pooled::outside(w, 7)]),
    ("nobody_trusted", |w| {
        let whom = "None of the growers you trust has";
        vec![pooled::nobody_trusted(w, whom, PLANT, 1), pooled::nobody_trusted(w, whom, PLANT, 7)]
    }),
    ("nobody", |w| vec![pooled::nobody(w, PLANT)]),
    ("plants_here", |w| {
        vec![pooled::plants_here(w, 0), pooled::plants_here(w, 1), pooled::plants_here(w, 7)]
    }),
    ("under_way", |w| vec![pooled::under_way(w, 1, PLANT), pooled::under_way(w, 3, PLANT)]),
    ("announced", |w| vec![pooled::announced(w, 1, [0, 1, 0, 0]), pooled::announced(w, 12, [8, 2, 1, 1])]),
    ("overdue", |w| vec![pooled::overdue(w, 1), pooled::overdue(w, 3)]),
    ("overdue_as_zero", |w| {
        vec![pooled::overdue_as_zero(w, ROOTED, 0.12, [0.05, 0.12, 0.21], [0.01, 0.1, 0.4])]
    }),
    // What other plants teach.
    ("rests_on", |w| {
        let of = |genus, method, worth, is_most| Likeness { genus, method, worth, is_most };
        vec![
            borrowed::rests_on(w, 1, &of(0, 0, 0.2, false)),
            borrowed::rests_on(w, 1, &of(1, 1, 1.0, true)),
            borrowed::rests_on(w, 2, &of(0, 1, 0.9, true)),
            borrowed::rests_on(w, 2, &of(41, 0, 3.4, false)),
            borrowed::rests_on(w, 2, &of(41, 120, 6.2, true)),
            borrowed::rests_on(w, 2, &of(1_041, 120, 412.0, false)),
        ]
    }),
    ("own_alone", |w| {
        vec![
            borrowed::own_alone(w, 1, 0.0004, [0.0, 0.001, 0.01]),
            borrowed::own_alone(w, 2, 0.29, [0.031, 0.3, 0.738]),
        ]
    }),
    ("conflict", |w| vec![borrowed::conflict(w, true), borrowed::conflict(w, false)]),
    ("taught_one_grower", |w| vec![borrowed::taught_one_grower(w, 0.212, POINTS, [0.031, 0.2, 0.618])]),
    ("taught_none_average", |w| vec![borrowed::taught_none_average(w, 0.02, [0.004, 0.02, 0.061], 0.049)]),
    ("never_tried", |w| {
        vec![
            borrowed::never_tried(w, [0, 0], 0.15, [0.012, 0.14, 0.549]),
            borrowed::never_tried(w, [1, 1], 0.15, [0.012, 0.14, 0.549]),
            borrowed::never_tried(w, [41, 120], 0.15, [0.012, 0.14, 0.549]),
        ]
    }),
    ("teaching_under_way", |w| vec![borrowed::teaching_under_way(w)]),
    ("teaching_too_much", |w| vec![borrowed::teaching_too_much(w)]),
    ("teaching_nothing", |w| vec![borrowed::teaching_nothing(w)]),
    ("teaching_little", |w| {
        vec![
            borrowed::teaching_little(w, 0, 0),
            borrowed::teaching_little(w, 1, 1),
            borrowed::teaching_little(w, 9, 2),
        ]
    }),
    ("taught", |w| vec![borrowed::taught(w, 250, 250, 60), borrowed::taught(w, 5_000, 7_040, 412)]),
    ("taught_before", |w| {
        vec![borrowed::taught_before(w, 0), borrowed::taught_before(w, 1), borrowed::taught_before(w, 12)]
    }),
    ("not_taught", |w| vec![borrowed::not_taught(w)]),
    ("not_advice", |w| vec![pooled::not_advice(w)]),
    // Side by side.
    ("likely", |w| {
        vec![
            beside::likely(w, "IBA", "no hormone", 0.97, 1, ""),
            beside::likely(w, "IBA", "no hormone", 0.97, 5, ""),
        ]
    }),
    ("better_in_one", |w| vec![beside::better_in_one(w, "IBA", "no hormone")]),
    ("cannot", |w| {
        vec![
            beside::cannot(w, "fog", "dome", 0),
            beside::cannot(w, "fog", "dome", 1),
            beside::cannot(w, "fog", "dome", 4),
        ]
    }),
    ("no_signal", |w| vec![beside::no_signal(w, "fog", "dome", 1), beside::no_signal(w, "fog", "dome", 4)]),
    ("depends_on_lost", |w| vec![beside::depends_on_lost(w, "fog", "dome")]),
    ("pair_under_way", |w| vec![beside::pair_under_way(w, "fog", "dome")]),
    ("one_pot_of", |w| vec![beside::one_pot_of(w, 1, 1), beside::one_pot_of(w, 2, 6)]),
    ("effect", |w| {
        let said = |trials| {
            beside::effect(
                w,
                beside::EffectSaid {
                    detail: "rooting hormone",
                    words: ["IBA", "none"],
                    odds: [1.1, 2.5, 6.0],
                    trials,
                },
            )
        };
        vec![said(1), said(5)]
    }),
    ("aliased", |w| vec![beside::aliased(w, "medium", "bark")]),
    ("between", |w| vec![beside::between(w, "fog", "dome")]),
    ("reference", |w| vec![beside::reference(w, "rooting hormone", "none")]),
    ("untried_word", |w| vec![beside::untried_word(w, "medium", "pumice")]),
    ("together", |w| {
        vec![
            beside::together(w, "IBA in perlite", "none in bark", 1),
            beside::together(w, "IBA in perlite", "none in bark", 2),
        ]
    }),
    ("rank", |w| {
        let beaten = [("none".to_owned(), 0.97), ("honey".to_owned(), 0.95)];
        vec![beside::rank(w, "IBA", &beaten[..1], 1), beside::rank(w, "IBA", &beaten, 5)]
    }),
    ("rank_open", |w| vec![beside::rank_open(w, &names(&["NAA"]))]),
    ("rank_none", |w| vec![beside::rank_none(w, 1), beside::rank_none(w, 5)]),
    ("rank_pairs", |w| {
        let pair = |better: &str, worse: &str| (better.to_owned(), worse.to_owned(), 0.97);
        let pairs = [pair("IBA", "none"), pair("NAA", "none")];
        vec![beside::rank_pairs(w, &pairs[..1], 1), beside::rank_pairs(w, &pairs, 5)]
    }),
    // Compare.
    ("in_line", |w| {
        vec![growers::in_line(w, ROOTED, (0, 24), true), growers::in_line(w, ROOTED, (7, 24), false)]
    }),
    ("lower", |w| {
        vec![growers::lower(w, ROOTED, (1, 24), true, 0.001), growers::lower(w, ROOTED, (1, 24), true, 0.02)]
    }),
    ("higher", |w| vec![growers::higher(w, ROOTED, (20, 24), true, 0.02)]),
    ("chances", |w| vec![growers::chances(w, Some(0.4), None), growers::chances(w, Some(0.4), Some(0.7))]),
    ("expected_count", |w| {
        vec![growers::expected_count(w, ROOTED, 1, (0, 1)), growers::expected_count(w, ROOTED, 24, (3, 14))]
    }),
    ("closeness", |w| {
        vec![
            growers::closeness(w, 1, 1, &[]),
            growers::closeness(w, 9, 12, &[]),
            growers::closeness(w, 9, 12, &names(&["mist or cover"])),
        ]
    }),
    ("any_climate", |w| vec![growers::any_climate(w, 1, 1), growers::any_climate(w, 9, 12)]),
    ("too_few", |w| vec![growers::too_few(w, 1), growers::too_few(w, 4)]),
    ("no_climate", |w| vec![growers::no_climate(w, 1), growers::no_climate(w, 4)]),
    ("nobody_else", |w| vec![growers::nobody_else(w, ROOTED, (7, 24))]),
    ("flags_by_chance", |w| vec![growers::flags_by_chance(w)]),
    ("as_if_at", |w| vec![growers::as_if_at(w, "home")]),
    // Plan.
    ("stick", |w| vec![planning::stick(w, 1, false, aim(w)), planning::stick(w, 110, true, aim(w))]),
    ("stick_impossible", |w| vec![planning::stick_impossible(w, 10_000, aim(w))]),
    ("stick_none", |w| vec![planning::stick_none(w, w.oked)]),
    ("own_only", |w| vec![planning::own_only(w, 9, 12)]),
    ("own_first", |w| vec![planning::own_first(w, 9, 12, 1), planning::own_first(w, 9, 12, 4)]),
    ("one_other", |w| vec![planning::one_other(w)]),
    ("several_plans", |w| {
        vec![
            planning::several_plans(w, 3, None, aim(w)),
            planning::several_plans(w, 3, Some((57, 57, 1)), aim(w)),
            planning::several_plans(w, 3, Some((12, 90, 3)), aim(w)),
        ]
    }),
    ("tell_apart", |w| {
        let of = Telling {
            names: [Some("dip"), Some("none")],
            rates: [0.75, 0.5],
            size: "3 pots of 4",
            chance: 0.2,
            without_pots: Some((0.24, None)),
            allowing: Some(0.22),
        };
        vec![
            planning::tell_apart(w, of),
            planning::tell_apart(w, Telling { names: [None; 2], without_pots: None, allowing: None, ..of }),
        ]
    }),
    ("size_that_reaches", |w| vec![planning::size_that_reaches(w, "20 pots of 4", 0.8)]),
    ("no_size_reaches", |w| vec![planning::no_size_reaches(w, "30 pots of 4", 0.8)]),
    ("untried", |w| vec![planning::untried(w, 30, 0.8, 0.0522, 0.095)]),
    ("untried_again", |w| vec![planning::untried_again(w, 30, 0.049, 0.033)]),
    ("cost", |w| {
        let (money, time) = (["24.00", "4.80"].map(str::to_owned), ["3 h", "36 min"].map(str::to_owned));
        vec![
            planning::cost(w, w.oked, Some(money.clone()), None),
            planning::cost(w, w.oked, None, Some(time.clone())),
            planning::cost(w, w.oked, Some(money), Some(time)),
        ]
    }),
    ("try_next", |w| vec![planning::try_next(w, "IBA in perlite", 0.4, RANGE)]),
    ("best_shrinks", |w| vec![planning::best_shrinks(w, "IBA in perlite", 0.6, 5, 0.4, RANGE)]),
    ("in_use", |w| [None, Some(1), Some(6)].map(|best_of| planning::in_use(w, best_of)).to_vec()),
    ("trial_pays", |w| {
        vec![planning::trial_pays(w, 0.005), planning::trial_pays(w, 0.0198), planning::trial_pays(w, 0.124)]
    }),
    ("no_trial_pays", |w| vec![planning::no_trial_pays(w)]),
    ("beside_others", |w| vec![planning::beside_others(w, "IBA in perlite", 0.3, 0.4, RANGE)]),
    ("across_growers", |w| vec![planning::across_growers(w)]),
    // Due.
    ("due_stick", |w| vec![due::due_stick(w)]),
    ("due_check", |w| vec![due::due_check(w)]),
    ("due_count", |w| vec![due::due_count(w, Stage::Lift), due::due_count(w, Stage::Spring)]),
    ("due_suckers", |w| vec![due::due_suckers(w)]),
    ("due_tape", |w| vec![due::due_tape(w)]),
    ("due_publish", |w| vec![due::due_publish(w)]),
    ("why_publish", |w| vec![due::why_publish(w)]),
    ("due_update", |w| vec![due::due_update(w)]),
    ("due_none", |w| {
        vec![
            due::due_none(w, None, false),
            due::due_none(w, None, true),
            due::due_none(w, Some(("M2", "check", DAY)), false),
        ]
    }),
    ("due_list", |w| vec![due::due_list(w, 0), due::due_list(w, 1), due::due_list(w, 7)]),
    ("ics", |w| vec![due::ics(w, 0, "bench.ics"), due::ics(w, 1, "bench.ics"), due::ics(w, 9, "bench.ics")]),
    ("printed", |w| vec![due::printed(w, "M2-labels.html")]),
    ("exported", |w| vec![due::exported(w, 1, "out"), due::exported(w, 12, "out")]),
    // Sharing.
    ("preview", |w| vec![sharing::preview(w)]),
    ("stays", |w| vec![sharing::stays(w)]),
    ("pseudonymous", |w| vec![sharing::pseudonymous(w, "propagule key replace --unlinked")]),
    ("no_recall", |w| vec![sharing::no_recall(w)]),
    ("delay", |w| vec![sharing::delay(w)]),
    ("consent", |w| vec![sharing::consent(w, "M2")]),
    ("published", |w| vec![sharing::published(w, "M2", 1)]),
    ("published_already", |w| vec![sharing::published_already(w, "M2", 1)]),
    ("announce_on", |w| vec![sharing::announce_on(w)]),
    ("announce_off", |w| vec![sharing::announce_off(w)]),
    ("withdrawn", |w| vec![sharing::withdrawn(w, "M2")]),
    ("key_replaced", |w| vec![sharing::key_replaced(w)]),
    ("key_unlinked", |w| vec![sharing::key_unlinked(w)]),
    ("key_cancelled", |w| vec![sharing::key_cancelled(w, "3f9a", "Jun 2026")]),
    ("vouch_warning", |w| vec![sharing::vouch_warning(w)]),
    ("trusted", |w| vec![sharing::trusted(w, "R")]),
    ("network_state", |w| {
        vec![
            sharing::network_state(w, 0, 0),
            sharing::network_state(w, 1, 1),
            sharing::network_state(w, 3, 1_410),
        ]
    }),
    ("ok", |w| vec![sharing::ok(w, "free space")]),
    ("fault", |w| vec![sharing::fault(w, "the disk is full", "propagule store compact")]),
    ("problems", |w| vec![sharing::problems(w, 0), sharing::problems(w, 1), sharing::problems(w, 3)]),
    ("arrived", |w| vec![sharing::arrived(w, 0), sharing::arrived(w, 1), sharing::arrived(w, 3)]),
    ("refused", |w| vec![sharing::refused(w, 2, "bad signature")]),
    ("deferred", |w| vec![sharing::deferred(w, 1), sharing::deferred(w, 3)]),
];
