//! What goes to which stream, and in what form.

use std::fs::File;
use std::process::Stdio;

use crate::home::{SPRING, TRIAL, TestHome, ran};
use crate::serving::Serving;

#[test]
fn every_command_that_answers_does_so_in_json_alone() {
    let home = TestHome::new();
    let season = home.write("season.csv", TRIAL);
    let spring = home.write("spring.csv", SPRING.replace("2027-04-20", "2026-10-20"));
    let evidence =
        home.write("e.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,3\n");
    let sites = home.write("s.csv", "grower,temp,rain\ng1,10,800\n");
    let bundle = home.path().join("all.bundle").display().to_string();
    let address = "/ip4/127.0.0.1/tcp/4001/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
    for (words, format) in [
        (&["init"][..], "propagule.init/1"),
        (&["place", "--zone", "8b", "--hemisphere", "north"], "propagule.place/1"),
        (&["trial", "import", &season, "--yes"], "propagule.import/1"),
        (&["trial", "import", &spring, "--dry-run"], "propagule.import/1"),
        (&["publish", "M1", "--yes"], "propagule.publish/1"),
        (&["publish", "M1", "--yes"], "propagule.publish/1"),
        (&["key", "show"], "propagule.keys/1"),
        (&["key", "revoke", "--write-sheet", "-"], "propagule.key_sheet/1"),
        (&["key", "rotate", "--yes"], "propagule.key_rotate/1"),
        (&["key", "revoke", "--from", "2026-11", "--yes"], "propagule.key_revoke/1"),
        (&["publish", "M1", "--yes"], "propagule.publish/1"),
        (&["plant", "Ficus carica"], "propagule.plants/1"),
        (&["plant", "Rubus niger", "--same-as", "Morus nigra"], "propagule.synonym/1"),
        (&["plant"], "propagule.synonyms/1"),
        (&["peers", "add", address], "propagule.peers_added/1"),
        (&["bundle", "out", &bundle], "propagule.bundle/1"),
        (&["bundle", "in", &bundle], "propagule.bundle/1"),
        (&["pool", "--from", &evidence], "propagule.pool/1"),
        (&["compare", "g1/t1", "--from", &evidence, "--sites", &sites], "propagule.compare/1"),
        (&["pool", "Morus nigra", "--stage", "spring"], "propagule.pool/1"),
    ] {
        assert_eq!(home.json(words)["format"], format, "{words:?}");
    }
    let _serving =
        Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--page-port", "0"]));
    assert_eq!(home.json(&["peers", "invite"])["format"], "propagule.invite/1");
    assert_eq!(home.json(&["peers", "list"])["format"], "propagule.peers/1");
}

#[test]
fn a_fault_is_text_on_stderr_or_json_on_stdout_with_the_same_exit_code() {
    let home = TestHome::with_trial();
    for words in [
        &["pool", "Cornus mas"][..],
        &["trial", "show", "M9"],
        &["compare", "M9"],
        &["pool", "--from", "nowhere.csv"],
        &["compare", "M1", "--stage", "spring"],
    ] {
        let said = home.run(words);
        assert!(said.code != 0 && said.out.is_empty(), "{words:?}: {said:?}");
        assert!(said.err.starts_with("error: ") && said.err.contains("\nhint: "), "{words:?}: {said:?}");
        let words: Vec<&str> = words.iter().copied().chain(["--json"]).collect();
        let ran = home.run(&words);
        assert!(ran.code == said.code && ran.err.is_empty(), "{words:?}: {ran:?}");
        let fault: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON and nothing else");
        assert_eq!(fault["format"], "propagule.fault/1");
        let (sentence, hint) = (fault["sentence"].as_str(), fault["hints"][0].as_str());
        let (sentence, hint) = (sentence.expect("words"), hint.expect("what to do"));
        assert!(said.err.starts_with(&format!("error: {sentence}\nhint: {hint}")), "{fault}: {said:?}");
    }
}

#[test]
fn no_escape_code_is_written_to_a_pipe_whatever_the_environment_says() {
    let home = TestHome::with_trial();
    for (name, value) in [("NO_COLOR", "1"), ("CLICOLOR", "1"), ("TERM", "xterm-256color")] {
        for words in
            [&["--help"][..], &["pool", "--help"], &["trial", "list"], &["trial", "shaw"], &["pool", "12"]]
        {
            let ran = ran(&home.command(words).env(name, value).output().expect("runs"));
            assert!(!ran.out.contains('\u{1b}') && !ran.err.contains('\u{1b}'), "{name} {words:?}: {ran:?}");
        }
    }
}

/// What is misspelt, the hint that says what was meant, and the command whose help is named.
const MISSPELT: [(&[&str], &str, &str); 7] = [
    (&["trail", "list"], "did you mean trial?", "propagule --help"),
    (&["trial", "lst"], "did you mean list?", "propagule trial --help"),
    (&["pool", "--whos", "x"], "did you mean --whose?", "propagule pool --help"),
    (&["pool", "Morus nigra", "--whose", "frends"], "did you mean friends?", "propagule pool --help"),
    (&["pool", "Morus nigre"], "did you mean Morus nigra", ""),
    (&["names", "blck mulberry"], "did you mean", ""),
    (&["trial", "show", "M11"], "did you mean M1?", ""),
];

#[test]
fn what_is_misspelt_gets_at_most_three_suggestions() {
    let home = TestHome::with_trial();
    for (words, hint, help) in MISSPELT {
        let ran = home.run(words);
        assert!(ran.code > 0 && ran.out.is_empty() && ran.err.starts_with("error: "), "{words:?}: {ran:?}");
        let meant = ran.err.lines().find(|line| line.contains(hint)).unwrap_or_default();
        assert!(meant.starts_with("hint: ") && meant.matches(", ").count() < 3, "{words:?}: {ran:?}");
        assert!(ran.err.contains(help), "{words:?}: {ran:?}");
    }
}

#[test]
fn a_command_line_that_is_refused_says_what_and_where_its_help_is() {
    let home = TestHome::bare();
    for (words, what, help) in [
        (&["lift"][..], "required arguments were not provided: <TRIAL>", "propagule lift --help"),
        (
            &["serve", "--page-port", "x"],
            "--page-port <PORT>: \"x\" is not a whole number",
            "propagule serve --help",
        ),
        (&["key", "cancel"], "required", "propagule key cancel --help"),
        (&["--nonsense"], "unexpected argument '--nonsense'", "propagule --help"),
    ] {
        let message = home.fails(2, words);
        assert!(message.contains(what) && message.contains(&format!(": {help}\n")), "{words:?}: {message}");
        assert_eq!(ran(&home.pasted(&message).output().expect("a shell")).code, 0, "{message}");
    }
}

#[test]
fn the_bare_command_is_short_with_and_without_a_home() {
    for home in [TestHome::bare(), TestHome::new()] {
        let ran = home.run(&[]);
        let text = &ran.out;
        assert!(ran.code == 0 && text.lines().count() <= 25 && text.contains("Usage: propagule"), "{ran:?}");
        let next = text.split_once("\nNext\n").map(|(_, next)| next).expect("what to do next");
        assert_eq!(next.matches("  propagule ").count(), 3, "{text}");
        assert!(text.contains(&format!("Your data: {}", home.path().display())), "{text}");
    }
}

#[test]
fn an_output_that_cannot_be_written_is_a_failure_and_a_reader_that_left_is_none() {
    let home = TestHome::with_trial();
    let Ok(full) = File::options().write(true).open("/dev/full") else {
        crate::home::skip("an_output_that_cannot_be_written_is_a_failure", "there is no /dev/full");
        return;
    };
    let output =
        home.command(&["trial", "list"]).stdout(full).stderr(Stdio::piped()).spawn().expect("starts");
    let failed = ran(&output.wait_with_output().expect("ends"));
    assert!(failed.code == 2 && failed.err.contains("cannot write the answer"), "{failed:?}");
    assert!(failed.err.contains("\nhint: "), "{failed:?}");
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let gone =
        home.command(&["trial", "list"]).stdout(writer).stderr(Stdio::piped()).spawn().expect("starts");
    let gone = ran(&gone.wait_with_output().expect("ends"));
    assert_eq!((gone.code, gone.err.as_str()), (0, ""));
}

#[test]
fn every_answer_stays_whole_at_both_widths_and_says_the_same() {
    use unicode_width::UnicodeWidthStr;
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    // Another program may take the usual port of the page between two looks; some port is always free.
    let config = home.path().join("config.toml");
    let settings = std::fs::read_to_string(&config).unwrap_or_default();
    let others = settings.lines().filter(|line| !line.starts_with("page_port"));
    let settings = std::iter::once("page_port = 0").chain(others).collect::<Vec<_>>().join("\n");
    std::fs::write(&config, settings).expect("writes");
    for words in [
        &[][..],
        &["trial", "list"],
        &["trial", "show", "M1", "--detail"],
        &["trial", "history", "M1"],
        &["trial", "new", "N1", "Ribes nigrum", "--pieces", "30", "--dry-run"],
        &["due"],
        &["place"],
        &["plant", "black mulberry"],
        &["pool", "Morus nigra", "--detail"],
        &["plan", "Morus nigra"],
        &["circle"],
        &["peers", "list"],
        &["key", "show"],
        &["store", "verify"],
        &["doctor"],
    ] {
        let said = [60, 120].map(|columns: usize| {
            let output = home.command(words).env("COLUMNS", columns.to_string()).output().expect("runs");
            let text = ran(&output).out;
            let home = home.path().display().to_string();
            let is_long = |line: &&str| {
                let is_one_word = !line.trim().contains(' ') || line.contains("propagule ");
                line.width() > columns && !is_one_word && !line.contains(&home)
            };
            assert_eq!(text.lines().find(is_long), None, "{words:?} at {columns}");
            text
        });
        // Pictures are drawn to the width; words are the same.
        let letters =
            |text: &str| text.chars().filter(|c| c.is_alphabetic() && *c != 'O').collect::<String>();
        assert_eq!(letters(&said[0]), letters(&said[1]), "{words:?}");
    }
}

#[test]
fn wide_letters_are_counted_as_wide() {
    use unicode_width::UnicodeWidthStr;
    let home = TestHome::bare();
    let header = "grower,trial,arm,method,medium,region,stuck,rooted";
    let rows = "g1,t1,1,青木 挿し木 密閉 底熱 緑枝 九月 鹿沼土 無処理,p,all,20,3\n\
                g2,t1,1,青木 挿し木 密閉 底熱 緑枝 九月 鹿沼土 無処理,p,all,20,0\ng3,t1,1,nai\u{308}f,p,all,9,1\n";
    let file = home.write("wide.csv", format!("{header}\n{rows}"));
    for columns in [60, 120] {
        let output = home.command(&["pool", "--from", &file]).env("COLUMNS", columns.to_string()).output();
        let text = ran(&output.expect("runs")).out;
        let path = home.path().parent().expect("a parent").display().to_string();
        let long = text.lines().find(|line| line.width() > columns && !line.contains(&path));
        assert_eq!(long, None, "at {columns}");
    }
}
