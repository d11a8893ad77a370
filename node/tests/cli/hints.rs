//! A hint that is a command works when it is pasted into a shell.

use crate::home::{TRIAL, TestHome, ran};
use crate::serving::Serving;

fn works(home: &TestHome, message: &str) -> String {
    let ran = ran(&home.pasted(message).output().expect("a shell"));
    assert_eq!(ran.code, 0, "{message}\n{ran:?}");
    ran.out
}

#[test]
fn making_a_home_at_a_path_that_needs_quotes() {
    let folder = TestHome::bare();
    let path = folder.path().join("Ana's home");
    let words = ["--home", path.to_str().expect("text")];
    let run = |more: &[&str]| {
        let mut command = folder.bare_command(crate::home::PROGRAM);
        ran(&command.args(words).args(more).output().expect("runs"))
    };
    let refused = run(&["trial", "list"]);
    assert_eq!(refused.code, 1, "{refused:?}");
    assert!(works(&folder, &refused.err).contains("Made your data folder at"));
    assert_eq!(run(&["trial", "list"]).code, 0);
}

#[test]
fn publishing_with_a_yes_a_code_that_needs_quotes() {
    let home = TestHome::with_trial();
    let table = home.write("m2.csv", TRIAL.replace("M1", "M2 it's $HOME"));
    let imported = home.ok(&["trial", "import", &table, "--yes"]);
    assert!(imported.contains(r"propagule trial show 'M2 it'\''s $HOME'"), "{imported}");
    let message = home.fails(1, &["publish", "M2 it's $HOME"]);
    assert!(works(&home, &message).contains("is published (update 0)"));
}

#[test]
fn describing_the_place_that_publishing_needs() {
    let home = TestHome::new();
    let table = home.write("season.csv", TRIAL);
    home.ok(&["trial", "import", &table, "--yes"]);
    let message = home.fails(1, &["publish", "M1"]);
    works(&home, &message);
    assert_eq!(home.json(&["publish", "M1", "--yes"])["published"], true);
}

#[test]
fn describing_the_place_that_a_table_names() {
    let home = TestHome::with_trial();
    let table = home.write(
        "m2.csv",
        "trial,species,started,started_on,place,lift_on,lift_alive\nM2,Morus nigra,9,2026-06-05,my garden,2026-09-12,4\n",
    );
    home.ok(&["trial", "import", &table, "--yes"]);
    let message = home.fails(1, &["publish", "M2"]);
    assert!(message.contains("is at \"my garden\", which is not described yet"), "{message}");
    works(&home, &message);
    assert_eq!(home.json(&["publish", "M2", "--yes"])["published"], true);
}

#[test]
fn naming_one_species_of_a_table() {
    let home = TestHome::bare();
    let header = "grower,trial,arm,method,medium,region,stuck,rooted,species";
    let rows = "g1,t1,1,m,p,all,20,3,Lumetta rosea\ng2,t1,1,m,p,all,20,3,Ostrava tarda\n";
    let file = home.write("two species.csv", format!("{header}\n{rows}"));
    let message = home.fails(1, &["pool", "--from", &file]);
    assert!(works(&home, &message).starts_with("Lumetta rosea"));
}

#[test]
fn seeing_all_trials_or_the_one_that_was_meant() {
    let home = TestHome::with_trial();
    let message = home.fails(1, &["trial", "show", "entirely different"]);
    assert!(works(&home, &message).contains("M1"));
    let near = home.fails(1, &["trial", "show", "M11"]);
    assert!(near.contains("hint: did you mean M1?"), "{near}");
}

#[test]
fn serving_where_the_wanted_port_is_taken_and_inviting() {
    let home = TestHome::new();
    let message = home.fails(2, &["serve", "--listen", "localhost:48620"]);
    assert!(message.contains("is not an address to listen on"), "{message}");
    let _serving = Serving::start(home.pasted(&message));
    let invite = home.json(&["peers", "invite"]);
    let friend = TestHome::new();
    friend.ok(&["peers", "add", invite["invite"].as_str().expect("text")]);
    let elsewhere = TestHome::bare();
    elsewhere.ok(&["init", "--network", "elsewhere"]);
    let refused = elsewhere.fails(1, &["peers", "add", invite["invite"].as_str().expect("text")]);
    let hint = refused.replace("FOLDER", "third");
    assert!(works(&elsewhere, &hint).contains("Network: test"), "{refused}");
}
