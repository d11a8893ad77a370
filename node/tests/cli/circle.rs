//! Whose results count: vouches, trust at home, mutes, and answers by circle.

use serde_json::Value;

use crate::home::TestHome;

/// A home that has published one trial of cuttings, `rooted` of 20.
fn grower(rooted: u32) -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    let rows = format!(
        "trial,species,started,started_on,arm,kind,wood,humidity,lift_on,lift_rooted\n\
         T1,Ostrava tarda,20,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,{rooted}\n"
    );
    let file = home.write("t.csv", rows);
    home.ok(&["trial", "import", &file, "--yes"]);
    home.ok(&["publish", "T1", "--yes", "--now"]);
    home
}

fn key(home: &TestHome) -> String {
    home.json(&["circle"])["key"].as_str().expect("a key").to_owned()
}

/// Takes all records of `from` into `to`.
fn hand(from: &TestHome, to: &TestHome) {
    let file = from.path().parent().expect("a folder").join(format!("{}.bundle", std::process::id()));
    // A bundle never overwrites.
    let _ = std::fs::remove_file(&file);
    let file = file.display().to_string();
    from.ok(&["bundle", "out", &file]);
    to.ok(&["bundle", "in", &file, "--as-known"]);
}

fn method(home: &TestHome, more: &[&str]) -> Value {
    home.json(&[&["pool", "Ostrava tarda"], more].concat())["methods"][0].clone()
}

fn counts(method: &Value) -> (u64, u64, u64) {
    let count = |name: &str| method[name].as_u64().expect("a count");
    (count("growers"), count("rooted"), count("started"))
}

/// A reader, a friend, a friend of that friend, and a stranger who claims too much.
fn four() -> (TestHome, TestHome, TestHome, TestHome) {
    let (reader, friend, further, stranger) = (grower(4), grower(5), grower(6), grower(20));
    friend.ok(&["circle", "vouch", &key(&further), "--yes", "--now"]);
    for other in [&friend, &further, &stranger] {
        hand(other, &reader);
    }
    (reader, friend, further, stranger)
}

#[test]
fn each_word_takes_its_growers_in_and_everybody_stands_beside() {
    let (reader, friend, _, _) = four();
    assert_eq!(counts(&method(&reader, &[])), (4, 35, 80), "without a circle everybody counts alike");
    assert!(method(&reader, &[])["everybody"].is_null());
    let told = reader.ok(&["circle", "trust", &key(&friend), "--as", "the nursery"]);
    assert!(told.contains("the nursery (") && told.contains("Nobody else knows"), "{told}");
    let circle = method(&reader, &[]);
    assert_eq!(counts(&circle), (3, 15, 60), "the circle is the default once there is one");
    let all = &circle["everybody"];
    assert_eq!((&all["growers"], &all["rooted"], &all["started"]), (&4.into(), &35.into(), &80.into()));
    let of = |whose: &str| counts(&method(&reader, &["--whose", whose]));
    assert_eq!(of("mine"), (1, 4, 20));
    assert_eq!(of("friends"), (2, 9, 40));
    assert_eq!(of("friends-of-friends"), (3, 15, 60));
    assert_eq!(of("everybody"), (4, 35, 80));
    let text = reader.ok(&["pool", "Ostrava tarda"]);
    assert!(text.contains("Everybody's results: 35 of 80 from 4 growers,"), "{text}");
    assert!(text.contains("Not counted: 1, trials of growers you have not chosen."), "{text}");
    assert!(text.contains("(circle)"), "{text}");
    assert_eq!(reader.json(&["pool", "Ostrava tarda"])["whose"], "circle");
}

#[test]
fn a_claim_that_moves_everybody_is_warned_of_and_its_vouch_can_be_found() {
    let reader = grower(2);
    let mut growers = Vec::new();
    for rooted in [2, 3, 1, 2] {
        let honest = grower(rooted);
        hand(&honest, &reader);
        reader.ok(&["circle", "trust", &key(&honest)]);
        growers.push(honest);
    }
    for _ in 0..4 {
        hand(&grower(20), &reader);
    }
    let answer = reader.json(&["pool", "Ostrava tarda", "--detail"]);
    assert_eq!(answer["methods"][0]["everybody"]["differs"], true);
    assert!(answer["warnings"].to_string().contains("circle_differs"), "{}", answer["warnings"]);
    let vouches = answer["vouches"].as_array().expect("one line a vouch");
    assert_eq!(vouches.len(), 4, "each friendship left out once");
    assert!(vouches.iter().all(|line| line["average_grower_rate_without"].is_f64()));
    let text = reader.ok(&["pool", "Ostrava tarda", "--detail"]).replace('\n', " ");
    assert!(text.contains("differ by more than chance explains"), "{text}");
    assert!(text.contains("without your trust in"), "{text}");
}

#[test]
fn a_vouch_is_seen_first_and_taken_back_by_a_record() {
    let (reader, friend, ..) = four();
    let friend = key(&friend);
    let asked = reader.run(&["circle", "vouch", &friend]);
    assert_eq!(asked.code, 1);
    assert!(asked.out.contains("that your key trusts"), "{}", asked.out);
    assert!(asked.err.contains("needs your yes") && asked.err.contains("--yes"), "{}", asked.err);
    assert_eq!(reader.json(&["circle"])["members"], serde_json::json!([]));
    reader.ok(&["circle", "vouch", &friend, "--as", "mill", "--yes"]);
    assert!(reader.ok(&["circle", "vouch", "mill", "--yes"]).contains("already. There is nothing to do."));
    let members = reader.json(&["circle"])["members"].clone();
    let of = |steps: u64| {
        let found = members.as_array().expect("members").iter().find(|member| member["steps"] == steps);
        found.expect("somebody").clone()
    };
    let (first, second) = (of(1), of(2));
    assert_eq!((&first["received"], &first["vouched"]), (&8.0.into(), &true.into()));
    assert_eq!((&second["received"], &second["vouched"]), (&7.0.into(), &false.into()));
    assert_eq!(second["path"].as_array().expect("a path").len(), 3);
    let text = reader.ok(&["circle"]);
    assert!(text.contains("mill (") && text.contains("counts fully by you > mill"), "{text}");
    reader.ok(&["circle", "unvouch", "mill", "--now"]);
    assert_eq!(reader.json(&["circle"])["members"], serde_json::json!([]));
    assert!(reader.fails(1, &["circle", "unvouch", "mill"]).contains("you do not vouch for mill"));
    reader.ok(&["circle", "vouch", "mill", "--yes", "--now"]);
    assert_eq!(reader.json(&["circle"])["members"].as_array().map(Vec::len), Some(2));
    let other = grower(1);
    hand(&reader, &other);
    other.ok(&["circle", "trust", &key(&reader)]);
    let seen = other.json(&["circle"])["members"].as_array().map(Vec::len);
    assert_eq!(seen, Some(3), "the vouch went out, and with it what the friend vouches for");
}

#[test]
fn the_muted_count_nowhere() {
    let (reader, _, _, stranger) = four();
    let stranger = key(&stranger);
    reader.ok(&["circle", "mute", &stranger[..10]]);
    let pool = reader.json(&["pool", "Ostrava tarda"]);
    assert_eq!(counts(&pool["methods"][0]), (3, 15, 60));
    assert!(pool["left_out"].to_string().contains("growers you ignore"), "{}", pool["left_out"]);
    assert!(reader.ok(&["circle"]).contains("Ignored: "));
    reader.ok(&["circle", "unmute", &stranger[..10]]);
    assert_eq!(counts(&method(&reader, &[])), (4, 35, 80));
}

#[test]
fn compare_and_plan_go_by_the_circle_too() {
    let (reader, friend, ..) = four();
    let compared = |home: &TestHome| home.json(&["compare", "T1"])["arms"][0]["growers"].clone();
    assert_eq!(compared(&reader), 3);
    reader.ok(&["circle", "trust", &key(&friend)]);
    assert_eq!(compared(&reader), 2);
    let answer = reader.json(&["compare", "T1", "--whose", "everybody"]);
    assert_eq!((&answer["arms"][0]["growers"], &answer["whose"]), (&3.into(), &"everybody".into()));
    assert!(reader.ok(&["compare", "T1"]).contains("1 trial from growers you have not chosen is left"));
    let plan = |more: &[&str]| {
        let plan = reader.json(&[&["plan", "Ostrava tarda"], more].concat());
        (plan["whose"].clone(), plan["methods"][0]["growers"].clone())
    };
    assert_eq!(plan(&[]), ("circle".into(), 3.into()));
    assert_eq!(plan(&["--whose", "everybody"]), ("everybody".into(), 4.into()));
}

#[test]
fn nobody_of_the_circle_is_said_and_not_taken_for_nobody_at_all() {
    let reader = TestHome::new();
    let (friend, stranger) = (grower(3), grower(4));
    reader.ok(&["circle", "trust", &key(&friend)]);
    hand(&stranger, &reader);
    let answer = reader.json(&["pool", "Ostrava tarda"]);
    assert_eq!(answer["methods"], serde_json::json!([]));
    let sentence = answer["sentence"].as_str().expect("words");
    assert_eq!(
        sentence,
        "None of the growers you trust has reported Ostrava tarda. There is 1 trial from others: \
         --whose everybody"
    );
}

#[test]
fn growers_are_named_by_key_beginning_or_name_and_mistakes_get_a_way_on() {
    let (reader, friend, ..) = four();
    let (own, friend) = (key(&reader), key(&friend));
    reader.ok(&["circle", "trust", &friend[..8], "--as", "mill"]);
    assert!(reader.fails(1, &["circle", "trust", "mil"]).contains("did you mean mill?"));
    assert!(reader.fails(1, &["circle", "trust", &own]).contains("that key is your own"));
    let unknown =
        if friend.starts_with("00") || own.starts_with("00") { "111111111111" } else { "000000000000" };
    assert!(reader.fails(1, &["circle", "trust", unknown]).contains("no key that begins with"));
    assert!(reader.fails(1, &["circle", "trust", "xyz"]).contains("is no key and no grower you have named"));
    let (_, _, _, stranger) = four();
    let taken = reader.fails(1, &["circle", "trust", &key(&stranger), "--as", "Mill"]);
    assert!(taken.contains("you call another grower \"Mill\" already"), "{taken}");
    let said = reader.ok(&["circle", "untrust", "mill"]);
    assert!(said.contains("no longer trust mill"), "{said}");
    let table =
        reader.write("e.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng,t,1,m,p,x,9,1\n");
    let refused = reader.fails(2, &["pool", "--from", &table, "--whose", "mine"]);
    assert!(refused.contains("--whose chooses published"), "{refused}");
}

#[test]
fn a_newcomer_reads_who_stands_behind_a_figure_before_any_figure() {
    let folder = tempfile::TempDir::new().expect("a folder");
    let newcomer = TestHome::new();
    let mut files = Vec::new();
    for number in 0..4 {
        let stranger = grower(4 + number);
        let file = folder.path().join(format!("{number}.bundle")).display().to_string();
        stranger.ok(&["bundle", "out", &file]);
        newcomer.ok(&["bundle", "in", &file]);
        files.push(file);
    }
    let text = newcomer.ok(&["pool", "Ostrava tarda"]);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("4 growers, none known here for a month, none trusted by you: no figure is given."),
        "{text}"
    );
    assert!(said.contains("Trust whoever invited you: propagule trust add KEY"), "{text}");
    assert!(!text.contains('%'), "no interval over strangers: {text}");
    let answer = newcomer.json(&["pool", "Ostrava tarda"]);
    assert_eq!((&answer["methods"], &answer["behind"]["new"]), (&serde_json::json!([]), &4.into()));
    let unchecked = newcomer.ok(&["pool", "Ostrava tarda", "--unchecked"]);
    assert!(unchecked.contains("Unchecked: nobody stands behind this."), "{unchecked}");
    for file in &files[..3] {
        newcomer.ok(&["bundle", "in", file, "--as-known"]);
    }
    let text = newcomer.ok(&["pool", "Ostrava tarda"]);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let split = said.find(
        "3 of 4 growers are known here for a month or trusted by you. The other one is not known here yet",
    );
    let figure = said.find('%');
    assert!(split.is_some() && split < figure, "{text}");
    assert!(said.contains("With those not known here yet:"), "{text}");
}
