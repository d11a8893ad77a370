//! Every JSON that a test reads, held against the schema of its format by somebody else's validator.
//!
//! Runs where `PROPAGULE_PYTHON` names a Python with the package of `check.requirements.txt`.

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::{Mutex, OnceLock};

use serde_json::{Value, json};

/// One validator for all tests of a process; it ends with its input.
struct Validator {
    _child: Child,
    questions: ChildStdin,
    answers: BufReader<ChildStdout>,
}

/// The folder of the schemas.
pub(crate) fn folder() -> PathBuf {
    let above = Path::new(env!("CARGO_MANIFEST_DIR")).ancestors();
    let folders = above.map(|folder| folder.join("node/docs/schema"));
    folders.into_iter().find(|folder| folder.is_dir()).expect("a crate of this workspace")
}

/// The name of the schema of a format.
pub(crate) fn name_of(format: &str) -> Option<&str> {
    format.strip_prefix("propagule.")?.strip_suffix("/1")
}

/// Whether documents are held against their schemas here; said by name where they are not, and under
/// `PROPAGULE_REQUIRE_ALL=1` a failure.
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
pub(crate) fn is_checked(test: &str) -> bool {
    let is_checked = validator().is_some();
    if !is_checked {
        println!("skipped: {test}: PROPAGULE_PYTHON names no Python with the package jsonschema");
        let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
        assert!(!is_required, "{test} was skipped under PROPAGULE_REQUIRE_ALL=1");
    }
    is_checked
}

/// Fails where a text is JSON with a format of ours and breaks its schema; returns the name of the schema where it is.
#[track_caller]
pub(crate) fn check(text: &str) -> Option<String> {
    let document: Value = serde_json::from_str(text).ok()?;
    let name = name_of(document.get("format")?.as_str()?)?.to_owned();
    check_as(&name, &document);
    Some(name)
}

/// Fails where a document breaks the schema of that name.
#[track_caller]
pub(crate) fn check_as(name: &str, document: &Value) {
    let wrong = faults(name, document);
    assert!(wrong.is_empty(), "against node/docs/schema/{name}.json: {wrong:#?}\n{document:#}");
}

/// What is wrong with a document; nothing where no validator is there.
pub(crate) fn faults(name: &str, document: &Value) -> Vec<String> {
    let Some(validator) = validator() else { return Vec::new() };
    let mut validator = validator.lock().expect("no test fails while it holds this");
    let question = json!({ "schema": name, "document": document });
    let mut answer = String::new();
    writeln!(validator.questions, "{question}").expect("the validator listens");
    validator.answers.read_line(&mut answer).expect("the validator answers");
    serde_json::from_str(&answer).unwrap_or_else(|_| vec![format!("the validator broke off: {answer:?}")])
}

fn validator() -> Option<&'static Mutex<Validator>> {
    static VALIDATOR: OnceLock<Option<Mutex<Validator>>> = OnceLock::new();
    VALIDATOR.get_or_init(started).as_ref()
}

fn started() -> Option<Mutex<Validator>> {
    let python = std::env::var_os("PROPAGULE_PYTHON").filter(|path| !path.is_empty())?;
    let has_package = Command::new(&python).args(["-c", "import jsonschema"]).stderr(Stdio::null()).status();
    if !has_package.is_ok_and(|status| status.success()) {
        return None;
    }
    let script = folder().join("../../tests/schema/check.py");
    let mut child = Command::new(python)
        .arg(script)
        .arg(folder())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the Python that was just asked starts");
    let (questions, answers) = (child.stdin.take().expect("a pipe"), child.stdout.take().expect("a pipe"));
    Some(Mutex::new(Validator { _child: child, questions, answers: BufReader::new(answers) }))
}
