//! Names of plants: what the list knows, and names that a grower takes for one species.

use crate::home::{TRIAL, TestHome};

/// A home with a trial under each of two names of one plant, both published.
fn two_names() -> TestHome {
    let home = TestHome::with_trial();
    let other =
        TRIAL.replace("M1", "M2").replace("Morus nigra", "Rubus niger").replace("2026-06-05", "2026-07-09");
    let table = home.write("other.csv", other);
    home.ok(&["trial", "import", &table, "--yes"]);
    for trial in ["M1", "M2"] {
        home.ok(&["publish", trial, "--yes", "--now"]);
    }
    home
}

fn trials(home: &TestHome, species: &str) -> u64 {
    home.json(&["pool", species])["methods"][0]["trials"].as_u64().unwrap_or(0)
}

#[test]
fn names_taken_for_one_species_are_pooled_together_until_they_are_parted() {
    let home = two_names();
    assert_eq!((trials(&home, "Morus nigra"), trials(&home, "Rubus niger")), (1, 1));
    let said = home.ok(&["plant", "Rubus niger", "--same-as", "Morus nigra"]);
    assert!(said.contains("Rubus niger is counted as Morus nigra") && said.contains("--apart"), "{said}");
    assert_eq!((trials(&home, "Morus nigra"), trials(&home, "Rubus niger")), (2, 2));
    assert_eq!(home.json(&["pool", "Morus nigra"])["synonyms"], serde_json::json!(["Rubus niger"]));
    assert!(home.ok(&["pool", "Rubus niger"]).contains("Counted with it: Morus nigra"));
    assert!(home.ok(&["plant"]).contains("Rubus niger is counted as Morus nigra"));
    assert_eq!(home.json(&["trial", "list"])["trials"][1]["species"], "Rubus niger", "no record is changed");
    home.ok(&["plant", "Rubus niger", "--apart"]);
    assert_eq!((trials(&home, "Morus nigra"), trials(&home, "Rubus niger")), (1, 1));
    assert!(home.ok(&["plant"]).contains("You have taken no two names for one species."));
}

#[test]
fn a_trial_is_compared_with_a_grower_who_uses_another_name() {
    let theirs = TestHome::new();
    theirs.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    let table = theirs.write("season.csv", TRIAL.replace("Morus nigra", "Rubus niger"));
    theirs.ok(&["trial", "import", &table, "--yes"]);
    theirs.ok(&["publish", "M1", "--yes", "--now"]);
    let bundle = theirs.path().with_file_name("theirs.bundle").display().to_string();
    theirs.ok(&["bundle", "out", &bundle]);
    let home = TestHome::with_trial();
    home.ok(&["bundle", "in", &bundle, "--as-known"]);
    let growers = || home.json(&["compare", "M1"])["peers"].as_array().map(Vec::len);
    assert_eq!(growers(), Some(0));
    home.ok(&["plant", "Rubus niger", "--same-as", "Morus nigra"]);
    assert_eq!(growers(), Some(1));
    home.ok(&["plant", "Rubus niger", "--apart"]);
    assert_eq!(growers(), Some(0));
}

#[test]
fn what_cannot_be_one_species_is_refused() {
    let home = TestHome::new();
    home.ok(&["plant", "Rubus niger", "--same-as", "Morus nigra"]);
    let ring = home.fails(1, &["plant", "Morus nigra", "--same-as", "Rubus niger"]);
    assert!(ring.contains("already a synonym"), "{ring}");
    let doubtful = home.fails(1, &["plant", "Morus sp.", "--same-as", "Morus nigra"]);
    assert!(doubtful.contains("does not name one species"), "{doubtful}");
    let itself = home.fails(1, &["plant", "Morus nigra", "--same-as", "Morus nigra 'Brasswing'"]);
    assert!(itself.contains("one species already"), "{itself}");
    assert!(home.fails(1, &["plant", "Cornus mas", "--apart"]).contains("is not taken for another species"));
}

#[test]
fn the_list_is_asked_by_any_name() {
    let home = TestHome::new();
    let found = home.json(&["plant", "Rose of Sharon"]);
    let names: Vec<_> =
        found["plants"].as_array().expect("a list").iter().map(|plant| &plant["name"]).collect();
    assert_eq!(names, ["Hibiscus syriacus", "Hypericum calycinum"]);
    let fig = home.ok(&["plant", "ficus carica"]);
    assert!(
        fig.contains("Ficus carica") && fig.contains("Milky sap") && fig.contains("usual way or wood"),
        "{fig}"
    );
    let slip = home.fails(1, &["plant", "Ribes nigram"]);
    assert!(slip.contains("did you mean Ribes nigrum"), "{slip}");
}

#[test]
fn a_common_name_is_answered_with_the_scientific_ones() {
    let home = TestHome::new();
    let message = home.fails(1, &["pool", "mulberry"]);
    assert!(
        message.contains("did you mean Morus alba, Morus macroura, Morus nigra, Morus rubra?"),
        "{message}"
    );
}

#[test]
fn a_common_name_of_one_plant_is_taken_and_said() {
    let home = TestHome::new();
    let said = home.ok(&[
        "trial",
        "new",
        "F1",
        "figs",
        "-m",
        "kind=stem cutting; wood=dormant hardwood",
        "-n",
        "12",
    ]);
    assert!(said.contains("Taken as Ficus carica (figs means Ficus carica)."), "{said}");
    assert_eq!(home.json(&["trial", "list"])["trials"][0]["species"], "Ficus carica");
    let asked = home.fails(1, &["trial", "new", "F2", "sycamore", "-n", "12"]);
    assert!(asked.contains("did you mean Acer pseudoplatanus, Platanus occidentalis?"), "{asked}");
}

/// Growers who write two names of one plant meet without being asked, and may part them.
#[test]
fn two_names_of_one_plant_are_pooled_by_the_programs_own_list() {
    let home = TestHome::with_trial();
    let named = |code: &str, name: &str, day: &str| {
        TRIAL.replace("M1", code).replace("Morus nigra", name).replace("2026-06-05", day)
    };
    for (code, name, day) in
        [("R1", "Rosmarinus officinalis", "2026-06-06"), ("R2", "Salvia rosmarinus", "2026-07-09")]
    {
        let table = home.write(&format!("{code}.csv"), named(code, name, day));
        home.ok(&["trial", "import", &table, "--yes"]);
        home.ok(&["publish", code, "--yes", "--now"]);
    }
    assert_eq!((trials(&home, "Rosmarinus officinalis"), trials(&home, "rosemary")), (2, 2));
    let pooled = home.ok(&["pool", "rosemary"]);
    assert!(pooled.contains("Counted with it: Rosmarinus officinalis"), "{pooled}");
    let new = home.ok(&["trial", "new", "R3", "Rosmarinus officinalis", "-n", "12"]);
    assert!(new.contains("Results for Rosmarinus officinalis are counted with Salvia rosmarinus"), "{new}");
    home.ok(&["names", "Rosmarinus officinalis", "--apart"]);
    assert_eq!((trials(&home, "Rosmarinus officinalis"), trials(&home, "rosemary")), (1, 1));
    assert!(home.ok(&["names"]).contains("Rosmarinus officinalis is counted by itself"));
    home.ok(&["names", "Rosmarinus officinalis", "--same-as", "Salvia rosmarinus"]);
    assert_eq!(trials(&home, "rosemary"), 2);
}

/// Where lists differ, nothing is decided for the grower, who is told how to decide.
#[test]
fn a_name_that_some_lists_keep_apart_is_asked_about() {
    let home = TestHome::new();
    let said = home.ok(&["trial", "new", "D1", "Prunus insititia", "-n", "12"]);
    assert!(said.contains("Some lists take Prunus insititia for Prunus domestica"), "{said}");
    assert!(said.contains("propagule names 'Prunus insititia' --same-as 'Prunus domestica'"), "{said}");
}
