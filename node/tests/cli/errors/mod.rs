//! Every fault says what now: as many as can be provoked here. That each code has words is tested beside them.

mod provoked;

use std::fmt::Write;
use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use provoked::{PROVOKED, Provoked};

use crate::home::{TestHome, ran, skip};
use crate::made::{again, compare_document};

/// A home in which things can go wrong: one trial from a table, one in pots, one that is planned.
fn home() -> TestHome {
    let home = TestHome::with_trial();
    for (name, content) in provoked::FILES {
        home.write(name, content);
    }
    let stone = ["--arm", "dip: auxin=IBA 3000 mg/L quick dip", "--arm", "none: auxin=none", "--pots", "2"];
    home.ok(&[&["trial", "new", "P1", "Cornus mas"][..], &stone, &["--pieces", "4"]].concat());
    home.ok(&["stick", "P1", "--on", "2026-06-06"]);
    home.ok(&["trial", "new", "N1", "Ribes nigrum", "--pieces", "30"]);
    home
}

/// What a command said, with what differs from run to run left out.
fn said(home: &TestHome, provoked: &Provoked) -> String {
    let message = home.fails(provoked.code, provoked.words);
    message.trim_end().replace(&home.path().display().to_string(), "HOME")
}

/// The command as it is typed.
fn typed(words: &[&str]) -> String {
    let quoted = words.iter().map(|word| {
        let is_plain =
            !word.is_empty() && word.chars().all(|c| c.is_ascii_alphanumeric() || "-_./:=,".contains(c));
        if is_plain { (*word).to_owned() } else { format!("'{word}'") }
    });
    quoted.collect::<Vec<_>>().join(" ")
}

#[test]
fn the_table_of_errors_is_what_the_program_says() {
    let home = home();
    let mut text = format!(
        "# Errors\n\nWhat the program says when it cannot do what it is asked, each provoked by a test: what failed, on \
         which input, why, and what now. Made from the program; do not edit. After a change: {}\n",
        again("errors")
    );
    let (mut topic, mut nameless) = ("", Vec::new());
    for provoked in PROVOKED {
        if provoked.topic != topic {
            topic = provoked.topic;
            let _ = write!(text, "\n## {topic}\n");
        }
        let (command, said) = (typed(provoked.words), said(&home, provoked));
        if !said.contains(provoked.names) {
            nameless.push(format!("{command} does not name {}: {said}", provoked.names));
        }
        let _ =
            write!(text, "\n```text\n$ propagule {command}\n{said}\n[exit code {}]\n```\n", provoked.code);
    }
    assert!(nameless.is_empty(), "{}", nameless.join("\n"));
    text.push_str(
        "\n## Codes\n\nEvery fault has a code that stays, which `--json` states with its parameters (`propagule.fault/1`); names in \
         braces are the parameters.\n\n| code | what it says |\n| --- | --- |\n",
    );
    let mut words: Vec<_> = propagule_present::fault::catalogue().collect();
    words.sort_by_key(|words| words.code);
    for words in words {
        let _ = writeln!(text, "| `{}` | {} |", words.code, words.what.replace('|', "\\|"));
    }
    compare_document("errors.md", &text, "errors");
}

#[test]
fn a_demonstration_that_is_stopped_says_how_to_play_it_again() {
    let home = TestHome::bare();
    let mut demo = home.command(&["demo"]);
    let mut demo = demo.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("starts");
    let lines = BufReader::new(demo.stdout.take().expect("piped")).lines();
    let mut lines = lines.map_while(Result::ok);
    let begun = lines.by_ref().filter(|line| line.contains("propagule ")).take(2).count();
    assert_eq!(begun, 2, "it plays");
    let interrupted = Command::new("kill").args(["-INT", &demo.id().to_string()]).status();
    if interrupted.is_err() {
        demo.kill().expect("ends");
    }
    lines.for_each(drop);
    let stopped = demo.wait_with_output().expect("ends");
    if interrupted.is_err() {
        return skip("a_demonstration_that_is_stopped_says_how_to_play_it_again", "there is no kill");
    }
    let stopped = ran(&stopped);
    assert_eq!(stopped.code, 1, "{stopped:?}");
    assert!(stopped.err.contains("stopped\nhint: play it again"), "{stopped:?}");
}
