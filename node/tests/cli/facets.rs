//! Facets in one model, and the evidence as a table.

use crate::home::TestHome;

/// Two trials of two growers entered by one home: auxin in each, wood stage between them.
const TRIALS: &str = "trial,species,started,started_on,arm,kind,wood,auxin,humidity,lift_on,lift_rooted\n\
    T1,Ostrava tarda,12,2026-06-05,A,stem cutting,softwood,none,dome,2026-09-12,3\n\
    T1,Ostrava tarda,12,2026-06-05,B,stem cutting,softwood,IBA quick dip 3000 mg/L,dome,2026-09-12,9\n\
    T2,Ostrava tarda,14,2026-07-05,A,stem cutting,semi-ripe,none,dome,2026-10-12,2\n\
    T2,Ostrava tarda,14,2026-07-05,B,stem cutting,semi-ripe,IBA quick dip 3000 mg/L,dome,2026-10-12,9\n\
    T3,Ostrava tarda,10,2026-07-05,A,stem cutting,semi-ripe,none,dome,2026-10-12,1\n";

fn home() -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    let file = home.write("t.csv", TRIALS);
    home.ok(&["trial", "import", &file, "--yes"]);
    for trial in ["T1", "T2", "T3"] {
        home.ok(&["publish", trial, "--yes", "--now"]);
    }
    home
}

fn level<'a>(answer: &'a serde_json::Value, facet: &str, word: &str) -> &'a serde_json::Value {
    let facets = answer["facets"]["facets"].as_array().expect("facets");
    let facet = facets.iter().find(|entry| entry["facet"] == facet).expect("the facet");
    facet["levels"].as_array().expect("levels").iter().find(|entry| entry["level"] == word).expect("the word")
}

#[test]
fn each_facet_is_held_against_its_most_tried_word_everything_else_equal() {
    let home = home();
    assert!(home.json(&["pool", "Ostrava tarda"])["facets"].is_null());
    let answer = home.json(&["pool", "Ostrava tarda", "--facets"]);
    assert_eq!(answer["facets"]["kind"], "stem cutting");
    let auxin = level(&answer, "auxin", "IBA quick dip 3000 mg/L");
    // One pot an arm in two trials of one grower: as in the contrast, no verdict.
    assert_eq!((&auxin["standing"], &auxin["verdict"]), (&"within_growers".into(), &"single_unit".into()));
    assert_eq!(auxin["verdict"], answer["contrasts"][0]["verdict"]);
    assert_eq!((&auxin["started"], &auxin["rooted"]), (&26.into(), &18.into()));
    // Semi-ripe and softwood stood in different trials.
    assert_eq!(level(&answer, "wood", "semi-ripe")["standing"], "reference");
    let text =
        home.ok(&["pool", "Ostrava tarda", "--facets"]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("What each detail adds, everything else equal (stem cutting)"), "{text}");
    assert!(
        text.contains(
            "rooting hormone IBA quick dip 3000 mg/L and none: cannot tell yet, from 2 trials that tried both."
        ),
        "{text}"
    );
    assert!(text.contains("Each detail is compared where everything else was the same"), "{text}");
    let only = home.json(&["pool", "Ostrava tarda", "--facets=auxin"]);
    assert_eq!(only["facets"]["facets"].as_array().map(Vec::len), Some(1));
}

#[test]
fn facets_that_do_not_differ_or_do_not_exist_are_said() {
    let home = home();
    let text = home.ok(&["pool", "Ostrava tarda", "--facets=humidity"]);
    assert!(
        text.split_whitespace().collect::<Vec<_>>().join(" ").contains("No detail has two known words"),
        "{text}"
    );
    let wrong = home.fails(2, &["pool", "Ostrava tarda", "--facets=auxn"]);
    assert!(wrong.contains("auxin"), "{wrong}");
    assert!(home.fails(2, &["pool", "Ostrava tarda", "--facets=none"]).contains("asks for no detail"));
    let alive = home.json(&["pool", "Ostrava tarda", "--facets", "--outcome", "alive"]);
    assert!(alive["facets"].is_null(), "alive ranks nothing");
}

#[test]
fn the_evidence_as_a_table_gives_the_same_figures() {
    let home = home();
    let path = home.path().parent().expect("a folder").join("evidence.csv").display().to_string();
    let words = ["pool", "Ostrava tarda", "--by", "auxin"];
    let first = home.json(&[&words[..], &["--evidence", &path]].concat());
    assert!(home.fails(1, &[&words[..], &["--evidence", &path]].concat()).contains("choose another name"));
    let table = std::fs::read_to_string(&path).expect("a table");
    assert!(table.starts_with("grower,trial,arm,method,medium,region,stuck,rooted,species,"), "{table}");
    let again = home.json(&["pool", "--from", &path]);
    let figures = |answer: &serde_json::Value| {
        let methods = answer["methods"].as_array().expect("methods").clone();
        let figure = |method: &serde_json::Value| {
            ["growers", "trials", "started", "rooted", "average_grower_rate_mean", "mu_mean"]
                .map(|name| method[name].clone())
        };
        methods.iter().map(figure).collect::<Vec<_>>()
    };
    assert_eq!(figures(&first), figures(&again));
    assert_eq!(first["methods"].as_array().map(Vec::len), Some(4));
}

#[test]
fn a_trial_is_compared_as_if_it_had_stood_elsewhere() {
    let home = home();
    home.ok(&["place", "south wall", "--zone", "10a", "--hemisphere", "south"]);
    assert!(home.fails(1, &["compare", "T1", "--at", "south wal"]).contains("did you mean south wall?"));
    // Nobody else has tried it: the words say so, wherever it stood.
    let answer = home.json(&["compare", "T1", "--at", "south wall"]);
    assert_eq!(answer["at"], "south wall");
    assert!(
        home.ok(&["compare", "T1", "--at", "south wall"])
            .contains("As if grown at \u{201c}south wall\u{201d}:")
    );
}

#[test]
fn a_plan_takes_own_trials_from_the_bench_before_they_are_published() {
    let home = TestHome::new();
    let file = home.write("t.csv", TRIALS);
    home.ok(&["trial", "import", &file, "--yes"]);
    let plan = home.json(&["plan", "Ostrava tarda", "--by", "none"]);
    let method = &plan["methods"][0];
    assert_eq!(
        (&method["basis"], &method["trials"]),
        (&"own".into(), &3.into()),
        "no place is needed to plan"
    );
}
