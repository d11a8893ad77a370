use propagule_analysis::verdict::Scope;

use propagule_answer::said::{
    BorrowedFacts, CompareFacts, ContrastFacts, Family, Flag, Lead, RateFacts, Rates, Verdict, Wording,
};

use super::*;
use propagule_evidence::{Outcome, Stage};

fn cuttings() -> Wording {
    Wording::new(Family::Cuttings, Outcome::Rooted)
}

fn rates(average: f64, low: f64, high: f64, new_low: f64, new_high: f64) -> Rates {
    Rates { average, average_points: [low, average, high], new_grower_points: [new_low, average, new_high] }
}

/// Twelve growers, 7 of 205: the worked example of statistics.md §1, case 04d.
fn facts() -> RateFacts {
    RateFacts {
        wording: cuttings(),
        started: 205,
        succeeded: 7,
        lost: 0,
        still_waiting: 0,
        growers: 12,
        publishers: 12,
        marks_joined: false,
        trials: 12,
        arms: 12,
        arms_none: 8,
        weeks: None,
        rates: rates(0.043, 0.016, 0.093, 0.004, 0.15),
        borrowed: None,
        lost_left_out: None,
        order_flips: false,
    }
}

#[test]
fn per_cent_is_whole_from_ten_up_with_a_decimal_below_and_never_a_false_0_or_100() {
    let expected = [
        (0.0, "0"),
        (0.000_02, "<0.01"),
        (0.000_3, "0.03"),
        (0.001_1, "0.1"),
        (0.02, "2.0"),
        (0.0994, "9.9"),
        (0.0996, "10"),
        (0.2264, "23"),
        (0.994, "99"),
        (0.996, "99.6"),
        (0.9997, "99.97"),
        (0.999_99, ">99.99"),
        (1.0, "100"),
    ];
    for (rate, text) in expected {
        assert_eq!(percent(rate), text, "{rate}");
    }
    assert_eq!(in_hundred(0.004), "fewer than 1");
    assert_eq!(in_hundred(0.996), "more than 99");
}

#[test]
fn thousands_are_grouped_and_numbers_to_start_rounded_up() {
    assert_eq!(
        (grouped(1410), grouped(12_345), grouped(1_000_000)),
        ("1,410".into(), "12,345".into(), "1,000,000".into())
    );
    assert_eq!([7, 134, 197, 297].map(about_pieces), [7, 135, 200, 300]);
}

#[test]
fn the_average_leads_with_its_range_then_the_place_of_the_reader() {
    assert_eq!(
        facts().words(),
        "On average across growers, about 4% root (95% interval 1.6% to 10%). Growers differ, so \
         your own rate could be anywhere from 0.4% to 15% (95% interval for a grower not in the \
         data). 12 growers, 12 trials, 205 cuttings; none rooted in 8 of 12 treatments."
    );
}

#[test]
fn the_basis_ends_with_the_weeks_to_the_count() {
    let basis = |weeks| Of(&RateFacts { weeks, ..facts() }).basis();
    assert!(basis(Some((12, 18))).ends_with("8 of 12 treatments; counted 12 to 18 weeks after sticking."));
    assert!(basis(Some((15, 15))).ends_with("counted 15 weeks after sticking."));
    assert!(basis(Some((1, 1))).ends_with("counted 1 week after sticking."));
}

#[test]
fn none_leads_with_count_and_one_sided_bound_and_marks_the_average_as_prior() {
    // 0 of 60: 1 - 0.05^(1/60) = 4.9 % (rule of three; Hanley & Lippman-Hand 1983).
    let none = RateFacts {
        started: 60,
        succeeded: 0,
        growers: 5,
        publishers: 5,
        trials: 5,
        arms: 5,
        arms_none: 5,
        still_waiting: 34,
        rates: rates(0.024, 0.0005, 0.11, 0.0002, 0.13),
        ..facts()
    };
    assert_eq!(
        none.words(),
        "0 of 60 rooted. The true rate could still be as high as about 5%: if every cutting had \
         that chance, 60 failures in a row would still happen 1 time in 20. The average of 2% \
         (0.05\u{2013}11%) rests mostly on the model's starting assumption, not on these \
         results. For a grower not in the data the model gives less than 0.1% to 13%. When counted, 34 were \
         still green, not rooted. 5 growers, 5 trials, 60 cuttings; none rooted in 5 of 5 \
         treatments."
    );
    assert_eq!(none.lead(), Lead::None);
}

#[test]
fn all_gives_the_lowest_rate_that_fits() {
    // 10 of 10: 0.05^(1/10) = 74 % (statistics.md §11).
    let all = RateFacts { started: 10, succeeded: 10, growers: 2, arms_none: 0, ..facts() };
    assert!(all.words().starts_with("All 10 rooted. The true rate could be as low as about 74%. On average"));
}

#[test]
fn one_grower_leads_with_the_own_count_and_says_that_the_rest_is_a_guess() {
    let one = RateFacts {
        started: 20,
        succeeded: 3,
        growers: 1,
        publishers: 1,
        trials: 1,
        arms: 1,
        arms_none: 0,
        rates: rates(0.2, 0.05, 0.4, 0.02, 0.6),
        ..facts()
    };
    // Wilson 3/20: 5.2 to 36 % (formula of Wilson 1927, computed by hand).
    assert_eq!(
        one.words(),
        "3 of 20 rooted (15%; 95% interval 5.2\u{2013}36%), from one grower. How much others \
         would differ is not known; the model assumes 2% to 60% for a grower not in the data. 1 \
         grower, 1 trial, 20 cuttings."
    );
    let none = RateFacts { succeeded: 0, arms_none: 1, ..one };
    assert!(none.words().starts_with("0 of 20 rooted."));
    assert!(none.words().contains("How much others would differ is not known;"));
    let all = RateFacts { succeeded: 20, ..one };
    assert!(Of(&all).headline().starts_with("All 20 rooted"));
}

#[test]
fn one_piece_is_spoken_of_as_one() {
    let one = RateFacts { started: 1, succeeded: 0, growers: 1, trials: 1, arms: 1, arms_none: 1, ..facts() };
    assert!(Of(&one).headline().starts_with("The only cutting reported failed; that says almost"));
    assert!(Of(&one).basis().contains("1 cutting;"));
    assert!(all_of(cuttings(), 1).starts_with("The only cutting reported rooted; that says almost nothing."));
}

#[test]
fn joined_marks_are_one_publisher_and_trusted_ones_are_growers() {
    let joined = RateFacts { growers: 1, publishers: 1, marks_joined: true, ..facts() };
    assert!(Of(&joined).basis().starts_with("1 publisher, 12 trials"));
    assert!(joined.words().contains("one publisher for several growers; counted as one grower"));
    let trusted = RateFacts { growers: 6, publishers: 1, ..facts() };
    assert!(Of(&trusted).basis().starts_with("6 growers, 1 publisher, "));
}

#[test]
fn unscored_pieces_are_read_both_ways_from_five_points_on_or_when_an_order_flips() {
    let near = RateFacts { lost: 3, lost_left_out: Some(rates(0.07, 0.02, 0.2, 0.01, 0.3)), ..facts() };
    assert!(!near.lost_matters());
    assert!(!near.words().contains("lost before"));
    let far = RateFacts { lost_left_out: Some(rates(0.094, 0.02, 0.2, 0.01, 0.3)), ..near };
    assert!(far.words().contains(
        "3 were lost before the count and stand as failures; without them an average of 9.4% (2.0–20%)."
    ));
    let flips = RateFacts { order_flips: true, ..near };
    assert!(flips.words().contains("out changes the order of the methods."));
    // One grower: 6 of 12 with 4 lost is 6 of 8 without them.
    let one = RateFacts { growers: 1, started: 12, succeeded: 6, lost: 4, ..far };
    assert!(one.words().contains("without them 6 of 8 (75%)."));
}

#[test]
fn words_follow_the_kind_and_the_outcome() {
    assert_eq!(Wording::new(Family::Grafts, Outcome::Rooted).did(), "took");
    assert_eq!(Wording::new(Family::Seed, Outcome::Rooted).success().to_ok, "germinate");
    assert_eq!(Wording::new(Family::Seed, Outcome::Alive).done(), "alive");
    let buds = Wording::new(Family::Buds, Outcome::Rooted);
    assert_eq!(question_words(buds, Stage::Spring), "taken at the spring count");
}

fn contrast(prob_first_better: f64) -> ContrastFacts<&'static str> {
    ContrastFacts {
        facet: "wound",
        first: "light",
        second: "none",
        trials: 6,
        informative: 6,
        single_replicate: 0,
        prob_first_better,
        verdict: if (0.05..0.95).contains(&prob_first_better) {
            Verdict::CannotTell
        } else {
            Verdict::Likely
        },
        scope: None,
        first_is_better: None,
        from_trials: None,
    }
}

#[test]
fn contrasts_say_likely_or_cannot_be_told_apart() {
    assert_eq!(
        contrast(0.98).words(),
        "Wounding: light likely does better than none: probability 98% under the model, from 6 \
         trials that tried both."
    );
    assert!(contrast(0.02).words().starts_with("Wounding: none likely does better than light:"));
    assert_eq!(
        contrast(0.6).words(),
        "Wounding: light and none: cannot tell yet, from 6 trials that tried both."
    );
    let blind = ContrastFacts { informative: 0, ..contrast(0.5) };
    assert_eq!(
        blind.words(),
        "Wounding: light and none: the same outcome in both in all 6 trials, so they say nothing \
     about the difference."
    );
}

#[test]
fn one_trial_with_one_pot_an_arm_has_no_verdict() {
    let one = ContrastFacts { trials: 1, informative: 1, ..contrast(0.99) };
    let pots = ContrastFacts { single_replicate: 1, verdict: Verdict::SingleUnit, ..one };
    assert!(pots.words().ends_with("a difference between pots would look just the same."));
    let some = ContrastFacts { single_replicate: 2, ..contrast(0.99) };
    assert!(some.words().contains("2 of 6 trials"));
    let own = ContrastFacts { verdict: Verdict::Better, first_is_better: Some(false), ..one };
    assert_eq!(own.words(), "Wounding: none did better than light in the only trial that tried both.");
    let lost = ContrastFacts { verdict: Verdict::DependsOnLost, ..one };
    assert!(lost.words().contains("what became of the lost ones."));
    let place = ContrastFacts { scope: Some(Scope::OneGrower), ..contrast(0.99) };
    assert!(place.words().contains("light likely does better than none where one grower"));
}

#[test]
fn what_always_went_together_is_not_ranked() {
    assert_eq!(
        always_together("dip + perlite", "none + bark", 2),
        "dip + perlite against none + bark: always used together in 2 trials, so these cannot be \
         separated."
    );
    assert!(always_together("a", "b", 1).contains("in 1 trial,"));
}

fn compared(own_succeeded: u32, flag: Flag) -> CompareFacts {
    CompareFacts {
        wording: cuttings(),
        own_started: 20,
        own_succeeded,
        growers: 9,
        enough: true,
        by_climate: true,
        expected: (1, 9),
        at_most: 0.03,
        at_least: 0.98,
        flag,
    }
}

#[test]
fn a_low_result_is_said_without_blame() {
    assert_eq!(
        compared(1, Flag::Low).words(),
        "1 of your 20 rooted: lower than you would expect from growers in a climate like yours. \
         Among such growers, a result this low would turn up about 3 times in 100. Among them, \
         20 cuttings would give 1 to 9 rooted, 95 times in 100."
    );
    assert!(compared(0, Flag::Low).words().starts_with("0 of your 20 rooted"));
    assert!(
        compared(20, Flag::High).words().starts_with("20 of your 20 rooted: higher than you would expect")
    );
}

#[test]
fn none_and_all_leave_out_the_chance_that_says_nothing() {
    let none = compared(0, Flag::Inside).words();
    assert!(none.contains("growers: this few or fewer about 3 times in 100. Among them,"));
    let all = compared(20, Flag::Inside).words();
    assert!(all.contains("this many or more about 98 times in 100.") && !all.contains("fewer"));
    assert!(
        compared(5, Flag::Inside)
            .words()
            .contains("3 times in 100, this many or more about 98 times in 100.")
    );
}

#[test]
fn too_few_growers_in_the_climate_is_said_and_all_are_shown() {
    let few = CompareFacts { enough: false, ..compared(4, Flag::Inside) };
    assert!(few.words().contains("with this method. Among such growers:"));
    assert!(few.words().ends_with("Too few growers in a climate like yours, so all 9 are shown."));
    let blind = CompareFacts { enough: false, by_climate: false, ..compared(4, Flag::Inside) };
    assert!(blind.words().ends_with("No climate is known, so all 9 are shown."));
}

#[test]
fn flags_stand_outside_the_middle_95_per_cent_only() {
    assert_eq!(
        [0.0249, 0.025, 0.5, 0.975, 0.9751].map(Flag::from_percentile),
        [Flag::Low, Flag::Inside, Flag::Inside, Flag::Inside, Flag::High]
    );
}

#[test]
fn nothing_known_and_a_slip_get_a_useful_answer() {
    let slip = no_evidence("Morus nigre", &["Morus nigra".to_owned()], 4);
    assert!(slip.ends_with("Did you mean Morus nigra?"));
    assert!(no_evidence("Cornus mas", &[], 0).ends_with("This computer holds no results at all yet."));
    assert!(no_evidence("Cornus mas", &[], 1).ends_with("results for 1 plant."));
    let names = ["a b".to_owned(), "c d".to_owned(), "e f".to_owned()];
    assert_eq!(did_you_mean(&names).as_deref(), Some("Did you mean a b, c d or e f?"));
    assert!(
        nothing_counted("Cornus mas", "rooted in spring", 3)
            .starts_with("3 trials of Cornus mas are under way")
    );
}

/// What is borrowed, where it comes from and what the own counts say alone are the numbers handed in, rounded outwards.
#[test]
fn borrowed_figures_are_said_with_what_they_rest_on() {
    let without =
        Rates { average: 0.294, average_points: [0.031, 0.28, 0.735], new_grower_points: [0.01, 0.3, 0.9] };
    let borrowed = BorrowedFacts {
        relative_trials_genus: 41,
        relative_trials_method: 120,
        prior_growers: 6.2,
        share: 0.4,
        conflict: false,
        own_counts_lead: false,
        without,
    };
    let rates = Rates {
        average: 0.213,
        average_points: [0.124, 0.21, 0.329],
        new_grower_points: [0.031, 0.2, 0.618],
    };
    let facts = RateFacts { rates, trials: 2, borrowed: Some(borrowed), ..facts() };
    let words = facts.words();
    let told = [
        "about 21% root (95% interval 12% to 33%).",
        "anywhere from 3% to 62%",
        "Mostly borrowed: this rests on 2 trials of this plant; and, by likeness, on 41 trials of its relatives and 120 of this method with other plants; worth about 6 growers.",
        "From its own 2 trials alone: about 29% (3% to 74%).",
    ];
    for part in told {
        assert!(words.contains(part), "{part}\n{words}");
    }
    let settled = RateFacts { borrowed: Some(BorrowedFacts { share: 0.5, ..borrowed }), ..facts };
    assert!(!settled.words().contains("Mostly"), "{}", settled.words());
    let conflict = BorrowedFacts { conflict: true, own_counts_lead: true, ..borrowed };
    let led = RateFacts { rates: without, borrowed: Some(conflict), ..facts }.words();
    assert!(
        led.contains("disagree with its relatives; its own counts lead.") && !led.contains("by likeness"),
        "{led}"
    );
    let one = RateFacts { growers: 1, ..facts }.words();
    assert!(one.contains("With what other plants teach, the average across growers is about 21%"), "{one}");
    let none = RateFacts { succeeded: 0, ..facts }.words();
    assert!(none.contains("by these counts alone it could be up to about 74%"), "{none}");
}
