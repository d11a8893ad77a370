//! Two of the worked seasons (`tests/cli/stories`) as a reader sees them: none rooted and most green; an adviser's six growers.

use axum::http::StatusCode;
use propagule_protocol::place::{Climate, Hemisphere, Place};
use propagule_protocol::{Facet, Signed, Summary, Taxon};

use crate::grammar::arm;
use crate::web::fixtures;
use crate::web::reader::{Reader, trial};
use propagule_app::{BenchRequest, Common, Enter, Hearing, NewTrial, Request, Stick};
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_bench::locale::Dialect;
use propagule_bench::{Rest, Stage, StartedKnown};

/// A trial that is set up, in the English of the tests.
const HEARD: Hearing = Hearing { what: Doing::SettingUp, dialect: Dialect::Uk };

const SPECIES: &str = "Ostrava tarda";

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

fn common(on: &str) -> Common {
    Common::on(day(on))
}

fn ostrava(summary: &mut Summary) {
    summary.taxon = Taxon::parse(SPECIES).expect("a name");
}

async fn bench(reader: &Reader, request: BenchRequest) {
    reader.ask(Request::Bench(Box::new(request))).await;
}

/// The place of the reader, and a second one that is much warmer.
async fn places(reader: &Reader) {
    let six = |coldest, hottest| Climate::Six {
        coldest,
        hottest,
        rain: 700.0,
        summer_share: 0.5,
        driest_summer: 40.0,
        driest_winter: 40.0,
    };
    let zone = "8b".parse().ok();
    let home = Place { hemisphere: Hemisphere::North, climate: six(2.0, 18.0), zone };
    let warm = Place { hemisphere: Hemisphere::North, climate: six(12.0, 27.0), zone: "11a".parse().ok() };
    reader.ask(Request::PlaceSet { name: "home".to_owned(), place: home, latitude: None }).await;
    reader.ask(Request::PlaceSet { name: "<b>south & co".to_owned(), place: warm, latitude: None }).await;
}

/// Story D until the day of the lift: 0 of 54 rooted, 34 green.
async fn green_not_rooted(reader: &Reader) {
    places(reader).await;
    let arms = [
        "A: medium=coarse perlite; container=pot; leaves=whole; humidity=fog; pieces=12",
        "B: medium=bark; container=deep pot; leaves=whole; humidity=dome; watering=kept moist; pieces=15",
        "C: medium=bark; container=deep pot; leaves=halved; humidity=dome; watering=kept moist; pieces=13",
        "D: medium=bark; container=deep pot; leaves=quartered; humidity=dome; watering=kept moist; pieces=14",
    ];
    let new = NewTrial {
        common: arm::facts(HEARD, "kind=stem cutting; wood=semi-ripe").expect("readable"),
        arms: arms.map(|text| arm::arm(HEARD, text).expect("readable")).into(),
        place: Some("home".to_owned()),
        ..NewTrial::lot("O1", SPECIES, day("2026-07-04"))
    };
    bench(reader, BenchRequest::New(new)).await;
    let stick = Stick {
        trial: "O1".to_owned(),
        on: day("2026-07-04"),
        counts: Vec::new(),
        known: StartedKnown::Counted,
        spot: None,
        opens: Some(false),
    };
    bench(reader, BenchRequest::Stick(stick)).await;
    let counts = ["A:rooted=0,alive=5", "B:rooted=0,alive=9", "C:rooted=0,alive=12", "D:rooted=0,alive=8"];
    let lift = Enter {
        trial: "O1".to_owned(),
        stage: Some(Stage::Lift),
        counts: fixtures::counts(reader.app(), "O1", Some(Stage::Lift), &counts).await,
        rest: Some(Rest::Dead),
        is_blind: false,
        common: common("2026-10-17"),
    };
    bench(reader, BenchRequest::Enter(lift)).await;
}

/// Three growers who had none rooted, in climates near and far.
fn others() -> impl Iterator<Item = Signed> {
    [(1, 14, 0), (2, 9, 1), (3, 20, 6)].into_iter().map(|(author, started, degrees)| {
        trial(author, u32::from(author), &[(started, 0)], |summary| {
            ostrava(summary);
            let facets = &mut summary.arms[0].facets;
            facets.set(Facet::Wood, "semi-ripe").expect("a word");
            facets.set(Facet::Humidity, "dome").expect("a word");
            summary.region.coldest = Some(degrees);
            summary.region.hottest = Some(4);
            summary.region.rain = Some(4);
        })
    })
}

#[tokio::test]
async fn story_d_none_of_97_gives_a_bound_and_no_number() {
    let reader = Reader::new();
    green_not_rooted(&reader).await;
    reader.hold(others());
    reader.ask(Request::Publish { trial: "O1".to_owned(), confirmed: true, at_once: true }).await;
    let page = reader.page("/works?species=Ostrava+tarda&by=none").await;
    assert!(page.contains("of 97 rooted. The true rate could still be as high as about 3%:"), "{page}");
    assert!(page.contains("The average of 2% (0.03\u{2013}11%) rests mostly on the model"), "{page}");
    assert!(
        page.contains("When counted, 34 were still green, not rooted.")
            && page.contains("4 growers, 4 trials, 97 cuttings"),
        "{page}"
    );
    assert!(page.contains("yours 0 of 54") && page.contains("class=\"own\""), "{page}");
    let plan = reader.page("/works/many?species=Ostrava+tarda&by=none&want=5").await;
    assert!(
        plan.contains("so no number can be given.") && plan.contains("One treatment nobody has tried"),
        "{plan}"
    );
    assert!(!plan.contains("equally likely outcomes") && !plan.contains("Stick about"), "{plan}");
    let trials = reader.page("/works/trials?species=Ostrava+tarda&by=none").await;
    assert!(
        trials.contains("<strong>you</strong>")
            && trials.contains("0 of 12 rooted, 5 still green, not rooted"),
        "{trials}"
    );
    assert!(trials.contains("one pot each"), "{trials}");
}

#[tokio::test]
async fn story_d_is_compared_arm_by_arm_and_elsewhere() {
    let reader = Reader::new();
    green_not_rooted(&reader).await;
    let (_, list) = reader.get("/works/near").await;
    assert!(list.contains("href=\"/works/near?trial=O1\""), "{list}");
    let alone = reader.page("/works/near?trial=O1").await;
    assert!(alone.contains("No other grower has reported this method"), "{alone}");
    reader.hold(others());
    let page = reader.page("/works/near?trial=O1").await;
    assert!(page.contains("<h2>Treatment 2 (") && page.contains("0 of your 15 rooted."), "{page}");
    assert!(page.contains("That is in line with") && page.contains("yours: 0"), "{page}");
    assert!(
        page.contains("Your climate and theirs") && page.contains("Coldest month: yours 2 \u{b0}C"),
        "{page}"
    );
    assert!(page.contains("Treatment 1") && !page.contains("the best arm") && !page.contains("--"), "{page}");
    let path = format!("/works/near?trial=O1&at={}", crate::web::link::part("<b>south & co"));
    let there = reader.page(&path).await;
    assert!(there.contains("if grown at \u{201c}&lt;b&gt;south &amp; co\u{201d}:"), "{there}");
    assert!(!there.contains("<b>south"), "{there}");
    let (status, spring) = reader.get("/works/near?trial=O1&stage=spring").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(spring.contains("nothing was counted") && !spring.contains("--stage"), "{spring}");
    let (status, _) = reader.get("/works/near?trial=%3Cscript%3E").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
}

/// Six growers of one adviser, by their marks; the third has two arms.
fn adviser() -> Vec<Signed> {
    let growers: [&[(u16, u16)]; 6] =
        [&[(20, 3)], &[(15, 0)], &[(12, 5), (12, 3)], &[(25, 5)], &[(10, 0)], &[(30, 11)]];
    let signed = growers.iter().zip(1_u8..).map(|(arms, number)| {
        trial(9, u32::from(number), arms, |summary| {
            ostrava(summary);
            summary.grower_mark = Some([number; 8]);
        })
    });
    signed.collect()
}

#[tokio::test]
async fn story_e_is_one_publisher_to_strangers_and_six_growers_to_friends() {
    let reader = Reader::new();
    reader.hold(adviser());
    let stranger = reader.page("/works?species=Ostrava+tarda&by=none").await;
    assert!(
        stranger.contains("27 of 124 rooted")
            && stranger.contains("Entered by one publisher for several growers"),
        "{stranger}"
    );
    assert!(!stranger.contains("average across growers with its 95% interval"), "{stranger}");
    let key = crate::fixtures::key(9).author().to_string();
    let (status, _) = reader
        .post("/share/people/grower", &[("grower", &key), ("name", "<i>adviser"), ("what", "trust")])
        .await;
    assert_eq!(status, StatusCode::SEE_OTHER);
    let friend = reader.page("/works?species=Ostrava+tarda&by=none").await;
    assert!(friend.contains("your own rate could be anywhere from 1.6% to 71%"), "{friend}");
    assert!(friend.contains("where your next trial may land"), "{friend}");
    assert!(friend.contains("6 growers, 1 publisher, 6 trials, 124 cuttings"), "{friend}");
    assert!(friend.contains("are the results of growers you trust."), "{friend}");
    assert!(friend.contains("everybody 27 of 124"), "{friend}");
    let behind = reader.page("/works/behind?species=Ostrava+tarda&by=none").await;
    assert!(behind.contains("average 19%") && behind.contains("without the 6 growers of"), "{behind}");
    let plan = reader.page("/works/many?species=Ostrava+tarda&by=none&want=5&sure=80&cost=0.40").await;
    assert!(
        plan.contains("class=\"say\">Stick about 60 for an 80% chance of at least 5 rooted. That"),
        "{plan}"
    );
    assert!(
        plan.contains("That costs 22.80") && plan.contains("20 equally likely outcomes of starting 57"),
        "{plan}"
    );
    let trials = reader.page("/works/trials?species=Ostrava+tarda&by=none").await;
    assert!(trials.contains("&lt;i&gt;adviser") && !trials.contains("<i>adviser"), "{trials}");
    let network = reader.page("/share/people").await;
    assert!(
        network.contains("&lt;i&gt;adviser") && network.contains("You trust this grower at home"),
        "{network}"
    );
}

#[tokio::test]
async fn wishes_that_cannot_be_are_refused_at_their_field() {
    let reader = Reader::new();
    reader.hold(adviser());
    for (query, field) in [
        ("want=0", "want"),
        ("sure=0", "sure"),
        ("pieces=1", "pieces"),
        ("cost=much", "cost"),
        ("minutes=-3", "minutes"),
    ] {
        let (status, page) = reader.get(&format!("/works/many?species=Ostrava+tarda&{query}")).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        assert!(page.contains(&format!("id=\"f-{field}-wrong\"")), "{query}: {page}");
    }
    let (status, page) = reader.get("/works/many?species=Lumetta+rosea").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("obody has reported Lumetta"), "{page}");
}
