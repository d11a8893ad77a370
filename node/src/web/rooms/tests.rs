//! Rooms asked without a socket: what people typed stays text, and every form finds its way.

use axum::http::StatusCode;

use crate::schema;
use crate::web::fixtures::{HOST, Stage, text};
use crate::web::guard::{Session, Side};

const ORIGIN: &str = "http://127.0.0.1:48621";
/// What somebody could type, or bring in by a table, to do harm.
const HOSTILE: &str = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>&\u{202e}";

pub(super) struct Grower {
    pub(super) stage: Stage,
    session: Session,
}

impl Grower {
    pub(super) fn new() -> Self {
        let stage = Stage::new(Side::Loopback);
        let session = stage.come_in();
        Self { stage, session }
    }

    pub(super) async fn get(&self, path: &str) -> (StatusCode, String) {
        let cookie = self.stage.cookie(&self.session);
        let response = self.stage.get(path, &[("host", HOST), ("cookie", &cookie)]).await;
        (response.status(), text(response).await)
    }

    /// Sends a form; returns the status, and where it leads or what it says.
    pub(super) async fn post(&self, path: &str, fields: &[(&str, &str)]) -> (StatusCode, String) {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.append_pair("token", &self.session.token).extend_pairs(fields);
        let cookie = self.stage.cookie(&self.session);
        let headers = [("host", HOST), ("cookie", cookie.as_str()), ("origin", ORIGIN)];
        let response = self.stage.post(path, &headers, &body.finish()).await;
        let status = response.status();
        match response.headers().get("location") {
            Some(address) => (status, address.to_str().expect("an address").to_owned()),
            None => (status, text(response).await),
        }
    }

    /// Sends a form as the script of the page does; returns the status, and what the script is told.
    async fn script(&self, path: &str, fields: &[(&str, &str)]) -> (StatusCode, String) {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.append_pair("token", &self.session.token).extend_pairs(fields);
        let cookie = self.stage.cookie(&self.session);
        let accept = ("accept", "application/json");
        let headers = [("host", HOST), ("cookie", cookie.as_str()), ("origin", ORIGIN), accept];
        let response = self.stage.post(path, &headers, &body.finish()).await;
        (response.status(), text(response).await)
    }

    pub(super) async fn saved(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let (status, said) = self.post(path, fields).await;
        assert_eq!(status, StatusCode::SEE_OTHER, "{path}: {said}");
        said
    }

    pub(super) async fn trial(&self) {
        let fields = [
            ("code", "T1"),
            ("species", "Morus nigra"),
            ("kind", "stem cutting"),
            ("compared", "auxin"),
            ("label-1", "dip"),
            ("auxin-1", "IBA 3000 mg/L quick dip"),
            ("label-2", "none"),
            ("auxin-2", "none"),
            ("pots", "2"),
            ("pieces", "5"),
            ("on", "2026-06-06"),
        ];
        self.saved("/bench/new", &fields).await;
        self.saved("/bench/trial/T1/stick", &[("on", "2026-06-06")]).await;
    }
}

/// Fails where typed text became markup.
fn check_plain(path: &str, page: &str) {
    for sign in ["<script>", "<img", "onerror=alert(1)>", "'><", "\u{202e}"] {
        assert!(!page.contains(sign), "{sign} on {path}: {page}");
    }
}

#[tokio::test]
async fn what_people_typed_stays_text_on_every_page() {
    let grower = Grower::new();
    let code = "a<b>\"'&/?#";
    let fields = [
        ("code", code),
        ("species", "Morus nigra"),
        ("compared", "differs"),
        ("also", "leaves"),
        ("also", "operator"),
        ("label-1", "A"),
        ("differs-1", HOSTILE),
        ("label-2", "B<i>"),
        ("leaves-2", "halved"),
        ("operator-2", HOSTILE),
        ("pots", "2"),
        ("pieces", "5"),
        ("question", HOSTILE),
        ("note", HOSTILE),
        ("grade", HOSTILE),
        ("rooted_rule", HOSTILE),
        ("entered_for", "<b>\"'"),
        ("on", "2026-06-06"),
    ];
    let shown = grower.saved("/bench/new", &fields).await;
    let trial = shown.strip_suffix("?new=yes").expect("it was set up").to_owned();
    let spot = grower.saved("/bench/spots", &[("name", "<b>\"'&/?#")]).await;
    grower.saved(&format!("{trial}/layout"), &[]).await;
    grower.saved(&format!("{trial}/stick"), &[("on", "2026-06-06"), ("spot", "<b>\"'&/?#")]).await;
    grower.saved(&format!("{spot}/care"), &[("kind", "feed"), ("words", HOSTILE), ("note", HOSTILE)]).await;
    grower.saved(&format!("{trial}/note"), &[("note", HOSTILE), ("on", "2026-06-20")]).await;
    let count = [("place", "P1"), ("alive", "4"), ("dead", "1"), ("cause", HOSTILE), ("on", "2026-07-01")];
    let saved = grower.saved(&format!("{trial}/count/check"), &count).await;
    let entry = saved.split(['=', '&']).nth(1).expect("a number");
    grower
        .saved("/share/publish/place", &[("name", "<b>\"'&"), ("hemisphere", "north"), ("zone", "8b")])
        .await;
    let mut paths = vec![
        "/today".to_owned(),
        "/bench".to_owned(),
        "/bench/new".to_owned(),
        "/bench/spots".to_owned(),
        spot,
        "/share/publish".to_owned(),
        "/share/publish/place".to_owned(),
        trial.replace("/bench/trial", "/share/publish"),
        saved.clone(),
    ];
    for rest in [
        "",
        "/history",
        "/describe",
        "/layout",
        "/note",
        "/move",
        "/graft",
        "/count/check",
        "/count/lift",
        "/sheet/lift",
        "/paper/labels",
        "/paper/sheet",
        "/paper/report",
    ] {
        paths.push(format!("{trial}{rest}"));
    }
    paths.push(format!("{trial}/entry/{entry}"));
    for path in paths {
        let path = path.split('#').next().unwrap_or_default();
        let (status, page) = grower.get(path).await;
        assert_eq!(status, StatusCode::OK, "{path}: {page}");
        check_plain(path, &page);
    }
    let (status, page) =
        grower.post("/bench/new", &[("code", HOSTILE), ("species", HOSTILE), ("note", HOSTILE)]).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    check_plain("a refused form", &page);
    let (_, page) = grower.get("/bench/trial/%3Cscript%3E").await;
    check_plain("an unknown trial", &page);
}

#[tokio::test]
async fn an_entry_sent_twice_is_there_once_and_can_be_undone() {
    let grower = Grower::new();
    grower.trial().await;
    let fields = [("place", "P2"), ("alive", "4"), ("dead", "1"), ("once", "phone-1"), ("on", "2026-07-04")];
    let first = grower.saved("/bench/trial/T1/count/check", &fields).await;
    assert!(first.contains("?saved="), "{first}");
    let again = grower.saved("/bench/trial/T1/count/check", &fields).await;
    assert!(again.contains("?again="), "{again}");
    let (_, history) = grower.get("/bench/trial/T1/history").await;
    assert_eq!(history.matches("P2 4 alive, 1 dead").count(), 1, "{history}");
    let entry = again.split('=').nth(1).expect("a number").to_owned();
    grower.saved("/bench/trial/T1/undo", &[("entry", &entry)]).await;
    let (_, page) = grower.get("/bench/trial/T1").await;
    assert!(page.contains("5 of 5 alive"), "{page}");
}

#[tokio::test]
async fn a_count_that_does_not_add_up_is_refused_with_what_was_typed() {
    let grower = Grower::new();
    grower.trial().await;
    let fields =
        [("place", "P1"), ("rooted", "4"), ("green", "3"), ("on", "2026-08-29"), ("note", "the left tray")];
    let (status, page) = grower.post("/bench/trial/T1/count/lift", &fields).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    for kept in
        ["value=\"4\"", "value=\"3\"", "the left tray", "role=\"alert\"", "5 were left at the last count"]
    {
        assert!(page.contains(kept), "{kept} in {page}");
    }
    let (_, history) = grower.get("/bench/trial/T1/history").await;
    assert!(!history.contains("P1"), "nothing was saved: {history}");
}

#[tokio::test]
async fn a_trial_is_found_by_code_plant_treatment_or_note() {
    let grower = Grower::new();
    grower.trial().await;
    let other = [("code", "R9"), ("species", "Ribes nigrum"), ("pieces", "9"), ("note", "the Left frame")];
    grower.saved("/bench/new", &other).await;
    for (words, is_first, is_second) in [
        ("t1", true, false),
        ("nigr", true, true),
        ("iba nigra", true, false),
        ("left+ribes", false, true),
        ("left+morus", false, false),
        ("%3Cb%3E", false, false),
    ] {
        let (status, page) = grower.get(&format!("/bench?find={}", words.replace(' ', "+"))).await;
        let has = |code: &str| page.contains(&format!("href=\"/bench/trial/{code}\""));
        assert_eq!((status, has("T1"), has("R9")), (StatusCode::OK, is_first, is_second), "{words}: {page}");
        check_plain(words, &page);
    }
}

/// A private note stands in no address: going back and forth with one is posted, and it travels on in the form.
#[tokio::test]
async fn a_note_of_a_new_trial_is_posted_and_never_in_an_address() {
    let grower = Grower::new();
    let fields = [("species", "Ribes nigrum"), ("code", "R9"), ("pieces", "9"), ("note", "by the wall")];
    let (_, check) = grower.get("/bench/new?at=check&species=Ribes+nigrum&code=R9&pieces=9").await;
    assert!(check.contains("<form class=\"setup\" method=\"post\""), "{check}");
    let back = [&fields[..], &[("at", "check"), ("go", "back")]].concat();
    let (status, size) = grower.post("/bench/new", &back).await;
    let is_kept = size.contains("name=\"note\" value=\"by the wall\"");
    assert!(status == StatusCode::OK && is_kept && size.contains("method=\"post\""), "{size}");
    let (_, without) = grower.get("/bench/new?at=size&species=Ribes+nigrum&code=R9&pieces=9").await;
    assert!(without.contains("<form class=\"setup\" method=\"get\""), "{without}");
    let hidden = [&fields[..], &[("at", "check"), ("caution", "mist-water")]].concat();
    let (status, check) = grower.post("/bench/caution", &hidden).await;
    assert!(status == StatusCode::OK && check.contains("by the wall"), "{status}: {check}");
    let saved = grower.saved("/bench/new", &[&fields[..], &[("go", "save")]].concat()).await;
    assert_eq!(saved, "/bench/trial/R9?new=yes");
}

/// The pots of a size are drawn where the size is chosen, and nowhere before.
#[tokio::test]
async fn a_new_trial_shows_its_pots_before_it_is_kept() {
    let grower = Grower::new();
    let of = |step: &str| format!("/bench/new?at={step}&species=Ribes+nigrum&code=R9&pots=3&pieces=4");
    let (_, size) = grower.get(&of("size")).await;
    assert!(size.contains("3 pots, 12 cuttings.") && size.contains("data-number"), "{size}");
    let (_, rows) = size.split_once("data-shows").expect("what follows the numbers");
    assert_eq!(rows.matches("<li><p class=\"tight\"><strong>P").count(), 3, "{rows}");
    let (_, treatments) = grower.get(&of("treatments")).await;
    assert!(!treatments.contains("12 cuttings."), "{treatments}");
}

/// Whoever grows a plant finds it in the list, with or without results.
#[tokio::test]
async fn what_works_begins_with_what_is_grown() {
    let grower = Grower::new();
    grower.trial().await;
    let (status, works) = grower.get("/works").await;
    assert_eq!(status, StatusCode::OK);
    let (_, list) = works.split_once("What you grow").expect("a list");
    assert!(list.contains("no results yet") && list.contains("href=\"/works?species="), "{works}");
    assert!(!works.contains("id=\"problem\""), "{works}");
}

/// What a form gives as an example can be sent as it stands.
#[tokio::test]
async fn examples_of_forms_are_understood() {
    use propagule_present::words::tasks::{describing, moving};

    let grower = Grower::new();
    grower.trial().await;
    let example = [("arm-1", describing::METHOD_EXAMPLE)];
    let described = grower.saved("/bench/trial/T1/describe", &example).await;
    assert_eq!(described, "/bench/trial/T1?changed=yes");
    let fields = [("what", "move"), ("to", "frame"), ("arm-1", "on"), ("with", moving::WHAT_ELSE_EXAMPLE)];
    let moved = grower.saved("/bench/trial/T1/move", &fields).await;
    assert!(moved.starts_with("/bench/trial/T1?saved="), "{moved}");
}

/// How far the round of a day has come, and what was done, each with its Undo until the day is over.
#[tokio::test]
async fn what_was_done_today_is_told_and_can_be_undone() {
    let grower = Grower::new();
    grower.trial().await;
    let done = |page: &str| page.contains("What you did today");
    let looked = grower.saved("/bench/trial/T1/looked", &[]).await;
    let (_, page) = grower.get("/today").await;
    assert!(done(&page) && page.contains("done today."), "{page}");
    let number = looked.split(['=', '&']).nth(1).expect("a number");
    assert!(page.contains(&format!("name=\"entry\" value=\"{number}\"")), "{page}");
    grower.saved("/bench/trial/T1/undo", &[("entry", number)]).await;
    let (_, page) = grower.get("/today").await;
    assert!(!page.contains(&format!("name=\"entry\" value=\"{number}\"")), "{page}");
}

#[tokio::test]
async fn publishing_needs_the_yes() {
    let grower = Grower::new();
    grower.trial().await;
    grower.saved("/share/publish/place", &[("name", "home"), ("hemisphere", "north"), ("zone", "8b")]).await;
    let (status, _) = grower.post("/share/publish/T1", &[("yes", "no")]).await;
    assert_eq!(status, StatusCode::SEE_OTHER);
    let (_, page) = grower.get("/share/publish/T1").await;
    assert!(page.contains("Leaves this computer, signed") && page.contains("Stays at home"), "{page}");
    assert_eq!(grower.stage.web.app.store().count(), 0);
    grower.saved("/share/publish/T1", &[("yes", "yes")]).await;
    // It is signed and on its way; it belongs to the set once its stem ends.
    assert_eq!(grower.stage.web.app.store().outbox().expect("the index is read").len(), 1);
    let (_, page) = grower.get("/share/publish/T1").await;
    assert!(page.contains("nothing to do"), "{page}");
}

#[tokio::test]
async fn the_script_is_told_what_was_saved_and_what_was_not_in_forms_that_have_a_schema() {
    let grower = Grower::new();
    grower.trial().await;
    let at = "/bench/trial/T1/count/check";
    let count = [("place", "P2"), ("alive", "5"), ("on", "2026-06-07")];
    let (status, said) = grower.script(at, &count).await;
    assert_eq!((status, schema::check(&said).as_deref()), (StatusCode::OK, Some("page_saved")), "{said}");
    let (status, said) = grower.script(at, &[("place", "P2"), ("on", "2026-06-08")]).await;
    let refused = (StatusCode::UNPROCESSABLE_ENTITY, Some("page_refused"));
    assert_eq!((status, schema::check(&said).as_deref()), refused, "{said}");
}
