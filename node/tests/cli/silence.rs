//! Opened trials that are never reported, and what `pool` says of them.

use crate::home::{TestHome, ran};

/// A home with one reported and one silent trial of the same method, both opened when they were put in.
fn opened() -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    for code in ["L1", "L2"] {
        home.ok(&[
            "trial",
            "new",
            code,
            "Lumetta rosea",
            "--pieces",
            "10",
            "--lift",
            "2026-08-29",
            "--with",
            "kind=stem cutting; wood=softwood; humidity=dome",
        ]);
        let words = ["stick", code, "--on", "2026-06-06", "--open"];
        let early = home.command(&words).env("PROPAGULE_CLOCK", "2026-11-06T12:00:00Z").output();
        assert_eq!(ran(&early.expect("runs")).code, 0);
    }
    home.ok(&["lift", "L1", "--on", "2026-08-29", "rooted=6", "--rest", "dead"]);
    home.ok(&["publish", "L1", "--yes"]);
    home
}

fn pool_at(home: &TestHome, now: &str, more: &[&str]) -> serde_json::Value {
    let words = [&["pool", "Lumetta rosea", "--json"], more].concat();
    let output = home.command(&words).env("PROPAGULE_CLOCK", now).output().expect("runs");
    serde_json::from_str(&ran(&output).out).expect("JSON")
}

#[test]
fn a_trial_that_is_overdue_is_silent_and_shown_as_nothing_rooted() {
    let home = opened();
    // Opened in November with 12 weeks to the lift: 3 months and 3 of grace, silent from June on.
    let before = pool_at(&home, "2027-05-15T12:00:00Z", &[]);
    assert_eq!((&before["silence"]["opened"], &before["silence"]["pending"]), (&2.into(), &1.into()));
    assert!(before["methods"][0]["silent_as_zero"].is_null());
    let after = pool_at(&home, "2027-06-15T12:00:00Z", &[]);
    assert_eq!((&after["silence"]["reported"], &after["silence"]["silent"]), (&1.into(), &1.into()));
    let method = &after["methods"][0];
    let (headline, other) =
        (&method["average_grower_rate_mean"], &method["silent_as_zero"]["average_grower_rate_mean"]);
    assert!(other.as_f64().expect("a rate") < headline.as_f64().expect("a rate"), "{method}");
    assert_eq!(method["rooted"], 6, "the headline stays");
    let output =
        home.command(&["pool", "Lumetta rosea"]).env("PROPAGULE_CLOCK", "2027-06-15T12:00:00Z").output();
    let text = ran(&output.expect("runs")).out;
    assert!(
        text.contains("1 reported, 0 not due, 1 overdue")
            && text.contains("If nothing rooted in the overdue trials"),
        "{text}"
    );
    home.ok(&["withdraw", "L2", "--yes"]);
    let withdrawn = pool_at(&home, "2027-06-15T12:00:00Z", &[]);
    assert_eq!((&withdrawn["silence"]["silent"], &withdrawn["silence"]["withdrawn"]), (&0.into(), &1.into()));
}

#[test]
fn opened_only_takes_trials_that_were_announced_before_their_counts() {
    let home = opened();
    // L1 was opened and reported in one month: nobody can tell which came first.
    let announced = pool_at(&home, "2026-12-15T12:00:00Z", &["--opened-only"]);
    assert_eq!(announced["methods"], serde_json::json!([]));
    assert!(
        announced["left_out"].to_string().contains("not announced before their first count"),
        "{announced}"
    );
    let nothing = TestHome::with_trial();
    nothing.ok(&["publish", "M1", "--yes"]);
    assert!(nothing.json(&["pool", "Morus nigra"])["silence"].is_null(), "hidden while nothing was opened");
}

#[test]
fn detail_leaves_growers_out_one_by_one() {
    let home = TestHome::bare();
    let rows = "g1,t1,1,m,p,x,20,3\ng2,t1,1,m,p,x,15,0\ng3,t1,1,m,p,x,24,8\ng4,t1,1,m,p,x,25,5\ng5,t1,1,m,p,x,10,0\n\
                g6,t1,1,m,p,x,30,11\n";
    let file = home.write("six.csv", format!("grower,trial,arm,method,medium,region,stuck,rooted\n{rows}"));
    let text = home.ok(&["pool", "--from", &file, "--detail"]);
    // Without the last grower 19.3 % (figure of the worked season).
    let flat: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("without g6: average 19%"), "{text}");
    let json = home.json(&["pool", "--from", &file, "--detail"]);
    assert_eq!(json["influence"].as_array().map(Vec::len), Some(6));
}
