//! From a home to a published trial and its spring revision, by commands.

use std::os::unix::fs::PermissionsExt;

use crate::home::{IN_SPRING, SPRING, TRIAL, TestHome};

#[test]
fn init_twice_is_harmless_and_keys_are_private() {
    let home = TestHome::new();
    let key = home.path().join("keys/author.key");
    let before = std::fs::read(&key).expect("a key");
    assert!(home.ok(&["init"]).contains("There is a data folder already"));
    assert_eq!(std::fs::read(&key).expect("a key"), before);
    let mode = |path: &std::path::Path| std::fs::metadata(path).expect("there").permissions().mode() & 0o777;
    assert_eq!((mode(&key), mode(&home.path())), (0o600, 0o700));
}

#[test]
fn publishing_needs_a_place_a_yes_and_a_sane_clock() {
    let home = TestHome::new();
    let table = home.write("season.csv", TRIAL);
    home.ok(&["trial", "import", &table, "--yes"]);
    let message = home.fails(1, &["publish", "M1"]);
    assert!(message.contains("needs a site") && message.contains("propagule site --zone 8b"), "{message}");
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    let unasked = home.run(&["publish", "M1"]);
    assert_eq!(unasked.code, 1);
    assert!(
        unasked.out.contains("This leaves your computer, signed with your key")
            && unasked.out.contains("This stays at home")
    );
    assert!(unasked.err.contains("hint: propagule publish M1 --yes"), "{}", unasked.err);
    assert_eq!(home.json(&["peers", "list"])["records"], 0, "nothing was published");
    let early =
        home.command(&["publish", "M1", "--yes"]).env("PROPAGULE_CLOCK", "2020-01-01T00:00:00Z").output();
    let early = crate::home::ran(&early.expect("runs"));
    assert_eq!(early.code, 2);
    assert!(early.err.contains("clock says 2020-01-01"), "{}", early.err);
}

#[test]
fn nothing_is_signed_by_a_clock_far_ahead_until_the_grower_says_that_it_is_right() {
    let home = TestHome::with_trial();
    let at = |time: &str, words: &[&str]| {
        crate::home::ran(&home.command(words).env("PROPAGULE_CLOCK", time).output().expect("runs"))
    };
    let far = "2066-11-28T12:00:00Z";
    let published = ["publish", "M1", "--yes", "--now"];
    for words in [&published[..], &["key", "replace", "--yes"], &["withdraw", "M1", "--yes"]] {
        let refused = at(far, words);
        assert_eq!(refused.code, 2, "{words:?}: {}", refused.err);
        assert!(refused.err.contains("clock says 2066-11-28"), "{}", refused.err);
        assert!(refused.err.contains("propagule settings clock right"), "{}", refused.err);
    }
    assert_eq!(home.json(&["peers", "list"])["records"], 0, "nothing was signed");
    assert_eq!(at(far, &["trial", "show", "M1"]).code, 0, "reading goes on");
    let said = at(far, &["settings", "clock", "right"]);
    assert!(said.code == 0 && said.out.contains("right on 2066-11-28"), "{} {}", said.out, said.err);
    assert_eq!(at("2068-02-01T12:00:00Z", &published).code, 2, "it holds for a year and a month");
    assert_eq!(at("2060-01-01T12:00:00Z", &published).code, 2, "and for no day before");
    let came = at("2067-12-01T12:00:00Z", &published);
    assert_eq!(came.code, 0, "{}", came.err);
}

#[test]
fn the_preview_holds_the_coarse_fields_and_nothing_private() {
    let home = TestHome::with_trial();
    let preview = home.json(&["publish", "M1", "--preview"]);
    let leaves = preview["leaves"].to_string();
    for coarse in ["\"2026-06\"", "\"hardiness zone\"", "\"Morus nigra\"", "\"14\""] {
        assert!(leaves.contains(coarse), "{coarse} in {leaves}");
    }
    for private in ["2026-06-05", "2026-09-12", "M1"] {
        // The quotes matter: the random name of the trial may hold any two hexadecimal digits.
        assert!(!leaves.contains(&format!("\"{private}\"")), "{private} in {leaves}");
        assert!(preview["stays"].to_string().contains(private), "{private} is accounted for");
    }
}

#[test]
fn a_spring_count_makes_a_revision_of_the_same_trial() {
    let home = TestHome::with_trial();
    assert_eq!(home.json(&["publish", "M1", "--yes"])["revision"], 0);
    assert!(home.ok(&["publish", "M1", "--yes"]).contains("published as it stands"));
    let spring = home.write("spring.csv", SPRING);
    home.at(IN_SPRING);
    assert!(home.ok(&["trial", "import", &spring, "--dry-run"]).contains("Nothing was saved"));
    assert!(!home.ok(&["trial", "show", "M1"]).contains("spring"));
    home.ok(&["trial", "import", &spring, "--yes"]);
    assert_eq!(home.json(&["publish", "M1", "--yes"])["revision"], 1);
    let at_lift = home.json(&["pool", "Morus nigra"]);
    let method = &at_lift["methods"][0];
    assert_eq!(
        (&method["trials"], &method["started"], &method["rooted"]),
        (&1.into(), &24.into(), &0.into())
    );
    let in_spring = home.json(&["pool", "Morus nigra", "--stage", "spring"]);
    assert_eq!(
        (&in_spring["methods"][0]["rooted"], &in_spring["methods"][0]["trials"]),
        (&3.into(), &1.into())
    );
}

#[test]
fn rows_without_the_number_put_in_are_refused_by_row() {
    // The sheet of a nursery of sixty lots (invented species): three lots lack the number put in.
    let header = "trial,species,started,started_on,lift_on,lift_rooted";
    let rows: String = (1..=60)
        .map(|lot| {
            let put_in = if lot % 2 == 1 { 20 } else { 30 };
            let rooted = if lot % 2 == 1 { 12 } else { 21 };
            let put_in = if [7, 21, 44].contains(&lot) { String::new() } else { put_in.to_string() };
            format!("N{lot:02},Corymbella pallida,{put_in},2026-06-05,2026-10-09,{rooted}\n")
        })
        .collect();
    let home = TestHome::new();
    let file = home.write("lots.csv", format!("{header}\n{rows}"));
    let message = home.fails(1, &["trial", "import", &file, "--yes"]);
    for row in [8, 22, 45] {
        assert!(
            message.contains(&format!("row {row}, column \"started\": the number started is missing")),
            "{message}"
        );
    }
    let mended: String =
        rows.lines().filter(|line| !line.contains(",,")).map(|line| format!("{line}\n")).collect();
    let file = home.write("lots.csv", format!("{header}\n{mended}"));
    home.ok(&["trial", "import", &file, "--yes"]);
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(57));
}

#[test]
fn peers_are_added_by_address_or_invite_and_kept() {
    const ID: &str = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
    let home = TestHome::new();
    let address = format!("/ip4/127.0.0.1/tcp/4001/p2p/{ID}");
    home.ok(&["peers", "add", &address]);
    home.ok(&["peers", "add", &format!("propagule-invite/1,test,{address}")]);
    assert_eq!(home.json(&["peers", "list"])["book"].as_array().map(Vec::len), Some(1), "once each");
    let nameless = home.fails(1, &["peers", "add", "/ip4/127.0.0.1/tcp/4001"]);
    assert!(nameless.contains("names no computer"), "{nameless}");
    let other = home.fails(1, &["peers", "add", &format!("propagule-invite/1,elsewhere,{address}")]);
    assert!(other.contains("the invite is to the network \"elsewhere\""), "{other}");
    assert!(home.fails(2, &["peers", "add", "hello"]).contains("neither an address nor an invite"));
    assert!(home.fails(1, &["peers", "invite"]).contains("propagule serve"));
}

#[test]
fn a_place_shows_what_the_numbers_become_and_what_would_be_published() {
    let home = TestHome::new();
    // Vector V23 of the Köppen–Geiger vectors of the protocol (official normals): Cfb.
    let temperature = "0.3,1.4,5.3,9.4,14.3,17.2,19.4,18.9,14.7,10.1,4.4,1.3";
    let rain = "48,46,65,65,101,118,122,115,75,65,61,65";
    let words =
        ["place", "garden", "--zone", "8a", "--latitude", "48", "--temperature", temperature, "--rain", rain];
    let text = home.ok(&words);
    for part in [
        "class Cfb, from twelve months",
        "coldest month 0.3 °C, hottest month 19.4 °C, rain 946 mm",
        "half-zone 8a",
        "June counts as June",
        "climate group Cf, hardiness zone 8, coldest month 0 to 4 °C, hottest month 16 to 20 °C, yearly rain 759 to 1139 mm",
        // 48° on the two solstices by the model of Forsythe 1995: between its values at 40° and 50°.
        "Day length there: 16.0 h on 21 June, 8.4 h on 21 December. The latitude is not kept.",
    ] {
        assert!(text.replace("\n  ", " ").replace('\n', " ").contains(part), "{part} in {text}");
    }
    assert!(!home.json(&["place"]).to_string().contains("48"), "the latitude is not kept");
    let south = home.json(&["place", "--zone", "9a", "--latitude", "-37.5"]);
    assert_eq!((&south["season_shift_months"], &south["half_zone"]), (&6.into(), &"9a".into()));
    let both = home.fails(2, &["place", "--zone", "9a", "--latitude", "-37.5", "--hemisphere", "north"]);
    assert!(both.contains("--latitude -37.5 is not in the hemisphere that --hemisphere says"), "{both}");
    assert!(home.fails(2, &["place", "--zone", "9a", "--latitude", "375"]).contains("not from -90 to 90"));
}

#[test]
fn no_private_word_of_the_bench_is_in_the_published_bytes() {
    let home = TestHome::new();
    home.ok(&["place", "Vexwold9", "--zone", "8b", "--hemisphere", "north"]);
    let table = home.write(
        "season.csv",
        "trial,species,started,started_on,arm,kind,wood,humidity,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost,\
         place,note\n\
         Quaggamire7,Morus nigra,24,2026-06-05,Zephyrine3,stem cutting,semi-ripe,dome,2026-09-12,17,0,7,0,Vexwold9,\
         Brindlemoss4\n",
    );
    home.ok(&["trial", "import", &table, "--yes"]);
    home.ok(&["note", "Quaggamire7", "Wimblequartz6"]);
    home.ok(&["publish", "Quaggamire7", "--yes", "--now"]);
    let path = home.path().with_file_name("all.bundle");
    home.ok(&["bundle", "out", &path.display().to_string()]);
    let bytes = std::fs::read(path).expect("reads").to_ascii_lowercase();
    let contains = |text: &str| bytes.windows(text.len()).any(|part| part == text.to_lowercase().as_bytes());
    assert!(contains("nigra"), "the search finds what is there");
    let secret = std::fs::read_to_string(home.path().join("keys/author.key")).expect("a key");
    for private in [
        "Vexwold9",
        "Quaggamire7",
        "Zephyrine3",
        "Brindlemoss4",
        "Wimblequartz6",
        "2026-06-05",
        "2026-09-12",
        &secret,
    ] {
        assert!(!contains(private), "{private} is in the bytes");
    }
}
